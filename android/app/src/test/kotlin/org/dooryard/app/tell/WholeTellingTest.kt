package org.dooryard.app.tell

import android.app.DatePickerDialog
import android.content.ComponentName
import android.content.DialogInterface
import android.content.Intent
import android.content.IntentFilter
import android.net.Uri
import org.dooryard.app.NativeCoreRunner
import org.dooryard.app.R
import org.dooryard.app.SharedFiles
import org.dooryard.app.Stage
import org.dooryard.core.RecordId
import org.dooryard.kit.Place
import org.dooryard.kit.tell.Walked
import org.dooryard.kit.tell.walksTomato
import org.junit.Assert.assertEquals
import org.junit.Assert.assertFalse
import org.junit.Assert.assertThrows
import org.junit.Assert.assertTrue
import org.junit.Rule
import org.junit.Test
import org.junit.rules.TemporaryFolder
import org.junit.runner.RunWith
import org.robolectric.Shadows.shadowOf
import org.robolectric.annotation.Config
import org.robolectric.shadows.ShadowDialog
import java.io.File
import java.io.FileNotFoundException

/** From the first call to the last word of an inquiry. The window is taken away and given back at each step. */
@RunWith(NativeCoreRunner::class)
@Config(sdk = [26, 34])
class WholeTellingTest {
    @get:Rule val folder = TemporaryFolder()

    private val stage by lazy { stageOf(folder.root.toPath()) }

    @Test
    fun anInquiryIsTakenFoundToldSharedAskedAgainTakenAwayAndBroughtBack() {
        val walked = taken()
        found()
        told()
        shared()
        askedAgain(walked.inquiry)
        takenAway(walked.inquiry)
    }

    private fun taken(): Walked {
        stage.takes(SAID).recreate()
        stage.sees(SAID)
        val inquiry = (stage.activity.trail.here as Place.Ask).inquiry
        val walked = stage.on { walksTomato(inquiry) }
        stage.tap(R.string.stop_here).tap(HOST).recreate()
        stage.sees(SAID)
        stage.sees(stage.word(R.string.tell_go_on_taking))
        stage.tap(R.string.tell_finished).recreate()
        stage.seesNot(stage.word(R.string.tell_go_on_taking))
        return walked
    }

    private fun found() {
        stage.at(Place.Today).tap(R.string.records)
        stage.type(stage.word(R.string.tell_search), "nowhere", leave = false).recreate()
        stage.sees("No inquiry holds")
        stage.type(stage.word(R.string.tell_search), "purpl", leave = false).recreate()
        assertEquals("purpl", stage.field(stage.word(R.string.tell_search)).text.toString())
        stage.sees("On this phone")
        stage.tap(HOST)
    }

    private fun told() {
        stage.tap(R.string.tell_tell).tap(R.string.tell_told_back).tap("Print").recreate()
        stage.sees(stage.word(R.string.tell_say_this))
        stage.tap(R.string.tell_was_told).recreate()
        stage.sees(stage.word(R.string.tell_was_told_again))
        stage.tap(R.string.tell_told_before)
        stage.sees("Scout 3")
        assertTrue(stage.words, "print" in stage.words.substringAfter(stage.word(R.string.tell_told_before)))
    }

    private fun shared() {
        stage.tap(R.string.tell_to_letter)
        stage.tap(R.string.tell_letter_parts)
        val opening = stage.on { (stage.activity.trail.here as Place.Letter).let { letter(it.inquiry, it.plant, "en") } }.pieces.first()
        stage.type(opening.head, "Good morning, neighbor.", leave = false).recreate()
        stage.sees("Good morning, neighbor.")
        stage.tap(R.string.tell_letter_share)
        stage.sees(stage.word(R.string.tell_letter_nowhere))
        takesLetters()
        stage.tap(R.string.tell_letter_share)
        stage.seesNot(stage.word(R.string.tell_letter_nowhere))
        val chooser = shadowOf(stage.activity).nextStartedActivity
        assertEquals(Intent.ACTION_CHOOSER, chooser.action)
        @Suppress("DEPRECATION")
        val sent = checkNotNull(chooser.getParcelableExtra<Intent>(Intent.EXTRA_INTENT))
        assertEquals(Intent.ACTION_SEND_MULTIPLE, sent.action)
        assertTrue(sent.flags and Intent.FLAG_GRANT_READ_URI_PERMISSION != 0)
        val clip = checkNotNull(sent.clipData)
        val uris = (0 until clip.itemCount).map { clip.getItemAt(it).uri }
        assertEquals(listOf("html", "txt"), uris.map { it.path!!.substringAfterLast('.') })
        uris.forEach { assertTrue("Good morning, neighbor." in read(it)) }
        onlyThese(uris)
        stage.tap(R.string.tell_letter_text)
        @Suppress("DEPRECATION")
        val text = checkNotNull(shadowOf(stage.activity).nextStartedActivity.getParcelableExtra<Intent>(Intent.EXTRA_INTENT))
        assertTrue("Good morning, neighbor." in text.getStringExtra(Intent.EXTRA_TEXT)!!)
        stage.recreate()
        stage.sees("Good morning, neighbor.")
    }

    /** Nothing but what was shared is found, by whatever way it is asked for. */
    private fun onlyThese(uris: List<Uri>) {
        val app = stage.app
        val files = app.filesDir.walk().filter { it.isFile }.toList()
        val shared = uris.map { File(app.filesDir, it.path!!).canonicalPath }
        assertEquals(shared.toSet(), files.map { it.canonicalPath }.filter { opens(SharedFiles.uri(app, File(it))) }.toSet())
        assertTrue("there is a notebook to keep from them", files.size > shared.size)
        val around = uris.first().buildUpon().path("/shared/../notebook/${app.folder.list()!!.first()}").build()
        assertFalse(opens(around))
        assertThrows(FileNotFoundException::class.java) { app.contentResolver.openOutputStream(uris.first()) }
    }

    private fun opens(uri: Uri) = try {
        stage.app.contentResolver.openInputStream(uri)!!.close()
        true
    } catch (_: FileNotFoundException) {
        false
    }

    private fun read(uri: Uri) = stage.app.contentResolver.openInputStream(uri)!!.use { it.readBytes().decodeToString() }

    private fun takesLetters() {
        val packages = shadowOf(stage.app.packageManager)
        val mail = ComponentName("a.mail", "a.mail.Write")
        packages.addActivityIfNotPresent(mail)
        for (action in listOf(Intent.ACTION_SEND_MULTIPLE, Intent.ACTION_SEND)) {
            val filter = IntentFilter(action).apply {
                addCategory(Intent.CATEGORY_DEFAULT)
                addDataType("text/*")
            }
            packages.addIntentFilterForActivity(mail, filter)
        }
    }

    private fun askedAgain(inquiry: RecordId) {
        stage.at(Place.Inquiry(inquiry)).tap(R.string.tell_ask_later)
        stage.tap(R.string.tell_choose_day)
        stage.sees(stage.word(R.string.tell_question_first))
        stage.type(stage.word(R.string.tell_question), "Any new spots?", leave = false).recreate()
        stage.tap(R.string.tell_choose_day)
        val dialog = ShadowDialog.getLatestDialog() as DatePickerDialog
        dialog.updateDate(2026, 6, 20)
        dialog.getButton(DialogInterface.BUTTON_POSITIVE).performClick()
        stage.settle().recreate()
        stage.sees("Any new spots?")
        stage.at(Place.Today).tap(R.string.later).tap("Any new spots?")
        stage.type(stage.word(R.string.tell_answer), "None since the rain", leave = false).recreate()
        assertEquals("None since the rain", stage.field(stage.word(R.string.tell_answer)).text.toString())
        stage.tap("Recovered").recreate().tap(R.string.tell_was_answered)
        stage.tap(R.string.tell_answered)
        stage.sees("None since the rain")
        stage.sees("Recovered")
    }

    private fun takenAway(inquiry: RecordId) {
        stage.at(Place.Today).tap(R.string.records).tap(HOST).tap(R.string.tell_take_away)
        assertEquals(Place.Records, stage.activity.trail.here)
        stage.seesNot("On this phone")
        stage.recreate().tap(R.string.undo)
        stage.sees("On this phone")
        stage.tap(HOST).tap(R.string.tell_take_away).tap(R.string.dismiss)
        stage.seesNot(stage.word(R.string.undo))
        stage.tap(R.string.tell_bin).recreate().tap(R.string.tell_bring_back)
        stage.sees("Nothing was taken away")
        stage.back().recreate()
        stage.sees("On this phone")
        assertFalse(stage.on { inquiry(inquiry) }.takenAway)
        stage.tap(HOST)
        stage.sees(SAID)
    }

    private companion object {
        const val SAID = "Curled and purple leaves"
        const val HOST = "Tomato"
    }
}
