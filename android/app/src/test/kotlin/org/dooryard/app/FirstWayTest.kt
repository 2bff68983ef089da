package org.dooryard.app

import org.dooryard.kit.Desk
import org.junit.Assert.assertEquals
import org.junit.Assert.assertTrue
import org.junit.Rule
import org.junit.Test
import org.junit.rules.TemporaryFolder
import org.junit.runner.RunWith

@RunWith(NativeCoreRunner::class)
class FirstWayTest {
    @get:Rule val folder = TemporaryFolder()

    private fun stage(): Stage {
        RehearsalApp.desk = Desk(folder.root.toPath().resolve("office"))
        return Stage()
    }

    @Test
    fun theFirstScreenSaysThatNothingWaits() {
        val stage = stage()
        stage.picture("today")
        assertTrue(stage.words, "Nothing on this phone waits" in stage.words)
    }

    @Test
    fun aStopTakesTheScreenAndIsReadBeforeAnythingElse() {
        val stage = stage().tap(R.string.someone_asks)
        stage.picture("ask")
        stage.tap("Yes")
        stage.picture("stop")
        assertTrue(stage.words, stage.activity.getString(R.string.have_read) in stage.words)
        stage.back()
        assertTrue(stage.words, stage.activity.getString(R.string.read_stop) in stage.words)
        stage.picture("ask-held")
        stage.tap(R.string.read_stop).tap(R.string.have_read)
        stage.picture("ask-second")
        repeat(3) { stage.tap("No") }
        stage.picture("ask-fields")
        stage.type("words", "Spots on the low leaves")
        stage.recreate()
        assertEquals("Spots on the low leaves", stage.field("words").text.toString())
        stage.picture("ask-typed")
    }
}
