package org.dooryard.app.parts

import android.view.LayoutInflater
import android.view.View
import android.view.ViewGroup
import android.widget.Button
import android.widget.EditText
import android.widget.ImageView
import android.widget.LinearLayout
import android.widget.TextView
import org.dooryard.app.R

/** From this size of type on, what stands beside each other is stacked. */
const val STACKED = 1.45f

/** Whether things are stacked for large type. */
val View.stacked: Boolean get() = resources.configuration.fontScale >= STACKED

/** The view for a part, still empty. */
fun LayoutInflater.make(part: Part, into: ViewGroup): View {
    val layout = when (part) {
        is Heading -> R.layout.part_heading
        is Section -> R.layout.part_section
        is Body -> R.layout.part_body
        is Note -> R.layout.part_note
        is Words -> R.layout.part_words
        is Boxed -> R.layout.part_boxed
        is Press -> when (part.kind) {
            PressKind.MAIN -> R.layout.part_press_main
            PressKind.PLAIN -> R.layout.part_press
            PressKind.STOP -> R.layout.part_press_stop
            PressKind.LINK -> R.layout.part_press_link
        }
        is Row -> R.layout.part_row
        is Field -> R.layout.part_field
        is Cause -> R.layout.part_cause
        is Fact -> R.layout.part_fact
        is Way -> R.layout.part_way
        is StopHead -> R.layout.part_stop_head
        is Framed -> R.layout.part_framed
        is BagLabel -> R.layout.part_bag_label
        is Picture -> R.layout.part_picture
        is Closely -> R.layout.part_closely
        is Scene -> R.layout.part_scene
        is Bar -> R.layout.part_bar
        is Journey -> R.layout.part_journey
        is Code -> R.layout.part_code
        is Letters -> R.layout.part_letters
        is Options, is Tally, is Pair, is Thumbs -> R.layout.part_list
    }
    return inflate(layout, into, false)
}

/** Puts a part into its view. */
fun bind(view: View, part: Part) {
    when (part) {
        is Heading -> heading(view as TextView, part.text)
        is Section -> heading(view as TextView, part.text)
        is Body -> (view as TextView).let {
            it.text = part.text
            it.weight(part.bold)
        }
        is Note -> told(view as TextView, part.text, part.live)
        is Words -> (view as TextView).text = part.text
        is Boxed -> told(view as TextView, part.text, part.live)
        is Press -> press(view as Button, part)
        is Pair -> pair(view as LinearLayout, part)
        is Row -> row(view, part)
        is Options -> options(view as LinearLayout, part)
        is Tally -> tally(view as LinearLayout, part)
        is Field -> FieldKeeper.of(view.all().filterIsInstance<EditText>().first()).bind(view, part)
        is Cause -> cause(view, part)
        is Fact -> fact(view as LinearLayout, part)
        is Way -> way(view as LinearLayout, part)
        is StopHead -> heading(view.findViewById(R.id.stop_head), part.text)
        is Framed -> framed(view as LinearLayout, part)
        is BagLabel -> bagLabel(view as LinearLayout, part)
        is Thumbs -> thumbs(view as LinearLayout, part)
        is Picture -> picture(view as ImageView, part)
        is Closely -> closely(view as CloseView, part)
        is Scene -> scene(view as SceneView, part)
        is Bar -> bar(view, part)
        is Journey -> journey(view, part)
        is Code -> code(view as CodeView, part)
        is Letters -> (view as TextView).text = part.text
    }
}

private fun heading(view: TextView, text: String) {
    view.text = text
    view.markHeading()
}

private fun told(view: TextView, text: String, live: Boolean) {
    view.accessibilityLiveRegion =
        if (live) View.ACCESSIBILITY_LIVE_REGION_POLITE else View.ACCESSIBILITY_LIVE_REGION_NONE
    view.text = text
}

/** Binds a button. */
fun press(view: Button, part: Press) {
    view.text = part.text
    view.underline(part.kind == PressKind.LINK)
    view.contentDescription = part.spoken
    view.setOnClickListener { part.tap() }
    part.open?.let { view.saysOpen(it) }
}

private fun pair(view: LinearLayout, part: Pair) {
    val across = !view.stacked
    view.orientation = if (across) LinearLayout.HORIZONTAL else LinearLayout.VERTICAL
    view.fill(2) { inflate(R.layout.part_press, view, false) }
    listOf(part.left, part.right).forEachIndexed { at, it ->
        val button = view.getChildAt(at) as Button
        press(button, it)
        button.layoutParams = (button.layoutParams as LinearLayout.LayoutParams).apply {
            width = if (across) 0 else ViewGroup.LayoutParams.MATCH_PARENT
            height = if (across) ViewGroup.LayoutParams.MATCH_PARENT else ViewGroup.LayoutParams.WRAP_CONTENT
            weight = if (across) 1f else 0f
            marginStart = if (across && at == 1) view.resources.getDimensionPixelSize(R.dimen.s2) else 0
        }
    }
}

private fun row(view: View, part: Row) {
    val stacked = view.stacked
    view.findViewById<LinearLayout>(R.id.row_across).orientation =
        if (stacked) LinearLayout.VERTICAL else LinearLayout.HORIZONTAL
    // With nothing to stand in it the margin gives its room to the words.
    val bare = part.margin.isEmpty() && part.picture.isEmpty() && part.mark.isEmpty()
    view.findViewById<View>(R.id.row_line).showIf(!stacked && !bare)
    val margin = view.findViewById<View>(R.id.row_margin)
    margin.showIf(!bare)
    margin.across(stacked, view.resources.getDimensionPixelSize(R.dimen.margin))
    view.findViewById<View>(R.id.row_words).let {
        it.across(stacked, 0)
        val start = if (bare || stacked) 0 else it.resources.getDimensionPixelSize(R.dimen.s3)
        it.setPaddingRelative(start, it.paddingTop, it.paddingEnd, it.paddingBottom)
    }
    view.findViewById<TextView>(R.id.row_when).showText(part.margin)
    view.findViewById<ImageView>(R.id.row_picture).let {
        it.showIf(part.picture.isNotEmpty() || part.mark.isNotEmpty())
        if (part.picture.isNotEmpty()) it.showFile(part.picture) else it.showMark(part.mark)
        // A mark is as high as it is drawn; a photo has its own room.
        it.layoutParams = it.layoutParams.apply {
            height = if (part.picture.isEmpty()) WRAP else view.resources.getDimensionPixelSize(R.dimen.thumbnail)
        }
    }
    view.findViewById<TextView>(R.id.row_head).let {
        it.showText(part.head)
        it.setTextColor(it.ink(if (part.tap == null) R.attr.ink else R.attr.act))
        it.weight(bold = part.tap != null)
        it.underline(part.tap != null)
    }
    view.findViewById<TextView>(R.id.row_text).showText(part.text)
    Column(view.findViewById<LinearLayout>(R.id.row_more).apply { removeAllViews() }).show(part.more)
    view.setOnClickListener(part.tap?.let { tap -> View.OnClickListener { tap() } })
    view.isClickable = part.tap != null
    view.isFocusable = true
    view.saysItself(if (part.tap == null) null else Button::class.java.name)
}

/** In the margin or under each other. */
private fun View.across(stacked: Boolean, wide: Int) {
    layoutParams = (layoutParams as LinearLayout.LayoutParams).apply {
        width = if (stacked) ViewGroup.LayoutParams.MATCH_PARENT else wide
        weight = if (stacked || wide > 0) 0f else 1f
    }
}

private fun cause(view: View, part: Cause) {
    view.findViewById<TextView>(R.id.cause_name).text = part.name
    view.findViewById<TextView>(R.id.cause_sure).text = part.sure
    view.findViewById<SurenessLine>(R.id.cause_line).let {
        it.knots = part.knots
        it.percent = part.percent
    }
    view.findViewById<TextView>(R.id.cause_role).showText(part.role)
    Column(view.findViewById<LinearLayout>(R.id.cause_why).apply { removeAllViews() }).show(part.facts)
}

private fun picture(view: ImageView, part: Picture) {
    view.showPhoto(part.path)
    view.contentDescription = part.spoken
    view.setOnClickListener(part.tap?.let { tap -> View.OnClickListener { tap() } })
    view.isClickable = part.tap != null
    view.isFocusable = true
    if (part.tap != null) view.saysRole(Button::class.java.name)
}

private fun closely(view: CloseView, part: Closely) {
    view.show(part.path)
    view.contentDescription = part.spoken
    view.alone = part.alone
    view.zoom = part.zoom
    view.zoomed = part.zoomed
    part.hand.moves = view::move
}

private fun scene(view: SceneView, part: Scene) {
    view.scene = part.scene
    view.contentDescription = part.spoken
    view.touched = part.touched
}

private fun fact(view: LinearLayout, part: Fact) {
    view.orientation = if (view.stacked) LinearLayout.VERTICAL else LinearLayout.HORIZONTAL
    view.findViewById<TextView>(R.id.fact_label).let {
        it.text = part.label
        if (view.stacked) it.layoutParams = LinearLayout.LayoutParams(MATCH, WRAP)
    }
    view.findViewById<TextView>(R.id.fact_text).let {
        it.text = part.text
        if (view.stacked) it.layoutParams = LinearLayout.LayoutParams(MATCH, WRAP)
    }
}

private const val MATCH = ViewGroup.LayoutParams.MATCH_PARENT
private const val WRAP = ViewGroup.LayoutParams.WRAP_CONTENT

/** Binds how far something is on its way. */
fun way(view: LinearLayout, part: Way) {
    view.findViewById<WayLine>(R.id.way_line).step = part.step
    view.findViewById<TextView>(R.id.way_words).text = part.words
}
