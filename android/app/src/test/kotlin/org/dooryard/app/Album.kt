package org.dooryard.app

import org.junit.Assert.assertEquals
import java.io.File

/** Screens one after the other, each walked through and shown whole as a picture in the folder of pictures, to be looked at. */
class Album(private val stage: Stage, private val name: String, private val sun: Boolean = false) {
    private val problems = ArrayList<String>()

    /** One more: the screen that is shown now. */
    fun page(of: String) {
        Walk(stage, sun).problems().mapTo(problems) { "$name, $of: $it" }
        Sheet.write(stage.whole(1), File(checkNotNull(System.getProperty("dooryard.pictures"))).resolve("$name-$of.png"))
    }

    /** Nothing was wrong with any. */
    fun isWhole() = assertEquals("", problems.joinToString("\n"))
}
