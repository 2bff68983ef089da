package org.dooryard.kit.inquiry

import org.dooryard.core.HistoryRow
import org.dooryard.core.RecordId
import org.dooryard.core.Screens
import org.dooryard.kit.Core
import org.dooryard.kit.Pager
import org.dooryard.kit.Place
import org.dooryard.kit.Presenter
import org.dooryard.kit.Rows
import org.dooryard.kit.Trail

/** What happened to an inquiry, newest first. */
class HistoryPresenter(core: Core, trail: Trail, inquiry: RecordId) : Presenter<Rows<HistoryRow>>(core, trail) {
    private val pager = Pager(trail.jotted, Place.History(inquiry)) { after, limit ->
        history(inquiry, after, limit).let { Rows(it.rows, it.next) }
    }

    override fun Screens.load() = pager.read(this)

    /** A page more. */
    fun more() {
        pager.more()
        refresh()
    }
}
