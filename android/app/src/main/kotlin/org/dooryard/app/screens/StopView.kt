package org.dooryard.app.screens

import android.content.ActivityNotFoundException
import android.content.Intent
import android.net.Uri
import org.dooryard.app.MainActivity
import org.dooryard.app.R
import org.dooryard.app.parts.Body
import org.dooryard.app.parts.Note
import org.dooryard.app.parts.Part
import org.dooryard.app.parts.Press
import org.dooryard.app.parts.PressKind
import org.dooryard.app.parts.StopHead
import org.dooryard.kit.ask.StopPresenter

/** A stop fills the screen: what happened, the calls as buttons, then the rest. There is no way past it but having read it. */
class StopView(activity: MainActivity, presenter: StopPresenter) : ScreenView<StopPresenter>(activity, presenter) {
    override val title get() = ""
    override val stop get() = true

    override fun parts(): List<Part> {
        val stop = presenter.shown ?: return emptyList()
        return buildList {
            add(StopHead(stop.head))
            stop.calls.forEachIndexed { at, call ->
                add(Press(call, if (at == 0) PressKind.STOP else PressKind.PLAIN, key = call) { dial(call) })
            }
            add(Body(stop.text))
            if (stop.because.isNotEmpty()) add(Note(stop.because))
            if (stop.held.isNotEmpty()) add(Body(stop.held))
            if (stop.read.isNotEmpty()) add(Note(stop.read))
        }
    }

    override fun bottom(): List<Part> = buildList {
        val stop = presenter.shown ?: return@buildList
        if (stop.read.isEmpty()) {
            add(Press(word(R.string.have_read), PressKind.MAIN) { presenter.read() })
            add(Note(word(R.string.read_kept)))
        } else {
            add(Press(word(R.string.go_on), PressKind.MAIN) { presenter.goOn() })
        }
    }

    /** Opens the telephone with the number in it; the person makes the call. */
    private fun dial(call: String) {
        val number = call.filter { it.isDigit() || it == '+' }
        if (number.isEmpty()) return
        try {
            activity.startActivity(Intent(Intent.ACTION_DIAL, Uri.parse("tel:$number")))
        } catch (_: ActivityNotFoundException) {
            // A device without a telephone: the number stands on the button.
        }
    }
}
