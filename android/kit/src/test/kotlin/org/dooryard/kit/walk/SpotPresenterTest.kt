package org.dooryard.kit.walk

import org.dooryard.core.MapShapeKind
import org.dooryard.kit.Place
import org.dooryard.kit.TroubleKind
import org.dooryard.kit.goldenFiles
import org.dooryard.kit.spot.Fixing
import org.dooryard.kit.spot.Nudge
import org.dooryard.kit.spot.SpotPresenter
import org.junit.jupiter.api.Assertions.assertEquals
import org.junit.jupiter.api.Assertions.assertFalse
import org.junit.jupiter.api.Assertions.assertNotNull
import org.junit.jupiter.api.Assertions.assertNull
import org.junit.jupiter.api.Assertions.assertTrue
import org.junit.jupiter.api.Test
import org.junit.jupiter.api.io.TempDir
import java.nio.file.Files
import java.nio.file.Path

class SpotPresenterTest {
    @TempDir lateinit var dir: Path

    private val yard by lazy { Yard(dir) }
    private val inquiry by lazy { yard.inquiry() }

    private fun spot() = yard.shown(SpotPresenter(yard.core, yard.trail(Place.Spot(inquiry)), yard.undoing, inquiry, 320f, 320f))

    private fun outline() {
        val larkspur = goldenFiles.resolveSibling("county").resolve("larkspur.geojson")
        Files.copy(larkspur, yard.notebook.resolve("outline.geojson"))
    }

    @Test
    fun aFixIsToldInTheCoresWordsAndKept() {
        val spot = spot()
        spot.waits()
        assertEquals(Fixing.WAITING, spot.fixing)
        spot.found(43.5, -87.0, 6.0, 0)
        yard.settle()
        assertEquals(Fixing.REST, spot.fixing)
        assertTrue(spot.fix!!.text.startsWith("Good"), spot.fix!!.text)
        assertEquals("From the phone, within 20 ft", spot.state!!.point)
        spot.found(43.5, -87.0, 900.0, 300_000)
        yard.settle()
        assertFalse(spot.fix!!.good)
        assertTrue(spot.fix!!.text.contains("5 min old") && spot.fix!!.advice.isNotEmpty())
        yard.kill()
        assertTrue(spot().state!!.hasPoint)
    }

    @Test
    fun aTouchOnTheSceneAndFourStepsMoveThePin() {
        val spot = spot()
        spot.found(43.5, -87.0, 6.0, 0)
        yard.settle()
        val north = { yard.ask { place(inquiry, 320f, 320f, null) }.scene.latitude }
        val before = north()
        spot.nudge(Nudge.NORTH)
        yard.settle()
        assertTrue(north() > before)
        assertEquals("A pin set by hand", spot.state!!.point)
        assertNull(spot.fix, "what the fix was worth is said of the fix alone")
        spot.nudge(Nudge.SOUTH)
        yard.settle()
        assertEquals(before, north(), 1e-6)
        spot.touched(320f, 160f)
        yard.settle()
        val here = spot.state!!.scene.shapes.single { it.kind == MapShapeKind.HERE }
        assertTrue(here.points[0] < 1f, "the pin went to the edge, and is the middle now: ${here.points}")
        val east = yard.ask { place(inquiry, 320f, 320f, null) }.scene.longitude
        spot.nudge(Nudge.EAST)
        yard.settle()
        assertTrue(yard.ask { place(inquiry, 320f, 320f, null) }.scene.longitude > east)
        spot.nudge(Nudge.WEST)
        yard.settle()
        assertEquals(east, yard.ask { place(inquiry, 320f, 320f, null) }.scene.longitude, 1e-6)
    }

    @Test
    fun aPositionIsTakenAwayAndTheWordsStay() {
        val spot = spot()
        spot.left("address", "Behind the red barn")
        spot.found(43.5, -87.0, 6.0, 0)
        yard.settle()
        assertTrue(spot.state!!.hasPoint)
        spot.clear()
        yard.settle()
        assertFalse(spot.state!!.hasPoint)
        assertNull(spot.fix)
        yard.kill()
        val again = spot().state!!
        assertFalse(again.hasPoint)
        assertTrue(again.fields.any { it.text == "Behind the red barn" })
    }

    @Test
    fun aPositionTakenAwayComesBackWithTheWordsAsTheyStandNow() {
        val spot = spot()
        spot.left("address", "Behind the red barn")
        spot.found(43.5, -87.0, 6.0, 0)
        yard.settle()
        spot.clear()
        yard.settle()
        assertTrue(yard.undoing.undo!!.text.isNotEmpty())
        spot.left("address", "Behind the green barn")
        yard.settle()
        yard.ask { write(inquiry, "minor", "yes", true) }
        yard.undoing.bringBack()
        yard.settle()
        assertEquals(TroubleKind.REFUSED, yard.undoing.trouble?.kind, "no position is kept where a child asks")
        assertNotNull(yard.undoing.undo)
        assertFalse(yard.ask { place(inquiry, 320f, 320f, null) }.fields.any { "barn" in it.text }, "nor where the child lives")
        yard.ask { write(inquiry, "minor", "no", true) }
        spot.left("address", "Behind the green barn")
        yard.settle()
        yard.undoing.bringBack()
        yard.settle()
        assertNull(yard.undoing.trouble)
        assertNull(yard.undoing.undo)
        val back = yard.ask { place(inquiry, 320f, 320f, null) }
        assertTrue(back.hasPoint)
        assertEquals(43.5, back.scene.latitude, 1e-6)
        assertTrue(back.fields.any { it.text == "Behind the green barn" })
    }

    @Test
    fun withoutAFixAndWithoutAnOutlineNoPinIsSetAnywhere() {
        val spot = spot()
        assertFalse(spot.state!!.canPin)
        spot.touched(10f, 10f)
        yard.settle()
        assertFalse(spot.state!!.hasPoint)
        assertTrue(spot.state!!.scene.twin.isNotEmpty(), "the scene is told in words all the same")
    }

    @Test
    fun withTheCountysLinesAPinCanBeSetWithoutAFixAndTellsTheTownship() {
        yard.inquiry()
        outline()
        val spot = spot()
        assertTrue(spot.state!!.canPin && spot.state!!.townships.isNotEmpty())
        spot.touched(160f, 160f)
        yard.settle()
        assertTrue(spot.state!!.hasPoint)
        assertTrue(spot.state!!.fields.first { it.name == "township" }.text in spot.state!!.townships)
    }

    @Test
    fun whereAChildAsksNoPositionIsKeptAndItSaysWhy() {
        val spot = spot()
        yard.ask { write(inquiry, "minor", "yes", true) }
        spot.refresh()
        yard.settle()
        assertTrue(spot.state!!.held.isNotEmpty())
        spot.found(43.5, -87.0, 6.0, 0)
        yard.settle()
        assertEquals(TroubleKind.REFUSED, spot.trouble?.kind)
        val place = yard.ask { place(inquiry, 320f, 320f, null) }
        assertFalse(place.hasPoint)
        assertTrue(place.fields.none { it.name == "address" || it.name == "access" })
    }

    @Test
    fun wordsAndHazardsAreKeptAndARecordNearByIsFound() {
        val near = yard.inquiry()
        yard.plant(near)
        yard.ask { setPlace(near, 43.5, -87.002, null) }
        val spot = spot()
        spot.typed("township", "Elk")
        spot.left("township", "Elk Grove")
        spot.hazard("dog")
        spot.hazard("well")
        spot.hazard("dog")
        spot.found(43.5, -87.0, 6.0, 0)
        yard.settle()
        assertEquals("Elk Grove", spot.state!!.fields.first { it.name == "township" }.text)
        assertEquals(listOf("well"), spot.state!!.hazards.filter { it.chosen }.map { it.id })
        assertEquals(near, spot.state!!.near.single().inquiry)
        assertTrue(spot.state!!.near.single().way.endsWith("west"))
        spot.refused()
        assertEquals(Fixing.REFUSED, spot.fixing)
    }
}
