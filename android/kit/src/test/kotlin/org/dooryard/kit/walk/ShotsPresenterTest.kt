package org.dooryard.kit.walk

import org.dooryard.core.Pending
import org.dooryard.core.RecordId
import org.dooryard.kit.Place
import org.dooryard.kit.TroubleKind
import org.dooryard.kit.leafPhoto
import org.dooryard.kit.shots.PhotoPresenter
import org.dooryard.kit.shots.ShotNotice
import org.dooryard.kit.shots.ShotsPresenter
import org.dooryard.kit.shots.Source
import org.junit.jupiter.api.Assertions.assertEquals
import org.junit.jupiter.api.Assertions.assertFalse
import org.junit.jupiter.api.Assertions.assertNotNull
import org.junit.jupiter.api.Assertions.assertNull
import org.junit.jupiter.api.Assertions.assertTrue
import org.junit.jupiter.api.Test
import org.junit.jupiter.api.io.TempDir
import java.io.IOException
import java.nio.file.Files
import java.nio.file.Path

class ShotsPresenterTest {
    @TempDir lateinit var dir: Path

    private val yard by lazy { Yard(dir) }
    private val inquiry: RecordId by lazy { yard.inquiry() }
    private val plant: RecordId by lazy { yard.plant(inquiry) }
    private val trail by lazy { yard.trail(Place.Shots(inquiry, plant)) }
    private val opened = mutableListOf<Pending>()

    private fun shots() = ShotsPresenter(yard.core, yard.trail(Place.Shots(inquiry, plant)), yard.undoing, inquiry, plant)
        .also { it.camera = opened::add }
        .let(yard::shown)

    private fun camera() {
        Files.copy(leafPhoto, Path.of(opened.last().path))
    }

    @Test
    fun aStopHoldsAPhotoBackAndIsReadAtItsInquiry() {
        val shots = shots()
        assertEquals("", shots.state!!.saved)
        shots.shoot()
        yard.settle()
        camera()
        shots.cameraClosed(true)
        yard.settle()
        assertTrue(shots.state!!.saved.startsWith("Saved on this phone"), shots.state!!.saved)
        val way = yard.trail(Place.Shots(inquiry, plant))
        val photo = shots.shown!!.photos.single().id
        way.go(Place.Photo(photo))
        val one = yard.shown(PhotoPresenter(yard.core, way, yard.undoing, photo))
        assertTrue(one.halts.isEmpty())
        yard.ask { answerQuestion(inquiry, "ate_or_touched", "yes") }
        one.refresh()
        yard.settle()
        assertTrue(one.halts.isNotEmpty())
        assertEquals(Place.Stop(inquiry), way.here)
    }

    @Test
    fun aShotIsWrittenDownBeforeTheCameraOpensAndTakenInWhenItCloses() {
        val shots = shots()
        val first = shots.shown!!.part
        shots.shoot()
        yard.settle()
        assertEquals(first, opened.single().part)
        assertFalse(Files.exists(Path.of(opened.single().path)), "the camera makes the file")
        assertEquals(opened.single().id, yard.ask { pendingShot() }?.id)
        camera()
        shots.cameraClosed(true)
        yard.settle()
        assertEquals(1, shots.shown!!.photos.size, "it stays on the shot that was taken")
        assertEquals(first, shots.shown!!.part)
        assertNull(shots.notice)
        assertNull(yard.ask { pendingShot() })
        shots.goOn()
        assertFalse(shots.shown!!.part == first)
    }

    @Test
    fun aCameraThatGaveNothingIsGivenUp() {
        val shots = shots()
        shots.shoot()
        yard.settle()
        shots.cameraClosed(false)
        yard.settle()
        assertNull(shots.notice, "somebody closed it")
        assertNull(yard.ask { pendingShot() })
        shots.shoot()
        yard.settle()
        shots.cameraClosed(true)
        yard.settle()
        assertEquals(ShotNotice.NO_PICTURE, shots.notice)
        shots.shoot()
        yard.settle()
        shots.cameraMissing(ShotNotice.NO_CAMERA)
        yard.settle()
        assertEquals(ShotNotice.NO_CAMERA, shots.notice)
        assertNull(yard.ask { pendingShot() })
        assertTrue(shots.state!!.shots.all { it.photos.isEmpty() })
    }

    @Test
    fun aPhotoOfACameraThatWasOpenWhenTheAppWasKilledIsThere() {
        shots().shoot()
        yard.settle()
        yard.kill()
        camera()
        yard.kill()
        val shots = shots()
        val taken = shots.state!!.shots.first { it.part == opened.single().part }.photos.single()
        assertTrue(Files.size(Path.of(taken.path)) == Files.size(leafPhoto))
        assertNull(shots.state!!.pending)
        // The camera's answer may still come, to a screen that knows nothing of it.
        shots.cameraClosed(true)
        yard.settle()
        assertEquals(1, shots.state!!.shots.sumOf { it.photos.size })
        assertNull(shots.notice)
    }

    @Test
    fun takingItAgainPutsTheFirstIntoTheBinFromWhereItComesBack() {
        val shots = shots()
        repeat(2) {
            if (it == 0) shots.shoot() else shots.shootAgain()
            yard.settle()
            camera()
            shots.cameraClosed(true)
            yard.settle()
        }
        assertEquals(opened[1].id, shots.shown!!.photos.single().id)
        assertEquals(opened[0].id, yard.undoing.undo!!.record)
        yard.undoing.bringBack()
        yard.settle()
        shots.refresh()
        yard.settle()
        assertEquals(2, shots.shown!!.photos.size)
    }

    @Test
    fun aRetakeThatWasCancelledKeepsThePhoto() {
        val shots = shots()
        shots.shoot()
        yard.settle()
        camera()
        shots.cameraClosed(true)
        yard.settle()
        shots.shootAgain()
        yard.settle()
        shots.cameraClosed(false)
        yard.settle()
        assertEquals(opened[0].id, shots.shown!!.photos.single().id)
        assertNull(yard.undoing.undo)
    }

    @Test
    fun photosOfThePhoneComeInWithTheirDateAndOneThatCannotBeReadKeepsNoOtherOut() {
        val shots = shots()
        val part = shots.shown!!.part
        val good = Source { Files.newInputStream(leafPhoto) }
        val gone = Source { throw IOException("gone") }
        shots.bringIn(listOf(good, gone, good), part, dir.resolve("imports").toFile())
        assertNotNull(shots.importing)
        yard.settle()
        assertNull(shots.importing)
        assertEquals(ShotNotice.UNREADABLE, shots.notice)
        assertEquals(2, shots.shown!!.photos.size)
        assertTrue(shots.shown!!.photos.all { it.note.startsWith("10:42 am, 14 June") }, shots.shown!!.photos.toString())
        assertEquals(0, dir.resolve("imports").toFile().listFiles()!!.size, "nothing of it is left lying about")
        shots.bringIn(listOf(Source { "no photo".byteInputStream() }), "other", dir.resolve("imports").toFile())
        yard.settle()
        assertEquals(TroubleKind.REFUSED, shots.trouble?.kind)
        Files.write(dir.resolve("full"), byteArrayOf())
        shots.bringIn(listOf(good), "other", dir.resolve("full").resolve("up").toFile())
        yard.settle()
        assertEquals(TroubleKind.FULL, shots.trouble?.kind)
        assertEquals(2, yard.ask { shots(inquiry, plant) }.let { s -> s.shots.sumOf { it.photos.size } + s.others.size })
    }

    @Test
    fun aShotIsSkippedAndAskedForAgain() {
        val shots = shots()
        val part = shots.shown!!.part
        shots.skip(true)
        yard.settle()
        assertFalse(shots.shown!!.part == part)
        shots.turnTo(part)
        assertTrue(shots.shown!!.skipped)
        shots.skip(false)
        yard.settle()
        assertFalse(shots.shown!!.skipped)
    }

    @Test
    fun aPhotoTellsItsPlaceAmongTheOthersTakesWordsAndGoesIntoTheBin() {
        val shots = shots()
        val sources = List(3) { Source { Files.newInputStream(leafPhoto) } }
        shots.bringIn(sources, "close_up", dir.resolve("imports").toFile())
        yard.settle()
        val ids = shots.state!!.shots.first { it.part == "close_up" }.photos.map { it.id }
        trail.go(Place.Photo(ids[1]))
        val photo = yard.shown(PhotoPresenter(yard.core, trail, yard.undoing, ids[1]))
        assertEquals("2 of 3", photo.state!!.place)
        photo.typed("Rings, like a ta")
        photo.left("Rings, like a target")
        photo.size("coin")
        photo.shows("boundary")
        yard.settle()
        assertEquals("Rings, like a target", photo.state!!.card.caption)
        assertEquals("coin" to "boundary", photo.state!!.scales.first { it.chosen }.id to photo.state!!.parts.first { it.chosen }.id)
        photo.move(earlier = true)
        yard.settle()
        assertEquals(listOf("1 of 3", null, ids[0]), photo.state!!.let { listOf(it.place, it.before, it.after) })
        photo.move(earlier = false)
        yard.settle()
        assertEquals(listOf("2 of 3", ids[0], ids[2]), photo.state!!.let { listOf(it.place, it.before, it.after) })
        photo.turnTo(photo.state!!.after)
        assertEquals(Place.Photo(ids[2]), trail.here)
        val last = yard.shown(PhotoPresenter(yard.core, trail, yard.undoing, ids[2]))
        assertNull(last.state!!.after)
        last.takeAway()
        yard.settle()
        assertEquals(Place.Shots(inquiry, plant), trail.here)
        assertEquals(ids[2], yard.undoing.undo!!.record)
    }
}
