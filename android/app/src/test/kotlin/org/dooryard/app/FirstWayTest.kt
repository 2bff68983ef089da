package org.dooryard.app

import org.junit.Assert.assertEquals
import org.junit.Assert.assertTrue
import org.junit.Test
import org.junit.runner.RunWith

@RunWith(NativeCoreRunner::class)
class FirstWayTest {


    @Test
    fun theFirstScreenSaysThatNothingWaits() {
        val stage = Stage()
        assertTrue(stage.words, "Nothing on this phone waits" in stage.words)
    }

    @Test
    fun aStopTakesTheScreenAndIsReadBeforeAnythingElse() {
        val stage = Stage().tap(R.string.someone_asks)
        stage.tap("Yes")
        assertTrue(stage.words, stage.activity.getString(R.string.have_read) in stage.words)
        stage.back()
        assertTrue(stage.words, stage.activity.getString(R.string.read_stop) in stage.words)
        stage.tap(R.string.read_stop).tap(R.string.have_read).tap(R.string.have_read)
        repeat(3) { stage.tap("No") }
        stage.type("words", "Spots on the low leaves")
        stage.recreate()
        assertEquals("Spots on the low leaves", stage.field("words").text.toString())
    }
}
