package org.dooryard.kit.me

import org.dooryard.core.LetGo
import org.dooryard.core.PrivacyScreen
import org.dooryard.core.Screens
import org.dooryard.kit.Answer
import org.dooryard.kit.Core
import org.dooryard.kit.Place
import org.dooryard.kit.Trail
import org.dooryard.kit.Undoing
import org.dooryard.kit.hand.Errands
import org.dooryard.kit.hand.WorkingPresenter

/** What this phone holds, what leaves it, what it may let go of; and erasing all of it, which alone asks first. */
class PrivacyPresenter(core: Core, trail: Trail, private val errands: Errands, private val undoing: Undoing) :
    WorkingPresenter<PrivacyScreen>(core, trail, errands.letGo) {

    /** Somebody asked for erasing: they see what would be lost. */
    var erasing = false
        private set

    /** It is being erased. */
    var erases = false
        private set

    /** Letting go. */
    val stage get() = errands.letGo.stage

    override fun Screens.load() = privacy()

    /** Lets go of what this choice names once it is safe at the office, now and from now on. */
    fun letGo(id: String) {
        val rule = LetGo.entries.firstOrNull { it.name.equals(id, true) } ?: return
        errands.letGo.clear()
        errands.letGo.begin { token, listener ->
            notebook.setLettingGo(rule)
            notebook.letGo(token, listener)
        }
    }

    /** Asks before it erases. */
    fun askToErase() = turn(true)

    /** Everything stays. */
    fun keep() = turn(false)

    /** Erases everything, and begins anew at the first screen. */
    fun erase() {
        if (!erasing || erases) return
        erases = true
        changed()
        errands.erase { answer ->
            erases = false
            erasing = false
            when (answer) {
                is Answer.Done -> {
                    undoing.dismiss()
                    trail.go(Place.Today)
                }
                is Answer.Not -> fail(answer.trouble)
            }
        }
    }

    private fun turn(asking: Boolean) {
        erasing = asking
        changed()
    }
}
