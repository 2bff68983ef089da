package org.dooryard.kit.walk

import org.dooryard.core.EnrolmentView
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
import org.dooryard.kit.MemorySecrets
import org.dooryard.kit.Opened
import org.dooryard.kit.Place
import org.dooryard.kit.Presenter
import org.dooryard.kit.Trail
import org.dooryard.kit.Undoing
import org.dooryard.kit.goldenFiles
import org.dooryard.kit.shots.takeLeftShot
import java.nio.file.Path
import java.util.concurrent.ConcurrentLinkedQueue

/** A scout in a yard: the real core on a clock that stands, and a main thread that runs when the test says so. */
class Yard(dir: Path) {
    private val folder = dir.resolve("phone")
    private val secrets = MemorySecrets("yard")
    private val desk = Desk(dir.resolve("office"))
    private val clock = StageClock.at(START_MS)
    private val main = ConcurrentLinkedQueue<Runnable>()
    private var seeds = 0UL

    /** Where photos and shots of the notebook stand. */
    val notebook: Path get() = folder

    var core = open()
        private set
    var undoing = Undoing(core)
        private set

    private fun open() = Core(main::add) {
        seeds += 1UL
        val book = FieldNotebook.rehearse(folder.toString(), secrets, clock, seeds)
        if (book.enrolment() is EnrolmentView.NotInvited) book.join(desk.invite("Scout 3"))
        val pack = goldenFiles.resolveSibling("packs").resolve("landscape").toString()
        Opened(book, Screens.open(book, pack, Reader(Language.EN, Units.CUSTOMARY, "America/Chicago")).also(::takeLeftShot))
    }

    /** Everything that was asked is answered, and what that asked again. */
    fun settle() {
        repeat(TURNS) {
            core.settle()
            while (true) (main.poll() ?: break).run()
        }
    }

    /** Asks the core itself. */
    fun <T> ask(what: Screens.() -> T): T {
        var answer: Answer<T>? = null
        core.ask(what) { answer = it }
        settle()
        return when (val it = checkNotNull(answer)) {
            is Answer.Done -> it.value
            is Answer.Not -> error("${it.trouble}")
        }
    }

    /** The app is taken out of memory, without a word: what was on its way to the screen is gone. */
    fun kill() {
        core.askNotebook({ shutdown() }) {}
        core.settle()
        main.clear()
        core = open()
        undoing = Undoing(core)
    }

    fun inquiry(): RecordId = ask { begin("yard") }

    fun plant(inquiry: RecordId, kind: String = "tomato_family"): RecordId =
        checkNotNull(ask { writePlant(inquiry, null, "host", kind, true) }.plant)

    /** The way to a place. */
    fun trail(to: Place) = Trail(core, listOf(Place.Today.line(), to.line()))

    fun <P : Presenter<*>> shown(presenter: P): P {
        presenter.start()
        settle()
        return presenter
    }

    private companion object {
        const val START_MS = 1_784_561_460_000L
        const val TURNS = 5
    }
}
