package org.dooryard.app.tell

import org.dooryard.app.Album
import org.dooryard.app.NativeCoreRunner
import org.dooryard.app.R
import org.dooryard.app.Stage
import org.dooryard.core.RecordId
import org.dooryard.kit.Look
import org.dooryard.kit.MemorySecrets
import org.dooryard.kit.Place
import org.dooryard.kit.leafPhoto
import org.dooryard.kit.tell.Walked
import org.dooryard.kit.tell.disagree
import org.dooryard.kit.tell.walkedTomato
import org.junit.Rule
import org.junit.Test
import org.junit.rules.TemporaryFolder
import org.junit.runner.RunWith
import org.robolectric.RuntimeEnvironment
import org.robolectric.annotation.Config

/** Each screen of telling and records, also folded open, empty and filled in: whole for whoever reads it. */
@RunWith(NativeCoreRunner::class)
class PagesTest {
    @get:Rule val folder = TemporaryFolder()

    @Test
    fun inEnglish() = everyScreen("en")

    @Test
    @Config(qualifiers = "+es")
    fun inSpanishAtTwiceTheSize() {
        RuntimeEnvironment.setFontScale(2f)
        everyScreen("large")
    }

    @Test
    @Config(qualifiers = "+es-night")
    fun inSpanishAtNight() = everyScreen("night")

    @Test
    fun inTheSun() = everyScreen("sun", sun = true)

    private fun everyScreen(name: String, sun: Boolean = false) {
        val stage = stageOf(folder.root.toPath())
        if (sun) stage.app.settings = stage.app.settings.copy(look = Look.SUN)
        stage.recreate()
        val album = Album(stage, "tell-$name", sun)
        everyPage(stage, album::page)
        album.isWhole()
    }

    private fun everyPage(stage: Stage, page: (String) -> Unit) {
        stage.at(Place.Records)
        page("records-empty")
        val walked = seeded(stage)
        stage.at(Place.Today)
        val waiting = stage.on { inquiry(walked.inquiry) }.later.first { it.answer.isEmpty() }.id
        for ((of, place) in places(walked, waiting)) {
            stage.at(place)
            page(of)
        }
        stage.at(Place.Later).tap(R.string.tell_answered)
        page("later-answered")
        stage.at(Place.Sample(walked.inquiry)).tap(R.string.tell_hand)
        page("sample-handing")
        stage.tap(R.string.tell_take)
        page("sample-taking")
        stage.at(Place.Letter(walked.inquiry, walked.plant)).tap(R.string.tell_letter_parts)
        page("letter-parts")
        stage.at(Place.Records).tap(R.string.tell_which)
        page("records-which")
        stage.at(Place.History(walked.inquiry)).tap(R.string.tell_fields)
        page("history-fields")
        stage.app.core.askNotebook({ disagree(walked, stage.app.folder, MemorySecrets("rehearsal")) }) {}
        stage.settle().at(Place.Conflicts(null))
        page("conflicts")
        stage.at(Place.Inquiry(walked.inquiry)).tap(R.string.tell_next_more).tap(R.string.tell_told)
        page("inquiry-open")
        stage.tap(R.string.tell_take_away)
        page("taken-away")
        stage.at(Place.Inquiry(walked.inquiry))
        page("inquiry-away")
        stage.at(Place.Bin)
        page("bin")
    }

    private fun places(walked: Walked, waiting: RecordId): Map<String, Place> = mapOf(
        "records" to Place.Records,
        "inquiry" to Place.Inquiry(walked.inquiry),
        "tell" to Place.Tell(walked.inquiry, walked.plant),
        "letter" to Place.Letter(walked.inquiry, walked.plant),
        "later" to Place.Later,
        "asklater" to Place.AskLater(walked.inquiry),
        "answer" to Place.Answer(walked.inquiry, waiting),
        "sample" to Place.Sample(walked.inquiry),
        "history" to Place.History(walked.inquiry),
        "conflicts-none" to Place.Conflicts(null),
    )

    private fun seeded(stage: Stage): Walked = stage.on {
        begin("phone").also { write(it, "words", "Something eats the roses at night. Nobody has seen it yet.", true) }
        val walked = walkedTomato("The low leaves have brown spots with rings. Should I pull them all?")
        repeat(7) { importPhoto(walked.inquiry, walked.plant, if (it == 0) "whole" else "close_up", "", leafPhoto.toString()) }
        askLater(walked.inquiry, "2026-07-27", "Any new spots since you picked the low leaves?")
        val asked = askLater(walked.inquiry, "2026-07-20", "Did you mulch?")
        answerLater(asked, "Yes, with straw, all along the row", "", "same")
        told(walked.inquiry, walked.plant, "spoken", true, "")
        takeSample(walked.inquiry, walked.plant, "low leaves", 4u, "A-7", true)
        walked
    }
}
