package org.dooryard.app.screens

import android.content.Intent
import org.dooryard.app.ANY_BYTES
import org.dooryard.app.MainActivity
import org.dooryard.app.R
import org.dooryard.app.ZIP
import org.dooryard.app.chooseFile
import org.dooryard.app.choosePlace
import org.dooryard.app.parts.Body
import org.dooryard.app.parts.Boxed
import org.dooryard.app.parts.Heading
import org.dooryard.app.parts.Note
import org.dooryard.app.parts.Part
import org.dooryard.app.parts.Press
import org.dooryard.app.parts.PressKind
import org.dooryard.app.parts.Section
import org.dooryard.app.said
import org.dooryard.app.sinkOf
import org.dooryard.app.sourceOf
import org.dooryard.kit.hand.Keeping
import org.dooryard.kit.hand.Stage
import org.dooryard.kit.me.BackupPresenter

/** Backups, and one's own data in files that any computer reads: out and in. */
class BackupView(activity: MainActivity, presenter: BackupPresenter) : ScreenView<BackupPresenter>(activity, presenter) {
    override val title get() = word(R.string.hand_backup)
    private var noApp = false

    override fun parts(): List<Part> {
        val screen = presenter.state ?: return emptyList()
        val out = presenter.keeping == Keeping.BACKUP || presenter.keeping == Keeping.OWN_DATA_OUT
        return when (val stage = presenter.stage) {
            is Stage.Runs -> activity.working(word(if (out) R.string.hand_writing else R.string.hand_bringing), stage)
            is Stage.Ended -> listOf(Heading(word(if (out) R.string.hand_written else R.string.hand_brought))) +
                stage.value.lines.map { Body(it) }
            else -> buildList {
                add(Heading(screen.last))
                if (screen.due.isNotEmpty()) add(Boxed(screen.due))
                if (stage is Stage.Stuck) add(Boxed(activity.said(stage.trouble), live = true))
                if (noApp) add(Boxed(word(R.string.hand_no_app), live = true))
                screen.notes.forEach { add(Note(it)) }
                add(Press(word(R.string.hand_backup_bring), key = "bring") { ask(activity.chooseFile(BRING)) })
                add(Section(word(R.string.hand_own_data)))
                screen.ownData.forEach { add(Note(it)) }
                add(Press(word(R.string.hand_own_data_write), key = "out") { ask(activity.choosePlace(OWN_OUT, OWN_NAME, ZIP)) })
                add(Press(word(R.string.hand_own_data_bring), key = "in") { ask(activity.chooseFile(OWN_IN)) })
            }
        }
    }

    override fun bottom(): List<Part> = buildList {
        when (presenter.stage) {
            is Stage.Runs -> add(Press(word(R.string.hand_halt), key = "halt") { presenter.halt() })
            is Stage.Ended -> add(Press(word(R.string.dismiss), PressKind.MAIN, key = "seen") { presenter.seen() })
            else -> add(
                Press(word(R.string.hand_backup_make), PressKind.MAIN, key = "make") {
                    ask(activity.choosePlace(WRITE, BACKUP_NAME, ANY_BYTES))
                },
            )
        }
        if (presenter.stage !is Stage.Ended) add(Press(word(R.string.back), key = "back") { back() })
    }

    private fun ask(asked: Boolean) {
        noApp = !asked
        if (noApp) again()
    }

    override fun came(request: Int, ok: Boolean, data: Intent?) {
        val uri = data?.data ?: return
        if (!ok) return
        when (request) {
            WRITE -> presenter.write(Keeping.BACKUP, activity.sinkOf(uri))
            BRING -> presenter.bring(Keeping.BRING_BACK, activity.sourceOf(uri))
            OWN_OUT -> presenter.write(Keeping.OWN_DATA_OUT, activity.sinkOf(uri))
            OWN_IN -> presenter.bring(Keeping.OWN_DATA_IN, activity.sourceOf(uri))
        }
    }

    private companion object {
        const val WRITE = 1
        const val BRING = 2
        const val OWN_OUT = 3
        const val OWN_IN = 4
        const val BACKUP_NAME = "dooryard.backup"
        const val OWN_NAME = "dooryard.zip"
    }
}
