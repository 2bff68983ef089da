package org.dooryard.app.parts

import android.content.Context
import org.dooryard.app.R
import org.dooryard.core.AskField
import org.dooryard.core.FieldKind

/** What a field of the core looks like. */
fun field(context: Context, of: AskField, typed: (String, String) -> Unit, left: (String, String) -> Unit): List<Part> =
    when (of.kind) {
        FieldKind.LINE, FieldKind.WORDS, FieldKind.NUMBER -> listOf(
            Field(
                of.name,
                context.labelOf(of),
                of.text,
                when (of.kind) {
                    FieldKind.WORDS -> TextKind.WORDS
                    FieldKind.NUMBER -> TextKind.NUMBER
                    else -> TextKind.LINE
                },
                of.problem,
                { typed(of.name, it) },
                { left(of.name, it) },
            ),
        )
        FieldKind.CHOICE -> listOf(
            Section(context.labelOf(of)),
            Options(of.name, of.choices.map { Option(it.id, it.text, it.chosen) }, key = of.name) { left(of.name, it) },
        )
        FieldKind.TICK -> listOf(
            Options(of.name, listOf(Option(YES, context.labelOf(of), of.text == YES)), several = true, key = of.name) {
                left(of.name, if (of.text == YES) "" else YES)
            },
        )
    }

private fun Context.labelOf(of: AskField): String =
    if (of.private) "${of.label} (${getString(R.string.private_to_office)})" else of.label

/** What stands in a tick that is set. */
private const val YES = "yes"
