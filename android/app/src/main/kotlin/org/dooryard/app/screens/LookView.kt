package org.dooryard.app.screens

import org.dooryard.app.MainActivity
import org.dooryard.app.R
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
import org.dooryard.app.parts.Section
import org.dooryard.app.parts.Tally
import org.dooryard.app.parts.drawn
import org.dooryard.core.AnswerRow
import org.dooryard.core.LookCard
import org.dooryard.core.LookRow
import org.dooryard.kit.look.LookPresenter

/** One look: the question, how to look, the answers. Behind it all looks of the plant, part by part. */
class LookView(activity: MainActivity, presenter: LookPresenter) : ScreenView<LookPresenter>(activity, presenter) {
    private var whyOf: String? = null
    private var listed = false
    private var part: String? = null

    override val title: String
        get() = presenter.state?.let { s -> if (listed) s.title else s.look?.part ?: s.title }.orEmpty()
    override val saved get() = presenter.state?.saved.orEmpty()

    override fun parts(): List<Part> {
        val state = presenter.state ?: return emptyList()
        val look = state.look
        return when {
            listed -> list()
            state.noHost.isNotEmpty() -> listOf(Heading(word(R.string.look)), Boxed(state.noHost))
            look == null -> buildList {
                add(Heading(word(R.string.walk_none_left)))
                if (state.enough.isNotEmpty()) add(Body(state.enough))
                add(Note(state.after))
                addAll(more(null))
            }
            else -> asked(look)
        }
    }

    private fun asked(look: LookCard): List<Part> = buildList {
        val state = presenter.state ?: return@buildList
        val picked = presenter.picked
        if (state.enough.isNotEmpty()) add(Boxed(state.enough))
        add(Heading(look.ask))
        if (look.how.isNotEmpty()) add(Body(look.how))
        add(Note(look.cost))
        add(
            Options(
                look.character,
                look.answers.map {
                    Option(it.id, it.text, it.id in picked, noteOf(it), it.mark, activity.drawn(it.picture))
                },
                several = look.several,
                key = look.character,
            ) { presenter.choose(it) },
        )
        if (presenter.looked) {
            add(Section(word(R.string.walk_how_sure)))
            add(Tally(look.comfort.map { Option(it.id, it.text, it.chosen) }) { presenter.sure(it) })
        }
        state.moved.forEach { add(Note(it, live = true)) }
        addAll(more(look))
    }

    /** What was looked for and is not there says so. */
    private fun noteOf(answer: AnswerRow) =
        if (answer.absent && answer.id !in presenter.picked) word(R.string.walk_absent) else answer.note

    /** Why this one, the last answer taken back, all looks. */
    private fun more(look: LookCard?): List<Part> = buildList {
        if (look != null && look.why.isNotEmpty()) {
            val open = whyOf == look.character
            add(
                Press(word(R.string.walk_why), PressKind.LINK, open = open, key = "why") {
                    whyOf = if (open) null else look.character
                    again()
                },
            )
            if (open) look.why.forEach { add(Body(it)) }
        }
        presenter.state?.undo?.let { add(Press(it.text, PressKind.LINK, key = "undo") { presenter.takeBack() }) }
        add(Press(word(R.string.walk_all_looks), PressKind.LINK, key = "list") { list(true) })
        if (look != null) add(Press(word(R.string.walk_photos), PressKind.LINK, key = "photos") { presenter.toShots() })
    }

    private fun list(): List<Part> = buildList {
        add(Heading(word(R.string.walk_choose_look)))
        add(Note(presenter.state?.after.orEmpty()))
        presenter.state?.parts?.forEach { of ->
            val open = part == of.name
            add(
                Press(of.name, open = open, key = of.id) {
                    part = if (open) null else of.name
                    again()
                },
            )
            if (open) of.looks.forEach { add(row(it)) }
        }
    }

    private fun row(look: LookRow): Part {
        val words = if (look.held) word(R.string.walk_held_look) else look.cost
        val tap = {
            listed = false
            presenter.open(look.character)
        }
        return Row("", look.label, "${look.found}\n$words", look.mark, key = look.character, tap = tap.takeIf { !look.held })
    }

    private fun list(open: Boolean) {
        listed = open
        part = presenter.state?.look?.part
        again()
    }

    override fun bottom(): List<Part> {
        val state = presenter.state ?: return emptyList()
        val back = Press(word(R.string.back)) { back() }
        val think = { kind: PressKind -> Press(word(R.string.walk_could_be), kind) { presenter.toThink() } }
        val next = { kind: PressKind -> Press(word(R.string.walk_next_look), kind) { presenter.next() } }
        return when {
            listed -> listOf(Press(word(R.string.walk_to_this_look), PressKind.MAIN) { list(false) })
            state.noHost.isNotEmpty() -> listOf(Press(word(R.string.plant), PressKind.MAIN) { presenter.toPlant() }, back)
            state.look == null -> listOf(
                think(PressKind.MAIN),
                Pair(back, Press(word(R.string.walk_photos)) { presenter.toShots() }),
            )
            state.enough.isNotEmpty() -> listOf(think(PressKind.MAIN), Pair(back, next(PressKind.PLAIN)))
            else -> listOf(next(PressKind.MAIN), Pair(back, think(PressKind.PLAIN)))
        }
    }

    override fun back() = if (listed) list(false) else presenter.back()
}
