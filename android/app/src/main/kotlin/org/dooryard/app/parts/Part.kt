package org.dooryard.app.parts

/** One thing on a screen. What a screen shows is a list of these; [Column] draws them. */
sealed interface Part {
    /** What it is told apart by from others of its kind on the same screen; its place among them where it is nothing. */
    val key: String? get() = null
}

/** The question or head of the screen. */
data class Heading(val text: String) : Part

/** The head of what follows. */
data class Section(val text: String) : Part

/** Plain text. */
data class Body(val text: String, val bold: Boolean = false) : Part

/** When, from where, in how much time: said smaller. */
data class Note(val text: String, val live: Boolean = false) : Part

/** A person's own words, or a sentence to say aloud. */
data class Words(val text: String) : Part

/** What stands in a frame: what is always said, what has gone wrong. */
data class Boxed(val text: String, val live: Boolean = false) : Part

/** A button. */
data class Press(
    val text: String,
    val kind: PressKind = PressKind.PLAIN,
    /** Read out in the place of the text where that alone would not say enough. */
    val spoken: String? = null,
    /** What it opens is open; nothing where it opens nothing on this screen. */
    val open: Boolean? = null,
    override val key: String? = null,
    val tap: () -> Unit,
) : Part

enum class PressKind { MAIN, PLAIN, STOP, LINK }

/** Two buttons beside each other where there is room; never two opposite ones. */
data class Pair(val left: Press, val right: Press) : Part

/** A ruled row. [mark] is the name of a mark, [picture] the path of a small picture. */
data class Row(
    val margin: String,
    val head: String,
    val text: String = "",
    val mark: String = "",
    val picture: String = "",
    val more: List<Part> = emptyList(),
    /** A row with a picture's or a mark's place in the margin keeps it also where there is none. */
    override val key: String? = null,
    val tap: (() -> Unit)? = null,
) : Part

/** One answer of a question. */
data class Option(
    val id: String,
    val text: String,
    val chosen: Boolean,
    val note: String = "",
    val mark: String = "",
    /** A drawn picture of what it says; 0 for none. */
    val drawn: Int = 0,
)

/** Answers one below the other, the whole row to be touched. */
data class Options(
    val name: String,
    val options: List<Option>,
    /** Several can be chosen at once. */
    val several: Boolean = false,
    override val key: String? = null,
    val choose: (String) -> Unit,
) : Part

/** How sure the looker is, in tally strokes: three choices, a guess first. */
data class Tally(val options: List<Option>, val choose: (String) -> Unit) : Part

/** A field to write in: kept while it is typed, written when it is left. */
data class Field(
    val name: String,
    val label: String,
    val text: String,
    val kind: TextKind = TextKind.LINE,
    val problem: String = "",
    val typed: (String) -> Unit,
    val left: (String) -> Unit,
) : Part {
    override val key get() = name
}

enum class TextKind { LINE, WORDS, NUMBER, CODE }

/** One cause with the line on which its number stands, and why. */
data class Cause(
    val name: String,
    val sure: String,
    val percent: Int,
    /** Where the words for a number change. */
    val knots: List<Int>,
    val facts: List<Fact>,
    /** Its part in the trouble; empty where there is nothing to say. */
    val role: String = "",
) : Part

/** A label and what is said of it. */
data class Fact(val label: String, val text: String) : Part

/** How far something is on its way: pegs driven in of four, with the words. */
data class Way(val step: Int, val words: String) : Part

/** The head of a stop, beside the shut gate. */
data class StopHead(val text: String) : Part
