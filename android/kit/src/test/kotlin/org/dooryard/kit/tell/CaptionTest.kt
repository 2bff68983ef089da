package org.dooryard.kit.tell

import org.dooryard.kit.Place
import org.dooryard.kit.leafPhoto
import org.dooryard.kit.shots.PhotoPresenter
import org.junit.jupiter.api.Assertions.assertEquals
import org.junit.jupiter.api.Test
import org.junit.jupiter.api.io.TempDir
import java.nio.file.Path

class CaptionTest {
    @TempDir lateinit var dir: Path
    private val bench by lazy { Bench(dir) }

    @Test
    fun theWordsToAPhotoAreKeptAsTheyAreTypedAndReadForDangerWhenTheyAreLeft() {
        val walked = bench.on { walkedTomato() }
        val shots = bench.on { importPhoto(walked.inquiry, walked.plant, "whole", "", leafPhoto.toString()) }
        val id = shots.shots.flatMap { it.photos }.single().id
        bench.go(Place.Inquiry(walked.inquiry), Place.Photo(id))
        val shown = { bench.shown(PhotoPresenter(bench.core, bench.trail, bench.undoing, id)) }
        shown().typed("Rings, like a ta")
        assertEquals("Rings, like a ta", bench.killed { photo(id) }.card.caption)
        val screen = shown()
        assertEquals("Rings, like a ta", screen.state?.card?.caption)
        with(bench) { screen.does { left("A wire hangs in it") } }
        assertEquals(Place.Stop(walked.inquiry), bench.trail.here)
    }
}
