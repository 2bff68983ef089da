package org.dooryard.app.walk

import android.Manifest.permission.ACCESS_COARSE_LOCATION
import android.Manifest.permission.ACCESS_FINE_LOCATION
import android.content.Context
import android.content.pm.PackageManager
import android.location.Location
import android.location.LocationManager
import android.os.SystemClock
import android.provider.Settings
import android.view.MotionEvent
import org.dooryard.app.NativeCoreRunner
import org.dooryard.app.R
import org.dooryard.app.Stage
import org.dooryard.app.named
import org.dooryard.app.parts.SceneView
import org.dooryard.app.parts.all
import org.dooryard.kit.Place
import org.junit.Assert.assertEquals
import org.junit.Assert.assertFalse
import org.junit.Assert.assertTrue
import org.junit.Rule
import org.junit.Test
import org.junit.rules.TemporaryFolder
import org.junit.runner.RunWith
import org.robolectric.Shadows.shadowOf
import org.robolectric.annotation.Config
import java.time.Duration

@RunWith(NativeCoreRunner::class)
@Config(sdk = [26, 34])
class SpotScreenTest {
    @get:Rule val folder = TemporaryFolder()

    private lateinit var inquiry: String
    private val manager get() = app.getSystemService(Context.LOCATION_SERVICE) as LocationManager

    private fun spot(): Stage {
        val stage = stageIn(folder.root.toPath())
        inquiry = stage.plant().first
        // Twice: for old phones the first time only turns the way of finding it.
        repeat(2) { turn(true) }
        return stage.go(Place.Spot(inquiry))
    }

    private fun turn(on: Boolean) =
        listOf(LocationManager.GPS_PROVIDER, LocationManager.NETWORK_PROVIDER).forEach { shadowOf(manager).setProviderEnabled(it, on) }

    private fun Stage.place() = ask { place(inquiry, 300f, 300f, null) }

    private fun Stage.leave(vararg given: String): Stage {
        shadowOf(app).grantPermissions(*given)
        val asked = shadowOf(activity).lastRequestedPermission
        assertEquals(setOf(ACCESS_FINE_LOCATION, ACCESS_COARSE_LOCATION), asked.requestedPermissions.toSet())
        val answers = asked.requestedPermissions.map {
            if (it in given) PackageManager.PERMISSION_GRANTED else PackageManager.PERMISSION_DENIED
        }
        activity.onRequestPermissionsResult(asked.requestCode, asked.requestedPermissions, answers.toIntArray())
        return settle()
    }

    private fun Stage.phoneIs(provider: String, accuracy: Float): Stage {
        val at = Location(provider).apply {
            latitude = 43.5
            longitude = -87.0
            this.accuracy = accuracy
            time = System.currentTimeMillis()
            elapsedRealtimeNanos = SystemClock.elapsedRealtimeNanos()
        }
        shadowOf(manager).simulateLocation(at)
        return settle()
    }

    @Test
    fun thePhoneIsAskedOnceAndOnlyWhenSomebodyTaps() {
        val stage = spot()
        assertTrue(stage.words, stage.word(R.string.walk_fix_why) in stage.words)
        assertEquals(null, shadowOf(stage.activity).lastRequestedPermission)
        stage.tap(R.string.walk_take_fix).leave(ACCESS_FINE_LOCATION, ACCESS_COARSE_LOCATION)
        assertTrue(stage.words, stage.word(R.string.walk_fix_wait) in stage.words)
        stage.phoneIs(LocationManager.NETWORK_PROVIDER, 400f)
        assertFalse("a better one may come", stage.place().hasPoint)
        stage.phoneIs(LocationManager.GPS_PROVIDER, 6f)
        assertTrue(stage.words, "Good: within 20 ft" in stage.words)
        assertEquals("From the phone, within 20 ft", stage.place().point)
        stage.phoneIs(LocationManager.GPS_PROVIDER, 3f)
        assertEquals("nobody asked again", "From the phone, within 20 ft", stage.place().point)
        stage.killed()
        assertTrue(stage.words, "From the phone, within 20 ft" in stage.words)
        stage.tap(R.string.walk_fix_again)
    }

    @Test
    fun theRoughOneAloneIsEnough() {
        val stage = spot().tap(R.string.walk_take_fix).leave(ACCESS_COARSE_LOCATION)
        stage.phoneIs(LocationManager.NETWORK_PROVIDER, 400f)
        assertTrue(stage.words, "Coarse" in stage.words)
        assertTrue(stage.place().hasPoint)
    }

    @Test
    fun whoRefusesIsToldAWayOnAndOneToTheSettings() {
        val stage = spot().tap(R.string.walk_take_fix).leave()
        assertTrue(stage.words, stage.word(R.string.walk_fix_refused) in stage.words)
        stage.tap(R.string.walk_settings)
        assertEquals(Settings.ACTION_APPLICATION_DETAILS_SETTINGS, shadowOf(stage.activity).nextStartedActivity.action)
        stage.type("Address", "Behind the red barn")
        assertTrue(stage.ask { place(inquiry, 300f, 300f, null) }.fields.any { it.text == "Behind the red barn" })
    }

    @Test
    fun aPhoneWhosePositionIsOffSaysSo() {
        val stage = spot()
        turn(false)
        stage.tap(R.string.walk_take_fix).leave(ACCESS_FINE_LOCATION, ACCESS_COARSE_LOCATION)
        assertTrue(stage.words, stage.word(R.string.walk_fix_off) in stage.words)
        stage.tap(R.string.walk_settings)
        assertEquals(Settings.ACTION_LOCATION_SOURCE_SETTINGS, shadowOf(stage.activity).nextStartedActivity.action)
    }

    @Test
    fun nobodyWaitsLongerThanHalfAMinute() {
        val stage = spot().tap(R.string.walk_take_fix).leave(ACCESS_FINE_LOCATION, ACCESS_COARSE_LOCATION)
        shadowOf(stage.activity.mainLooper).idleFor(Duration.ofSeconds(31))
        stage.settle()
        assertTrue(stage.words, stage.word(R.string.walk_fix_none) in stage.words)
        stage.phoneIs(LocationManager.GPS_PROVIDER, 6f)
        assertFalse("too late is too late", stage.place().hasPoint)
    }

    @Test
    fun goingOutOfSightEndsTheAsking() {
        val stage = spot().tap(R.string.walk_take_fix).leave(ACCESS_FINE_LOCATION, ACCESS_COARSE_LOCATION)
        stage.controller.pause().stop()
        stage.phoneIs(LocationManager.GPS_PROVIDER, 6f)
        assertFalse(stage.place().hasPoint)
    }

    @Test
    fun thePinIsMovedByATouchOnTheMapAndByFourButtons() {
        val stage = spot()
        stage.ask { setPlace(inquiry, 43.5, -87.0, null) }
        stage.recreate()
        val scene = stage.root.all().filterIsInstance<SceneView>().single()
        val before = stage.place().scene
        touch(scene, scene.width * 0.75f, scene.height * 0.5f)
        stage.settle()
        val after = stage.place().scene
        assertTrue("to the east", after.longitude > before.longitude)
        assertEquals(before.latitude, after.latitude, 1e-5)
        for ((word, check) in listOf<kotlin.Pair<Int, (Double, Double) -> Boolean>>(
            R.string.walk_north to { lat, _ -> lat > 0 }, R.string.walk_south to { lat, _ -> lat < 0 },
            R.string.walk_east to { _, lon -> lon > 0 }, R.string.walk_west to { _, lon -> lon < 0 },
        )) {
            val from = stage.place().scene
            stage.tap("${stage.word(R.string.walk_move_pin)}: ${stage.word(word)}")
            val to = stage.place().scene
            assertTrue(stage.word(word), check(to.latitude - from.latitude, to.longitude - from.longitude))
        }
        assertTrue(scene.named().isNotEmpty())
        stage.place().scene.twin.forEach { assertTrue(it, it in stage.words) }
    }

    @Test
    fun aPositionIsTakenAwayByOneTapAndComesBackByAnother() {
        val stage = spot()
        assertTrue("none to take away", stage.touchable.none { it.named() == stage.word(R.string.walk_clear_place) })
        stage.ask { setPlace(inquiry, 43.5, -87.0, null) }
        stage.recreate().tap(R.string.walk_clear_place)
        assertFalse(stage.place().hasPoint)
        assertTrue(stage.words, stage.place().point in stage.words)
        assertTrue(stage.touchable.none { it.named() == stage.word(R.string.walk_clear_place) })
        assertTrue("no pin without a map", stage.root.all().none { it is SceneView } || stage.place().canPin)
        stage.tap(R.string.undo)
        assertTrue(stage.place().hasPoint)
        assertTrue(stage.words, stage.place().point in stage.words)
        assertTrue("it can be taken away again", stage.touchable.any { it.named() == stage.word(R.string.walk_clear_place) })
    }

    private fun touch(view: SceneView, x: Float, y: Float) {
        for (action in listOf(MotionEvent.ACTION_DOWN, MotionEvent.ACTION_UP)) {
            view.dispatchTouchEvent(MotionEvent.obtain(0, 10, action, x, y, 0))
        }
    }

    @Test
    fun whereAChildAsksThereIsNoButtonAndItSaysWhy() {
        val stage = spot()
        stage.ask { write(inquiry, "minor", "yes", true) }
        stage.recreate()
        assertTrue(stage.words, stage.place().held in stage.words)
        assertTrue(stage.touchable.none { it.named() == stage.word(R.string.walk_take_fix) })
    }
}
