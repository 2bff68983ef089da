package org.dooryard.app

import android.graphics.Bitmap
import android.graphics.Canvas
import android.graphics.Color
import android.graphics.Rect
import android.view.View
import android.view.ViewGroup
import android.widget.EditText
import android.widget.ImageView
import android.widget.RatingBar
import android.widget.SeekBar
import android.widget.TextView
import org.dooryard.app.parts.all
import kotlin.math.max
import kotlin.math.min
import kotlin.math.pow

/** Walks through all that is on a screen as somebody does who hears it, sees it badly, or touches it with gloves. */
class Walk(private val stage: Stage, private val sun: Boolean = false) {
    private val density = stage.activity.resources.displayMetrics.density
    private val root = stage.root
    private val resources = stage.activity.resources
    private val touchable = stage.touchable
    private val picture: Bitmap = Bitmap.createBitmap(root.width, root.height, Bitmap.Config.ARGB_8888)
        .also { root.draw(Canvas(it)) }

    /** What is wrong with the screen, a line each. */
    fun problems(): List<String> =
        names() + sizes() + roles() + order() + headings() + onlyWays() + cut() + overlapping() + contrast() + edges()

    private fun names() = touchable.filter { it.named().isBlank() && it !is EditText }.map { "no name: $it" } +
        root.all().filterIsInstance<EditText>().filter { it.isShown && labelOf(it) == null }.map { "a field without a label" } +
        root.all().filterIsInstance<ImageView>()
            .filter { it.isShown && it.isImportantForAccessibility && it.contentDescription.isNullOrBlank() }
            .map { "a picture without words: ${it.idName()}" }

    private fun labelOf(edit: EditText) = root.all().filterIsInstance<TextView>().firstOrNull { it.labelFor == edit.id && it.text.isNotBlank() }

    private fun sizes() = touchable.filter { it.width < TOUCH * density - 1 || it.height < TOUCH * density - 1 }
        .map { "below $TOUCH dp: ${it.named()} ${it.width / density} x ${it.height / density}" } +
        touchable.filter { it.textSizeIs(R.dimen.text_section) && it.height < THUMB * density - 1 }
            .map { "a primary action below $THUMB dp: ${it.named()}" }

    private fun View.textSizeIs(dimen: Int) =
        this is android.widget.Button && this !is EditText && textSize == resources.getDimension(dimen)

    private fun roles() = touchable.filter { it !is EditText }.mapNotNull {
        val node = it.createAccessibilityNodeInfo()
        val role = node.className?.toString().orEmpty()
        when {
            role !in ROLES -> "no role: ${it.named()} is a $role"
            role in CHOICES && !node.isCheckable -> "a choice without its state: ${it.named()}"
            else -> null
        }
    }

    /** What is heard one after the other stands so on the screen. */
    private fun order(): List<String> = touchable.filter { it.area().height() > 0 }.zipWithNext().filter { (one, next) ->
        val (a, b) = one.area() to next.area()
        b.bottom <= a.top || (b.top < a.bottom && b.right <= a.left)
    }.map { (one, next) -> "heard out of order: ${one.named()}, then ${next.named()}" }

    /** The screen says in a heading what it is about, before any head of a part of it. */
    private fun headings(): List<String> {
        val all = root.all().filter { it.isShown && it.isHeading() }
        val sections = resources.getDimension(R.dimen.text_section)
        val first = all.firstOrNull() as? TextView ?: return listOf("no heading")
        return if (first.textSize > sections) emptyList() else listOf("a part has a heading before the screen has: ${first.text}")
    }

    private fun View.isHeading() = createAccessibilityNodeInfo().let {
        it.isHeading || it.collectionItemInfo?.isHeading == true
    }

    private fun onlyWays() =
        root.all().filter { it.isShown && it.isLongClickable && !it.isClickable && it !is TextView }.map { "only by a long press: $it" } +
            root.all().filter { it.isShown && it is SeekBar || it is RatingBar }.map { "only by sliding: $it" }

    private fun cut() = root.all().filterIsInstance<TextView>().filter { it.isShown && it.text.isNotEmpty() }.mapNotNull {
        val layout = it.layout ?: return@mapNotNull null
        val room = it.height - it.compoundPaddingTop - it.compoundPaddingBottom
        val lines = 0 until layout.lineCount
        when {
            it !is EditText && layout.height > room + 1 -> "cut below: ${it.text}"
            lines.any { line -> layout.getEllipsisCount(line) > 0 } -> "shortened: ${it.text}"
            it.area().right > root.width || it.area().left < 0 -> "beside the screen: ${it.text}"
            it !is EditText && lines.any { line -> layout.getLineMax(line) > it.width - it.compoundPaddingLeft - it.compoundPaddingRight + 1 } ->
                "wider than its place: ${it.text}"
            else -> null
        }
    }

    private fun overlapping(): List<String> = touchable.flatMapIndexed { at, one ->
        touchable.drop(at + 1).filter { !it.isInside(one) && !one.isInside(it) && Rect.intersects(one.area(), it.area()) }
            .map { "one over the other: ${one.named()}, ${it.named()}" }
    }

    private fun View.isInside(other: View): Boolean = (other as? ViewGroup)?.all()?.contains(this) == true

    /** From the picture: what is written against what it stands on. */
    private fun contrast(): List<String> = root.all().filterIsInstance<TextView>().filter { it.isShown && it.text.isNotBlank() }
        .mapNotNull { text ->
            val area = text.area().apply { if (!intersect(0, 0, root.width, root.height)) return@mapNotNull null }
            // What is scrolled half out of sight shows its ground more than its letters.
            if (area.height() < minOf(text.height, (LEAST * density).toInt())) return@mapNotNull null
            val ratio = inkOn(area)
            val least = if (sun) SUN_RATIO else RATIO
            if (ratio < least) "contrast ${"%.1f".format(ratio)}: ${text.text}" else null
        }

    private fun inkOn(area: Rect): Double {
        val counts = HashMap<Int, Int>()
        for (y in area.top until area.bottom) for (x in area.left until area.right) counts.merge(picture.getPixel(x, y), 1, Int::plus)
        val ground = counts.maxBy { it.value }.key
        return counts.keys.maxOf { ratio(it, ground) }
    }

    /** From the picture: the edge of what can be touched against the sheet. */
    private fun edges(): List<String> = touchable.filter { it.background != null && it.isEdged() }.mapNotNull { view ->
        val area = view.area()
        val y = area.centerY()
        if (area.left < 1 || y !in 0 until root.height || area.top < 0 || area.bottom > root.height) return@mapNotNull null
        val outside = picture.getPixel(area.left - 1, y)
        val best = (area.left until area.left + EDGE_PX).maxOf { ratio(picture.getPixel(it, y), outside) }
        if (best < EDGE_RATIO) "edge ${"%.1f".format(best)}: ${view.named()}" else null
    }

    private fun View.isEdged() = background is android.graphics.drawable.GradientDrawable ||
        background is android.graphics.drawable.StateListDrawable

    /** Where it is seen on the screen; nothing of it outside of what scrolls. */
    private fun View.area(): Rect {
        val seen = Rect()
        return if (getGlobalVisibleRect(seen)) seen else Rect()
    }

    private fun View.idName() = if (id == View.NO_ID) "?" else resources.getResourceEntryName(id)

    private companion object {
        const val TOUCH = 48
        const val THUMB = 64
        const val RATIO = 6.9
        const val SUN_RATIO = 18.0
        const val EDGE_RATIO = 2.9
        const val EDGE_PX = 8
        const val LEAST = 40
        val CHOICES = setOf("android.widget.RadioButton", "android.widget.CheckBox", "android.widget.Switch")
        val ROLES = CHOICES + setOf("android.widget.Button", "android.widget.ImageButton", "android.widget.EditText")

        fun ratio(one: Int, other: Int): Double {
            val (a, b) = light(one) to light(other)
            return (max(a, b) + 0.05) / (min(a, b) + 0.05)
        }

        /** Relative luminance as WCAG 2.2 defines it. */
        fun light(color: Int): Double {
            fun part(value: Int): Double = (value / 255.0).let { if (it <= 0.04045) it / 12.92 else ((it + 0.055) / 1.055).pow(2.4) }
            return 0.2126 * part(Color.red(color)) + 0.7152 * part(Color.green(color)) + 0.0722 * part(Color.blue(color))
        }
    }
}
