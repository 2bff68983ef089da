package org.dooryard.app.screens

import android.content.Intent
import org.dooryard.app.MainActivity
import org.dooryard.app.R
import org.dooryard.app.ZIP
import org.dooryard.app.choosePlace
import org.dooryard.app.parts.Body
import org.dooryard.app.parts.Boxed
import org.dooryard.app.parts.Heading
import org.dooryard.app.parts.Note
import org.dooryard.app.parts.Part
import org.dooryard.app.parts.Press
import org.dooryard.app.parts.PressKind
import org.dooryard.app.said
import org.dooryard.app.shareFile
import org.dooryard.app.sinkOf
import org.dooryard.kit.hand.OneFilePresenter
import org.dooryard.kit.hand.Stage
import java.io.File

/** One inquiry as a file: what will be in it, making it, giving it away. */
class OneFileView(activity: MainActivity, presenter: OneFilePresenter) : ScreenView<OneFilePresenter>(activity, presenter) {
    override val title get() = word(R.string.tell_as_file)
    private var noApp = false

    override fun parts(): List<Part> {
        val screen = presenter.state ?: return emptyList()
        val running = listOf(presenter.made, presenter.saved).filterIsInstance<Stage.Runs>().firstOrNull()
        if (running != null) return activity.working(word(R.string.hand_writing), running)
        return when (val made = presenter.made) {
            is Stage.Ended -> listOf(Heading(word(R.string.hand_written)), Body(screen.title)) +
                made.value.lines.map { Body(it) } + afterSaving()
            else -> buildList {
                add(Heading(screen.title))
                if (made is Stage.Stuck) add(Boxed(activity.said(made.trouble), live = true))
                add(Body(word(R.string.tell_as_file_what)))
                add(Boxed(word(R.string.tell_as_file_open)))
                add(Note(word(R.string.tell_as_file_office)))
            }
        }
    }

    private fun afterSaving(): List<Part> = when (val saved = presenter.saved) {
        is Stage.Ended -> listOf(Boxed(word(R.string.tell_as_file_saved), live = true))
        is Stage.Stuck -> listOf(Boxed(activity.said(saved.trouble), live = true))
        else -> if (noApp) listOf(Boxed(word(R.string.hand_no_app), live = true)) else emptyList()
    }

    override fun bottom(): List<Part> = buildList {
        val made = presenter.made
        when {
            made is Stage.Runs || presenter.saved is Stage.Runs ->
                add(Press(word(R.string.hand_halt), key = "halt") { presenter.halt() })
            made is Stage.Ended -> {
                addAll(ways(made.value.file))
                add(Press(word(R.string.dismiss), key = "seen") { done() })
                return@buildList
            }
            else -> add(Press(word(R.string.tell_as_file_make), PressKind.MAIN, key = "make") { presenter.make() })
        }
        add(Press(word(R.string.back), key = "back") { back() })
    }

    private fun ways(file: File): List<Press> = listOf(
        Press(word(R.string.hand_share), PressKind.MAIN, key = "share") { activity.shareFile(file, word(R.string.hand_which_way), ZIP) },
        Press(word(R.string.hand_save), key = "save") { ask(activity.choosePlace(SAVE, file.name, ZIP)) },
    )

    /** Back to the inquiry: there is nothing left to do here. */
    private fun done() {
        presenter.seen()
        back()
    }

    private fun ask(asked: Boolean) {
        noApp = !asked
        if (noApp) again()
    }

    override fun came(request: Int, ok: Boolean, data: Intent?) {
        val uri = data?.data ?: return
        if (ok && request == SAVE) presenter.save(activity.sinkOf(uri))
    }

    private companion object {
        const val SAVE = 1
    }
}
