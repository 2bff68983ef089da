package org.dooryard.kit.hand

import org.dooryard.core.Enrolling
import org.dooryard.core.EnrolmentView
import org.dooryard.core.LetGo
import org.dooryard.kit.Desk
import org.dooryard.kit.Place.Today
import org.dooryard.kit.Place.Privacy
import org.dooryard.kit.TroubleKind
import org.dooryard.kit.Settings
import org.dooryard.kit.Undoing
import org.dooryard.kit.me.BackupPresenter
import org.dooryard.kit.me.Chosen
import org.dooryard.kit.me.MePresenter
import org.dooryard.kit.me.PrivacyPresenter
import org.dooryard.kit.me.RoomPresenter
import org.junit.jupiter.api.AfterEach
import org.junit.jupiter.api.Assertions.assertArrayEquals
import org.junit.jupiter.api.Assertions.assertEquals
import org.junit.jupiter.api.Assertions.assertFalse
import org.junit.jupiter.api.Assertions.assertTrue
import org.junit.jupiter.api.Test
import org.junit.jupiter.api.io.TempDir
import java.io.File
import java.nio.file.Path

class KeepingTest {
    @TempDir lateinit var dir: Path

    private val desk by lazy { Desk(dir.resolve("office")) }
    private val pocket by lazy { Pocket(dir, "phone") }

    @AfterEach
    fun end() = pocket.close()

    private fun backup() = pocket.show(BackupPresenter(pocket.core, pocket.trail, pocket.errands))

    private fun privacy() =
        pocket.show(PrivacyPresenter(pocket.core, pocket.trail, pocket.errands, Undoing(pocket.core)))

    private fun BackupPresenter.does(work: BackupPresenter.() -> Unit): Stage<Kept> {
        work()
        pocket.settle()
        return stage
    }

    @Test
    fun aBackupGoesToAPlaceAndComesBackIntoTheNotebook() {
        pocket.joins(desk, "Scout 7")
        pocket.takesAnInquiry("Spots")
        val screen = backup()
        val never = screen.state!!.last
        val place = Place(dir.resolve("card.backup").toFile())
        val written = screen.does { write(Keeping.BACKUP, place) } as Stage.Ended
        assertEquals(Keeping.BACKUP, written.value.what)
        assertTrue(written.value.lines.first().startsWith("Read back once and whole"))
        assertTrue(screen.state!!.last != never, screen.state!!.last)
        screen.seen()
        val brought = screen.does { bring(Keeping.BRING_BACK, sourceOf(place.file)) } as Stage.Ended
        assertTrue(brought.value.lines.any { "here already" in it }, brought.value.lines.toString())
        assertEquals(TroubleKind.REFUSED, screen.does { bring(Keeping.BRING_BACK, sourceOf("no backup")) }.trouble.kind)
        assertEquals(emptyList<String>(), pocket.passing.list()!!.toList())
    }

    @Test
    fun onesOwnDataGoesOutAndComesIn() {
        pocket.joins(desk, "Scout 7")
        pocket.takesAnInquiry("Spots")
        val screen = backup()
        val place = Place(dir.resolve("own.zip").toFile())
        assertTrue(screen.does { write(Keeping.OWN_DATA_OUT, place) } is Stage.Ended)
        assertEquals("PK", place.file.readBytes().copyOf(2).decodeToString())
        assertTrue(screen.does { bring(Keeping.OWN_DATA_IN, sourceOf(place.file)) } is Stage.Ended)
        assertEquals(TroubleKind.REFUSED, screen.does { bring(Keeping.OWN_DATA_IN, sourceOf("no zip")) }.trouble.kind)
    }

    @Test
    fun oneInquiryIsAFileThatIsGivenAwayAndThatAnotherPhoneTakesIn() {
        pocket.joins(desk, "Scout 7")
        val inquiry = pocket.takesAnInquiry("Spots")
        val other = pocket.takesAnInquiry("Curled tips")
        val screen = pocket.show(OneFilePresenter(pocket.core, pocket.trail, pocket.errands, inquiry))
        screen.make()
        pocket.settle()
        val made = (screen.made as Stage.Ended).value
        assertTrue("not sealed" in made.lines.last(), made.lines.toString())
        assertEquals(pocket.shared, made.file.parentFile)
        val full = Place(dir.resolve("full").toFile(), full = true)
        screen.save(full)
        pocket.settle()
        assertEquals(TroubleKind.UNWRITABLE, screen.saved.trouble.kind)
        val place = Place(dir.resolve("one.zip").toFile())
        screen.save(place)
        pocket.settle()
        assertTrue(screen.saved is Stage.Ended)
        assertArrayEquals(made.file.readBytes(), place.file.readBytes())
        assertEquals(null, pocket.errands.outbox.newest(), "it is none for the office")
        assertEquals(Stage.Idle, pocket.errands.saved.stage, "and handing over does not say that it was carried")

        Pocket(dir, "second").use { second ->
            second.joins(desk, "Scout 8")
            val backup = second.show(BackupPresenter(second.core, second.trail, second.errands))
            backup.bring(Keeping.OWN_DATA_IN, sourceOf(place.file))
            second.settle()
            assertTrue(backup.stage is Stage.Ended)
            assertEquals(listOf(inquiry), second.told { handOverPage("", 20u) }.rows.map { it.inquiry })
        }
        val next = pocket.show(OneFilePresenter(pocket.core, pocket.trail, pocket.errands, other))
        assertEquals(Stage.Idle, next.made, "what was made is of another inquiry")
        next.make()
        next.halt()
        pocket.settle()
        assertEquals(TroubleKind.STOPPED, next.made.trouble.kind)
        assertEquals(1, pocket.shared.list()!!.size, "nothing half is left")
    }

    @Test
    fun aPlaceWithoutRoomAndAStopLeaveNothingHalf() {
        pocket.joins(desk, "Scout 7")
        val screen = backup()
        val full = Place(dir.resolve("full").toFile(), full = true)
        assertEquals(TroubleKind.UNWRITABLE, screen.does { write(Keeping.BACKUP, full) }.trouble.kind)
        assertTrue(full.discarded)
        val stopped = Place(dir.resolve("stopped").toFile())
        screen.does {
            write(Keeping.BACKUP, stopped)
            halt()
        }
        assertEquals(TroubleKind.STOPPED, screen.stage.trouble.kind)
        assertFalse(stopped.file.exists())
    }

    @Test
    fun roomIsMadeOfPhotosThatTheOfficeHasAndOfNoOthers() {
        pocket.joins(desk, "Scout 7")
        val inquiry = pocket.takesAnInquiry("Spots")
        val photo = pocket.told { shots(inquiry, null) }.let { s -> s.others + s.shots.flatMap { it.photos } }.single().id
        val room = pocket.show(RoomPresenter(pocket.core, pocket.trail, pocket.errands))
        assertFalse(room.state!!.can)
        assertTrue("1 photo stays" in room.state!!.lines.joinToString(), room.state!!.lines.toString())
        room.letGo()
        assertEquals(Stage.Idle, room.stage, "nothing is offered")
        officeHasIt()
        room.refresh()
        pocket.settle()
        assertEquals(listOf(true, 1uL), listOf(room.state!!.can, room.state!!.photos))

        room.letGo()
        pocket.settle()
        val told = (room.stage as Stage.Ended).value
        assertTrue(told.first().startsWith("1 photo left this phone"), told.toString())
        assertFalse(room.state!!.can, "asked again")
        assertTrue(pocket.told { photo(photo) }.card.elsewhere.isNotEmpty())
        assertEquals(listOf("nothing"), pocket.told { privacy() }.lettingGo.filter { it.chosen }.map { it.id }, "the rule stands")
        room.seen()
        assertEquals(Stage.Idle, room.stage)
    }

    @Test
    fun lettingGoThatIsStoppedShowsWhatIsLeftToGo() {
        pocket.joins(desk, "Scout 7")
        pocket.takesAnInquiry("Spots")
        officeHasIt()
        val room = pocket.show(RoomPresenter(pocket.core, pocket.trail, pocket.errands))
        room.letGo()
        room.halt()
        pocket.settle()
        assertEquals(TroubleKind.STOPPED, room.stage.trouble.kind)
        assertEquals(pocket.told { letGoOffer() }, room.state)
    }

    @Test
    fun theOfficeAndMeSayWhatTheAppSpeaksFrom() {
        val chosen = object : Chosen {
            override var settings = Settings()
        }
        val me = pocket.show(MePresenter(pocket.core, pocket.trail, chosen) {})
        assertEquals(pocket.told { content() }, me.state!!.content)
        assertTrue(me.state!!.content.name.isNotEmpty() && me.state!!.content.facts.any { it.text == "with the app" })
    }

    /** The office took everything in, and its reply came. */
    private fun officeHasIt() {
        val handing = pocket.show(HandOverPresenter(pocket.core, pocket.trail, pocket.errands))
        handing.make()
        pocket.settle()
        desk.takeIn(Path.of((handing.made as Stage.Ended).value.path))
        desk.backUp(dir.resolve("elsewhere"))
        desk.reply("Scout 7", dir.resolve("reply.yard"))
        handing.takeIn(sourceOf(dir.resolve("reply.yard").toFile()))
        pocket.settle()
    }

    @Test
    fun whatMayGoIsChosenAndGoesAtOnce() {
        pocket.joins(desk, "Scout 7")
        pocket.takesAnInquiry("Spots")
        officeHasIt()

        val screen = privacy()
        assertEquals(listOf("nothing"), screen.state!!.lettingGo.filter { it.chosen }.map { it.id })
        screen.letGo("originals")
        pocket.settle()
        val gone = (screen.stage as Stage.Ended).value
        assertEquals(listOf(LetGo.ORIGINALS, 1uL), listOf(gone.rule, gone.originals))
        assertEquals(listOf("originals"), screen.state!!.lettingGo.filter { it.chosen }.map { it.id })
    }

    @Test
    fun erasingAsksFirstAndThenLeavesNothing() {
        pocket.joins(desk, "Scout 7")
        val inquiry = pocket.takesAnInquiry("Spots")
        fun held() = pocket.told { handOverPage("", 20u) }.rows.map { it.inquiry }
        pocket.errands.makeFile()
        pocket.settle()
        pocket.file("code").writeText("DY1:")
        pocket.trail.go(Privacy)
        val screen = privacy()
        screen.erase()
        pocket.settle()
        assertEquals(listOf(inquiry), held(), "nobody was asked yet")
        screen.askToErase()
        screen.keep()
        screen.erase()
        pocket.settle()
        assertEquals(listOf(inquiry), held(), "everything was to stay")

        screen.askToErase()
        screen.erase()
        pocket.settle()
        assertEquals(Today, pocket.trail.here)
        for (gone in listOf(pocket.file("code"), pocket.passing)) assertFalse(gone.exists(), gone.path)
        assertEquals(emptyList<File>(), pocket.shared.listFiles()!!.toList())
        assertEquals(Stage.Idle, pocket.errands.made.stage)
        assertEquals(EnrolmentView.NotInvited, pocket.asked { enrolment() })
        assertEquals(Enrolling.NOT_INVITED, pocket.told { first() }.standing)
    }
}
