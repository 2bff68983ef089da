package org.dooryard.app

import android.app.Activity
import android.content.ActivityNotFoundException
import android.content.ClipData
import android.content.ClipboardManager
import android.content.ContentResolver
import android.content.Context
import android.content.Intent
import android.graphics.Bitmap
import android.graphics.BitmapFactory
import android.graphics.Color
import android.net.Uri
import android.os.Build
import android.provider.DocumentsContract
import org.dooryard.kit.hand.Sink
import org.dooryard.kit.hand.Source
import org.dooryard.kit.join.Luminance
import org.dooryard.kit.join.Picture
import java.io.File
import java.io.IOException
import java.io.InputStream

/** What every file is that only we read. */
const val ANY_BYTES = "application/octet-stream"

/** A zip file. */
const val ZIP = "application/zip"

/** Asks which file to read, of these types. Says no where no app can show any. */
fun Activity.chooseFile(request: Int, type: String = "*/*"): Boolean =
    launch(request, Intent(Intent.ACTION_OPEN_DOCUMENT).addCategory(Intent.CATEGORY_OPENABLE).setType(type))

/** Asks where to put a new file. Says no where no app has a place. */
fun Activity.choosePlace(request: Int, name: String, type: String): Boolean = launch(
    request,
    Intent(Intent.ACTION_CREATE_DOCUMENT).addCategory(Intent.CATEGORY_OPENABLE).setType(type).putExtra(Intent.EXTRA_TITLE, name),
)

/** Opens another app that answers. Says no where there is none. */
fun Activity.launch(request: Int, intent: Intent): Boolean = try {
    @Suppress("DEPRECATION")
    startActivityForResult(intent, request)
    true
} catch (_: ActivityNotFoundException) {
    false
}

/** Hands one file of the folder for sharing to an app that a person picks. */
fun Activity.shareFile(file: File, title: String, type: String = ANY_BYTES) {
    val uri = SharedFiles.uri(this, file)
    val send = Intent(Intent.ACTION_SEND).setType(type).putExtra(Intent.EXTRA_STREAM, uri)
        .addFlags(Intent.FLAG_GRANT_READ_URI_PERMISSION)
    // The leave to read goes with what is clipped, on every version.
    send.clipData = ClipData.newRawUri("", uri)
    startActivity(Intent.createChooser(send, title))
}

/** Hands a text to an app that a person picks. */
fun Activity.shareText(text: String, title: String) {
    val send = Intent(Intent.ACTION_SEND).setType("text/plain").putExtra(Intent.EXTRA_TEXT, text)
    startActivity(Intent.createChooser(send, title))
}

/** Puts a text where it can be pasted from. */
fun Context.copyText(text: String) {
    getSystemService(ClipboardManager::class.java).setPrimaryClip(ClipData.newPlainText("", text))
}

/** The text that can be pasted; empty for none. */
fun Context.pastedText(): String {
    val clip = getSystemService(ClipboardManager::class.java).primaryClip?.takeIf { it.itemCount > 0 }
    return clip?.getItemAt(0)?.coerceToText(this)?.toString().orEmpty()
}

/** A file of another app. */
fun Context.sourceOf(uri: Uri): Source {
    val resolver = applicationContext.contentResolver
    return Source { resolver.openInputStream(uri) }
}

/** A place that a person chose for a file. */
fun Context.sinkOf(uri: Uri): Sink {
    val resolver = applicationContext.contentResolver
    return object : Sink {
        override fun open() = resolver.openOutputStream(uri, "wt")

        override fun discard() {
            try {
                DocumentsContract.deleteDocument(resolver, uri)
            } catch (_: Exception) {
                // The place may keep what it was given: it is not whole, and reading it says so.
            }
        }
    }
}

/** A picture of another app. */
fun Context.pictureOf(uri: Uri): Picture {
    val resolver = applicationContext.contentResolver
    return Picture { luminance { resolver.read(uri) } }
}

/** A picture in a file of ours, which goes once it was read. */
fun pictureIn(file: File) = Picture {
    try {
        luminance { if (file.length() > 0) file.inputStream() else null }
    } finally {
        file.delete()
    }
}

private fun ContentResolver.read(uri: Uri): InputStream? = try {
    openInputStream(uri)
} catch (_: IOException) {
    null
} catch (_: SecurityException) {
    null
}

/** How bright the points of a picture are, made small enough to be looked through quickly. */
private fun luminance(open: () -> InputStream?): Luminance? {
    val bounds = BitmapFactory.Options().apply { inJustDecodeBounds = true }
    open()?.use { BitmapFactory.decodeStream(it, null, bounds) } ?: if (bounds.outWidth <= 0) return null else Unit
    val longest = maxOf(bounds.outWidth, bounds.outHeight)
    if (longest <= 0) return null
    val options = BitmapFactory.Options().apply { inSampleSize = Integer.highestOneBit(maxOf(1, longest / SIDE)) }
    val bitmap = open()?.use { BitmapFactory.decodeStream(it, null, options) } ?: return null
    return bitmap.luminance().also { bitmap.recycle() }
}

private fun Bitmap.luminance(): Luminance {
    val row = IntArray(width)
    val bytes = ByteArray(width * height)
    for (y in 0 until height) {
        getPixels(row, 0, width, 0, y, width, 1)
        for (x in 0 until width) bytes[y * width + x] = brightness(row[x])
    }
    return Luminance(bytes, width, height)
}

/** Green twice, red and blue once: as near to brightness as a reader of codes needs. What is clear stands on white. */
private fun brightness(color: Int): Byte {
    if (Color.alpha(color) < HALF) return -1
    return ((Color.red(color) + 2 * Color.green(color) + Color.blue(color)) / WEIGHTS).toByte()
}

private const val HALF = 0x80
private const val WEIGHTS = 4

/** The longer side that a picture has at least after it was made smaller. */
private const val SIDE = 1200

/** The file that another app asked to open or sent; nothing where it sent none that we read. */
fun Intent.sentFile(): Uri? {
    val uri = when (action) {
        Intent.ACTION_VIEW -> data
        Intent.ACTION_SEND ->
            if (Build.VERSION.SDK_INT >= Build.VERSION_CODES.TIRAMISU) Newer.stream(this)
            else @Suppress("DEPRECATION") getParcelableExtra(Intent.EXTRA_STREAM)
        else -> null
    }
    return uri?.takeIf { it.scheme == ContentResolver.SCHEME_CONTENT }
}
