package org.dooryard.kit.ask

import org.dooryard.core.RecordId
import org.dooryard.core.Screens
import org.dooryard.core.StopScreen
import org.dooryard.kit.Core
import org.dooryard.kit.Presenter
import org.dooryard.kit.Trail

/** The stops of an inquiry: one at a time, until each was read. Going back leads before it, never past it. */
class StopPresenter(core: Core, trail: Trail, private val inquiry: RecordId) : Presenter<StopScreen>(core, trail) {
    override fun Screens.load() = stops(inquiry)

    /** The one that fills the screen: the first that nobody read, else the first that stands. */
    val shown get() = state?.let { it.unread.firstOrNull() ?: it.read.firstOrNull() }

    /** Somebody read the one that is shown: kept with the time and its wording. Past the last one it goes on. */
    fun read() {
        val stop = state?.unread?.firstOrNull() ?: return goOn()
        does({ readStop(inquiry, stop.id) }) { left ->
            if (left.unread.isEmpty()) goOn() else show(left)
        }
    }

    fun goOn() {
        trail.back()
    }
}
