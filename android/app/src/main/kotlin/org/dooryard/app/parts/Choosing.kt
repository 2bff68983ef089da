package org.dooryard.app.parts

import android.view.LayoutInflater
import android.view.View
import android.view.ViewGroup
import android.widget.CheckBox
import android.widget.ImageView
import android.widget.LinearLayout
import android.widget.RadioButton
import android.widget.TextView
import org.dooryard.app.R

/** Gives the list this many rows, made anew only where their number changed. */
fun LinearLayout.fill(count: Int, make: LayoutInflater.() -> View) {
    val inflater = LayoutInflater.from(context)
    while (childCount > count) removeViewAt(childCount - 1)
    while (childCount < count) addView(inflater.make())
}

/** Answers one below the other. */
fun options(view: LinearLayout, part: Options) {
    view.orientation = LinearLayout.VERTICAL
    view.fill(part.options.size) { inflate(R.layout.part_choice, view, false) }
    part.options.forEachIndexed { at, option ->
        val row = view.getChildAt(at)
        row.isActivated = option.chosen
        row.findViewById<ImageView>(R.id.choice_sign).setImageResource(sign(part.several, option.chosen))
        row.findViewById<TextView>(R.id.choice_text).text = option.text
        row.findViewById<TextView>(R.id.choice_note).showText(option.note)
        row.findViewById<ImageView>(R.id.choice_mark).let {
            it.showIf(option.mark.isNotEmpty())
            it.showMark(option.mark)
        }
        row.findViewById<ImageView>(R.id.choice_drawn).let {
            it.showIf(option.drawn != 0)
            it.setImageResource(option.drawn)
        }
        row.setOnClickListener { part.choose(option.id) }
        val role = if (part.several) CheckBox::class.java.name else RadioButton::class.java.name
        row.saysChoice(role, option.chosen, at, part.options.size)
    }
    view.saysList(part.options.size, part.several)
}

private fun sign(several: Boolean, chosen: Boolean): Int = when {
    several -> if (chosen) R.drawable.tick_chosen else R.drawable.tick_open
    else -> if (chosen) R.drawable.one_chosen else R.drawable.one_open
}

/** How sure the looker is: beside each other where there is room. */
fun tally(view: LinearLayout, part: Tally) {
    val across = !view.stacked
    view.orientation = if (across) LinearLayout.HORIZONTAL else LinearLayout.VERTICAL
    view.fill(part.options.size) { inflate(R.layout.part_tally, view, false) }
    val gap = view.resources.getDimensionPixelSize(R.dimen.s2)
    part.options.forEachIndexed { at, option ->
        val one = view.getChildAt(at)
        one.isActivated = option.chosen
        one.findViewById<ImageView>(R.id.tally_strokes).setImageResource(STROKES[at.coerceAtMost(STROKES.lastIndex)])
        one.findViewById<TextView>(R.id.tally_text).text = option.text
        one.setOnClickListener { part.choose(option.id) }
        one.saysChoice(RadioButton::class.java.name, option.chosen, at, part.options.size)
        one.layoutParams = LinearLayout.LayoutParams(
            if (across) 0 else ViewGroup.LayoutParams.MATCH_PARENT,
            if (across) ViewGroup.LayoutParams.MATCH_PARENT else ViewGroup.LayoutParams.WRAP_CONTENT,
            if (across) 1f else 0f,
        ).apply {
            topMargin = gap
            marginStart = if (across && at > 0) gap else 0
        }
    }
    view.saysList(part.options.size, false)
}

private val STROKES = listOf(R.drawable.tally_1, R.drawable.tally_2, R.drawable.tally_3)
