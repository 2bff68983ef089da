package org.dooryard.kit.me

import org.dooryard.core.ContentScreen
import org.dooryard.core.FirstScreen
import org.dooryard.core.Language
import org.dooryard.core.Screens
import org.dooryard.core.Units
import org.dooryard.kit.Core
import org.dooryard.kit.Look
import org.dooryard.kit.Place
import org.dooryard.kit.Presenter
import org.dooryard.kit.Settings
import org.dooryard.kit.Trail
import org.dooryard.kit.Type
import org.dooryard.kit.join.Qr
import org.dooryard.kit.join.Square

/** The office and this phone. */
data class MeState(
    /** How the phone stands with its office. */
    val screen: FirstScreen,
    /** The code of this phone for the office to read; nothing where it needs none. */
    val square: Square?,
    /** What the app speaks from. */
    val content: ContentScreen,
)

/** What a person chose for this phone, wherever the shell keeps it. */
interface Chosen {
    var settings: Settings
}

/** The page of the office: how this phone stands with it, and what a person chose. [restyled] draws the whole app anew. */
class MePresenter(core: Core, trail: Trail, private val chosen: Chosen, private val restyled: () -> Unit) :
    Presenter<MeState>(core, trail) {

    /** What a person chose. */
    val settings: Settings get() = chosen.settings

    override fun Screens.load(): MeState = first().let { MeState(it, Qr.of(it.ask), content()) }

    /** Speaks this language; the phone's own where it is none of the core's. */
    fun language(id: String) = choose(settings.copy(language = Language.entries.firstOrNull { it.name.equals(id, true) }))

    /** Says lengths in these units. */
    fun units(id: String) {
        Units.entries.firstOrNull { it.name.equals(id, true) }?.let { choose(settings.copy(units = it)) }
    }

    /** Is as bright as this. */
    fun look(look: Look) = choose(settings.copy(look = look))

    /** Writes as large as this. */
    fun type(type: Type) = choose(settings.copy(type = type))

    fun go(place: Place) = trail.go(place)

    private fun choose(next: Settings) {
        if (next == settings) return
        chosen.settings = next
        restyled()
    }
}
