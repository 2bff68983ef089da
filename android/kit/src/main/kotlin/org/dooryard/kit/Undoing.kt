package org.dooryard.kit

import org.dooryard.core.RecordId
import org.dooryard.core.Undo

/** What was taken away last and can be brought back: it stays until somebody says so, on whatever screen they are. */
class Undoing(private val core: Core) {
    /** What can be undone; nothing for none. */
    var undo: Undo? = null
        private set

    /** Why it could not be undone; nothing while nobody tried. */
    var trouble: Trouble? = null
        private set

    /** Told when that changes; the second time with the record that is back. */
    var changed: (RecordId?) -> Unit = {}

    /** Something was taken away. */
    fun offer(taken: Undo) {
        undo = taken
        trouble = null
        changed(null)
    }

    /** It stays away. */
    fun dismiss() {
        undo = null
        trouble = null
        changed(null)
    }

    /** Takes back what was done. */
    fun bringBack() {
        val taken = undo ?: return
        core.ask({ undo(taken) }) { answer ->
            trouble = (answer as? Answer.Not)?.trouble
            if (answer is Answer.Done) undo = null
            changed(taken.record.takeIf { answer is Answer.Done })
        }
    }
}
