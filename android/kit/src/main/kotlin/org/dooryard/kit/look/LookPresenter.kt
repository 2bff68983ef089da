package org.dooryard.kit.look

import org.dooryard.core.LookScreen
import org.dooryard.core.RecordId
import org.dooryard.core.Screens
import org.dooryard.core.StopCard
import org.dooryard.kit.Core
import org.dooryard.kit.Place
import org.dooryard.kit.Presenter
import org.dooryard.kit.Trail

/** A walk through one plant, look by look. An answer is in the notebook as soon as it is touched; only then one goes on. */
class LookPresenter(
    core: Core,
    trail: Trail,
    private val inquiry: RecordId,
    private val plant: RecordId,
    private var at: String,
) : Presenter<LookScreen>(core, trail) {
    /** The look that was answered last while this one was shown: the core says what that moved. */
    private var answered = ""

    /** What was touched of the look that is shown, also before the notebook said so. */
    private var given: Given? = null

    /** Looks that one came from, and goes back to. */
    private val behind = mutableListOf<String>()

    private class Given(val look: String, val picked: List<String>, val comfort: Int)

    override fun Screens.load() = look(inquiry, plant, at, answered)

    override fun haltsOf(state: LookScreen): List<StopCard> = state.halts

    override val stopPlace get() = Place.Stop(inquiry)

    override fun came(state: LookScreen) {
        val shown = state.look?.character.orEmpty()
        trail.became(Place.Look(inquiry, plant, at), Place.Look(inquiry, plant, shown))
        at = shown
    }

    /** The answers that are chosen now. */
    val picked: List<String>
        get() = given?.takeIf { it.look == state?.look?.character }?.picked
            ?: state?.look?.answers?.filter { it.chosen }?.map { it.id }.orEmpty()

    /** What was looked for and is not there; it stays so while other answers are touched. */
    private val absent: List<String> get() = state?.look?.answers?.filter { it.absent }?.map { it.id }.orEmpty()

    /** Somebody looked: how sure they are is asked. */
    val looked: Boolean get() = picked.any { it != NOT_LOOKED }

    /** One of the answers was touched: several stay together where they can be true at once. */
    fun choose(answer: String) {
        val card = state?.look ?: return
        val row = card.answers.firstOrNull { it.id == answer } ?: return
        val before = picked
        val alone = card.answers.filter { it.alone }.map { it.id }.toSet()
        val now = when {
            row.alone -> listOf(answer)
            answer in before -> before - answer
            else -> before.filter { it !in alone } + answer
        }
        give(Given(card.character, now, if (now == listOf(NOT_LOOKED)) 0 else comfort()))
    }

    /** How sure the looker is. */
    fun sure(level: String) {
        val card = state?.look ?: return
        give(Given(card.character, picked, level.toIntOrNull() ?: return))
    }

    /** On to the next look; what was not answered is written down as not looked. */
    fun next() {
        val look = state?.look?.character ?: return
        val done = looked
        behind += look
        given = null
        answered = ""
        if (done) act { look(inquiry, plant, "", "") }
        else act { answer(inquiry, plant, look, listOf(NOT_LOOKED), listOf(), 0u) }
    }

    /** Opens one look of the list. */
    fun open(look: String) {
        state?.look?.let { behind += it.character }
        turn(look)
    }

    /** Takes back the answer that was given last, and asks that look again. */
    fun takeBack() {
        val last = state?.undo?.id ?: return
        given = null
        answered = ""
        act { takeBack(inquiry, plant, last) }
    }

    /** To the look before, or off the screen before the first. */
    fun back() {
        if (behind.isEmpty()) trail.back() else turn(behind.removeAt(behind.lastIndex))
    }

    fun toThink() = trail.go(Place.Think(inquiry, plant))

    fun toPlant() = trail.go(Place.Plant(inquiry, plant))

    /** To the photos: those of the look that is shown stand with what was found there. */
    fun toShots() = trail.go(Place.Shots(inquiry, plant, state?.look?.character.orEmpty()))

    private fun turn(look: String) {
        given = null
        answered = ""
        act { look(inquiry, plant, look, "") }
    }

    private fun comfort(): Int = given?.takeIf { it.look == state?.look?.character }?.comfort
        ?: state?.look?.comfort?.firstOrNull { it.chosen }?.id?.toIntOrNull() ?: 0

    private fun give(next: Given) {
        given = next
        answered = next.look
        val absent = if (next.picked.any { it in WHOLE }) emptyList() else absent.filter { it !in next.picked }
        act {
            answer(inquiry, plant, next.look, next.picked, absent, next.comfort.toUByte())
            look(inquiry, plant, next.look, next.look)
        }
    }

    private companion object {
        const val NOT_LOOKED = "not_looked"

        /** Answers that say nothing of any state. */
        val WHOLE = setOf(NOT_LOOKED, "could_not_tell")
    }
}
