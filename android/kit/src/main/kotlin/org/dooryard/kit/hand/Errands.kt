package org.dooryard.kit.hand

import org.dooryard.core.CancelToken
import org.dooryard.core.FieldNotebook
import org.dooryard.core.HandedOver
import org.dooryard.core.LetGone
import org.dooryard.core.NotebookException
import org.dooryard.core.RecordId
import org.dooryard.core.eraseNotebook
import org.dooryard.kit.Answer
import org.dooryard.kit.Core
import org.dooryard.kit.Opened
import org.dooryard.kit.Outside
import org.dooryard.kit.TroubleKind
import org.dooryard.kit.join.Joining
import org.dooryard.kit.join.Picture
import org.dooryard.kit.join.Qr
import java.io.File
import java.util.UUID

/** What is kept outside the notebook or brought into it. */
enum class Keeping { BACKUP, BRING_BACK, OWN_DATA_OUT, OWN_DATA_IN }

/** What came of it, in the core's own sentences. */
data class Kept(val what: Keeping, val lines: List<String>)

/** One inquiry as a file, with what is in it in the core's own sentences. */
data class OneFile(val inquiry: RecordId, val file: File, val lines: List<String>)

/** What stood in a picture. */
data class Seen(val code: String?)

/**
 * The long work of the app and the folders that it goes through. [passing] holds files only while they are copied in or out,
 * [notebook] is the notebook's own folder, [code] the file of a code that is being typed, [scan] the picture of one.
 */
class Errands(
    private val core: Core,
    val outbox: Outbox,
    private val passing: File,
    private val notebook: File,
    code: File,
    private val scan: File,
    private val openWithNewKey: () -> FieldNotebook,
) {
    /** Making the file for the office. */
    val made = Work<HandedOver>(core)

    /** Copying it to a place that somebody chose. */
    val saved = Work<Unit>(core)

    /** Making a file of one inquiry. */
    val one = Work<OneFile>(core)

    /** Copying that to a place. */
    val oneSaved = Work<Unit>(core)

    /** Taking in what the office sent. */
    val taken = Work<Taken>(core)

    /** Backups and one's own data. */
    val kept = Work<Kept>(core)

    /** Which of these it is. */
    var keeping: Keeping? = null
        private set

    /** Letting go of what is safe at the office. */
    val letGo = Work<LetGone>(core)

    /** Letting photos go at once, so that there is room. */
    val freed = Work<List<String>>(core)

    /** Looking for a code in a picture. */
    val seen = Work<Seen>(core)

    /** The code that somebody is typing. */
    val joining = Joining(code)

    private val all = listOf(made, saved, one, oneSaved, taken, kept, letGo, freed, seen)

    /** Makes the file for the office. */
    fun makeFile() {
        saved.clear()
        made.begin { token, listener -> screens.handOver(outbox.fresh().path, token, listener) }
    }

    /** Makes a file of one inquiry. */
    fun writeOne(inquiry: RecordId) {
        oneSaved.clear()
        one.begin { token, listener ->
            val file = outbox.freshInquiry()
            OneFile(inquiry, file, screens.writeInquiry(inquiry, file.path, token, listener))
        }
    }

    /** Copies it to a place. */
    fun saveOne(one: OneFile, to: Sink) = oneSaved.begin { token, _ ->
        to.take(one.file.takeIf { it.exists() } ?: throw Outside(TroubleKind.GONE), token)
    }

    /** Copies the file for the office that was made last to a place. */
    fun saveFile(to: Sink) = saved.begin { token, _ ->
        to.take(outbox.newest() ?: throw Outside(TroubleKind.GONE), token)
    }

    private val waiting = ArrayDeque<Source>()

    /** Another file of the office waits until what came of the one before was read. */
    val anotherWaits: Boolean get() = waiting.isNotEmpty()

    /** Takes in a file of the office; after the one before it, where somebody has not read yet what came of that. */
    fun takeIn(from: Source) {
        if (taken.stage is Stage.Idle) take(from) else waiting += from
    }

    /** What came of a file was read: the next one, where one waits. */
    fun takenSeen() {
        taken.clear()
        if (taken.stage is Stage.Idle) waiting.removeFirstOrNull()?.let { take(it) }
    }

    private fun take(from: Source) = taken.begin { token, listener ->
        passing { file ->
            from.bringTo(file, token)
            try {
                takeFile(file, from, token, listener)
            } finally {
                // Also of a reply that is refused, such as an older one, the erasures hold.
                heed(this)
            }
        }
    }

    /** Writes a backup, or one's own data, to a place that somebody chose. */
    fun keep(what: Keeping, to: Sink) {
        if (kept.runs) return
        keeping = what
        kept.begin { token, listener ->
            passing { file ->
                val lines = try {
                    if (what == Keeping.BACKUP) screens.backUp(file.path, token, listener)
                    else screens.writeOwnData(file.path, token, listener)
                } catch (e: NotebookException) {
                    to.discard()
                    throw e
                }
                to.take(file, token)
                Kept(what, lines)
            }
        }
    }

    /** Brings a backup back, or one's own data. */
    fun bring(what: Keeping, from: Source) {
        if (kept.runs) return
        keeping = what
        kept.begin { token, listener ->
            passing { file ->
                from.bringTo(file, token)
                try {
                    val lines = if (what == Keeping.BRING_BACK) screens.mergeBackup(file.path, token, listener)
                    else screens.bringOwnData(file.path, token, listener)
                    Kept(what, lines)
                } finally {
                    heed(this)
                }
            }
        }
    }

    /** Lets photos go that are safe at the office. */
    fun freeRoom() = freed.begin { token, listener -> screens.letGo(token, listener) }

    /** Copies the damaged records that were set aside to a place. */
    fun saveDamaged(file: File, to: Sink, then: (Answer<Unit>) -> Unit) =
        core.beside({ CancelToken().use { to.take(file, it) } }, then)

    /** Looks for a code in a picture, and takes the picture away. */
    fun look(at: Picture) = seen.begin { _, _ -> Seen(at.luminance()?.let { Qr.read(it) }) }

    /** Once as the app starts: what is old or was left halfway goes. */
    fun start() {
        outbox.tidy()
        passing.deleteRecursively()
    }

    /**
     * Takes away what was given out where something was erased since: after whatever can bring an erasure, and once a notebook is
     * opened, since the app may have been killed in between. Called where the notebook is asked.
     */
    fun heed(opened: Opened) {
        val gone = try {
            with(opened) { outbox.heed(notebook) }
        } catch (_: NotebookException) {
            // What cannot be taken away now is at the next start.
            false
        }
        if (gone) core.beside({}) { listOf(made, saved, one, oneSaved).forEach { it.clear() } }
    }

    /** Goes on with the records of a notebook whose key is gone for good. The next question opens it, and the office takes it on again. */
    fun newKey(then: (Answer<Unit>) -> Unit) = core.closed({ openWithNewKey().use { it.shutdown() } }, then)

    /**
     * Sets a notebook that does not open aside, whole, so that the next question begins a new one. Nothing of it is deleted: it is on
     * this phone until everything is erased.
     */
    fun setAside(then: (Answer<Unit>) -> Unit) = core.closed({
        val place = generateSequence(1) { it + 1 }.map { File(notebook.parentFile, "$ASIDE$it") }.first { !it.exists() }
        if (!notebook.renameTo(place)) throw Outside(TroubleKind.STORAGE)
    }, then)

    /** Notebooks that were set aside. */
    private val aside: List<File>
        get() = notebook.parentFile?.listFiles { file -> file.name.startsWith(ASIDE) }.orEmpty().toList()

    /** Erases the notebook and every file that the app made of it. */
    fun erase(then: (Answer<Unit>) -> Unit) {
        all.forEach { it.stop() }
        waiting.clear()
        core.closed({
            for (folder in aside + notebook) {
                try {
                    eraseNotebook(folder.path)
                } catch (_: NotebookException.NotFound) {
                    // Erased already: the rest is left to do.
                }
            }
            aside.forEach { it.deleteRecursively() }
            outbox.empty()
            passing.deleteRecursively()
            scan.delete()
            joining.forget()
        }) { answer ->
            all.forEach { it.clear() }
            then(answer)
        }
    }

    private fun <T> passing(work: (File) -> T): T {
        passing.mkdirs()
        val file = File(passing, UUID.randomUUID().toString())
        try {
            return work(file)
        } finally {
            file.delete()
        }
    }

    private companion object {
        const val ASIDE = "set-aside-"
    }
}
