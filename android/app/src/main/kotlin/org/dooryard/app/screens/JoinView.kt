package org.dooryard.app.screens

import android.content.Intent
import android.provider.MediaStore
import org.dooryard.app.MainActivity
import org.dooryard.app.R
import org.dooryard.app.SharedFiles
import org.dooryard.app.chooseFile
import org.dooryard.app.launch
import org.dooryard.app.parts.Body
import org.dooryard.app.parts.Boxed
import org.dooryard.app.parts.Fact
import org.dooryard.app.parts.Field
import org.dooryard.app.parts.Heading
import org.dooryard.app.parts.Note
import org.dooryard.app.parts.Part
import org.dooryard.app.parts.Press
import org.dooryard.app.parts.PressKind
import org.dooryard.app.parts.Section
import org.dooryard.app.parts.TextKind
import org.dooryard.app.parts.Words
import org.dooryard.app.pastedText
import org.dooryard.app.pictureIn
import org.dooryard.app.pictureOf
import org.dooryard.core.Enrolling
import org.dooryard.core.FirstScreen
import org.dooryard.kit.hand.Stage
import org.dooryard.kit.join.JoinPresenter
import org.dooryard.kit.join.JoinState

/** Joining an office: its code, six words to compare before it is taken, this phone's own code, the office's answer. */
class JoinView(activity: MainActivity, presenter: JoinPresenter) : ScreenView<JoinPresenter>(activity, presenter) {
    override val title get() = word(R.string.hand_join)
    private var copied = false
    private var noApp = false

    override fun parts(): List<Part> {
        val state = presenter.state ?: return emptyList()
        if (presenter.looking) return activity.working(word(R.string.hand_looking), Stage.Runs(null))
        return when {
            state.screen.toConfirm -> invitation(state.screen)
            state.screen.standing == Enrolling.NOT_INVITED -> standing(state.screen) + entry(state, R.string.hand_code)
            state.screen.standing == Enrolling.ASKING -> asking(state)
            else -> standing(state.screen)
        }
    }

    private fun invitation(screen: FirstScreen): List<Part> = buildList {
        add(Heading(word(R.string.hand_who_invites)))
        screen.facts.forEach { add(Fact(it.label, it.text)) }
        if (screen.warning.isNotEmpty()) add(Boxed(screen.warning))
        addAll(words(screen))
        screen.lines.forEach { add(Body(it)) }
        add(Note(word(R.string.hand_other_words_then)))
    }

    private fun standing(screen: FirstScreen): List<Part> = buildList {
        addAll(activity.standing(screen))
        screen.facts.forEach { add(Fact(it.label, it.text)) }
    }

    private fun asking(state: JoinState): List<Part> = standing(state.screen) + words(state.screen) +
        Note(word(R.string.hand_joined_next)) +
        activity.ownCode(state.screen.ask, state.square, copied) {
            copied = true
            again()
        } + entry(state, R.string.hand_answer)

    private fun words(screen: FirstScreen): List<Part> =
        listOf(Section(word(R.string.hand_words)), Words(screen.words.joinToString("\n")))

    private fun entry(state: JoinState, head: Int): List<Part> = buildList {
        add(Section(word(head)))
        if (noApp) add(Boxed(word(R.string.hand_no_app), live = true))
        if (presenter.notSeen) add(Boxed(word(R.string.hand_not_seen), live = true))
        add(Note(word(R.string.hand_scan_why)))
        add(Press(word(R.string.hand_from_picture), key = "picture") { ask(activity.chooseFile(GALLERY, "image/*")) })
        add(Press(word(R.string.hand_paste), key = "paste") { presenter.paste(activity.pastedText()) })
        add(
            Field(CODE, word(R.string.hand_code_field), state.typed, TextKind.CODE, typed = presenter::typed, left = presenter::typed),
        )
        add(Press(word(R.string.hand_read_code), key = "read") { read() })
    }

    override fun bottom(): List<Part> {
        val screen = presenter.state?.screen ?: return emptyList()
        val back = Press(word(R.string.back), key = "back") { back() }
        return when {
            presenter.looking -> listOf(back)
            screen.toConfirm -> listOf(
                Press(word(R.string.hand_same_words), PressKind.MAIN, key = "join") { presenter.join() },
                Press(word(R.string.hand_other_words), key = "leave") { presenter.leave() },
            )
            screen.standing == Enrolling.ENROLLED -> listOf(Press(word(R.string.go_on), PressKind.MAIN, key = "on") { presenter.goOn() })
            else -> listOf(Press(word(R.string.hand_scan), PressKind.MAIN, key = "scan") { scan() }, back)
        }
    }

    /** Going back from a code that nobody took leads to where it was typed. */
    override fun back() {
        if (presenter.state?.screen?.toConfirm == true) presenter.unlook() else super.back()
    }

    private fun read() {
        activity.leaveField()
        presenter.read()
    }

    private fun scan() {
        val file = SharedFiles.expectScan(activity)
        val uri = SharedFiles.uri(activity, file)
        val both = Intent.FLAG_GRANT_WRITE_URI_PERMISSION or Intent.FLAG_GRANT_READ_URI_PERMISSION
        val camera = Intent(MediaStore.ACTION_IMAGE_CAPTURE).putExtra(MediaStore.EXTRA_OUTPUT, uri).addFlags(both)
        camera.clipData = android.content.ClipData.newRawUri("", uri)
        val asked = activity.launch(SCAN, camera)
        if (!asked) file.delete()
        ask(asked)
    }

    private fun ask(asked: Boolean) {
        noApp = !asked
        if (noApp) again()
    }

    override fun came(request: Int, ok: Boolean, data: Intent?) {
        when (request) {
            SCAN -> SharedFiles.scan(activity).let { if (ok) presenter.look(pictureIn(it)) else it.delete() }
            GALLERY -> if (ok) data?.data?.let { presenter.look(activity.pictureOf(it)) }
        }
    }

    private companion object {
        const val CODE = "code"
        const val SCAN = 1
        const val GALLERY = 2
    }
}
