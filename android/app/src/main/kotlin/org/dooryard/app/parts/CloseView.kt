package org.dooryard.app.parts

import android.annotation.SuppressLint
import android.content.Context
import android.graphics.Bitmap
import android.graphics.Canvas
import android.graphics.Matrix
import android.graphics.Paint
import android.util.AttributeSet
import android.view.MotionEvent
import android.view.ScaleGestureDetector
import android.view.View

/** A picture that can be looked at closely: by buttons, or with two fingers. Buttons or one finger move it once it is larger. */
class CloseView(context: Context, attrs: AttributeSet) : View(context, attrs) {
    /** How much larger than the whole of it. */
    var zoom = WHOLE
        set(value) {
            field = value.coerceIn(WHOLE, CLOSEST)
            stay()
            invalidate()
        }

    /** It has the screen for itself, but for what moves it. */
    var alone = false

    /** Told when two fingers changed that. */
    var zoomed: (Float) -> Unit = {}

    private var path = ""
    private var picture: Bitmap? = null
    private var x = 0f
    private var y = 0f
    private var lastX = 0f
    private var lastY = 0f
    private val matrix = Matrix()
    private val paint = Paint(Paint.FILTER_BITMAP_FLAG)

    private val pinch = ScaleGestureDetector(
        context,
        object : ScaleGestureDetector.SimpleOnScaleGestureListener() {
            override fun onScale(detector: ScaleGestureDetector): Boolean {
                zoom *= detector.scaleFactor
                zoomed(zoom)
                return true
            }
        },
    )

    /** Brings in sight what is further right or further down, by parts of the view. */
    fun move(right: Float, down: Float) {
        x -= right * width
        y -= down * height
        stay()
        invalidate()
    }

    /** How far the picture was moved from its middle, in points of the screen. */
    val moved: kotlin.Pair<Float, Float> get() = x to y

    /** Shows the picture of a file. */
    fun show(path: String) {
        if (this.path == path) return
        this.path = path
        picture = null
        Pictures.read(path) {
            if (this.path == path) {
                picture = it
                requestLayout()
                invalidate()
            }
        }
    }

    override fun onMeasure(width: Int, height: Int) {
        val wide = MeasureSpec.getSize(width)
        val most = (resources.displayMetrics.heightPixels * if (alone) ALONE else OF_SCREEN).toInt()
        val tall = if (alone) most else picture?.let { (wide.toLong() * it.height / it.width).toInt() } ?: most
        setMeasuredDimension(wide, tall.coerceIn(1, most))
    }

    override fun onDraw(canvas: Canvas) {
        val shown = picture ?: return
        val scale = fit(shown) * zoom
        matrix.setScale(scale, scale)
        matrix.postTranslate((width - shown.width * scale) / 2 + x, (height - shown.height * scale) / 2 + y)
        canvas.save()
        canvas.clipRect(0, 0, width, height)
        canvas.drawBitmap(shown, matrix, paint)
        canvas.restore()
    }

    @SuppressLint("ClickableViewAccessibility")
    override fun onTouchEvent(event: MotionEvent): Boolean {
        pinch.onTouchEvent(event)
        val (nowX, nowY) = event.x to event.y
        when (event.actionMasked) {
            MotionEvent.ACTION_POINTER_DOWN -> parent?.requestDisallowInterceptTouchEvent(true)
            MotionEvent.ACTION_DOWN -> parent?.requestDisallowInterceptTouchEvent(zoom > WHOLE)
            MotionEvent.ACTION_MOVE -> if (event.pointerCount == 1 && zoom > WHOLE) {
                x += nowX - lastX
                y += nowY - lastY
                stay()
                invalidate()
            }
        }
        lastX = nowX
        lastY = nowY
        return true
    }

    private fun fit(shown: Bitmap): Float = minOf(width.toFloat() / shown.width, height.toFloat() / shown.height)

    /** An edge of the picture never comes further in than the edge of the view. */
    private fun stay() {
        val shown = picture ?: return
        val scale = fit(shown) * zoom
        val roomX = maxOf(0f, (shown.width * scale - width) / 2)
        val roomY = maxOf(0f, (shown.height * scale - height) / 2)
        x = x.coerceIn(-roomX, roomX)
        y = y.coerceIn(-roomY, roomY)
    }

    companion object {
        /** The whole of it. */
        const val WHOLE = 1f

        /** As close as it goes. */
        const val CLOSEST = 8f

        /** How much of the screen's height it takes, at most. */
        private const val OF_SCREEN = 0.55f

        /** The same where it is alone: what is left beside its buttons. */
        private const val ALONE = 0.6f
    }
}
