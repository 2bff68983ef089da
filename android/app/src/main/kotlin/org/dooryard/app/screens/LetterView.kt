package org.dooryard.app.screens

import org.dooryard.app.MainActivity
import org.dooryard.app.R
import org.dooryard.app.Sharing
import org.dooryard.app.parts.Boxed
import org.dooryard.app.parts.Field
import org.dooryard.app.parts.Heading
import org.dooryard.app.parts.Note
import org.dooryard.app.parts.Option
import org.dooryard.app.parts.Options
import org.dooryard.app.parts.Pair
import org.dooryard.app.parts.Part
import org.dooryard.app.parts.Press
import org.dooryard.app.parts.PressKind
import org.dooryard.app.parts.Section
import org.dooryard.app.parts.TextKind
import org.dooryard.app.parts.Words
import org.dooryard.core.LetterScreen
import org.dooryard.core.PieceRow
import org.dooryard.kit.tell.LetterPresenter

/** The letter for the resident: whole, in their language; parts of it can be said otherwise. */
class LetterView(activity: MainActivity, presenter: LetterPresenter) : ScreenView<LetterPresenter>(activity, presenter) {
    private val sharing = Sharing(activity)
    private var partsOpen = false
    private var nowhere = false

    override val title get() = word(R.string.tell_letter)
    override val saved get() = presenter.state?.title.orEmpty()

    override fun parts(): List<Part> {
        val state = presenter.state ?: return emptyList()
        return buildList {
            add(Heading(word(R.string.tell_the_letter)))
            if (nowhere) add(Boxed(word(R.string.tell_letter_nowhere), live = true))
            if (state.held.isNotEmpty()) add(Boxed(state.held))
            if (state.bare.isNotEmpty()) add(Boxed(state.bare))
            if (presenter.goesOut) addAll(letter(state))
        }
    }

    private fun letter(state: LetterScreen) = buildList {
        add(Section(word(R.string.tell_letter_language)))
        val languages = state.languages.map { Option(it.id, it.text, it.chosen) }
        add(Options("language", languages, key = "language") { presenter.speak(it) })
        add(Words(state.text))
        add(
            Press(word(R.string.tell_letter_parts), open = partsOpen, key = "parts") {
                partsOpen = !partsOpen
                again()
            },
        )
        if (!partsOpen) return@buildList
        add(Note(word(R.string.tell_letter_stays)))
        if (state.causes.isNotEmpty()) {
            add(Section(word(R.string.tell_letter_causes)))
            val causes = state.causes.map { Option(it.id, it.text, it.chosen) }
            add(Options("causes", causes, several = true, key = "causes") { presenter.turnCause(it) })
        }
        val spoken = state.languages.firstOrNull { it.chosen }?.id.orEmpty()
        state.pieces.forEach { addAll(piece(it, "$spoken ${it.id}")) }
    }

    private fun piece(piece: PieceRow, name: String) = buildList {
        add(
            Field(
                name,
                piece.head,
                piece.text,
                TextKind.WORDS,
                typed = { presenter.typed(piece.id, it) },
                left = { presenter.left(piece.id, it) },
            ),
        )
        if (piece.changed) {
            add(Note(piece.given))
            add(Press(word(R.string.tell_letter_given), PressKind.LINK, key = "given $name") { swap { presenter.giveBack(piece) } })
        } else if (presenter.ownWords(piece).isNotEmpty()) {
            add(Press(word(R.string.tell_letter_own), PressKind.LINK, key = "own $name") { swap { presenter.takeOwn(piece) } })
        }
    }

    /** Other words take the place of those in the field: whoever was writing there has left it. */
    private fun swap(what: () -> Unit) {
        activity.currentFocus?.clearFocus()
        what()
    }

    private fun share() = presenter.files(sharing.letters) { tried(sharing.files(it)) }

    private fun shareText() {
        presenter.state?.let { tried(sharing.text(it.text)) }
    }

    private fun tried(shared: Boolean) {
        nowhere = !shared
        again()
    }

    override fun bottom(): List<Part> {
        val back = Press(word(R.string.back)) { back() }
        if (!presenter.goesOut) return listOf(back)
        return listOf(
            Press(word(R.string.tell_letter_share), PressKind.MAIN) { share() },
            Pair(back, Press(word(R.string.tell_letter_text)) { shareText() }),
        )
    }
}
