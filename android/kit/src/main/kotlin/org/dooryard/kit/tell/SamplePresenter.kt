package org.dooryard.kit.tell

import org.dooryard.core.AskField
import org.dooryard.core.Form
import org.dooryard.core.RecordId
import org.dooryard.core.SampleScreen
import org.dooryard.core.Screens
import org.dooryard.core.StopCard
import org.dooryard.kit.Core
import org.dooryard.kit.Place
import org.dooryard.kit.Presenter
import org.dooryard.kit.Trail
import org.dooryard.kit.Undoing

/** What is written down of a new sample or of a hand-over before it happened, by its name in the core. */
object SampleField {
    const val PART = "part"
    const val PIECES = "pieces"
    const val SEAL = "seal"
    const val COOL = "kept_cool"
    const val TO = "to"
    const val CONDITION = "condition"
}

/** Taking a sample for the laboratory, handing it over, and what is written of it later. Everything is kept as it is touched. */
class SamplePresenter(core: Core, trail: Trail, private val undoing: Undoing, private val inquiry: RecordId) :
    Presenter<SampleScreen>(core, trail) {
    private val here = Place.Sample(inquiry)

    override fun Screens.load() = samples(inquiry)

    override fun haltsOf(state: SampleScreen): List<StopCard> = state.halts

    override val stopPlace get() = Place.Stop(inquiry)

    /** One is being taken. */
    val taking: Boolean get() = trail.jotted.isTicked(here, TAKING)

    /** The one that is being handed over; empty for none. */
    val handing: RecordId get() = trail.jotted[here, HANDING]

    /** The plant that the new one is of: the one that was touched, or the only one. */
    val plant: RecordId? get() = trail.jotted[here, PLANT].ifEmpty { null } ?: state?.plants?.firstOrNull { it.chosen }?.id

    /** The pieces are no whole number. */
    val piecesBad: Boolean get() = state?.fields?.of(SampleField.PIECES).orEmpty().let { it.isNotBlank() && pieces(it) == null }

    /** A key was touched in a field of a new sample. */
    fun typed(field: String, text: String) = typed(Form.NEW_SAMPLE, inquiry, field, text)

    /** A field of a new sample was left, or its tick was touched. */
    fun left(field: String, text: String) = left(Form.NEW_SAMPLE, inquiry, field, text)

    /** A key was touched in a field of this form, of a sample or of its hand-over. */
    fun typed(form: Form, of: RecordId, field: String, text: String) =
        type("$form $of $field") { typeIn(form, of, field, text, false) }

    /** A field of this form was left. */
    fun left(form: Form, of: RecordId, field: String, text: String) = act {
        typeIn(form, of, field, text, true)
        load()
    }

    /** The plant that the new one is of was touched. */
    fun isOf(plant: RecordId) {
        trail.jotted[here, PLANT] = plant
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
        val plant = plant
        writes {
            val screen = load()
            val typed = { field: String -> screen.fields.of(field) }
            // What is no number of pieces stays typed, and nothing is taken.
            val pieces = if (typed(SampleField.PIECES).isBlank()) 0u else pieces(typed(SampleField.PIECES))
            pieces?.let {
                takeSample(inquiry, plant, typed(SampleField.PART), it, typed(SampleField.SEAL), typed(SampleField.COOL) == YES)
            }
        }
    }

    /** It was handed over, just now. */
    fun handedOver() {
        val sample = handing
        writes {
            val typed = load().samples.first { it.id == sample }.handing
            handOverSample(sample, typed.of(SampleField.TO), typed.of(SampleField.CONDITION))
        }
    }

    /** Takes one away; it can be brought back. */
    fun takeAway(sample: RecordId) = does({ takeAway(sample) }) {
        undoing.offer(it)
        refresh()
    }

    /** Does something that makes a record; where it could not yet, the screen says why. */
    private fun writes(what: Screens.() -> SampleScreen?) = does(what) { written ->
        if (written == null) return@does refresh()
        trail.jotted.forget(here)
        show(written)
    }

    private fun List<AskField>.of(name: String): String = firstOrNull { it.name == name }?.text.orEmpty()

    private fun pieces(text: String): UInt? = text.trim().toUIntOrNull()

    private companion object {
        const val TAKING = "taking"
        const val HANDING = "handing"
        const val PLANT = "plant"
        const val YES = "yes"
    }
}
