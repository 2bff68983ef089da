package org.dooryard.kit.tell

import org.dooryard.core.LetterScreen
import org.dooryard.core.PieceRow
import org.dooryard.core.RecordId
import org.dooryard.core.Screens
import org.dooryard.core.StopCard
import org.dooryard.kit.Core
import org.dooryard.kit.Place
import org.dooryard.kit.Presenter
import org.dooryard.kit.Trail
import java.io.File

/** The letter for the resident: read whole, said otherwise in parts, shared. */
class LetterPresenter(
    core: Core,
    trail: Trail,
    private val inquiry: RecordId,
    private val plant: RecordId,
) : Presenter<LetterScreen>(core, trail) {
    private val here = Place.Letter(inquiry, plant)

    /** Tag of the language that was chosen; empty for the resident's own. */
    private val language: String get() = trail.jotted[here, LANGUAGE]

    override fun Screens.load() = letter(inquiry, plant, language)

    override fun haltsOf(state: LetterScreen): List<StopCard> = state.halts

    override val stopPlace get() = Place.Stop(inquiry)

    /** A letter can go out. */
    val goesOut: Boolean get() = state?.let { it.held.isEmpty() && it.halts.isEmpty() } == true

    /** The letter in another language. */
    fun speak(language: String) {
        trail.jotted[here, LANGUAGE] = language
        refresh()
    }

    /** A key was touched in a part. */
    fun typed(piece: String, text: String) {
        val spoken = language
        type("$inquiry $plant $spoken $piece") { writePiece(inquiry, plant, spoken, piece, text) }
    }

    /** A part was left. */
    fun left(piece: String, text: String) {
        val spoken = language
        act { writePiece(inquiry, plant, spoken, piece, text) }
    }

    /** The words of the pack again; a person's own are one tap away. */
    fun giveBack(piece: PieceRow) {
        trail.jotted[here, own(piece)] = piece.text
        left(piece.id, piece.given)
    }

    /** A person's own words that the pack's took the place of; empty for none. */
    fun ownWords(piece: PieceRow): String = if (piece.changed) "" else trail.jotted[here, own(piece)]

    /** A person's own words again. */
    fun takeOwn(piece: PieceRow) = left(piece.id, ownWords(piece))

    /** Tells a cause that was left out, or leaves it out. */
    fun turnCause(cause: String) {
        val told = state?.causes?.firstOrNull { it.id == cause }?.chosen ?: return
        val spoken = language
        act { leaveOut(inquiry, plant, spoken, cause, told) }
    }

    /** Writes the letter into a folder of its own, a page to print and plain text, and gives both. An earlier letter goes from there. */
    fun files(folder: File, then: (List<File>) -> Unit) {
        val spoken = language
        does(
            {
                folder.listFiles()?.forEach { it.delete() }
                letterFiles(inquiry, plant, spoken, folder.path).map { File(it) }
            },
            then,
        )
    }

    private fun own(piece: PieceRow) = "$language ${piece.id}"

    private companion object {
        const val LANGUAGE = "language"
    }
}
