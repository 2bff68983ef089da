package org.dooryard.kit

import org.dooryard.core.CancelToken
import org.dooryard.core.FieldNotebook
import org.dooryard.core.Kind
import org.dooryard.core.LetGo
import org.dooryard.core.ListRequest
import org.dooryard.core.NotebookException
import org.junit.jupiter.api.Assertions.assertEquals
import org.junit.jupiter.api.Assertions.assertFalse
import org.junit.jupiter.api.Assertions.assertNotEquals
import org.junit.jupiter.api.Assertions.assertThrows
import org.junit.jupiter.api.Assertions.assertTrue
import org.junit.jupiter.api.Test
import org.junit.jupiter.api.io.TempDir
import java.nio.file.Files
import java.nio.file.Path

class KeptTest {
    @TempDir lateinit var dir: Path

    private val desk by lazy { Desk(dir.resolve("office")) }
    private val secrets = MemorySecrets()

    private fun phone(name: String, label: String): FieldNotebook = desk.newPhone(dir.resolve(name), label, secrets)

    private fun file(name: String): String = dir.resolve(name).toString()

    @Test
    fun aBackupTellsItsStepsAndMergesIntoTheNotebookWithoutLosingEither() = phone("phone", "Scout 7").use { notebook ->
        lookAtAMaple(notebook, "Scout 7")
        val steps = Steps()
        val made = notebook.backUp(file("backup"), null, steps)
        assertEquals(2uL, made.photos)
        assertEquals(Files.size(dir.resolve("backup")).toULong(), made.bytes)
        assertEquals(listOf(1L to 2L, 2L to 2L), steps.seen)
        val later = notebook.save(Kind.SITE, null, """{"township": "Sedge"}""")
        val before = everything(notebook)
        val merged = notebook.mergeBackup(file("backup"))
        assertEquals(listOf(0uL, 5uL, 0uL), listOf(merged.changes, merged.here, merged.photos))
        assertFalse(merged.newLog)
        assertEquals(before, everything(notebook))
        assertEquals("Sedge", notebook.show(later).text("township"))
    }

    @Test
    fun aNotebookThatWentOnAfterItsDatabaseWasLostGetsTheOldWorkBack() {
        val saved = phone("phone", "Scout 7").use { notebook ->
            lookAtAMaple(notebook, "Scout 7").also { notebook.backUp(file("backup")) }
        }
        loseAllButTheKey(dir.resolve("phone"))
        FieldNotebook.open(file("phone"), secrets).use { notebook ->
            notebook.join(desk.invite("Scout 7"))
            val fresh = notebook.save(Kind.SITE, null, """{"township": "Sedge"}""")
            CancelToken().use { token ->
                val stops = Steps { token.cancel() }
                assertThrows(NotebookException.Cancelled::class.java) { notebook.mergeBackup(file("backup"), token, stops) }
                assertEquals(1, stops.seen.size, "stopped at the first photo")
            }
            val again = notebook.mergeBackup(file("backup"))
            assertEquals(1uL, again.photos, "the photo that was left")
            assertEquals("leaf_spot", notebook.show(saved.finding).text("character"))
            assertEquals("Sedge", notebook.show(fresh).text("township"))
        }
    }

    @Test
    fun aBackupThatIsStoppedLeavesNoFile() = phone("phone", "Scout 7").use { notebook ->
        lookAtAMaple(notebook, "Scout 7")
        CancelToken().use { token ->
            token.cancel()
            assertThrows(NotebookException.Cancelled::class.java) { notebook.backUp(file("backup"), token) }
            assertThrows(NotebookException.Cancelled::class.java) { notebook.exportOwnData(file("own.zip"), token) }
        }
        val broken = Steps { error("the screen is gone") }
        assertThrows(NotebookException.ListenerFailed::class.java) { notebook.backUp(file("backup"), null, broken) }
        assertThrows(NotebookException.ListenerFailed::class.java) { notebook.exportOwnData(file("own.zip"), null, broken) }
        val left = dir.toFile().list()!!.filter { it.startsWith("backup") || it.startsWith("own") || it.endsWith(".part") }
        assertEquals(emptyList<String>(), left)
    }

    @Test
    fun anotherPhonesBackupACutOneAndAFullFolderAreRefusedAndNothingIsChanged() = phone("phone", "Scout 7").use { notebook ->
        lookAtAMaple(notebook, "Scout 7")
        notebook.backUp(file("backup"))
        phone("other", "Scout 8").use { it.backUp(file("theirs")) }
        val whole = Files.readAllBytes(dir.resolve("backup"))
        Files.write(dir.resolve("cut"), whole.copyOf(whole.size - 40))
        val before = everything(notebook)
        val refused = { work: () -> Unit -> assertThrows(NotebookException.Refused::class.java) { work() } }
        assertEquals("NOT_FOR_US", refused { notebook.mergeBackup(file("theirs")) }.code)
        val cut = refused { notebook.mergeBackup(file("cut")) }
        assertEquals("CUT", cut.code)
        assertTrue(cut.sentence.en.contains("Nothing of it was used") && cut.sentence.es.contains("No se usó nada"))
        val full = refused { FieldNotebook.restoreBackup(file("phone"), file("backup"), secrets).close() }
        assertEquals("SCHEMA", full.code)
        assertEquals(before, everything(notebook))
    }

    @Test
    fun onlyPhotosThatAreSafeAreLetGoOfAndOnlyByThePersonsRule() = phone("phone", "Scout 7").use { notebook ->
        val saved = lookAtAMaple(notebook, "Scout 7")
        val original = Files.size(leafPhoto).toULong()
        assertEquals(LetGo.NOTHING, notebook.lettingGo())
        handOver(notebook)
        notebook.setLettingGo(LetGo.ORIGINALS)
        val kept = notebook.letGo()
        assertEquals(listOf(0uL, 1uL), listOf(kept.originals, kept.originalsKept), "the office has it on its own disk only")
        desk.backUp(dir.resolve("office.backup"))
        handOver(notebook)
        notebook.setLettingGo(LetGo.NOTHING)
        assertEquals(0uL, notebook.letGo().originals, "the rule says keep")

        notebook.setLettingGo(LetGo.ORIGINALS)
        CancelToken().use { token ->
            token.cancel()
            assertThrows(NotebookException.Cancelled::class.java) { notebook.letGo(token) }
        }
        val before = bytesOfPhotos()
        val steps = Steps()
        val gone = notebook.letGo(null, steps)
        assertEquals(listOf(1uL, 0uL, original), listOf(gone.originals, gone.originalsKept, gone.bytes))
        assertEquals(LetGo.ORIGINALS, gone.rule)
        assertEquals(listOf(1L to 1L), steps.seen)
        assertEquals(before - original, bytesOfPhotos(), "the thumbnail stays")
        assertEquals("image/jpeg", notebook.show(saved.photo).text("mime"))
    }

    @Test
    fun lettingGoThatIsStoppedGoesOnTheNextTime() = phone("phone", "Scout 7").use { notebook ->
        lookAtAMaple(notebook, "Scout 7")
        val other = dir.resolve("other.jpg")
        Files.write(other, Files.readAllBytes(leafPhoto) + "one more".toByteArray())
        notebook.addPhoto(other.toString(), """{"part": "whole"}""")
        handOver(notebook)
        desk.backUp(dir.resolve("office.backup"))
        handOver(notebook)
        notebook.setLettingGo(LetGo.ORIGINALS)
        val before = bytesOfPhotos()
        CancelToken().use { token ->
            val stops = Steps { token.cancel() }
            assertThrows(NotebookException.Cancelled::class.java) { notebook.letGo(token, stops) }
            assertEquals(listOf(1L to 2L), stops.seen)
        }
        assertTrue(bytesOfPhotos() in before - Files.size(other).toULong()..before - Files.size(leafPhoto).toULong(), "one went")
        val steps = Steps()
        assertEquals(0uL, notebook.letGo(null, steps).originalsKept)
        assertEquals(listOf(1L to 1L), steps.seen, "the other one")
        assertEquals(before - Files.size(other).toULong() - Files.size(leafPhoto).toULong(), bytesOfPhotos())
    }

    private fun handOver(notebook: FieldNotebook) {
        notebook.makeBundle(file("out.yard"))
        desk.takeIn(dir.resolve("out.yard"))
        desk.reply("Scout 7", dir.resolve("reply.yard"))
        notebook.takeReply(file("reply.yard"))
    }

    private fun bytesOfPhotos(): ULong =
        dir.resolve("phone/photos").toFile().walk().filter { it.isFile }.sumOf { it.length() }.toULong()

    @Test
    fun onesOwnDataGoesIntoAnotherNotebookAndTwiceChangesNothing() = phone("phone", "Scout 7").use { notebook ->
        val saved = lookAtAMaple(notebook, "Scout 7")
        val steps = Steps()
        val exported = notebook.exportOwnData(file("own.zip"), null, steps)
        assertEquals(listOf(5uL, 2uL, 0uL), listOf(exported.records, exported.photos, exported.photosElsewhere))
        assertEquals(Files.size(dir.resolve("own.zip")).toULong(), exported.bytes)
        assertEquals(2, steps.seen.size)
        phone("other", "Scout 8").use { other ->
            val heard = Steps()
            val imported = other.importOwnData(file("own.zip"), null, heard)
            assertEquals(listOf(5uL, 2uL), listOf(imported.records, imported.photos))
            assertEquals(7L to 7L, heard.seen.last())
            assertEquals("¿Por qué tiene manchas la hoja? 🍁", other.show(saved.inquiry).text("question"))
            val again = other.importOwnData(file("own.zip"))
            assertEquals(listOf(0uL, 0uL, imported.values), listOf(again.records, again.photos, again.here))

            val whole = Files.readAllBytes(dir.resolve("own.zip"))
            Files.write(dir.resolve("cut.zip"), whole.copyOf(whole.size / 2))
            val cut = assertThrows(NotebookException.Refused::class.java) { other.importOwnData(file("cut.zip")) }
            assertEquals("CUT", cut.code)
            assertNotEquals(cut.sentence.en, cut.sentence.es)
            assertEquals(5uL, other.list(ListRequest()).total)
        }
    }
}
