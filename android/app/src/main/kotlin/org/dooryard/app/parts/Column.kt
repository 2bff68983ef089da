package org.dooryard.app.parts

import android.view.LayoutInflater
import android.view.View
import android.view.ViewGroup
import android.widget.LinearLayout

/** Draws a list of parts into a column. A part that was there before keeps its view, and with it the cursor in a field. */
class Column(private val into: LinearLayout) {
    private class Drawn(val kind: Class<out Part>, val view: View, var part: Part?)

    private var drawn = LinkedHashMap<String, Drawn>()
    private val inflater = LayoutInflater.from(into.context)

    fun show(parts: List<Part>) {
        val counts = HashMap<String, Int>()
        val next = LinkedHashMap<String, Drawn>()
        for (part in parts) {
            val kind = part.javaClass.simpleName
            val number = counts.merge(kind, 1, Int::plus)
            val key = "$kind ${part.key ?: number}"
            check(key !in next) { "two parts of one key: $key" }
            val kept = drawn[key]
            // The look of a button is in its layout.
            val fits = kept != null && (part !is Press || (kept.part as Press).kind == part.kind)
            next[key] = if (kept != null && fits) kept else Drawn(part.javaClass, inflater.make(part, into), null)
        }
        drawn.filter { next[it.key] !== it.value }.values.forEach { into.removeView(it.view) }
        next.values.forEachIndexed { at, it -> place(it.view, at) }
        next.values.zip(parts).forEach { (it, part) ->
            if (it.part != part) bind(it.view, part)
            it.part = part
        }
        drawn = next
    }

    /** What stands at this height, and how far below its upper edge: `Row 17` is told so that it is found in another window. */
    fun at(y: Int): String {
        val (key, it) = drawn.entries.lastOrNull { it.value.view.top <= y } ?: return ""
        return "${y - it.view.top} $key"
    }

    /** The height of what [at] told; nothing while it is not there. */
    fun height(at: String): Int? {
        val view = drawn[at.substringAfter(' ', "")]?.view ?: return null
        return view.top + (at.substringBefore(' ').toIntOrNull() ?: 0).coerceAtMost(view.height)
    }

    private fun place(view: View, at: Int) {
        if (into.getChildAt(at) === view) return
        (view.parent as? ViewGroup)?.removeView(view)
        into.addView(view, at)
    }
}
