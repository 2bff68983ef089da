package org.dooryard.kit.walk

import org.dooryard.kit.Place
import org.dooryard.kit.plant.PlantPresenter
import org.junit.jupiter.api.Assertions.assertEquals
import org.junit.jupiter.api.Assertions.assertNotNull
import org.junit.jupiter.api.Assertions.assertNull
import org.junit.jupiter.api.Assertions.assertTrue
import org.junit.jupiter.api.Test
import org.junit.jupiter.api.io.TempDir
import java.nio.file.Path

class PlantPresenterTest {
    @TempDir lateinit var dir: Path

    @Test
    fun aNewPlantIsARecordFromItsFirstFieldOnAndTheWayHoldsIt() {
        val yard = Yard(dir)
        val inquiry = yard.inquiry()
        val trail = yard.trail(Place.Plant(inquiry, null))
        val presenter = yard.shown(PlantPresenter(yard.core, trail, yard.undoing, inquiry, null))
        assertNull(presenter.state?.plant)
        assertTrue(presenter.groups.size > 3 && presenter.unlisted?.hosts?.single()?.id == "unknown")
        presenter.choose("oak")
        yard.settle()
        val plant = checkNotNull(presenter.state?.plant)
        assertEquals(Place.Plant(inquiry, plant), trail.here)
        assertEquals("Oak", presenter.kind?.text)
        assertEquals("Quercus", presenter.state?.scientific)
        assertTrue(presenter.state?.note.orEmpty().startsWith("no pruning"))
        presenter.toLook()
        assertEquals(Place.Look(inquiry, plant, ""), trail.here)
        yard.kill()
        assertEquals(listOf(plant), yard.ask { inquiry(inquiry) }.plants.map { it.plant })
        assertEquals(Place.Look(inquiry, plant, ""), yard.ask { today() }.resume!!.let { Place.of(it.screen, it.inquiry, it.plant, it.look) })
    }

    @Test
    fun quickFingersMakeOnePlantNotTwo() {
        val yard = Yard(dir)
        val inquiry = yard.inquiry()
        val trail = yard.trail(Place.Plant(inquiry, null))
        val presenter = yard.shown(PlantPresenter(yard.core, trail, yard.undoing, inquiry, null))
        presenter.choose("maple")
        presenter.left("affected", "1")
        presenter.typed("cultivar", "October G")
        presenter.left("cultivar", "October Glory")
        yard.settle()
        val plant = yard.ask { inquiry(inquiry) }.plants.single().plant
        val fields = yard.ask { plant(inquiry, plant) }.fields.associate { it.name to it.text }
        assertEquals("1" to "October Glory", fields["affected"] to fields["cultivar"])
        assertEquals("", yard.ask { plant(inquiry, null) }.fields.first { it.name == "cultivar" }.text)
    }

    @Test
    fun whoWentOnBeforeTheAnswerComesBackToThePlantThatWasMade() {
        val yard = Yard(dir)
        val inquiry = yard.inquiry()
        val trail = yard.trail(Place.Plant(inquiry, null))
        val presenter = yard.shown(PlantPresenter(yard.core, trail, yard.undoing, inquiry, null))
        presenter.left("cultivar", "Roma")
        presenter.toPlace()
        yard.settle()
        assertEquals(Place.Spot(inquiry), trail.here)
        assertTrue(trail.back())
        assertNotNull((trail.here as Place.Plant).plant)
    }

    @Test
    fun kindsThatWereMetLastComeFirst() {
        val yard = Yard(dir)
        yard.plant(yard.inquiry(), "lilac")
        val inquiry = yard.inquiry()
        val presenter = yard.shown(PlantPresenter(yard.core, yard.trail(Place.Plant(inquiry, null)), yard.undoing, inquiry, null))
        assertEquals(listOf("lilac"), presenter.state?.recent?.map { it.id })
        presenter.left("affected", "7")
        yard.settle()
        presenter.left("present", "3")
        yard.settle()
        assertTrue(presenter.state!!.fields.first { it.name == "affected" }.problem.isNotEmpty(), "7 of 3 cannot be")
    }
}
