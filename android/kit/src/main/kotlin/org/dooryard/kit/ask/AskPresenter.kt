package org.dooryard.kit.ask

import org.dooryard.core.AskScreen
import org.dooryard.core.RecordId
import org.dooryard.core.Screens
import org.dooryard.core.StopCard
import org.dooryard.kit.Core
import org.dooryard.kit.Place
import org.dooryard.kit.Presenter
import org.dooryard.kit.Trail

/** Taking an inquiry: the safety questions one by one, then what else is asked. Everything is kept as it is touched. */
class AskPresenter(core: Core, trail: Trail, private val inquiry: RecordId) : Presenter<AskScreen>(core, trail) {
    /** The question that is shown, where somebody went back to one; the first open one else. */
    private var turned: Int? = null

    override fun Screens.load() = ask(inquiry)

    override fun haltsOf(state: AskScreen): List<StopCard> = state.halts

    override val stopPlace get() = Place.Stop(inquiry)

    /** Place of the question that is asked; nothing once all were answered. */
    val question: Int?
        get() = state?.let { s -> (turned ?: s.step.toInt()).takeIf { it < s.questions.size } }

    /** Answers the question that is shown. */
    fun answer(id: String) {
        val asked = question?.let { state?.questions?.get(it) } ?: return
        turned = null
        act { answerQuestion(inquiry, asked.id, id) }
    }

    /** Turns to a question, answered or not. */
    fun turnTo(question: Int) {
        turned = question
        changed()
    }

    /** One question back, or off the screen before the first. */
    fun back() {
        val last = state?.questions?.lastIndex ?: -1
        val before = (question ?: (last + 1)) - 1
        if (before in 0..last) turnTo(before) else trail.back()
    }

    /** A key was touched in a field. */
    fun typed(field: String, text: String) = type("$inquiry $field") { write(inquiry, field, text, false) }

    /** A field was left, or one of its choices was taken. */
    fun left(field: String, text: String) = act { write(inquiry, field, text, true) }

    /** On to the plant: the first of the inquiry where it has one already. */
    fun toPlant() = does({ inquiry(inquiry).plants.firstOrNull()?.plant }) { trail.go(Place.Plant(inquiry, it)) }

    /** On to the place. */
    fun toPlace() = trail.go(Place.Spot(inquiry))

    /** Puts the inquiry down for now: everything is kept. */
    fun putDown() = trail.go(Place.Today)
}
