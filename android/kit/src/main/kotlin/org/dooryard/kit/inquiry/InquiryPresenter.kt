package org.dooryard.kit.inquiry

import org.dooryard.core.InquiryScreen
import org.dooryard.core.LaterRow
import org.dooryard.core.RecordId
import org.dooryard.core.Screen
import org.dooryard.core.Screens
import org.dooryard.core.StopCard
import org.dooryard.core.Useful
import org.dooryard.kit.Core
import org.dooryard.kit.Place
import org.dooryard.kit.Presenter
import org.dooryard.kit.Trail
import org.dooryard.kit.Undoing

/** One inquiry: what is known of it, and the ways to everything that can be done with it. */
class InquiryPresenter(
    core: Core,
    trail: Trail,
    private val undoing: Undoing,
    private val inquiry: RecordId,
) : Presenter<InquiryScreen>(core, trail) {
    override fun Screens.load() = inquiry(inquiry)

    override fun haltsOf(state: InquiryScreen): List<StopCard> = state.halts

    override val stopPlace get() = Place.Stop(inquiry)

    /** On with taking it. */
    fun goOn() = trail.go(Place.Ask(inquiry))

    fun go(place: Place) = trail.go(place)

    /**
     * To where something useful is added, of the plant that it names. Where it names none to tell of, none is known yet: to the first,
     * or to the one to come.
     */
    fun add(useful: Useful) {
        val unknown = useful.screen == Screen.TELL && useful.plant == null
        val place = Place.of(useful.screen, inquiry, useful.plant, "")
        trail.go(if (unknown) Place.Plant(inquiry, state?.plants?.firstOrNull()?.plant) else place)
    }

    fun toSpot() = trail.go(Place.Spot(inquiry))

    fun toPlant(plant: RecordId?) = trail.go(Place.Plant(inquiry, plant))

    fun toLook(plant: RecordId) = trail.go(Place.Look(inquiry, plant, ""))

    fun toShots(plant: RecordId?) = trail.go(Place.Shots(inquiry, plant))

    fun toThink(plant: RecordId) = trail.go(Place.Think(inquiry, plant))

    fun toTell(plant: RecordId) = trail.go(Place.Tell(inquiry, plant))

    fun toLetter(plant: RecordId) = trail.go(Place.Letter(inquiry, plant))

    fun toSamples() = trail.go(Place.Sample(inquiry))

    fun toHistory() = trail.go(Place.History(inquiry))

    fun toFile() = trail.go(Place.OneFile(inquiry))

    fun toConflicts() = trail.go(Place.Conflicts(inquiry))

    fun toStops() = trail.go(Place.Stop(inquiry))

    fun toAskLater() = trail.go(Place.AskLater(inquiry))

    fun answer(later: LaterRow) = trail.go(Place.Answer(inquiry, later.id))

    /** To another inquiry at the same place. */
    fun open(other: RecordId) = trail.go(Place.Inquiry(other))

    /** Begins another visit: the same plants at the same place, and nothing of what was asked or found. */
    fun visitAgain() = does({ again(inquiry) }) { trail.go(Place.Ask(it)) }

    /** It is finished for now. */
    fun finish() = act { finish(inquiry) }

    /** Takes it away, and leaves it: that can be undone wherever one is then. */
    fun takeAway() = does({ takeAway(inquiry) }) { taken ->
        trail.leave(inquiry)
        undoing.offer(taken)
    }

    /** Brings it back out of the bin. */
    fun bringBack() = does({ bringBack(inquiry); inquiry(inquiry) }) { back ->
        if (undoing.undo?.record == inquiry) undoing.dismiss()
        show(back)
    }

    fun back() = trail.back()
}
