package org.dooryard.kit.hand

import org.dooryard.core.CancelToken
import org.dooryard.core.NotebookException
import org.dooryard.kit.Outside
import org.dooryard.kit.TroubleKind
import java.io.File
import java.io.FileOutputStream
import java.io.IOException
import java.io.InputStream
import java.io.OutputStream

/** A file of another app, or on a card: opened off the main thread. */
fun interface Source {
    /** Its bytes; nothing where there is no such file any more. */
    fun open(): InputStream?
}

/** A place that somebody chose for a file: opened off the main thread. */
interface Sink {
    /** Takes the bytes; nothing where there is no such place any more. */
    fun open(): OutputStream?

    /** Takes away what was begun there. */
    fun discard()
}

/** Copies it into a file of this phone. What is left of a copy that was stopped is taken away. */
fun Source.bringTo(file: File, token: CancelToken) {
    file.parentFile?.mkdirs()
    var whole = false
    try {
        val from = outside(TroubleKind.UNREADABLE) { open() } ?: throw Outside(TroubleKind.UNREADABLE)
        from.use {
            val to = try {
                FileOutputStream(file)
            } catch (e: IOException) {
                throw ownTrouble(e)
            }
            to.use { pour(from, to, token, TroubleKind.UNREADABLE) { ownTrouble(it) } }
        }
        whole = true
    } finally {
        if (!whole) file.delete()
    }
}

/** Copies a file of this phone there. What is left of a copy that was stopped is taken away. */
fun Sink.take(file: File, token: CancelToken) {
    var whole = false
    try {
        val to = outside(TroubleKind.UNWRITABLE) { open() } ?: throw Outside(TroubleKind.UNWRITABLE)
        outside(TroubleKind.UNWRITABLE) {
            to.use { file.inputStream().use { from -> pour(from, to, token, TroubleKind.UNWRITABLE) { Outside(TroubleKind.UNWRITABLE) } } }
        }
        whole = true
    } finally {
        if (!whole) discard()
    }
}

private fun pour(from: InputStream, to: OutputStream, token: CancelToken, reading: TroubleKind, writing: (IOException) -> IOException) {
    val buffer = ByteArray(BLOCK)
    while (true) {
        if (token.isCancelled()) throw NotebookException.Cancelled()
        val read = outside(reading) { from.read(buffer) }
        if (read < 0) break
        try {
            to.write(buffer, 0, read)
        } catch (e: IOException) {
            throw writing(e)
        }
    }
    try {
        to.flush()
    } catch (e: IOException) {
        throw writing(e)
    }
}

/** What another app answers with: any of its own exceptions can come back from it. */
private fun <T> outside(kind: TroubleKind, what: () -> T): T = try {
    what()
} catch (e: Outside) {
    throw e
} catch (_: IOException) {
    throw Outside(kind)
} catch (e: RuntimeException) {
    // A leave that was taken back, a file that is no more: each app says it in its own way.
    throw Outside(kind)
}

/** The phone's own storage said no: it is full, or it cannot be written. */
private fun ownTrouble(e: IOException): Outside {
    val full = generateSequence<Throwable>(e) { it.cause }.any { NO_ROOM.containsMatchIn(it.message.orEmpty()) }
    return Outside(if (full) TroubleKind.FULL else TroubleKind.STORAGE)
}

/** How Android and the JVM say that there is no room. */
private val NO_ROOM = Regex("ENOSPC|No.space.left")

private const val BLOCK = 64 shl 10
