package org.dooryard.app.walk

import android.view.accessibility.AccessibilityNodeInfo
import org.dooryard.app.NativeCoreRunner
import org.dooryard.app.parts.OUT_OF
import org.dooryard.app.R
import org.dooryard.app.Stage
import org.dooryard.app.named
import org.dooryard.app.parts.drawn
import org.dooryard.kit.Place
import org.junit.Assert.assertEquals
import org.junit.Assert.assertFalse
import org.junit.Assert.assertTrue
import org.junit.Rule
import org.junit.Test
import org.junit.rules.TemporaryFolder
import org.junit.runner.RunWith

@RunWith(NativeCoreRunner::class)
class PlantLookScreensTest {
    @get:Rule val folder = TemporaryFolder()

    private fun stage() = stageIn(folder.root.toPath())

    private fun Stage.can(id: Int) = touchable.any { it.named() == word(id) }

    @Test
    fun kindsAreFoldedByGroupAndAPlantThatNobodyKnowsIsAPlantToo() {
        val stage = stage()
        val inquiry = stage.ask { begin("yard") }
        stage.go(Place.Plant(inquiry, null))
        assertFalse("no look without a plant", stage.can(R.string.look))
        assertFalse("groups are folded", "Lilac" in stage.words)
        stage.tap("Shrubs")
        assertTrue("Lilac" in stage.words)
        stage.tap("Shrubs")
        assertFalse("Lilac" in stage.words)
        stage.tap("Plant not known")
        assertTrue(stage.can(R.string.look))
        stage.tap(R.string.walk_another_kind).tap("Trees").tap("Oak")
        assertTrue(stage.words, "Quercus" in stage.words && "no pruning" in stage.words)
        assertFalse("the list folds away again", "Shrubs" in stage.words)
        assertEquals(1, stage.ask { inquiry(inquiry) }.plants.size)
        stage.recreate()
        assertTrue("Quercus" in stage.words)
    }

    @Test
    fun whatIsTypedOfANewPlantSurvivesTheWindow() {
        val stage = stage()
        val inquiry = stage.ask { begin("yard") }
        stage.go(Place.Plant(inquiry, null)).tap(R.string.walk_about_plant).type("Cultivar", "Ro", leave = false)
        stage.killed().tap(R.string.walk_about_plant)
        assertEquals("Ro", stage.field("Cultivar").text.toString())
        stage.type("Cultivar", "Roma").type("How many show it", "9").type("Out of how many", "3")
        assertTrue(stage.words, stage.ask { plant(inquiry, inquiry(inquiry).plants.single().plant) }.fields.first { it.name == "affected" }.problem in stage.words)
    }

    @Test
    fun aLookSaysHowAndWhyAndAsksHowSureOnlyOfWhoLooked() {
        val stage = stage()
        val (inquiry, plant) = stage.plant()
        stage.go(Place.Look(inquiry, plant, ""))
        val look = stage.ask { look(inquiry, plant, "", "") }.look!!
        assertTrue(stage.words, look.ask in stage.words && look.how in stage.words && look.cost in stage.words)
        assertFalse(stage.word(R.string.walk_how_sure) in stage.words)
        assertFalse(look.why.first() in stage.words)
        stage.tap(R.string.walk_why)
        assertTrue(look.why.first() in stage.words)
        stage.tap(look.answers.first { it.mark == "seen" }.text)
        assertTrue(stage.word(R.string.walk_how_sure) in stage.words)
        stage.tap("fairly")
        stage.tap(look.answers.last().text)
        assertFalse("nobody looked", stage.word(R.string.walk_how_sure) in stage.words)
    }

    @Test
    fun whatWasLookedForAndIsNotThereSaysSo() {
        val stage = stage()
        val (inquiry, plant) = stage.plant()
        val answers = stage.ask { look(inquiry, plant, "leaf_spot", "") }.look!!.answers.filter { !it.alone }
        stage.ask { answer(inquiry, plant, "leaf_spot", listOf(), listOf(answers[0].id), 2u) }
        stage.go(Place.Look(inquiry, plant, "leaf_spot"))
        assertTrue(stage.words, stage.word(R.string.walk_absent) in stage.words)
        stage.picture("look-absent")
        stage.tap(answers[1].text)
        assertTrue("it stays", stage.word(R.string.walk_absent) in stage.words)
        stage.tap(answers[0].text)
        assertFalse("it is there after all", stage.word(R.string.walk_absent) in stage.words)
    }

    @Test
    fun whatIsChosenIsHeardWithItsPlaceAmongTheOthers() {
        val stage = stage()
        val (inquiry, plant) = stage.plant()
        stage.go(Place.Look(inquiry, plant, "leaf_spot"))
        val answers = stage.ask { look(inquiry, plant, "leaf_spot", "") }.look!!.answers
        val (one, two) = answers.filter { !it.alone }
        stage.tap(one.text).tap(two.text)
        fun node(text: String): AccessibilityNodeInfo =
            stage.touchable.first { text in it.named() && it.createAccessibilityNodeInfo().isCheckable }.createAccessibilityNodeInfo()
        assertTrue(node(one.text).isChecked && node(two.text).isChecked)
        assertEquals(answers.size, node(one.text).extras.getInt(OUT_OF))
        stage.tap("Could not tell")
        assertFalse(node(one.text).isChecked)
    }

    @Test
    fun allLooksAreAListToJumpFromAndBackClosesIt() {
        val stage = stage()
        val (inquiry, plant) = stage.plant()
        stage.go(Place.Look(inquiry, plant, "")).tap(R.string.walk_all_looks)
        assertTrue(stage.words, "Leaf" in stage.words && "Not looked" in stage.words)
        stage.back()
        assertTrue("the list is closed, not the look", stage.activity.trail.here is Place.Look)
        val part = stage.ask { look(inquiry, plant, "", "") }.parts.last { it.looks.any { look -> !look.held } }
        val row = part.looks.last { !it.held }
        stage.tap(R.string.walk_all_looks)
        assertFalse("the parts are folded", row.label in stage.words)
        stage.tap(part.name).tap(row.label)
        assertEquals(row.character, (stage.activity.trail.here as Place.Look).look)
    }

    @Test
    fun theLastAnswerIsTakenBackWithoutAQuestion() {
        val stage = stage()
        val (inquiry, plant) = stage.plant()
        stage.go(Place.Look(inquiry, plant, ""))
        stage.tap(stage.ask { look(inquiry, plant, "", "") }.look!!.answers.first().text).tap(R.string.walk_next_look)
        stage.tap(stage.ask { look(inquiry, plant, "", "") }.undo!!.text)
        assertEquals("before the first finding", stage.ask { look(inquiry, plant, "", "") }.after)
    }

    @Test
    fun aPlantWithoutAKindLeadsBackToThePlant() {
        val stage = stage()
        val inquiry = stage.ask { begin("yard") }
        val plant = stage.ask { writePlant(inquiry, null, "affected", "3", true) }.plant!!
        stage.go(Place.Look(inquiry, plant, ""))
        stage.tap(R.string.plant)
        assertEquals(Place.Plant(inquiry, plant), stage.activity.trail.here)
    }

    @Test
    fun aStopHoldsThinkingUntilItWasRead() {
        val stage = stage()
        val (inquiry, plant) = stage.plant()
        stage.go(Place.Look(inquiry, plant, ""))
        repeat(4) {
            val look = stage.ask { look(inquiry, plant, "", "") }.look!!
            stage.tap(look.answers.first { it.mark == "seen" }.text).tap(R.string.walk_next_look)
        }
        stage.ask { answerQuestion(inquiry, "ate_or_touched", "yes") }
        stage.go(Place.Think(inquiry, plant))
        assertEquals(Place.Stop(inquiry), stage.activity.trail.here)
        stage.back()
        assertFalse("no cause before the stop is read", "in 100" in stage.words)
        stage.tap(R.string.read_stop)
        while (stage.can(R.string.have_read)) stage.tap(R.string.have_read)
        assertTrue(stage.activity.trail.here is Place.Think)
    }

    @Test
    fun aPictureThatNobodyDrewIsNoneAndOneThatIsDrawnIsFound() {
        val stage = stage()
        val context = stage.activity
        assertEquals(0, context.drawn("leaf_spot.round"))
        assertEquals(0, context.drawn(""))
        assertEquals(0, context.drawn("../answer"))
        assertEquals(R.drawable.mark_seen, context.drawn("Seen", before = "mark_"))
        assertEquals(R.drawable.tally_1, context.drawn("ally.1", before = "t"))
    }
}
