package org.dooryard.app.screens

import org.dooryard.app.MainActivity
import org.dooryard.app.R
import org.dooryard.app.parts.Body
import org.dooryard.app.parts.Boxed
import org.dooryard.app.parts.Heading
import org.dooryard.app.parts.Note
import org.dooryard.app.parts.Pair
import org.dooryard.app.parts.Part
import org.dooryard.app.parts.Press
import org.dooryard.app.parts.PressKind
import org.dooryard.app.parts.Row
import org.dooryard.app.parts.Section
import org.dooryard.app.parts.Thumb
import org.dooryard.app.parts.Thumbs
import org.dooryard.app.parts.Way
import org.dooryard.app.parts.Words
import org.dooryard.core.InquiryScreen
import org.dooryard.core.Line
import org.dooryard.core.PastVisit
import org.dooryard.core.PhotoCard
import org.dooryard.core.PlantRow
import org.dooryard.kit.Place
import org.dooryard.kit.inquiry.InquiryPresenter

/** One inquiry: danger first, then what comes next, then what is known; what one seldom needs is folded. */
class InquiryView(activity: MainActivity, presenter: InquiryPresenter) : ScreenView<InquiryPresenter>(activity, presenter) {
    private val open = mutableSetOf<Int>()

    override val title get() = word(R.string.tell_inquiry)
    override val saved get() = presenter.state?.saved.orEmpty()

    override fun parts(): List<Part> {
        val state = presenter.state ?: return emptyList()
        return buildList {
            add(Heading(state.title))
            if (state.line.isNotEmpty()) add(Note(state.line))
            if (state.takenAway) add(Boxed(word(R.string.tell_taken_away), live = true))
            addAll(danger(state))
            addAll(next(state))
            addAll(words(state))
            if (state.plants.isNotEmpty()) add(Section(word(R.string.tell_plants)))
            state.plants.forEach { addAll(plant(it)) }
            addAll(photos(state.photos))
            addAll(later(state))
            if (state.office.isNotEmpty()) add(Section(word(R.string.tell_office)))
            state.office.forEach { add(line(it, "office")) }
            addAll(folded(R.string.tell_told, state.told.map { line(it, "told") }))
            addAll(folded(R.string.tell_visits, state.visits.map { Body(it) }))
            addAll(overTime(state.overTime))
            add(Section(word(R.string.tell_way)))
            add(Way(state.way.ordinal + 1, state.wayWords))
            addAll(ways(state))
        }
    }

    private fun danger(state: InquiryScreen) = buildList {
        if (state.sealed.isNotEmpty()) add(Boxed(state.sealed))
        state.stops.forEach { add(Boxed(it.head)) }
        if (state.stops.isNotEmpty()) add(link(R.string.tell_read_again) { presenter.toStops() })
        if (state.conflict.isNotEmpty()) {
            add(Body(state.conflict))
            add(Press(word(R.string.tell_settle), PressKind.LINK, spoken = state.conflict) { presenter.toConflicts() })
        }
    }

    private fun next(state: InquiryScreen): List<Part> {
        val first = state.useful.firstOrNull() ?: return emptyList()
        val rows = if (R.string.tell_next_more in open) state.useful else listOf(first)
        return buildList {
            add(Section(word(R.string.tell_next)))
            rows.forEach { add(Row("", it.text, key = "useful ${it.screen} ${it.plant} ${it.text}") { presenter.add(it) }) }
            if (state.useful.size > 1) add(fold(R.string.tell_next_more))
            add(Note(word(R.string.tell_next_none)))
        }
    }

    private fun words(state: InquiryScreen) = buildList {
        if (state.said.isNotEmpty()) add(Words(state.said))
        if (state.saidBy.isNotEmpty()) add(Note(state.saidBy))
        if (state.consent.isNotEmpty()) add(Note(state.consent))
    }

    private fun plant(plant: PlantRow): List<Part> {
        val id = plant.plant
        fun press(word: Int, tap: () -> Unit) =
            Press(word(word), spoken = "${word(word)}: ${plant.head}", key = "$word $id", tap = tap)
        return listOf(
            Row("", plant.head, plant.text, more = listOf(Note(plant.findings)), key = "plant $id") { presenter.toPlant(id) },
            Pair(press(R.string.look) { presenter.toLook(id) }, press(R.string.tell_photos) { presenter.toShots(id) }),
            Pair(press(R.string.tell_think) { presenter.toThink(id) }, press(R.string.tell_tell) { presenter.toTell(id) }),
            press(R.string.tell_letter) { presenter.toLetter(id) }.copy(kind = PressKind.LINK),
        )
    }

    private fun photos(cards: List<PhotoCard>): List<Part> {
        if (cards.isEmpty()) return emptyList()
        val shown = if (R.string.tell_photos_all in open) cards else cards.takeLast(SHOWN)
        val thumbs = shown.map { card ->
            val said = listOf(card.shows, card.note, card.caption, card.elsewhere).filter { it.isNotEmpty() }
            Thumb(card.small, card.shows, said.joinToString(". ")) { presenter.go(Place.Photo(card.id)) }
        }
        return buildList {
            add(Section(word(R.string.tell_photos)))
            add(Thumbs(thumbs))
            if (cards.size > SHOWN) add(fold(R.string.tell_photos_all))
        }
    }

    private fun later(state: InquiryScreen) = buildList {
        if (state.later.isNotEmpty()) add(Section(word(R.string.tell_later)))
        state.later.forEach { row ->
            val answer = if (row.answer.isEmpty()) emptyList() else listOf(Words(row.answer))
            add(Row(row.at, row.question.ifEmpty { row.head }, more = answer, key = "later ${row.id}") { presenter.answer(row) })
        }
        if (!state.takenAway) add(link(R.string.tell_ask_later) { presenter.toAskLater() })
    }

    /** Visits to the place, where others than this one are among them. */
    private fun overTime(visits: List<PastVisit>): List<Part> {
        if (visits.all { it.here }) return emptyList()
        val shown = if (R.string.tell_over_time_all in open) visits else visits.take(VISITS)
        return buildList {
            add(Section(word(R.string.tell_over_time)))
            shown.forEachIndexed { at, it ->
                val tap = { presenter.open(it.inquiry) }
                add(Row(it.day, it.found, if (it.here) word(R.string.tell_this_one) else "", key = "visit $at", tap = tap.takeIf { _ -> !it.here }))
            }
            if (visits.size > VISITS) add(fold(R.string.tell_over_time_all))
        }
    }

    private fun ways(state: InquiryScreen) = buildList {
        add(Section(word(R.string.more)))
        if (!state.unfinished) add(link(R.string.tell_asked) { presenter.goOn() })
        if (state.again.isNotEmpty()) add(Press(state.again, PressKind.LINK, key = "again") { presenter.visitAgain() })
        add(link(R.string.place) { presenter.toSpot() })
        add(link(R.string.tell_plant_more) { presenter.toPlant(null) })
        add(link(R.string.tell_photos_site) { presenter.toShots(null) })
        add(link(R.string.tell_samples) { presenter.toSamples() })
        add(link(R.string.tell_history) { presenter.toHistory() })
        if (!state.takenAway && state.sealed.isEmpty()) add(link(R.string.tell_as_file) { presenter.toFile() })
        if (!state.takenAway) add(Press(word(R.string.tell_take_away), key = "away") { presenter.takeAway() })
    }

    private fun line(line: Line, kind: String) = Row("", line.label, line.text, key = "$kind ${line.label} ${line.text}")

    private fun link(word: Int, tap: () -> Unit) = Press(word(word), PressKind.LINK, key = "link $word", tap = tap)

    private fun folded(word: Int, parts: List<Part>): List<Part> = when {
        parts.isEmpty() -> emptyList()
        word in open -> listOf(fold(word)) + parts
        else -> listOf(fold(word))
    }

    private fun fold(word: Int) = Press(word(word), PressKind.LINK, open = word in open, key = "fold $word") {
        if (!open.add(word)) open.remove(word)
        again()
    }

    override fun bottom(): List<Part> = buildList {
        val state = presenter.state ?: return@buildList
        val back = Press(word(R.string.back)) { back() }
        when {
            state.takenAway -> {
                add(Press(word(R.string.tell_bring_back), PressKind.MAIN) { presenter.bringBack() })
                add(back)
            }
            state.unfinished -> {
                add(Press(word(R.string.tell_go_on_taking), PressKind.MAIN) { presenter.goOn() })
                add(Pair(back, Press(word(R.string.tell_finished)) { presenter.finish() }))
            }
            else -> add(back)
        }
    }

    private companion object {
        /** Pictures that are shown before somebody asks for all: two rows of them. */
        const val SHOWN = 6

        /** Visits that are shown before somebody asks for all. */
        const val VISITS = 3
    }
}
