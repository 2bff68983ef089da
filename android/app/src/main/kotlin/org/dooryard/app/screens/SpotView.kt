package org.dooryard.app.screens

import android.provider.Settings
import org.dooryard.app.MainActivity
import org.dooryard.app.PhonePosition
import org.dooryard.app.R
import org.dooryard.app.openSettings
import org.dooryard.app.parts.Body
import org.dooryard.app.parts.Boxed
import org.dooryard.app.parts.Heading
import org.dooryard.app.parts.Note
import org.dooryard.app.parts.Option
import org.dooryard.app.parts.Options
import org.dooryard.app.parts.Pair
import org.dooryard.app.parts.Part
import org.dooryard.app.parts.Press
import org.dooryard.app.parts.PressKind
import org.dooryard.app.parts.Row
import org.dooryard.app.parts.Scene
import org.dooryard.app.parts.Section
import org.dooryard.app.parts.field
import org.dooryard.core.PlaceScreen
import org.dooryard.kit.spot.Fixing
import org.dooryard.kit.spot.Nudge
import org.dooryard.kit.spot.SpotPresenter

/** Where it is: by the words of a person first; a fix or a pin as well where they want one. */
class SpotView(activity: MainActivity, presenter: SpotPresenter) : ScreenView<SpotPresenter>(activity, presenter) {
    private val position = PhonePosition(activity)
    private var townships = false

    init {
        presenter.letGo = position::stop
    }

    override val title get() = presenter.state?.title.orEmpty()
    override val saved get() = presenter.state?.saved.orEmpty()

    override fun parts(): List<Part> {
        val state = presenter.state ?: return emptyList()
        return buildList {
            add(Heading(word(R.string.walk_where)))
            if (state.held.isNotEmpty()) add(Boxed(state.held)) else addAll(position(state))
            addAll(fields(state))
            add(Section(word(R.string.walk_hazards)))
            add(
                Options("hazards", state.hazards.map { Option(it.id, it.text, it.chosen) }, several = true, key = "hazards") {
                    presenter.hazard(it)
                },
            )
            if (state.near.isNotEmpty()) add(Section(word(R.string.walk_near)))
            state.near.forEach { add(Row(it.day, it.head, it.way, key = it.inquiry) { presenter.open(it.inquiry) }) }
        }
    }

    private fun fields(state: PlaceScreen): List<Part> = buildList {
        state.fields.forEach { of ->
            addAll(field(activity, of, presenter::typed, presenter::left))
            if (of.name == TOWNSHIP && state.townships.isNotEmpty()) {
                add(
                    Press(word(R.string.walk_townships), PressKind.LINK, open = townships, key = "townships") {
                        townships = !townships
                        again()
                    },
                )
                if (townships) {
                    add(
                        Options(TOWNSHIP, state.townships.map { Option(it, it, it == of.text) }, key = TOWNSHIP) {
                            townships = false
                            presenter.left(TOWNSHIP, it)
                        },
                    )
                }
            }
        }
    }

    private fun position(state: PlaceScreen): List<Part> = buildList {
        add(Body(state.point, bold = state.hasPoint))
        presenter.fix?.let { fix ->
            add(Note(fix.text, live = true))
            if (fix.advice.isNotEmpty()) add(Note(fix.advice))
        }
        val waits = presenter.fixing == Fixing.WAITING
        when (presenter.fixing) {
            Fixing.REST -> Unit
            Fixing.WAITING -> add(Boxed(word(R.string.walk_fix_wait), live = true))
            Fixing.REFUSED -> add(Boxed(word(R.string.walk_fix_refused), live = true))
            Fixing.OFF -> add(Boxed(word(R.string.walk_fix_off), live = true))
            Fixing.NOTHING -> add(Boxed(word(R.string.walk_fix_none), live = true))
        }
        when (presenter.fixing) {
            Fixing.REFUSED -> add(Press(word(R.string.walk_settings), key = "settings") { activity.openSettings() })
            Fixing.OFF -> add(
                Press(word(R.string.walk_settings), key = "settings") {
                    activity.openSettings(Settings.ACTION_LOCATION_SOURCE_SETTINGS)
                },
            )
            else -> Unit
        }
        if (waits) {
            add(Press(word(R.string.walk_fix_stop), key = "wait") { presenter.noLonger() })
        } else {
            add(Note(word(R.string.walk_fix_why)))
            val words = if (state.hasPoint) R.string.walk_fix_again else R.string.walk_take_fix
            add(Press(word(words), key = "fix") { ask() })
        }
        if (state.hasPoint) add(Press(word(R.string.walk_clear_place), PressKind.LINK, key = "clear") { presenter.clear() })
        addAll(map(state))
    }

    private fun map(state: PlaceScreen): List<Part> = buildList {
        if (state.canPin) {
            add(Section(word(R.string.walk_map)))
            add(Note(word(R.string.walk_map_touch)))
            add(Scene(state.scene, word(R.string.walk_map)) { x, y -> presenter.touched(x, y) })
        }
        if (state.hasPoint && state.canPin) {
            add(Section(word(R.string.walk_move_pin)))
            add(Pair(nudge(R.string.walk_north, Nudge.NORTH), nudge(R.string.walk_east, Nudge.EAST)))
            add(Pair(nudge(R.string.walk_south, Nudge.SOUTH), nudge(R.string.walk_west, Nudge.WEST)))
        }
        if (state.scene.twin.isNotEmpty()) add(Section(word(R.string.walk_in_words)))
        state.scene.twin.forEach { add(Note(it)) }
    }

    private fun nudge(words: Int, to: Nudge) =
        Press(word(words), spoken = "${word(R.string.walk_move_pin)}: ${word(words)}") { presenter.nudge(to) }

    /** Asks for leave first where there is none; the sentence stands above the button. */
    @Suppress("DEPRECATION")
    private fun ask() {
        if (position.allowed) find() else activity.requestPermissions(PhonePosition.LEAVE, LEAVE)
    }

    override fun allowed(request: Int, all: Boolean) {
        // The coarse one alone is enough to go on with.
        if (request == LEAVE) if (position.allowed) find() else presenter.refused()
    }

    private fun find() {
        if (!position.on) return presenter.off()
        presenter.waits()
        position.once { at ->
            if (at == null) presenter.foundNothing() else presenter.found(at.latitude, at.longitude, at.accuracyM, at.ageMs)
        }
    }

    override fun hidden() = presenter.noLonger()

    override fun bottom(): List<Part> = listOf(
        Press(word(R.string.plant), PressKind.MAIN) { presenter.toPlant() },
        Pair(
            Press(word(R.string.back)) { back() },
            Press(word(R.string.stop_here)) { presenter.putDown() },
        ),
    )

    private companion object {
        const val LEAVE = 4
        const val TOWNSHIP = "township"
    }
}
