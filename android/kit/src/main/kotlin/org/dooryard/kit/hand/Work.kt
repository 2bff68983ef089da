package org.dooryard.kit.hand

import org.dooryard.core.CancelToken
import org.dooryard.core.ProgressListener
import org.dooryard.kit.Answer
import org.dooryard.kit.Core
import org.dooryard.kit.Opened
import org.dooryard.kit.Progress
import org.dooryard.kit.Running
import org.dooryard.kit.Trouble

/** How far a piece of long work is. */
sealed interface Stage<out T> {
    /** Nothing was begun, or what came of it was read. */
    data object Idle : Stage<Nothing>

    /** It runs; nothing is known of its steps before the first one. */
    data class Runs(val progress: Progress?) : Stage<Nothing>

    /** It is done. */
    data class Ended<T>(val value: T) : Stage<T>

    /** It could not be done. */
    data class Stuck(val trouble: Trouble) : Stage<Nothing>
}

/** How much of some work is behind, as it can be said in words. */
enum class Share { BEGUN, QUARTER, HALF, MOST }

/** The share that these steps are. */
val Progress.share: Share
    get() = if (total <= 0) Share.BEGUN else Share.entries[(done * Share.entries.size / total).toInt().coerceIn(0, Share.entries.lastIndex)]

/**
 * One piece of long work. It lives as long as the app is in memory: whatever screen is shown it goes on, and whoever comes back
 * sees how far it is. One piece of a kind at a time.
 */
class Work<T : Any>(private val core: Core) {
    /** How far it is. */
    var stage: Stage<T> = Stage.Idle
        private set

    private var watcher: Watcher? = null

    /** It runs just now. */
    val runs: Boolean get() = stage is Stage.Runs

    private var running: Running? = null

    /** Begins it, unless it runs already. */
    fun begin(what: Opened.(CancelToken, ProgressListener) -> T) {
        if (runs) return
        turn(Stage.Runs(null))
        running = core.runOpened(what, { if (runs) turn(Stage.Runs(it)) }) { answer ->
            running = null
            when (answer) {
                is Answer.Done -> turn(Stage.Ended(answer.value))
                is Answer.Not -> turn(Stage.Stuck(answer.trouble))
            }
        }
    }

    /** Stops it at its next step. */
    fun stop() {
        running?.stop()
    }

    /** What came of it was read. */
    fun clear() {
        if (!runs) turn(Stage.Idle)
    }

    /** Tells this one on the main thread whenever it changed, until the next one watches. */
    fun watch(who: Watcher) {
        watcher = who
    }

    /** Tells this one no more. */
    fun leave(who: Watcher) {
        if (watcher === who) watcher = null
    }

    private fun turn(next: Stage<T>) {
        stage = next
        watcher?.moved()
    }
}

/** A screen that shows how far some work is. */
fun interface Watcher {
    fun moved()
}
