package org.dooryard.kit.look

import org.dooryard.core.RecordId
import org.dooryard.core.Screens
import org.dooryard.core.StopCard
import org.dooryard.core.ThinkScreen
import org.dooryard.kit.Core
import org.dooryard.kit.Place
import org.dooryard.kit.Presenter
import org.dooryard.kit.Trail

/** What it could be: several causes at once, each with its number and why. */
class ThinkPresenter(core: Core, trail: Trail, private val inquiry: RecordId, private val plant: RecordId) :
    Presenter<ThinkScreen>(core, trail) {
    override fun Screens.load() = think(inquiry, plant)

    override fun haltsOf(state: ThinkScreen): List<StopCard> = state.halts

    override val stopPlace get() = Place.Stop(inquiry)

    fun toTell() = trail.go(Place.Tell(inquiry, plant))

    /** To the look that would say most, or to the walk where none would. */
    fun oneMoreLook() = trail.go(Place.Look(inquiry, plant, state?.nextLook.orEmpty()))

    /** It stays open: what is known stands with the inquiry. */
    fun doNotKnowYet() = trail.go(Place.Inquiry(inquiry))
}
