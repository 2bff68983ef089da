package org.dooryard.kit

import org.dooryard.core.Bilingual
import org.dooryard.core.Language
import org.dooryard.core.NotebookException

/** What kind of trouble it is: the shell has words for each. */
enum class TroubleKind { FULL, REFUSED, INVALID, GONE, NO_OFFICE, NEWER, DAMAGED, LOCKED, KEY, STORAGE, STOPPED }

/** Why something could not be done. [sentence] is the core's own where it has one. */
data class Trouble(val kind: TroubleKind, val sentence: Bilingual? = null) {
    /** The core's own sentence in a language; nothing where the shell has to say it. */
    fun said(language: Language): String? = sentence?.let { if (language == Language.ES) it.es else it.en }

    companion object {
        private const val NO_SPACE = "NO_SPACE"

        /** What to tell of an exception of the core. */
        fun of(e: NotebookException): Trouble = when (e) {
            is NotebookException.Refused ->
                if (e.code == NO_SPACE) Trouble(TroubleKind.FULL) else Trouble(TroubleKind.REFUSED, e.sentence)
            is NotebookException.Invalid -> Trouble(TroubleKind.INVALID)
            is NotebookException.NotFound -> Trouble(TroubleKind.GONE)
            is NotebookException.NotEnrolled -> Trouble(TroubleKind.NO_OFFICE)
            is NotebookException.Cancelled -> Trouble(TroubleKind.STOPPED)
            is NotebookException.NewerDatabase -> Trouble(TroubleKind.NEWER)
            is NotebookException.Damaged -> Trouble(TroubleKind.DAMAGED)
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
