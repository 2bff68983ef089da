package org.dooryard.kit.hand

import org.dooryard.core.CancelToken
import org.dooryard.core.FieldNotebook
import org.dooryard.core.NotebookException
import org.dooryard.core.ProgressListener
import org.dooryard.core.ReplyTold
import org.dooryard.kit.Opened
import java.io.File

/** What a file of the office was. */
sealed interface Taken {
    /** Its reply. */
    data class Reply(val told: ReplyTold) : Taken

    /** A newer content pack. */
    data object Pack : Taken

    /** Its answer to this phone: from now on it is one of the office's. */
    data object Admitted : Taken
}

/**
 * Takes in a file of the office, whatever it is: a reply, a content pack, or the office's answer to this phone, as a file or as the
 * text of a code. Each is asked in turn, and says itself when it is none of its kind; then the first one's refusal is told.
 */
fun Opened.takeFile(file: File, token: CancelToken, listener: ProgressListener): Taken {
    val refused = try {
        return Taken.Reply(screens.takeReply(file.path, token, listener))
    } catch (e: NotebookException.Refused) {
        if (e.code != OTHER_KIND) throw e
        e
    }
    try {
        screens.takePack(file.path)
        return Taken.Pack
    } catch (e: NotebookException.Refused) {
        if (e.code != OTHER_KIND) throw e
    }
    if (file.length() <= MOST_OF_AN_ANSWER) {
        val bytes = file.readBytes()
        if (notebook.answeredBy(bytes)) return Taken.Admitted
    }
    throw refused
}

/** Whether this is the office's answer, and was taken. One that is for another phone is told as that. */
private fun FieldNotebook.answeredBy(bytes: ByteArray): Boolean {
    for (take in listOf<() -> Unit>({ enrol(bytes) }, { takeAnswer(bytes.decodeToString()) })) {
        try {
            take()
            return true
        } catch (e: NotebookException.Refused) {
            if (e.code != NO_ANSWER) throw e
        } catch (_: NotebookException.NotEnrolled) {
            // No code was taken yet that this could answer.
        }
    }
    return false
}

/** What the core says of a file that does not begin as this kind does. */
private const val OTHER_KIND = "BAD_MAGIC"

/** What it says of bytes that are no answer. */
private const val NO_ANSWER = "SCHEMA"

/** Bytes that the core reads of an answer at most; nothing larger is held in memory. */
private const val MOST_OF_AN_ANSWER = 64L shl 10
