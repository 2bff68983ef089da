package org.dooryard.app

import android.content.Intent
import android.net.Uri
import android.provider.MediaStore
import org.dooryard.kit.Desk
import org.dooryard.kit.Place
import org.junit.Assert.assertEquals
import org.junit.Assert.assertFalse
import org.junit.Assert.assertTrue
import org.junit.Before
import org.junit.Rule
import org.junit.Test
import org.junit.rules.TemporaryFolder
import org.junit.runner.RunWith
import org.robolectric.annotation.Config

/** From the first run to the office and back, as somebody does it with the phone in the hand. */
@RunWith(NativeCoreRunner::class)
class HandWayTest {
    @get:Rule val folder = TemporaryFolder()

    private val desk by lazy { Desk(folder.root.toPath().resolve("office")) }

    private fun file(name: String) = folder.root.resolve(name)

    @Before
    fun noOfficeYet() {
        RehearsalApp.desk = null
    }

    private fun Stage.scans(code: String): Stage {
        tap(R.string.hand_scan)
        val output = asked().extras!!.let { @Suppress("DEPRECATION") it.getParcelable<Uri>(MediaStore.EXTRA_OUTPUT)!! }
        activity.contentResolver.openOutputStream(output)!!.use { it.write(photoOf(code)) }
        return answers(null)
    }

    private fun Stage.takesAnInquiry(): Stage {
        goes(Place.Today).tap(R.string.someone_asks)
        repeat(4) { tap("No") }
        return type("words", "Spots on the low leaves").tap(R.string.stop_here)
    }

    @Test
    @Config(sdk = [26, 34])
    fun joinsByCodesHandsOverAndTakesInTheReplyWhateverTheSystemDoesMeanwhile() {
        val stage = Stage().goes(Place.Join)
        stage.picture("join")
        stage.copies(desk.invite("Scout 3"))
        stage.tap(R.string.hand_paste)
        stage.picture("join-words")
        assertTrue(stage.words, "Larkspur County" in stage.words)
        stage.recreate()
        stage.tap(R.string.hand_same_words).recreate()
        stage.picture("join-asking")
        assertTrue(stage.words, stage.activity.getString(R.string.hand_own_code) in stage.words)
        stage.scans(desk.admit(stage.text("DY2:"))).recreate()
        stage.picture("join-done")
        assertTrue(stage.words, "This phone is one of Larkspur County." in stage.words)

        stage.takesAnInquiry().recreate()
        stage.tap(R.string.hand_over).recreate()
        stage.picture("hand-over")
        stage.tap(R.string.hand_make).recreate()
        stage.picture("hand-over-made")
        stage.tap(R.string.hand_share)
        val shared = stage.shared(file("shared.yard"))
        stage.tap(R.string.hand_save)
        assertEquals(Intent.ACTION_CREATE_DOCUMENT, stage.asked().action)
        val (place, written) = stage.place("card")
        stage.answers(place).recreate()
        stage.picture("hand-over-saved")
        assertTrue(stage.words, stage.activity.getString(R.string.hand_saved) in stage.words)
        assertTrue(written.toByteArray().contentEquals(shared.readBytes()))
        desk.takeIn(shared.toPath())
        desk.reply("Scout 3", file("reply.yard").toPath())

        stage.tap(R.string.dismiss).goes(Place.Today)
        val reply = stage.offers("reply.yard", file("reply.yard").readBytes())
        stage.controller.newIntent(Intent(Intent.ACTION_VIEW).setDataAndType(reply, ANY_BYTES))
        stage.settle()
        stage.picture("hand-over-reply")
        assertTrue(stage.words, "The office has" in stage.words)
        stage.recreate()
        assertTrue(stage.words, "The office has" in stage.words)
        stage.tap(R.string.dismiss)
        stage.picture("hand-over-after")
        assertTrue(stage.words, "Office has it" in stage.words)
    }

    @Test
    fun whatIsNoFileOfTheOfficeIsRefusedWithWhatWhyAndWhatToDo() {
        RehearsalApp.desk = desk
        val stage = Stage().goes(Place.HandOver)
        stage.tap(R.string.hand_take_reply)
        assertEquals(Intent.ACTION_OPEN_DOCUMENT, stage.asked().action)
        stage.answers(stage.offers("letter.txt", "a letter".toByteArray()))
        stage.picture("hand-over-refused")
        assertTrue(stage.words, "This app cannot use it. It was not changed." in stage.words)
        assertTrue(stage.words, stage.activity.getString(R.string.hand_kept_all) in stage.words)
        stage.recreate().tap(R.string.dismiss)
        assertFalse(stage.words, "This app cannot use it" in stage.words)
        stage.tap(R.string.hand_take_reply).answers(null, ok = false)
        assertFalse(stage.words, stage.activity.getString(R.string.hand_not_taken) in stage.words)
        // A file that another app does not give after all.
        stage.tap(R.string.hand_take_reply).answers(Uri.parse("content://nobody/gone"))
        assertTrue(stage.words, stage.activity.getString(R.string.hand_unreadable) in stage.words)
    }

    @Test
    fun aFileSentFromAnotherAppOpensTheAppOnIt() {
        RehearsalApp.desk = desk
        val stage = Stage()
        val file = stage.offers("x.yard", "x".toByteArray())
        val send = Intent(Intent.ACTION_SEND).setType(ANY_BYTES).putExtra(Intent.EXTRA_STREAM, file)
        assertEquals(file, send.sentFile())
        stage.controller.newIntent(send)
        stage.settle()
        assertTrue(stage.words, stage.activity.getString(R.string.hand_not_taken) in stage.words)
        assertEquals(null, Intent(Intent.ACTION_VIEW, Uri.parse("file:///data/data/org.dooryard.app/files/code")).sentFile())
        assertEquals(null, Intent(Intent.ACTION_MAIN).sentFile())
    }

    @Test
    fun aSecondFileThatIsOpenedMeanwhileIsReadAfterTheFirst() {
        RehearsalApp.desk = desk
        val stage = Stage()
        val another = stage.activity.getString(R.string.hand_another_waits)
        desk.invite("Scout 9").let { code ->
            stage.controller.newIntent(Intent(Intent.ACTION_VIEW).setDataAndType(stage.offers("letter.txt", "a letter".toByteArray()), ANY_BYTES))
            stage.controller.newIntent(Intent(Intent.ACTION_VIEW).setDataAndType(stage.offers("code.txt", code.toByteArray()), ANY_BYTES))
        }
        stage.settle()
        assertTrue(stage.words, stage.activity.getString(R.string.hand_not_taken) in stage.words)
        assertTrue(stage.words, another in stage.words)
        stage.picture("hand-over-another").also { stage.recreate() }
        assertTrue(stage.words, another in stage.words)
        val first = stage.words
        stage.tap(R.string.dismiss)
        assertFalse(stage.words, another in stage.words)
        assertTrue("the second one was read: $first", "An office's code" in stage.words)
        stage.tap(R.string.hand_opened_leave)
        assertFalse(stage.words, "An office's code" in stage.words)
    }

    @Test
    fun aPictureWithoutACodeAndACameraThatGivesNoneAreSaidAndTheCodeTypedStays() {
        val stage = Stage().goes(Place.Join)
        stage.type(stage.activity.getString(R.string.hand_code_field), "DY1:HALF")
        stage.tap(R.string.hand_from_picture)
        assertEquals("image/*", stage.asked().type)
        stage.answers(stage.offers("cat.jpg", "no picture".toByteArray()))
        assertTrue(stage.words, stage.activity.getString(R.string.hand_not_seen) in stage.words)
        stage.tap(R.string.hand_scan).answers(null, ok = false)
        stage.recreate()
        assertEquals("DY1:HALF", stage.field(stage.activity.getString(R.string.hand_code_field)).text.toString())
        stage.tap(R.string.hand_read_code)
        stage.picture("join-refused")
        assertTrue(stage.words, "It is not in the form that it should have. Ask for it again." in stage.words)
        assertEquals("DY1:HALF", stage.field(stage.activity.getString(R.string.hand_code_field)).text.toString())
    }
}
