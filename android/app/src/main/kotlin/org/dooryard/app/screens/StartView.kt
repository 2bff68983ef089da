package org.dooryard.app.screens

import android.content.Intent
import org.dooryard.app.ANY_BYTES
import org.dooryard.app.MainActivity
import org.dooryard.app.R
import org.dooryard.app.choosePlace
import org.dooryard.app.parts.Body
import org.dooryard.app.parts.Boxed
import org.dooryard.app.parts.Heading
import org.dooryard.app.parts.Part
import org.dooryard.app.parts.Press
import org.dooryard.app.parts.PressKind
import org.dooryard.app.parts.Section
import org.dooryard.app.said
import org.dooryard.app.sinkOf
import org.dooryard.kit.Answer
import org.dooryard.kit.Place
import org.dooryard.kit.Presenter
import org.dooryard.kit.Trouble
import org.dooryard.kit.TroubleKind
import java.io.File

/** The records do not open: why, and what to do. It stands in the place of the screen that was to be shown. */
class StartView(activity: MainActivity, presenter: Presenter<*>, private val trouble: Trouble) :
    ScreenView<Presenter<*>>(activity, presenter) {

    /** It is about this trouble of this screen. */
    fun shows(presenter: Presenter<*>, trouble: Trouble) = this.presenter === presenter && this.trouble == trouble

    override val title get() = word(R.string.name)
    override val ready get() = true
    private var told = ""

    override fun parts(): List<Part> = buildList {
        add(Heading(word(head())))
        add(Body(activity.said(trouble)))
        if (trouble.keptAt.isNotEmpty()) {
            add(
                Press(word(R.string.hand_start_save), key = "save") {
                    if (!activity.choosePlace(SAVE, File(trouble.keptAt).name, ANY_BYTES)) tell(word(R.string.hand_no_app))
                },
            )
        }
        if (trouble.kind == TroubleKind.KEY) {
            add(Section(word(R.string.hand_start_new_key)))
            add(Body(word(R.string.hand_start_new_key_kept)))
            add(Press(word(R.string.hand_start_new_key_now), key = "newkey") { activity.app.errands.newKey(::begun) })
            add(Section(word(R.string.hand_start_aside)))
            add(Body(word(R.string.hand_start_aside_kept)))
            add(Body(word(R.string.hand_start_aside_then)))
            add(Press(word(R.string.hand_start_aside_now), key = "aside") { activity.app.errands.setAside(::begun) })
        }
        if (told.isNotEmpty()) add(Boxed(told, live = true))
    }

    /** With a new key, or a new notebook: next the office's code. */
    private fun begun(answer: Answer<Unit>) = when (answer) {
        is Answer.Done -> {
            activity.trail.go(Place.Today)
            activity.trail.go(Place.Join)
        }
        is Answer.Not -> tell(activity.said(answer.trouble))
    }

    override fun bottom() = listOf(
        Press(word(R.string.open_again), PressKind.MAIN, key = "again") {
            activity.app.core.openAgain()
            presenter.refresh()
        },
    )

    override fun back() = activity.finish()

    override fun came(request: Int, ok: Boolean, data: Intent?) {
        val uri = data?.data
        if (request != SAVE || !ok || uri == null) return
        activity.app.errands.saveDamaged(File(trouble.keptAt), activity.sinkOf(uri)) { answer ->
            tell(
                when (answer) {
                    is Answer.Done -> word(R.string.hand_start_saved)
                    is Answer.Not -> activity.said(answer.trouble)
                },
            )
        }
    }

    private fun tell(words: String) {
        told = words
        again()
    }

    private fun head(): Int = when (trouble.kind) {
        TroubleKind.NEWER -> R.string.hand_start_newer
        TroubleKind.LOCKED -> R.string.hand_start_locked
        TroubleKind.KEY -> R.string.hand_start_key
        else -> R.string.hand_start_damaged
    }

    private companion object {
        const val SAVE = 1
    }
}
