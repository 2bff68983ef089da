package org.dooryard.app.screens

import org.dooryard.app.MainActivity
import org.dooryard.app.R
import org.dooryard.app.parts.Body
import org.dooryard.app.parts.Heading
import org.dooryard.app.parts.Note
import org.dooryard.app.parts.Option
import org.dooryard.app.parts.Options
import org.dooryard.app.parts.Part
import org.dooryard.app.parts.Press
import org.dooryard.app.parts.PressKind
import org.dooryard.app.parts.Row
import org.dooryard.app.parts.Words
import org.dooryard.core.ConflictRow
import org.dooryard.kit.records.ConflictsPresenter

/** What two wrote otherwise: who wrote what when, and what each choice would say. */
class ConflictsView(activity: MainActivity, presenter: ConflictsPresenter) :
    ScreenView<ConflictsPresenter>(activity, presenter) {
    override val title get() = word(R.string.tell_settle)

    override fun parts(): List<Part> {
        val state = presenter.state ?: return emptyList()
        return buildList {
            if (state.none.isNotEmpty()) add(Heading(state.none))
            state.rows.forEach { addAll(conflict(it)) }
            if (state.more.isNotEmpty()) add(Note(state.more))
        }
    }

    private fun conflict(row: ConflictRow): List<Part> {
        val key = "${row.record} ${row.field}"
        val withNote = presenter.asNote(row)
        return buildList {
            add(Heading(row.about))
            row.wrote.forEachIndexed { at, it ->
                add(Row("", it.who, it.at, more = listOf(Words(it.what)), key = "$key $at"))
            }
            add(Note(row.end))
            if (row.asNote) {
                add(Options(key, listOf(Option(key, word(R.string.tell_keep_note), withNote)), several = true, key = key) { presenter.turnNote(row) })
            }
            row.choices.forEach { choice ->
                add(
                    Press(choice.text, spoken = "${row.about}. ${choice.text}", key = "$key ${choice.id}") {
                        presenter.keep(row, choice.id)
                    },
                )
            }
            val inquiry = row.inquiry
            if (presenter.ofAll && inquiry != null) {
                add(Press(word(R.string.tell_to_inquiry), PressKind.LINK, key = "open $key") { presenter.open(inquiry) })
            }
        }
    }

    override fun bottom() = listOf(Press(word(R.string.back)) { back() })
}
