package org.dooryard.app.rows

import android.graphics.Rect
import android.view.View
import android.widget.ScrollView
import org.dooryard.app.NativeCoreRunner
import org.dooryard.app.R
import org.dooryard.app.Stage
import org.dooryard.app.named
import org.dooryard.app.tell.at
import org.dooryard.app.tell.on
import org.dooryard.app.tell.stageOf
import org.dooryard.kit.Place
import org.junit.Assert.assertEquals
import org.junit.Assert.assertTrue
import org.junit.Rule
import org.junit.Test
import org.junit.rules.TemporaryFolder
import org.junit.runner.RunWith
import org.robolectric.RuntimeEnvironment
import org.robolectric.annotation.Config

/** Where somebody was in a long list is where they come back to. */
@RunWith(NativeCoreRunner::class)
@Config(sdk = [26, 34], qualifiers = "w360dp-h780dp")
class StayingTest {
    @get:Rule val folder = TemporaryFolder()

    private val stage by lazy { stageOf(folder.root.toPath()) }

    private val scroll get() = stage.root.findViewById<ScrollView>(R.id.scroll)

    private fun Stage.many(): String {
        val ids = on { List(MANY) { begin("phone").also { id -> write(id, "words", "Row of number ${it + FIRST}", true) } } }
        return ids.first()
    }

    private fun row(words: String): View = stage.touchable.first { words in it.named() }

    /** Where on the screen the row of these words is seen. */
    private fun height(words: String): Int = Rect().also { scroll.offsetDescendantRectToMyCoords(row(words), it) }.top - scroll.scrollY

    private fun scrollsTo(words: String) {
        scroll.scrollTo(0, Rect().also { scroll.offsetDescendantRectToMyCoords(row(words), it) }.top - ABOVE)
        stage.settle()
        assertEquals(ABOVE, height(words))
    }

    private fun staysAt(words: String, open: () -> Unit, back: () -> Unit = { stage.back() }) {
        scrollsTo(words)
        open()
        assertTrue("somewhere else", stage.touchable.none { words in it.named() } || scroll.scrollY == 0)
        back()
        assertEquals(ABOVE, height(words))
        stage.recreate()
        assertEquals(ABOVE, height(words))
    }

    @Test
    fun allInquiriesAndHandingOverStayWhereTheyWere() {
        stage.many()
        stage.at(Place.Records).tap(R.string.tell_more)
        staysAt(DEEP, { stage.tap(DEEP) })
        stage.at(Place.Today).at(Place.Records)
        assertEquals("come to anew it begins at its top", 0, scroll.scrollY)
        stage.at(Place.HandOver).tap(R.string.hand_show_more)
        val rows = stage.on { handOverPage("", 20u) }
        val deep = stage.on { handOverPage(rows.next, 20u) }.rows.last().inquiry
        val last = stage.touchable.filter { "On this phone" in it.named() }.last()
        scroll.scrollTo(0, scroll.getChildAt(0).height - scroll.height)
        stage.settle()
        val at = scroll.scrollY
        assertTrue(at > 0)
        last.performClick()
        stage.settle()
        assertEquals(Place.Inquiry(deep), stage.activity.trail.here)
        stage.back()
        assertEquals(at, scroll.scrollY)
        stage.recreate()
        assertEquals(at, scroll.scrollY)
    }

    @Test
    fun largerTypeKeepsTheRowInSight() {
        stage.many()
        stage.at(Place.Records).tap(R.string.tell_more)
        scrollsTo(DEEP)
        RuntimeEnvironment.setFontScale(LARGE)
        stage.recreate()
        assertTrue("the row is in sight: ${height(DEEP)}", height(DEEP) in -ABOVE * 2..scroll.height)
    }

    private companion object {
        const val MANY = 38
        const val FIRST = 100
        const val DEEP = "Row of number 110"
        const val ABOVE = 60
        const val LARGE = 1.3f
    }
}
