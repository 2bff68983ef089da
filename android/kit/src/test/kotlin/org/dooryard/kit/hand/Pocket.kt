package org.dooryard.kit.hand

import org.dooryard.core.EnrolmentView
import org.dooryard.core.FieldNotebook
import org.dooryard.core.Language
import org.dooryard.core.NotebookException
import org.dooryard.core.Reader
import org.dooryard.core.RecordId
import org.dooryard.core.Screens
import org.dooryard.core.Units
import org.dooryard.kit.Answer
import org.dooryard.kit.Core
import org.dooryard.kit.Desk
import org.dooryard.kit.MemorySecrets
import org.dooryard.kit.Opened
import org.dooryard.kit.Presenter
import org.dooryard.kit.Trail
import org.dooryard.kit.goldenFiles
import org.dooryard.kit.leafPhoto
import java.io.ByteArrayInputStream
import java.io.File
import java.io.FileOutputStream
import java.io.OutputStream
import java.nio.file.Path
import java.util.concurrent.ConcurrentLinkedQueue

/** The pack that every phone of a test has with it, as a folder. */
val landscape: Path = goldenFiles.resolveSibling("packs").resolve("landscape")

/** A phone in somebody's pocket: the app without its screen. Answers are taken in by [settle]. */
class Pocket(private val dir: Path, private val name: String, private val pack: Path = landscape) : AutoCloseable {
    private val queue = ConcurrentLinkedQueue<Runnable>()
    private val secrets = MemorySecrets()

    val folder: File = file("notebook")
    val passing: File = file("passing")
    val shared: File = file("shared")
    var now = System.currentTimeMillis()
    val core = Core({ queue.add(it) }, ::open)
    val trail = Trail(core)
    var errands = errands()
        private set

    fun file(of: String): File = dir.resolve("$name-$of").toFile()

    private fun errands() = Errands(core, Outbox(shared) { now }, passing, folder, file("code"), file("scan")) {
        FieldNotebook.openWithNewKey(folder.path, secrets)
    }

    private fun open(): Opened {
        val notebook = try {
            FieldNotebook.open(folder.path, secrets)
        } catch (_: NotebookException.NotFound) {
            FieldNotebook.create(folder.path, secrets)
        }
        val screens = Screens.open(notebook, pack.toString(), Reader(Language.EN, Units.CUSTOMARY, "America/Chicago"))
        return Opened(notebook, screens).also { errands.heed(it) }
    }

    /** Waits until everything asked is done and told. */
    fun settle() {
        repeat(6) {
            core.settle()
            while (true) (queue.poll() ?: break).run()
        }
    }

    /** Shows a screen and waits for it. */
    fun <P : Presenter<*>> show(presenter: P): P {
        presenter.start()
        settle()
        return presenter
    }

    /** What a call gives. */
    fun <T> told(what: Screens.() -> T): T {
        var told: Answer<T>? = null
        core.ask(what) { told = it }
        settle()
        return (told as? Answer.Done<T> ?: error("not done: $told")).value
    }

    /** What a call on the notebook gives. */
    fun <T> asked(what: FieldNotebook.() -> T): T {
        var told: Answer<T>? = null
        core.askNotebook(what) { told = it }
        settle()
        return (told as? Answer.Done<T> ?: error("not done: $told")).value
    }

    /** Becomes one of the office's phones, by texts. */
    fun joins(desk: Desk, label: String) {
        val asking = asked { join(desk.invite(label)) } as EnrolmentView.Asking
        asked { takeAnswer(desk.admit(asking.ask)) }
    }

    /** Somebody asks about a plant and shows a photo. */
    fun takesAnInquiry(words: String): RecordId = told {
        begin("yard").also {
            write(it, "words", words, true)
            importPhoto(it, null, "site", "", leafPhoto.toString())
        }
    }

    /** The app is killed and started again: what was in memory is gone. */
    fun killed() {
        core.close {}
        settle()
        errands = errands()
    }

    override fun close() {
        core.close {}
        settle()
    }
}

/** A file as another app gives it. */
fun sourceOf(file: File) = Source { file.inputStream() }

fun sourceOf(text: String) = Source { ByteArrayInputStream(text.toByteArray()) }

/** A place that somebody chose; [full] is one without room. */
class Place(val file: File, private val full: Boolean = false) : Sink {
    var discarded = false
        private set

    override fun open(): OutputStream = if (full) FileOutputStream("/dev/full") else file.outputStream()

    override fun discard() {
        discarded = true
        file.delete()
    }
}

/** The trouble at which work stands. */
val Stage<*>.trouble get() = (this as Stage.Stuck).trouble
