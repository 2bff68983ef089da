package org.dooryard.app.screens

import android.content.Intent
import org.dooryard.app.MainActivity
import org.dooryard.app.parts.Part
import org.dooryard.kit.Presenter

/** One screen as a list of parts. It holds no state but what is folded open. */
abstract class ScreenView<P : Presenter<*>>(protected val activity: MainActivity, val presenter: P) {
    /** What stands at the top left. */
    abstract val title: String

    /** What stands at the top right: when it was saved. */
    open val saved: String get() = ""

    /** It says itself, where it happened, why something could not be done; the page says it at the top else. */
    open val saysTrouble: Boolean get() = false

    /** There is something to show. */
    open val ready: Boolean get() = presenter.state != null

    /** What the screen shows; asked only while it is ready. */
    abstract fun parts(): List<Part>

    /** What can be done, below it; the main thing first. */
    open fun bottom(): List<Part> = emptyList()

    /** A stop fills the screen in its own frame. */
    open val stop: Boolean get() = false

    /** What is shown while a stop was not read: nothing but that, unless the screen says otherwise. */
    open val showsUnderStop: Boolean get() = false

    /** Somebody goes back. */
    open fun back() = activity.goBack()

    /** Something that this screen asked of another app came back. */
    open fun came(request: Int, ok: Boolean, data: Intent?) = Unit

    /** Somebody answered what this screen asked leave for. */
    open fun allowed(request: Int, all: Boolean) = Unit

    /** The app goes out of sight. */
    open fun hidden() = Unit

    protected fun word(id: Int): String = activity.getString(id)

    /** Draws it again: something was folded open. */
    protected fun again() = activity.draw()
}
