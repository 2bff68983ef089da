package org.dooryard.kit.records

import java.nio.file.Path
import org.dooryard.kit.Place
import org.dooryard.kit.tell.Bench
import org.dooryard.kit.tell.Walked
import org.dooryard.kit.tell.disagree
import org.dooryard.kit.tell.walkedTomato
import org.dooryard.kit.text
import org.junit.jupiter.api.Assertions.assertEquals
import org.junit.jupiter.api.Assertions.assertFalse
import org.junit.jupiter.api.Assertions.assertTrue
import org.junit.jupiter.api.Test
import org.junit.jupiter.api.io.TempDir

class ConflictsPresenterTest {
    @TempDir lateinit var dir: Path
    private val bench by lazy { Bench(dir) }

    private fun disagreed(): Walked {
        val walked = bench.on { walkedTomato() }
        bench.onNotebook { disagree(walked, bench.phone, bench.secrets) }
        return walked
    }

    private fun conflicts(inquiry: String?) = bench.shown(ConflictsPresenter(bench.core, bench.trail, inquiry))

    @Test
    fun oneValueIsKeptAndTheOtherStaysInTheHistory() {
        val walked = disagreed()
        val screen = conflicts(null)
        val row = checkNotNull(screen.state).rows.first { it.field == "affected" }
        assertEquals(setOf("9", "12"), row.wrote.map { it.what }.toSet())
        assertTrue(screen.ofAll && row.inquiry == walked.inquiry)
        screen.turnNote(row)
        assertFalse(screen.asNote(row), "a plant has no note")
        with(bench) { screen.does { keep(row, row.choices.first { "9" in it.text }.id) } }
        assertEquals(listOf("minutes"), checkNotNull(screen.state).rows.map { it.field })
        assertEquals("9", bench.onNotebook { show(walked.plant) }.text("affected"))
    }

    @Test
    fun bothAreKeptOneAsANoteAlsoWhenTheWindowWasTakenAwayBetween() {
        val walked = disagreed()
        bench.go(Place.Conflicts(walked.inquiry))
        val row = checkNotNull(conflicts(walked.inquiry).state).rows.first { it.field == "minutes" }
        conflicts(walked.inquiry).turnNote(row)
        bench.recreated()
        val screen = conflicts(walked.inquiry)
        assertTrue(screen.asNote(row))
        assertFalse(screen.ofAll)
        with(bench) { screen.does { keep(row, row.choices.first { "12" in it.text }.id) } }
        val visit = bench.onNotebook { show(row.record) }
        assertEquals("12", visit.text("minutes"))
        assertTrue("9" in visit.text("note").orEmpty(), visit.text("note"))
    }
}
