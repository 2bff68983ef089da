package org.dooryard.app

import android.app.Activity
import android.content.Context
import android.content.Intent
import android.content.pm.PackageManager
import android.os.Bundle
import android.widget.FrameLayout
import org.dooryard.app.screens.ScreenView
import org.dooryard.app.screens.screenFor
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

    override fun attachBaseContext(base: Context) = super.attachBaseContext(base.asChosen(DooryardApp.settingsOf(base)))

    override fun onCreate(saved: Bundle?) {
        setTheme(app.settings.theme)
        super.onCreate(saved)
        val root = FrameLayout(this)
        setContentView(root)
        page = Page(this, root)
        trail = Trail(app.core, saved?.getStringArrayList(TRAIL).orEmpty())
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

    override fun onStop() {
        page.leaveField()
        app.core.pause()
        super.onStop()
    }

    override fun onSaveInstanceState(out: Bundle) {
        super.onSaveInstanceState(out)
        out.putStringArrayList(TRAIL, ArrayList(trail.lines))
    }

    override fun onDestroy() {
        screen.presenter.stop()
        super.onDestroy()
    }

    @Deprecated("The platform's own way back before Android 13")
    override fun onBackPressed() = screen.back()

    /** Back along the way; out of the app from the first screen. */
    fun goBack() {
        if (!trail.back()) finish()
    }

    /** Draws the screen as it is now. */
    fun draw() = page.show(screen, app.undoing)

    @Deprecated("The platform's own way before its library")
    override fun onActivityResult(request: Int, result: Int, data: Intent?) {
        screen.came(request, result == RESULT_OK, data)
    }

    override fun onRequestPermissionsResult(request: Int, asked: Array<out String>, granted: IntArray) {
        screen.allowed(request, granted.isNotEmpty() && granted.all { it == PackageManager.PERMISSION_GRANTED })
    }

    private fun show(back: Boolean) {
        if (::screen.isInitialized) {
            page.leaveField()
            screen.presenter.stop()
        }
        screen = screenFor(this, trail.here)
        page.turn()
        screen.presenter.changed = ::draw
        draw()
        screen.presenter.start(back)
    }

    private companion object {
        const val TRAIL = "trail"
    }
}
