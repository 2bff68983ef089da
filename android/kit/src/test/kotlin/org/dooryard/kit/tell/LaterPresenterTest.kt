package org.dooryard.kit.tell

import org.dooryard.kit.Place
import org.dooryard.kit.TroubleKind
import org.junit.jupiter.api.Assertions.assertEquals
import org.junit.jupiter.api.Assertions.assertNull
import org.junit.jupiter.api.Assertions.assertTrue
import org.junit.jupiter.api.Test
import org.junit.jupiter.api.io.TempDir
import java.nio.file.Path
import java.time.LocalDate

class LaterPresenterTest {
    @TempDir lateinit var dir: Path
    private val bench by lazy { Bench(dir) }

    private fun later() = bench.shown(LaterPresenter(bench.core, bench.trail))

    private fun answer(inquiry: String, followUp: String) =
        bench.shown(AnswerPresenter(bench.core, bench.trail, bench.undoing, inquiry, followUp))

    @Test
    fun aQuestionIsPutDownForADayAndARefusedDayLosesNoWord() {
        val inquiry = bench.on { begin("phone") }
        bench.go(Place.Inquiry(inquiry), Place.AskLater(inquiry))
        bench.shown(AskLaterPresenter(bench.core, bench.trail, inquiry)).typed("Any new spots?")
        bench.recreated()
        val screen = bench.shown(AskLaterPresenter(bench.core, bench.trail, inquiry))
        assertEquals("Any new spots?", screen.question)
        with(bench) { screen.does { on(LocalDate.of(2026, 7, 1)) } }
        assertEquals(TroubleKind.REFUSED, screen.trouble?.kind)
        assertEquals("Any new spots?", screen.question)
        with(bench) { screen.does { on(LocalDate.of(2026, 7, 27)) } }
        assertEquals(Place.Inquiry(inquiry), bench.trail.here)
        assertEquals("Any new spots?", later().state?.waiting?.shown?.single()?.question)
        assertEquals("", bench.shown(AskLaterPresenter(bench.core, bench.trail, inquiry)).question)
    }

    @Test
    fun anAnswerIsKeptAsItIsTypedAndMovesToTheAnswered() {
        val inquiry = bench.on { begin("phone") }
        val id = bench.on { askLater(inquiry, "2026-07-20", "Any new spots?") }
        val screen = answer(inquiry, id)
        with(bench) { screen.does { typed("None since") }.does { isSo("recovered") } }
        assertEquals("None since", screen.state?.row?.answer)
        val lists = checkNotNull(later().state)
        assertTrue(lists.waiting.shown.isEmpty() && lists.waiting.none.isNotEmpty())
        assertEquals("recovered", lists.answered.shown.single().outcomes.single { it.chosen }.id)
        with(bench) { screen.does { left("None since the rain") } }
        val row = checkNotNull(screen.state?.row)
        assertEquals("None since the rain" to "recovered", row.answer to row.outcomes.single { it.chosen }.id)
        with(bench) { screen.does { typed("") } }
        assertTrue(checkNotNull(later().state).waiting.shown.isEmpty(), "how the plant is was answered all the same")
    }

    @Test
    fun anAnswerThatSpeaksOfDangerLeadsToTheStop() {
        val inquiry = bench.on { begin("phone") }
        val id = bench.on { askLater(inquiry, "2026-07-20", "Any new spots?") }
        bench.go(Place.Later, Place.Answer(inquiry, id))
        val screen = answer(inquiry, id)
        with(bench) { screen.does { left("Yes, but the dog ate some and is sick") } }
        assertEquals(Place.Stop(inquiry), bench.trail.here)
    }

    @Test
    fun aQuestionIsTakenAwayAndThatCanBeUndone() {
        val inquiry = bench.on { begin("phone") }
        val id = bench.on { askLater(inquiry, "2026-07-20", "Any new spots?") }
        bench.go(Place.Later, Place.Answer(inquiry, id))
        with(bench) { answer(inquiry, id).does { takeAway() } }
        assertEquals(Place.Later, bench.trail.here)
        assertTrue(later().state?.waiting?.shown.orEmpty().isEmpty())
        assertNull(answer(inquiry, id).state?.row)
        bench.undoing.bringBack()
        bench.settle()
        assertEquals(id, later().state?.waiting?.shown?.single()?.id)
    }

    @Test
    fun bothListsAreReadPageByPage() {
        val inquiry = bench.on { begin("phone") }
        bench.on {
            val ids = (1..50).map { askLater(inquiry, "2026-07-27", "Question $it") }
            ids.take(25).forEach { answerLater(it, "Yes", "", "same") }
        }
        val screen = later()
        assertEquals(listOf(20, 20), sizes(screen))
        with(bench) { screen.does { moreAnswered() } }
        assertEquals(listOf(20, 25), sizes(screen))
        with(bench) { screen.does { moreWaiting() } }
        assertEquals(listOf(25, 25), sizes(screen))
    }

    private fun sizes(screen: LaterPresenter) = screen.state?.let { listOf(it.waiting.shown.size, it.answered.shown.size) }
}
