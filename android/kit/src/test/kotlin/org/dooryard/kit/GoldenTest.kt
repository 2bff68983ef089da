package org.dooryard.kit

import com.google.gson.Gson
import org.dooryard.core.FieldNotebook
import org.dooryard.core.ListRequest
import org.dooryard.core.NotebookException
import org.dooryard.core.ReplyView
import org.junit.jupiter.api.Assertions.assertEquals
import org.junit.jupiter.api.Assertions.assertThrows
import org.junit.jupiter.api.Assertions.assertTrue
import org.junit.jupiter.api.DynamicTest
import org.junit.jupiter.api.DynamicTest.dynamicTest
import org.junit.jupiter.api.Test
import org.junit.jupiter.api.TestFactory
import org.junit.jupiter.api.io.TempDir
import java.nio.file.Files
import java.nio.file.Path

/** One line of `expected.json`: a reply, those taken before it, and what becomes of it. */
data class Expected(
    val file: String,
    val after: List<String>,
    val code: String?,
    val retry: String?,
    val sentence: String?,
    val number: Long,
    val records: Long,
    val received: Long,
    val photos_received: Long,
    val waiting: List<String>,
    val restored: Boolean,
)

private class ExpectedFile(val to_phone: List<Expected>, val astray: List<Expected>)

/** The golden replies, and what is for the office and came to the phone by mistake, each taken on a copy of the golden phone. */
class GoldenTest {
    @TempDir lateinit var dir: Path

    private val expected: Map<String, List<Expected>> =
        Gson().fromJson(Files.readString(goldenFiles.resolve("expected.json")), ExpectedFile::class.java)
            .let { mapOf("to-phone" to it.to_phone, "to-office" to it.astray) }

    @TestFactory
    fun everyFileHasItsExpectedOutcome(): List<DynamicTest> = expected.flatMap { (from, cases) ->
        cases.mapIndexed { n, case ->
            dynamicTest("$from/${case.file} after ${case.after}") {
                val folder = dir.resolve("$from-$n")
                goldenFiles.resolve("phone").toFile().copyRecursively(folder.toFile())
                FieldNotebook.open(folder.toString(), MemorySecrets()).use { notebook ->
                    val take = { name: String -> notebook.takeReply(goldenFiles.resolve(from).resolve(name).toString()) }
                    case.after.forEach { take(it) }
                    if (case.code == null) assertEquals(case, taken(case, take(case.file)))
                    else refused(case, notebook) { take(case.file) }
                }
            }
        }
    }

    @Test
    fun everyFileIsInTheTable() = expected.forEach { (from, cases) ->
        val there = goldenFiles.resolve(from).toFile().list()!!.toSet()
        assertEquals(there, cases.map { it.file }.toSet())
        assertTrue(there.size > 15)
    }

    private fun taken(case: Expected, reply: ReplyView): Expected {
        return Expected(
            case.file, case.after, null, null, null, reply.number.toLong(), reply.records.toLong(), reply.received.toLong(),
            reply.photosReceived.toLong(), reply.waiting.map { it.code }, reply.restored,
        )
    }

    private fun refused(case: Expected, notebook: FieldNotebook, take: () -> Unit) {
        val before = notebook.list(ListRequest())
        val e = assertThrows(NotebookException.Refused::class.java) { take() }
        assertEquals(listOf(case.code, case.retry, case.sentence), listOf(e.code, e.retry.name.lowercase(), e.sentence.en))
        assertEquals(before, notebook.list(ListRequest()), "nothing was changed")
    }
}
