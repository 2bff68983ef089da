package org.dooryard.kit.tell

import org.dooryard.core.FieldNotebook
import org.dooryard.core.Language
import org.dooryard.core.Reader
import org.dooryard.core.RecordId
import org.dooryard.core.Screens
import org.dooryard.core.StageClock
import org.dooryard.core.Units
import org.dooryard.kit.Answer
import org.dooryard.kit.Core
import org.dooryard.kit.Desk
import org.dooryard.kit.Jotted
import org.dooryard.kit.MemorySecrets
import org.dooryard.kit.Opened
import org.dooryard.kit.Place
import org.dooryard.kit.Presenter
import org.dooryard.kit.Trail
import org.dooryard.kit.Undoing
import java.nio.file.Path
import java.util.concurrent.LinkedBlockingQueue

/** An inquiry with a plant that somebody looked at. */
class Walked(val inquiry: RecordId, val plant: RecordId)

/** Takes an inquiry about a tomato, walks some looks, and reads the stops that came of it. */
fun Screens.walkedTomato(words: String = "Spots on the low leaves"): Walked {
    val inquiry = begin("phone")
    write(inquiry, "words", words, true)
    return walksTomato(inquiry)
}

/** Walks some looks of a tomato of this inquiry. */
fun Screens.walksTomato(inquiry: RecordId): Walked {
    val plant = checkNotNull(writePlant(inquiry, null, "host", "tomato_family", true).plant)
    repeat(LOOKS) {
        val card = look(inquiry, plant, "", "").look ?: return@repeat
        val seen = card.answers.first { it.mark == "seen" }
        answer(inquiry, plant, card.character, listOf(seen.id), listOf(), 3u)
    }
    stops(inquiry).unread.forEach { readStop(inquiry, it.id) }
    return Walked(inquiry, plant)
}

private const val LOOKS = 8

/** Presenters over the real core, with a main thread that the test turns by hand. */
class Bench(dir: Path) {
    private val main = LinkedBlockingQueue<Runnable>()
    private val pack = checkNotNull(System.getProperty("dooryard.pack"))
    private val desk = Desk(dir.resolve("office"))
    private val clock = StageClock.at(MONDAY)

    val core = Core(main::add) {
        val notebook = FieldNotebook.rehearse(dir.resolve("phone").toString(), MemorySecrets(), clock, 7uL)
        notebook.join(desk.invite("Scout 3"))
        Opened(notebook, Screens.open(notebook, pack, Reader(Language.EN, Units.CUSTOMARY, "America/Chicago")))
    }
    var trail = Trail(core)
        private set
    val undoing = Undoing(core)

    /** Does this on the core and gives what it answers. */
    fun <T> on(what: Screens.() -> T): T {
        var answer: Answer<T>? = null
        core.ask(what) { answer = it }
        settle()
        return (answer as Answer.Done<T>).value
    }

    /** Waits until everything is done and was told. */
    fun settle() = repeat(TURNS) {
        core.settle()
        while (true) (main.poll() ?: break).run()
    }

    /** Brings a screen in sight. */
    fun <P : Presenter<*>> shown(presenter: P): P {
        presenter.start()
        settle()
        return presenter
    }

    /** Does something on a screen and waits for what comes of it. */
    fun <P : Presenter<*>> P.does(what: P.() -> Unit): P {
        what()
        settle()
        return this
    }

    /** The system takes the window away and gives it back: only lines of text come along. */
    fun recreated(): Trail {
        trail = Trail(core, trail.lines, Jotted(trail.jotted.lines))
        return trail
    }

    /** A later day, by so many. */
    fun days(n: Int) = clock.set(MONDAY + n * DAY)

    fun go(vararg places: Place) = places.forEach { trail.go(it) }

    companion object {
        /** Monday 20 July 2026, 10:31 in the county's time. */
        const val MONDAY = 1_784_561_460_000L
        private const val DAY = 86_400_000L
        private const val TURNS = 4
    }
}
