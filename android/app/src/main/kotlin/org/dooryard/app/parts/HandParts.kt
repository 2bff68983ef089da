package org.dooryard.app.parts

import android.content.Context
import android.graphics.Canvas
import android.graphics.Paint
import android.util.AttributeSet
import android.view.View
import android.widget.LinearLayout
import android.widget.ProgressBar
import android.widget.TextView
import org.dooryard.app.R
import org.dooryard.kit.join.Square

/** How far long work is: a bar, and the same in words. [done] of [total] steps; nothing is known of them where [total] is 0. */
data class Bar(val words: String, val done: Long, val total: Long) : Part

/** Where one inquiry is on its way: its head, the pegs driven in, and what is said of it. */
data class Journey(
    val head: String,
    val step: Int,
    val words: String,
    val note: String,
    override val key: String,
    val tap: () -> Unit,
) : Part

/** A code as a square that a camera reads; [spoken] is said in its place. */
data class Code(val square: Square, val spoken: String) : Part

/** A code as text. */
data class Letters(val text: String) : Part

/** Binds a bar. */
fun bar(view: View, part: Bar) {
    view.findViewById<ProgressBar>(R.id.bar_line).let {
        it.isIndeterminate = false
        it.max = STEPS
        it.progress = if (part.total > 0) (part.done * STEPS / part.total).toInt().coerceIn(0, STEPS) else 0
    }
    view.findViewById<TextView>(R.id.bar_words).let { if (it.text.toString() != part.words) it.text = part.words }
}

/** Binds a journey. */
fun journey(view: View, part: Journey) {
    view.findViewById<TextView>(R.id.journey_head).let {
        it.text = part.head
        it.underline(true)
    }
    way(view.findViewById(R.id.journey_way), Way(part.step, part.words))
    view.findViewById<TextView>(R.id.journey_note).showText(part.note)
    view.setOnClickListener { part.tap() }
    view.saysItself(android.widget.Button::class.java.name)
}

/** Binds a code. */
fun code(view: CodeView, part: Code) {
    view.square = part.square
    view.contentDescription = part.spoken
}

/** Draws a code black on white, in every look: a camera reads nothing else as well. */
class CodeView(context: Context, attributes: AttributeSet?) : View(context, attributes) {
    /** What is drawn. */
    var square: Square? = null
        set(next) {
            field = next
            invalidate()
        }

    private val dark = Paint().apply { color = context.getColor(R.color.black) }
    private val light = context.getColor(R.color.white)

    override fun onMeasure(wide: Int, high: Int) {
        val side = minOf(MeasureSpec.getSize(wide), (LARGEST * resources.displayMetrics.density).toInt())
        setMeasuredDimension(side, side)
    }

    override fun onDraw(canvas: Canvas) {
        canvas.drawColor(light)
        val square = square ?: return
        // Whole points for each field: no gray edges between them.
        val field = width / square.size
        val edge = ((width - field * square.size) / 2).toFloat()
        for (y in 0 until square.size) for (x in 0 until square.size) {
            if (!square.isDark(x, y)) continue
            val (left, top) = edge + x * field to edge + y * field
            canvas.drawRect(left, top, left + field, top + field, dark)
        }
    }

    private companion object {
        /** Side at most, in dp: more is of no use to a camera. */
        const val LARGEST = 360
    }
}

private const val STEPS = 1000
