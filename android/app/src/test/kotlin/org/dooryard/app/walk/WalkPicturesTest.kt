package org.dooryard.app.walk

import android.Manifest.permission.ACCESS_COARSE_LOCATION
import org.dooryard.app.Album
import org.dooryard.app.NativeCoreRunner
import org.dooryard.app.R
import org.dooryard.app.Stage
import org.dooryard.kit.Look
import org.dooryard.kit.Place
import org.dooryard.kit.Settings
import org.junit.Assert.assertTrue
import org.junit.Rule
import org.junit.Test
import org.junit.rules.TemporaryFolder
import org.junit.runner.RunWith
import org.robolectric.RuntimeEnvironment
import org.robolectric.Shadows.shadowOf
import org.robolectric.annotation.Config
import java.io.File

/** The screens of the walk as pictures, to be looked at by people: plain, in Spanish, in large type, at night, in the sun. */
@RunWith(NativeCoreRunner::class)
class WalkPicturesTest {
    @get:Rule val folder = TemporaryFolder()

    private lateinit var album: Album

    private fun walk(name: String, settings: Settings = Settings()) {
        val stage = stageIn(folder.root.toPath())
        stage.app.settings = settings
        stage.recreate()
        album = Album(stage, name, settings.look == Look.SUN)
        val new = stage.ask { begin("yard") }
        stage.go(Place.Plant(new, null)).shown("plant-new")
        stage.tap(stage.ask { plant(new, null) }.hosts[2].name).shown("plant-group")
        val (inquiry, plant) = stage.plant()
        stage.go(Place.Plant(inquiry, plant)).shown("plant")
        stage.go(Place.Look(inquiry, plant, "")).shown("look")
        repeat(5) {
            val look = stage.ask { look(inquiry, plant, (stage.activity.trail.here as Place.Look).look, "") }.look!!
            stage.tap(look.answers.first { it.mark == "seen" }.text)
            if (it == 4) {
                stage.tap(R.string.walk_why).shown("look-answered")
            } else {
                stage.tap(R.string.walk_next_look)
            }
        }
        stage.tap(R.string.walk_all_looks).shown("looks").back()
        stage.go(Place.Think(inquiry, plant)).shown("think")
        stage.go(Place.Shots(inquiry, plant)).shown("shots")
        stage.tap(R.string.walk_open_camera).takes().shown("shots-taken")
        stage.go(Place.Photo(stage.ask { shots(inquiry, plant) }.shots.flatMap { it.photos }.first().id)).shown("photo")
        stage.tap(R.string.walk_whole_screen).tap(R.string.walk_larger).shown("photo-alone").back()
        stage.go(Place.Spot(inquiry)).shown("place")
        val near = stage.plant("lilac").first
        stage.ask {
            setPlace(near, 44.0012, -87.002, null)
            setPlace(inquiry, 44.0, -87.0, 12.0)
        }
        stage.recreate()
        stage.shown("place-map")
        album.isWhole()
    }

    private fun Stage.shown(name: String): Stage {
        album.page(name)
        return this
    }

    @Test
    fun plain() = walk("walk")

    @Test
    @Config(qualifiers = "+es")
    fun inSpanish() = walk("walk-es")

    @Test
    fun inLargeType() {
        RuntimeEnvironment.setFontScale(2f)
        walk("walk-200")
    }

    @Test
    @Config(qualifiers = "+es")
    fun inSpanishAndLargeType() {
        RuntimeEnvironment.setFontScale(2f)
        walk("walk-es-200")
    }

    @Test
    @Config(qualifiers = "+night")
    fun atNight() = walk("walk-night")

    @Test
    fun inTheSun() = walk("walk-sun", Settings(look = Look.SUN))

    @Test
    fun whatIsSaidWhenAPermissionIsRefusedOrTheCountyIsDrawn() {
        val stage = stageIn(folder.root.toPath())
        album = Album(stage, "walk")
        val (inquiry, _) = stage.plant()
        val county = File(checkNotNull(System.getProperty("dooryard.golden"))).resolveSibling("county/larkspur.geojson")
        county.copyTo(File(stage.app.folder, "outline.geojson"))
        stage.go(Place.Spot(inquiry)).shown("place-county")
        stage.tap(R.string.walk_take_fix)
        val asked = shadowOf(stage.activity).lastRequestedPermission
        assertTrue(ACCESS_COARSE_LOCATION in asked.requestedPermissions)
        stage.activity.onRequestPermissionsResult(asked.requestCode, asked.requestedPermissions, intArrayOf(-1, -1))
        stage.settle().shown("place-refused")
        shadowOf(app).checkActivities(true)
        stage.go(Place.Shots(inquiry, null)).tap(R.string.walk_open_camera).shown("shots-no-camera")
        album.isWhole()
    }
}
