package org.dooryard.kit.tell

import org.dooryard.core.LaterRow
import org.dooryard.core.RecordId
import org.dooryard.core.Screens
import org.dooryard.core.StopCard
import org.dooryard.kit.Core
import org.dooryard.kit.Place
import org.dooryard.kit.Presenter
import org.dooryard.kit.Trail
import org.dooryard.kit.Undoing

/** One question that was put down for a day. [row] is nothing where it was taken away; [sealed] says why nothing of it is shown. */
data class Asking(val row: LaterRow?, val sealed: String, val halts: List<StopCard>)

/** Asking what was put down for a day, and writing down the answer: each touch is kept. */
class AnswerPresenter(
    core: Core,
    trail: Trail,
    private val undoing: Undoing,
    private val inquiry: RecordId,
    private val followUp: RecordId,
) : Presenter<Asking>(core, trail) {
    /** The answer as it stands in the field; nothing before somebody touched it. */
    @Volatile private var words: String? = null

    override fun Screens.load(): Asking {
        val whole = inquiry(inquiry)
        return Asking(whole.later.firstOrNull { it.id == followUp }, whole.sealed, whole.halts)
    }

    override fun haltsOf(state: Asking): List<StopCard> = state.halts

    override val stopPlace get() = Place.Stop(inquiry)

    /** A key was touched in the answer. */
    fun typed(text: String) {
        words = text
        val outcome = outcome
        type("$followUp answer") { answerLater(followUp, text, "", outcome) }
    }

    /** The answer was left. */
    fun left(text: String) {
        words = text
        answer(text, outcome)
    }

    /** How the plant is. */
    fun isSo(outcome: String) = answer(words ?: state?.row?.answer.orEmpty(), outcome)

    /** To its inquiry. */
    fun open() = trail.go(Place.Inquiry(inquiry))

    /** Takes the question away. */
    fun takeAway() = does({ takeAway(followUp) }) { taken ->
        trail.back()
        undoing.offer(taken)
    }

    private val outcome: String get() = state?.row?.outcomes?.firstOrNull { it.chosen }?.id.orEmpty()

    private fun answer(text: String, outcome: String) = act {
        answerLater(followUp, text, "", outcome)
        load()
    }
}
