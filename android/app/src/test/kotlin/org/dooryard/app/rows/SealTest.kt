package org.dooryard.app.rows

import android.Manifest
import android.content.pm.PackageManager
import android.view.WindowManager.LayoutParams.FLAG_SECURE
import org.dooryard.app.NativeCoreRunner
import org.dooryard.app.R
import org.dooryard.app.tell.at
import org.dooryard.app.tell.on
import org.dooryard.app.tell.stageOf
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

/** What is under seal is told on no screen of several, and no picture is taken of its own. */
@RunWith(NativeCoreRunner::class)
@Config(sdk = [26, 34])
class SealTest {
    @get:Rule val folder = TemporaryFolder()

    private val stage by lazy { stageOf(folder.root.toPath()) }

    private val hidden get() = stage.activity.window.attributes.flags and FLAG_SECURE != 0

    private fun sealed(): Pair<String, String> = stage.on {
        val inquiry = begin("yard")
        val plant = checkNotNull(writePlant(inquiry, null, "host", "boxwood", true).plant)
        write(inquiry, "words", "It may be the curled moth", true)
        writePlace(inquiry, "township", "Sedge", true)
        askLater(inquiry, "2026-07-20", "Is the boxwood worse?")
        answerQuestion(inquiry, "regulated", "yes")
        stops(inquiry).unread.forEach { readStop(inquiry, it.id) }
        leavePlace()
        inquiry to plant
    }

    @Test
    fun whatIsUnderSealIsNamedInNoList() {
        val (inquiry, _) = sealed()
        fun namesNothing() {
            for (name in listOf("oxwood", "Sedge", "curled moth")) assertFalse("$name: ${stage.words}", name in stage.words)
        }
        for (place in listOf(Place.Today, Place.Records, Place.Later, Place.HandOver, Place.Privacy)) {
            stage.at(place).recreate()
            namesNothing()
            assertFalse("$place", hidden)
        }
        assertTrue("it is there", stage.at(Place.Records).words.contains("under seal"))
        stage.on { takeAway(inquiry) }
        stage.at(Place.Bin)
        assertTrue(stage.words, "under seal" in stage.words)
        namesNothing()
    }

    @Test
    fun noPictureIsTakenOfIt() {
        val (inquiry, plant) = sealed()
        val open = stage.on { begin("yard") }
        stage.at(Place.Records)
        assertFalse(hidden)
        for (place in listOf(Place.Inquiry(inquiry), Place.Ask(inquiry), Place.Plant(inquiry, plant), Place.Look(inquiry, plant, ""), Place.Spot(inquiry))) {
            stage.at(place)
            assertTrue("$place", hidden)
            stage.recreate()
            assertTrue("$place", hidden)
        }
        stage.at(Place.Today)
        assertFalse("a list is not", hidden)
        stage.at(Place.Inquiry(open))
        assertFalse("nor is another inquiry", hidden)
        stage.on { answerQuestion(open, "regulated", "yes") }
        stage.recreate()
        assertTrue("it is as soon as it is sealed", hidden)
    }

    @Test
    fun beforeThatIsKnownNoPictureIsTaken() {
        val open = stage.on { begin("yard") }
        stage.activity.trail.go(Place.Inquiry(open))
        assertTrue("not known yet", hidden)
        stage.settle()
        assertFalse(hidden)
    }

    @Test
    fun nothingIsToldWhereTheAppIsNotOpen() {
        val asks = stage.app.packageManager.getPackageInfo(stage.app.packageName, PackageManager.GET_PERMISSIONS)
        val leaves = asks.requestedPermissions.orEmpty().toSet()
        assertEquals(setOf(Manifest.permission.ACCESS_COARSE_LOCATION, Manifest.permission.ACCESS_FINE_LOCATION), leaves)
        sealed()
        stage.at(Place.Today).controller.pause().stop()
        stage.settle()
        val told = stage.app.getSystemService(android.app.NotificationManager::class.java)
        assertEquals(0, shadowOf(told).size())
        assertTrue(stage.activity.title.toString(), stage.activity.title.toString() == stage.activity.getString(R.string.name))
    }
}
