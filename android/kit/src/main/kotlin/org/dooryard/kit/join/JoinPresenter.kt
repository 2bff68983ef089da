package org.dooryard.kit.join

import org.dooryard.core.Enrolling
import org.dooryard.core.FieldNotebook
import org.dooryard.core.FirstScreen
import org.dooryard.core.NotebookException
import org.dooryard.core.Screens
import org.dooryard.kit.Answer
import org.dooryard.kit.Core
import org.dooryard.kit.Place
import org.dooryard.kit.Trail
import org.dooryard.kit.Trouble
import org.dooryard.kit.hand.Errands
import org.dooryard.kit.hand.Seen
import org.dooryard.kit.hand.Stage
import org.dooryard.kit.hand.WorkingPresenter

/** Joining as it stands. */
data class JoinState(
    /** How the phone stands; or what a code says, which nobody has taken yet. */
    val screen: FirstScreen,
    /** The code as it was typed. */
    val typed: String,
    /** The code of this phone for the office to read; nothing where it needs none. */
    val square: Square?,
)

/**
 * Becoming one of an office's phones. A code says who sent it before it is taken: a person compares six words first. Then the office
 * reads this phone's own code, and answers with one.
 */
class JoinPresenter(core: Core, trail: Trail, private val errands: Errands) : WorkingPresenter<JoinState>(core, trail, errands.seen) {
    private val joining = errands.joining

    /** Looking for a code in a picture. */
    val looking: Boolean get() = errands.seen.runs

    /** No code could be read in the last picture. */
    var notSeen = false
        private set

    override fun moved() = seen()

    /** What was seen while nobody was on this screen is read now. */
    override fun start(back: Boolean) {
        super.start(back)
        seen()
    }

    override fun Screens.load(): JoinState {
        val typed = joining.text
        val code = if (joining.looked) try {
            readCode(typed)
        } catch (_: NotebookException.Refused) {
            joining.looked = false
            null
        } else null
        return (code ?: first()).let { JoinState(it, typed, Qr.of(it.ask)) }
    }

    /** A key was touched in the field of the code. */
    fun typed(code: String) = type(CODE) { joining.text = code }

    /** Reads the code that was typed or pasted. */
    fun read() = does({ joining.text }) { take(it) }

    /** A code was pasted: it is kept and read. */
    fun paste(code: String) = does({ joining.text = code }) { take(code) }

    /** Back to where the code was typed: it stands there still. */
    fun unlook() = does({ joining.looked = false }) { refresh() }

    fun goOn() = trail.go(Place.Today)

    /** Looks for a code in a picture. */
    fun look(at: Picture) {
        notSeen = false
        errands.look(at)
        changed()
    }

    /** The words were compared: this phone is the office's from now on. */
    fun join() = notebook({ join(joining.text) }) { done() }

    /** The words are others: nothing is taken. */
    fun leave() = does({ joining.forget() }) { refresh() }

    /** Takes a code: the office's answer where this phone waits for one, else one that says who invites it. */
    private fun take(code: String) = does({ first().standing }) { standing ->
        if (standing == Enrolling.ASKING) {
            notebook({ takeAnswer(code) }, { refusal -> showInstead(code, refusal) }) { done() }
        } else {
            showCode(code)
        }
    }

    /** A phone that waits can be given another invitation of its office; what is neither is told as no answer. */
    private fun showInstead(code: String, refusal: Trouble) {
        core.ask({ readCode(code) }) { answer -> if (answer is Answer.Done) showCode(code) else fail(refusal) }
    }

    private fun showCode(code: String) = does({
        readCode(code)
        joining.read(code)
    }) { refresh() }

    private fun done() = does({ joining.forget() }) { refresh() }

    private fun seen() {
        when (val stage = errands.seen.stage) {
            is Stage.Ended -> found(stage.value)
            is Stage.Stuck -> {
                errands.seen.clear()
                fail(stage.trouble)
            }
            else -> changed()
        }
    }

    private fun found(seen: Seen) {
        notSeen = seen.code == null
        errands.seen.clear()
        seen.code?.let { take(it) }
        changed()
    }

    private fun <T> notebook(what: FieldNotebook.() -> T, not: (Trouble) -> Unit = ::fail, then: (T) -> Unit) {
        core.askNotebook(what) { answer ->
            when (answer) {
                is Answer.Done -> then(answer.value)
                is Answer.Not -> not(answer.trouble)
            }
        }
    }

    private companion object {
        const val CODE = "code"
    }
}
