package org.dooryard.app.screens

import org.dooryard.app.MainActivity
import org.dooryard.app.R
import org.dooryard.app.parts.Body
import org.dooryard.app.parts.Heading
import org.dooryard.app.parts.Note
import org.dooryard.app.parts.Part
import org.dooryard.app.parts.Press
import org.dooryard.app.parts.Row
import org.dooryard.kit.records.BinPresenter

/** What was taken away: each can be brought back. */
class BinView(activity: MainActivity, presenter: BinPresenter) : ScreenView<BinPresenter>(activity, presenter) {
    override val title get() = word(R.string.tell_bin)

    override fun parts(): List<Part> {
        val rows = presenter.state ?: return emptyList()
        return buildList {
            add(Heading(word(R.string.tell_bin)))
            if (rows.none.isNotEmpty()) add(Body(rows.none)) else add(Note(word(R.string.tell_bin_note)))
            rows.shown.forEach { row ->
                add(Row("", row.head, row.text, picture = row.picture, more = listOf(Note(row.at)), key = row.record))
                val spoken = "${word(R.string.tell_bring_back)}: ${row.head} ${row.text}"
                add(Press(word(R.string.tell_bring_back), spoken = spoken, key = row.record) { presenter.bringBack(row.record) })
            }
            if (rows.more) add(Press(word(R.string.tell_more), key = "more") { presenter.more() })
        }
    }

    override fun bottom() = listOf(Press(word(R.string.back)) { back() })
}
