package org.dooryard.app.walk

import android.app.Activity
import android.content.ClipData
import android.content.Intent
import android.net.Uri
import android.provider.MediaStore
import org.dooryard.app.NativeCoreRunner
import org.dooryard.app.R
import org.dooryard.app.SharedFiles
import org.dooryard.app.Stage
import org.dooryard.app.named
import org.dooryard.app.parts.CloseView
import org.dooryard.app.parts.Pictures
import org.dooryard.app.parts.all
import org.dooryard.core.Kind
import org.dooryard.core.ListRequest
import org.dooryard.core.SummaryView
import org.dooryard.kit.Answer
import org.dooryard.kit.Place
import org.junit.Assert.assertEquals
import org.junit.Assert.assertFalse
import org.junit.Assert.assertNotEquals
import org.junit.Assert.assertNull
import org.junit.Assert.assertThrows
import org.junit.Assert.assertTrue
import org.junit.Rule
import org.junit.Test
import org.junit.rules.TemporaryFolder
import org.junit.runner.RunWith
import org.robolectric.Robolectric
import org.robolectric.Shadows.shadowOf
import org.robolectric.annotation.GraphicsMode
import java.io.FileNotFoundException

@RunWith(NativeCoreRunner::class)
class ShotsScreenTest {
    @get:Rule val folder = TemporaryFolder()

    private lateinit var inquiry: String
    private lateinit var plant: String

    private fun shots(): Stage {
        val stage = stageIn(folder.root.toPath())
        val (one, its) = stage.plant()
        inquiry = one
        plant = its
        return stage.go(Place.Shots(inquiry, plant))
    }

    private fun Stage.taken() = ask { shots(inquiry, plant) }.let { s -> s.shots.sumOf { it.photos.size } + s.others.size }

    private fun Stage.chosen(vararg uris: Uri): Stage {
        uris.forEach { shadowOf(app.contentResolver).registerInputStreamSupplier(it) { leaf.inputStream() } }
        val sent = shadowOf(activity).nextStartedActivityForResult
        assertEquals("image/*", sent.intent.type)
        val data = Intent()
        if (uris.size == 1) data.data = uris.single()
        else data.clipData = ClipData.newRawUri("", uris.first()).apply { uris.drop(1).forEach { addItem(ClipData.Item(it)) } }
        return comes(sent.requestCode, Activity.RESULT_OK, data)
    }

    @Test
    fun theCameraMayWriteTheOneShotAndReadNothing() {
        val stage = shots().tap(R.string.walk_open_camera)
        @Suppress("DEPRECATION")
        val to = stage.asked().getParcelableExtra<Uri>(MediaStore.EXTRA_OUTPUT)!!
        val provider = Robolectric.setupContentProvider(SharedFiles::class.java)
        stage.write(stage.asked(), leaf)
        assertThrows(FileNotFoundException::class.java) { provider.openFile(to, "r") }
        assertEquals(ask(stage), to.lastPathSegment)
        stage.takes()
        assertEquals(1, stage.taken())
        assertTrue(stage.words, stage.word(R.string.walk_again) in stage.words)
    }

    private fun ask(stage: Stage) = stage.ask { pendingShot() }!!.path.substringAfterLast('/')

    @Test
    fun aShotSaysWhenItWasSavedAndSizeIsAskedOnlyWhereItBelongs() {
        val stage = shots()
        val all = stage.ask { shots(inquiry, plant) }.shots
        for (sized in listOf(true, false)) {
            val shot = all.firstOrNull { it.sized == sized } ?: continue
            stage.tap(shot.name)
            assertEquals(shot.name, sized, stage.word(R.string.walk_for_size) in stage.words)
        }
        assertEquals("both kinds are in the set", setOf(true, false), all.map { it.sized }.toSet())
        stage.tap(R.string.walk_open_camera).takes()
        val saved = stage.ask { shots(inquiry, plant) }.saved
        assertTrue(stage.words, saved.isNotEmpty() && saved in stage.words)
    }

    @Test
    fun aStopStandsBeforeAPhoto() {
        val stage = shots().tap(R.string.walk_open_camera).takes()
        val photo = stage.ask { shots(inquiry, plant) }.shots.flatMap { it.photos }.single().id
        stage.ask { answerQuestion(inquiry, "ate_or_touched", "yes") }
        stage.go(Place.Photo(photo))
        assertEquals(Place.Stop(inquiry), stage.activity.trail.here)
        stage.back()
        assertFalse("the photo is held back", stage.word(R.string.walk_caption) in stage.words)
        stage.tap(R.string.read_stop)
        assertEquals(Place.Stop(inquiry), stage.activity.trail.here)
    }

    @Test
    fun aCameraThatIsClosedWithoutAPhotoLeavesNothingBehind() {
        val stage = shots().tap(R.string.walk_open_camera)
        stage.comes(shadowOf(stage.activity).nextStartedActivityForResult.requestCode, Activity.RESULT_CANCELED, null)
        assertNull(stage.ask { pendingShot() })
        assertFalse(stage.word(R.string.walk_no_picture) in stage.words)
        stage.tap(R.string.walk_open_camera)
        stage.comes(shadowOf(stage.activity).nextStartedActivityForResult.requestCode, Activity.RESULT_OK, null)
        assertTrue(stage.words, stage.word(R.string.walk_no_picture) in stage.words)
        assertNull(stage.ask { pendingShot() })
    }

    @Test
    fun aPhoneWithoutACameraSaysSoAndOffersAWayOn() {
        val stage = shots()
        shadowOf(app).checkActivities(true)
        stage.tap(R.string.walk_open_camera)
        assertTrue(stage.words, stage.word(R.string.walk_no_camera) in stage.words)
        assertNull(stage.ask { pendingShot() })
        stage.tap(R.string.walk_from_phone)
        assertTrue(stage.words, stage.word(R.string.walk_no_gallery) in stage.words)
        stage.tap(R.string.walk_skip)
        assertFalse(stage.word(R.string.walk_no_camera) in stage.words)
        stage.tap(R.string.look)
        assertTrue(stage.activity.trail.here is Place.Look)
    }

    @Test
    fun aShotThatWasLeftOpenIsOfferedAndLetGo() {
        val stage = shots().tap(R.string.walk_open_camera)
        stage.killed()
        assertTrue(stage.words, stage.word(R.string.walk_begun_photo) in stage.words)
        stage.tap(R.string.walk_leave_it)
        assertFalse(stage.words, stage.word(R.string.walk_begun_photo) in stage.words)
        assertNull(stage.ask { pendingShot() })
    }

    @Test
    fun severalPhotosOfThePhoneComeInAtOnce() {
        val stage = shots().tap(R.string.walk_from_phone)
        stage.chosen(Uri.parse("content://pictures/1"), Uri.parse("content://pictures/2"))
        assertEquals(2, stage.taken())
        assertFalse(stage.word(R.string.walk_bringing_in) in stage.words)
        stage.tap(R.string.walk_add_other).chosen(Uri.parse("content://pictures/3"))
        assertEquals(1, stage.ask { shots(inquiry, plant) }.others.size)
    }

    @Test
    @GraphicsMode(GraphicsMode.Mode.NATIVE)
    fun aPhotoIsSeenCloselyNamedAndTakenAwayWithAWayBack() {
        val stage = shots().tap(R.string.walk_from_phone)
        stage.chosen(Uri.parse("content://pictures/1"), Uri.parse("content://pictures/2"), Uri.parse("content://pictures/3"))
        val ids = stage.ask { shots(inquiry, plant) }.shots.flatMap { it.photos }.map { it.id }
        stage.go(Place.Photo(ids[1]))
        Pictures.settle()
        stage.settle()
        val close = { stage.root.all().filterIsInstance<CloseView>().single() }
        val card = stage.ask { photo(ids[1]) }
        assertEquals("Photo ${card.place}, ${card.card.shows}, ${card.card.note}", close().named())
        assertTrue(close().named().startsWith("Photo 2 of 3"))
        stage.tap(R.string.walk_larger).tap(R.string.walk_larger)
        assertTrue(close().zoom > 2f)
        repeat(4) { stage.tap(R.string.walk_smaller) }
        assertEquals(CloseView.WHOLE, close().zoom)
        stage.type(stage.word(R.string.walk_caption), "Rings").tap("Coin")
        assertEquals("Rings", stage.ask { photo(ids[1]) }.card.caption)
        stage.tap(R.string.walk_order_earlier)
        assertTrue(close().named().startsWith("Photo 1 of 3"))
        assertTrue("none before the first", stage.touchable.none { it.named() == stage.word(R.string.walk_order_earlier) })
        assertEquals(listOf(ids[1], ids[0], ids[2]), stage.ask { shots(inquiry, plant) }.shots.flatMap { it.photos }.map { it.id })
        stage.tap(R.string.walk_order_later)
        assertTrue(close().named().startsWith("Photo 2 of 3"))
        stage.tap(R.string.walk_one_after)
        assertTrue(close().named().startsWith("Photo 3 of 3"))
        assertTrue("none after the last", stage.touchable.none { it.named() == stage.word(R.string.walk_one_after) })
        stage.tap(R.string.walk_one_before).tap(R.string.walk_take_away)
        assertTrue("off the photos", stage.activity.trail.here is Place.Shots)
        assertEquals(2, stage.taken())
        stage.tap(R.string.undo)
        assertEquals(3, stage.taken())
    }

    @Test
    @GraphicsMode(GraphicsMode.Mode.NATIVE)
    fun aPhotoHasTheScreenForItselfAndIsMovedByButtons() {
        val stage = shots().tap(R.string.walk_open_camera).takes()
        stage.go(Place.Photo(stage.ask { shots(inquiry, plant) }.shots.flatMap { it.photos }.single().id))
        Pictures.settle()
        stage.settle()
        val close = { stage.root.all().filterIsInstance<CloseView>().single() }
        stage.tap(R.string.walk_whole_screen)
        assertTrue("nothing else to read", stage.word(R.string.walk_caption) !in stage.words)
        assertTrue(close().height > stage.root.height / 3)
        stage.tap(R.string.walk_right)
        assertEquals("the whole of it has nowhere to go", 0f, close().moved.first, 0f)
        stage.tap(R.string.walk_larger).tap(R.string.walk_larger).tap(R.string.walk_larger)
        stage.tap(R.string.walk_right).tap(R.string.walk_down)
        assertTrue("${close().moved}", close().moved.first < 0f && close().moved.second < 0f)
        stage.tap(R.string.walk_left).tap(R.string.walk_up)
        assertEquals(0f, close().moved.first, SLIGHT)
        assertEquals(0f, close().moved.second, SLIGHT)
        stage.back()
        assertTrue(stage.activity.trail.here is Place.Photo)
        assertTrue(stage.words, stage.word(R.string.walk_caption) in stage.words)
    }

    @Test
    fun aPhotoTakenFromALookStandsWithWhatWasFoundThere() {
        val stage = stageIn(folder.root.toPath())
        val (inquiry, plant) = stage.plant()
        stage.go(Place.Look(inquiry, plant, ""))
        val look = stage.ask { look(inquiry, plant, "", "") }.look!!
        stage.tap(look.answers.first { it.mark == "seen" }.text).tap(R.string.walk_photos)
        val name = stage.ask { look(inquiry, plant, look.character, "") }.parts.flatMap { it.looks }.first { it.character == look.character }.label
        assertTrue(stage.words, "${stage.word(R.string.walk_shot_of_look)}" in stage.words && name in stage.words)
        stage.killed()
        assertTrue(stage.words, name in stage.words)
        stage.tap(R.string.walk_open_camera).takes()
        val photo = stage.ask { shots(inquiry, plant) }.shots.flatMap { it.photos }.single().id
        var findings = emptyList<SummaryView>()
        app.core.askNotebook({ list(ListRequest(Kind.FINDING)).rows }) { findings = (it as Answer.Done).value }
        stage.settle()
        assertEquals("the finding names it", 1, findings.count { photo in it.toString() })
    }

    @Test
    @GraphicsMode(GraphicsMode.Mode.NATIVE)
    fun aTakenShotIsSeenAndTakenAgain() {
        val stage = shots().tap(R.string.walk_open_camera).takes()
        val first = stage.ask { shots(inquiry, plant) }.shots.flatMap { it.photos }.single().id
        stage.tap(R.string.walk_again).takes()
        assertNotEquals(first, stage.ask { shots(inquiry, plant) }.shots.flatMap { it.photos }.single().id)
        assertTrue(stage.words, stage.word(R.string.undo) in stage.words)
    }

    private companion object {
        /** Points of the screen that nobody sees. */
        const val SLIGHT = 0.5f
    }
}
