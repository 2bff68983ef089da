package org.dooryard.kit

import org.dooryard.core.EnrolmentView
import org.dooryard.core.FieldNotebook
import org.dooryard.core.Kind
import org.dooryard.core.NotebookException
import org.dooryard.core.Role
import org.dooryard.core.Way
import org.junit.jupiter.api.Assertions.assertEquals
import org.junit.jupiter.api.Assertions.assertFalse
import org.junit.jupiter.api.Assertions.assertInstanceOf
import org.junit.jupiter.api.Assertions.assertNotEquals
import org.junit.jupiter.api.Assertions.assertThrows
import org.junit.jupiter.api.Assertions.assertTrue
import org.junit.jupiter.api.Test
import org.junit.jupiter.api.io.TempDir
import java.nio.file.Path

class EnrolmentTest {
    @TempDir lateinit var dir: Path

    private val desk by lazy { Desk(dir.resolve("office")) }

    private fun phone(name: String): FieldNotebook = FieldNotebook.create(dir.resolve(name).toString(), MemorySecrets())

    private fun asking(state: EnrolmentView): EnrolmentView.Asking = assertInstanceOf(EnrolmentView.Asking::class.java, state)

    private fun refusal(work: () -> Unit): String = assertThrows(NotebookException.Refused::class.java) { work() }.code

    @Test
    fun threeTextsMakeAPhoneTheOfficesAndBothSidesSeeTheSameWords() = phone("phone").use { notebook ->
        assertEquals(EnrolmentView.NotInvited, notebook.enrolment())
        val invitation = desk.invite("Scout 7")
        val seen = notebook.readInvitation(invitation)
        assertEquals(listOf("Larkspur County", "Scout 7"), listOf(seen.office, seen.label))
        assertEquals(Role.SCOUT, seen.role)
        assertTrue(!seen.past && seen.expiresMs > System.currentTimeMillis())
        assertEquals(EnrolmentView.NotInvited, notebook.enrolment(), "looking changes nothing")

        val asking = asking(notebook.join(invitation))
        assertEquals(seen, asking.invitation)
        assertEquals(asking, notebook.enrolment())
        assertEquals(6, seen.words.en.split(" ").size)
        assertNotEquals(seen.words.en, seen.words.es)
        val enrolled = notebook.takeAnswer(desk.admit(asking.ask))
        assertEquals(EnrolmentView.Enrolled("Larkspur County", Role.SCOUT, "Scout 7", seen.words), enrolled)
        assertEquals(enrolled, notebook.enrolment())
    }

    @Test
    fun onPaperTheFirstBundleWaitsAndAReplyBringsTheAnswer() = phone("phone").use { notebook ->
        val asking = asking(notebook.join(desk.invite("Scout 7")))
        val saved = lookAtAMaple(notebook, "Scout 7")
        val (bundle, reply) = dir.resolve("first.yard") to dir.resolve("reply.yard")
        notebook.makeBundle(bundle.toString())
        assertEquals("UNKNOWN_DEVICE", desk.keepsBack(bundle))
        assertEquals(asking.invitation.words.en to asking.invitation.words.es, desk.wordsOf("Scout 7"))
        desk.admit(asking.invitation.words.es)
        desk.reply("Scout 7", reply)
        assertEquals(5uL, notebook.takeReply(reply.toString()).received, "what waited was taken in when the phone was admitted")
        assertInstanceOf(EnrolmentView.Enrolled::class.java, notebook.enrolment())
        assertEquals(Way.OFFICE_HAS_IT, notebook.way(saved.inquiry))
    }

    @Test
    fun anotherOfficesInvitationAndAnAnswerForAnotherPhoneAreRefused() = phone("phone").use { notebook ->
        val asking = notebook.join(desk.invite("Scout 7"))
        val elsewhere = Desk(dir.resolve("elsewhere")).invite("Scout 7")
        assertNotEquals(asking(asking).invitation.words, notebook.readInvitation(elsewhere).words)
        assertEquals("NOT_FOR_US", refusal { notebook.join(elsewhere) })
        phone("other").use { other ->
            assertThrows(NotebookException.NotEnrolled::class.java) { other.takeAnswer(desk.admit(asking(asking).ask)) }
            val theirs = desk.admit(asking(other.join(desk.invite("Scout 8"))).ask)
            assertEquals("NOT_FOR_US", refusal { notebook.takeAnswer(theirs) })
            other.takeAnswer(theirs)
        }
        assertEquals(asking, notebook.enrolment(), "nothing was changed")
    }

    @Test
    fun aCodeThatAnotherPhoneUsedIsRefusedAtTheDeskAndNothingIsLostOnThePhone() {
        val invitation = desk.invite("Scout 7")
        phone("first").use { desk.admit(asking(it.join(invitation)).ask) }
        phone("second").use { second ->
            val asking = asking(second.join(invitation))
            assertEquals("CODE_USED", desk.refusesToAdmit(asking.ask))
            val kept = second.save(Kind.SITE, null, """{"township": "Sedge"}""")
            val bundle = dir.resolve("second.yard")
            second.makeBundle(bundle.toString())
            assertEquals("CODE_USED", desk.keepsBack(bundle))
            assertEquals(asking, second.enrolment())
            assertEquals("Sedge", second.show(kept).text("township"))
        }
    }

    @Test
    fun aWrongLetterACutTextAndATextOfAnotherKindAreRefused() = phone("phone").use { notebook ->
        val invitation = desk.invite("Scout 7")
        val wrong = invitation.replaceRange(60..60, if (invitation[60] == 'A') "B" else "A")
        for (text in listOf("", "hello", wrong, invitation.dropLast(9))) {
            assertEquals("SCHEMA", refusal { notebook.readInvitation(text) })
            assertEquals("SCHEMA", refusal { notebook.join(text) })
        }
        assertEquals(EnrolmentView.NotInvited, notebook.enrolment())
        val asking = asking(notebook.join("\n $invitation\r\n"))
        assertEquals("SCHEMA", refusal { notebook.join(asking.ask) })
        assertEquals("SCHEMA", refusal { notebook.takeAnswer(invitation) })
        assertEquals("SCHEMA", refusal { notebook.takeAnswer(desk.admit(asking.ask).dropLast(9)) })
        assertEquals(asking, notebook.enrolment())
        assertFalse(asking.invitation.past)
    }
}
