package org.dooryard.kit.records

import org.dooryard.core.InquiryFilter
import org.dooryard.kit.Jotted
import org.dooryard.kit.Place
import org.dooryard.kit.tell.Bench
import org.dooryard.kit.tell.walkedTomato
import org.junit.jupiter.api.Assertions.assertEquals
import org.junit.jupiter.api.Assertions.assertFalse
import org.junit.jupiter.api.Assertions.assertTrue
import org.junit.jupiter.api.Test
import org.junit.jupiter.api.io.TempDir
import java.nio.file.Path

class RecordsPresenterTest {
    @TempDir lateinit var dir: Path
    private val bench by lazy { Bench(dir) }

    private fun records() = bench.shown(RecordsPresenter(bench.core, bench.trail))

    @Test
    fun theListIsReadPageByPageAndStaysAsLongAsItWasWhenSomebodyComesBack() {
        val all = bench.on { (1..45).map { begin("phone") } }
        bench.go(Place.Records)
        val list = records()
        assertEquals(20, list.state?.shown?.size)
        with(bench) { list.does { more() }.does { more() } }
        assertEquals(all.reversed(), list.state?.shown?.map { it.id })
        assertEquals(false, list.state?.more)
        bench.recreated()
        assertEquals(45, records().state?.shown?.size)
    }

    @Test
    fun wordsAndAFilterNarrowItAndAreThereAgainAfterTheWindowWasTakenAway() {
        val (tomato, empty) = bench.on { walkedTomato("Curled and purple") to begin("phone") }
        bench.on { finish(tomato.inquiry) }
        bench.go(Place.Records)
        val list = records()
        assertEquals(2, list.state?.shown?.size)
        with(bench) { list.does { search("purp") } }
        assertEquals(listOf(tomato.inquiry), list.state?.shown?.map { it.id })
        with(bench) { list.does { search("nobody said this") } }
        assertTrue(list.state?.none.orEmpty().isNotEmpty())
        with(bench) { list.does { search("") }.does { only(InquiryFilter.UNFINISHED) } }
        assertEquals(listOf(empty), list.state?.shown?.map { it.id })
        with(bench) { list.does { search("xyz") } }
        bench.recreated()
        val again = records()
        assertEquals("xyz" to InquiryFilter.UNFINISHED, again.words to again.filter)
        assertEquals(emptyList<String>(), again.state?.shown?.map { it.id })
    }

    @Test
    fun whatWasTakenAwayIsInTheBinAndComesBack() {
        val walked = bench.on { walkedTomato().also { takeAway(it.inquiry) } }
        val bin = bench.shown(BinPresenter(bench.core, bench.trail, bench.undoing))
        assertEquals(listOf(walked.inquiry), bin.state?.shown?.map { it.record })
        with(bench) { bin.does { bringBack(walked.inquiry) } }
        assertTrue(bin.state?.none.orEmpty().isNotEmpty())
        assertEquals(listOf(walked.inquiry), records().state?.shown?.map { it.id })
    }

    @Test
    fun whatIsJottedBelongsToItsPlaceAndIsForgottenWithIt() {
        val (one, other) = Place.Sample("a") to Place.Sample("ab")
        val jotted = Jotted()
        jotted[one, "words"] = "two\nlines"
        jotted.turn(other, "tick")
        val back = Jotted(jotted.lines)
        assertEquals("two\nlines", back[one, "words"])
        back.forget(one)
        assertEquals("", back[one, "words"])
        assertTrue(back.isTicked(other, "tick"))
        back.turn(other, "tick")
        assertFalse(back.isTicked(other, "tick"))
    }
}
