package org.dooryard.kit

import org.dooryard.core.CancelToken
import org.dooryard.core.NotebookException
import org.dooryard.core.Retry
import org.dooryard.core.Way
import org.junit.jupiter.api.Assertions.assertEquals
import org.junit.jupiter.api.Assertions.assertFalse
import org.junit.jupiter.api.Assertions.assertThrows
import org.junit.jupiter.api.Assertions.assertTrue
import org.junit.jupiter.api.Test
import org.junit.jupiter.api.io.TempDir
import java.nio.file.Files
import java.nio.file.Path

class BundleTest {
    @TempDir lateinit var dir: Path

    @Test
    fun goesToTheOfficeAndTheReplyComesBack() {
        val desk = Desk(dir.resolve("office"))
        desk.newPhone(dir.resolve("phone"), "Scout 7").use { notebook ->
            val saved = lookAtAMaple(notebook, "Scout 7")
            val (bundle, reply) = dir.resolve("out.yard") to dir.resolve("reply.yard")
            val summary = notebook.makeBundle(bundle.toString())
            assertEquals(Way.HANDED_OVER, notebook.way(saved.inquiry))

            desk.takeIn(bundle)
            desk.reply("Scout 7", reply)
            val steps = Steps()
            val taken = notebook.takeReply(reply.toString(), null, steps)
            assertEquals(summary.changes, taken.received)
            assertEquals(2uL, taken.photosReceived, "the photo and its thumbnail")
            assertTrue(taken.waiting.isEmpty())
            assertFalse(taken.restored)
            assertTrue(steps.seen.isNotEmpty())
            assertEquals(Way.OFFICE_HAS_IT, notebook.way(saved.inquiry))

            val stale = assertThrows(NotebookException.Refused::class.java) { notebook.takeReply(bundle.toString()) }
            assertEquals(Retry.NEVER, stale.retry)
            assertTrue(stale.sentence.en.isNotEmpty() && stale.sentence.es.isNotEmpty())
        }
    }

    @Test
    fun leavesABundleForTheOneOfficeThatTakesInEveryPhone() {
        val folder = phonesDir.resolve("kotlin-phone")
        folder.toFile().deleteRecursively()
        val bundle = phonesDir.resolve("kotlin.yard")
        Desk(phonesDir.resolve("office")).newPhone(folder, "Scout 1", MemorySecrets(knownSecrets)).use { notebook ->
            lookAtAMaple(notebook, "Scout 1")
            val steps = Steps()
            val summary = notebook.makeBundle(bundle.toString(), null, steps)
            assertEquals(5uL, summary.changes)
            assertEquals(2uL, summary.photos)
            assertEquals(Files.size(bundle).toULong(), summary.bytes)
            assertEquals("Larkspur County", summary.toOffice)

            assertTrue(steps.seen.isNotEmpty())
            assertEquals(steps.seen.sortedBy { it.first }, steps.seen, "steps only go forward")
            assertTrue(steps.seen.all { (done, total) -> done in 0..total })
        }
    }

    @Test
    fun stopsWhenAskedAndLeavesNoFile() {
        val out = dir.resolve("out.yard")
        Desk(dir.resolve("office")).newPhone(dir.resolve("phone"), "Scout 7").use { notebook ->
            val saved = lookAtAMaple(notebook, "Scout 7")
            CancelToken().use { token ->
                token.cancel()
                assertThrows(NotebookException.Cancelled::class.java) { notebook.makeBundle(out.toString(), token) }
            }
            CancelToken().use { token ->
                val steps = Steps { token.cancel() }
                assertThrows(NotebookException.Cancelled::class.java) { notebook.makeBundle(out.toString(), token, steps) }
                assertEquals(1, steps.seen.size, "stopped at the first step")
            }
            assertFalse(Files.exists(out))
            assertEquals(Way.ON_THIS_PHONE, notebook.way(saved.inquiry))
        }
    }

    @Test
    fun aListenerThatFailsStopsTheWorkInsteadOfTheProgram() {
        val out = dir.resolve("out.yard")
        Desk(dir.resolve("office")).newPhone(dir.resolve("phone"), "Scout 7").use { notebook ->
            lookAtAMaple(notebook, "Scout 7")
            val broken = Steps { error("the screen is gone") }
            assertThrows(NotebookException.ListenerFailed::class.java) { notebook.makeBundle(out.toString(), null, broken) }
            val refusing = Steps { throw NotebookException.Cancelled() }
            assertThrows(NotebookException.Cancelled::class.java) { notebook.makeBundle(out.toString(), null, refusing) }
            assertFalse(Files.exists(out))
            assertTrue(notebook.makeBundle(out.toString()).bytes > 0uL, "and it can be made afterwards")
        }
    }

    @Test
    fun whatIsNoReplyIsRefusedWithACode() {
        Desk(dir.resolve("office")).newPhone(dir.resolve("phone"), "Scout 7").use { notebook ->
            val noise = Files.writeString(dir.resolve("noise.yard"), "not a bundle at all, but long enough to be one".repeat(9))
            val e = assertThrows(NotebookException.Refused::class.java) { notebook.takeReply(noise.toString()) }
            assertEquals("BAD_MAGIC", e.code)
        }
    }
}
