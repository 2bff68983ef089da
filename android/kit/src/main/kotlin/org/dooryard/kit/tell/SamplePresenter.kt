package org.dooryard.kit.tell

import org.dooryard.core.PlantRow
import org.dooryard.core.RecordId
import org.dooryard.core.SampleScreen
import org.dooryard.core.Screens
import org.dooryard.core.StopCard
import org.dooryard.kit.Core
import org.dooryard.kit.Place
import org.dooryard.kit.Presenter
import org.dooryard.kit.Trail
import org.dooryard.kit.Undoing

/** The samples of an inquiry, and the plants that one can be taken of. */
data class Sampling(val screen: SampleScreen, val plants: List<PlantRow>)

/** What is written down of a sample or of its hand-over before it happened. */
enum class SampleField { PLANT, PART, PIECES, SEAL, COOL, TO, CONDITION }

/** Taking a sample for the laboratory, and handing it over. */
class SamplePresenter(core: Core, trail: Trail, private val undoing: Undoing, private val inquiry: RecordId) :
    Presenter<Sampling>(core, trail) {
    private val here = Place.Sample(inquiry)

    override fun Screens.load() = with(samples(inquiry))

    override fun haltsOf(state: Sampling): List<StopCard> = state.screen.halts

    override val stopPlace get() = Place.Stop(inquiry)

    /** One is being taken. */
    val taking: Boolean get() = trail.jotted.isTicked(here, TAKING)

    /** The one that is being handed over; empty for none. */
    val handing: RecordId get() = trail.jotted[here, HANDING]

    /** What stands in a field. */
    operator fun get(field: SampleField): String = trail.jotted[here, field.name]

    /** The plant that it is of: the one that was touched, or the only one. */
    val plant: RecordId? get() = this[SampleField.PLANT].ifEmpty { null } ?: state?.plants?.singleOrNull()?.plant

    /** It is kept cool. */
    val cool: Boolean get() = trail.jotted.isTicked(here, SampleField.COOL.name)

    /** The pieces are no whole number. */
    val piecesBad: Boolean get() = this[SampleField.PIECES].let { it.isNotBlank() && it.trim().toUIntOrNull() == null }

    /** A key was touched in a field. */
    fun typed(field: SampleField, text: String) {
        trail.jotted[here, field.name] = text
    }

    /** A field was left, or a plant was touched. */
    fun left(field: SampleField, text: String) {
        typed(field, text)
        changed()
    }

    fun turnCool() {
        trail.jotted.turn(here, SampleField.COOL.name)
        changed()
    }

    /** One is going to be taken, or not after all: what was put in stays. */
    fun turnTaking() {
        trail.jotted.turn(here, TAKING)
        changed()
    }

    /** One is going to be handed over, or not after all. */
    fun turnHanding(sample: RecordId) {
        trail.jotted[here, HANDING] = if (handing == sample) "" else sample
        changed()
    }

    /** It was taken: its label is there to be copied. */
    fun taken() {
        if (piecesBad) return changed()
        val (plant, part, seal) = Triple(plant, this[SampleField.PART], this[SampleField.SEAL])
        val (pieces, cool) = (this[SampleField.PIECES].trim().toUIntOrNull() ?: 0u) to cool
        writes { takeSample(inquiry, plant, part, pieces, seal, cool) }
    }

    /** It was handed over, just now. */
    fun handedOver() {
        val (sample, to, condition) = Triple(handing, this[SampleField.TO], this[SampleField.CONDITION])
        writes { handOverSample(sample, to, condition) }
    }

    /** Takes one away; it can be brought back. */
    fun takeAway(sample: RecordId) = does({ takeAway(sample) }) {
        undoing.offer(it)
        refresh()
    }

    private fun writes(what: Screens.() -> SampleScreen) = does({ with(what()) }) { written ->
        trail.jotted.forget(here)
        show(written)
    }

    private fun Screens.with(screen: SampleScreen) = Sampling(screen, inquiry(inquiry).plants)

    private companion object {
        const val TAKING = "taking"
        const val HANDING = "handing"
    }
}
