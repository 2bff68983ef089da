package org.dooryard.kit

import org.dooryard.core.Screens

/** The pages of a long list that are shown. [next] is where the page after them begins, empty where there is none. */
data class Rows<R>(val shown: List<R>, val next: String, val none: String = "") {
    /** There is more of it. */
    val more: Boolean get() = next.isNotEmpty()
}

/**
 * Reads a long list page by page. However often it is read again, as many pages are shown as somebody asked for; [jotted] keeps how
 * many that are at a place.
 */
class Pager<R>(
    private val jotted: Jotted,
    private val place: Place,
    private val name: String = "pages",
    private val page: Screens.(after: String, limit: UInt) -> Rows<R>,
) {
    private val pages: Int get() = jotted[place, name].toIntOrNull() ?: 1

    /** All pages that are shown. */
    fun read(screens: Screens): Rows<R> {
        var rows = screens.page("", SIZE)
        repeat(pages - 1) {
            if (!rows.more) return rows
            val next = screens.page(rows.next, SIZE)
            rows = Rows(rows.shown + next.shown, next.next)
        }
        return rows
    }

    /** One page more from the next reading on. */
    fun more() {
        jotted[place, name] = (pages + 1).toString()
    }

    /** The first page alone again: it is another list now. */
    fun again() {
        jotted[place, name] = ""
    }

    private companion object {
        /** Rows of a page: what a thumb scrolls through before it looks for another way. */
        const val SIZE = 20u
    }
}
