package org.dooryard.kit

import org.dooryard.core.EnrolmentView
import org.dooryard.core.FieldCode
import org.dooryard.core.FieldEquals
import org.dooryard.core.FieldNotebook
import org.dooryard.core.FieldProblem
import org.dooryard.core.Kind
import org.dooryard.core.ListRequest
import org.dooryard.core.NotebookException
import org.dooryard.core.Role
import org.dooryard.core.Way
import org.dooryard.core.uniffiEnsureInitialized
import org.junit.jupiter.api.Assertions.assertDoesNotThrow
import org.junit.jupiter.api.Assertions.assertEquals
import org.junit.jupiter.api.Assertions.assertFalse
import org.junit.jupiter.api.Assertions.assertNull
import org.junit.jupiter.api.Assertions.assertThrows
import org.junit.jupiter.api.Assertions.assertTrue
import org.junit.jupiter.api.Test
import org.junit.jupiter.api.io.TempDir
import java.nio.file.Files
import java.nio.file.Path

class NotebookTest {
    @TempDir lateinit var dir: Path

    private val secrets = MemorySecrets()

    private fun phone(): FieldNotebook = Desk(dir.resolve("office")).newPhone(dir.resolve("phone"), "Scout 7", secrets)

    /** The generated code asks the library for the shape of every call; left to itself it asks at none. */
    @Test
    fun theBindingsAreThoseOfTheLibrary() {
        assertDoesNotThrow { uniffiEnsureInitialized() }
    }

    @Test
    fun savesAnInquiryWithAFindingAndAPhotoAndFindsItAgainAfterReopening() {
        val saved = phone().use { notebook ->
            val enrolled = notebook.enrolment() as EnrolmentView.Enrolled
            assertEquals(Role.SCOUT to "Scout 7", enrolled.role to enrolled.label)
            val saved = lookAtAMaple(notebook, "Scout 7")
            notebook.pause()
            notebook.shutdown()
            assertThrows(NotebookException.ShutDown::class.java) { notebook.list(ListRequest()) }
            saved
        }
        FieldNotebook.open(dir.resolve("phone").toString(), secrets).use { notebook ->
            val inquiry = notebook.show(saved.inquiry)
            assertEquals(Kind.INQUIRY, inquiry.kind)
            assertEquals("¿Por qué tiene manchas la hoja? 🍁", inquiry.text("question"))
            assertEquals("Scout 7", inquiry.fields.first().shown.author.label)

            val finding = notebook.show(saved.finding)
            assertEquals(listOf("leaf_spot", "round", "seen", "2"), listOf("character", "state", "status", "comfort").map { finding.text(it) })
            assertEquals("[\"${saved.photo}\"]", finding.fields.first { it.name == "photos" }.shown.json)
            assertNull(finding.text("photos"), "a list has no text")

            val photo = notebook.show(saved.photo)
            assertEquals("image/jpeg", photo.text("mime"))
            assertTrue(photo.text("taken")!!.startsWith("2026-06-14T10:42:00"), photo.text("taken"))
            assertTrue(photo.text("image")!!.startsWith("1e"))

            assertEquals(Way.ON_THIS_PHONE, notebook.way(saved.inquiry))
            assertEquals(1, notebook.history(saved.inquiry).size)
            assertTrue(notebook.conflicts().isEmpty())
        }
    }

    @Test
    fun listsAndSearchesAndHidesWhatWasDeleted() = phone().use { notebook ->
        val saved = lookAtAMaple(notebook, "Scout 7")
        val other = notebook.save(Kind.INQUIRY, null, """{"channel": "phone", "summary": "Curled beans"}""")

        val inquiries = notebook.list(ListRequest(kind = Kind.INQUIRY))
        assertEquals(2uL, inquiries.total)
        assertEquals(setOf(saved.inquiry, other), inquiries.rows.map { it.id }.toSet())
        assertEquals("Curled beans", inquiries.rows.first { it.id == other }.fields.text("summary"))

        val byPhone = notebook.list(ListRequest(equals = listOf(FieldEquals("channel", "\"phone\""))))
        assertEquals(listOf(other), byPhone.rows.map { it.id })
        assertEquals(listOf(saved.inquiry), notebook.search("manchas hoj").rows.map { it.id })
        assertEquals(1, notebook.list(ListRequest(limit = 1u)).rows.size)

        notebook.delete(other)
        assertEquals(1uL, notebook.list(ListRequest(kind = Kind.INQUIRY)).total)
        assertTrue(notebook.show(other).hidden)
        notebook.restore(other)
        assertFalse(notebook.show(other).hidden)
        assertEquals(2uL, notebook.list(ListRequest(kind = Kind.INQUIRY)).total)
    }

    @Test
    fun namesEveryFieldThatCannotBeSaved() = phone().use { notebook ->
        val e = assertThrows(NotebookException.Invalid::class.java) {
            notebook.save(Kind.INQUIRY, null, """{"chanel": "yard", "channel": "pigeon", "status": "closed"}""")
        }
        val expected = setOf(
            FieldProblem("chanel", FieldCode.UNKNOWN_FIELD),
            FieldProblem("channel", FieldCode.UNKNOWN_WORD),
            FieldProblem("status", FieldCode.NOT_YOURS),
        )
        assertEquals(expected, e.problems.toSet())
        val noJson = assertThrows(NotebookException.Invalid::class.java) { notebook.save(Kind.INQUIRY, null, "channel: yard") }
        assertEquals(listOf(FieldProblem("fields_json", FieldCode.BAD_FORM)), noJson.problems)
        assertEquals(0uL, notebook.list(ListRequest()).total, "nothing of it was saved")
    }

    @Test
    fun saysWhatIsNotThere() = phone().use { notebook ->
        assertThrows(NotebookException.NotFound::class.java) { notebook.show("0197f0c0-0000-7000-8000-000000000000") }
        val bad = assertThrows(NotebookException.Invalid::class.java) { notebook.show("../../etc/passwd") }
        assertEquals(listOf(FieldProblem("id", FieldCode.BAD_FORM)), bad.problems)
        assertThrows(NotebookException.NotFound::class.java) { FieldNotebook.open(dir.resolve("nowhere").toString(), secrets) }

        val noPhoto = Files.writeString(dir.resolve("note.jpg"), "not a picture")
        val e = assertThrows(NotebookException.Refused::class.java) { notebook.addPhoto(noPhoto.toString(), "{}") }
        assertEquals("OTHER_FORMAT", e.code)
        assertEquals(0uL, notebook.list(ListRequest()).total)
    }

    @Test
    fun keepsEverythingAndHandsNothingOverBeforeAnOfficeKnowsIt() {
        FieldNotebook.create(dir.resolve("phone").toString(), secrets).use { notebook ->
            assertEquals(EnrolmentView.NotInvited, notebook.enrolment())
            val saved = notebook.save(Kind.INQUIRY, null, """{"channel": "yard"}""")
            assertEquals(saved, notebook.show(saved).id)
            val refused =
                assertThrows(NotebookException.NotEnrolled::class.java) { notebook.makeBundle(dir.resolve("x.yard").toString()) }
            assertTrue(refused.sentence.en.contains("belongs to no office"))
            assertThrows(NotebookException.Refused::class.java) { notebook.enrol("no answer".encodeToByteArray()) }
        }
    }
}
