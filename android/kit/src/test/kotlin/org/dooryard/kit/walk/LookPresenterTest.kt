package org.dooryard.kit.walk

import org.dooryard.core.RecordId
import org.dooryard.kit.Place
import org.dooryard.kit.Trail
import org.dooryard.kit.look.LookPresenter
import org.dooryard.kit.look.ThinkPresenter
import org.junit.jupiter.api.Assertions.assertEquals
import org.junit.jupiter.api.Assertions.assertFalse
import org.junit.jupiter.api.Assertions.assertNotEquals
import org.junit.jupiter.api.Assertions.assertNull
import org.junit.jupiter.api.Assertions.assertTrue
import org.junit.jupiter.api.Test
import org.junit.jupiter.api.io.TempDir
import java.nio.file.Path

class LookPresenterTest {
    @TempDir lateinit var dir: Path

    private val yard by lazy { Yard(dir) }
    private lateinit var inquiry: RecordId
    private lateinit var plant: RecordId
    private lateinit var trail: Trail

    private fun walk(look: String = ""): LookPresenter {
        inquiry = yard.inquiry()
        plant = yard.plant(inquiry)
        trail = yard.trail(Place.Look(inquiry, plant, look))
        return yard.shown(LookPresenter(yard.core, trail, inquiry, plant, look))
    }

    private fun again(): LookPresenter {
        val place = yard.ask { today() }.resume!!.let { Place.of(it.screen, it.inquiry, it.plant, it.look) } as Place.Look
        trail = yard.trail(place)
        return yard.shown(LookPresenter(yard.core, trail, place.inquiry, place.plant, place.look))
    }

    @Test
    fun anAnswerIsInTheNotebookAsSoonAsItIsTouchedAndTheSameLookComesAgainAfterAKill() {
        val walk = walk()
        val look = walk.state!!.look!!
        assertEquals(Place.Look(inquiry, plant, look.character), trail.here, "the way holds the look itself")
        assertFalse(walk.looked, "not looked stands there until somebody looks")
        walk.choose(look.answers.first { it.mark == "seen" }.id)
        yard.settle()
        walk.sure("3")
        yard.kill()
        val after = again()
        assertEquals(look.character, after.state!!.look!!.character)
        assertEquals(listOf(look.answers.first { it.mark == "seen" }.id), after.picked)
        assertEquals("3", after.state!!.look!!.comfort.single { it.chosen }.id)
        assertEquals("after 1 finding", after.state!!.after)
        assertTrue(after.state!!.saved.startsWith("Saved on this phone"))
    }

    @Test
    fun severalStayTogetherHoweverQuickTheyAreTouchedAndWhatStandsAloneTakesTheirPlace() {
        val walk = walk("leaf_spot")
        val look = walk.state!!.look!!
        assertTrue(look.several)
        val (one, two) = look.answers.filter { !it.alone }.map { it.id }
        walk.choose(one)
        walk.choose(two)
        yard.settle()
        assertEquals(setOf(one, two), walk.state!!.look!!.answers.filter { it.chosen }.map { it.id }.toSet())
        walk.choose(one)
        yard.settle()
        assertEquals(listOf(two), walk.picked)
        walk.choose(look.answers.first { it.mark == "bare" }.id)
        yard.settle()
        assertEquals(listOf("bare"), walk.state!!.look!!.answers.filter { it.chosen }.map { it.mark })
        walk.choose("could_not_tell")
        yard.settle()
        assertEquals(listOf("could_not_tell"), walk.picked)
        assertTrue(walk.looked, "how sure is asked of that too")
    }

    @Test
    fun whatIsNotAnsweredIsNotLookedAndIsNotAskedAgain() {
        val walk = walk()
        val asked = mutableListOf<String>()
        repeat(4) {
            asked += walk.state!!.look!!.character
            if (it % 2 == 0) walk.choose(walk.state!!.look!!.answers.first { a -> a.mark == "bare" }.id)
            walk.next()
            yard.settle()
        }
        assertEquals(4, asked.toSet().size)
        assertEquals("after 2 findings", walk.state!!.after)
        val rows = walk.state!!.parts.flatMap { it.looks }
        assertEquals("unlooked", rows.first { it.character == asked[1] }.mark)
        assertNotEquals("unlooked", rows.first { it.character == asked[0] }.mark)
        yard.kill()
        assertFalse(again().state!!.look!!.character in asked)
    }

    @Test
    fun backGoesLookByLookAndThenOffTheScreen() {
        val walk = walk()
        val first = walk.state!!.look!!.character
        walk.choose(walk.state!!.look!!.answers.first().id)
        walk.next()
        yard.settle()
        val second = walk.state!!.look!!.character
        val other = walk.state!!.parts.flatMap { it.looks }.map { it.character }.last { it != first && it != second }
        walk.open(other)
        yard.settle()
        assertEquals(other, walk.state!!.look!!.character)
        walk.back()
        yard.settle()
        assertEquals(second, walk.state!!.look!!.character)
        walk.back()
        yard.settle()
        assertEquals(first, walk.state!!.look!!.character)
        assertTrue(walk.looked, "its answer stands there")
        walk.back()
        assertEquals(Place.Today, trail.here)
    }

    @Test
    fun theLastAnswerIsTakenBackAndItsLookAskedAgain() {
        val walk = walk()
        val first = walk.state!!.look!!.character
        assertNull(walk.state!!.undo)
        walk.choose(walk.state!!.look!!.answers.first { it.mark == "seen" }.id)
        walk.next()
        yard.settle()
        walk.takeBack()
        yard.settle()
        assertEquals(first, walk.state!!.look!!.character)
        assertFalse(walk.looked)
        assertEquals("before the first finding", walk.state!!.after)
    }

    @Test
    fun whatWasLookedForAndIsNotThereStaysSoBesideOtherAnswers() {
        val walk = walk("leaf_spot")
        val (gone, there) = walk.state!!.look!!.answers.filter { !it.alone }.map { it.id }
        yard.ask { answer(inquiry, plant, "leaf_spot", listOf(), listOf(gone), 2u) }
        walk.open("leaf_spot")
        yard.settle()
        fun absent() = walk.state!!.look!!.answers.filter { it.absent }.map { it.id }
        assertEquals(listOf(gone), absent())
        walk.choose(there)
        yard.settle()
        assertEquals(listOf(gone) to listOf(there), absent() to walk.picked)
        walk.choose(gone)
        yard.settle()
        assertEquals(emptyList<String>(), absent(), "it is there after all")
    }

    @Test
    fun aStopHoldsTheWalkUntilItIsRead() {
        val walk = walk()
        yard.ask { answerQuestion(inquiry, "ate_or_touched", "yes") }
        walk.refresh()
        yard.settle()
        assertTrue(walk.halts.isNotEmpty())
        assertEquals(Place.Stop(inquiry), trail.here)
    }

    @Test
    fun whatWasFoundRaisesSeveralCausesAndOneMoreLookLeadsToTheOneThatSaysMost() {
        val walk = walk()
        repeat(6) {
            walk.choose(walk.state!!.look!!.answers.first { a -> a.mark == "seen" }.id)
            walk.next()
            yard.settle()
        }
        walk.toThink()
        val think = yard.shown(ThinkPresenter(yard.core, trail, inquiry, plant))
        assertEquals("after 6 findings", think.state!!.after)
        assertTrue(think.state!!.causes.size > 1, "never a single one")
        think.oneMoreLook()
        assertEquals(Place.Look(inquiry, plant, think.state!!.nextLook), trail.here)
        yard.ask { answerQuestion(inquiry, "ate_or_touched", "yes") }
        think.refresh()
        yard.settle()
        assertTrue(think.halts.isNotEmpty() && think.state!!.held.isNotEmpty() && think.state!!.causes.isEmpty())
    }
}
