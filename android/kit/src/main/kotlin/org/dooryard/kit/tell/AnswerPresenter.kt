package org.dooryard.kit.tell

import org.dooryard.core.Form
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

/** What is written down of an answer, by its name in the core. */
object AnswerField {
    const val ANSWER = "answer"
    const val DID = "did"
    const val OUTCOME = "outcome"
}

/** Asking what was put down for a day. Each touch is kept; it is asked on until somebody says that it was answered. */
class AnswerPresenter(
    core: Core,
    trail: Trail,
    private val undoing: Undoing,
    private val inquiry: RecordId,
    private val followUp: RecordId,
) : Presenter<Asking>(core, trail) {
    /** Somebody said that it was answered, and neither an answer stood there nor how the plant is. */
    var saysFirst = false
        private set

    override fun Screens.load(): Asking {
        val whole = inquiry(inquiry)
        return Asking(whole.later.firstOrNull { it.id == followUp }, whole.sealed, whole.halts)
    }

    override fun haltsOf(state: Asking): List<StopCard> = state.halts

    override val stopPlace get() = Place.Stop(inquiry)

    /** A key was touched in a field. */
    fun typed(field: String, text: String) =
        type("answer $followUp $field") { typeIn(Form.ANSWER, followUp, field, text, false) }

    /** A field was left, or it was touched how the plant is. */
    fun left(field: String, text: String) {
        saysFirst = false
        act {
            typeIn(Form.ANSWER, followUp, field, text, true)
            load()
        }
    }

    /** It was answered as it stands here: back to where one was, unless a stop comes of it. */
    fun answered() = does({ load().row?.takeIf { it.says }?.let { answerLater(followUp, it.answer, it.did, it.outcome); load() } }) {
        saysFirst = it == null
        when {
            it == null -> refresh()
            it.halts.isEmpty() -> trail.back()
            else -> show(it)
        }
    }

    /** To its inquiry. */
    fun open() = trail.go(Place.Inquiry(inquiry))

    /** Takes the question away. */
    fun takeAway() = does({ takeAway(followUp) }) { taken ->
        trail.back()
        undoing.offer(taken)
    }

    private val LaterRow.outcome: String get() = outcomes.firstOrNull { it.chosen }?.id.orEmpty()

    private val LaterRow.says: Boolean get() = answer.isNotBlank() || outcome.isNotEmpty()
}
