package org.dooryard.kit.hand

import org.dooryard.core.FieldNotebook
import java.io.File
import java.time.Instant
import java.time.ZoneId
import java.time.format.DateTimeFormatter
import java.util.concurrent.TimeUnit

/**
 * The folder of files that a person shares. Whoever was handed one may read it later, such as a mail that waits: so it stays for
 * three days. What is older goes when another file is made, and when the app starts; all of it goes once something is erased.
 */
class Outbox(private val folder: File, private val now: () -> Long = System::currentTimeMillis) {
    /** A place for a new file for the office. */
    fun fresh(): File = fresh(NAME, END)

    /** A place for one inquiry as a file. */
    fun freshInquiry(): File = fresh(ONE, ONE_END)

    private fun fresh(name: String, end: String): File {
        tidy()
        folder.mkdirs()
        val at = Instant.ofEpochMilli(now()).atZone(ZoneId.systemDefault()).format(STAMP)
        return generateSequence(1) { it + 1 }.map { File(folder, "$name-$at${if (it > 1) "-$it" else ""}$end") }.first { !it.exists() }
    }

    /** The file for the office that was made last and is still here. */
    fun newest(): File? = folder.listFiles { file -> file.name.startsWith(NAME) && file.name.endsWith(END) }
        ?.maxWithOrNull(compareBy({ it.lastModified() }, { it.name }))

    /** Takes away what was made more than three days ago. */
    fun tidy() {
        folder.listFiles()?.filter { now() - it.lastModified() > KEPT_MS }?.forEach { it.deleteRecursively() }
    }

    /** Takes everything away where something was erased since that was done last, as the core says. Says whether it did. */
    fun heed(notebook: FieldNotebook): Boolean = notebook.heedGivenOut(folder.path)

    /** Takes everything away. */
    fun empty() {
        folder.listFiles()?.forEach { it.deleteRecursively() }
    }

    private companion object {
        const val NAME = "hand-over"
        const val END = ".yard"
        const val ONE = "inquiry"
        const val ONE_END = ".zip"
        const val KEPT_DAYS = 3L
        val KEPT_MS: Long = TimeUnit.DAYS.toMillis(KEPT_DAYS)
        val STAMP: DateTimeFormatter = DateTimeFormatter.ofPattern("yyyy-MM-dd-HHmm")
    }
}
