package org.dooryard.app.screens

import org.dooryard.app.MainActivity
import org.dooryard.app.R
import org.dooryard.app.parts.Body
import org.dooryard.app.parts.Heading
import org.dooryard.app.parts.Note
import org.dooryard.app.parts.Part
import org.dooryard.app.parts.Press
import org.dooryard.app.parts.PressKind
import org.dooryard.app.parts.Row
import org.dooryard.app.parts.Section
import org.dooryard.kit.Place
import org.dooryard.kit.today.TodayPresenter

/** The first screen: what waits, what was begun, what is due, and the two ways to begin. */
class TodayView(activity: MainActivity, presenter: TodayPresenter) : ScreenView<TodayPresenter>(activity, presenter) {
    override val title get() = word(R.string.today)
    override val saved get() = presenter.state?.date.orEmpty()

    override fun parts(): List<Part> {
        val today = presenter.state ?: return emptyList()
        return buildList {
            add(Heading(today.waiting))
            if (today.waits) add(Press(word(R.string.hand_over)) { presenter.go(Place.HandOver) })
            today.notes.forEach { add(Note(it)) }
            if (today.conflicts.isNotEmpty()) {
                add(Body(today.conflicts))
                add(Press(word(R.string.show), PressKind.LINK, spoken = today.conflicts) { presenter.go(Place.Conflicts(null)) })
            }
            today.resume?.let { kept ->
                add(Section(word(R.string.in_the_middle)))
                add(Row(kept.at, kept.head, kept.text, key = "resume") { presenter.resume() })
            }
            if (today.due.isNotEmpty()) add(Section(word(R.string.due)))
            today.due.forEach { due -> add(Row(due.at, due.head, due.question, key = due.id) { presenter.open(due) }) }
            if (today.dueMore.isNotEmpty()) add(Note(today.dueMore))
            if (today.unfinished.isNotEmpty()) add(Section(word(R.string.unfinished)))
            today.unfinished.forEach { row ->
                add(Row(row.day, row.head, row.text, picture = row.picture, key = row.id) { presenter.open(row.id) })
            }
            add(Section(word(R.string.more)))
            add(Press(word(R.string.records), PressKind.LINK) { presenter.go(Place.Records) })
            add(Press(word(R.string.later), PressKind.LINK) { presenter.go(Place.Later) })
            add(Press(word(R.string.me), PressKind.LINK) { presenter.go(Place.Me) })
        }
    }

    override fun bottom() = listOf(
        Press(word(R.string.someone_asks), PressKind.MAIN) { presenter.someoneAsks() },
        Press(word(R.string.at_a_plant)) { presenter.atAPlant() },
    )
}
