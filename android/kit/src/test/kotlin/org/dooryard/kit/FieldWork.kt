package org.dooryard.kit

import org.dooryard.core.FieldNotebook
import org.dooryard.core.Kind
import org.dooryard.core.ListRequest
import org.dooryard.core.NamedValueView
import org.dooryard.core.ProgressListener
import org.dooryard.core.RecordId
import org.dooryard.core.RecordView
import java.nio.file.Path

/** What a scout saves in one yard. */
class FieldWork(val inquiry: RecordId, val photo: RecordId, val finding: RecordId)

/** One inquiry with a plant, a visit, a photo and a finding. */
fun lookAtAMaple(notebook: FieldNotebook, scout: String): FieldWork {
    val inquiry = notebook.save(
        Kind.INQUIRY, null,
        """{"channel": "yard", "taken_by": "$scout", "language": "es", "opened": "2026-06-14T10:40:00-05:00[America/Chicago]",
            "question": "¿Por qué tiene manchas la hoja? 🍁", "summary": "Round spots on a maple, $scout"}""",
    )
    val plant = notebook.save(
        Kind.PLANT, null, """{"inquiry": "$inquiry", "host": "maple", "host_comfort": 3, "affected": 1, "present": 4}""",
    )
    val visit = notebook.save(
        Kind.VISIT, null,
        """{"inquiry": "$inquiry", "observer": "$scout", "start": "2026-06-14T10:41:00-05:00[America/Chicago]",
            "minutes": 12, "plants_looked_at": 4}""",
    )
    val photo = notebook.addPhoto(
        leafPhoto.toString(), """{"part": "close_up", "plant": "$plant", "visit": "$visit", "inquiry": "$inquiry"}""",
    )
    val finding = notebook.save(
        Kind.FINDING, null,
        """{"plant": "$plant", "visit": "$visit", "character": "leaf_spot", "state": "round", "status": "seen",
            "comfort": 2, "method": "lens", "photos": ["$photo"]}""",
    )
    return FieldWork(inquiry, photo, finding)
}

/** Remembers each step that it was told of. */
class Steps(private val then: (Long) -> Unit = {}) : ProgressListener {
    val seen = mutableListOf<Pair<Long, Long>>()

    override fun onProgress(done: Long, total: Long) {
        seen += done to total
        then(done)
    }
}

fun RecordView.text(field: String): String? = fields.firstOrNull { it.name == field }?.shown?.text

fun List<NamedValueView>.text(field: String): String? = firstOrNull { it.name == field }?.text

/** Every record that a notebook shows, deleted ones too. */
fun everything(notebook: FieldNotebook): Map<RecordId, RecordView> =
    notebook.list(ListRequest(withHidden = true, limit = 1000u)).rows.associate { it.id to notebook.show(it.id) }

/** The photos and thumbnails that records name. */
fun photosOf(records: Map<RecordId, RecordView>): Set<String> =
    records.values.flatMap { listOf(it.text("image"), it.text("thumbnail")) }.filterNotNull().toSet()

/** The photos and thumbnails that stand in a notebook's folder. */
fun photosIn(folder: Path): Set<String> = folder.resolve("photos").toFile().walk().filter { it.isFile }.map { it.name }.toSet()

/** Every file under a folder with its bytes, but for the locks that stand beside an open database. */
fun filesOf(folder: Path): Map<String, List<Byte>> =
    folder.toFile().walk().filter { it.isFile && !it.name.endsWith("-shm") }.associate { it.path to it.readBytes().toList() }

/** Removes everything of a notebook but its key. */
fun loseAllButTheKey(folder: Path) {
    folder.toFile().listFiles()!!.filter { it.name != "local" }.forEach { it.deleteRecursively() }
}
