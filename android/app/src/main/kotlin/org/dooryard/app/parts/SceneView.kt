package org.dooryard.app.parts

import android.annotation.SuppressLint
import android.content.Context
import android.graphics.Canvas
import android.graphics.DashPathEffect
import android.graphics.Paint
import android.graphics.Path
import android.util.AttributeSet
import android.util.TypedValue
import android.view.MotionEvent
import android.view.View
import android.view.ViewConfiguration
import org.dooryard.app.R
import org.dooryard.core.MapScene
import org.dooryard.core.MapShape
import org.dooryard.core.MapShapeKind
import kotlin.math.hypot

/** Paints the scene of a place in ink alone: each kind of shape has a form and a stroke of its own. */
class SceneView(context: Context, attrs: AttributeSet) : View(context, attrs) {
    /** What is painted; nothing before it is there. */
    var scene: MapScene? = null
        set(value) {
            field = value
            requestLayout()
            invalidate()
        }

    /** Told where it was touched, in units of the scene; nothing where it cannot be touched. */
    var touched: ((Float, Float) -> Unit)? = null

    private val path = Path()
    private val line = Paint(Paint.ANTI_ALIAS_FLAG).apply { style = Paint.Style.STROKE }
    private val fill = Paint(Paint.ANTI_ALIAS_FLAG)
    private val dp = resources.displayMetrics.density
    private val names = SceneNames(dp, minOf(resources.getDimension(R.dimen.text_small), LARGEST * dp))
    private val edge = Paint(Paint.ANTI_ALIAS_FLAG).apply { style = Paint.Style.STROKE }
    private var downX = 0f
    private var downY = 0f

    /** Pixels of one unit of the scene. */
    private val unit: Float get() = scene?.let { width / it.width } ?: 1f

    override fun onMeasure(width: Int, height: Int) {
        val wide = MeasureSpec.getSize(width)
        val tall = scene?.let { (wide * it.height / it.width).toInt() } ?: 0
        setMeasuredDimension(wide, tall)
    }

    override fun onDraw(canvas: Canvas) {
        val scene = scene ?: return
        names.inks(ink(R.attr.ink), ink(R.attr.sheet))
        canvas.save()
        canvas.clipRect(0, 0, width, height)
        names.clear()
        scene.shapes.forEach { paint(canvas, it) }
        names.show(canvas, width)
        canvas.restore()
        edge.color = ink(R.attr.edge)
        edge.strokeWidth = stroke()
        canvas.drawRect(0f, 0f, width.toFloat(), height.toFloat(), edge)
    }

    private fun paint(canvas: Canvas, shape: MapShape) = when (shape.kind) {
        MapShapeKind.COUNTY -> outline(canvas, shape, COUNTY)
        MapShapeKind.TOWNSHIP -> outline(canvas, shape, THIN)
        MapShapeKind.RING -> ring(canvas, shape)
        MapShapeKind.LABEL -> names.add(shape.text, shape.kind, x(shape, 0), y(shape, 0), broken = true)
        MapShapeKind.RECORD -> record(canvas, shape)
        MapShapeKind.HERE -> here(canvas, shape)
        MapShapeKind.PIN -> pin(canvas, shape)
        MapShapeKind.NORTH -> north(canvas, shape)
        MapShapeKind.SCALE -> scale(canvas, shape)
    }

    private fun outline(canvas: Canvas, shape: MapShape, wide: Float) {
        path.reset()
        for (corner in 0 until shape.points.size / 2) {
            if (corner == 0) path.moveTo(x(shape, 0), y(shape, 0)) else path.lineTo(x(shape, corner), y(shape, corner))
        }
        canvas.drawPath(path, pen(wide))
    }

    /** A ring is dashed, with its length at its foot, or at its head where something else stands there. */
    private fun ring(canvas: Canvas, shape: MapShape) {
        canvas.drawCircle(x(shape, 0), y(shape, 0), shape.radius * unit, pen(THIN, DASH))
        val (y, radius) = y(shape, 0) to shape.radius * unit
        names.add(shape.text, shape.kind, x(shape, 0), y + radius, y - radius)
    }

    /** An earlier record: an open square. */
    private fun record(canvas: Canvas, shape: MapShape) {
        val (x, y, half) = Triple(x(shape, 0), y(shape, 0), RECORD * dp)
        canvas.drawRect(x - half, y - half, x + half, y + half, pen(MIDDLE))
        names.keepFree(x, y, half)
    }

    /** Where the phone is: a cross in a circle of what it knows. */
    private fun here(canvas: Canvas, shape: MapShape) {
        val (x, y, arm) = Triple(x(shape, 0), y(shape, 0), HERE * dp)
        val pen = pen(MIDDLE)
        canvas.drawLine(x - arm, y, x + arm, y, pen)
        canvas.drawLine(x, y - arm, x, y + arm, pen)
        canvas.drawCircle(x, y, maxOf(shape.radius * unit, arm), pen(THIN))
        names.keepFree(x, y, arm)
        names.add(shape.text, shape.kind, x, y + maxOf(shape.radius * unit, arm) + names.tall, y - arm - names.tall)
    }

    /** The pin of this inquiry: a peg that is driven in, with a solid head, its point at the place. */
    private fun pin(canvas: Canvas, shape: MapShape) {
        val (x, y, tall) = Triple(x(shape, 0), y(shape, 0), PIN * dp)
        if (shape.radius * unit > HEAD * dp) canvas.drawCircle(x, y, shape.radius * unit, pen(THIN, DOTS))
        canvas.drawLine(x, y, x, y - tall, pen(THICK))
        fill.color = ink(R.attr.ink)
        canvas.drawCircle(x, y - tall, HEAD * dp, fill)
        names.keepFree(x, y - tall / 2, tall / 2)
        val (above, below) = y - tall - HEAD * dp - names.tall / 2 to y + names.tall
        names.add(shape.text, shape.kind, x, above, below)
    }

    private fun north(canvas: Canvas, shape: MapShape) {
        val (x, top) = x(shape, 1) to y(shape, 1)
        canvas.drawLine(x(shape, 0), y(shape, 0), x, top, pen(MIDDLE))
        path.reset()
        path.moveTo(x - ARROW * dp, top + ARROW * dp)
        path.lineTo(x, top)
        path.lineTo(x + ARROW * dp, top + ARROW * dp)
        canvas.drawPath(path, pen(MIDDLE))
        names.add(shape.text, shape.kind, x, y(shape, 0) + names.tall)
    }

    /** A string between two pegs. */
    private fun scale(canvas: Canvas, shape: MapShape) {
        val (left, right, y) = Triple(x(shape, 0), x(shape, 1), y(shape, 0))
        canvas.drawLine(left, y, right, y, pen(MIDDLE))
        for (end in listOf(left, right)) canvas.drawLine(end, y - PEG * dp, end, y + PEG / 2 * dp, pen(MIDDLE))
        names.add(shape.text, shape.kind, (left + right) / 2, y - names.tall)
    }

    private fun pen(wide: Float, dashes: Float = 0f): Paint = line.apply {
        color = ink(R.attr.ink)
        strokeWidth = wide * stroke()
        pathEffect = if (dashes > 0) DashPathEffect(floatArrayOf(dashes * dp, dashes * dp), 0f) else null
    }

    /** Thicker in the sun. */
    private fun stroke(): Float =
        TypedValue().also { context.theme.resolveAttribute(R.attr.stroke, it, true) }.getDimension(resources.displayMetrics)

    private fun x(shape: MapShape, at: Int): Float = shape.points[2 * at] * unit

    private fun y(shape: MapShape, at: Int): Float = shape.points[2 * at + 1] * unit

    /** A touch, and not the beginning of a scroll. */
    @SuppressLint("ClickableViewAccessibility")
    override fun onTouchEvent(event: MotionEvent): Boolean {
        val told = touched ?: return false
        when (event.actionMasked) {
            MotionEvent.ACTION_DOWN -> {
                downX = event.x
                downY = event.y
            }
            MotionEvent.ACTION_UP -> {
                val slop = ViewConfiguration.get(context).scaledTouchSlop
                if (hypot(event.x - downX, event.y - downY) <= slop) told(event.x / unit, event.y / unit)
            }
        }
        return true
    }

    private companion object {
        const val THIN = 1f
        const val MIDDLE = 2f
        const val THICK = 3f
        const val COUNTY = 3f
        const val DASH = 5f
        const val DOTS = 2f
        const val RECORD = 5f
        const val HERE = 8f
        const val PIN = 22f
        const val HEAD = 6f
        const val ARROW = 5f
        const val PEG = 6f

        /** Letters of a map do not grow without end: what it says stands beside it in words of any size. */
        const val LARGEST = 24f
    }
}
