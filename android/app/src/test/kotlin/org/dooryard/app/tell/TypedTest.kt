package org.dooryard.app.tell

import org.dooryard.app.NativeCoreRunner
import org.dooryard.app.R
import org.dooryard.app.walk.killed
import org.dooryard.core.Screen
import org.dooryard.kit.Place
import org.dooryard.kit.leafPhoto
import org.dooryard.kit.tell.walkedTomato
import org.dooryard.kit.tell.walksTomato
import org.junit.Assert.assertEquals
import org.junit.Assert.assertTrue
import org.junit.Rule
import org.junit.Test
import org.junit.rules.TemporaryFolder
import org.junit.runner.RunWith

/** What is typed beside the inquiry's own fields is there again after the window, and after the app, was taken away. */
@RunWith(NativeCoreRunner::class)
class TypedTest {
    @get:Rule val folder = TemporaryFolder()

    private val stage by lazy { stageOf(folder.root.toPath()) }

    /** Types into a field without leaving it; the window is taken away, then the whole app. */
    private fun types(label: String, text: String) {
        stage.type(label, text, leave = false).recreate()
        assertEquals(text, stage.field(label).text.toString())
        stage.killed()
        assertEquals(text, stage.field(label).text.toString())
    }

    private fun types(label: Int, text: String) = types(stage.word(label), text)

    @Test
    fun aQuestionAndItsAnswer() {
        val inquiry = stage.on { begin("phone") }
        stage.at(Place.Inquiry(inquiry)).tap(R.string.tell_ask_later)
        types(R.string.tell_question, "Any new spots?")
        stage.tap(stage.on { laterForm(inquiry) }.days[1].text).killed().tap(R.string.tell_ask_then)
        assertEquals(Place.Inquiry(inquiry), stage.activity.trail.here)
        assertEquals("", stage.on { laterForm(inquiry) }.question)
        stage.tap("Any new spots?").tap(R.string.tell_was_answered)
        stage.sees(stage.word(R.string.tell_answer_first))
        types(R.string.tell_answer, "None since")
        types(R.string.tell_did, "Cut the low leaves")
        stage.tap("Recovered").killed()
        assertEquals("it is asked on", 1, stage.on { later(false, "", 20u) }.rows.size)
        stage.tap(R.string.tell_was_answered)
        assertEquals(Place.Inquiry(inquiry), stage.activity.trail.here)
        val row = stage.on { later(true, "", 20u) }.rows.single()
        assertEquals(listOf("None since", "Cut the low leaves", "recovered"), listOf(row.answer, row.did, row.outcomes.single { it.chosen }.id))
    }

    @Test
    fun aSampleAndItsWay() {
        val walked = stage.on { walkedTomato() }
        stage.at(Place.Sample(walked.inquiry)).tap(R.string.tell_take)
        types(R.string.tell_sample_part, "low leaves")
        types(R.string.tell_sample_pieces, "4")
        stage.tap(R.string.tell_sample_cool).killed().tap(R.string.tell_taken)
        val card = stage.on { samples(walked.inquiry) }.samples.single()
        assertTrue("${card.label}", card.label.any { it.text == "4" } && card.label.any { it.text == "Low leaves" })
        types(card.fields.first { it.name == "accession" }.label, "L-77")
        stage.tap(R.string.tell_hand)
        types(R.string.tell_hand_to, "Office")
        stage.tap(R.string.tell_handed)
        val handed = stage.on { samples(walked.inquiry) }.samples.single()
        assertTrue("${handed.chain}", handed.chain.size > card.chain.size)
        assertEquals("L-77", handed.fields.first { it.name == "accession" }.text)
    }

    @Test
    fun theWordsToAPhoto() {
        val walked = stage.on { walkedTomato() }
        val shots = stage.on { importPhoto(walked.inquiry, walked.plant, "whole", "", leafPhoto.toString()) }
        val id = shots.shots.flatMap { it.photos }.single().id
        stage.at(Place.Inquiry(walked.inquiry)).at(Place.Photo(id))
        types(R.string.walk_caption, "Low leaf")
        stage.type(stage.word(R.string.walk_caption), "A wire hangs in it")
        assertEquals(Place.Stop(walked.inquiry), stage.activity.trail.here)
    }

    @Test
    fun howItIsTold() {
        val walked = stage.on { walkedTomato() }
        stage.at(Place.Tell(walked.inquiry, walked.plant)).tap(R.string.tell_told_back).tap("Print").tap(R.string.tell_asks_again)
        stage.recreate().killed()
        val kept = stage.on { tell(walked.inquiry, walked.plant) }
        assertTrue("$kept", kept.readBack && kept.due.isEmpty() && kept.ways.single { it.chosen }.id == "print")
        val day = stage.on { laterForm(walked.inquiry) }.days[1]
        stage.tap(day.text).killed()
        val chosen = stage.on { tell(walked.inquiry, walked.plant) }
        assertEquals(day.id, chosen.due)
        stage.sees(chosen.dueWords)
        stage.tap(R.string.tell_was_told).recreate()
        assertTrue(stage.words, "print" in stage.on { tell(walked.inquiry, walked.plant) }.before.single().label)
        stage.sees(stage.on { tell(walked.inquiry, walked.plant) }.asked)
        assertEquals(chosen.question, stage.on { later(false, "", 20u) }.rows.single().question)
    }

    @Test
    fun whatIsUsefulOfAPlantLeadsToThatPlant() {
        val inquiry = stage.on { begin("phone").also { writePlant(it, null, "cultivar", "Red one", true) } }
        val walked = stage.on { walksTomato(inquiry) }
        for ((screen, place) in mapOf(
            Screen.TELL to Place.Tell(inquiry, walked.plant),
            Screen.SHOTS to Place.Shots(inquiry, walked.plant),
        )) {
            val text = stage.on { inquiry(inquiry) }.useful.first { it.screen == screen }.text
            stage.at(Place.Inquiry(inquiry)).tap(R.string.tell_next_more).tap(text)
            assertEquals(place, stage.activity.trail.here)
        }
    }
}
