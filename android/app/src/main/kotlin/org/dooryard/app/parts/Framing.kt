package org.dooryard.app.parts

import android.view.View
import android.view.ViewGroup
import android.widget.ImageView
import android.widget.LinearLayout
import android.widget.TextView
import org.dooryard.app.R

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
fun pictures(view: LinearLayout, part: Pictures) {
    view.orientation = LinearLayout.VERTICAL
    val across = if (view.stacked) STACKED_ACROSS else ACROSS
    val rows = part.pictures.chunked(across)
    view.fill(rows.size) { LinearLayout(view.context) }
    rows.forEachIndexed { at, row -> pictureRow(view.getChildAt(at) as LinearLayout, row, across) }
}

private fun pictureRow(view: LinearLayout, row: List<Picture>, across: Int) {
    view.fill(across) { inflate(R.layout.part_picture, view, false) }
    for (at in 0 until across) {
        val cell = view.getChildAt(at)
        val picture = row.getOrNull(at)
        cell.visibility = if (picture == null) View.INVISIBLE else View.VISIBLE
        cell.layoutParams = (cell.layoutParams as LinearLayout.LayoutParams).apply {
            width = 0
            weight = 1f
            height = ViewGroup.LayoutParams.WRAP_CONTENT
            marginStart = if (at > 0) view.resources.getDimensionPixelSize(R.dimen.s2) else 0
        }
        if (picture == null) continue
        cell.findViewById<ImageView>(R.id.row_picture).let {
            it.showIf(picture.path.isNotEmpty())
            if (picture.path.isNotEmpty()) it.showFile(picture.path)
        }
        cell.findViewById<TextView>(R.id.picture_shows).text = picture.shows
        cell.contentDescription = picture.spoken
        cell.setOnClickListener { picture.tap() }
    }
}

private const val ACROSS = 3
private const val STACKED_ACROSS = 2
