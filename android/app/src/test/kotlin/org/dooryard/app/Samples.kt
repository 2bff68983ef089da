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
)

