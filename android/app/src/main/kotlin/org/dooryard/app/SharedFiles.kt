package org.dooryard.app

import android.content.ContentProvider
import android.content.ContentValues
import android.content.Context
import android.database.Cursor
import android.database.MatrixCursor
import android.net.Uri
import android.os.ParcelFileDescriptor
import android.provider.OpenableColumns
import java.io.File
import java.io.FileNotFoundException

/**
 * Files that leave or enter the app one by one. What another app may read stands in the folder for sharing; what a camera may
 * write is one new photo of the notebook, or the picture of a code while one is waited for. Nothing is found without a leave
 * that was given for that one file.
 */
class SharedFiles : ContentProvider() {
    override fun onCreate() = true

    override fun openFile(uri: Uri, mode: String): ParcelFileDescriptor {
        val context = checkNotNull(context)
        val file = File(context.filesDir, uri.path.orEmpty()).canonicalFile
        val parsed = ParcelFileDescriptor.parseMode(mode)
        val reads = parsed == ParcelFileDescriptor.MODE_READ_ONLY
        val allowed = if (reads) file.isIn(folder(context)) else isShot(context, file) || isScan(context, file)
        if (!allowed) throw FileNotFoundException("not shared")
        return ParcelFileDescriptor.open(file, parsed)
    }

    override fun query(
        uri: Uri,
        asked: Array<out String>?,
        selection: String?,
        arguments: Array<out String>?,
        order: String?,
    ): Cursor {
        val file = File(checkNotNull(context).filesDir, uri.path.orEmpty())
        val columns = asked ?: arrayOf(OpenableColumns.DISPLAY_NAME, OpenableColumns.SIZE)
        return MatrixCursor(columns).apply {
            addRow(
                columns.map {
                    when (it) {
                        OpenableColumns.DISPLAY_NAME -> file.name
                        OpenableColumns.SIZE -> file.length()
                        else -> null
                    }
                },
            )
        }
    }

    override fun getType(uri: Uri): String = when (uri.path.orEmpty().substringAfterLast('.')) {
        "jpg" -> "image/jpeg"
        "html" -> "text/html"
        "txt" -> "text/plain"
        "zip" -> "application/zip"
        else -> "application/octet-stream"
    }

    override fun insert(uri: Uri, values: ContentValues?): Uri = throw UnsupportedOperationException()

    override fun update(uri: Uri, values: ContentValues?, selection: String?, arguments: Array<out String>?): Int =
        throw UnsupportedOperationException()

    override fun delete(uri: Uri, selection: String?, arguments: Array<out String>?): Int =
        throw UnsupportedOperationException()

    companion object {
        private const val AUTHORITY = "org.dooryard.app.files"
        private const val SHARED = "shared"
        private const val SCAN = "scan"

        /** The folder of what a person shares; made anew where it is not there. */
        fun folder(context: Context): File = File(context.filesDir, SHARED).apply { mkdirs() }

        /** What another app is told to open. */
        fun uri(context: Context, file: File): Uri = Uri.Builder().scheme("content").authority(AUTHORITY)
            .path(file.canonicalFile.relativeTo(context.filesDir.canonicalFile).path).build()

        /** The picture of a code. */
        fun scan(context: Context): File = File(File(context.filesDir, SCAN), "code.jpg")

        /** Waits for the picture of a code: until it is taken away, a camera may write it. */
        fun expectScan(context: Context): File = scan(context).apply {
            parentFile?.mkdirs()
            delete()
            createNewFile()
        }

        private fun isScan(context: Context, file: File): Boolean = file == scan(context).canonicalFile && file.exists()

        /** A file of a shot that was begun, and nothing else of the notebook. */
        private fun isShot(context: Context, file: File): Boolean =
            file.parentFile?.name == SHOTS && file.isIn((context.applicationContext as DooryardApp).folder)

        private fun File.isIn(folder: File): Boolean = path.startsWith(folder.canonicalFile.path + File.separator)

        /** Folder of the notebook in which a camera's picture is expected. */
        private const val SHOTS = "incoming"
    }
}
