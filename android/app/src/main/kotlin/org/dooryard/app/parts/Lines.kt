package org.dooryard.app.parts

import android.content.Context
import android.graphics.Canvas
import android.graphics.Paint
import android.graphics.Path
import android.util.AttributeSet
import android.view.View
import org.dooryard.app.R

/** A string from 0 to 100 with knots where the words change, and a mound at the number. The words stand beside it. */
class SurenessLine(context: Context, attrs: AttributeSet) : View(context, attrs) {
    /** Where the words change. */
    var knots: List<Int> = emptyList()
        set(value) {
            field = value
            invalidate()
        }

    var percent = 0
        set(value) {
            field = value.coerceIn(0, FULL)
            invalidate()
        }

    private val paint = Paint(Paint.ANTI_ALIAS_FLAG)
    private val mound = Path()

    init {
        importantForAccessibility = IMPORTANT_FOR_ACCESSIBILITY_NO
    }

    override fun onDraw(canvas: Canvas) {
        val dp = resources.displayMetrics.density
        paint.color = ink(R.attr.ink)
        paint.strokeWidth = THIN * dp
        val inset = MOUND * dp
        val (left, right, y) = Triple(inset, width - inset, STRING * dp)
        canvas.drawLine(left, y, right, y, paint)
        for (end in listOf(left, right)) canvas.drawLine(end, PEG_TOP * dp, end, PEG_FOOT * dp, paint)
        val at = { percent: Int -> left + (right - left) * percent / FULL }
        for (knot in knots) canvas.drawLine(at(knot), y, at(knot), y + KNOT * dp, paint)
        mound.reset()
        val x = at(percent)
        mound.addArc(x - inset, y - TALL * dp, x + inset, y + TALL * dp, HALF_TURN, HALF_TURN)
        mound.close()
        canvas.drawPath(mound, paint)
    }

    private companion object {
        const val FULL = 100
        const val HALF_TURN = 180f
        const val THIN = 1.6f
        const val STRING = 18f
        const val PEG_TOP = 7f
        const val PEG_FOOT = 23f
        const val KNOT = 4f
        const val MOUND = 7f
        const val TALL = 9.5f
    }
}

/** A string with four pegs; each step that is behind makes one peg tall. */
class WayLine(context: Context, attrs: AttributeSet) : View(context, attrs) {
    var step = 0
        set(value) {
            field = value
            invalidate()
        }

    private val paint = Paint(Paint.ANTI_ALIAS_FLAG)

    init {
        importantForAccessibility = IMPORTANT_FOR_ACCESSIBILITY_NO
    }

    override fun onDraw(canvas: Canvas) {
        val dp = resources.displayMetrics.density
        paint.color = ink(R.attr.ink)
        val (left, right, y) = Triple(EDGE * dp, width - EDGE * dp, STRING * dp)
        paint.strokeWidth = THIN * dp
        canvas.drawLine(left, y, right, y, paint)
        for (peg in 1..PEGS) {
            val x = left + (right - left) * (peg - 1) / (PEGS - 1)
            val driven = peg <= step
            paint.strokeWidth = (if (driven) THICK else THIN) * dp
            canvas.drawLine(x, (if (driven) TOP else LOW) * dp, x, (if (driven) FOOT else LOW_FOOT) * dp, paint)
        }
    }

    private companion object {
        const val PEGS = 4
        const val EDGE = 4f
        const val STRING = 13f
        const val THIN = 1.7f
        const val THICK = 5f
        const val TOP = 3f
        const val FOOT = 17f
        const val LOW = 10f
        const val LOW_FOOT = 16f
    }
}
