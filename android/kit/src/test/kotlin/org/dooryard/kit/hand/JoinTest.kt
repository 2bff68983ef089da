package org.dooryard.kit.hand

import org.dooryard.core.Enrolling
import org.dooryard.core.EnrolmentView
import org.dooryard.kit.Desk
import org.dooryard.kit.join.JoinPresenter
import org.dooryard.kit.join.Luminance
import org.dooryard.kit.join.Picture
import org.dooryard.kit.join.Qr
import org.dooryard.kit.join.Square
import org.junit.jupiter.api.AfterEach
import org.junit.jupiter.api.Assertions.assertEquals
import org.junit.jupiter.api.Assertions.assertFalse
import org.junit.jupiter.api.Assertions.assertNotNull
import org.junit.jupiter.api.Assertions.assertNull
import org.junit.jupiter.api.Assertions.assertTrue
import org.junit.jupiter.api.Test
import org.junit.jupiter.api.io.TempDir
import java.nio.file.Path

class JoinTest {
    @TempDir lateinit var dir: Path

    private val desk by lazy { Desk(dir.resolve("office")) }
    private val pocket by lazy { Pocket(dir, "phone") }

    @AfterEach
    fun end() = pocket.close()

    private fun screen() = pocket.show(JoinPresenter(pocket.core, pocket.trail, pocket.errands))

    private fun JoinPresenter.pastes(code: String) = apply {
        paste(code)
        pocket.settle()
    }

    private fun JoinPresenter.sees(picture: Picture) = apply {
        look(picture)
        pocket.settle()
    }

    /** A code as a camera sees it: [points] points a field, gray on less gray. */
    private fun picture(square: Square, points: Int = 5): Picture = Picture {
        val side = square.size * points
        Luminance(ByteArray(side * side) { if (square.isDark(it % side / points, it / side / points)) 70 else 180.toByte() }, side, side)
    }

    @Test
    fun aPastedCodeSaysWhoSentItAndIsTakenOnlyAfterTheWordsWereCompared() {
        val screen = screen()
        assertEquals(Enrolling.NOT_INVITED, screen.state!!.screen.standing)
        screen.pastes(desk.invite("Scout 7"))
        val seen = screen.state!!.screen
        assertTrue(seen.toConfirm)
        assertEquals(listOf("Larkspur County", "Scout", "Scout 7"), seen.facts.map { it.text })
        assertEquals(6, seen.words.size)
        assertEquals(EnrolmentView.NotInvited, pocket.asked { enrolment() }, "looking takes nothing")

        pocket.killed()
        val again = screen()
        assertFalse(again.state!!.screen.toConfirm)
        assertTrue(again.state!!.typed.startsWith("DY1:"), "the code stands there still")
        again.read()
        pocket.settle()
        assertEquals(seen, again.state!!.screen)
        again.join()
        pocket.settle()
        assertEquals(Enrolling.ASKING, again.state!!.screen.standing)
        assertEquals(seen.words, again.state!!.screen.words)
        assertEquals("", again.state!!.typed)

        val ask = again.state!!.screen.ask
        assertEquals(ask, Qr.read(picture(again.state!!.square!!).luminance()!!), "the office's camera reads the square")
        again.sees(picture(Qr.of(desk.admit(ask))!!))
        assertEquals(Enrolling.ENROLLED, again.state!!.screen.standing)
        assertNull(again.state!!.square)
        assertNull(again.trouble)
    }

    @Test
    fun otherWordsLeaveThePhoneAsItWas() {
        val screen = screen().pastes(desk.invite("Scout 7"))
        screen.leave()
        pocket.settle()
        assertFalse(screen.state!!.screen.toConfirm)
        assertEquals("", screen.state!!.typed)
        assertEquals(EnrolmentView.NotInvited, pocket.asked { enrolment() })
    }

    @Test
    fun goingBackFromACodeLeavesItInTheField() {
        val code = desk.invite("Scout 7")
        val screen = screen().pastes(code)
        screen.unlook()
        pocket.settle()
        assertFalse(screen.state!!.screen.toConfirm)
        assertEquals(code, screen.state!!.typed)
    }

    @Test
    fun whatIsNoCodeIsRefusedInWordsAndStaysInTheField() {
        val code = desk.invite("Scout 7")
        val screen = screen()
        screen.typed(code.dropLast(9))
        screen.read()
        pocket.settle()
        assertTrue(screen.trouble!!.sentence!!.en.isNotEmpty())
        assertFalse(screen.state!!.screen.toConfirm)
        val again = screen()
        assertEquals(code.dropLast(9), again.state!!.typed)
        again.sees(Picture { Luminance(ByteArray(10_000) { (it % 251).toByte() }, 100, 100) })
        assertTrue(again.notSeen)
        again.sees { null }
        assertTrue(again.notSeen)
        again.sees(picture(Qr.of(code)!!))
        assertFalse(again.notSeen)
        assertTrue(again.state!!.screen.toConfirm, "a picture of it is as good")
    }

    @Test
    fun anAnswerForAnotherPhoneIsRefusedAndANewInvitationOfTheSameOfficeIsShown() {
        val screen = screen().pastes(desk.invite("Scout 7"))
        screen.join()
        pocket.settle()
        val theirs = Pocket(dir, "other").use { other ->
            val asking = other.asked { join(desk.invite("Scout 8")) } as EnrolmentView.Asking
            desk.admit(asking.ask)
        }
        screen.pastes(theirs)
        assertNotNull(screen.trouble!!.sentence)
        assertEquals(Enrolling.ASKING, screen.state!!.screen.standing)
        screen.pastes(desk.invite("Scout 9"))
        assertTrue(screen.state!!.screen.toConfirm)
        assertEquals("Scout 9", screen.state!!.screen.facts.last().text)
        screen.join()
        pocket.settle()
        assertEquals("Scout 9", screen.state!!.screen.facts.last().text)
    }

    @Test
    fun aPictureThatCameWhileNobodyWasOnTheScreenIsReadOnTheNext() {
        val first = screen()
        first.look(picture(Qr.of(desk.invite("Scout 7"))!!))
        first.stop()
        pocket.settle()
        val next = screen()
        pocket.settle()
        assertTrue(next.state!!.screen.toConfirm)
    }

    @Test
    fun aSquareHoldsTheLongestCodesAndNothingForNone() {
        assertNull(Qr.of(""))
        assertNull(Qr.of("A".repeat(5_000)))
        val long = "DY1:" + "0123456789".repeat(200)
        assertEquals(long, Qr.read(picture(Qr.of(long)!!, points = 4).luminance()!!))
    }
}
