package org.dooryard.app.screens

import org.dooryard.app.MainActivity
import org.dooryard.app.R
import org.dooryard.app.parts.Body
import org.dooryard.app.parts.Boxed
import org.dooryard.app.parts.Framed
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
import org.dooryard.app.parts.Words
import org.dooryard.core.TellGroup
import org.dooryard.core.TellScreen
import org.dooryard.kit.tell.TellPresenter

/** What to tell: stops before everything, a sentence to say, then what to do in the order in which it keeps from harm. */
class TellView(activity: MainActivity, presenter: TellPresenter) : ScreenView<TellPresenter>(activity, presenter) {
    private var beforeOpen = false

    override val title get() = presenter.state?.screen?.title.orEmpty()
    override val saved get() = presenter.state?.screen?.saved.orEmpty()

    override fun parts(): List<Part> {
        val state = presenter.state?.screen ?: return emptyList()
        return buildList {
            state.stops.forEach { stop -> add(Framed(stop.head, listOf(stop.text, stop.held).filter { it.isNotEmpty() })) }
            if (state.stops.isNotEmpty()) add(Press(word(R.string.tell_read_again), PressKind.LINK) { presenter.toStops() })
            if (state.held.isNotEmpty()) add(Boxed(state.held))
            if (presenter.canTell) addAll(advice(state))
            if (state.notice.isNotEmpty()) add(Boxed(state.notice))
            if (presenter.canTell) addAll(telling(state))
            addAll(before(state))
        }
    }

    private fun advice(state: TellScreen) = buildList {
        add(Heading(word(R.string.tell_say_this)))
        add(Words(state.sayThis))
        if (state.needs.isNotEmpty()) add(Boxed(state.needs))
        state.groups.forEach { addAll(group(it)) }
    }

    private fun group(group: TellGroup): List<Part> =
        if (group.care) listOf(Framed(group.head, group.steps))
        else listOf(Section(group.head)) + group.steps.map { Body(it) }

    private fun telling(state: TellScreen) = buildList {
        add(tick(R.string.tell_told_back, presenter.toldBack) { presenter.turnToldBack() })
        addAll(askedAgain(state))
        add(Section(word(R.string.tell_how)))
        add(Options("how", state.ways.map { Option(it.id, it.text, it.id == presenter.way) }, key = "how") { presenter.by(it) })
    }

    /** Somebody asks again: on the day that is chosen, or on one of some. */
    private fun askedAgain(state: TellScreen): List<Part> = buildList {
        if (state.asked.isNotEmpty()) add(Note(state.asked))
        if (state.question.isEmpty()) return@buildList
        if (presenter.asksAgain) {
            val note = listOf(state.dueWords, state.question).filter { it.isNotEmpty() }.joinToString("\n")
            add(tick(R.string.tell_asks_again, true, note) { presenter.asksOn("") })
            return@buildList
        }
        add(Section(word(R.string.tell_asks_again)))
        add(Note(state.question))
        val days = presenter.state?.days.orEmpty().map { Option(it.id, it.text, chosen = false) }
        add(Options("days", days, key = "days") { presenter.asksOn(it) })
    }

    private fun tick(word: Int, set: Boolean, note: String = "", turn: () -> Unit): Options {
        val name = "tick $word"
        return Options(name, listOf(Option(name, word(word), set, note)), several = true, key = name) { turn() }
    }

    private fun before(state: TellScreen) = buildList {
        if (state.before.isEmpty()) return@buildList
        add(
            Press(word(R.string.tell_told_before), PressKind.LINK, open = beforeOpen, key = "before") {
                beforeOpen = !beforeOpen
                again()
            },
        )
        add(Note(state.before.first().label))
        if (beforeOpen) state.before.forEachIndexed { at, it -> add(Row("", it.label, more = listOf(Words(it.text)), key = "before $at")) }
    }

    override fun bottom(): List<Part> {
        val back = Press(word(R.string.back)) { back() }
        if (!presenter.canTell) return listOf(back)
        val letter = Press(word(R.string.tell_to_letter), key = "letter") { presenter.toLetter() }
        val told = Press(word(if (presenter.wasTold) R.string.tell_was_told_again else R.string.tell_was_told), key = "told") {
            presenter.told()
        }
        val (main, other) = if (presenter.wasTold) letter to told else told to letter
        return listOf(main.copy(kind = PressKind.MAIN), Pair(back, other))
    }
}
