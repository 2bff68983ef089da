package org.dooryard.app

import android.app.Activity
import android.content.Context
import android.content.Intent
import android.content.pm.PackageManager
import android.os.Bundle
import android.view.WindowManager
import android.widget.FrameLayout
import org.dooryard.app.screens.ScreenView
import org.dooryard.app.screens.StartView
import org.dooryard.app.screens.screenFor
import org.dooryard.kit.Jotted
import org.dooryard.kit.Place
import org.dooryard.kit.Seal
import org.dooryard.kit.Trail

/** The one window: it shows the screen at which somebody is. */
class MainActivity : Activity() {
    val app: DooryardApp get() = application as DooryardApp

    /** The way a person came. */
    lateinit var trail: Trail
        private set

    /** What is shown. */
    lateinit var screen: ScreenView<*>
        private set

    private lateinit var page: Page

    /** In the place of the screen while the records do not open. */
    private var start: StartView? = null

    private val shown: ScreenView<*> get() = start ?: screen

    /** The place that is shown. */
    private lateinit var shownAt: Place

    private val seal by lazy { Seal(app.core) }

    override fun attachBaseContext(base: Context) = super.attachBaseContext(base.asChosen(DooryardApp.settingsOf(base)))

    override fun onCreate(saved: Bundle?) {
        setTheme(app.settings.theme)
        super.onCreate(saved)
        val root = FrameLayout(this)
        setContentView(root)
        page = Page(this, root)
        val jotted = Jotted(saved?.getStringArrayList(JOTTED).orEmpty())
        trail = Trail(app.core, saved?.getStringArrayList(TRAIL).orEmpty(), jotted)
        // Opened once more from the list of what was used last, it is no new file.
        if (saved == null && intent.flags and Intent.FLAG_ACTIVITY_LAUNCHED_FROM_HISTORY == 0) takeIn(intent)
        show(back = saved != null)
    }

    override fun onStart() {
        super.onStart()
        trail.moved = { show(it) }
        app.undoing.changed = {
            screen.presenter.refresh()
            draw()
        }
        screen.presenter.refresh()
    }

    override fun onNewIntent(intent: Intent) {
        super.onNewIntent(intent)
        takeIn(intent)
    }

    override fun onStop() {
        page.leaveField()
        screen.hidden()
        app.core.pause()
        super.onStop()
    }

    override fun onSaveInstanceState(out: Bundle) {
        super.onSaveInstanceState(out)
        trail.jotted[shownAt, AT] = page.at
        out.putStringArrayList(TRAIL, ArrayList(trail.lines))
        out.putStringArrayList(JOTTED, ArrayList(trail.jotted.lines))
    }

    override fun onDestroy() {
        screen.presenter.stop()
        super.onDestroy()
    }

    @Deprecated("The platform's own way back before Android 13")
    override fun onBackPressed() = shown.back()

    /** Back along the way; out of the app from the first screen. */
    fun goBack() {
        if (!trail.back()) finish()
    }

    /** Draws the screen as it is now. */
    fun draw() {
        val trouble = screen.presenter.trouble?.takeIf { it.atStart }
        start = trouble?.let { start?.takeIf { it.shows(screen.presenter, trouble) } ?: StartView(this, screen.presenter, trouble) }
        page.show(shown, app.undoing)
    }

    /** Whoever was writing has left the field. */
    fun leaveField() = page.leaveField()

    @Deprecated("The platform's own way before its library")
    override fun onActivityResult(request: Int, result: Int, data: Intent?) {
        shown.came(request, result == RESULT_OK, data)
    }

    override fun onRequestPermissionsResult(request: Int, asked: Array<out String>, granted: IntArray) {
        shown.allowed(request, granted.isNotEmpty() && granted.all { it == PackageManager.PERMISSION_GRANTED })
    }

    private fun show(back: Boolean) {
        if (::screen.isInitialized) {
            page.leaveField()
            trail.jotted[shownAt, AT] = page.at
            screen.presenter.stop()
        }
        shownAt = trail.here
        screen = screenFor(this, shownAt)
        page.turn(if (back) trail.jotted[shownAt, AT] else "")
        screen.presenter.changed = ::draw
        draw()
        screen.presenter.start(back)
        seal.of(shownAt, ::hide)
    }

    /** What is under seal is in no picture of the screen: not where the system shows what was used last, in none that somebody takes. */
    private fun hide(hidden: Boolean) {
        val secure = WindowManager.LayoutParams.FLAG_SECURE
        window.setFlags(if (hidden) secure else 0, secure)
    }

    /** Another app opened a file of the office with this one, or sent it. */
    private fun takeIn(intent: Intent) {
        val file = intent.sentFile() ?: return
        app.errands.takeIn(sourceOf(file))
        trail.go(Place.HandOver)
    }

    private companion object {
        const val TRAIL = "trail"
        const val JOTTED = "jotted"

        /** Where on a screen somebody was. */
        const val AT = "at"
    }
}
