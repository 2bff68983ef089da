package org.dooryard.app.parts

import android.graphics.BitmapFactory
import android.graphics.Paint
import android.graphics.Typeface
import android.os.Build
import android.util.TypedValue
import android.view.View
import android.view.accessibility.AccessibilityNodeInfo
import android.view.accessibility.AccessibilityNodeInfo.CollectionInfo
import android.view.accessibility.AccessibilityNodeInfo.CollectionItemInfo
import android.widget.ImageView
import android.widget.TextView
import org.dooryard.app.Newer
import org.dooryard.app.R

/** What views say of themselves to whoever does not see them. */
private class Says(private val say: (AccessibilityNodeInfo) -> Unit) : View.AccessibilityDelegate() {
    override fun onInitializeAccessibilityNodeInfo(host: View, info: AccessibilityNodeInfo) {
        super.onInitializeAccessibilityNodeInfo(host, info)
        say(info)
    }
}

/** It is a heading. */
fun View.markHeading() {
    if (Build.VERSION.SDK_INT >= Build.VERSION_CODES.P) Newer.markHeading(this)
    else accessibilityDelegate = Says { it.collectionItemInfo = CollectionItemInfo.obtain(0, 1, 0, 1, true) }
}

/** It is one of so many choices, chosen or not. */
fun View.saysChoice(role: String, chosen: Boolean, at: Int, of: Int) {
    isFocusable = true
    accessibilityDelegate = Says {
        it.className = role
        it.isCheckable = true
        it.isChecked = chosen
        it.collectionItemInfo = CollectionItemInfo.obtain(at, 1, 0, 1, false, chosen)
        it.contentDescription = spokenText()
        // So that a test and a reader without collections hear it too.
        it.extras.putInt(PLACE, at + 1)
        it.extras.putInt(OUT_OF, of)
    }
}

/** It holds so many choices. */
fun View.saysList(count: Int, several: Boolean) {
    val mode = if (several) CollectionInfo.SELECTION_MODE_MULTIPLE else CollectionInfo.SELECTION_MODE_SINGLE
    accessibilityDelegate = Says { it.collectionInfo = CollectionInfo.obtain(count, 1, false, mode) }
}

/** It opens and closes something on this screen. */
fun View.saysOpen(open: Boolean) {
    accessibilityDelegate = Says {
        it.addAction(
            if (open) AccessibilityNodeInfo.AccessibilityAction.ACTION_COLLAPSE
            else AccessibilityNodeInfo.AccessibilityAction.ACTION_EXPAND,
        )
    }
}

/** What it is to whoever hears it. */
fun View.saysRole(role: String) {
    accessibilityDelegate = Says { it.className = role }
}

/** It is read as one, with all the words in it. */
fun View.saysItself(role: String?) {
    accessibilityDelegate = Says { info ->
        role?.let { info.className = it }
        info.contentDescription = spokenText()
    }
}

/** All the words that are shown in it. */
fun View.spokenText(): String = all().filterIsInstance<TextView>().filter { it.isVisibleIn(this) && it.text.isNotBlank() }
    .joinToString(", ") { it.text }

private fun View.isVisibleIn(top: View): Boolean {
    var at: View? = this
    while (at != null && at !== top) {
        if (at.visibility != View.VISIBLE) return false
        at = at.parent as? View
    }
    return true
}

/** It and everything in it. */
fun View.all(): List<View> =
    listOf(this) + if (this is android.view.ViewGroup) (0 until childCount).flatMap { getChildAt(it).all() } else emptyList()

/** There, or gone without leaving room. */
fun View.showIf(shown: Boolean) {
    visibility = if (shown) View.VISIBLE else View.GONE
}

/** The text; gone where there is none. */
fun TextView.showText(text: String) {
    this.text = text
    showIf(text.isNotEmpty())
}

/** Bold, or as plain text is. */
fun TextView.weight(bold: Boolean) = setTypeface(Typeface.create(typeface, if (bold) Typeface.BOLD else Typeface.NORMAL))

/** Underlined, as what leads somewhere is: color alone would not say so. */
fun TextView.underline(leads: Boolean) {
    paintFlags = if (leads) paintFlags or Paint.UNDERLINE_TEXT_FLAG else paintFlags and Paint.UNDERLINE_TEXT_FLAG.inv()
}

/** One of the inks of the theme. */
fun View.ink(attr: Int): Int = TypedValue().also { context.theme.resolveAttribute(attr, it, true) }.data

/** The mark of this name; nothing for none. */
fun ImageView.showMark(name: String) {
    when (name) {
        "seen" -> setImageResource(R.drawable.mark_seen)
        "bare" -> setImageResource(R.drawable.mark_bare)
        "unclear" -> setImageResource(R.drawable.mark_unclear)
        "unlooked" -> setImageResource(R.drawable.mark_unlooked)
        else -> setImageDrawable(null)
    }
    scaleType = ImageView.ScaleType.FIT_START
}

/** A picture out of a file, no larger than it is shown. */
fun ImageView.showFile(path: String) {
    if (getTag(R.id.row_picture) == path) return
    setTag(R.id.row_picture, path)
    setImageBitmap(BitmapFactory.decodeFile(path))
    scaleType = ImageView.ScaleType.CENTER_CROP
}

/** A photo out of a file, read beside the main thread, the right way up. */
fun ImageView.showPhoto(path: String) {
    if (getTag(R.id.row_picture) == path) return
    setTag(R.id.row_picture, path)
    setImageDrawable(null)
    Pictures.read(path) { if (getTag(R.id.row_picture) == path) setImageBitmap(it) }
}

/** Names of what a choice says of its place. */
const val PLACE = "org.dooryard.place"
const val OUT_OF = "org.dooryard.out_of"
