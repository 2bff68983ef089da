package org.dooryard.app

import android.content.Intent
import android.os.Build
import android.widget.FrameLayout
import org.dooryard.app.parts.all
import org.dooryard.app.parts.spokenText
import org.dooryard.app.screens.ScreenView
import org.dooryard.app.walk.ask
import org.dooryard.app.walk.leaf
import org.dooryard.core.Bilingual
import org.dooryard.core.NotebookException
import org.dooryard.core.Retry
import org.dooryard.core.Screens
import org.dooryard.kit.Desk
import org.dooryard.kit.Place
import org.dooryard.kit.Presenter
import org.junit.After
import org.junit.Assert.assertEquals
import org.junit.Assert.assertFalse
import org.junit.Assert.assertTrue
import org.junit.Rule
import org.junit.Test
import org.junit.rules.TemporaryFolder
import org.junit.runner.RunWith
import org.robolectric.RuntimeEnvironment
import org.robolectric.annotation.Config
import java.time.Duration

/** What another app opened with this one goes to the screen that it is for; room on the phone; what the app speaks from. */
@RunWith(NativeCoreRunner::class)
class OpenedWayTest {
    @get:Rule val folder = TemporaryFolder()

    private val desk by lazy { Desk(folder.root.toPath().resolve("office")) }
    private val problems = ArrayList<String>()

    private fun file(name: String) = folder.root.resolve(name)

    private fun stage(): Stage {
        RehearsalApp.desk = desk
        return Stage()
    }

    private fun Stage.takesAnInquiry(): String = ask {
        begin("yard").also {
            write(it, "words", "Rings on the low leaves", true)
            importPhoto(it, null, "site", "", leaf.path)
        }
    }

    private fun Stage.opens(name: String, bytes: ByteArray, action: String = Intent.ACTION_VIEW): Stage {
        val uri = offers(name, bytes)
        val intent = Intent(action)
        controller.newIntent(if (action == Intent.ACTION_VIEW) intent.setDataAndType(uri, ANY_BYTES) else intent.setType(ANY_BYTES).putExtra(Intent.EXTRA_STREAM, uri))
        return settle()
    }

    private fun Stage.written(how: Int): ByteArray {
        goes(Place.Backup).tap(how)
        val (place, written) = place("card")
        answers(place).tap(R.string.dismiss)
        return written.toByteArray()
    }

    private fun Stage.walked(name: String) {
        picture("opened-$name")
        // The tree that a reader walks has no headings on older phones.
        if (Build.VERSION.SDK_INT >= Build.VERSION_CODES.P) Walk(this).problems().mapTo(problems) { "$name: $it" }
    }

    @After
    fun nothingIsWrongWithAnyScreen() = assertEquals("", problems.joinToString("\n"))

    @Test
    @Config(sdk = [26, 34])
    fun aBackupAndOnesOwnDataAreBroughtInOnceSomebodyWantsThat() {
        val stage = stage().also { it.takesAnInquiry() }
        val backup = stage.written(R.string.hand_backup_make)
        val own = stage.written(R.string.hand_own_data_write)
        stage.goes(Place.Today).opens("card.backup", backup).recreate()
        assertTrue(stage.words, "A backup" in stage.words && stage.word(R.string.hand_opened_records) in stage.words)
        stage.walked("backup")
        stage.tap(R.string.hand_opened_leave)
        assertEquals(Place.HandOver, stage.activity.trail.here)
        stage.goes(Place.Today).opens("card.backup", backup).tap(R.string.hand_opened_records_on)
        assertEquals(Place.Backup, stage.activity.trail.here)
        assertTrue(stage.words, "here already" in stage.words)
        stage.tap(R.string.dismiss).goes(Place.Today).opens("own.zip", own, Intent.ACTION_SEND)
        assertTrue(stage.words, "Somebody's own data" in stage.words)
        stage.tap(R.string.hand_opened_records_on)
        assertTrue(stage.words, stage.word(R.string.hand_brought) in stage.words)
    }

    @Test
    fun anOfficesCodeLeadsToTheWordsToCompare() {
        RehearsalApp.desk = null
        val stage = Stage().opens("code.txt", desk.invite("Scout 3").toByteArray())
        assertTrue(stage.words, "An office's code" in stage.words)
        stage.walked("code")
        stage.tap(R.string.hand_opened_code_on).recreate()
        assertEquals(Place.Join, stage.activity.trail.here)
        assertTrue(stage.words, "Larkspur County" in stage.words && stage.word(R.string.hand_same_words) in stage.words)
    }

    @Test
    fun whatIsSealedToSomebodyElseSaysWhyItIsNotOpened() {
        val stage = stage().also { it.takesAnInquiry() }
        stage.goes(Place.HandOver).tap(R.string.hand_make)
        val bundle = stage.app.errands.outbox.newest()!!.readBytes()
        stage.tap(R.string.dismiss).goes(Place.Today).opens("hand-over.yard", bundle)
        val said = listOf("A sealed file", "Only whoever it was sealed to can open it", stage.word(R.string.hand_kept_all))
        said.forEach { assertTrue(stage.words, it in stage.words) }
        stage.walked("held")
        stage.tap(R.string.dismiss)
        assertFalse(stage.words, "A sealed file" in stage.words)
    }

    @Test
    @Config(sdk = [26, 34])
    fun roomIsMadeOfWhatTheOfficeHas() {
        val stage = stage()
        val inquiry = stage.takesAnInquiry()
        stage.goes(Place.Me).tap(R.string.hand_room)
        assertTrue(stage.words, "1 photo stays: no answer of the office" in stage.words)
        assertTrue("nothing to let go", stage.touchable.none { it.named() == stage.word(R.string.hand_room_go) })
        stage.walked("room-none")
        officeHasIt(stage)
        stage.goes(Place.Room).recreate()
        assertTrue(stage.words, "1 photo is proven to be safe at the office" in stage.words)
        stage.walked("room")
        stage.tap(R.string.hand_room_go).recreate()
        assertTrue(stage.words, "1 photo left this phone" in stage.words)
        stage.walked("room-done")
        val left = stage.ask { shots(inquiry, null) }.let { s -> s.others + s.shots.flatMap { it.photos } }.single()
        assertTrue("its original is not here", left.path.isEmpty() && left.small.isNotEmpty())
        stage.tap(R.string.dismiss)
        assertTrue(stage.words, stage.word(R.string.hand_room_none) in stage.words)
    }

    @Test
    @Config(qualifiers = "+es")
    fun inSpanishAndLargeTypeNothingIsCut() {
        RuntimeEnvironment.setFontScale(2f)
        val stage = stage().also { it.takesAnInquiry() }
        stage.goes(Place.Room).walked("es-large-room-none")
        officeHasIt(stage)
        stage.goes(Place.Room).walked("es-large-room")
        stage.goes(Place.Today).opens("code.txt", desk.invite("Scout 9").toByteArray()).walked("es-large-code")
        stage.tap(R.string.hand_opened_leave).goes(Place.Today).opens("letter.txt", "x".toByteArray()).walked("es-large-held")
    }

    /** The office admits this phone, takes in what it hands over, and its reply comes. */
    private fun officeHasIt(stage: Stage) {
        val code = stage.ask { first() }.ask
        stage.app.core.askNotebook({ takeAnswer(desk.admit(code)) }) {}
        stage.settle()
        stage.goes(Place.HandOver).tap(R.string.hand_make)
        desk.takeIn(stage.app.errands.outbox.newest()!!.toPath())
        desk.backUp(file("elsewhere").toPath())
        desk.reply("Scout 3", file("reply.yard").toPath())
        stage.tap(R.string.dismiss).opens("reply.yard", file("reply.yard").readBytes()).tap(R.string.dismiss)
    }

    @Test
    fun thePageOfTheOfficeSaysWhatTheAppSpeaksFromAndThatItMayBeOutdated() {
        val stage = stage()
        val now = stage.goes(Place.Me).ask { content() }
        assertEquals("", now.outdated)
        now.facts.forEach { assertTrue(it.label, it.label in stage.words && it.text in stage.words) }
        assertTrue(stage.words, now.name in stage.words && now.notice in stage.words)
        stage.app.clock.set(RehearsalApp.START_MS + Duration.ofDays(YEARS_OF_DAYS).toMillis())
        stage.recreate()
        val later = stage.ask { content() }.outdated
        assertTrue("it is old by then", later.isNotEmpty())
        assertTrue(stage.words, later in stage.words)
        stage.root.findViewById<android.widget.ScrollView>(R.id.scroll).scrollTo(0, stage.root.all().first { it.named() == now.name }.top)
        stage.walked("content-outdated")
    }

    @Test
    fun whereThePhoneIsFullAWayToRoomStandsBesideThatSentence() {
        val stage = stage()
        val full = object : Presenter<Unit>(stage.app.core, stage.activity.trail) {
            override fun Screens.load() = throw NotebookException.Refused("NO_SPACE", Retry.NEVER, Bilingual("", ""))
        }
        full.start()
        stage.settle()
        val root = FrameLayout(stage.activity)
        val page = Page(stage.activity, root).apply { turn() }
        page.show(object : ScreenView<Presenter<Unit>>(stage.activity, full) {
            override val title = ""
            override fun parts() = emptyList<org.dooryard.app.parts.Part>()
        }, stage.app.undoing)
        assertTrue(root.spokenText(), stage.word(R.string.trouble_full) in root.spokenText())
        root.all().first { it.isClickable && it.named() == stage.word(R.string.hand_room) }.performClick()
        assertEquals(Place.Room, stage.activity.trail.here)
    }

    private companion object {
        const val YEARS_OF_DAYS = 3650L
    }
}
