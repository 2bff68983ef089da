package org.dooryard.app

import android.annotation.TargetApi
import android.app.Activity
import android.content.Intent
import android.location.Location
import android.location.LocationManager
import android.net.Uri
import android.os.Build
import android.os.CancellationSignal
import android.view.View

/** Calls that Android 8 does not know yet, each in one place; whoever calls one has looked at the level. */
object Newer {
    /** It is a heading. */
    @TargetApi(Build.VERSION_CODES.P)
    fun markHeading(view: View) {
        view.isAccessibilityHeading = true
    }

    /** The phone's owner lets apps ask where it is. */
    @TargetApi(Build.VERSION_CODES.P)
    fun mayAsk(manager: LocationManager): Boolean = manager.isLocationEnabled

    /** Where the phone is, once. Whoever asks has the leave. */
    @TargetApi(Build.VERSION_CODES.R)
    @Suppress("MissingPermission")
    fun ask(activity: Activity, manager: LocationManager, provider: String, came: (Location?) -> Unit): CancellationSignal {
        val stop = CancellationSignal()
        manager.getCurrentLocation(provider, stop, activity.mainExecutor) { came(it) }
        return stop
    }

    /** The file that was sent. */
    @TargetApi(Build.VERSION_CODES.TIRAMISU)
    fun stream(intent: Intent): Uri? = intent.getParcelableExtra(Intent.EXTRA_STREAM, Uri::class.java)
}
