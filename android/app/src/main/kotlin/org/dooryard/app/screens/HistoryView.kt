package org.dooryard.app.screens

import org.dooryard.app.MainActivity
import org.dooryard.app.R
import org.dooryard.app.parts.Boxed
import org.dooryard.app.parts.Heading
import org.dooryard.app.parts.Note
import org.dooryard.app.parts.Part
import org.dooryard.app.parts.Press
import org.dooryard.app.parts.PressKind
import org.dooryard.app.parts.Row
import org.dooryard.core.HistoryRow
import org.dooryard.kit.inquiry.HistoryPresenter

/** What happened to an inquiry: when, who, what, and every field that was written. */
class HistoryView(activity: MainActivity, presenter: HistoryPresenter) : ScreenView<HistoryPresenter>(activity, presenter) {
    private val open = mutableSetOf<Int>()

    override val title get() = word(R.string.tell_history)

    override fun parts(): List<Part> {
        val rows = presenter.state ?: return emptyList()
        return buildList {
            add(Heading(word(R.string.tell_happened)))
            rows.shown.forEachIndexed { at, it -> add(row(at, it)) }
            if (rows.more) add(Press(word(R.string.tell_more), key = "more") { presenter.more() })
        }
    }

    private fun row(number: Int, row: HistoryRow): Row {
        val more = buildList {
            if (row.waits.isNotEmpty()) add(Boxed(row.waits))
            if (row.fields.isEmpty()) return@buildList
            val spoken = "${word(R.string.tell_fields)}: ${row.what}"
            add(Press(word(R.string.tell_fields), PressKind.LINK, spoken, open = number in open) { turn(number) })
            if (number in open) row.fields.forEach { add(Note(it)) }
        }
        return Row("${row.day}\n${row.clock}", row.who, row.what, more = more, key = "$number")
    }

    private fun turn(row: Int) {
        if (!open.add(row)) open.remove(row)
        again()
    }

    override fun bottom() = listOf(Press(word(R.string.back)) { back() })
}
