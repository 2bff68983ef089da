package org.dooryard.app.rows

import android.view.View
import android.view.ViewGroup
import android.widget.EditText
import android.widget.LinearLayout
import android.widget.TextView
import org.dooryard.app.NativeCoreRunner
import org.dooryard.app.R
import org.dooryard.app.Stage
import org.dooryard.app.parts.Column
import org.dooryard.app.parts.Field
import org.dooryard.app.parts.TextKind
import org.dooryard.app.parts.all
import org.dooryard.app.said
import org.dooryard.app.tell.on
import org.dooryard.app.tell.stageOf
import org.dooryard.app.tell.takes
import org.dooryard.core.FieldNotebook
import org.dooryard.core.InquiryFilter
import org.dooryard.core.Language
import org.dooryard.core.Reader
import org.dooryard.core.Screens
import org.dooryard.core.Units
import org.dooryard.kit.Presenter
import org.dooryard.kit.Trouble
import org.dooryard.kit.TroubleKind
import org.junit.Assert.assertEquals
import org.junit.Assert.assertTrue
import org.junit.Rule
import org.junit.Test
import org.junit.rules.TemporaryFolder
import org.junit.runner.RunWith
import org.robolectric.annotation.Config

/** A field tells what a person did in it, and nothing else; what stands in it is theirs. */
@RunWith(NativeCoreRunner::class)
@Config(sdk = [26, 34])
class FieldsTest {
    @get:Rule val folder = TemporaryFolder()

    private val told = ArrayList<String>()

    private fun field(kind: TextKind, text: String, problem: String = "") =
        Field("f", "A label", text, kind, problem, { told += "typed $it" }, { told += "left $it" })

    @Test
    fun whatTheAppPutsIntoAFieldNobodyTyped() {
        val stage = Stage()
        for (kind in TextKind.entries) {
            val into = LinearLayout(stage.activity)
            stage.activity.addContentView(into, ViewGroup.LayoutParams(MATCH, MATCH))
            val column = Column(into)
            column.show(listOf(field(kind, "12")))
            val edit = into.all().filterIsInstance<EditText>().single()
            assertEquals("12", edit.text.toString())
            column.show(listOf(field(kind, "13")))
            assertEquals("13", edit.text.toString())
            assertEquals("$kind: nobody typed", emptyList<String>(), told)
            edit.requestFocus()
            // The field of the kind before was left by that.
            told.clear()
            edit.setText("14")
            assertEquals(listOf("typed 14"), told)
            column.show(listOf(field(kind, "13", "a problem")))
            assertEquals("not under their fingers", "14", edit.text.toString())
            edit.clearFocus()
            assertEquals(listOf("typed 14", "left 14"), told)
            told.clear()
        }
    }

    @Test
    fun openingAScreenWritesNothing() {
        val stage = stageOf(folder.root.toPath())
        stage.takes("Spots on the leaves").tap(R.string.stop_here)
        val inquiry = stage.on { inquiries(InquiryFilter.ALL, "", "", 1u) }.rows.single().id
        val before = stage.on { history(inquiry, "", 50u) }.rows
        stage.on { leavePlace() }
        repeat(2) {
            stage.activity.trail.go(org.dooryard.kit.Place.Ask(inquiry))
            stage.settle().recreate().tap(R.string.stop_here)
        }
        assertEquals(before, stage.on { history(inquiry, "", 50u) }.rows)
    }

    /** The notebook says no in the middle: what stands in the field stays, with what to do. */
    @Test
    fun aFullPhoneIsSaidWhereSomebodyTypesAndTheWordsStay() {
        val stage = stageOf(folder.root.toPath())
        stage.takes("Spots on the leaves")
        stage.type("own words", "Spots on the leaves and stems", leave = false)
        val fail = Presenter::class.java.getDeclaredMethod("fail", Trouble::class.java).apply { isAccessible = true }
        fail.invoke(stage.activity.screen.presenter, Trouble(TroubleKind.FULL))
        stage.settle()
        val words = stage.activity.said(Trouble(TroubleKind.FULL)).lines()
        words.forEach { assertTrue("$it: ${stage.words}", it in stage.words) }
        assertEquals("Spots on the leaves and stems", stage.field("own words").text.toString())
        stage.tap(R.string.try_again)
        assertTrue(stage.words, words.first() !in stage.words)
        assertEquals("Spots on the leaves and stems", stage.field("own words").text.toString())
    }

    /** A copy of what is on the disk at that moment, opened as another start of the app would. */
    @Test
    fun whatIsTypedIsOnTheDiskWhenTheAppGoesOutOfSight() {
        val stage = stageOf(folder.root.toPath())
        stage.takes("Spots")
        val field = stage.field("own words")
        field.requestFocus()
        field.setText("Spots on the lea")
        stage.controller.pause().stop()
        stage.app.core.settle()
        val copy = folder.root.resolve("copy")
        stage.app.folder.copyRecursively(copy)
        FieldNotebook.rehearse(copy.path, stage.app.secrets, stage.app.clock, 7UL).use { notebook ->
            val screens = Screens.open(notebook, checkNotNull(System.getProperty("dooryard.pack")), Reader(Language.EN, Units.CUSTOMARY, "America/Chicago"))
            val inquiry = screens.inquiries(InquiryFilter.ALL, "", "", 1u).rows.single().id
            assertEquals("Spots on the lea", screens.ask(inquiry).fields.first { it.name == "words" }.text)
        }
    }

    /** Whoever hears the screen hears what happened, wherever they are on it. */
    @Test
    fun whatHappenedIsToldAloud() {
        val stage = stageOf(folder.root.toPath())
        stage.takes("Spots on the leaves").tap(R.string.stop_here)
        val inquiry = stage.on { inquiries(InquiryFilter.ALL, "", "", 1u) }.rows.single().id
        stage.activity.trail.go(org.dooryard.kit.Place.Inquiry(inquiry))
        stage.settle().tap(R.string.tell_take_away)
        val loud = stage.root.all().filter { it.isShown && it.accessibilityLiveRegion == View.ACCESSIBILITY_LIVE_REGION_POLITE }
            .filterIsInstance<TextView>().map { it.text.toString() }
        assertTrue("$loud", stage.app.undoing.undo!!.text in loud)
    }

    private companion object {
        const val MATCH = ViewGroup.LayoutParams.MATCH_PARENT
    }
}
