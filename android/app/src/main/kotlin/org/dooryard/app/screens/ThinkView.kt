package org.dooryard.app.screens

import org.dooryard.app.MainActivity
import org.dooryard.app.R
import org.dooryard.app.parts.Body
import org.dooryard.app.parts.Boxed
import org.dooryard.app.parts.Cause
import org.dooryard.app.parts.Fact
import org.dooryard.app.parts.Heading
import org.dooryard.app.parts.Note
import org.dooryard.app.parts.Pair
import org.dooryard.app.parts.Part
import org.dooryard.app.parts.Press
import org.dooryard.app.parts.PressKind
import org.dooryard.core.CauseCard
import org.dooryard.kit.look.ThinkPresenter

/** What it could be: several causes at once, in words with their numbers, never one alone. */
class ThinkView(activity: MainActivity, presenter: ThinkPresenter) : ScreenView<ThinkPresenter>(activity, presenter) {
    override val title get() = presenter.state?.title.orEmpty()
    override val saved get() = presenter.state?.after.orEmpty()

    override fun parts(): List<Part> {
        val state = presenter.state ?: return emptyList()
        return buildList {
            add(Heading(word(R.string.walk_could_be)))
            if (state.held.isNotEmpty()) add(Boxed(state.held))
            state.notices.forEach { add(Boxed(it)) }
            if (state.causes.isNotEmpty() && state.note.isNotEmpty()) add(Note(state.note))
            state.causes.forEach { add(cause(it, state.knots)) }
            if (state.said.isNotEmpty()) add(Body(state.said))
            if (state.rest.isNotEmpty()) add(Note(state.rest))
            if (state.sameAdvice.isNotEmpty()) add(Body(state.sameAdvice, bold = true))
            if (state.enough.isNotEmpty()) add(Body(state.enough)) else if (state.next.isNotEmpty()) add(Body(state.next))
            add(Note(state.content))
        }
    }

    private fun cause(card: CauseCard, knots: List<UInt>) = Cause(
        card.name,
        card.sure,
        card.percent.toInt(),
        knots.map { it.toInt() },
        listOf(
            R.string.walk_for to card.forIt,
            R.string.walk_against to card.againstIt,
            R.string.walk_unlooked to card.unlooked,
        ).filter { it.second.isNotEmpty() }.map { Fact(word(it.first), it.second) },
        card.role,
    )

    override fun bottom(): List<Part> = listOf(
        Press(word(R.string.walk_tell), PressKind.MAIN) { presenter.toTell() },
        Pair(
            Press(word(R.string.walk_not_known_yet)) { presenter.doNotKnowYet() },
            Press(word(R.string.walk_one_more_look)) { presenter.oneMoreLook() },
        ),
        Press(word(R.string.back)) { back() },
    )
}
