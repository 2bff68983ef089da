package org.dooryard.kit

import org.dooryard.core.Bilingual
import org.dooryard.core.Language
import org.dooryard.core.NotebookException
import java.io.IOException

/** What kind of trouble it is: the shell has words for each. */
enum class TroubleKind {
    FULL, REFUSED, INVALID, GONE, NO_OFFICE, NEWER, DAMAGED, LOCKED, KEY, STORAGE, STOPPED,

    /** A file of another app or on a card could not be read. */
    UNREADABLE,

    /** A file could not be written to the place that somebody chose. */
    UNWRITABLE,
}

/** Something outside the notebook could not be read or written. */
class Outside(val kind: TroubleKind) : IOException(kind.name)

/** Why something could not be done. [sentence] is the core's own where it has one; [keptAt] the file that was set aside. */
data class Trouble(val kind: TroubleKind, val sentence: Bilingual? = null, val keptAt: String = "") {
    /** The notebook does not open. */
    val atStart: Boolean get() = kind in AT_START

    /** The core's own sentence in a language; nothing where the shell has to say it. */
    fun said(language: Language): String? = sentence?.let { if (language == Language.ES) it.es else it.en }

    companion object {
        private const val NO_SPACE = "NO_SPACE"
        private val AT_START = setOf(TroubleKind.DAMAGED, TroubleKind.NEWER, TroubleKind.LOCKED, TroubleKind.KEY)

        /** What to tell of an exception of the core. */
        fun of(e: NotebookException): Trouble = when (e) {
            is NotebookException.Refused ->
                if (e.code == NO_SPACE) Trouble(TroubleKind.FULL) else Trouble(TroubleKind.REFUSED, e.sentence)
            is NotebookException.Invalid -> Trouble(TroubleKind.INVALID)
            is NotebookException.NotFound -> Trouble(TroubleKind.GONE)
            is NotebookException.NotEnrolled -> Trouble(TroubleKind.NO_OFFICE, e.sentence)
            is NotebookException.Cancelled -> Trouble(TroubleKind.STOPPED)
            is NotebookException.NewerDatabase -> Trouble(TroubleKind.NEWER)
            is NotebookException.Damaged -> Trouble(TroubleKind.DAMAGED, keptAt = e.keptAt)
            is NotebookException.KeyLocked -> Trouble(TroubleKind.LOCKED)
            is NotebookException.KeyGone, is NotebookException.KeyForeign -> Trouble(TroubleKind.KEY)
            is NotebookException.SecretsFailed, is NotebookException.ListenerFailed,
            is NotebookException.ShutDown, is NotebookException.Storage -> Trouble(TroubleKind.STORAGE)
        }
    }
}

/** What came of a call: its value, or why there is none. */
sealed interface Answer<out T> {
    data class Done<T>(val value: T) : Answer<T>
    data class Not(val trouble: Trouble) : Answer<Nothing>
}
