package org.dooryard.kit.spot

import org.dooryard.core.Fix
import org.dooryard.core.Here
import org.dooryard.core.PlaceScreen
import org.dooryard.core.RecordId
import org.dooryard.core.Screens
import org.dooryard.core.StopCard
import org.dooryard.kit.Core
import org.dooryard.kit.Place
import org.dooryard.kit.Presenter
import org.dooryard.kit.Trail
import org.dooryard.kit.Undoing

/** How far the phone's own position is. */
enum class Fixing { REST, WAITING, REFUSED, OFF, NOTHING }

/** Where to move the pin. */
enum class Nudge(internal val east: Int, internal val north: Int) { NORTH(0, 1), EAST(1, 0), SOUTH(0, -1), WEST(-1, 0) }

/** Where an inquiry is: a fix of the phone, a pin, or words. The scene has this [width] and [height] in units of the screen. */
class SpotPresenter(
    core: Core,
    trail: Trail,
    private val undoing: Undoing,
    private val inquiry: RecordId,
    private val width: Float,
    private val height: Float,
) : Presenter<PlaceScreen>(core, trail) {
    /** How far the fix is that somebody asked for. */
    var fixing = Fixing.REST
        private set

    /** How good the last fix is, in words; nothing before one. */
    var fix: Fix? = null
        private set

    /** Told when nobody waits for a fix any more. */
    var letGo: () -> Unit = {}

    private var here: Here? = null

    override fun Screens.load() = place(inquiry, width, height, here)

    override fun haltsOf(state: PlaceScreen): List<StopCard> = state.halts

    override val stopPlace get() = Place.Stop(inquiry)

    /** A key was touched in a field. */
    fun typed(field: String, text: String) = type("place $inquiry $field") { writePlace(inquiry, field, text, false) }

    /** A field was left, or one of its choices was taken. */
    fun left(field: String, text: String) = keep { writePlace(inquiry, field, text, true) }

    /** Sets or takes what a visitor must know. */
    fun hazard(id: String) = keep { writePlace(inquiry, HAZARD, id, true) }

    /** Somebody asked the phone where it is. */
    fun waits() = fixing(Fixing.WAITING)

    /** It may not say. */
    fun refused() = fixing(Fixing.REFUSED)

    /** Its own switch is off. */
    fun off() = fixing(Fixing.OFF)

    /** It did not find out in time, or nobody wanted to wait longer. */
    fun foundNothing() = fixing(Fixing.NOTHING)

    /** The phone was asked, and is not any more. */
    fun noLonger() {
        if (fixing == Fixing.WAITING) fixing(Fixing.REST)
        letGo()
    }

    /** It is here: within [accuracyM] meters, [ageMs] milliseconds ago. */
    fun found(latitude: Double, longitude: Double, accuracyM: Double, ageMs: Long) {
        val at = Here(latitude, longitude, accuracyM)
        does({
            val words = fix(accuracyM, ageMs)
            setPlace(inquiry, latitude, longitude, accuracyM)
            words to place(inquiry, width, height, at)
        }) { (words, screen) ->
            here = at
            fix = words
            fixing = Fixing.REST
            show(screen)
        }
    }

    /** The scene was touched, in its own units: the pin goes there. */
    fun touched(x: Float, y: Float) {
        val scene = state?.scene?.takeIf { state?.canPin == true } ?: return
        pinned { movePin(inquiry, scene, x, y) }
    }

    /** Moves the pin one step. */
    fun nudge(to: Nudge) {
        val step = (state?.scene?.meters ?: return) * STEP
        pinned { nudgePin(inquiry, to.east * step, to.north * step) }
    }

    /** Takes the position away: the place is known by its words alone. That can be undone wherever one is then. */
    fun clear() {
        here = null
        fix = null
        does({ clearPlace(inquiry) to load() }) { (taken, screen) ->
            show(screen)
            undoing.offer(taken)
        }
    }

    /** Turns to an inquiry near by. */
    fun open(near: RecordId) = trail.go(Place.Inquiry(near))

    fun toPlant() {
        does({ inquiry(inquiry).plants.firstOrNull()?.plant }) { trail.go(Place.Plant(inquiry, it)) }
    }

    /** Puts the inquiry down for now: everything is kept. */
    fun putDown() = trail.go(Place.Today)

    override fun stop() {
        letGo()
        super.stop()
    }

    private fun fixing(next: Fixing) {
        fixing = next
        changed()
    }

    /** A pin is where a person says it is: what the fix was worth is said no longer. */
    private fun pinned(what: Screens.() -> Unit) {
        fix = null
        keep(what)
    }

    private fun keep(what: Screens.() -> Unit) = act {
        what()
        load()
    }

    private companion object {
        const val HAZARD = "hazard"

        /** Units of the screen that one step of the pin is. */
        const val STEP = 12.0
    }
}
