package org.dooryard.app.screens

import org.dooryard.app.MainActivity
import org.dooryard.app.R
import org.dooryard.app.parts.Body
import org.dooryard.app.parts.Heading
import org.dooryard.app.parts.Note
import org.dooryard.app.parts.Option
import org.dooryard.app.parts.Options
import org.dooryard.app.parts.Pair
import org.dooryard.app.parts.Part
import org.dooryard.app.parts.Press
import org.dooryard.app.parts.PressKind
import org.dooryard.app.parts.Section
import org.dooryard.app.parts.field
import org.dooryard.core.Choice
import org.dooryard.kit.plant.PlantPresenter

/** A plant: its kind first, then what else is known. The list of kinds folds away once one is chosen. */
class PlantView(activity: MainActivity, presenter: PlantPresenter) : ScreenView<PlantPresenter>(activity, presenter) {
    private var choosing = false
    private var group: String? = null
    private var telling = false

    override val title get() = presenter.state?.title.orEmpty()
    override val saved get() = presenter.state?.saved.orEmpty()

    override fun parts(): List<Part> {
        val state = presenter.state ?: return emptyList()
        val kind = presenter.kind
        return buildList {
            add(Heading(word(R.string.walk_which_plant)))
            if (kind != null) {
                add(Body(kind.text, bold = true))
                if (state.scientific.isNotEmpty()) add(Note(state.scientific))
                if (state.note.isNotEmpty()) add(Note(state.note))
                add(Press(word(R.string.walk_another_kind), PressKind.LINK, open = choosing, key = "fold") { fold(!choosing) })
            }
            if (kind == null || choosing) addAll(kinds())
            addAll(about())
        }
    }

    /** What else is known stands open once there is a plant. */
    private fun about(): List<Part> = buildList {
        val state = presenter.state ?: return@buildList
        if (state.plant == null) {
            add(Press(word(R.string.walk_about_plant), PressKind.LINK, open = telling, key = "about") { tell(!telling) })
            if (!telling) return@buildList
        } else {
            add(Section(word(R.string.walk_about_plant)))
        }
        add(Note(word(R.string.required_none)))
        state.fields.forEach { addAll(field(activity, it, presenter::typed, presenter::left)) }
        if (state.plant != null) add(Press(word(R.string.walk_plant_away), PressKind.LINK, key = "away") { presenter.takeAway() })
    }

    private fun tell(open: Boolean) {
        telling = open
        again()
    }

    private fun kinds(): List<Part> = buildList {
        val recent = presenter.state?.recent.orEmpty()
        if (recent.isNotEmpty()) {
            add(Section(word(R.string.walk_met_last)))
            add(options("recent", recent))
        }
        add(Section(word(R.string.walk_all_kinds)))
        presenter.groups.forEach { of ->
            val open = group == of.name
            add(
                Press(of.name, open = open, key = "group ${of.name}") {
                    group = if (open) null else of.name
                    again()
                },
            )
            if (open) add(options("group ${of.name}", of.hosts))
        }
        presenter.unlisted?.let {
            add(Section(it.name))
            add(options("unlisted", it.hosts))
        }
    }

    private fun options(key: String, of: List<Choice>) =
        Options(key, of.map { Option(it.id, it.text, it.chosen) }, key = key) {
            choosing = false
            presenter.choose(it)
        }

    private fun fold(open: Boolean) {
        choosing = open
        again()
    }

    override fun bottom(): List<Part> = buildList {
        if (presenter.state?.plant == null) {
            add(Note(word(R.string.walk_plant_first)))
            add(Press(word(R.string.place)) { presenter.toPlace() })
        } else {
            add(Press(word(R.string.look), PressKind.MAIN) { presenter.toLook() })
            add(
                Pair(
                    Press(word(R.string.walk_photos)) { presenter.toShots() },
                    Press(word(R.string.place)) { presenter.toPlace() },
                ),
            )
        }
        add(
            Pair(
                Press(word(R.string.back)) { back() },
                Press(word(R.string.stop_here)) { presenter.putDown() },
            ),
        )
    }
}
