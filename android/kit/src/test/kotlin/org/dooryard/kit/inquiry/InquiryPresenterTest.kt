package org.dooryard.kit.inquiry

import org.dooryard.core.Screen
import org.dooryard.core.Useful
import org.dooryard.kit.Place
import org.dooryard.kit.tell.Bench
import org.dooryard.kit.tell.walkedTomato
import org.dooryard.kit.tell.walksTomato
import org.junit.jupiter.api.Assertions.assertEquals
import org.junit.jupiter.api.Assertions.assertFalse
import org.junit.jupiter.api.Assertions.assertNotEquals
import org.junit.jupiter.api.Assertions.assertNull
import org.junit.jupiter.api.Assertions.assertTrue
import org.junit.jupiter.api.Test
import org.junit.jupiter.api.io.TempDir
import java.nio.file.Path

class InquiryPresenterTest {
    @TempDir lateinit var dir: Path
    private val bench by lazy { Bench(dir) }

    private fun hub(inquiry: String) = bench.shown(InquiryPresenter(bench.core, bench.trail, bench.undoing, inquiry))

    @Test
    fun whatIsUsefulLeadsToWhereItIsAddedAndNeverNowhere() {
        val empty = bench.on { begin("phone") }
        bench.go(Place.Records, Place.Inquiry(empty))
        val hub = hub(empty)
        for (useful in checkNotNull(hub.state).useful) {
            hub.add(useful)
            assertNotEquals(Place.Inquiry(empty), bench.trail.here, useful.text)
            bench.trail.back()
        }
        val walked = bench.on { walkedTomato() }
        val full = hub(walked.inquiry)
        full.add(checkNotNull(full.state).useful.first { it.screen == Screen.TELL })
        assertEquals(Place.Tell(walked.inquiry, walked.plant), bench.trail.here)
    }

    @Test
    fun whatIsUsefulOfAPlantLeadsToThatPlant() {
        val (inquiry, unknown) = bench.on {
            val inquiry = begin("phone")
            inquiry to checkNotNull(writePlant(inquiry, null, "cultivar", "Red one", true).plant)
        }
        fun add(screen: Screen) {
            bench.go(Place.Inquiry(inquiry))
            val hub = hub(inquiry)
            hub.add(checkNotNull(hub.state).useful.first { it.screen == screen })
        }
        add(Screen.TELL)
        assertEquals(Place.Plant(inquiry, unknown), bench.trail.here, "it has to be known first")
        val walked = bench.on { walksTomato(inquiry) }
        add(Screen.TELL)
        assertEquals(Place.Tell(inquiry, walked.plant), bench.trail.here)
        // Whichever of its plants is named, that one.
        bench.go(Place.Inquiry(inquiry))
        val hub = hub(inquiry)
        val plants = checkNotNull(hub.state).plants.map { it.plant }
        assertEquals(setOf(unknown, walked.plant), plants.toSet())
        for (plant in plants) {
            bench.go(Place.Inquiry(inquiry))
            hub.add(Useful(Screen.TELL, plant, ""))
            assertEquals(Place.Tell(inquiry, plant), bench.trail.here)
        }
        add(Screen.SHOTS)
        assertEquals(Place.Shots(inquiry, walked.plant), bench.trail.here)
    }

    @Test
    fun itIsFinishedTakenAwayAndBroughtBackAndTheWayToItIsLeft() {
        val walked = bench.on { walkedTomato() }
        bench.go(Place.Records, Place.Inquiry(walked.inquiry), Place.Ask(walked.inquiry), Place.Inquiry(walked.inquiry))
        val hub = hub(walked.inquiry)
        assertEquals(true, hub.state?.unfinished)
        with(bench) { hub.does { finish() } }
        assertEquals(false, hub.state?.unfinished)
        with(bench) { hub.does { takeAway() } }
        assertEquals(Place.Records, bench.trail.here)
        assertEquals(walked.inquiry, bench.undoing.undo?.record)
        assertFalse(bench.trail.lines.any { walked.inquiry in it })
        val seen = hub(walked.inquiry)
        assertEquals(true, seen.state?.takenAway)
        with(bench) { seen.does { bringBack() } }
        assertEquals(false, seen.state?.takenAway)
        assertNull(bench.undoing.undo, "nothing is left to undo")
    }

    @Test
    fun aStopThatNobodyReadTakesItsPlace() {
        val inquiry = bench.on { begin("phone").also { answerQuestion(it, "ate_or_touched", "yes") } }
        bench.go(Place.Records, Place.Inquiry(inquiry))
        val hub = hub(inquiry)
        assertEquals(Place.Stop(inquiry), bench.trail.here)
        assertTrue(hub.halts.isNotEmpty())
    }

    @Test
    fun theHistoryIsReadPageByPage() {
        val walked = bench.on { walkedTomato() }
        for (day in 1..25) {
            bench.days(day)
            bench.on { askLater(walked.inquiry, "2026-12-01", "Question $day") }
        }
        val history = bench.shown(HistoryPresenter(bench.core, bench.trail, walked.inquiry))
        val first = checkNotNull(history.state)
        assertTrue(first.more && first.shown.size == 20, "${first.shown.size}")
        with(bench) { history.does { more() } }
        val both = checkNotNull(history.state)
        assertEquals(first.shown, both.shown.take(20))
        assertTrue(both.shown.size >= 26, "${both.shown.size}")
        assertFalse(both.more)
    }
}
