package org.dooryard.app.screens

import org.dooryard.app.MainActivity
import org.dooryard.app.R
import org.dooryard.app.parts.Body
import org.dooryard.app.parts.Field
import org.dooryard.app.parts.Heading
import org.dooryard.app.parts.Note
import org.dooryard.app.parts.Option
import org.dooryard.app.parts.Options
import org.dooryard.app.parts.Part
import org.dooryard.app.parts.Press
import org.dooryard.app.parts.PressKind
import org.dooryard.app.parts.Row
import org.dooryard.app.parts.Way
import org.dooryard.core.InquiryFilter
import org.dooryard.core.InquiryRow
import org.dooryard.kit.records.RecordsPresenter

/** All inquiries of this phone, newest first. */
class RecordsView(activity: MainActivity, presenter: RecordsPresenter) : ScreenView<RecordsPresenter>(activity, presenter) {
    private var choosing = false

    override val title get() = word(R.string.records)

    override fun parts(): List<Part> {
        val rows = presenter.state ?: return emptyList()
        return buildList {
            add(Heading(said(presenter.filter)))
            add(
                Press(word(R.string.tell_which), PressKind.LINK, open = choosing, key = "which") {
                    choosing = !choosing
                    again()
                },
            )
            if (choosing) add(Options("which", InquiryFilter.entries.map { option(it) }, key = "which", choose = ::choose))
            add(Field("search", word(R.string.tell_search), presenter.words, typed = presenter::search, left = presenter::search))
            if (rows.none.isNotEmpty()) add(Body(rows.none))
            rows.shown.forEach { add(row(it)) }
            if (rows.more) add(Press(word(R.string.tell_more), key = "more") { presenter.more() })
            add(Press(word(R.string.tell_bin), PressKind.LINK, key = "bin") { presenter.toBin() })
        }
    }

    private fun row(row: InquiryRow): Row {
        val more = buildList {
            if (row.stop.isNotEmpty()) add(Body(row.stop, bold = true))
            if (row.unfinished.isNotEmpty()) add(Note(row.unfinished))
            if (row.conflict.isNotEmpty()) add(Note(row.conflict))
            add(Way(row.way.ordinal + 1, row.wayWords))
        }
        return Row(row.day, row.head, row.text, picture = row.picture, more = more, key = row.id) { presenter.open(row.id) }
    }

    private fun option(filter: InquiryFilter) = Option(filter.name, said(filter), filter == presenter.filter)

    private fun choose(name: String) {
        choosing = false
        presenter.only(InquiryFilter.valueOf(name))
    }

    private fun said(filter: InquiryFilter) = when (filter) {
        InquiryFilter.ALL -> word(R.string.records)
        InquiryFilter.UNFINISHED -> word(R.string.unfinished)
        InquiryFilter.NOT_HANDED_OVER -> word(R.string.tell_not_handed_over)
        InquiryFilter.THIS_MONTH -> word(R.string.tell_this_month)
    }

    override fun bottom() = listOf(Press(word(R.string.back)) { back() })
}
