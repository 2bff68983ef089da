package org.dooryard.app

import android.Manifest.permission.ACCESS_COARSE_LOCATION
import android.Manifest.permission.ACCESS_FINE_LOCATION
import android.annotation.SuppressLint
import android.app.Activity
import android.content.Context
import android.content.pm.PackageManager
import android.location.Location
import android.location.LocationListener
import android.location.LocationManager
import android.os.Build
import android.os.Bundle
import android.os.Handler
import android.os.Looper
import android.os.SystemClock

/** Where the phone is: within [accuracyM] meters, [ageMs] milliseconds ago. */
data class Found(val latitude: Double, val longitude: Double, val accuracyM: Double, val ageMs: Long)

/** Asks the phone once where it is, when a person wants it, and never else. What it has is asked at once; the best is taken. */
class PhonePosition(private val activity: Activity) {
    private val manager = activity.applicationContext.getSystemService(Context.LOCATION_SERVICE) as LocationManager
    private val main = Handler(Looper.getMainLooper())
    private var asking: Asking? = null

    /** It may be asked, be it roughly. */
    val allowed: Boolean get() = LEAVE.any(::has)

    /** Its own switch is on, and there is something to ask. */
    val on: Boolean get() = providers().isNotEmpty()

    /** Gives where it is, once; nothing where it is not found within half a minute. On the main thread. */
    fun once(then: (Found?) -> Unit) {
        stop()
        asking = Asking(providers(), then).also { it.begin() }
    }

    /** Nobody waits any more. */
    fun stop() {
        asking?.drop()
        asking = null
    }

    private fun has(leave: String) = activity.checkSelfPermission(leave) == PackageManager.PERMISSION_GRANTED

    private fun providers(): List<String> {
        if (Build.VERSION.SDK_INT >= Build.VERSION_CODES.P && !Newer.mayAsk(manager)) return emptyList()
        val known = manager.allProviders
        // Satellites are for the fine leave alone.
        fun asks(provider: String) = provider in known && manager.isProviderEnabled(provider) &&
            (provider != LocationManager.GPS_PROVIDER || has(ACCESS_FINE_LOCATION))
        // What puts all together knows what the others know.
        if (Build.VERSION.SDK_INT >= Build.VERSION_CODES.S && asks(LocationManager.FUSED_PROVIDER)) {
            return listOf(LocationManager.FUSED_PROVIDER)
        }
        return listOf(LocationManager.GPS_PROVIDER, LocationManager.NETWORK_PROVIDER).filter(::asks)
    }

    private inner class Asking(private val of: List<String>, private val then: (Found?) -> Unit) {
        private val waiting = of.toMutableSet()
        private val stops = mutableListOf<() -> Unit>()
        private var best: Location? = null
        private var over = false

        fun begin() {
            main.postDelayed(::end, END_MS)
            of.forEach(::ask)
        }

        fun drop() {
            over = true
            main.removeCallbacksAndMessages(null)
            stops.forEach { it() }
        }

        @SuppressLint("MissingPermission")
        @Suppress("DEPRECATION")
        private fun ask(provider: String) {
            if (Build.VERSION.SDK_INT >= Build.VERSION_CODES.R) {
                stops += Newer.ask(activity, manager, provider) { came(provider, it) }::cancel
            } else {
                val listener = Once { came(provider, it) }
                stops += { manager.removeUpdates(listener) }
                manager.requestSingleUpdate(provider, listener, Looper.getMainLooper())
            }
        }

        private fun came(provider: String, at: Location?) {
            if (over) return
            waiting -= provider
            val before = best
            if (at != null && at.hasAccuracy() && (before == null || at.accuracy < before.accuracy)) best = at
            // None of the others knows it better than the first.
            if (waiting.isEmpty() || (at != null && provider == of.first())) end()
        }

        private fun end() {
            if (over) return
            stop()
            then(
                best?.let {
                    val age = (SystemClock.elapsedRealtimeNanos() - it.elapsedRealtimeNanos) / NANOS_OF_MS
                    Found(it.latitude, it.longitude, it.accuracy.toDouble(), maxOf(0, age))
                },
            )
        }
    }

    /** Every call of it exists, as phones before Android 11 ask for. */
    private class Once(private val came: (Location?) -> Unit) : LocationListener {
        override fun onLocationChanged(at: Location) = came(at)

        override fun onProviderDisabled(provider: String) = came(null)

        override fun onProviderEnabled(provider: String) = Unit

        @Deprecated("Not called any more; has to be there for older phones")
        override fun onStatusChanged(provider: String?, status: Int, extras: Bundle?) = Unit
    }

    companion object {
        /** What is asked for, always together: a person may give the coarse one alone. */
        val LEAVE = arrayOf(ACCESS_FINE_LOCATION, ACCESS_COARSE_LOCATION)

        private const val END_MS = 30_000L
        private const val NANOS_OF_MS = 1_000_000L
    }
}
