package org.dooryard.app.screens

import org.dooryard.app.MainActivity
import org.dooryard.app.R
import org.dooryard.app.parts.CloseView
import org.dooryard.app.parts.Closely
import org.dooryard.app.parts.Field
import org.dooryard.app.parts.Hand
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
import org.dooryard.core.Choice
import org.dooryard.core.PhotoScreen
import org.dooryard.kit.shots.PhotoPresenter

/** One photo: as large as there is room, closer by buttons or two fingers, then what it shows. */
class PhotoView(activity: MainActivity, presenter: PhotoPresenter) : ScreenView<PhotoPresenter>(activity, presenter) {
    private var zoom = CloseView.WHOLE
    private var alone = false
    private val hand = Hand()

    override val title get() = presenter.state?.let { "${word(R.string.walk_photo)} ${it.place}" }.orEmpty()

    override fun parts(): List<Part> {
        val state = presenter.state ?: return emptyList()
        val card = state.card
        val spoken = listOf(title, card.shows, card.note).joinToString()
        val close = Closely(card.path.ifEmpty { card.small }, spoken, zoom, hand, alone) { zoom = it }
        if (alone) return listOf(Heading(card.shows), close)
        return buildList {
            add(Heading(card.shows))
            add(close)
            add(closer())
            add(Press(word(R.string.walk_whole_screen), PressKind.LINK, key = "alone") { alone(true) })
            add(Note(card.note))
            if (card.elsewhere.isNotEmpty()) add(Note(card.elsewhere))
            add(
                Field(
                    "caption", word(R.string.walk_caption), card.caption, TextKind.WORDS,
                    typed = presenter::typed, left = presenter::left,
                ),
            )
            add(Section(word(R.string.walk_shows)))
            add(options("part", state.parts, presenter::shows))
            add(Section(word(R.string.walk_for_size)))
            add(options("scale", state.scales, presenter::size))
            addAll(order(state))
            add(Press(word(R.string.walk_take_away), PressKind.LINK, key = "away") { presenter.takeAway() })
        }
    }

    private fun options(key: String, of: List<Choice>, choose: (String) -> Unit) =
        Options(key, of.map { Option(it.id, it.text, it.chosen) }, key = key, choose = choose)

    /** Its place among the others, moved by buttons. */
    private fun order(state: PhotoScreen): List<Part> {
        val earlier = state.before?.let { Press(word(R.string.walk_order_earlier), key = "earlier") { presenter.move(true) } }
        val later = state.after?.let { Press(word(R.string.walk_order_later), key = "later") { presenter.move(false) } }
        val ways = listOfNotNull(earlier, later)
        if (ways.isEmpty()) return emptyList()
        return listOf(Section(word(R.string.walk_order)), Note(title, live = true)) +
            if (ways.size == 2) listOf(Pair(ways[0], ways[1])) else ways
    }

    private fun closer() = Pair(
        Press(word(R.string.walk_larger), key = "larger") { closer(zoom * STEP) },
        Press(word(R.string.walk_smaller), key = "smaller") { closer(zoom / STEP) },
    )

    /** Opposite ways beside each other, as on the map. */
    private fun moves() = listOf(
        Pair(move(R.string.walk_left, -PART, 0f), move(R.string.walk_right, PART, 0f)),
        Pair(move(R.string.walk_up, 0f, -PART), move(R.string.walk_down, 0f, PART)),
    )

    private fun move(words: Int, right: Float, down: Float) =
        Press(word(words), spoken = "${word(R.string.walk_move_photo)}: ${word(words)}") { hand.move(right, down) }

    private fun alone(next: Boolean) {
        alone = next
        again()
    }

    private fun closer(next: Float) {
        zoom = next.coerceIn(CloseView.WHOLE, CloseView.CLOSEST)
        again()
    }

    override fun bottom(): List<Part> = buildList {
        val state = presenter.state ?: return@buildList
        if (alone) {
            addAll(moves())
            add(closer())
            add(Press(word(R.string.walk_not_alone), PressKind.MAIN) { alone(false) })
            return@buildList
        }
        val before = state.before?.let { Press(word(R.string.walk_one_before)) { presenter.turnTo(it) } }
        val after = state.after?.let { Press(word(R.string.walk_one_after)) { presenter.turnTo(it) } }
        when {
            before != null && after != null -> add(Pair(before, after))
            else -> listOfNotNull(before, after).forEach { add(it) }
        }
        add(Press(word(R.string.back), PressKind.MAIN) { back() })
    }

    /** Back from the photo alone is back to what is said of it. */
    override fun back() = if (alone) alone(false) else super.back()

    private companion object {
        /** How much one touch changes. */
        const val STEP = 1.6f

        /** How much of its place one touch moves it. */
        const val PART = 0.3f
    }
}
