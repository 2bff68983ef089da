package org.dooryard.kit.tell

import org.dooryard.core.FieldNotebook
import org.dooryard.core.Kind
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
import java.io.File
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

/**
 * This notebook in [phone] and one that was brought back from its copy write otherwise about how many plants show it and how long a
 * visit took: 12 here, 9 there. What the other one wrote is merged into this one.
 */
fun FieldNotebook.disagree(walked: Walked, phone: File, secrets: MemorySecrets) {
    val (copy, theirs) = listOf("copy", "theirs").map { phone.resolveSibling(it).path }
    val other = phone.resolveSibling("other")
    val visit = save(Kind.VISIT, null, """{"inquiry": "${walked.inquiry}"}""")
    val writes: FieldNotebook.(Int) -> Unit = { n ->
        save(Kind.PLANT, walked.plant, """{"affected": $n}""")
        save(Kind.VISIT, visit, """{"minutes": $n}""")
    }
    backUp(copy)
    phone.resolve("local").copyRecursively(other.resolve("local"))
    FieldNotebook.restoreBackup(other.path, copy, secrets).use {
        it.writes(9)
        it.backUp(theirs)
    }
    writes(12)
    mergeBackup(theirs)
}

private val pack = checkNotNull(System.getProperty("dooryard.pack"))
private val english = Reader(Language.EN, Units.CUSTOMARY, "America/Chicago")

/** Presenters over the real core, with a main thread that the test turns by hand. */
class Bench(dir: Path) {
    private val main = LinkedBlockingQueue<Runnable>()
    private val desk = Desk(dir.resolve("office"))
    private val clock = StageClock.at(MONDAY)
    val secrets = MemorySecrets()
    val phone: File = dir.resolve("phone").toFile()

    val core = Core(main::add) {
        val notebook = FieldNotebook.rehearse(phone.path, secrets, clock, 7uL)
        notebook.join(desk.invite("Scout 3"))
        Opened(notebook, Screens.open(notebook, pack, english))
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

    /** Does this on the notebook itself. */
    fun <T> onNotebook(what: FieldNotebook.() -> T): T {
        var answer: Answer<T>? = null
        core.askNotebook(what) { answer = it }
        settle()
        return (answer as Answer.Done<T>).value
    }

    private var copies = 0

    /** What another start of the app finds, were it taken out of memory after the next question: a copy of what is on the disk then. */
    fun <T> killed(what: Screens.() -> T): T {
        on { first() }
        val copy = phone.resolveSibling("copy-${copies++}")
        phone.copyRecursively(copy)
        return FieldNotebook.rehearse(copy.path, secrets, clock, 8uL).use { Screens.open(it, pack, english).what() }
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
