package org.dooryard.kit.tell

import org.dooryard.core.RecordId
import org.dooryard.core.Screens
import org.dooryard.core.StopCard
import org.dooryard.core.TellScreen
import org.dooryard.kit.Core
import org.dooryard.kit.Place
import org.dooryard.kit.Presenter
import org.dooryard.kit.Trail

/** What to tell of a plant, and writing down that it was told. */
class TellPresenter(
    core: Core,
    trail: Trail,
    private val inquiry: RecordId,
    private val plant: RecordId,
) : Presenter<TellScreen>(core, trail) {
    private val here = Place.Tell(inquiry, plant)

    override fun Screens.load() = tell(inquiry, plant)

    override fun haltsOf(state: TellScreen): List<StopCard> = state.halts

    override val stopPlace get() = Place.Stop(inquiry)

    /** There is something to tell. */
    val canTell: Boolean get() = state?.sayThis?.isNotEmpty() == true

    /** It was told before. */
    val wasTold: Boolean get() = state?.before?.isNotEmpty() == true

    /** They said it in their own words. */
    val toldBack: Boolean get() = trail.jotted.isTicked(here, BACK)

    /** Somebody asks again on the day that the core names; after the first telling that is put down already. */
    val asksAgain: Boolean get() = trail.jotted.isTicked(here, OTHERWISE) == wasTold

    /** The way in which it is told. */
    val way: String get() = trail.jotted[here, WAY].ifEmpty { state?.ways?.firstOrNull { it.chosen }?.id.orEmpty() }

    fun turnToldBack() = turn(BACK)

    fun turnAsksAgain() = turn(OTHERWISE)

    /** Takes a way. */
    fun by(way: String) {
        trail.jotted[here, WAY] = way
        changed()
    }

    /** It was told: kept with the time and every word of it. */
    fun told() {
        val (way, back) = way to toldBack
        val due = state?.due.orEmpty().takeIf { asksAgain }.orEmpty()
        does({ told(inquiry, plant, way, back, due) }) { told ->
            trail.jotted.forget(here)
            show(told)
        }
    }

    fun toLetter() = trail.go(Place.Letter(inquiry, plant))

    fun toStops() = trail.go(Place.Stop(inquiry))

    private fun turn(name: String) {
        trail.jotted.turn(here, name)
        changed()
    }

    private companion object {
        const val BACK = "back"
        const val OTHERWISE = "otherwise"
        const val WAY = "way"
    }
}
