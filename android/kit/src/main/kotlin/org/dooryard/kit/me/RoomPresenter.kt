package org.dooryard.kit.me

import org.dooryard.core.LetGoOffer
import org.dooryard.core.Screens
import org.dooryard.kit.Core
import org.dooryard.kit.Place
import org.dooryard.kit.Trail
import org.dooryard.kit.hand.Errands
import org.dooryard.kit.hand.Stage
import org.dooryard.kit.hand.WorkingPresenter

/** Room on this phone: what can leave it because it is safe at the office, what stays, and letting it go. */
class RoomPresenter(core: Core, trail: Trail, private val errands: Errands) : WorkingPresenter<LetGoOffer>(core, trail, errands.freed) {
    /** How far it is. */
    val stage get() = errands.freed.stage

    override fun Screens.load() = letGoOffer()

    /** Lets go of what is offered, once. */
    fun letGo() {
        if (state?.can == true) errands.freeRoom()
    }

    /** Also where it was stopped, some of it may have left. */
    override fun moved() {
        super.moved()
        if (stage is Stage.Stuck) refresh()
    }

    /** What came of it was read. */
    fun seen() {
        errands.freed.clear()
        refresh()
    }

    fun go(place: Place) = trail.go(place)
}
