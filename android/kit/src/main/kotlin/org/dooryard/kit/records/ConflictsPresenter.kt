package org.dooryard.kit.records

import org.dooryard.core.ConflictRow
import org.dooryard.core.ConflictScreen
import org.dooryard.core.RecordId
import org.dooryard.core.Screens
import org.dooryard.kit.Core
import org.dooryard.kit.Place
import org.dooryard.kit.Presenter
import org.dooryard.kit.Trail

/** What two wrote otherwise, of one inquiry or of all: somebody who sees both says what holds. */
class ConflictsPresenter(core: Core, trail: Trail, private val inquiry: RecordId?) : Presenter<ConflictScreen>(core, trail) {
    private val here = Place.Conflicts(inquiry)

    override fun Screens.load() = conflicts(inquiry)

    /** The other values are kept too, in the record's note. */
    fun asNote(row: ConflictRow): Boolean = row.asNote && trail.jotted.isTicked(here, name(row))

    fun turnNote(row: ConflictRow) {
        trail.jotted.turn(here, name(row))
        changed()
    }

    /** Keeps the value of this change; the others stay in the history, and in the note where somebody wished so. */
    fun keep(row: ConflictRow, change: String) {
        val asNote = asNote(row)
        act {
            if (asNote) keepBoth(row.record, row.field, change) else keepOne(row.record, row.field, change)
            load()
        }
    }

    /** To the inquiry of one, where this is about all of them. */
    fun open(of: RecordId) = trail.go(Place.Inquiry(of))

    /** This is about all inquiries. */
    val ofAll: Boolean get() = inquiry == null

    private fun name(row: ConflictRow) = "${row.record} ${row.field}"
}
