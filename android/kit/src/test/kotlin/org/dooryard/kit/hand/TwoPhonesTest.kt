package org.dooryard.kit.hand

import org.dooryard.core.Enrolling
import org.dooryard.core.FileKind
import org.dooryard.kit.Desk
import org.dooryard.kit.join.JoinPresenter
import org.dooryard.kit.me.Chosen
import org.dooryard.kit.me.MePresenter
import org.dooryard.kit.Settings
import org.junit.jupiter.api.Assertions.assertEquals
import org.junit.jupiter.api.Assertions.assertTrue
import org.junit.jupiter.api.Test
import org.junit.jupiter.api.io.TempDir
import java.io.File
import java.nio.file.Path

/** Two scouts and their office: what one hands over is never told to the other as theirs, and both see their own pegs move. */
class TwoPhonesTest {
    @TempDir lateinit var dir: Path

    private val desk by lazy { Desk(dir.resolve("office")) }

    private fun Pocket.asks(label: String) {
        val screen = show(JoinPresenter(core, trail, errands))
        screen.paste(desk.invite(label))
        settle()
        screen.join()
        settle()
        assertEquals(Enrolling.ASKING, screen.state!!.screen.standing)
    }

    private fun Pocket.handsOver(): Path {
        val screen = show(HandOverPresenter(core, trail, errands))
        screen.make()
        settle()
        return Path.of((screen.made as Stage.Ended).value.path)
    }

    private fun Pocket.takes(reply: Path): HandOverPresenter {
        val screen = show(HandOverPresenter(core, trail, errands))
        screen.takeIn(sourceOf(reply.toFile()))
        settle()
        return screen
    }

    private fun Pocket.standing(): Enrolling = show(MePresenter(core, trail, AsOnTheFirstDay()) {}).state!!.screen.standing

    private class AsOnTheFirstDay : Chosen {
        override var settings = Settings()
    }

    @Test
    fun bothAreAdmittedByTheirFirstFileAndEachReplyMovesItsOwnPegsOnly() {
        Pocket(dir, "one").use { one ->
            Pocket(dir, "two").use { two ->
                val inquiries = listOf(one to "Scout 1", two to "Scout 2").map { (phone, label) ->
                    phone.asks(label)
                    phone.takesAnInquiry("Spots, $label")
                }
                val files = listOf(one, two).map { it.handsOver() }
                assertTrue(files.map { desk.keepsBack(it) }.all { it == "UNKNOWN_DEVICE" }, "nobody was admitted yet")
                for (phone in listOf(one, two)) desk.admit(phone.told { first() }.ask)
                desk.reply("Scout 1", dir.resolve("one.reply"))
                desk.reply("Scout 2", dir.resolve("two.reply"))

                val handing = one.takes(dir.resolve("two.reply"))
                val wrong = ((handing.taken as Stage.Ended).value as Taken.Held).file
                assertEquals(FileKind.BUNDLE, wrong.kind)
                assertTrue(wrong.held.isNotEmpty(), "for somebody else, and why")
                assertEquals(Enrolling.ASKING, one.standing())
                handing.seen()

                val first = one.takes(dir.resolve("one.reply"))
                assertEquals(listOf(inquiries[0] to 3u), first.state!!.rows.map { it.inquiry to it.step })
                assertEquals(Enrolling.ENROLLED, one.standing())
                assertEquals(listOf(2u), two.show(HandOverPresenter(two.core, two.trail, two.errands)).state!!.rows.map { it.step })

                val second = two.takes(dir.resolve("two.reply"))
                assertTrue(3u in second.state!!.rows.filter { it.inquiry == inquiries[1] }.map { it.step })
                assertTrue(desk.records().containsAll(inquiries))
                assertEquals(emptyList<File>(), one.passing.listFiles()!!.toList())
            }
        }
    }
}
