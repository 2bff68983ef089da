package org.dooryard.kit.me

import org.dooryard.core.BackupScreen
import org.dooryard.core.Screens
import org.dooryard.kit.Core
import org.dooryard.kit.Presenter
import org.dooryard.kit.Trail
import org.dooryard.kit.hand.Errands
import org.dooryard.kit.hand.Keeping
import org.dooryard.kit.hand.Sink
import org.dooryard.kit.hand.Source
import org.dooryard.kit.hand.Stage
import org.dooryard.kit.hand.Watcher

/** Backups and one's own data, out and in. */
class BackupPresenter(core: Core, trail: Trail, private val errands: Errands) : Presenter<BackupScreen>(core, trail) {
    /** How far it is. */
    val stage get() = errands.kept.stage

    /** What is under way, or was. */
    val keeping get() = errands.keeping

    private val watcher = Watcher {
        if (errands.kept.stage is Stage.Ended) refresh()
        changed()
    }

    init {
        errands.kept.watch(watcher)
    }

    override fun stop() {
        errands.kept.leave(watcher)
        super.stop()
    }

    override fun Screens.load() = backup()

    /** Writes it to a place that somebody chose. */
    fun write(what: Keeping, to: Sink) = errands.keep(what, to)

    /** Brings it back. */
    fun bring(what: Keeping, from: Source) = errands.bring(what, from)

    fun halt() = errands.kept.stop()

    /** What came of it was read. */
    fun seen() = errands.kept.clear()
}
