package org.dooryard.app.rows

import org.dooryard.app.NativeCoreRunner
import org.dooryard.app.R
import org.dooryard.app.Stage
import org.dooryard.app.answers
import org.dooryard.app.named
import org.dooryard.app.offers
import org.dooryard.app.tell.at
import org.dooryard.app.tell.on
import org.dooryard.app.tell.stageOf
import org.dooryard.app.tell.takes
import org.dooryard.core.FieldNotebook
import org.dooryard.core.InquiryFilter
import org.dooryard.core.Language
import org.dooryard.core.Reader
import org.dooryard.core.Screens
import org.dooryard.core.StageClock
import org.dooryard.core.Units
import org.dooryard.kit.MemorySecrets
import org.dooryard.kit.Place
import org.dooryard.kit.tell.walkedTomato
import org.junit.Assert.assertEquals
import org.junit.Assert.assertNotEquals
import org.junit.Assert.assertTrue
import org.junit.Rule
import org.junit.Test
import org.junit.rules.TemporaryFolder
import org.junit.runner.RunWith

/** Inquiries over time: another visit, what is written otherwise later, what was taken away by mistake, another phone's work. */
@RunWith(NativeCoreRunner::class)
class VisitsTest {
    @get:Rule val folder = TemporaryFolder()

    private val stage by lazy { stageOf(folder.root.toPath()) }

    @Test
    fun anotherVisitTakesThePlantsAndThePlaceAlongAndTheFirstOneStandsBesideIt() {
        val first = stage.on { walkedTomato("Spots on the low leaves").also { writePlace(it.inquiry, "township", "Sedge", true) } }
        stage.at(Place.Inquiry(first.inquiry))
        stage.seesNot(stage.word(R.string.tell_over_time))
        stage.tap(stage.on { inquiry(first.inquiry) }.again).recreate()
        val again = (stage.activity.trail.here as Place.Ask).inquiry
        assertNotEquals(first.inquiry, again)
        stage.at(Place.Inquiry(again)).recreate()
        stage.sees("Tomato")
        stage.seesNot("Spots on the low leaves")
        stage.sees(stage.word(R.string.tell_over_time))
        val past = stage.on { inquiry(again) }.overTime.first { !it.here }
        stage.tap(past.found)
        assertEquals(Place.Inquiry(first.inquiry), stage.activity.trail.here)
        stage.sees("Spots on the low leaves")
        stage.back()
        assertEquals(Place.Inquiry(again), stage.activity.trail.here)
    }

    @Test
    fun whatWasWrittenIsWrittenOtherwiseLaterAndTheHistoryHoldsBoth() {
        stage.takes("Spots on the leaves").tap(R.string.stop_here)
        val inquiry = stage.on { inquiries(InquiryFilter.ALL, "", "", 1u) }.rows.single().id
        val plant = stage.on { checkNotNull(writePlant(inquiry, null, "host", "tomato_family", true).plant) }
        stage.at(Place.Plant(inquiry, plant)).type("Cultivar", "Roma").back()
        stage.at(Place.Inquiry(inquiry)).tap(R.string.tell_finished).recreate()
        stage.tap(R.string.tell_asked).type("own words", "Spots on the stems").back()
        stage.at(Place.Plant(inquiry, plant)).type("Cultivar", "Brandywine").recreate()
        stage.at(Place.Inquiry(inquiry))
        stage.sees("Spots on the stems")
        stage.sees("Brandywine")
        stage.tap(R.string.tell_history)
        val fields = { stage.touchable.filter { stage.word(R.string.tell_fields) in it.named() } }
        repeat(fields().size) { at ->
            fields()[at].performClick()
            stage.settle()
        }
        stage.sees("Roma")
        stage.sees("Brandywine")
    }

    @Test
    fun aPlantOrASampleTakenAwayByMistakeComesBack() {
        val walked = stage.on { walkedTomato() }
        stage.on { takeSample(walked.inquiry, walked.plant, "low leaves", 2u, "", false) }
        stage.at(Place.Inquiry(walked.inquiry)).tap("Tomato").tap(R.string.walk_plant_away)
        assertEquals("off the plant", Place.Inquiry(walked.inquiry), stage.activity.trail.here)
        assertTrue(stage.on { inquiry(walked.inquiry) }.plants.isEmpty())
        stage.recreate().tap(R.string.undo)
        assertEquals(listOf(walked.plant), stage.on { inquiry(walked.inquiry) }.plants.map { it.plant })
        // Also where one came to it from a look of it: that is left too.
        stage.tap(R.string.look)
        stage.at(Place.Plant(walked.inquiry, walked.plant)).tap(R.string.walk_plant_away)
        assertEquals(Place.Inquiry(walked.inquiry), stage.activity.trail.here)
        stage.tap(R.string.undo).tap(R.string.tell_samples).tap(R.string.tell_sample_away)
        assertTrue(stage.on { samples(walked.inquiry) }.samples.isEmpty())
        stage.sees(stage.word(R.string.tell_pack))
        stage.tap(R.string.undo)
        stage.sees("Low leaves")
    }

    @Test
    fun anotherPhonesNotebookComesInAsItsOwnDataAndItsBackupIsRefusedInWords() {
        val (zip, backup) = folder.newFile("theirs.zip").also { it.delete() } to folder.newFile("theirs.backup").also { it.delete() }
        theirs().use { other ->
            val screens = Screens.open(other, checkNotNull(System.getProperty("dooryard.pack")), reader)
            screens.write(screens.begin("yard"), "words", "Holes in the cabbage", true)
            other.exportOwnData(zip.path)
            other.backUp(backup.path)
        }
        stage.at(Place.Backup).tap(R.string.hand_own_data_bring)
        stage.answers(stage.offers("theirs.zip", zip.readBytes())).recreate()
        stage.sees(stage.word(R.string.hand_brought))
        stage.tap(R.string.dismiss).at(Place.Records)
        stage.sees("Holes in the cabbage")
        stage.at(Place.Backup).tap(R.string.hand_backup_bring)
        stage.answers(stage.offers("theirs.backup", backup.readBytes()))
        stage.seesNot(stage.word(R.string.hand_brought))
        stage.sees("another notebook or office")
    }

    private fun theirs(): FieldNotebook {
        val path = folder.root.resolve("theirs").path
        return FieldNotebook.rehearse(path, MemorySecrets("theirs"), StageClock.at(org.dooryard.app.RehearsalApp.START_MS), 99UL)
    }

    private companion object {
        val reader = Reader(Language.EN, Units.CUSTOMARY, "America/Chicago")
    }
}
