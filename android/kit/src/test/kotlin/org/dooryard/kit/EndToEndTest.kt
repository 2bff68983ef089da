package org.dooryard.kit

import org.dooryard.core.EnrolmentView
import org.dooryard.core.FieldNotebook
import org.dooryard.core.Kind
import org.dooryard.core.NotebookException
import org.dooryard.core.Way
import org.junit.jupiter.api.Assertions.assertEquals
import org.junit.jupiter.api.Assertions.assertThrows
import org.junit.jupiter.api.Assertions.assertTrue
import org.junit.jupiter.api.Test
import org.junit.jupiter.api.io.TempDir
import java.nio.file.Path

/** The life of a phone that is lost twice, with a real office. */
class EndToEndTest {
    @TempDir lateinit var dir: Path

    @Test
    fun aPhoneTakenOnByTextsLosesItsFolderAndNothingIsLost() {
        val desk = Desk(dir.resolve("office"))
        val secrets = MemorySecrets()
        val folder = dir.resolve("phone")
        val backup = dir.resolve("phone.backup").toString()
        val site = """{"township": "Sedge"}"""
        fun handOver(notebook: FieldNotebook, name: String) {
            val (bundle, reply) = dir.resolve("$name.yard") to dir.resolve("$name-reply.yard")
            notebook.makeBundle(bundle.toString())
            desk.takeIn(bundle)
            desk.reply("Scout 7", reply)
            notebook.takeReply(reply.toString())
        }

        val (enrolled, before) = FieldNotebook.create(folder.toString(), secrets).use { notebook ->
            val asking = notebook.join(desk.invite("Scout 7")) as EnrolmentView.Asking
            notebook.takeAnswer(desk.admit(asking.ask))
            lookAtAMaple(notebook, "Scout 7")
            handOver(notebook, "first")
            notebook.save(Kind.SITE, null, site)
            notebook.addPhoto(leafPhoto.toString(), """{"part": "whole"}""")
            notebook.backUp(backup)
            notebook.enrolment() to everything(notebook)
        }
        assertEquals(7, before.size)

        // All is lost but the key, which stands where no copy of the platform's reaches.
        loseAllButTheKey(folder)
        val all = FieldNotebook.restoreBackup(folder.toString(), backup, secrets, null, Steps()).use { notebook ->
            assertEquals(before, everything(notebook))
            assertEquals(enrolled, notebook.enrolment())
            assertEquals(photosOf(before), photosIn(folder))
            notebook.save(Kind.SITE, null, site)
            handOver(notebook, "second")
            val sent = everything(notebook).keys
            assertEquals(8, sent.size)
            assertTrue(sent.all { notebook.way(it) == Way.OFFICE_HAS_IT })
            assertEquals(sent, desk.records())
            val unsent = notebook.save(Kind.SITE, null, site)
            notebook.backUp(backup)
            sent + unsent
        }

        // The key is lost too: only the office opens the backup, and what was never handed over is there.
        folder.toFile().deleteRecursively()
        assertThrows(NotebookException.NotFound::class.java) { FieldNotebook.restoreBackup(folder.toString(), backup, secrets) }
        desk.takeBackup(Path.of(backup))
        assertEquals(all, desk.records())
    }
}
