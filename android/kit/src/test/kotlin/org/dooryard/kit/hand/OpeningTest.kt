package org.dooryard.kit.hand

import org.dooryard.kit.Answer
import org.dooryard.kit.Desk
import org.dooryard.kit.Trouble
import org.dooryard.kit.TroubleKind
import org.junit.jupiter.api.AfterEach
import org.junit.jupiter.api.Assertions.assertEquals
import org.junit.jupiter.api.Assertions.assertTrue
import org.junit.jupiter.api.Test
import org.junit.jupiter.api.io.TempDir
import java.io.File
import java.nio.file.Path

class OpeningTest {
    @TempDir lateinit var dir: Path

    private val pocket by lazy { Pocket(dir, "phone") }

    @AfterEach
    fun end() = pocket.close()

    private fun asked(): Answer<*> {
        var told: Answer<*>? = null
        pocket.core.ask({ first() }) { told = it }
        pocket.settle()
        return told!!
    }

    private fun trouble(): Trouble = (asked() as Answer.Not).trouble

    @Test
    fun damagedRecordsAreToldUntilSomebodyOpensAgainAndTheFileThatWasKeptIsSavedElsewhere() {
        pocket.joins(Desk(dir.resolve("office")), "Scout 7")
        pocket.close()
        File(pocket.folder, "notebook.db").outputStream().use { it.write(ByteArray(9000) { 7 }) }
        val told = trouble()
        assertEquals(TroubleKind.DAMAGED, told.kind)
        assertTrue(told.atStart)
        val kept = File(told.keptAt)
        assertTrue(kept.exists())
        assertEquals(told, trouble(), "no empty notebook in its place before somebody has read that")

        val place = Place(dir.resolve("card.db").toFile())
        var saved: Answer<Unit>? = null
        pocket.errands.saveDamaged(kept, place) { saved = it }
        pocket.settle()
        assertTrue(saved is Answer.Done)
        assertTrue(place.file.readBytes().contentEquals(kept.readBytes()))
        assertEquals(told, trouble())

        pocket.core.openAgain()
        assertTrue(asked() is Answer.Done)
        assertTrue(kept.exists())
    }
}
