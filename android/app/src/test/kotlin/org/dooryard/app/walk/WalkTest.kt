package org.dooryard.app.walk

import android.app.Activity
import android.content.Intent
import android.provider.MediaStore
import org.dooryard.app.NativeCoreRunner
import org.dooryard.app.R
import org.dooryard.app.Stage
import org.dooryard.app.Walk
import org.dooryard.kit.Place
import org.junit.Assert.assertEquals
import org.junit.Assert.assertNotNull
import org.junit.Assert.assertTrue
import org.junit.Rule
import org.junit.Test
import org.junit.rules.TemporaryFolder
import org.junit.runner.RunWith
import org.robolectric.annotation.Config

/** The way through a yard, from the plant to the photos, with the app taken out of memory in the middle of each step. */
@RunWith(NativeCoreRunner::class)
@Config(sdk = [26, 34])
class WalkTest {
    @get:Rule val folder = TemporaryFolder()

    private fun Stage.answer(mark: String): Stage {
        val look = ask { look(here().inquiry, here().plant, here().look, "") }.look!!
        return tap(look.answers.first { it.mark == mark }.text)
    }

    private fun Stage.here() = activity.trail.here as Place.Look

    @Test
    fun aYardIsWalkedThroughAndEverythingIsThereAfterTheAppWasKilledInTheMiddle() {
        val stage = stageIn(folder.root.toPath())
        val inquiry = stage.ask { begin("yard") }
        stage.go(Place.Plant(inquiry, null)).tap("Vegetables").tap("Tomato, pepper, potato").type("Cultivar", "Roma")
        val plant = (stage.activity.trail.here as Place.Plant).plant
        assertNotNull("the way holds the new plant", plant)
        stage.killed()
        assertTrue(stage.words, "Solanaceae" in stage.words)
        assertEquals("Roma", stage.field("Cultivar").text.toString())

        stage.tap(R.string.look)
        val asked = mutableListOf<String>()
        repeat(4) {
            asked += stage.here().look
            stage.answer(if (it == 1) "bare" else "seen").tap("sure")
            if (it == 2) {
                stage.killed()
                assertEquals("the same look is asked", asked.last(), stage.here().look)
            }
            stage.tap(R.string.walk_next_look)
        }
        assertEquals(4, asked.toSet().size)
        assertTrue("nothing was asked twice", stage.here().look !in asked)

        stage.tap(R.string.walk_could_be)
        assertTrue(stage.words, "after 4 findings" in stage.words && "in 100" in stage.words)
        stage.killed()
        assertTrue(stage.words, "after 4 findings" in stage.words)

        stage.go(Place.Shots(inquiry, plant)).tap(R.string.walk_open_camera)
        val camera = stage.asked()
        assertEquals(MediaStore.ACTION_IMAGE_CAPTURE, camera.action)
        assertTrue(camera.flags and Intent.FLAG_GRANT_WRITE_URI_PERMISSION != 0)
        stage.takes()
        assertTrue(stage.words, "Taken" in stage.words)
        // The second one is taken while the app is out of memory.
        stage.tap(R.string.walk_next_photo).tap(R.string.walk_open_camera)
        val second = stage.asked()
        app.kill()
        stage.write(second, leaf)
        stage.recreate()
        stage.comes(1, Activity.RESULT_OK, null)
        assertEquals(2, stage.ask { shots(inquiry, plant) }.shots.sumOf { it.photos.size })
        // The third one too, and nobody ever comes back with an answer.
        stage.go(Place.Today).go(Place.Shots(inquiry, plant)).tap(R.string.walk_open_camera)
        val third = stage.asked()
        app.kill()
        stage.write(third, leaf)
        val last = Stage()
        assertEquals(3, last.ask { shots(inquiry, plant) }.shots.sumOf { it.photos.size })
        val seen = last.ask { look(inquiry, plant!!, "", "") }.parts.flatMap { it.looks }.filter { it.mark != "unlooked" }
        assertEquals(asked.toSet(), seen.map { it.character }.toSet())
        assertEquals("Roma", last.ask { plant(inquiry, plant) }.fields.first { it.name == "cultivar" }.text)
    }

    @Test
    @Config(sdk = [34])
    fun everyScreenIsWholeForWhoeverHearsItOrTouchesItWithGloves() {
        val stage = stageIn(folder.root.toPath())
        val (inquiry, plant) = stage.plant()
        stage.ask { setPlace(inquiry, 43.5, -87.0, 12.0) }
        val problems = mutableListOf<String>()
        val walked = { name: String -> Walk(stage).problems().mapTo(problems) { "$name: $it" } }
        for (place in listOf(
            Place.Plant(inquiry, null), Place.Plant(inquiry, plant), Place.Look(inquiry, plant, "leaf_spot"),
            Place.Think(inquiry, plant), Place.Shots(inquiry, plant), Place.Spot(inquiry),
        )) {
            stage.go(place)
            walked("$place")
        }
        stage.go(Place.Look(inquiry, plant, "leaf_spot")).answer("seen").tap(R.string.walk_why)
        walked("answered")
        stage.tap(R.string.walk_all_looks)
        walked("all looks")
        stage.go(Place.Shots(inquiry, plant)).tap(R.string.walk_open_camera).takes()
        walked("a shot taken")
        stage.go(Place.Photo(stage.ask { shots(inquiry, plant) }.shots.flatMap { it.photos }.single().id))
        walked("a photo")
        assertEquals("", problems.joinToString("\n"))
    }
}
