package org.dooryard.kit.tell

import org.dooryard.core.Form
import org.dooryard.core.LaterForm
import org.dooryard.core.RecordId
import org.dooryard.core.Screens
import org.dooryard.core.StopCard
import org.dooryard.kit.Core
import org.dooryard.kit.Place
import org.dooryard.kit.Presenter
import org.dooryard.kit.Trail
import java.time.LocalDate

/** A question that is being put down: [form] is what is typed of it and the days that are offered. */
data class Putting(val form: LaterForm, val title: String, val halts: List<StopCard>)

/** Puts down a question for a day. What is typed is kept until then. */
class AskLaterPresenter(core: Core, trail: Trail, private val inquiry: RecordId) : Presenter<Putting>(core, trail) {
    /** A day was wanted for no question yet. */
    var asksFirst = false
        private set

    override fun Screens.load(): Putting {
        val whole = inquiry(inquiry)
        return Putting(laterForm(inquiry), whole.title, whole.halts)
    }

    override fun haltsOf(state: Putting): List<StopCard> = state.halts

    override val stopPlace get() = Place.Stop(inquiry)

    /** The offered day that was touched; empty for none. */
    val due: String get() = state?.form?.days?.firstOrNull { it.chosen }?.id.orEmpty()

    /** The day that is offered first where any day may be chosen: tomorrow, by the phone's clock. */
    val first: LocalDate get() = LocalDate.now().plusDays(1)

    /** A key was touched in the question. */
    fun typed(text: String) = type("question $inquiry") { typeIn(Form.QUESTION, inquiry, QUESTION, text, false) }

    /** The question was left. */
    fun left(text: String) {
        asksFirst = false
        keep(QUESTION, text)
    }

    /** One of the offered days was touched. */
    fun take(day: String) = keep("due", day)

    /** Goes on once there is a question; else says that it comes first. */
    fun withQuestion(then: () -> Unit) = does({ load() }) {
        asksFirst = it.form.question.isBlank()
        show(it)
        if (!asksFirst) then()
    }

    /** It is asked on this day, `2026-08-03`: put down, and back to where one was. */
    fun on(day: String) = does({ askLater(inquiry, day, laterForm(inquiry).question) }) { trail.back() }

    private fun keep(field: String, text: String) = act {
        typeIn(Form.QUESTION, inquiry, field, text, true)
        load()
    }

    private companion object {
        const val QUESTION = "question"
    }
}
