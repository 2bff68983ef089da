package org.dooryard.kit.tell

import org.dooryard.core.LaterRow
import org.dooryard.core.Screens
import org.dooryard.kit.Core
import org.dooryard.kit.Pager
import org.dooryard.kit.Place
import org.dooryard.kit.Presenter
import org.dooryard.kit.Rows
import org.dooryard.kit.Trail

/** What is to be asked, and what was answered. */
data class LaterLists(val waiting: Rows<LaterRow>, val answered: Rows<LaterRow>)

/** What is asked later, the earliest first, and what was answered. */
class LaterPresenter(core: Core, trail: Trail) : Presenter<LaterLists>(core, trail) {
    private val waiting = pager("waiting", answered = false)
    private val answered = pager("answered", answered = true)

    override fun Screens.load() = LaterLists(waiting.read(this), answered.read(this))

    /** To one of them. */
    fun open(row: LaterRow) = trail.go(Place.Answer(row.inquiry, row.id))

    fun moreWaiting() = more(waiting)

    fun moreAnswered() = more(answered)

    private fun more(of: Pager<LaterRow>) {
        of.more()
        refresh()
    }

    private fun pager(name: String, answered: Boolean) = Pager(trail.jotted, Place.Later, name) { after, limit ->
        later(answered, after, limit).let { Rows(it.rows, it.next, it.none) }
    }
}
