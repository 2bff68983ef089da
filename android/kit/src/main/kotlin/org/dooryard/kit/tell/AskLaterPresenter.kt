package org.dooryard.kit.tell

import org.dooryard.core.InquiryScreen
import org.dooryard.core.RecordId
import org.dooryard.core.Screens
import org.dooryard.core.StopCard
import org.dooryard.kit.Core
import org.dooryard.kit.Place
import org.dooryard.kit.Presenter
import org.dooryard.kit.Trail
import java.time.LocalDate

/** Puts down a question for a day. */
class AskLaterPresenter(core: Core, trail: Trail, private val inquiry: RecordId) : Presenter<InquiryScreen>(core, trail) {
    private val here = Place.AskLater(inquiry)

    override fun Screens.load() = inquiry(inquiry)

    override fun haltsOf(state: InquiryScreen): List<StopCard> = state.halts

    override val stopPlace get() = Place.Stop(inquiry)

    /** What will be asked, in somebody's words. */
    val question: String get() = trail.jotted[here, QUESTION]

    /** The day that is offered first: tomorrow, by the phone's clock. */
    val first: LocalDate get() = LocalDate.now().plusDays(1)

    /** A key was touched in the question. */
    fun typed(text: String) {
        trail.jotted[here, QUESTION] = text
    }

    /** It is asked on this day: put down, and back to where one was. */
    fun on(day: LocalDate) {
        val question = question
        does({ askLater(inquiry, day.toString(), question) }) {
            trail.jotted.forget(here)
            trail.back()
        }
    }

    private companion object {
        const val QUESTION = "question"
    }
}
