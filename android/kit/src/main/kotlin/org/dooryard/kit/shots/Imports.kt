package org.dooryard.kit.shots

import org.dooryard.core.NotebookException
import org.dooryard.core.RecordId
import org.dooryard.core.Screens
import org.dooryard.kit.Trouble
import org.dooryard.kit.TroubleKind
import java.io.File
import java.io.IOException
import java.io.InputStream

/** Where a picture of the phone can be read from. */
fun interface Source {
    /** @throws IOException where it is gone, or nobody may read it. */
    fun open(): InputStream
}

/** What came of pictures that were brought in. */
class Imported(
    /** Some could not be read. */
    val unreadable: Boolean,
    /** Why one could not be kept. */
    val trouble: Trouble?,
)

/** Copies pictures one by one into a folder of the app, and has the notebook read each there. Called where long work is done. */
class Imports(private val screens: Screens, private val folder: File) {
    /** Takes in all that can be, as photos of [part] that show [look]; [done] is told how many are behind, and says whether to go on. */
    fun all(
        sources: List<Source>,
        inquiry: RecordId,
        plant: RecordId?,
        part: String,
        look: String,
        done: (Int) -> Boolean,
    ): Imported {
        // What an earlier time left, when the app was killed on the way.
        folder.deleteRecursively()
        folder.mkdirs()
        var unreadable = false
        var trouble: Trouble? = null
        for ((at, source) in sources.withIndex()) {
            val file = File(folder, "$at")
            try {
                if (copy(source, file)) screens.importPhoto(inquiry, plant, part, look, file.path) else unreadable = true
            } catch (e: NotebookException) {
                trouble = Trouble.of(e)
            } catch (_: IOException) {
                trouble = Trouble(TroubleKind.FULL)
            } finally {
                file.delete()
            }
            if (!done(at + 1)) break
        }
        return Imported(unreadable, trouble)
    }

    /** Says no where it cannot be read. */
    private fun copy(source: Source, file: File): Boolean {
        val from = try {
            source.open()
        } catch (_: IOException) {
            return false
        }
        from.use { stream ->
            file.outputStream().use { to ->
                val buffer = ByteArray(CHUNK)
                while (true) {
                    val read = try {
                        stream.read(buffer)
                    } catch (_: IOException) {
                        return false
                    }
                    if (read < 0) return true
                    to.write(buffer, 0, read)
                }
            }
        }
    }

    private companion object {
        const val CHUNK = 1 shl 16
    }
}
