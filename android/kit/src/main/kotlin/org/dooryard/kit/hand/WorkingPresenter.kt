package org.dooryard.kit.hand

import org.dooryard.kit.Core
import org.dooryard.kit.Presenter
import org.dooryard.kit.Trail

/** A screen that shows how far some long work is: once a piece of it is done, what stands there is asked again. */
abstract class WorkingPresenter<S : Any>(core: Core, trail: Trail, private vararg val works: Work<*>) : Presenter<S>(core, trail) {
    private val watcher = Watcher { moved() }

    init {
        works.forEach { it.watch(watcher) }
    }

    override fun stop() {
        works.forEach { it.leave(watcher) }
        super.stop()
    }

    /** Stops what runs, at its next step. */
    fun halt() = works.forEach { it.stop() }

    /** Some of the work is further than it was. */
    protected open fun moved() {
        if (works.any { it.stage is Stage.Ended }) refresh()
        changed()
    }
}
