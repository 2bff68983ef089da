package org.dooryard.app.screens

import org.dooryard.app.MainActivity
import org.dooryard.app.R
import org.dooryard.app.parts.Boxed
import org.dooryard.app.parts.Heading
import org.dooryard.app.parts.Note
import org.dooryard.app.parts.Part
import org.dooryard.app.parts.Press
import org.dooryard.app.parts.Row
import org.dooryard.kit.inquiry.HistoryPresenter

/** What happened to an inquiry: when, who, what, and every field that was written. */
class HistoryView(activity: MainActivity, presenter: HistoryPresenter) : ScreenView<HistoryPresenter>(activity, presenter) {
    override val title get() = word(R.string.tell_history)

    override fun parts(): List<Part> {
        val rows = presenter.state ?: return emptyList()
        return buildList {
            add(Heading(word(R.string.tell_happened)))
            rows.shown.forEach { row ->
                val waits = if (row.waits.isEmpty()) emptyList() else listOf(Boxed(row.waits))
                add(Row("${row.day}\n${row.clock}", row.what, row.who, more = waits + row.fields.map { Note(it) }))
            }
            if (rows.more) add(Press(word(R.string.tell_more), key = "more") { presenter.more() })
        }
    }

    override fun bottom() = listOf(Press(word(R.string.back)) { back() })
}
