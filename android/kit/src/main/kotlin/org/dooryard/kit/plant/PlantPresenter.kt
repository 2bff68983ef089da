package org.dooryard.kit.plant

import org.dooryard.core.Choice
import org.dooryard.core.HostGroup
import org.dooryard.core.PlantScreen
import org.dooryard.core.RecordId
import org.dooryard.core.Screens
import org.dooryard.core.StopCard
import org.dooryard.kit.Core
import org.dooryard.kit.Place
import org.dooryard.kit.Presenter
import org.dooryard.kit.Trail
import org.dooryard.kit.Undoing

/** One plant: its kind, and what else is known of it. A new one is a record from its first field on. */
class PlantPresenter(
    core: Core,
    trail: Trail,
    private val undoing: Undoing,
    private val inquiry: RecordId,
    private val begun: RecordId?,
) : Presenter<PlantScreen>(core, trail) {
    /** The plant as soon as there is one. Set where the notebook works, so that what is written next goes to the same plant. */
    @Volatile private var known = begun

    override fun Screens.load() = plant(inquiry, known)

    override fun haltsOf(state: PlantScreen): List<StopCard> = state.halts

    override val stopPlace get() = Place.Stop(inquiry)

    override fun came(state: PlantScreen) {
        val plant = state.plant ?: return
        if (begun == null) trail.became(Place.Plant(inquiry, null), Place.Plant(inquiry, plant))
    }

    /** The kind that was chosen; nothing before. */
    val kind: Choice? get() = state?.hosts?.firstNotNullOfOrNull { group -> group.hosts.firstOrNull { it.chosen } }

    /** Kinds by group, but for the last of them: that nobody knows it. */
    val groups: List<HostGroup> get() = state?.hosts?.dropLast(1).orEmpty()

    /** That it is none of the list. */
    val unlisted: HostGroup? get() = state?.hosts?.lastOrNull()

    /** Chooses the kind. */
    fun choose(kind: String) = act { written(KIND, kind, true) }

    /** A key was touched in a field. */
    fun typed(field: String, text: String) = type("plant $inquiry $begun $field") { written(field, text, false) }

    /** A field was left, or one of its choices was taken. */
    fun left(field: String, text: String) = act { written(field, text, true) }

    fun toLook() = withPlant { Place.Look(inquiry, it, "") }

    fun toShots() = withPlant { Place.Shots(inquiry, it) }

    fun toPlace() = trail.go(Place.Spot(inquiry))

    /** Puts the inquiry down for now: everything is kept. */
    fun putDown() = trail.go(Place.Today)

    /** Takes the plant away and leaves it; it can be brought back. */
    fun takeAway() {
        val plant = state?.plant ?: return
        does({ takeAway(plant) }) {
            trail.leave(plant)
            undoing.offer(it)
        }
    }

    private fun withPlant(then: (RecordId) -> Place) {
        state?.plant?.let { trail.go(then(it)) }
    }

    private fun Screens.written(field: String, text: String, left: Boolean): PlantScreen =
        writePlant(inquiry, known, field, text, left).also { known = it.plant ?: known }

    private companion object {
        const val KIND = "host"
    }
}
