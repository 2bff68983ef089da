package org.dooryard.app

import android.app.Activity
import android.content.ActivityNotFoundException
import android.content.ClipData
import android.content.Intent
import android.net.Uri
import java.io.File

/** Hands something to another app, which the person chooses. Each says no where there is none that takes it. */
class Sharing(private val activity: Activity) {
    /** Where letters stand while they are shared. */
    val letters: File get() = File(SharedFiles.folder(activity), "letters").apply { mkdirs() }

    /** These files, and leave to read them and nothing else. */
    fun files(files: List<File>): Boolean {
        val uris = ArrayList(files.map { SharedFiles.uri(activity, it) })
        val send = Intent(Intent.ACTION_SEND_MULTIPLE).setType(TEXTS)
            .putParcelableArrayListExtra(Intent.EXTRA_STREAM, uris)
            .addFlags(Intent.FLAG_GRANT_READ_URI_PERMISSION)
        send.clipData = clip(uris)
        return sent(send)
    }

    /** This text as it stands. */
    fun text(text: String): Boolean =
        sent(Intent(Intent.ACTION_SEND).setType(PLAIN).putExtra(Intent.EXTRA_TEXT, text))

    /** The leave to read goes with the clip. */
    private fun clip(uris: List<Uri>): ClipData? {
        val items = uris.map { ClipData.Item(it) }
        val first = items.firstOrNull() ?: return null
        return ClipData(null, arrayOf(TEXTS), first).apply { items.drop(1).forEach { addItem(it) } }
    }

    private fun sent(send: Intent): Boolean {
        if (send.resolveActivity(activity.packageManager) == null) return false
        return try {
            activity.startActivity(Intent.createChooser(send, null))
            true
        } catch (_: ActivityNotFoundException) {
            false
        }
    }

    private companion object {
        const val TEXTS = "text/*"
        const val PLAIN = "text/plain"
    }
}
