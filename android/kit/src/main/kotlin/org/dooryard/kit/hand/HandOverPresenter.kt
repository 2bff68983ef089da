package org.dooryard.kit.hand

import org.dooryard.core.Enrolling
import org.dooryard.core.FileKind
import org.dooryard.core.HandOverScreen
import org.dooryard.core.RecordId
import org.dooryard.core.Screens
import org.dooryard.core.WayRow
import org.dooryard.kit.Core
import org.dooryard.kit.Pager
import org.dooryard.kit.Place
import org.dooryard.kit.Rows
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
class HandOverPresenter(core: Core, trail: Trail, private val errands: Errands) :
    WorkingPresenter<HandOverState>(core, trail, errands.made, errands.saved, errands.taken) {
    private var screen: HandOverScreen? = null
    private val pager = Pager(trail.jotted, Place.HandOver) { after, limit ->
        val page = handOverPage(after, limit)
        if (after.isEmpty()) screen = page
        Rows(page.rows, page.next)
    }

    /** Making the file. */
    val made get() = errands.made.stage

    /** Copying it to a place. */
    val saved get() = errands.saved.stage

    /** Taking in what the office sent. */
    val taken get() = errands.taken.stage

    /** Another file waits to be taken in. */
    val anotherWaits: Boolean get() = errands.anotherWaits

    override fun Screens.load(): HandOverState {
        val rows = pager.read(this)
        return HandOverState(checkNotNull(screen), first().standing, rows.shown, rows.more, errands.outbox.newest())
    }

    /** Makes the file. */
    fun make() = errands.makeFile()

    /** Copies the file to a place that somebody chose. */
    fun save(to: Sink) = errands.saveFile(to)

    /** Takes in a file of the office. */
    fun takeIn(from: Source) = errands.takeIn(from)

    /** What was made or taken in was read: back to what waits. */
    fun seen() {
        errands.made.clear()
        errands.saved.clear()
        errands.takenSeen()
        refresh()
    }

    /** On with a file that another screen is for: a code is read there, a backup or somebody's own data brought in. */
    fun goOn() {
        val (file, from) = (taken as? Stage.Ended)?.value as? Taken.Leads ?: return
        val place = when (file.kind) {
            FileKind.OFFICE_CODE -> Place.Join
            FileKind.BACKUP -> Place.Backup.also { errands.bring(Keeping.BRING_BACK, from) }
            else -> Place.Backup.also { errands.bring(Keeping.OWN_DATA_IN, from) }
        }
        does({ if (place == Place.Join) errands.joining.read(file.text) }) {
            errands.takenSeen()
            trail.go(place)
        }
    }

    /** Shows where more inquiries are. */
    fun more() {
        pager.more()
        refresh()
    }

    fun open(inquiry: RecordId) = trail.go(Place.Inquiry(inquiry))

    fun go(place: Place) = trail.go(place)
}
