package org.dooryard.app.parts

import android.view.View
import android.view.ViewGroup
import android.widget.Button
import android.widget.ImageView
import android.widget.LinearLayout
import android.widget.TextView
import org.dooryard.app.R

/** A head and what belongs under it in a frame: what can hurt, and what not to do. */
data class Framed(val head: String, val lines: List<String>) : Part

/** What is copied by hand onto a bag: large, a line each. */
data class BagLabel(val lines: List<Fact>) : Part

/** A small picture with what it shows; [path] is empty where it is not on this phone. */
data class Thumb(val path: String, val shows: String, val spoken: String, val tap: () -> Unit)

/** Small pictures beside each other. */
data class Thumbs(val thumbs: List<Thumb>) : Part

/** A head with its lines in a frame. */
fun framed(view: LinearLayout, part: Framed) {
    view.findViewById<TextView>(R.id.framed_head).let {
        it.showText(part.head)
        it.markHeading()
    }
    val lines = view.findViewById<LinearLayout>(R.id.framed_lines)
    lines.fill(part.lines.size) { inflate(R.layout.part_body, lines, false) }
    part.lines.forEachIndexed { at, line -> (lines.getChildAt(at) as TextView).text = line }
}

/** What is copied onto a bag. */
fun bagLabel(view: LinearLayout, part: BagLabel) {
    view.fill(part.lines.size) { inflate(R.layout.part_bag_line, view, false) }
    part.lines.forEachIndexed { at, line ->
        val row = view.getChildAt(at)
        row.findViewById<TextView>(R.id.bag_label).text = line.label
        row.findViewById<TextView>(R.id.bag_text).text = line.text
        row.isFocusable = true
        row.saysItself(null)
    }
}

/** Small pictures in rows, as many beside each other as there is room for. */
fun thumbs(view: LinearLayout, part: Thumbs) {
    view.orientation = LinearLayout.VERTICAL
    val across = if (view.stacked) STACKED_ACROSS else ACROSS
    val rows = part.thumbs.chunked(across)
    view.fill(rows.size) { LinearLayout(view.context) }
    rows.forEachIndexed { at, row -> thumbRow(view.getChildAt(at) as LinearLayout, row, across) }
}

private fun thumbRow(view: LinearLayout, row: List<Thumb>, across: Int) {
    view.fill(across) { inflate(R.layout.part_thumb, view, false) }
    for (at in 0 until across) {
        val cell = view.getChildAt(at)
        val thumb = row.getOrNull(at)
        cell.visibility = if (thumb == null) View.INVISIBLE else View.VISIBLE
        cell.layoutParams = (cell.layoutParams as LinearLayout.LayoutParams).apply {
            width = 0
            weight = 1f
            height = ViewGroup.LayoutParams.MATCH_PARENT
            marginStart = if (at > 0) view.resources.getDimensionPixelSize(R.dimen.s2) else 0
        }
        if (thumb == null) continue
        cell.findViewById<ImageView>(R.id.thumb).let {
            it.showIf(thumb.path.isNotEmpty())
            if (thumb.path.isNotEmpty()) it.showFile(thumb.path)
        }
        cell.findViewById<TextView>(R.id.thumb_shows).text = thumb.shows
        cell.contentDescription = thumb.spoken
        cell.saysRole(Button::class.java.name)
        cell.setOnClickListener { thumb.tap() }
    }
}

private const val ACROSS = 3
private const val STACKED_ACROSS = 2
