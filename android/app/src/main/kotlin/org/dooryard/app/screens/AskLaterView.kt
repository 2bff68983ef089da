package org.dooryard.app.screens

import android.app.DatePickerDialog
import org.dooryard.app.MainActivity
import org.dooryard.app.R
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
import org.dooryard.kit.tell.AskLaterPresenter
import java.time.LocalDate

/** Puts down a question for a day: the question in one's own words, then the day. */
class AskLaterView(activity: MainActivity, presenter: AskLaterPresenter) : ScreenView<AskLaterPresenter>(activity, presenter) {
    override val title get() = presenter.state?.title.orEmpty()

    override fun parts(): List<Part> {
        val form = presenter.state?.form ?: return emptyList()
        return listOf(
            Heading(word(R.string.tell_ask_later)),
            Field(
                "question",
                word(R.string.tell_question),
                form.question,
                TextKind.WORDS,
                if (presenter.asksFirst) word(R.string.tell_question_first) else "",
                presenter::typed,
                presenter::left,
            ),
            Section(word(R.string.tell_when)),
            Options("days", form.days.map { Option(it.id, it.text, it.chosen) }, key = "days") { presenter.take(it) },
            Note(word(R.string.tell_question_day)),
        )
    }

    override fun bottom(): List<Part> {
        val back = Press(word(R.string.back), key = "back") { back() }
        val day = Press(word(R.string.tell_choose_day), key = "day") { presenter.withQuestion { chooseDay() } }
        val due = presenter.due
        if (due.isEmpty()) return listOf(day.copy(kind = PressKind.MAIN), back)
        val then = Press(word(R.string.tell_ask_then), PressKind.MAIN, key = "then") { presenter.withQuestion { presenter.on(due) } }
        return listOf(then, day.copy(text = word(R.string.tell_other_day)), back)
    }

    private fun chooseDay() {
        val first = presenter.first
        DatePickerDialog(
            activity,
            { _, year, month, day -> presenter.on(LocalDate.of(year, month + 1, day).toString()) },
            first.year,
            first.monthValue - 1,
            first.dayOfMonth,
        ).show()
    }
}
