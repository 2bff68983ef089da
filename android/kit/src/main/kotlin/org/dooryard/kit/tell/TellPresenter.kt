package org.dooryard.kit.tell

import org.dooryard.core.Choice
import org.dooryard.core.Form
import org.dooryard.core.RecordId
import org.dooryard.core.Screens
import org.dooryard.core.StopCard
import org.dooryard.core.TellScreen
import org.dooryard.kit.Core
import org.dooryard.kit.Place
import org.dooryard.kit.Presenter
import org.dooryard.kit.Trail

/** What to tell of a plant, and the days on which somebody could ask again. */
data class Telling(val screen: TellScreen, val days: List<Choice>)

/** What to tell of a plant, and writing down that it was told. Each touch is kept. */
class TellPresenter(
    core: Core,
    trail: Trail,
    private val inquiry: RecordId,
    private val plant: RecordId,
) : Presenter<Telling>(core, trail) {
    override fun Screens.load() = Telling(tell(inquiry, plant), laterForm(inquiry).days)

    override fun haltsOf(state: Telling): List<StopCard> = state.screen.halts

    override val stopPlace get() = Place.Stop(inquiry)

    /** There is something to tell. */
    val canTell: Boolean get() = state?.screen?.sayThis?.isNotEmpty() == true

    /** It was told before. */
    val wasTold: Boolean get() = state?.screen?.before?.isNotEmpty() == true

    /** They said it in their own words. */
    val toldBack: Boolean get() = state?.screen?.readBack == true

    /** Somebody asks again, on the day that the screen says. */
    val asksAgain: Boolean get() = state?.screen?.due?.isNotEmpty() == true

    /** The way in which it is told. */
    val way: String get() = state?.screen?.way.orEmpty()

    /** They said it in their own words, or did not. */
    fun turnToldBack() = keep(READ_BACK, if (toldBack) "" else YES)

    /** Somebody asks again on this day; nobody, where it is empty. */
    fun asksOn(day: String) = keep(DUE, day)

    /** Takes a way. */
    fun by(way: String) = keep(HOW, way)

    /** It was told: kept with the time and every word of it. A question that was put down with it is not put down twice. */
    fun told() = does(
        {
            val now = tell(inquiry, plant)
            told(inquiry, plant, now.way, now.readBack, now.due)
            typeIn(Form.TELLING, plant, DUE, "", true)
            load()
        },
        ::show,
    )

    fun toLetter() = trail.go(Place.Letter(inquiry, plant))

    fun toStops() = trail.go(Place.Stop(inquiry))

    private fun keep(field: String, text: String) = act {
        typeIn(Form.TELLING, plant, field, text, true)
        load()
    }

    private val TellScreen.way: String get() = ways.firstOrNull { it.chosen }?.id.orEmpty()

    private companion object {
        const val READ_BACK = "read_back"
        const val DUE = "due"
        const val HOW = "how"
        const val YES = "yes"
    }
}
