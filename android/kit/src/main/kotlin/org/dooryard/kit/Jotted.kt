package org.dooryard.kit

import java.util.concurrent.ConcurrentHashMap

/**
 * What somebody put in that stands in no record yet: a tick, a search, words that are written with the next act. It belongs to a
 * place, and is there again when somebody comes back to it.
 */
class Jotted(lines: List<String> = emptyList()) {
    private val kept = ConcurrentHashMap<String, String>()

    init {
        lines.chunked(2).forEach { if (it.size == 2) kept[it[0]] = it[1] }
    }

    /** What stands under a name; empty for nothing. */
    operator fun get(place: Place, name: String): String = kept[key(place, name)].orEmpty()

    /** Keeps this under a name; nothing, where it is empty. */
    operator fun set(place: Place, name: String, text: String) {
        if (text.isEmpty()) kept.remove(key(place, name)) else kept[key(place, name)] = text
    }

    /** Whether a tick is set. */
    fun isTicked(place: Place, name: String): Boolean = this[place, name] == YES

    /** Sets a tick, or takes it. */
    fun turn(place: Place, name: String) {
        this[place, name] = if (isTicked(place, name)) "" else YES
    }

    /** Everything of a place was written, or is not wanted any more. */
    fun forget(place: Place) {
        kept.keys.removeAll { it.startsWith(place.line() + BREAK) }
    }

    /** All of it as lines of text, for what the system keeps while it takes the app out of memory. */
    val lines: List<String> get() = kept.entries.flatMap { listOf(it.key, it.value) }

    private fun key(place: Place, name: String) = place.line() + BREAK + name

    private companion object {
        const val BREAK = "\n"
        const val YES = "yes"
    }
}
