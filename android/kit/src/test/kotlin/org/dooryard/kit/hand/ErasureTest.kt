package org.dooryard.kit.hand

import org.dooryard.core.RecordId
import org.dooryard.kit.Desk
import org.junit.jupiter.api.AfterEach
import org.junit.jupiter.api.Assertions.assertEquals
import org.junit.jupiter.api.Assertions.assertFalse
import org.junit.jupiter.api.Assertions.assertInstanceOf
import org.junit.jupiter.api.Assertions.assertTrue
import org.junit.jupiter.api.Test
import org.junit.jupiter.api.io.TempDir
import java.io.File
import java.nio.file.Path
import java.util.zip.ZipFile

/** Words that were erased are in no file that the app made for others, whenever it learns of the erasure. */
class ErasureTest {
    @TempDir lateinit var dir: Path

    private val desk by lazy { Desk(dir.resolve("office")) }
    private val pocket by lazy { Pocket(dir, "phone") }

    @AfterEach
    fun end() = pocket.close()

    private fun handing() = pocket.show(HandOverPresenter(pocket.core, pocket.trail, pocket.errands))

    private fun HandOverPresenter.makes(): File {
        make()
        pocket.settle()
        return File((made as Stage.Ended).value.path)
    }

    /** An inquiry that the office has, with every kind of file that can be given out of it. */
    private fun givenOut(): RecordId {
        pocket.joins(desk, "Scout 7")
        val inquiry = pocket.takesAnInquiry(CANARY)
        desk.takeIn(handing().makes().toPath())
        val one = pocket.show(OneFilePresenter(pocket.core, pocket.trail, pocket.errands, inquiry))
        one.make()
        pocket.settle()
        assertInstanceOf(Stage.Ended::class.java, one.made)
        File(pocket.shared, "letters").apply { mkdirs() }.resolve("letter.txt").writeText("You asked: $CANARY")
        assertEquals(2, holdCanary().size, "the test would see them")
        return inquiry
    }

    private fun files(): List<File> = pocket.shared.walk().filter { it.isFile }.toList()

    /** The files in which the words can be read. */
    private fun holdCanary(): List<File> = files().filter { file ->
        if (file.extension == "zip") ZipFile(file).use { zip -> zip.entries().toList().any { CANARY in zip.getInputStream(it).reader().readText() } }
        else CANARY in file.readText()
    }

    private var replies = 0

    private fun reply(): File {
        val file = dir.resolve("reply-${replies++}.yard")
        desk.reply("Scout 7", file)
        return file.toFile()
    }

    @Test
    fun whatWasGivenOutGoesWithTheReplyThatErasesAndWhatNobodyReceivedIsOfferedAgain() {
        val inquiry = givenOut()
        val screen = handing()
        screen.takeIn(sourceOf(reply()))
        pocket.settle()
        screen.seen()
        assertEquals(2, holdCanary().size, "nothing was erased")
        // Handed over, and it never came.
        val other = pocket.takesAnInquiry("Curled tips")
        screen.makes()
        desk.erase(inquiry)
        screen.takeIn(sourceOf(reply()))
        pocket.settle()
        assertInstanceOf(Taken.Reply::class.java, (screen.taken as Stage.Ended).value)
        assertEquals(emptyList<File>(), files())
        assertEquals(Stage.Idle, screen.made, "no file is offered that is gone")
        assertEquals(Stage.Idle, pocket.errands.one.stage)
        screen.seen()
        pocket.settle()
        assertEquals(null, screen.state!!.file)

        val again = screen.makes()
        assertFalse(other in desk.records())
        desk.takeIn(again.toPath())
        assertTrue(other in desk.records())
        assertEquals(listOf(again), files())
    }

    @Test
    fun whatWasGivenOutGoesAtTheStartWhereTheAppWasKilledAfterTheErasure() {
        desk.erase(givenOut())
        val reply = reply()
        // As far as the core comes, and no further.
        pocket.asked { takeReply(reply.path) }
        assertEquals(2, holdCanary().size)
        pocket.killed()
        pocket.told { first() }
        assertEquals(emptyList<File>(), files())
    }

    private companion object {
        const val CANARY = "quillhaven spots by the teal gate"
    }
}
