package org.dooryard.app

import android.view.LayoutInflater
import android.view.View
import android.view.ViewGroup
import android.view.accessibility.AccessibilityEvent
import android.widget.EditText
import android.widget.FrameLayout
import android.widget.LinearLayout
import android.widget.ScrollView
import android.widget.TextView
import org.dooryard.app.parts.Boxed
import org.dooryard.app.parts.Column
import org.dooryard.app.parts.Heading
import org.dooryard.app.parts.Pair
import org.dooryard.app.parts.Part
import org.dooryard.app.parts.Press
import org.dooryard.app.parts.PressKind
import org.dooryard.app.parts.StopHead
import org.dooryard.app.parts.all
import org.dooryard.app.parts.showIf
import org.dooryard.app.parts.showText
import org.dooryard.app.parts.stacked
import org.dooryard.app.screens.ScreenView
import org.dooryard.kit.Place
import org.dooryard.kit.TroubleKind
import org.dooryard.kit.Undoing

/** The sheet of paper that each screen is drawn on: the top line, what is shown, what can be done. */
class Page(private val activity: MainActivity, private val root: FrameLayout) {
    private var view: View? = null
    private lateinit var content: Column
    private lateinit var bottom: Column
    private var heading: String? = null

    /** Where somebody was on this sheet before, until that is reached. */
    private var before = ""

    /** Where somebody is on the sheet, to be found again by [turn]; empty at its top. */
    val at: String
        get() {
            if (before.isNotEmpty()) return before
            val y = view?.findViewById<ScrollView>(R.id.scroll)?.scrollY ?: 0
            return if (y > 0) content.at(y) else ""
        }

    /** A fresh sheet for another screen, or for one where somebody was at [at] before. */
    fun turn(at: String = "") {
        before = at
        root.removeAllViews()
        val fresh = LayoutInflater.from(activity).inflate(R.layout.page, root, false)
        root.addView(fresh)
        view = fresh
        heading = null
        val inside = fresh.findViewById<LinearLayout>(R.id.content)
        content = Column(LinearLayout(activity).apply { orientation = LinearLayout.VERTICAL }.also(inside::addView))
        val below = fresh.findViewById<FrameLayout>(R.id.bottom)
        val actions = LinearLayout(activity).apply { orientation = LinearLayout.VERTICAL }
        // Under large type the actions would leave no room for what they are about: they come after it.
        if (fresh.stacked) inside.addView(actions) else below.addView(actions)
        bottom = Column(actions)
        if (fresh.stacked) stackTop(fresh)
    }

    /** Draws a screen as it is now. */
    fun show(screen: ScreenView<*>, undoing: Undoing) {
        val view = view ?: return
        view.setBackgroundResource(if (screen.stop) R.drawable.stop_frame else 0)
        view.findViewById<View>(R.id.top).showIf(!screen.stop)
        view.findViewById<View>(R.id.top_rule).showIf(!screen.stop)
        view.findViewById<TextView>(R.id.title).text = screen.title
        view.findViewById<TextView>(R.id.saved).let { if (it.text.toString() != screen.saved) it.showText(screen.saved) }
        val halted = screen.presenter.halts.isNotEmpty()
        val parts = troubles(screen) + halts(screen, halted) +
            if (!screen.ready || (halted && !screen.showsUnderStop)) emptyList() else screen.parts()
        content.show(parts)
        val actions = if (!screen.ready || (halted && !screen.showsUnderStop)) backOnly(screen) else screen.bottom()
        bottom.show(undo(undoing) + actions)
        toHeading(parts)
        if (before.isNotEmpty() && screen.ready) view.post { toBefore() }
    }

    /** Down to where somebody was, once that is drawn. */
    private fun toBefore() {
        val scroll = view?.findViewById<ScrollView>(R.id.scroll) ?: return
        val height = content.height(before) ?: return
        before = ""
        scroll.scrollTo(0, height)
    }

    /** Whoever was writing has left the field: what stands in it is written. */
    fun leaveField() {
        (view?.findFocus() as? EditText)?.clearFocus()
    }

    private fun backOnly(screen: ScreenView<*>) = listOf(Press(activity.getString(R.string.back)) { screen.back() })

    private fun troubles(screen: ScreenView<*>): List<Part> {
        // Records that do not open have a screen of their own.
        val trouble = screen.presenter.trouble?.takeUnless { it.atStart || screen.saysTrouble } ?: return emptyList()
        val room = Press(activity.getString(R.string.hand_room), key = "room") { activity.trail.go(Place.Room) }
        return listOf(
            Boxed(activity.said(trouble), live = true),
            Press(activity.getString(R.string.try_again), key = "again") { screen.presenter.refresh() },
        ) + listOf(room).filter { trouble.kind == TroubleKind.FULL }
    }

    private fun halts(screen: ScreenView<*>, halted: Boolean): List<Part> {
        if (!halted) return emptyList()
        return screen.presenter.halts.map { Boxed(it.head) } +
            Press(activity.getString(R.string.read_stop), PressKind.STOP, key = "stop") { screen.presenter.readStops() }
    }

    private fun undo(undoing: Undoing): List<Part> {
        val taken = undoing.undo ?: return emptyList()
        return listOfNotNull(
            Boxed(taken.text, live = true),
            undoing.trouble?.let { Boxed(activity.said(it), live = true) },
            Pair(
                Press(activity.getString(R.string.undo)) { undoing.bringBack() },
                Press(activity.getString(R.string.dismiss)) { undoing.dismiss() },
            ),
        )
    }

    /** Another heading is another screen to whoever reads it: from the top, and by ear too. */
    private fun toHeading(parts: List<Part>) {
        val next = parts.firstNotNullOfOrNull { (it as? Heading)?.text ?: (it as? StopHead)?.text }
        if (next == null || next == heading) return
        val first = heading == null
        heading = next
        val view = view ?: return
        if (!first) view.findViewById<ScrollView>(R.id.scroll).scrollTo(0, 0)
        view.all().firstOrNull { it is TextView && it.text.toString() == next }
            ?.sendAccessibilityEvent(AccessibilityEvent.TYPE_VIEW_FOCUSED)
    }

    private fun stackTop(page: View) {
        page.findViewById<LinearLayout>(R.id.top).orientation = LinearLayout.VERTICAL
        for (id in listOf(R.id.title, R.id.saved)) page.findViewById<TextView>(id).apply {
            layoutParams = LinearLayout.LayoutParams(ViewGroup.LayoutParams.MATCH_PARENT, ViewGroup.LayoutParams.WRAP_CONTENT)
            textAlignment = View.TEXT_ALIGNMENT_VIEW_START
            setPaddingRelative(0, 0, 0, 0)
            maxWidth = Int.MAX_VALUE
        }
    }
}
