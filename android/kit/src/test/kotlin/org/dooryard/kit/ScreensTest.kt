package org.dooryard.kit

import org.dooryard.core.CancelToken
import org.dooryard.core.ChangeListener
import org.dooryard.core.FieldNotebook
import org.dooryard.core.Here
import org.dooryard.core.InquiryFilter
import org.dooryard.core.Language
import org.dooryard.core.MapShapeKind
import org.dooryard.core.NotebookException
import org.dooryard.core.Reader
import org.dooryard.core.Screen
import org.dooryard.core.Screens
import org.dooryard.core.Units
import org.dooryard.core.Way
import org.dooryard.core.eraseNotebook
import org.junit.jupiter.api.Assertions.assertEquals
import org.junit.jupiter.api.Assertions.assertFalse
import org.junit.jupiter.api.Assertions.assertNotNull
import org.junit.jupiter.api.Assertions.assertNull
import org.junit.jupiter.api.Assertions.assertThrows
import org.junit.jupiter.api.Assertions.assertTrue
import org.junit.jupiter.api.Test
import org.junit.jupiter.api.io.TempDir
import java.nio.file.Files
import java.nio.file.Path

class ScreensTest {
    @TempDir lateinit var dir: Path

    private val desk by lazy { Desk(dir.resolve("office")) }
    private val secrets = MemorySecrets()
    private val english = Reader(Language.EN, Units.CUSTOMARY, "America/Chicago")
    private val pack = goldenFiles.resolveSibling("packs").resolve("landscape").toString()

    private fun file(name: String): String = dir.resolve(name).toString()

    private fun <T> screens(notebook: FieldNotebook, work: (Screens) -> T): T =
        Screens.open(notebook, pack, english).use(work)

    @Test
    fun aWholeInquiryGoesFromTheFirstTapToTheOfficeAndTheReplyIsTold() =
        desk.newPhone(dir.resolve("phone"), "Scout 7", secrets).use { notebook ->
            screens(notebook) { s ->
                assertTrue(s.inquiries(InquiryFilter.ALL, "", "", 20u).none.isNotEmpty())
                val inquiry = s.begin("yard")
                val asked = s.answerQuestion(inquiry, "ate_or_touched", "no")
                assertEquals(1u, asked.step)
                s.write(inquiry, "words", "Spots on the low leaves", false)
                val plant = assertNotNull(s.writePlant(inquiry, null, "host", "tomato_family", true).plant).let {
                    s.inquiry(inquiry).plants.single().plant
                }
                val look = checkNotNull(s.look(inquiry, plant, "", "").look)
                assertEquals(listOf("unclear", "unlooked"), look.answers.takeLast(2).map { it.mark })
                val next = s.answer(inquiry, plant, look.character, listOf("could_not_tell"), listOf(), 2u)
                assertTrue(next.halts.isEmpty() && next.look?.character != look.character)
                val shot = s.expectShot(inquiry, plant, "close_up", "coin", "")
                Files.copy(leafPhoto, Path.of(shot.path))
                val taken = s.takeShot().shots.first { it.part == "close_up" }.photos.single()
                assertTrue(Files.exists(Path.of(taken.path)) && Files.exists(Path.of(taken.small)))
                s.setPlace(inquiry, 43.5, -87.0, 6.0)
                val place = s.place(inquiry, 400f, 600f, Here(43.5, -87.001, 8.0))
                assertEquals(3, place.scene.shapes.count { it.kind == MapShapeKind.RING })
                s.movePin(inquiry, place.scene, 210f, 300f)
                assertTrue(s.think(inquiry, plant).content.startsWith("landscape"))
                s.told(inquiry, plant, "spoken", true, "")
                val paths = s.letterFiles(inquiry, plant, "en", file("share"))
                assertTrue(paths.all { Files.size(Path.of(it)) > 500 })
                val made = s.handOver(file("one.yard"))
                assertFalse(made.more)
                assertEquals(Way.HANDED_OVER, s.inquiry(inquiry).way)
                desk.takeIn(dir.resolve("one.yard"))
                desk.reply("Scout 7", dir.resolve("reply.yard"))
                val told = s.takeReply(file("reply.yard"))
                assertTrue(told.lines.first().startsWith("The office has"), told.lines.toString())
                assertEquals(Way.OFFICE_HAS_IT, s.inquiry(inquiry).way)
                assertTrue(desk.records().contains(inquiry))
            }
        }

    @Test
    fun whatIsTypedAndWhereOneWasAreThereAfterTheAppWasKilled() {
        val inquiry = desk.newPhone(dir.resolve("phone"), "Scout 7", secrets).use { notebook ->
            screens(notebook) { s ->
                s.begin("").also {
                    s.write(it, "words", "Curled le", false)
                    s.keepPlace(Screen.ASK, it, null, "")
                }
            }
        }
        FieldNotebook.open(file("phone"), secrets).use { notebook ->
            screens(notebook) { s ->
                val home = s.today()
                assertEquals(inquiry, home.resume?.inquiry)
                assertEquals("Curled le", s.ask(inquiry).fields.first { it.name == "words" }.text)
                s.setReader(Reader(Language.ES, Units.METRIC, "America/Chicago"))
                assertTrue(s.today().waiting.contains("consulta"))
                s.pause()
                assertEquals("Curled le", notebook.show(inquiry).text("question"))
            }
        }
    }

    @Test
    fun whoListensIsToldAfterEachActUntilTheHandleIsCancelled() =
        desk.newPhone(dir.resolve("phone"), "Scout 7", secrets).use { notebook ->
            screens(notebook) { s ->
                var heard = 0
                val handle = s.listen(object : ChangeListener {
                    override fun onChange() {
                        heard += 1
                    }
                })
                val inquiry = s.begin("")
                s.write(inquiry, "wish", "know", true)
                s.today()
                assertEquals(2, heard, "reading is no change")
                handle.cancel()
                s.takeAway(inquiry)
                assertEquals(2, heard)
                assertEquals(inquiry, s.bin("", 20u).rows.single().record)
            }
        }

    @Test
    fun longWorkTellsItsStepsAndIsStopped() =
        desk.newPhone(dir.resolve("phone"), "Scout 7", secrets).use { notebook ->
            screens(notebook) { s ->
                val inquiry = s.begin("")
                s.importPhoto(inquiry, null, "site", "", leafPhoto.toString())
                val steps = Steps()
                assertTrue(s.backUp(file("backup"), null, steps).isNotEmpty())
                assertTrue(steps.seen.isNotEmpty())
                CancelToken().use { token ->
                    token.cancel()
                    assertThrows(NotebookException.Cancelled::class.java) { s.handOver(file("no.yard"), token) }
                }
                assertFalse(Files.exists(dir.resolve("no.yard")))
            }
        }

    @Test
    fun firstRunNeedsNoOfficeAndErasingLeavesNoNotebook() {
        val folder = file("phone")
        FieldNotebook.create(folder, secrets).use { notebook ->
            screens(notebook) { s ->
                assertTrue(s.first().words.isEmpty())
                val inquiry = s.begin("")
                s.importPhoto(inquiry, null, "site", "", leafPhoto.toString())
                assertThrows(NotebookException.NotEnrolled::class.java) { s.handOver(file("early.yard")) }
                val code = s.readCode(desk.invite("Scout 9"))
                assertEquals(6, code.words.size)
                assertTrue(code.toConfirm)
                notebook.join(desk.invite("Scout 9"))
                assertEquals(inquiry, s.inquiry(inquiry).inquiry)
                assertTrue(Files.exists(Path.of(s.handOver(file("now.yard")).path)))
                val second = s.inquiry(s.again(inquiry))
                assertTrue(second.unfinished && second.photos.isEmpty() && second.overTime.isEmpty())
                assertNull(s.pendingShot())
                s.pause()
            }
            notebook.shutdown()
        }
        eraseNotebook(folder)
        assertThrows(NotebookException.NotFound::class.java) { FieldNotebook.open(folder, secrets) }
    }
}
