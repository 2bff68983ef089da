package org.dooryard.kit.records

import org.dooryard.core.InquiryFilter
import org.dooryard.core.InquiryRow
import org.dooryard.core.RecordId
import org.dooryard.core.Screens
import org.dooryard.kit.Core
import org.dooryard.kit.Pager
import org.dooryard.kit.Place
import org.dooryard.kit.Presenter
import org.dooryard.kit.Rows
import org.dooryard.kit.Trail

/** All inquiries, newest first: those that hold some words, or of one sort. */
class RecordsPresenter(core: Core, trail: Trail) : Presenter<Rows<InquiryRow>>(core, trail) {
    private val pager = Pager(trail.jotted, Place.Records) { after, limit ->
        inquiries(filter, words, after, limit).let { Rows(it.rows, it.next, it.none) }
    }

    /** Words that all of them hold. */
    val words: String get() = trail.jotted[Place.Records, WORDS]

    /** Which of them. */
    val filter: InquiryFilter
        get() = trail.jotted[Place.Records, FILTER].let { kept -> InquiryFilter.entries.firstOrNull { it.name == kept } }
            ?: InquiryFilter.ALL

    override fun Screens.load() = pager.read(this)

    /** A key was touched: at once those that hold these words. */
    fun search(text: String) {
        if (text == words) return
        trail.jotted[Place.Records, WORDS] = text
        pager.again()
        refresh()
    }

    /** Those of one sort alone. */
    fun only(filter: InquiryFilter) {
        trail.jotted[Place.Records, FILTER] = filter.name
        pager.again()
        refresh()
    }

    /** A page more. */
    fun more() {
        pager.more()
        refresh()
    }

    fun open(inquiry: RecordId) = trail.go(Place.Inquiry(inquiry))

    fun toBin() = trail.go(Place.Bin)

    private companion object {
        const val WORDS = "words"
        const val FILTER = "filter"
    }
}
