package org.dooryard.app.screens

import org.dooryard.app.MainActivity
import org.dooryard.app.R
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
import org.dooryard.app.parts.field
import org.dooryard.kit.ask.AskPresenter

/** Taking an inquiry: one safety question a screen, then the fields. */
class AskView(activity: MainActivity, presenter: AskPresenter) : ScreenView<AskPresenter>(activity, presenter) {
    override val title get() = presenter.state?.title?.ifEmpty { null } ?: word(R.string.new_inquiry)
    override val saved get() = presenter.state?.saved.orEmpty()
    override val showsUnderStop get() = true

    override fun parts(): List<Part> = presenter.question?.let { question(it) } ?: fields()

    private fun question(at: Int): List<Part> {
        val questions = presenter.state?.questions ?: return emptyList()
        val asked = questions[at]
        return buildList {
            add(Note(word(R.string.safety_first)))
            add(Heading(asked.ask))
            add(
                Options(asked.id, asked.answers.map { Option(it.id, it.text, it.chosen) }, key = asked.id) {
                    presenter.answer(it)
                },
            )
            if (at < questions.lastIndex) add(Section(word(R.string.then)))
            questions.drop(at + 1).forEachIndexed { next, it ->
                add(Row((at + next + 2).toString(), it.ask, it.answers.firstOrNull { a -> a.chosen }?.text.orEmpty(), key = it.id))
            }
        }
    }

    private fun fields(): List<Part> {
        val state = presenter.state ?: return emptyList()
        return buildList {
            add(Heading(word(R.string.about_the_person)))
            add(Note(word(R.string.required_none)))
            if (state.child.isNotEmpty()) add(Boxed(state.child))
            state.fields.forEach { addAll(field(activity, it, presenter::typed, presenter::left)) }
            if (state.questions.isNotEmpty()) add(Section(word(R.string.safety_questions)))
            state.questions.forEachIndexed { at, it ->
                val answer = it.answers.firstOrNull { a -> a.chosen }?.text.orEmpty()
                add(Row((at + 1).toString(), it.ask, answer, key = "asked ${it.id}") { presenter.turnTo(at) })
            }
        }
    }

    override fun bottom(): List<Part> = buildList {
        if (presenter.question == null) {
            add(Press(word(R.string.plant), PressKind.MAIN) { presenter.toPlant() })
            add(Press(word(R.string.place)) { presenter.toPlace() })
        }
        add(
            Pair(
                Press(word(R.string.back)) { presenter.back() },
                Press(word(R.string.stop_here)) { presenter.putDown() },
            ),
        )
    }

    override fun back() = presenter.back()
}
