package org.dooryard.kit

import org.dooryard.core.RecordId
import org.dooryard.core.Screen

/**
 * The way a person came: the place where they are, and those that they come back to. It starts at Today. Each step is kept in the
 * notebook, so that the app opens there again after it was killed.
 */
class Trail(
    private val core: Core,
    lines: List<String> = emptyList(),
    /** What was put in on the way, and stands in no record yet. */
    val jotted: Jotted = Jotted(),
) {
    private val places = lines.mapNotNull { Place.of(it) }.ifEmpty { listOf(Place.Today) }.toMutableList()

    /** Told after each step, on the main thread: whether it went back. */
    var moved: (back: Boolean) -> Unit = {}

    /** Where somebody is. */
    val here: Place get() = places.last()

    /** The inquiry that one is about, or came from last. */
    val inquiry: RecordId? get() = places.asReversed().firstNotNullOfOrNull { it.inquiryOf }

    /** The whole way as lines of text. */
    val lines: List<String> get() = places.map { it.line() }

    /** Goes on to a place. */
    fun go(place: Place) {
        if (place == Place.Today) places.clear()
        if (places.lastOrNull() == place) return
        places += place
        step(false)
    }

    /** Goes on, and does not come back to where one was. */
    fun swap(place: Place) {
        places.removeAt(places.lastIndex)
        if (places.lastOrNull() != place) places += place
        step(false)
    }

    /** A place on the way turned out to be this one, as a new plant does once it is written: nobody goes anywhere. */
    fun became(was: Place, now: Place) {
        val at = places.indexOfLast { it == was }
        if (at < 0 || was == now) return
        places[at] = now
        if (at == places.lastIndex) keep(now)
    }

    /** Goes back; says no at the first screen. */
    fun back(): Boolean {
        if (places.size < 2) return false
        places.removeAt(places.lastIndex)
        step(true)
        return true
    }

    /** Leaves a record altogether, for where one was before it: an inquiry, or a plant of one. */
    fun leave(record: RecordId) {
        places.removeAll { it.isOf(record) }
        if (places.isEmpty()) places += Place.Today
        step(true)
    }

    private fun step(back: Boolean) {
        keep(here)
        moved(back)
    }

    private fun keep(place: Place) {
        val kept: (Screen, RecordId, RecordId?, String) -> Unit = { screen, inquiry, plant, look ->
            core.ask({ keepPlace(screen, inquiry, plant, look) }) {}
        }
        when (place) {
            Place.Today -> core.ask({ leavePlace() }) {}
            is Place.Inquiry -> kept(Screen.INQUIRY, place.inquiry, null, "")
            is Place.Ask -> kept(Screen.ASK, place.inquiry, null, "")
            is Place.Stop -> kept(Screen.STOP, place.inquiry, null, "")
            is Place.Spot -> kept(Screen.PLACE, place.inquiry, null, "")
            is Place.Plant -> kept(Screen.PLANT, place.inquiry, place.plant, "")
            is Place.Look -> kept(Screen.LOOK, place.inquiry, place.plant, place.look)
            is Place.Shots -> kept(Screen.SHOTS, place.inquiry, place.plant, place.look)
            is Place.Think -> kept(Screen.THINK, place.inquiry, place.plant, "")
            is Place.Tell -> kept(Screen.TELL, place.inquiry, place.plant, "")
            is Place.Letter -> kept(Screen.LETTER, place.inquiry, place.plant, "")
            is Place.Sample -> kept(Screen.SAMPLE, place.inquiry, null, "")
            // These are about no one inquiry, or only looked at: coming back to the place before them is enough.
            Place.Records, Place.Later, Place.HandOver, Place.Bin, Place.Me, Place.Join, Place.Privacy, Place.Backup, Place.Room,
            is Place.History, is Place.Photo, is Place.Conflicts, is Place.AskLater, is Place.Answer, is Place.OneFile -> Unit
        }
    }
}
