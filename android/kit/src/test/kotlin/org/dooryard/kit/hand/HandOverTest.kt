package org.dooryard.kit.hand

import org.dooryard.core.CancelToken
import org.dooryard.core.Enrolling
import org.dooryard.core.EnrolmentView
import org.dooryard.core.FileKind
import org.dooryard.kit.Desk
import org.dooryard.kit.Outside
import org.dooryard.kit.Place as At
import org.dooryard.kit.TroubleKind
import org.dooryard.kit.join.JoinPresenter
import org.junit.jupiter.api.AfterEach
import org.junit.jupiter.api.Assertions.assertEquals
import org.junit.jupiter.api.Assertions.assertFalse
import org.junit.jupiter.api.Assertions.assertInstanceOf
import org.junit.jupiter.api.Assertions.assertNull
import org.junit.jupiter.api.Assertions.assertThrows
import org.junit.jupiter.api.Assertions.assertTrue
import org.junit.jupiter.api.Test
import org.junit.jupiter.api.io.TempDir
import java.io.File
import java.io.IOException
import java.nio.file.Files
import java.nio.file.Path
import java.util.concurrent.CountDownLatch
import java.util.concurrent.TimeUnit

class HandOverTest {
    @TempDir lateinit var dir: Path

    private val desk by lazy { Desk(dir.resolve("office")) }
    private val pocket by lazy { Pocket(dir, "phone") }

    @AfterEach
    fun end() = pocket.close()

    private fun screen() = pocket.show(HandOverPresenter(pocket.core, pocket.trail, pocket.errands))

    private fun HandOverPresenter.makes(): File {
        make()
        pocket.settle()
        return File((made as Stage.Ended).value.path)
    }

    private fun HandOverPresenter.takes(from: Source): Stage<Taken> {
        reads(from)
        pocket.settle()
        return taken
    }

    @Test
    fun theFileIsMadeCopiedToAPlaceTakenInAndTheReplyMovesThePegs() {
        pocket.joins(desk, "Scout 7")
        val inquiry = pocket.takesAnInquiry("Spots on the low leaves")
        val screen = screen()
        assertTrue(screen.state!!.screen.waits)
        assertEquals(listOf(1u), screen.state!!.rows.map { it.step })
        val file = screen.makes()
        assertFalse(screen.state!!.screen.waits)
        assertEquals(listOf(2u), screen.state!!.rows.map { it.step })

        val place = Place(dir.resolve("card.yard").toFile())
        screen.save(place)
        pocket.settle()
        assertInstanceOf(Stage.Ended::class.java, screen.saved)
        assertTrue(place.file.readBytes().contentEquals(file.readBytes()))
        desk.takeIn(place.file.toPath())
        desk.reply("Scout 7", dir.resolve("reply.yard"))
        val taken = screen.takes(sourceOf(dir.resolve("reply.yard").toFile())) as Stage.Ended
        assertTrue((taken.value as Taken.Reply).told.lines.first().startsWith("The office has"))
        assertEquals(listOf(3u), screen.state!!.rows.map { it.step })
        assertEquals(setOf(inquiry), desk.records() intersect setOf(inquiry))
        assertEquals(emptyList<String>(), pocket.passing.list()!!.toList(), "nothing is left of the copy")
    }

    @Test
    fun theFileIsThereStillAfterTheAppWasKilledAndALaterOneTakesItsPlace() {
        pocket.joins(desk, "Scout 7")
        pocket.takesAnInquiry("Spots")
        val file = screen().makes()
        pocket.killed()
        val again = screen()
        assertEquals(Stage.Idle, again.made)
        assertEquals(file, again.state!!.file)
        pocket.takesAnInquiry("Curls")
        val second = again.makes()
        assertTrue(file.exists(), "whoever was handed it may read it later")
        assertEquals(second, pocket.errands.outbox.newest())
        pocket.now += TimeUnit.DAYS.toMillis(3) + 60_000
        pocket.errands.start()
        assertNull(pocket.errands.outbox.newest())
        assertFalse(file.exists())
    }

    @Test
    fun workGoesOnWhileAnotherScreenIsShownAndIsStoppedFromTheNextOne() {
        pocket.joins(desk, "Scout 7")
        pocket.takesAnInquiry("Spots")
        val first = screen()
        // A question before it takes as long as it has to: small as this file is, it would be made before anybody could stop it.
        val gate = CountDownLatch(1)
        pocket.core.ask({ gate.await() }) {}
        first.make()
        first.stop()
        val second = HandOverPresenter(pocket.core, pocket.trail, pocket.errands)
        assertInstanceOf(Stage.Runs::class.java, second.made)
        second.halt()
        gate.countDown()
        pocket.show(second)
        assertEquals(TroubleKind.STOPPED, second.made.trouble.kind)
        assertNull(second.state!!.file)
        assertTrue(second.state!!.screen.waits)
        assertEquals(0, pocket.shared.list().orEmpty().size)
        var drawn = 0
        second.changed = { drawn += 1 }
        second.makes()
        assertTrue(drawn > 1)
        second.seen()
        assertEquals(Stage.Idle, second.made)
    }

    @Test
    fun whatIsNoFileOfTheOfficeIsRefusedInWordsAndChangesNothing() {
        pocket.joins(desk, "Scout 7")
        pocket.takesAnInquiry("Spots")
        val screen = screen()
        val made = screen.makes()
        val before = screen.state!!.rows
        val garbage = screen.takes(sourceOf("a letter to somebody")).held
        assertEquals("This app cannot use it. It was not changed.", garbage.held)
        assertEquals(FileKind.BUNDLE, screen.takes(sourceOf(made)).held.kind, "one's own file")
        desk.takeIn(made.toPath())
        desk.reply("Scout 7", dir.resolve("reply.yard"))
        val reply = dir.resolve("reply.yard").toFile().readBytes()
        val cut = dir.resolve("cut.yard").toFile().apply { writeBytes(reply.copyOf(reply.size - 40)) }
        val half = screen.takes(sourceOf(cut)).held
        assertEquals("A sealed file", half.what)
        assertEquals("Its end is missing. Nothing of it was used; ask for the file again.", half.held)
        val torn = Source { throw SecurityException("the leave was taken back") }
        assertEquals(TroubleKind.UNREADABLE, screen.takes(torn).trouble.kind)
        assertEquals(TroubleKind.UNREADABLE, screen.takes { null }.trouble.kind)
        screen.refresh()
        pocket.settle()
        assertEquals(before, screen.state!!.rows)
        assertEquals(emptyList<String>(), pocket.passing.list()!!.toList())
    }

    @Test
    fun aPlaceWithoutRoomIsToldAndNothingHalfIsLeftThere() {
        pocket.joins(desk, "Scout 7")
        pocket.takesAnInquiry("Spots")
        val screen = screen()
        val file = screen.makes()
        val full = Place(dir.resolve("full").toFile(), full = true)
        screen.save(full)
        pocket.settle()
        assertEquals(TroubleKind.UNWRITABLE, screen.saved.trouble.kind)
        assertTrue(full.discarded)
        assertTrue(file.exists())
    }

    @Test
    fun aPhoneWithoutRoomSaysSoWhenItCopiesSomethingIn() {
        val full = dir.resolve("full")
        Files.createSymbolicLink(full, Path.of("/dev/full"))
        CancelToken().use { token ->
            val told = assertThrows(Outside::class.java) { sourceOf("much").bringTo(full.toFile(), token) }
            assertEquals(TroubleKind.FULL, told.kind)
            assertFalse(Files.isSymbolicLink(full), "nothing half is left")
            val reader = Source { throw IOException("No space left on device") }
            val other = assertThrows(Outside::class.java) { reader.bringTo(dir.resolve("in").toFile(), token) }
            assertEquals(TroubleKind.UNREADABLE, other.kind, "there is no room elsewhere")
        }
    }

    @Test
    fun theOfficesAnswerAndANewerPackAreTakenInAsFilesToo() {
        val signed = Pocket(dir, "signed", signedPack(2, "old.pack"))
        signed.use { phone ->
            val screen = phone.show(HandOverPresenter(phone.core, phone.trail, phone.errands))
            assertEquals(Enrolling.NOT_INVITED, screen.state!!.standing)
            screen.reads(sourceOf("DY3:NOTHING."))
            phone.settle()
            assertEquals(FileKind.ANSWER_CODE, screen.taken.held.kind)
            val asking = phone.asked { join(desk.invite("Scout 7")) } as EnrolmentView.Asking
            screen.reads(sourceOf(desk.admit(asking.ask)))
            phone.settle()
            assertEquals(Taken.Admitted, (screen.taken as Stage.Ended).value)
            assertInstanceOf(EnrolmentView.Enrolled::class.java, phone.asked { enrolment() })
            assertEquals(Enrolling.ENROLLED, screen.state!!.standing)

            screen.reads(sourceOf(signedPack(3, "new.pack").toFile()))
            phone.settle()
            assertEquals(Taken.Pack, (screen.taken as Stage.Ended).value)
            screen.reads(sourceOf(signedPack(2, "again.pack").toFile()))
            phone.settle()
            assertEquals(TroubleKind.REFUSED, screen.taken.trouble.kind, "an older one")
        }
    }

    @Test
    fun moreInquiriesThanAPageAreShownWhenSomebodyAsksForThem() {
        pocket.joins(desk, "Scout 7")
        pocket.told { repeat(23) { begin("phone") } }
        val screen = screen()
        assertEquals(20, screen.state!!.rows.size)
        assertTrue(screen.state!!.more)
        screen.more()
        pocket.settle()
        assertEquals(23, screen.state!!.rows.map { it.inquiry }.toSet().size)
        assertFalse(screen.state!!.more)
    }

    @Test
    fun whatIsForAnotherScreenWaitsForAPersonAndIsLedThere() {
        pocket.joins(desk, "Scout 7")
        pocket.takesAnInquiry("Spots")
        val place = Place(dir.resolve("card.backup").toFile())
        pocket.errands.keep(Keeping.BACKUP, place)
        pocket.settle()
        val own = Place(dir.resolve("own.zip").toFile())
        pocket.errands.kept.clear()
        pocket.errands.keep(Keeping.OWN_DATA_OUT, own)
        pocket.settle()
        for ((file, kind) in listOf(place.file to FileKind.BACKUP, own.file to FileKind.OWN_DATA)) {
            pocket.errands.kept.clear()
            val screen = screen()
            val leads = (screen.takes(sourceOf(file)) as Stage.Ended).value as Taken.Leads
            assertEquals(kind, leads.file.kind)
            assertEquals(Stage.Idle, pocket.errands.kept.stage, "nothing is brought in before somebody wants it")
            screen.goOn()
            pocket.settle()
            assertEquals(At.Backup, pocket.trail.here)
            assertTrue((pocket.errands.kept.stage as Stage.Ended).value.lines.isNotEmpty())
            assertEquals(Stage.Idle, pocket.errands.taken.stage)
        }
        assertEquals(emptyList<String>(), pocket.passing.list()!!.toList())
        Pocket(dir, "new").use { phone ->
            val handing = phone.show(HandOverPresenter(phone.core, phone.trail, phone.errands))
            val code = desk.invite("Scout 8")
            handing.takeIn(sourceOf(code))
            phone.settle()
            assertEquals("", phone.errands.joining.text, "nobody wants it yet")
            handing.goOn()
            phone.settle()
            assertEquals(At.Join, phone.trail.here)
            val join = phone.show(JoinPresenter(phone.core, phone.trail, phone.errands))
            assertTrue(join.state!!.screen.toConfirm && join.state!!.screen.words.isNotEmpty())
        }
    }

    /** Why a file was not taken in. */
    private val Stage<Taken>.held get() = ((this as Stage.Ended).value as Taken.Held).file

    /** What came of the file before was read, and this one is taken in. */
    private fun HandOverPresenter.reads(file: Source) {
        seen()
        takeIn(file)
    }

    /** The pack of the tests as a signed file of this version. */
    private fun signedPack(version: Int, name: String): Path {
        val folder = dir.resolve("pack-$version").toFile()
        landscape.toFile().copyRecursively(folder, overwrite = true)
        val head = File(folder, "pack.yaml")
        head.writeText(head.readText().replace(Regex("(?m)^version: \\d+"), "version: $version"))
        val key = dir.resolve("pack.key")
        if (!Files.exists(key)) command("pack", "key", "--out", key.toString())
        return dir.resolve(name).also { command("pack", "build", folder.path, "--key", key.toString(), "--out", it.toString()) }
    }

    private fun command(vararg args: String) {
        val process = ProcessBuilder(listOf(checkNotNull(System.getProperty("dooryard.command"))) + args).redirectErrorStream(true).start()
        val said = process.inputStream.readBytes().decodeToString()
        check(process.waitFor() == 0) { said }
    }
}
