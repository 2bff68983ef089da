package org.dooryard.app.screens

import org.dooryard.app.MainActivity
import org.dooryard.app.R
import org.dooryard.app.copyText
import org.dooryard.app.parts.Body
import org.dooryard.app.parts.Boxed
import org.dooryard.app.parts.Code
import org.dooryard.app.parts.Fact
import org.dooryard.app.parts.Heading
import org.dooryard.app.parts.Letters
import org.dooryard.app.parts.Note
import org.dooryard.app.parts.Option
import org.dooryard.app.parts.Options
import org.dooryard.app.parts.Part
import org.dooryard.app.parts.Press
import org.dooryard.app.parts.PressKind
import org.dooryard.app.parts.Section
import org.dooryard.app.parts.Words
import org.dooryard.app.shareText
import org.dooryard.core.ContentScreen
import org.dooryard.core.Enrolling
import org.dooryard.core.FirstScreen
import org.dooryard.kit.Look
import org.dooryard.kit.Place
import org.dooryard.kit.Type
import org.dooryard.kit.join.Square
import org.dooryard.kit.me.MePresenter

/** The office and this phone: how they stand, what a person chose, the ways to what is kept. */
class MeView(activity: MainActivity, presenter: MePresenter) : ScreenView<MePresenter>(activity, presenter) {
    override val title get() = word(R.string.me)
    private var copied = false

    override fun parts(): List<Part> {
        val (screen, square, content) = presenter.state ?: return emptyList()
        return buildList {
            addAll(standing(screen))
            if (screen.ask.isNotEmpty()) {
                addAll(activity.ownCode(screen.ask, square, copied) {
                    copied = true
                    again()
                })
            }
            when (screen.standing) {
                Enrolling.NOT_INVITED -> add(Press(word(R.string.hand_take_code), key = "join") { presenter.go(Place.Join) })
                Enrolling.ASKING -> add(Press(word(R.string.hand_take_answer), key = "join") { presenter.go(Place.Join) })
                Enrolling.ENROLLED -> Unit
            }
            add(Section(word(R.string.hand_keeping)))
            add(link(R.string.hand_over, Place.HandOver))
            add(link(R.string.hand_backup, Place.Backup))
            add(link(R.string.hand_room, Place.Room))
            add(link(R.string.hand_privacy, Place.Privacy))
            add(link(R.string.hand_bin, Place.Bin))
            addAll(content(content))
            addAll(choices(screen))
            add(Section(word(R.string.hand_about)))
            add(Fact(word(R.string.hand_version), version()))
        }
    }

    private fun standing(screen: FirstScreen): List<Part> = buildList {
        addAll(activity.standing(screen))
        screen.facts.forEach { add(Fact(it.label, it.text)) }
        if (screen.words.isNotEmpty()) {
            add(Section(word(R.string.hand_words)))
            add(Words(screen.words.joinToString("\n")))
        }
    }

    /** What the app speaks from, and first that it may be outdated. */
    private fun content(content: ContentScreen): List<Part> = buildList {
        add(Section(word(R.string.hand_content)))
        add(Body(content.name, bold = true))
        if (content.outdated.isNotEmpty()) add(Boxed(content.outdated))
        content.facts.forEach { add(Fact(it.label, it.text)) }
        if (content.notice.isNotEmpty()) add(Note(content.notice))
    }

    private fun choices(screen: FirstScreen): List<Part> {
        val chosen = presenter.settings
        val languages = listOf(Option("", word(R.string.hand_language_phone), chosen.language == null)) +
            screen.languages.map { Option(it.id, it.text, chosen.language != null && it.chosen) }
        return listOf(
            Section(word(R.string.hand_language)),
            Options("language", languages, key = "language") { presenter.language(it) },
            Section(word(R.string.hand_units)),
            Options("units", screen.units.map { Option(it.id, it.text, it.chosen) }, key = "units") { presenter.units(it) },
            Section(word(R.string.hand_look)),
            Options("look", Look.entries.map { Option(it.name, word(nameOf(it)), it == chosen.look) }, key = "look") {
                presenter.look(Look.valueOf(it))
            },
            Section(word(R.string.hand_type)),
            Options("type", Type.entries.map { Option(it.name, word(nameOf(it)), it == chosen.type) }, key = "type") {
                presenter.type(Type.valueOf(it))
            },
        )
    }

    private fun link(name: Int, place: Place) =
        Press(word(name), PressKind.LINK, key = place.line()) { presenter.go(place) }

    private fun version(): String = activity.packageManager.getPackageInfo(activity.packageName, 0).versionName.orEmpty()

    private fun nameOf(look: Look): Int = when (look) {
        Look.PHONE -> R.string.hand_look_phone
        Look.LIGHT -> R.string.hand_look_light
        Look.DARK -> R.string.hand_look_dark
        Look.SUN -> R.string.hand_look_sun
    }

    private fun nameOf(type: Type): Int = when (type) {
        Type.PLAIN -> R.string.hand_type_plain
        Type.LARGE -> R.string.hand_type_large
        Type.LARGEST -> R.string.hand_type_largest
    }

    override fun bottom() = listOf(Press(word(R.string.back), key = "back") { back() })
}

/** How a phone stands with its office: the head of a page. */
fun MainActivity.standing(screen: FirstScreen): List<Part> {
    // While it waits, every line says what to do: none of them is a head.
    val head = if (screen.standing == Enrolling.ASKING) getString(R.string.hand_asking) else screen.lines.firstOrNull().orEmpty()
    return listOf(Heading(head)) + screen.lines.filter { it != head }.map { Body(it) }
}

/** The code of this phone for the office: as a square, as text, and the ways to hand it on. */
fun MainActivity.ownCode(ask: String, square: Square?, copied: Boolean, didCopy: () -> Unit): List<Part> = buildList {
    add(Section(getString(R.string.hand_own_code)))
    add(Note(getString(R.string.hand_own_code_how)))
    square?.let { add(Code(it, getString(R.string.hand_own_code_spoken))) }
    add(Letters(ask))
    add(
        Press(getString(R.string.hand_copy), key = "copy") {
            copyText(ask)
            didCopy()
        },
    )
    if (copied) add(Note(getString(R.string.hand_copied), live = true))
    add(Press(getString(R.string.hand_share_code), key = "share") { shareText(ask, getString(R.string.hand_share_code)) })
}
