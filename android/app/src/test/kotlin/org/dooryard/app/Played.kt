package org.dooryard.app

import org.dooryard.core.Screens
import org.dooryard.kit.Answer
import java.io.File
import java.nio.file.Files

/** A notebook with a morning's work in it, played through the core as the screens do, the same each time. */
class Played(stage: Stage) {
    /** A tomato in the yard: looked at, photographed, told. */
    lateinit var tomato: String
    lateinit var plant: String
    lateinit var photo: String

    /** Somebody asks by telephone; a stop stands on it that nobody read. */
    lateinit var stopped: String

    /** One that was begun, with long words in it. */
    lateinit var long: String

    init {
        val clock = stage.app.clock
        fun at(minutes: Int) = clock.set(RehearsalApp.START_MS + minutes * MINUTE_MS)
        stage.does {
            at(-90)
            long = begin("phone")
            safe(long)
            write(long, "words", LONG.trim(), true)
            // The words are read for danger: what they raised is read here, as somebody does.
            stops(long).unread.forEach { readStop(long, it.id) }
            at(-60)
            stopped = begin("phone")
            answerQuestion(stopped, ask(stopped).questions.first().id, "yes")
            at(-40)
            tomato = begin("yard")
            safe(tomato)
            write(tomato, "words", "Spots on the low leaves, and they drop.", true)
            writePlant(tomato, null, "host", "tomato_family", true)
            plant = inquiry(tomato).plants.single().plant
            writePlace(tomato, "township", place(tomato, 1f, 1f, null).townships.firstOrNull() ?: "Sedge", true)
            setPlace(tomato, 43.5, -87.0, 6.0)
            at(-30)
            repeat(LOOKS) {
                at(-30 + it)
                val asked = look(tomato, plant, "", "").look ?: return@repeat
                val seen = asked.answers.first()
                answer(tomato, plant, asked.character, listOf(if (it % 2 == 0) seen.id else "could_not_tell"), listOf(), 2u)
            }
            at(-20)
            val shot = expectShot(tomato, plant, "close_up", "coin", "")
            Files.copy(leaf, File(shot.path).toPath())
            photo = takeShot().shots.first { it.part == "close_up" }.photos.single().id
            listOf("underside", "site").forEachIndexed { n, shows ->
                at(-19 + n)
                importPhoto(tomato, plant, shows, "", leaf.toString())
            }
            movePhoto(photo, false)
            at(-10)
            askLater(tomato, "2026-07-27", "Did it spread to the upper leaves?")
            told(tomato, plant, "spoken", true, "")
            leavePlace()
            at(0)
        }
    }

    private fun Screens.safe(inquiry: String) = ask(inquiry).questions.forEach { answerQuestion(inquiry, it.id, "no") }

    companion object {
        private const val MINUTE_MS = 60_000L
        private const val LOOKS = 6
        private val leaf = File(checkNotNull(System.getProperty("dooryard.photo"))).toPath()
        private const val LONG = """
The arborvitae along the drive are brown on the side of the road, from the bottom up. They were planted the year the house was
built and watered for two summers. The ones behind the house look well.
"""
    }
}

/** Does this on the notebook's thread and waits for it. */
fun <T : Any> Stage.does(what: Screens.() -> T): T {
    var came: T? = null
    app.core.ask(what) {
        came = when (it) {
            is Answer.Done -> it.value
            is Answer.Not -> error("${it.trouble}")
        }
    }
    settle()
    return checkNotNull(came) { "no answer" }
}
