package org.dooryard.kit

import org.dooryard.core.Language
import org.dooryard.core.Reader
import org.dooryard.core.Units

/** How bright it is where somebody reads: as the phone says, always light, always dark, or in full sun. */
enum class Look { PHONE, LIGHT, DARK, SUN }

/** How large the type is, over what the phone says. */
enum class Type { PLAIN, LARGE, LARGEST }

/** What a person chose for this phone. A language that is nothing is the phone's own. */
data class Settings(
    val language: Language? = null,
    val units: Units = Units.CUSTOMARY,
    val look: Look = Look.PHONE,
    val type: Type = Type.PLAIN,
) {
    /** Whom the core speaks to. */
    fun reader(phone: Language, zone: String) = Reader(language ?: phone, units, zone)

    /** As a line of text. */
    fun line(): String = listOf(language?.name ?: NONE, units.name, look.name, type.name).joinToString(" ")

    companion object {
        private const val NONE = "-"

        /** Reads a line; what is not understood is as on the first day. */
        fun of(line: String): Settings {
            val parts = line.split(" ")
            fun at(n: Int) = parts.getOrElse(n) { "" }
            val plain = Settings()
            return Settings(
                Language.entries.firstOrNull { it.name == at(0) },
                Units.entries.firstOrNull { it.name == at(1) } ?: plain.units,
                Look.entries.firstOrNull { it.name == at(2) } ?: plain.look,
                Type.entries.firstOrNull { it.name == at(3) } ?: plain.type,
            )
        }
    }
}
