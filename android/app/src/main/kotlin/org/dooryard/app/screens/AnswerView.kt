package org.dooryard.app.screens

import org.dooryard.app.MainActivity
import org.dooryard.app.R
import org.dooryard.app.parts.Body
import org.dooryard.app.parts.Boxed
import org.dooryard.app.parts.Field
import org.dooryard.app.parts.Heading
import org.dooryard.app.parts.Note
import org.dooryard.app.parts.Option
import org.dooryard.app.parts.Options
import org.dooryard.app.parts.Part
import org.dooryard.app.parts.Press
import org.dooryard.app.parts.PressKind
import org.dooryard.app.parts.Section
import org.dooryard.app.parts.TextKind
import org.dooryard.app.parts.Words
import org.dooryard.core.LaterRow
import org.dooryard.kit.tell.AnswerField
import org.dooryard.kit.tell.AnswerPresenter

/** One question that was put down for a day: what to ask, how the plant is, what they answered. */
class AnswerView(activity: MainActivity, presenter: AnswerPresenter) : ScreenView<AnswerPresenter>(activity, presenter) {
    override val title get() = presenter.state?.row?.head.orEmpty()
    override val saved get() = presenter.state?.row?.at.orEmpty()

    override fun parts(): List<Part> {
        val state = presenter.state ?: return emptyList()
        val row = state.row
        return when {
            state.sealed.isNotEmpty() -> listOf(Boxed(state.sealed))
            row == null -> listOf(Body(word(R.string.tell_gone)))
            else -> asked(row)
        }
    }

    private fun asked(row: LaterRow) = buildList {
        add(Heading(word(R.string.tell_question)))
        add(Words(row.question))
        if (row.by.isNotEmpty()) add(Note(row.by))
        add(Section(word(R.string.tell_outcome)))
        add(
            Options("outcome", row.outcomes.map { Option(it.id, it.text, it.chosen) }, key = "outcome") {
                presenter.left(AnswerField.OUTCOME, it)
            },
        )
        val problem = if (presenter.saysFirst) word(R.string.tell_answer_first) else ""
        add(field(AnswerField.ANSWER, R.string.tell_answer, row.answer, problem))
        add(field(AnswerField.DID, R.string.tell_did, row.did))
        add(Press(word(R.string.tell_to_inquiry), PressKind.LINK, key = "inquiry") { presenter.open() })
        add(Press(word(R.string.tell_question_away), PressKind.LINK, key = "away") { presenter.takeAway() })
    }

    private fun field(name: String, label: Int, text: String, problem: String = "") =
        Field(name, word(label), text, TextKind.WORDS, problem, { presenter.typed(name, it) }, { presenter.left(name, it) })

    override fun bottom(): List<Part> {
        val back = Press(word(R.string.back), key = "back") { back() }
        val asked = presenter.state?.takeIf { it.sealed.isEmpty() }?.row ?: return listOf(back)
        return listOf(Press(word(R.string.tell_was_answered), PressKind.MAIN, key = "answered ${asked.id}") { presenter.answered() }, back)
    }
}
