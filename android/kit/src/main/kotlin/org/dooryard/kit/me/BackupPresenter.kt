package org.dooryard.kit.me

import org.dooryard.core.BackupScreen
import org.dooryard.core.Screens
import org.dooryard.kit.Core
import org.dooryard.kit.Trail
import org.dooryard.kit.hand.Errands
import org.dooryard.kit.hand.Keeping
import org.dooryard.kit.hand.Sink
import org.dooryard.kit.hand.Source
import org.dooryard.kit.hand.WorkingPresenter

/** Backups and one's own data, out and in. */
class BackupPresenter(core: Core, trail: Trail, private val errands: Errands) :
    WorkingPresenter<BackupScreen>(core, trail, errands.kept) {
    /** How far it is. */
    val stage get() = errands.kept.stage

    /** What is under way, or was. */
    val keeping get() = errands.keeping

    override fun Screens.load() = backup()

    /** Writes it to a place that somebody chose. */
    fun write(what: Keeping, to: Sink) = errands.keep(what, to)

    /** Brings it back. */
    fun bring(what: Keeping, from: Source) = errands.bring(what, from)

    /** What came of it was read. */
    fun seen() = errands.kept.clear()
}
