package org.dooryard.app.screens

import android.app.DatePickerDialog
import org.dooryard.app.MainActivity
import org.dooryard.app.R
import org.dooryard.app.parts.Field
import org.dooryard.app.parts.Heading
import org.dooryard.app.parts.Note
import org.dooryard.app.parts.Part
import org.dooryard.app.parts.Press
import org.dooryard.app.parts.PressKind
import org.dooryard.app.parts.TextKind
import org.dooryard.kit.tell.AskLaterPresenter
import java.time.LocalDate

/** Puts down a question for a day: the question in one's own words, then the day. */
class AskLaterView(activity: MainActivity, presenter: AskLaterPresenter) : ScreenView<AskLaterPresenter>(activity, presenter) {
    private var asksFirst = false

    override val title get() = presenter.state?.title.orEmpty()

    override fun parts(): List<Part> = buildList {
        add(Heading(word(R.string.tell_ask_later)))
        add(
            Field(
                "question",
                word(R.string.tell_question),
                presenter.question,
                TextKind.WORDS,
                if (asksFirst) word(R.string.tell_question_first) else "",
                presenter::typed,
                presenter::typed,
            ),
        )
        add(Note(word(R.string.tell_question_day)))
    }

    override fun bottom() = listOf(
        Press(word(R.string.tell_choose_day), PressKind.MAIN) { chooseDay() },
        Press(word(R.string.back)) { back() },
    )

    private fun chooseDay() {
        asksFirst = presenter.question.isBlank()
        again()
        if (asksFirst) return
        val first = presenter.first
        DatePickerDialog(
            activity,
            { _, year, month, day -> presenter.on(LocalDate.of(year, month + 1, day)) },
            first.year,
            first.monthValue - 1,
            first.dayOfMonth,
        ).show()
    }
}
