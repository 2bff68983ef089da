package org.dooryard.kit

import org.dooryard.core.Screens
import org.dooryard.core.StopCard

/**
 * One screen: what it shows, and what a person can do on it. [S] is all that it shows, as the core gives it. Whoever shows it is
 * told on the main thread; nothing is shown before the first answer.
 */
abstract class Presenter<S : Any>(protected val core: Core, protected val trail: Trail) {
    /** What is shown; nothing before the first answer came. */
    var state: S? = null
        private set

    /** Why the last thing could not be done; nothing once another was. */
    var trouble: Trouble? = null
        private set

    /** Stops that nobody read, when this is a screen that they hold back. */
    val halts: List<StopCard> get() = state?.let { haltsOf(it) }.orEmpty()

    /** Told whenever something of it changed. */
    var changed: () -> Unit = {}

    private var asked: Asked? = null
    private val stopsShown = mutableSetOf<String>()
    private var cameBack = false

    /** What it shows, asked of the core. */
    protected abstract fun Screens.load(): S

    /** Its stops that nobody read. */
    protected open fun haltsOf(state: S): List<StopCard> = emptyList()

    /** Where its stops are read; nothing where it has none. */
    protected open val stopPlace: Place? get() = null

    /** Told of each state before it is shown. */
    protected open fun came(state: S) = Unit

    /** Comes in sight. [back] when somebody came back to it: stops then stand on it instead of taking its place at once. */
    open fun start(back: Boolean = false) {
        cameBack = back
        refresh()
    }

    /** Goes out of sight: an answer that is still on its way is heard by nobody. */
    open fun stop() {
        asked?.drop()
        changed = {}
    }

    /** Asks its screen again. */
    fun refresh() {
        asked = core.ask({ load() }) { took(it) }
    }

    /** Goes to the stops that nobody read. */
    fun readStops() {
        stopPlace?.let { trail.go(it) }
    }

    /** Does something and shows what the screen is then. */
    protected fun act(what: Screens.() -> S) {
        core.ask(what) { took(it) }
    }

    /** Does something whose answer is not this screen. */
    protected fun <T> does(what: Screens.() -> T, then: (T) -> Unit) {
        core.ask(what) { answer ->
            when (answer) {
                is Answer.Done -> {
                    trouble = null
                    then(answer.value)
                }
                is Answer.Not -> fail(answer.trouble)
            }
        }
    }

    /** Keeps what is typed; the screen stays as it is, so that nothing moves under the fingers. */
    protected fun type(key: String, what: Screens.() -> Unit) = core.type(key, ::fail, what)

    /** Says why something could not be done, and leaves on the screen what stands there. */
    protected fun fail(what: Trouble) {
        trouble = what
        changed()
    }

    /** Shows this; a stop that is new takes its place. */
    protected fun show(next: S) {
        state = next
        trouble = null
        came(next)
        val stops = haltsOf(next).map { it.id }
        if (cameBack) stopsShown += stops
        cameBack = false
        // Each one is added, also where the first is new already.
        if (stops.count { stopsShown.add(it) } > 0) readStops() else changed()
    }

    private fun took(answer: Answer<S>) {
        when (answer) {
            is Answer.Done -> show(answer.value)
            is Answer.Not -> fail(answer.trouble)
        }
    }
}
