package org.dooryard.kit.tell

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

    private fun samples(inquiry: String) = bench.shown(SamplePresenter(bench.core, bench.trail, org.dooryard.kit.Undoing(bench.core), inquiry))

    @Test
    fun aSampleIsTakenWithWhatWasPutInAndHandedOver() {
        val walked = bench.on { walkedTomato() }
        bench.go(Place.Sample(walked.inquiry))
        samples(walked.inquiry).run {
            turnTaking()
            typed(SampleField.PART, "low leaves")
            left(SampleField.PIECES, "2.5")
            typed(SampleField.SEAL, "A-7")
            turnCool()
        }
        bench.recreated()
        val screen = samples(walked.inquiry)
        assertTrue(screen.taking && screen.cool && screen.piecesBad)
        assertEquals(walked.plant, screen.plant, "the only plant")
        with(bench) { screen.does { taken() } }
        assertTrue(checkNotNull(screen.state).screen.samples.isEmpty(), "half a piece is none")
        with(bench) { screen.does { left(SampleField.PIECES, "4") }.does { taken() } }
        val card = checkNotNull(screen.state).screen.samples.single()
        val label = card.label.joinToString { it.text }
        assertTrue("4" in label && "A-7" in label && "Tomato" in label, label)
        assertFalse(screen.taking)
        screen.turnHanding(card.id)
        with(bench) { screen.does { handedOver() } }
        assertEquals(TroubleKind.REFUSED, screen.trouble?.kind, "nobody took it")
        screen.typed(SampleField.TO, "Office")
        screen.typed(SampleField.CONDITION, "cool, dry")
        with(bench) { screen.does { handedOver() } }
        val chain = checkNotNull(screen.state).screen.samples.single().chain
        assertEquals("Cool, dry", chain.last().line)
        assertEquals("", screen.handing)
        assertNull(screen.trouble)
    }
}
