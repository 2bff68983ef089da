package org.dooryard.app.screens

import android.content.Intent
import org.dooryard.app.ANY_BYTES
import org.dooryard.app.MainActivity
import org.dooryard.app.R
import org.dooryard.app.chooseFile
import org.dooryard.app.choosePlace
import org.dooryard.app.parts.Body
import org.dooryard.app.parts.Boxed
import org.dooryard.app.parts.Heading
import org.dooryard.app.parts.Journey
import org.dooryard.app.parts.Note
import org.dooryard.app.parts.Part
import org.dooryard.app.parts.Press
import org.dooryard.app.parts.PressKind
import org.dooryard.app.parts.Section
import org.dooryard.app.said
import org.dooryard.app.shareFile
import org.dooryard.app.sinkOf
import org.dooryard.app.sourceOf
import org.dooryard.core.Enrolling
import org.dooryard.core.FileKind
import org.dooryard.kit.Place
import org.dooryard.kit.Trouble
import org.dooryard.kit.hand.HandOverPresenter
import org.dooryard.kit.hand.HandOverState
import org.dooryard.kit.hand.Stage
import org.dooryard.kit.hand.Taken
import java.io.File

/** Handing over: what waits, the file and its ways, what the office sent back, where each inquiry is. */
class HandOverView(activity: MainActivity, presenter: HandOverPresenter) :
    ScreenView<HandOverPresenter>(activity, presenter) {

    override val title get() = word(R.string.hand_over)
    override val saved get() = presenter.state?.screen?.who.orEmpty()
    private var noApp = false

    override fun parts(): List<Part> {
        val state = presenter.state ?: return emptyList()
        val (made, taken, saved) = Triple(presenter.made, presenter.taken, presenter.saved)
        return when {
            taken is Stage.Runs -> activity.working(word(R.string.hand_taking), taken) + another()
            made is Stage.Runs -> activity.working(word(R.string.hand_making), made)
            saved is Stage.Runs -> activity.working(word(R.string.hand_saving), saved)
            taken is Stage.Ended -> came(taken.value) + another()
            taken is Stage.Stuck ->
                listOf(Heading(word(R.string.hand_not_taken))) + stuck(taken.trouble) + Note(word(R.string.hand_kept_all)) + another()
            made is Stage.Ended -> listOf(Heading(word(R.string.hand_made))) + made.value.lines.map { Body(it) } + afterSaving()
            else -> waiting(state)
        }
    }

    private fun waiting(state: HandOverState): List<Part> = buildList {
        val screen = state.screen
        add(Heading(screen.what))
        if (screen.waits) add(Note(screen.since))
        screen.notes.forEach { add(Note(it)) }
        (presenter.made as? Stage.Stuck)?.let { addAll(stuck(it.trouble)) }
        state.file?.let { file ->
            add(Section(word(R.string.hand_last_file)))
            add(Note(word(R.string.hand_last_file_note)))
            addAll(afterSaving())
            addAll(ways(file, PressKind.PLAIN))
        }
        add(Section(word(R.string.hand_where)))
        if (state.rows.isEmpty()) add(Note(word(R.string.hand_none)))
        state.rows.forEach { row ->
            add(Journey(row.head, row.step.toInt(), row.words, row.note, row.inquiry) { presenter.open(row.inquiry) })
        }
        if (state.more) add(Press(word(R.string.hand_show_more), key = "more") { presenter.more() })
    }

    private fun came(taken: Taken): List<Part> = when (taken) {
        is Taken.Reply -> sent(taken.told.lines.map { Body(it) } + taken.told.waiting.map { Boxed(it) })
        Taken.Pack -> sent(listOf(Body(word(R.string.hand_taken_pack))))
        Taken.Admitted -> sent(listOf(Body(word(R.string.hand_taken_admitted))))
        is Taken.Held -> listOf(
            Heading(word(R.string.hand_not_taken)),
            Body(taken.file.what, bold = true),
            Boxed(taken.file.held, live = true),
            Note(word(R.string.hand_kept_all)),
        )
        is Taken.Leads -> listOf(Heading(taken.file.what), Body(word(onward(taken.file.kind).first)))
    }

    private fun sent(parts: List<Part>): List<Part> = listOf(Heading(word(R.string.hand_taken))) + parts

    /** What happens with a file that another screen is for, and the words on the way there. */
    private fun onward(kind: FileKind): Pair<Int, Int> =
        if (kind == FileKind.OFFICE_CODE) R.string.hand_opened_code to R.string.hand_opened_code_on
        else R.string.hand_opened_records to R.string.hand_opened_records_on

    /** A file that was opened meanwhile is not passed over. */
    private fun another(): List<Part> = if (presenter.anotherWaits) listOf(Note(word(R.string.hand_another_waits), live = true)) else emptyList()

    private fun stuck(trouble: Trouble): List<Part> = listOf(Boxed(activity.said(trouble), live = true))

    private fun afterSaving(): List<Part> = buildList {
        when (val saved = presenter.saved) {
            is Stage.Ended -> add(Boxed(word(R.string.hand_saved), live = true))
            is Stage.Stuck -> add(Boxed(activity.said(saved.trouble), live = true))
            else -> if (noApp) add(Boxed(word(R.string.hand_no_app), live = true))
        }
    }

    private fun ways(file: File, first: PressKind): List<Press> = listOf(
        Press(word(R.string.hand_share), first, key = "share") { activity.shareFile(file, word(R.string.hand_which_way)) },
        Press(word(R.string.hand_save), key = "save") { ask(activity.choosePlace(SAVE, file.name, ANY_BYTES)) },
    )

    override fun bottom(): List<Part> {
        val state = presenter.state ?: return emptyList()
        val (made, taken) = presenter.made to presenter.taken
        val leads = (taken as? Stage.Ended)?.value as? Taken.Leads
        val runs = listOf(made, taken, presenter.saved).any { it is Stage.Runs }
        return buildList {
            when {
                runs -> add(Press(word(R.string.hand_halt), key = "halt") { presenter.halt() })
                leads != null -> {
                    add(Press(word(onward(leads.file.kind).second), PressKind.MAIN, key = "on") { presenter.goOn() })
                    add(Press(word(R.string.hand_opened_leave), key = "seen") { presenter.seen() })
                }
                taken !is Stage.Idle -> add(Press(word(R.string.dismiss), PressKind.MAIN, key = "seen") { presenter.seen() })
                made is Stage.Ended -> {
                    addAll(ways(File(made.value.path), PressKind.MAIN))
                    add(Press(word(R.string.dismiss), key = "seen") { presenter.seen() })
                }
                else -> {
                    add(if (state.standing == Enrolling.NOT_INVITED) join() else make(state.screen.waits))
                    add(Press(word(R.string.hand_take_reply), key = "take") { ask(activity.chooseFile(TAKE)) })
                }
            }
            if (runs || made !is Stage.Ended && taken is Stage.Idle) add(Press(word(R.string.back), key = "back") { back() })
        }
    }

    private fun join() = Press(word(R.string.hand_take_code), PressKind.MAIN, key = "join") { presenter.go(Place.Join) }

    private fun make(waits: Boolean) =
        if (waits) Press(word(R.string.hand_make), PressKind.MAIN, key = "make") { presenter.make() }
        else Press(word(R.string.hand_make_another), key = "make") { presenter.make() }

    private fun ask(asked: Boolean) {
        noApp = !asked
        if (noApp) again()
    }

    override fun came(request: Int, ok: Boolean, data: Intent?) {
        val uri = data?.data ?: return
        if (!ok) return
        when (request) {
            SAVE -> presenter.save(activity.sinkOf(uri))
            TAKE -> presenter.takeIn(activity.sourceOf(uri))
        }
    }

    private companion object {
        const val SAVE = 1
        const val TAKE = 2
    }
}
