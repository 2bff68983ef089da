package org.dooryard.kit.today

import org.dooryard.core.LaterRow
import org.dooryard.core.RecordId
import org.dooryard.core.Screens
import org.dooryard.core.Today
import org.dooryard.kit.Core
import org.dooryard.kit.Place
import org.dooryard.kit.Presenter
import org.dooryard.kit.Trail

/** The first screen. */
class TodayPresenter(core: Core, trail: Trail) : Presenter<Today>(core, trail) {
    override fun Screens.load() = today()

    /** Somebody asks, by telephone or at a table. */
    fun someoneAsks() = begin("phone") { Place.Ask(it) }

    /** Somebody stands at a plant. */
    fun atAPlant() = begin("yard") { Place.Ask(it) }

    /** Goes on where somebody was. */
    fun resume() {
        val kept = state?.resume ?: return
        trail.go(Place.of(kept.screen, kept.inquiry, kept.plant, kept.look))
    }

    fun open(inquiry: RecordId) = trail.go(Place.Inquiry(inquiry))

    fun open(due: LaterRow) = trail.go(Place.Inquiry(due.inquiry))

    fun go(place: Place) = trail.go(place)

    private fun begin(channel: String, then: (RecordId) -> Place) = does({ begin(channel) }) { trail.go(then(it)) }
}
