package org.dooryard.kit.hand

import org.dooryard.core.CancelToken
import org.dooryard.core.FieldNotebook
import org.dooryard.core.FileKind
import org.dooryard.core.NotebookException
import org.dooryard.core.OpenedFile
import org.dooryard.core.ProgressListener
import org.dooryard.core.ReplyTold
import org.dooryard.kit.Opened
import java.io.File

/** What came of a file that somebody opened. */
sealed interface Taken {
    /** The office's reply. */
    data class Reply(val told: ReplyTold) : Taken

    /** A newer content pack. */
    data object Pack : Taken

    /** The office's answer to this phone: from now on it is one of the office's. */
    data object Admitted : Taken

    /** It cannot be opened here, and why. */
    data class Held(val file: OpenedFile) : Taken

    /** It is for another screen, once somebody wants that: nothing of it was taken in. */
    data class Leads(val file: OpenedFile, val from: Source) : Taken
}

/**
 * Goes by what a file is, as the core says. What the office sent to this phone is taken in at once; what is for another screen
 * waits for a person's word. [from] is where it came from.
 */
fun Opened.takeFile(file: File, from: Source, token: CancelToken, listener: ProgressListener): Taken {
    val opened = screens.fileKind(file.path)
    if (opened.kind == FileKind.OTHER && notebook.answeredBy(file)) return Taken.Admitted
    if (opened.held.isNotEmpty()) return Taken.Held(opened)
    when (opened.kind) {
        FileKind.REPLY -> return Taken.Reply(screens.takeReply(file.path, token, listener))
        FileKind.PACK -> screens.takePack(file.path)
        FileKind.ANSWER_CODE -> {
            notebook.takeAnswer(opened.text)
            return Taken.Admitted
        }
        FileKind.OFFICE_CODE -> {
            // Whether it can be taken here at all is said at once.
            screens.readCode(opened.text)
            return Taken.Leads(opened, from)
        }
        FileKind.BACKUP, FileKind.OWN_DATA -> return Taken.Leads(opened, from)
        FileKind.BUNDLE, FileKind.OTHER -> return Taken.Held(opened)
    }
    return Taken.Pack
}

/** Whether this is the office's answer as a file without a sign of its kind, and was taken. One for another phone is told as that. */
private fun FieldNotebook.answeredBy(file: File): Boolean {
    if (file.length() > MOST_OF_AN_ANSWER) return false
    return try {
        enrol(file.readBytes())
        true
    } catch (e: NotebookException.Refused) {
        if (e.code != NO_ANSWER) throw e
        false
    } catch (_: NotebookException.NotEnrolled) {
        // No code was taken yet that this could answer.
        false
    }
}

/** What the core says of bytes that are no answer. */
private const val NO_ANSWER = "SCHEMA"

/** Bytes that the core reads of an answer at most; nothing larger is held in memory. */
private const val MOST_OF_AN_ANSWER = 64L shl 10
