package org.dooryard.app

import org.dooryard.kit.Place

/** One screen of the sheet: how somebody gets there in a played notebook. */
class Sample(val name: String, val show: (Stage, Played) -> Unit)

private fun at(name: String, place: (Played) -> Place) = Sample(name) { stage, played -> stage.activity.trail.go(place(played)) }

/** Every screen, in the order in which one comes to it. */
val samples = listOf(
    at("today") { Place.Today },
    Sample("ask, first question") { stage, played ->
        stage.activity.trail.go(Place.Ask(played.long))
        stage.settle()
        stage.tap(stage.does { ask(played.long) }.questions.first().ask)
    },
    at("ask, fields") { Place.Ask(it.long) },
    at("stop") { Place.Stop(it.stopped) },
    Sample("ask, a stop not read") { stage, played ->
        stage.activity.trail.go(Place.Ask(played.stopped))
        stage.settle()
        stage.back()
    },
    at("place") { Place.Spot(it.tomato) },
    at("plant, new") { Place.Plant(it.long, null) },
    at("plant") { Place.Plant(it.tomato, it.plant) },
    at("look") { Place.Look(it.tomato, it.plant, "") },
    at("think") { Place.Think(it.tomato, it.plant) },
    at("shots") { Place.Shots(it.tomato, it.plant) },
    at("photo") { Place.Photo(it.photo) },
    at("tell") { Place.Tell(it.tomato, it.plant) },
    at("letter") { Place.Letter(it.tomato, it.plant) },
    at("sample") { Place.Sample(it.tomato) },
    at("inquiry") { Place.Inquiry(it.tomato) },
    at("inquiry, long words") { Place.Inquiry(it.long) },
    at("one inquiry as a file") { Place.OneFile(it.tomato) },
    at("history") { Place.History(it.tomato) },
    at("records") { Place.Records },
    at("later") { Place.Later },
    at("ask later") { Place.AskLater(it.tomato) },
    at("hand over") { Place.HandOver },
    at("conflicts, none") { Place.Conflicts(null) },
    at("bin, empty") { Place.Bin },
    at("office and me") { Place.Me },
    at("join") { Place.Join },
    at("backup") { Place.Backup },
    at("room on this phone") { Place.Room },
    at("privacy") { Place.Privacy },
)
