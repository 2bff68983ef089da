package org.dooryard.app.screens

import org.dooryard.app.MainActivity
import org.dooryard.app.R
import org.dooryard.app.parts.BagLabel
import org.dooryard.app.parts.Body
import org.dooryard.app.parts.Boxed
import org.dooryard.app.parts.Fact
import org.dooryard.app.parts.Heading
import org.dooryard.app.parts.Note
import org.dooryard.app.parts.Option
import org.dooryard.app.parts.Options
import org.dooryard.app.parts.Part
import org.dooryard.app.parts.Press
import org.dooryard.app.parts.PressKind
import org.dooryard.app.parts.Row
import org.dooryard.app.parts.Section
import org.dooryard.app.parts.Way
import org.dooryard.app.parts.Words
import org.dooryard.app.parts.field
import org.dooryard.core.AskField
import org.dooryard.core.Form
import org.dooryard.core.RecordId
import org.dooryard.core.SampleCard
import org.dooryard.core.SampleScreen
import org.dooryard.kit.tell.SampleField
import org.dooryard.kit.tell.SamplePresenter

/** The samples of an inquiry: how to pack one, what stands on its bag, its way, and handing it over. */
class SampleView(activity: MainActivity, presenter: SamplePresenter) : ScreenView<SamplePresenter>(activity, presenter) {
    override val title get() = word(R.string.tell_samples)
    override val saved get() = presenter.state?.title.orEmpty()

    private val held get() = presenter.state?.held.orEmpty()

    override fun parts(): List<Part> {
        val screen = presenter.state ?: return emptyList()
        return buildList {
            if (held.isNotEmpty()) add(Boxed(held))
            if (presenter.taking && held.isEmpty()) addAll(taking(screen))
            else screen.samples.forEach { addAll(sample(it)) }
            if (held.isNotEmpty()) return@buildList
            if (screen.samples.isEmpty() || presenter.taking) addAll(packing(screen.packing))
        }
    }

    private fun packing(lines: List<String>) = listOf(Heading(word(R.string.tell_pack))) + lines.map { Body(it) }

    private fun taking(screen: SampleScreen) = buildList {
        add(Heading(word(R.string.tell_take)))
        if (screen.plants.size > 1) {
            add(Section(word(R.string.tell_sample_plant)))
            val options = screen.plants.map { Option(it.id, it.text, it.id == presenter.plant) }
            add(Options("plant", options, key = "plant") { presenter.isOf(it) })
        }
        for (it in screen.fields) {
            val bad = if (it.name == SampleField.PIECES && presenter.piecesBad) word(R.string.tell_sample_pieces_bad) else it.problem
            addAll(fields(Form.NEW_SAMPLE, screen.inquiry, it.copy(problem = bad)))
        }
    }

    private fun sample(card: SampleCard) = buildList {
        add(Heading(card.head))
        add(Way(card.steps.toInt(), card.way))
        if (card.result.isNotEmpty()) {
            add(Section(word(R.string.tell_laboratory)))
            add(Words(card.result))
        }
        add(Section(word(R.string.tell_label)))
        add(Note(word(R.string.tell_label_note)))
        add(BagLabel(card.label.map { Fact(it.label, it.text) }))
        card.fields.forEach { addAll(fields(Form.SAMPLE, card.id, it)) }
        if (card.chain.isNotEmpty()) add(Section(word(R.string.tell_chain)))
        card.chain.forEachIndexed { at, it -> add(Row("${it.day}\n${it.clock}", it.what, it.line, key = "${card.id} $at")) }
        if (held.isEmpty()) addAll(handing(card))
        val spoken = "${word(R.string.tell_sample_away)}: ${card.head}"
        add(Press(word(R.string.tell_sample_away), PressKind.LINK, spoken = spoken, key = "away ${card.id}") { presenter.takeAway(card.id) })
    }

    private fun handing(card: SampleCard) = buildList {
        val open = presenter.handing == card.id
        val spoken = "${word(R.string.tell_hand)}: ${card.head}"
        add(Press(word(R.string.tell_hand), spoken = spoken, open = open, key = "hand ${card.id}") { presenter.turnHanding(card.id) })
        if (!open) return@buildList
        card.handing.forEach { addAll(fields(Form.CUSTODY, card.id, it)) }
        add(Press(word(R.string.tell_handed), PressKind.MAIN, key = "handed") { presenter.handedOver() })
    }

    /** A field of a form, told apart from the same of another sample. */
    private fun fields(form: Form, of: RecordId, asked: AskField): List<Part> {
        val label = LABELS[asked.name].takeIf { form != Form.SAMPLE }?.let { word(it) } ?: asked.label
        return field(
            activity,
            asked.copy(name = "$form $of ${asked.name}", label = label),
            { _, text -> presenter.typed(form, of, asked.name, text) },
            { _, text -> presenter.left(form, of, asked.name, text) },
        )
    }

    override fun bottom(): List<Part> = buildList {
        val back = Press(word(R.string.back), key = "back") { back() }
        when {
            held.isNotEmpty() -> add(back)
            presenter.taking -> {
                add(Press(word(R.string.tell_taken), PressKind.MAIN, key = "taken") { presenter.taken() })
                add(Press(word(R.string.tell_take_not), key = "not") { presenter.turnTaking() })
            }
            else -> {
                add(Press(word(R.string.tell_take), PressKind.MAIN, key = "take") { presenter.turnTaking() })
                add(back)
            }
        }
    }

    /** Back from taking one is back to the samples: what was put in stays. */
    override fun back() = if (presenter.taking && held.isEmpty()) presenter.turnTaking() else super.back()

    private companion object {
        /** What is asked while the sample is in the hand: said in more words than the name of the field. */
        val LABELS = mapOf(
            SampleField.PART to R.string.tell_sample_part,
            SampleField.PIECES to R.string.tell_sample_pieces,
            SampleField.SEAL to R.string.tell_sample_seal,
            SampleField.COOL to R.string.tell_sample_cool,
            SampleField.TO to R.string.tell_hand_to,
            SampleField.CONDITION to R.string.tell_hand_condition,
        )
    }
}
