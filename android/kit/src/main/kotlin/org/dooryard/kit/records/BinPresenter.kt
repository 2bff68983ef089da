package org.dooryard.kit.records

import org.dooryard.core.BinRow
import org.dooryard.core.RecordId
import org.dooryard.core.Screens
import org.dooryard.kit.Core
import org.dooryard.kit.Pager
import org.dooryard.kit.Place
import org.dooryard.kit.Presenter
import org.dooryard.kit.Rows
import org.dooryard.kit.Trail
import org.dooryard.kit.Undoing

/** What was taken away, the last first. Everything of it can be brought back. */
class BinPresenter(core: Core, trail: Trail, private val undoing: Undoing) : Presenter<Rows<BinRow>>(core, trail) {
    private val pager = Pager(trail.jotted, Place.Bin) { after, limit ->
        bin(after, limit).let { Rows(it.rows, it.next, it.none) }
    }

    override fun Screens.load() = pager.read(this)

    /** Brings one back. */
    fun bringBack(record: RecordId) = does({ bringBack(record); load() }) { left ->
        if (undoing.undo?.record == record) undoing.dismiss()
        show(left)
    }

    /** A page more. */
    fun more() {
        pager.more()
        refresh()
    }
}
