package org.dooryard.app.parts

import android.text.Editable
import android.text.InputType
import android.text.TextWatcher
import android.view.View
import android.view.inputmethod.EditorInfo
import android.widget.EditText
import android.widget.TextView
import org.dooryard.app.R

/** Watches one field: each key is told, and that it was left. What a person types is never replaced under their fingers. */
class FieldKeeper private constructor(private val edit: EditText) : TextWatcher {
    private var part: Field? = null
    private var filling = false

    init {
        edit.addTextChangedListener(this)
        edit.setOnFocusChangeListener { _, has -> if (!has) leave() }
        edit.tag = this
    }

    fun bind(view: View, next: Field) {
        val first = part == null
        part = next
        view.findViewById<TextView>(R.id.field_label).text = next.label
        view.findViewById<TextView>(R.id.field_problem).showText(next.problem)
        // Whatever the system sets in the field here, nobody typed it.
        filling = true
        if (first) {
            edit.id = View.generateViewId()
            view.findViewById<TextView>(R.id.field_label).labelFor = edit.id
            edit.inputType = inputType(next.kind)
            if (next.kind == TextKind.WORDS) {
                edit.typeface = android.graphics.Typeface.SERIF
                edit.minLines = LINES
                edit.gravity = android.view.Gravity.TOP
            } else {
                edit.imeOptions = EditorInfo.IME_ACTION_DONE
            }
        }
        if (!edit.hasFocus() && edit.text.toString() != next.text) edit.setText(next.text)
        filling = false
    }

    private fun leave() {
        val field = part ?: return
        if (edit.text.toString() != field.text || field.problem.isNotEmpty()) field.left(edit.text.toString())
    }

    override fun afterTextChanged(text: Editable) {
        if (!filling) part?.typed?.invoke(text.toString())
    }

    override fun beforeTextChanged(text: CharSequence, start: Int, count: Int, after: Int) = Unit

    override fun onTextChanged(text: CharSequence, start: Int, before: Int, count: Int) = Unit

    companion object {
        private const val LINES = 3

        fun of(edit: EditText): FieldKeeper = edit.tag as? FieldKeeper ?: FieldKeeper(edit)

        private fun inputType(kind: TextKind): Int = when (kind) {
            TextKind.LINE -> InputType.TYPE_CLASS_TEXT or InputType.TYPE_TEXT_FLAG_CAP_SENTENCES
            TextKind.WORDS -> InputType.TYPE_CLASS_TEXT or InputType.TYPE_TEXT_FLAG_CAP_SENTENCES or
                InputType.TYPE_TEXT_FLAG_MULTI_LINE
            TextKind.NUMBER -> InputType.TYPE_CLASS_NUMBER or InputType.TYPE_NUMBER_FLAG_DECIMAL
            TextKind.CODE -> InputType.TYPE_CLASS_TEXT or InputType.TYPE_TEXT_FLAG_MULTI_LINE or
                InputType.TYPE_TEXT_FLAG_NO_SUGGESTIONS
        }
    }
}
