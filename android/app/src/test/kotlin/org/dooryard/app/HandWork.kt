package org.dooryard.app

import android.content.ClipData
import android.content.ClipboardManager
import android.content.Intent
import android.graphics.Bitmap
import android.graphics.Canvas
import android.graphics.Color
import android.graphics.Paint
import android.net.Uri
import android.widget.TextView
import org.dooryard.app.parts.all
import org.dooryard.kit.Place
import org.dooryard.kit.join.Qr
import org.robolectric.Shadows.shadowOf
import java.io.ByteArrayOutputStream
import java.io.File

/** Goes to a place as a button would. */
fun Stage.goes(place: Place): Stage {
    activity.trail.go(place)
    return settle()
}

/** Copies a text as somebody does in another app. */
fun Stage.copies(text: String) {
    activity.getSystemService(ClipboardManager::class.java).setPrimaryClip(ClipData.newPlainText("", text))
}

/** What the app asked another one for last. */
fun Stage.asked(): Intent = checkNotNull(shadowOf(activity).peekNextStartedActivityForResult()) { "nothing was asked" }.intent

/** The other app answers with this file. */
fun Stage.answers(file: Uri?, ok: Boolean = true): Stage {
    val asked = shadowOf(activity).nextStartedActivityForResult.intent
    val result = if (ok) android.app.Activity.RESULT_OK else android.app.Activity.RESULT_CANCELED
    shadowOf(activity).receiveResult(asked, result, file?.let { Intent().setData(it) })
    return settle()
}

/** A file as another app offers it. */
fun Stage.offers(name: String, bytes: ByteArray): Uri {
    val uri = Uri.parse("content://elsewhere/files/$name")
    shadowOf(activity.contentResolver).registerInputStreamSupplier(uri) { bytes.inputStream() }
    return uri
}

/** A place in another app; what is written there. */
fun Stage.place(name: String): Pair<Uri, ByteArrayOutputStream> {
    val uri = Uri.parse("content://elsewhere/places/$name")
    val written = ByteArrayOutputStream()
    shadowOf(activity.contentResolver).registerOutputStreamSupplier(uri) { written }
    return uri to written
}

/** The file that was handed to the share sheet, read as the other app reads it. */
fun Stage.shared(to: File): File {
    val chooser = generateSequence { shadowOf(activity).nextStartedActivity }.first { it.action == Intent.ACTION_CHOOSER }
    @Suppress("DEPRECATION")
    val send = checkNotNull(chooser.getParcelableExtra<Intent>(Intent.EXTRA_INTENT))
    check(send.flags and Intent.FLAG_GRANT_READ_URI_PERMISSION != 0) { "no leave to read" }
    @Suppress("DEPRECATION")
    val uri = checkNotNull(send.getParcelableExtra<Uri>(Intent.EXTRA_STREAM))
    activity.contentResolver.openInputStream(uri)!!.use { from -> to.outputStream().use { from.copyTo(it) } }
    return to
}

/** A text on the screen that begins so. */
fun Stage.text(begin: String): String =
    root.all().filterIsInstance<TextView>().map { it.text.toString() }.first { it.startsWith(begin) }

/** A photo of a code, askew and gray, as a phone takes it. */
fun photoOf(code: String): ByteArray {
    val square = checkNotNull(Qr.of(code))
    val field = 7f
    val side = (square.size * field * 1.3f).toInt()
    val bitmap = Bitmap.createBitmap(side, side, Bitmap.Config.ARGB_8888)
    val canvas = Canvas(bitmap)
    canvas.drawColor(Color.rgb(150, 160, 150))
    canvas.rotate(4f, side / 2f, side / 2f)
    canvas.translate(side * .12f, side * .12f)
    val paint = Paint().apply { color = Color.rgb(225, 225, 220) }
    canvas.drawRect(0f, 0f, square.size * field, square.size * field, paint)
    paint.color = Color.rgb(45, 40, 40)
    for (y in 0 until square.size) for (x in 0 until square.size) {
        if (square.isDark(x, y)) canvas.drawRect(x * field, y * field, (x + 1) * field, (y + 1) * field, paint)
    }
    return ByteArrayOutputStream().also { bitmap.compress(Bitmap.CompressFormat.JPEG, 80, it) }.toByteArray()
}
