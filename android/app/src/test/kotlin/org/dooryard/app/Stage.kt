package org.dooryard.app

import android.graphics.Bitmap
import android.graphics.Canvas
import android.view.View
import android.view.accessibility.AccessibilityNodeInfo
import android.widget.EditText
import android.widget.TextView
import org.dooryard.app.parts.Pictures
import org.dooryard.app.parts.all
import org.dooryard.app.parts.spokenText
import org.junit.Assert.assertFalse
import org.junit.Assert.assertTrue
import org.robolectric.Robolectric
import org.robolectric.RuntimeEnvironment
import org.robolectric.Shadows.shadowOf
import org.robolectric.android.controller.ActivityController
import java.io.File
import java.util.TimeZone

/** The app as somebody holds it: sees words, taps, types. */
class Stage {
    init {
        TimeZone.setDefault(TimeZone.getTimeZone("America/Chicago"))
    }

    val app: RehearsalApp get() = RuntimeEnvironment.getApplication() as RehearsalApp
    var controller: ActivityController<MainActivity> = Robolectric.buildActivity(MainActivity::class.java).setup()
        private set
    val activity: MainActivity get() = controller.get()
    val root: View get() = activity.window.decorView

    init {
        settle()
    }

    /** Waits until the notebook has answered and the screen shows it. */
    fun settle(): Stage {
        repeat(TURNS) {
            app.core.settle()
            Pictures.settle()
            shadowOf(activity.mainLooper).idle()
        }
        return this
    }

    /** All words on the screen. */
    val words: String get() = root.spokenText()

    /** One of the app's own words, in the language of the screen. */
    fun word(id: Int): String = activity.getString(id)

    /** These words are on the screen. */
    fun sees(said: String) = assertTrue("$said: $words", said in words)

    /** These words are not on the screen. */
    fun seesNot(said: String) = assertFalse("$said: $words", said in words)

    /** Everything on the screen that can be touched. */
    val touchable: List<View> get() = root.all().filter { it.isShown && it.isClickable && it.isEnabled }

    /** Taps what bears these words. */
    fun tap(words: String): Stage {
        val view = touchable.firstOrNull { it.named() == words } ?: touchable.firstOrNull { words in it.named() }
        checkNotNull(view) { "nothing to touch says \"$words\": ${touchable.map { it.named() }}, on: ${this.words}" }.performClick()
        return settle()
    }

    /** Taps what bears these words of the app's own. */
    fun tap(id: Int): Stage = tap(activity.getString(id))

    /** Types into the field under this label; stays in it unless told to leave. */
    fun type(label: String, text: String, leave: Boolean = true): Stage {
        val field = field(label)
        field.requestFocus()
        field.setText(text)
        if (leave) field.clearFocus()
        return settle()
    }

    /** The field under this label. */
    fun field(label: String): EditText = root.all().filterIsInstance<EditText>().first { edit ->
        (edit.parent as View).all().filterIsInstance<TextView>().any { label in it.text }
    }

    /** The phone turns, or the system takes the window away and gives it back. */
    fun recreate(): Stage {
        controller.recreate()
        return settle()
    }

    /** Goes back with the phone's own button. */
    fun back(): Stage {
        @Suppress("DEPRECATION")
        activity.onBackPressed()
        return settle()
    }

    /** The whole window as a picture in the folder of pictures. */
    fun picture(name: String): File {
        root.all().filterIsInstance<EditText>().forEach { it.isCursorVisible = false }
        val bitmap = Bitmap.createBitmap(root.width, root.height, Bitmap.Config.ARGB_8888)
        root.draw(Canvas(bitmap))
        val file = File(checkNotNull(System.getProperty("dooryard.pictures")), "$name.png")
        file.parentFile?.mkdirs()
        file.outputStream().use { check(bitmap.compress(Bitmap.CompressFormat.PNG, FULL, it)) }
        return file
    }

    private companion object {
        /** An answer may ask again; no screen does so more often than this. */
        const val TURNS = 4
        const val FULL = 100
    }
}

/** What a view is called by whoever reads it out. */
fun View.named(): String {
    val node: AccessibilityNodeInfo = createAccessibilityNodeInfo()
    return (node.contentDescription ?: node.text ?: "").toString()
}
