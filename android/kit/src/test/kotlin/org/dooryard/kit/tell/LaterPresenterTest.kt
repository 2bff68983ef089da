package org.dooryard.kit.tell

import org.dooryard.kit.Place
import org.dooryard.kit.TroubleKind
import org.junit.jupiter.api.Assertions.assertEquals
import org.junit.jupiter.api.Assertions.assertNull
import org.junit.jupiter.api.Assertions.assertTrue
import org.junit.jupiter.api.Test
import org.junit.jupiter.api.io.TempDir
import java.nio.file.Path

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
        val first = bench.shown(AskLaterPresenter(bench.core, bench.trail, inquiry))
        with(bench) { first.does { withQuestion { throw AssertionError("there is none") } } }
        assertTrue(first.asksFirst)
        first.typed("Any new spots?")
        assertEquals("Any new spots?", bench.killed { laterForm(inquiry) }.question)
        bench.recreated()
        val screen = bench.shown(AskLaterPresenter(bench.core, bench.trail, inquiry))
        assertEquals("Any new spots?" to "", screen.state?.form?.question to screen.due)
        with(bench) { screen.does { on("2026-07-01") } }
        assertEquals(TroubleKind.REFUSED, screen.trouble?.kind)
        assertEquals("Any new spots?", screen.state?.form?.question)
        with(bench) { screen.does { take("2026-07-27") } }
        assertEquals("2026-07-27", bench.killed { laterForm(inquiry) }.due)
        with(bench) { screen.does { withQuestion { on(due) } } }
        assertEquals(Place.Inquiry(inquiry), bench.trail.here)
        assertEquals("Any new spots?", later().state?.waiting?.shown?.single()?.question)
        assertEquals("", bench.shown(AskLaterPresenter(bench.core, bench.trail, inquiry)).state?.form?.question)
    }

    @Test
    fun anAnswerIsKeptAsItIsTypedAndMovesToTheAnsweredWhenSomebodySaysSo() {
        val inquiry = bench.on { begin("phone") }
        val id = bench.on { askLater(inquiry, "2026-07-20", "Any new spots?") }
        bench.go(Place.Later, Place.Answer(inquiry, id))
        val screen = answer(inquiry, id)
        with(bench) { screen.does { answered() } }
        assertTrue(screen.saysFirst && bench.trail.here is Place.Answer, "nothing was said")
        screen.typed(AnswerField.ANSWER, "None since")
        screen.typed(AnswerField.DID, "Cut it")
        val kept = bench.killed { later(false, "", 20u) }.rows.single()
        assertEquals("None since" to "Cut it", kept.answer to kept.did)
        val again = answer(inquiry, id)
        assertEquals("None since" to "Cut it", again.state?.row?.answer to again.state?.row?.did)
        with(bench) { again.does { left(AnswerField.OUTCOME, "recovered") } }
        assertEquals("recovered", bench.killed { later(false, "", 20u) }.rows.single().outcomes.single { it.chosen }.id)
        again.typed(AnswerField.ANSWER, "None since the rain")
        with(bench) { again.does { answered() } }
        assertEquals(Place.Later, bench.trail.here)
        val lists = checkNotNull(later().state)
        assertTrue(lists.waiting.shown.isEmpty() && lists.waiting.none.isNotEmpty())
        val row = lists.answered.shown.single()
        assertEquals(listOf("None since the rain", "Cut it", "recovered"), listOf(row.answer, row.did, row.outcomes.single { it.chosen }.id))
        with(bench) { answer(inquiry, id).does { left(AnswerField.ANSWER, "None at all") } }
        assertEquals("None at all", checkNotNull(later().state).answered.shown.single().answer, "it stays answered")
    }

    @Test
    fun anAnswerThatSpeaksOfDangerLeadsToTheStop() {
        val inquiry = bench.on { begin("phone") }
        val id = bench.on { askLater(inquiry, "2026-07-20", "Any new spots?") }
        bench.go(Place.Later, Place.Answer(inquiry, id))
        val screen = answer(inquiry, id)
        with(bench) { screen.does { left(AnswerField.ANSWER, "Yes, but the dog ate some and is sick") } }
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
