package org.dooryard.app.screens

import org.dooryard.app.MainActivity
import org.dooryard.app.R
import org.dooryard.app.parts.Body
import org.dooryard.app.parts.Heading
import org.dooryard.app.parts.Note
import org.dooryard.app.parts.Part
import org.dooryard.app.parts.Press
import org.dooryard.app.parts.PressKind
import org.dooryard.app.parts.Row
import org.dooryard.app.parts.Words
import org.dooryard.core.LaterRow
import org.dooryard.kit.tell.LaterPresenter

/** What is asked later, the earliest first; what was answered is folded under it. */
class LaterView(activity: MainActivity, presenter: LaterPresenter) : ScreenView<LaterPresenter>(activity, presenter) {
    private var answeredOpen = false

    override val title get() = word(R.string.later)

    override fun parts(): List<Part> {
        val state = presenter.state ?: return emptyList()
        return buildList {
            add(Heading(word(R.string.tell_asked_open)))
            if (state.waiting.none.isNotEmpty()) add(Body(state.waiting.none))
            state.waiting.shown.forEach { add(row(it)) }
            if (state.waiting.more) add(Press(word(R.string.tell_more), key = "more") { presenter.moreWaiting() })
            if (state.answered.shown.isEmpty()) return@buildList
            add(
                Press(word(R.string.tell_answered), PressKind.LINK, open = answeredOpen, key = "answered") {
                    answeredOpen = !answeredOpen
                    again()
                },
            )
            if (!answeredOpen) return@buildList
            state.answered.shown.forEach { add(row(it)) }
            if (state.answered.more) add(Press(word(R.string.tell_more), key = "more-answered") { presenter.moreAnswered() })
        }
    }

    private fun row(row: LaterRow): Row {
        val said = row.outcomes.firstOrNull { it.chosen }?.text.orEmpty()
        val more = buildList {
            if (row.answer.isNotEmpty()) add(Words(row.answer))
            if (said.isNotEmpty()) add(Note(said))
            if (row.by.isNotEmpty()) add(Note(row.by))
        }
        return Row(row.at, row.head, row.question, more = more, key = row.id) { presenter.open(row) }
    }

    override fun bottom() = listOf(Press(word(R.string.back)) { back() })
}
