package org.dooryard.app

import org.dooryard.kit.Look
import org.junit.Assert.assertEquals
import org.junit.Assert.assertTrue
import org.junit.Test
import org.junit.runner.RunWith
import org.robolectric.RuntimeEnvironment
import java.io.File

/** Every screen in every way of showing it: walked through, and as on the sheet that is committed. */
@RunWith(NativeCoreRunner::class)
class PicturesTest {
    private val committed = File(checkNotNull(System.getProperty("dooryard.android"))).resolve("../docs/pictures/android-screens.png")
    private val made = File(checkNotNull(System.getProperty("dooryard.pictures"))).resolve("android-screens.png")

    @Test
    fun everyScreenIsWholeForWhoeverReadsItAndLooksAsCommitted() {
        val sheet = Sheet(VARIANTS.map { it.name })
        val problems = ArrayList<String>()
        for (variant in VARIANTS) {
            RuntimeEnvironment.setQualifiers(variant.qualifiers)
            RuntimeEnvironment.setFontScale(variant.type)
            (RuntimeEnvironment.getApplication() as RehearsalApp).wipe()
            val stage = Stage()
            val played = Played(stage)
            stage.app.settings = stage.app.settings.copy(look = variant.look)
            stage.recreate()
            for (sample in samples) {
                sample.show(stage, played)
                stage.settle()
                Walk(stage, variant.look == Look.SUN).problems().mapTo(problems) { "${sample.name}, ${variant.name}: $it" }
                sheet.add(sample.name, variant.name, stage.whole())
            }
            stage.controller.pause().stop().destroy()
        }
        if (System.getenv("UPDATE") == "1") Sheet.write(sheet.drawn(), committed)
        Sheet.write(sheet.drawn(), made)
        val other = Sheet.read(committed)?.let { sheet.differing(it) } ?: listOf("no sheet is committed")
        assertEquals("", problems.joinToString("\n"))
        assertEquals("look at $made, then run with UPDATE=1: $other", emptyList<String>(), other)
        assertTrue(samples.size > 1)
    }

    private class Variant(val name: String, val qualifiers: String, val type: Float = 1f, val look: Look = Look.PHONE)

    private companion object {
        const val SIZE = "w360dp-h780dp"
        const val DOUBLE = 2f
        val VARIANTS = listOf(
            Variant("English", "en-$SIZE-notnight-xhdpi"),
            Variant("Spanish", "es-$SIZE-notnight-xhdpi"),
            Variant("type of 200 %", "en-$SIZE-notnight-xhdpi", type = DOUBLE),
            Variant("dark", "en-$SIZE-night-xhdpi"),
            Variant("sun", "en-$SIZE-notnight-xhdpi", look = Look.SUN),
        )
    }
}
