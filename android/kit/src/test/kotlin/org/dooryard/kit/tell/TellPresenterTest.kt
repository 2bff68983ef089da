package org.dooryard.kit.tell

import org.dooryard.kit.Place
import org.dooryard.kit.TroubleKind
import org.junit.jupiter.api.Assertions.assertEquals
import org.junit.jupiter.api.Assertions.assertFalse
import org.junit.jupiter.api.Assertions.assertTrue
import org.junit.jupiter.api.Test
import org.junit.jupiter.api.io.TempDir
import java.nio.file.Files
import java.nio.file.Path

class TellPresenterTest {
    @TempDir lateinit var dir: Path
    private val bench by lazy { Bench(dir) }

    private fun tell(walked: Walked) = bench.shown(TellPresenter(bench.core, bench.trail, walked.inquiry, walked.plant))

    private fun letter(walked: Walked) = bench.shown(LetterPresenter(bench.core, bench.trail, walked.inquiry, walked.plant))

    @Test
    fun whatWasTickedIsWrittenWithTheTellingAndNotBefore() {
        val walked = bench.on { walkedTomato() }
        bench.go(Place.Inquiry(walked.inquiry), Place.Tell(walked.inquiry, walked.plant))
        val screen = tell(walked)
        assertTrue(screen.canTell && !screen.wasTold)
        assertEquals("spoken", screen.way)
        assertTrue(screen.asksAgain, "on the day of the pack")
        with(bench) { screen.does { turnToldBack() }.does { asksOn("") }.does { by("print") } }
        val kept = bench.killed { tell(walked.inquiry, walked.plant) }
        assertTrue(kept.readBack && kept.due.isEmpty() && kept.ways.single { it.chosen }.id == "print", "$kept")
        bench.recreated()
        val again = tell(walked)
        assertTrue(again.toldBack && !again.asksAgain && again.way == "print", "ticks came along")
        assertTrue(bench.on { inquiry(walked.inquiry) }.told.isEmpty(), "nothing was told yet")
        with(bench) { again.does { told() } }
        val before = checkNotNull(again.state).screen.before.single()
        assertTrue("print" in before.label, before.label)
        assertFalse(again.toldBack, "the next telling begins anew")
        assertTrue(bench.on { inquiry(walked.inquiry) }.later.isEmpty(), "nobody asks again")
        assertFalse(again.asksAgain, "nor does the next one ask unless somebody says so")
        val day = checkNotNull(again.state).days.first()
        with(bench) { again.does { asksOn(day.id) }.does { told() } }
        val later = bench.on { inquiry(walked.inquiry) }.later.single()
        assertEquals(again.state?.screen?.question, later.question)
        assertTrue(again.state?.screen?.asked.orEmpty().isNotEmpty() && !again.asksAgain, "a question waits already")
    }

    @Test
    fun aPlantThatIsNotKnownHasNothingToTellAndSaysWhy() {
        val (inquiry, plant) = bench.on {
            val inquiry = begin("phone")
            inquiry to checkNotNull(writePlant(inquiry, null, "cultivar", "Red one", true).plant)
        }
        val screen = tell(Walked(inquiry, plant))
        assertTrue(screen.state?.screen?.held.orEmpty().isNotEmpty())
        assertFalse(screen.canTell)
        assertFalse(letter(Walked(inquiry, plant)).goesOut)
    }

    @Test
    fun aPartOfTheLetterIsSaidOtherwiseAndBothWordingsAreOneTapAway() {
        val walked = bench.on { walkedTomato() }
        bench.go(Place.Letter(walked.inquiry, walked.plant))
        val screen = letter(walked)
        val piece = checkNotNull(screen.state).pieces.first()
        with(bench) { screen.does { typed(piece.id, "Good morning, ") }.does { left(piece.id, "Good morning, neighbor.") } }
        val said = checkNotNull(screen.state).pieces.first()
        assertTrue(said.changed && "Good morning, neighbor." in checkNotNull(screen.state).text)
        with(bench) { screen.does { giveBack(said) } }
        val given = checkNotNull(screen.state).pieces.first()
        assertEquals(piece.given, given.text)
        assertEquals("Good morning, neighbor.", screen.ownWords(given))
        bench.recreated()
        val again = letter(walked)
        with(bench) { again.does { takeOwn(given) } }
        assertEquals("Good morning, neighbor.", checkNotNull(again.state).pieces.first().text)
        val english = checkNotNull(again.state).text
        with(bench) { again.does { speak("es") } }
        assertTrue(checkNotNull(again.state).text != english && again.state?.languages?.last()?.chosen == true)
        assertFalse(checkNotNull(again.state).pieces.first().changed, "the other language has its own words")
    }

    @Test
    fun aCauseIsLeftOutAndToldAgain() {
        val walked = bench.on { walkedTomato() }
        val screen = letter(walked)
        val cause = checkNotNull(screen.state).causes.first()
        val told = checkNotNull(screen.state).text
        with(bench) { screen.does { turnCause(cause.id) } }
        assertFalse(checkNotNull(screen.state).causes.first().chosen)
        assertTrue(checkNotNull(screen.state).text != told)
        with(bench) { screen.does { turnCause(cause.id) } }
        assertEquals(told, checkNotNull(screen.state).text)
    }

    @Test
    fun theFilesOfALetterTakeThePlaceOfAnEarlierOnes() {
        val walked = bench.on { walkedTomato() }
        val folder = Files.createDirectories(dir.resolve("shared")).toFile()
        val old = folder.resolve("old.txt").apply { writeText("an earlier letter") }
        var files = emptyList<java.io.File>()
        with(bench) { letter(walked).does { files(folder) { files = it } } }
        assertEquals(listOf("html", "txt"), files.map { it.extension })
        assertTrue(files.all { it.length() > 500 } && !old.exists())
    }

    @Test
    fun aRefusalIsSaidAndNothingOnTheScreenIsLost() {
        val walked = bench.on { walkedTomato() }
        val screen = tell(walked)
        with(bench) { screen.does { by("print") }.does { asksOn("2026-07-01") }.does { told() } }
        assertEquals(TroubleKind.REFUSED, screen.trouble?.kind, "the day is past")
        assertTrue(screen.canTell && screen.way == "print" && screen.state?.screen?.due == "2026-07-01")
        assertTrue(bench.on { inquiry(walked.inquiry) }.told.isEmpty())
    }
}
