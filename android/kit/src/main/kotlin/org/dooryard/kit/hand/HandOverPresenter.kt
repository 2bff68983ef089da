package org.dooryard.kit.hand

import org.dooryard.core.Enrolling
import org.dooryard.core.HandOverScreen
import org.dooryard.core.RecordId
import org.dooryard.core.Screens
import org.dooryard.core.WayRow
import org.dooryard.kit.Core
import org.dooryard.kit.Place
import org.dooryard.kit.Presenter
import org.dooryard.kit.Trail
import java.io.File

/** Handing over as it stands. */
data class HandOverState(
    /** What waits, how large it is, since when, who can read it. */
    val screen: HandOverScreen,
    /** How this phone stands with its office. */
    val standing: Enrolling,
    /** Where each inquiry is, of all pages that are open. */
    val rows: List<WayRow>,
    /** There are more of them. */
    val more: Boolean,
    /** The file that was made last and is still on this phone. */
    val file: File?,
)

/** Handing over: making the file, giving it away, taking in what the office sends back. */
class HandOverPresenter(core: Core, trail: Trail, private val errands: Errands) : Presenter<HandOverState>(core, trail) {
    private var pages = 1

    /** Making the file. */
    val made get() = errands.made.stage

    /** Copying it to a place. */
    val saved get() = errands.saved.stage

    /** Taking in what the office sent. */
    val taken get() = errands.taken.stage

    private val works = listOf(errands.made, errands.saved, errands.taken)
    private val watcher = Watcher {
        // Once it is done, what waits is other.
        if (works.any { it.stage is Stage.Ended }) refresh()
        changed()
    }

    init {
        works.forEach { it.watch(watcher) }
    }

    override fun stop() {
        works.forEach { it.leave(watcher) }
        super.stop()
    }

    override fun Screens.load(): HandOverState {
        val found = mutableListOf(handOverPage("", ROWS))
        while (found.size < pages && found.last().next.isNotEmpty()) found += handOverPage(found.last().next, ROWS)
        val more = found.last().next.isNotEmpty()
        return HandOverState(found.first(), first().standing, found.flatMap { it.rows }, more, errands.outbox.newest())
    }

    /** Makes the file. */
    fun make() = errands.makeFile()

    /** Stops making it, or copying it, or taking in. */
    fun halt() {
        works.forEach { it.stop() }
    }

    /** Copies the file to a place that somebody chose. */
    fun save(to: Sink) = errands.saveFile(to)

    /** Takes in a file of the office. */
    fun takeIn(from: Source) = errands.takeIn(from)

    /** What was made or taken in was read: back to what waits. */
    fun seen() {
        works.forEach { it.clear() }
        refresh()
    }

    /** Shows where more inquiries are. */
    fun more() {
        pages += 1
        refresh()
    }

    fun open(inquiry: RecordId) = trail.go(Place.Inquiry(inquiry))

    fun go(place: Place) = trail.go(place)

    private companion object {
        /** Rows of a page. */
        const val ROWS = 20u
    }
}
