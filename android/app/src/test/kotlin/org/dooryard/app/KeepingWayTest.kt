package org.dooryard.app

import android.content.Intent
import org.dooryard.core.Language
import org.dooryard.core.SecretsException
import org.dooryard.core.Units
import org.dooryard.app.parts.CodeView
import org.dooryard.app.parts.all
import org.dooryard.kit.Desk
import org.dooryard.kit.Look
import org.dooryard.kit.MemorySecrets
import org.dooryard.kit.Place
import org.dooryard.kit.Settings
import org.dooryard.kit.Type
import org.dooryard.kit.join.Qr
import org.junit.After
import org.junit.Assert.assertArrayEquals
import org.junit.Assert.assertEquals
import org.junit.Assert.assertFalse
import org.junit.Assert.assertTrue
import org.junit.Rule
import org.junit.Test
import org.junit.rules.TemporaryFolder
import org.junit.runner.RunWith
import org.robolectric.RuntimeEnvironment
import org.robolectric.annotation.Config
import java.io.File

/** The office and this phone, what is kept elsewhere, what is let go of, and records that do not open. */
@RunWith(NativeCoreRunner::class)
class KeepingWayTest {
    @get:Rule val folder = TemporaryFolder()

    private fun stage(): Stage {
        RehearsalApp.desk = Desk(folder.root.toPath().resolve("office"))
        return Stage()
    }

    private fun Stage.takesAnInquiry(): Stage {
        goes(Place.Today).tap(R.string.someone_asks)
        repeat(4) { tap("No") } // the same in both languages
        return tap(R.string.stop_here)
    }

    /** Nothing is cut, too small, without a name or too pale; and a picture to look at. */
    private fun Stage.walked(name: String, sun: Boolean = false) {
        val place = activity.trail.here.line()
        picture("$name-$place")
        Walk(this, sun).problems().mapTo(problems) { "$name $place: $it" }
    }

    private val problems = ArrayList<String>()

    @After
    fun nothingIsWrongWithAnyScreen() = assertEquals("", problems.joinToString("\n"))

    @Test
    @Config(sdk = [26, 34])
    fun whatAPersonChoosesIsThereAtOnceAndAfterwards() {
        val stage = stage().goes(Place.Me)
        stage.picture("me")
        assertTrue(stage.words, "This phone is called" in stage.words)
        stage.tap("Español")
        assertEquals(Language.ES, stage.app.settings.language)
        stage.recreate()
        assertTrue(stage.words, "Este teléfono" in stage.words)
        stage.picture("me-es")
        stage.tap(R.string.hand_look_sun).recreate()
        stage.tap(R.string.hand_type_largest).recreate()
        stage.tap("Metros").recreate()
        assertEquals(Settings(Language.ES, Units.METRIC, Look.SUN, Type.LARGEST), stage.app.settings)
        stage.picture("me-es-sun-large")
        stage.tap("English").recreate()
        assertTrue(stage.words, "This phone is called" in stage.words)
    }

    @Test
    fun aBackupIsWrittenToAPlaceAndBroughtBack() {
        val stage = stage().takesAnInquiry().goes(Place.Backup)
        stage.picture("backup")
        stage.tap(R.string.hand_backup_make)
        assertEquals(Intent.ACTION_CREATE_DOCUMENT, stage.asked().action)
        val (place, written) = stage.place("card")
        stage.answers(place).recreate()
        stage.picture("backup-written")
        assertTrue(stage.words, "Read back once and whole" in stage.words)
        stage.tap(R.string.dismiss).tap(R.string.hand_backup_bring)
        stage.answers(stage.offers("card", written.toByteArray())).recreate()
        assertTrue(stage.words, "here already" in stage.words)
        stage.tap(R.string.dismiss).tap(R.string.hand_backup_bring)
        stage.answers(stage.offers("other", "no backup".toByteArray()))
        stage.picture("backup-refused")
        assertTrue(stage.words, "no backup that can be used here" in stage.words)
        stage.tap(R.string.hand_own_data_write)
        assertEquals("application/zip", stage.asked().type)
        val (own, zip) = stage.place("own")
        stage.answers(own)
        assertEquals("PK", zip.toByteArray().copyOf(2).decodeToString())
    }

    @Test
    @Config(sdk = [26, 34])
    fun oneInquiryIsMadeAFileSharedAndSaved() {
        val stage = stage().takesAnInquiry()
        val inquiry = stage.does { handOverPage("", 20u) }.rows.single().inquiry
        stage.goes(Place.Inquiry(inquiry)).tap(R.string.tell_as_file)
        stage.picture("one-file")
        stage.tap(R.string.tell_as_file_make).recreate()
        stage.picture("one-file-made")
        assertTrue(stage.words, "It is not sealed" in stage.words)
        stage.tap(R.string.hand_share)
        val shared = stage.shared(folder.newFile("shared.zip"))
        assertEquals("PK", shared.readBytes().copyOf(2).decodeToString())
        stage.tap(R.string.hand_save)
        assertEquals("application/zip", stage.asked().type)
        val (place, written) = stage.place("one")
        stage.answers(place).recreate()
        assertTrue(stage.words, stage.word(R.string.tell_as_file_saved) in stage.words)
        assertArrayEquals(shared.readBytes(), written.toByteArray())
        stage.tap(R.string.dismiss)
        assertEquals(Place.Inquiry(inquiry), stage.activity.trail.here)
    }

    @Test
    fun erasingShowsWhatWouldBeLostAndBeginsAnewAtTheFirstScreen() {
        val stage = stage().takesAnInquiry().goes(Place.Privacy)
        stage.picture("privacy")
        stage.tap(R.string.hand_erase)
        stage.picture("privacy-erase")
        assertTrue(stage.words, "Erasing loses what the office does not have." in stage.words)
        stage.back()
        assertTrue(stage.words, stage.activity.getString(R.string.hand_holds) in stage.words)
        stage.tap(R.string.hand_erase).tap(R.string.hand_erase_keep)
        assertEquals(Place.Privacy, stage.activity.trail.here)
        stage.tap(R.string.hand_erase).tap(R.string.hand_erase_now)
        assertEquals(Place.Today, stage.activity.trail.here)
        assertTrue(stage.words, "Nothing on this phone waits" in stage.words)
        assertFalse(stage.words, "Spots" in stage.words)
    }

    @Test
    fun lettingGoIsChosenInWords() {
        val stage = stage().goes(Place.Privacy)
        stage.tap("Let go of photos once")
        assertTrue(stage.words, stage.activity.getString(R.string.hand_let_go_done) in stage.words)
        stage.recreate().tap("Keep everything on this phone")
        assertTrue(stage.words, stage.activity.getString(R.string.hand_let_go_kept) in stage.words)
    }

    @Test
    fun damagedRecordsHaveAScreenOfTheirOwnUntilSomebodyOpensAgain() {
        val app = RuntimeEnvironment.getApplication() as RehearsalApp
        stage().takesAnInquiry()
        app.core.close {}
        app.core.settle()
        File(app.folder, "notebook.db").writeBytes(ByteArray(9000) { 7 })
        val stage = Stage()
        stage.picture("start-damaged")
        val head = stage.activity.getString(R.string.hand_start_damaged)
        assertTrue(stage.words, head in stage.words)
        stage.recreate()
        assertTrue(stage.words, head in stage.words)
        stage.tap(R.string.hand_start_save)
        val (place, written) = stage.place("card")
        stage.answers(place)
        assertTrue(stage.words, stage.activity.getString(R.string.hand_start_saved) in stage.words)
        assertEquals(9000, written.size())
        stage.tap(R.string.open_again)
        assertTrue(stage.words, "Nothing on this phone waits" in stage.words)
    }

    @Test
    fun aLockedKeyIsSaidAndTheNextTryOpens() {
        val app = RuntimeEnvironment.getApplication() as RehearsalApp
        stage()
        app.core.close {}
        app.secrets.throws = SecretsException.Locked()
        app.core.settle()
        val stage = Stage()
        stage.picture("start-locked")
        assertTrue(stage.words, stage.activity.getString(R.string.trouble_locked) in stage.words)
        app.secrets.throws = SecretsException.Gone()
        stage.tap(R.string.open_again)
        assertTrue(stage.words, stage.activity.getString(R.string.hand_start_key) in stage.words)
        stage.picture("start-key")
        app.secrets.throws = null
        stage.tap(R.string.open_again)
        assertTrue(stage.words, "Nothing on this phone waits" in stage.words)
    }

    @Test
    fun whereTheKeyIsGoneANewOneIsMadeAndAllTheRecordsStayUntilTheOfficeTakesThePhoneOnAgain() {
        val app = RuntimeEnvironment.getApplication() as RehearsalApp
        stage().takesAnInquiry()
        app.core.close {}
        // The phone's own secret is another one now: it can make a key, and not read the old one.
        app.secrets = MemorySecrets("another")
        app.core.settle()
        val stage = Stage()
        assertTrue(stage.words, stage.activity.getString(R.string.hand_start_key) in stage.words)
        stage.tap(R.string.hand_start_new_key_now)
        assertEquals(Place.Join, stage.activity.trail.here)
        stage.walked("start-key-new")
        stage.goes(Place.Today)
        assertFalse(stage.words, stage.activity.getString(R.string.hand_start_key) in stage.words)
        assertFalse("the inquiry is here", "Nothing on this phone waits" in stage.words)
        assertTrue("the old key is kept", File(app.folder, "local/device.key.lost-1").exists())
    }

    @Test
    fun whereTheKeyIsGoneTheRecordsAreSetAsideWholeAndANewNotebookBegins() {
        val app = RuntimeEnvironment.getApplication() as RehearsalApp
        stage().takesAnInquiry()
        app.core.close {}
        app.secrets.throws = SecretsException.Gone()
        app.core.settle()
        val before = app.folder.walk().filter { it.isFile }.map { it.name to it.length() }.toSet()
        val stage = Stage()
        assertTrue(stage.words, stage.activity.getString(R.string.hand_start_aside_kept) in stage.words)
        stage.walked("start-key-aside")
        stage.tap(R.string.hand_start_aside_now)
        assertTrue("the key is gone for a new one too", stage.activity.getString(R.string.hand_start_key) in stage.words)
        app.secrets.throws = null
        stage.tap(R.string.open_again)
        assertEquals(Place.Join, stage.activity.trail.here)
        val aside = app.filesDir.listFiles { file -> file.name.startsWith("set-aside-") }!!.first()
        assertEquals("nothing is deleted", before, aside.walk().filter { it.isFile }.map { it.name to it.length() }.toSet())
        stage.goes(Place.Today)
        assertTrue(stage.words, "Nothing on this phone waits" in stage.words)
        stage.goes(Place.Privacy).tap(R.string.hand_erase).tap(R.string.hand_erase_now)
        assertEquals("erased too", emptyList<File>(), app.filesDir.listFiles { file -> file.name.startsWith("set-aside-") }!!.toList())
    }

    @Test
    @Config(qualifiers = "+es")
    fun inSpanishAndLargeTypeNothingIsCut() {
        RuntimeEnvironment.setFontScale(2f)
        val stage = stage().takesAnInquiry()
        for (place in listOf(Place.HandOver, Place.Me, Place.Join, Place.Backup, Place.Privacy)) stage.goes(place).walked("large-es")
        stage.goes(Place.HandOver).tap(R.string.hand_make).walked("large-es-made")
    }

    @Test
    @Config(qualifiers = "+night")
    fun byNight() {
        val stage = stage().takesAnInquiry()
        for (place in listOf(Place.HandOver, Place.Me, Place.Join, Place.Backup, Place.Privacy)) stage.goes(place).walked("night")
    }

    @Test
    fun inFullSunAndByDay() {
        val stage = stage().takesAnInquiry()
        val places = listOf(Place.HandOver, Place.Me, Place.Join, Place.Backup, Place.Privacy)
        for (place in places) stage.goes(place).walked("day")
        stage.app.settings = Settings(look = Look.SUN)
        stage.recreate()
        for (place in places) stage.goes(place).walked("sun", sun = true)
    }

    @Test
    fun theCodeOfThisPhoneIsBlackOnWhiteInEveryLook() {
        val desk = Desk(folder.root.toPath().resolve("office"))
        RehearsalApp.desk = null
        val app = RuntimeEnvironment.getApplication() as RehearsalApp
        app.core.askNotebook({ join(desk.invite("Scout 3")) }) {}
        app.settings = Settings(look = Look.DARK)
        val stage = Stage().goes(Place.Me)
        stage.root.findViewById<android.widget.ScrollView>(R.id.scroll).scrollTo(0, stage.root.all().first { it is CodeView }.top)
        val picture = stage.picture("me-asking-dark")
        val seen = checkNotNull(pictureIn(picture.copyTo(folder.newFile(), true)).luminance())
        assertEquals(stage.text("DY2:"), Qr.read(seen))
    }

    @Test
    fun aShareSheetHoldsTheCodeAsText() {
        val desk = Desk(folder.root.toPath().resolve("office"))
        RehearsalApp.desk = null
        val app = RuntimeEnvironment.getApplication() as RehearsalApp
        app.core.askNotebook({ join(desk.invite("Scout 3")) }) {}
        val stage = Stage().goes(Place.Join)
        stage.tap(R.string.hand_copy)
        assertEquals(stage.text("DY2:"), stage.activity.pastedText())
        assertTrue(stage.words, stage.activity.getString(R.string.hand_copied) in stage.words)
    }
}
