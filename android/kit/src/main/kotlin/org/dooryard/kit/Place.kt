package org.dooryard.kit

import org.dooryard.core.RecordId
import org.dooryard.core.Screen

/** Where somebody is in the app: a screen, with what it is about. */
sealed interface Place {
    data object Today : Place
    data object Records : Place
    data object Later : Place
    data object HandOver : Place
    data object Bin : Place
    data object Me : Place
    data object Join : Place
    data object Privacy : Place
    data object Backup : Place

    /** What can leave this phone, so that there is room. */
    data object Room : Place
    data class Inquiry(val inquiry: RecordId) : Place
    data class History(val inquiry: RecordId) : Place
    data class Ask(val inquiry: RecordId) : Place
    data class Stop(val inquiry: RecordId) : Place
    data class Spot(val inquiry: RecordId) : Place
    data class Plant(val inquiry: RecordId, val plant: RecordId?) : Place
    data class Look(val inquiry: RecordId, val plant: RecordId, val look: String) : Place
    /** [look] is the look that the photos show; nothing where they show none. */
    data class Shots(val inquiry: RecordId, val plant: RecordId?, val look: String = "") : Place
    data class Photo(val photo: RecordId) : Place
    data class Think(val inquiry: RecordId, val plant: RecordId) : Place
    data class Tell(val inquiry: RecordId, val plant: RecordId) : Place
    data class Letter(val inquiry: RecordId, val plant: RecordId) : Place
    data class Sample(val inquiry: RecordId) : Place
    data class Conflicts(val inquiry: RecordId?) : Place
    data class AskLater(val inquiry: RecordId) : Place

    /** One inquiry as a file. */
    data class OneFile(val inquiry: RecordId) : Place
    data class Answer(val inquiry: RecordId, val followUp: RecordId) : Place

    /** As a line of text, for what the system keeps while it takes the app out of memory. */
    fun line(): String = (listOf(name()) + parts().map { it ?: NONE }).joinToString(SEPARATOR)

    /** Whether it is about this record, or about something of it. */
    fun isOf(record: RecordId): Boolean = record in parts()

    /** The inquiry that it is about; nothing where it is about none, or about one photo. */
    val inquiryOf: RecordId? get() = if (this is Photo) null else parts().firstOrNull()

    private fun name(): String = this::class.java.simpleName

    private fun parts(): List<String?> = when (this) {
        Today, Records, Later, HandOver, Bin, Me, Join, Privacy, Backup, Room -> emptyList()
        is Inquiry -> listOf(inquiry)
        is History -> listOf(inquiry)
        is Ask -> listOf(inquiry)
        is Stop -> listOf(inquiry)
        is Spot -> listOf(inquiry)
        is Plant -> listOf(inquiry, plant)
        is Look -> listOf(inquiry, plant, look)
        is Shots -> listOf(inquiry, plant, look.ifEmpty { null })
        is Photo -> listOf(photo)
        is Think -> listOf(inquiry, plant)
        is Tell -> listOf(inquiry, plant)
        is Letter -> listOf(inquiry, plant)
        is Sample -> listOf(inquiry)
        is Conflicts -> listOf(inquiry)
        is AskLater -> listOf(inquiry)
        is OneFile -> listOf(inquiry)
        is Answer -> listOf(inquiry, followUp)
    }

    companion object {
        private const val SEPARATOR = " "
        private const val NONE = "-"
        // Made anew each time: while the first of these is being made, it is not there yet to be kept in a list.
        private val fixed get() = listOf(Today, Records, Later, HandOver, Bin, Me, Join, Privacy, Backup, Room)

        /** Reads a line; nothing where it is none of ours. */
        fun of(line: String): Place? {
            val parts = line.split(SEPARATOR)
            fun at(n: Int): String = parts.getOrElse(n) { "" }
            fun maybe(n: Int): String? = at(n).takeIf { it != NONE && it.isNotEmpty() }
            fixed.firstOrNull { it.line() == line }?.let { return it }
            if (parts.size < 2) return null
            return when (parts[0]) {
                "Inquiry" -> Inquiry(at(1))
                "History" -> History(at(1))
                "Ask" -> Ask(at(1))
                "Stop" -> Stop(at(1))
                "Spot" -> Spot(at(1))
                "Plant" -> Plant(at(1), maybe(2))
                "Look" -> Look(at(1), at(2), maybe(3).orEmpty())
                "Shots" -> Shots(at(1), maybe(2), maybe(3).orEmpty())
                "Photo" -> Photo(at(1))
                "Think" -> Think(at(1), at(2))
                "Tell" -> Tell(at(1), at(2))
                "Letter" -> Letter(at(1), at(2))
                "Sample" -> Sample(at(1))
                "Conflicts" -> Conflicts(maybe(1))
                "AskLater" -> AskLater(at(1))
                "OneFile" -> OneFile(at(1))
                "Answer" -> Answer(at(1), at(2))
                else -> null
            }
        }

        /** The place at which the core says that somebody was. */
        fun of(screen: Screen, inquiry: RecordId, plant: RecordId?, look: String): Place = when (screen) {
            Screen.ASK -> Ask(inquiry)
            Screen.STOP -> Stop(inquiry)
            Screen.PLACE -> Spot(inquiry)
            Screen.PLANT -> Plant(inquiry, plant)
            Screen.SHOTS -> Shots(inquiry, plant, look)
            Screen.SAMPLE -> Sample(inquiry)
            Screen.INQUIRY -> Inquiry(inquiry)
            Screen.LOOK -> if (plant == null) Inquiry(inquiry) else Look(inquiry, plant, look)
            Screen.THINK -> if (plant == null) Inquiry(inquiry) else Think(inquiry, plant)
            Screen.TELL -> if (plant == null) Inquiry(inquiry) else Tell(inquiry, plant)
            Screen.LETTER -> if (plant == null) Inquiry(inquiry) else Letter(inquiry, plant)
        }
    }
}
