package org.dooryard.app

import org.dooryard.core.EnrolmentView
import org.dooryard.core.FieldNotebook
import org.dooryard.core.StageClock
import org.dooryard.kit.Core
import org.dooryard.kit.Desk
import org.dooryard.kit.MemorySecrets
import org.dooryard.kit.Settings
import org.dooryard.kit.Undoing
import org.dooryard.kit.hand.Errands
import java.util.concurrent.atomic.AtomicLong

/** The app on a clock that the test sets, with secrets in memory: what it shows is the same in each run. */
class RehearsalApp : DooryardApp() {
    /** Monday 20 July 2026, 10:31 in the county's time. */
    val clock: StageClock = StageClock.at(START_MS)

    var secrets = MemorySecrets("rehearsal")

    override fun secrets() = secrets

    override fun onCreate() {
        super.onCreate()
        // The office of the test before is gone.
        desk = null
    }

    private var living: Core? = null
    private var bin: Undoing? = null
    private var chores: Errands? = null

    override val core: Core get() = living ?: begin().also { living = it }

    override val undoing: Undoing get() = bin ?: Undoing(core).also { bin = it }

    override val errands: Errands get() = chores ?: chores().also { chores = it }

    /** The app is taken out of memory without a word. Whoever opens a window next finds what was in the notebook, and no more. */
    fun kill() {
        val old = core
        old.askNotebook({ shutdown() }) {}
        old.settle()
        living = null
        bin = null
        chores = null
    }

    override fun notebook(): FieldNotebook {
        val notebook = FieldNotebook.rehearse(folder.path, secrets, clock, seeds.incrementAndGet().toULong())
        desk?.let { if (notebook.enrolment() is EnrolmentView.NotInvited) notebook.join(it.invite("Scout 3")) }
        return notebook
    }

    override fun pack(): String = checkNotNull(System.getProperty("dooryard.pack"))

    /** As on the first day: another notebook, the clock where it began, the same random bytes. */
    fun wipe() {
        core.close {}
        core.settle()
        folder.deleteRecursively()
        settings = Settings()
        clock.set(START_MS)
        seeds.set(0)
        desk = null
    }

    companion object {
        /** The office that every notebook joins when it is made; none where nothing is here. */
        var desk: Desk? = null

        const val START_MS = 1_784_561_460_000L
        private val seeds = AtomicLong()
    }
}
