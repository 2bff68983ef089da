package org.dooryard.kit.tell

import org.dooryard.core.AskField
import org.dooryard.core.Form
import org.dooryard.kit.Place
import org.dooryard.kit.TroubleKind
import org.junit.jupiter.api.Assertions.assertEquals
import org.junit.jupiter.api.Assertions.assertFalse
import org.junit.jupiter.api.Assertions.assertNull
import org.junit.jupiter.api.Assertions.assertTrue
import org.junit.jupiter.api.Test
import org.junit.jupiter.api.io.TempDir
import java.nio.file.Path

class SamplePresenterTest {
    @TempDir lateinit var dir: Path
    private val bench by lazy { Bench(dir) }

    private fun samples(inquiry: String) = bench.shown(SamplePresenter(bench.core, bench.trail, bench.undoing, inquiry))

    private fun List<AskField>.at(name: String) = first { it.name == name }.text

    @Test
    fun aSampleIsTakenWithWhatWasPutInAndHandedOver() {
        val walked = bench.on { walkedTomato() }
        bench.go(Place.Sample(walked.inquiry))
        samples(walked.inquiry).run {
            turnTaking()
            typed(SampleField.PART, "low leaves")
            left(SampleField.PIECES, "2.5")
            typed(SampleField.SEAL, "A-7")
            left(SampleField.COOL, "yes")
        }
        val kept = bench.killed { samples(walked.inquiry) }
        assertEquals(listOf("low leaves", "2.5", "A-7", "yes"), kept.fields.map { it.text })
        bench.recreated()
        val screen = samples(walked.inquiry)
        assertEquals(kept.fields, screen.state?.fields)
        assertTrue(screen.taking && screen.piecesBad)
        assertEquals(walked.plant, screen.plant, "the only plant")
        with(bench) { screen.does { taken() } }
        assertTrue(checkNotNull(screen.state).samples.isEmpty(), "half a piece is none")
        with(bench) { screen.does { left(SampleField.PIECES, "4") }.does { taken() } }
        val card = checkNotNull(screen.state).samples.single()
        val label = card.label.joinToString { it.text }
        assertTrue("4" in label && "A-7" in label && "Tomato" in label, label)
        assertFalse(screen.taking)
        assertTrue(checkNotNull(screen.state).fields.all { it.text.isEmpty() }, "the next one begins anew")
        screen.turnHanding(card.id)
        with(bench) { screen.does { handedOver() } }
        assertEquals(TroubleKind.REFUSED, screen.trouble?.kind, "nobody took it")
        screen.typed(Form.CUSTODY, card.id, SampleField.TO, "Office")
        screen.typed(Form.CUSTODY, card.id, SampleField.CONDITION, "cool, dry")
        val handing = bench.killed { samples(walked.inquiry) }.samples.single().handing
        assertEquals("Office" to "cool, dry", handing.at(SampleField.TO) to handing.at(SampleField.CONDITION))
        with(bench) { screen.does { handedOver() } }
        val chain = checkNotNull(screen.state).samples.single().chain
        assertEquals("Cool, dry", chain.last().line)
        assertEquals("", screen.handing)
        assertNull(screen.trouble)
    }

    @Test
    fun whatIsWrittenOfASampleLaterIsKeptAsItIsTyped() {
        val walked = bench.on { walkedTomato() }
        val id = bench.on { takeSample(walked.inquiry, walked.plant, "roots", 0u, "", false) }.samples.single().id
        val screen = samples(walked.inquiry)
        with(bench) { screen.does { typed(Form.SAMPLE, id, "accession", "L-7") }.does { typed(Form.SAMPLE, id, "disposal", "Burned") } }
        val kept = bench.killed { samples(walked.inquiry) }.samples.single().fields
        assertEquals("L-7" to "Burned", kept.at("accession") to kept.at("disposal"))
        assertEquals(kept, samples(walked.inquiry).state?.samples?.single()?.fields)
        with(bench) { screen.does { left(Form.SAMPLE, id, SampleField.SEAL, "A-9") } }
        assertTrue(checkNotNull(screen.state).samples.single().label.any { it.text == "A-9" }, "and written when it is left")
    }
}
