package org.dooryard.app.screens

import org.dooryard.app.MainActivity
import org.dooryard.app.R
import org.dooryard.app.parts.Body
import org.dooryard.app.parts.Boxed
import org.dooryard.app.parts.Heading
import org.dooryard.app.parts.Note
import org.dooryard.app.parts.Part
import org.dooryard.app.parts.Press
import org.dooryard.app.parts.PressKind
import org.dooryard.app.said
import org.dooryard.kit.Place
import org.dooryard.kit.hand.Stage
import org.dooryard.kit.me.RoomPresenter

/** Room on this phone: what can leave it and what stays, the act, what came of it. */
class RoomView(activity: MainActivity, presenter: RoomPresenter) : ScreenView<RoomPresenter>(activity, presenter) {
    override val title get() = word(R.string.hand_room)

    override fun parts(): List<Part> {
        val offer = presenter.state ?: return emptyList()
        return when (val stage = presenter.stage) {
            is Stage.Runs -> activity.working(word(R.string.hand_letting_go_now), stage)
            is Stage.Ended -> listOf(Heading(word(R.string.hand_room_done))) + stage.value.map { Body(it) }
            else -> buildList {
                add(Heading(word(if (offer.can) R.string.hand_room_can else R.string.hand_room_none)))
                if (stage is Stage.Stuck) add(Boxed(activity.said(stage.trouble), live = true))
                offer.lines.forEach { add(Body(it)) }
                add(Note(word(R.string.hand_room_how)))
                if (offer.can) add(Press(word(R.string.hand_over), key = "hand-over") { presenter.go(Place.HandOver) })
            }
        }
    }

    override fun bottom(): List<Part> = buildList {
        when (presenter.stage) {
            is Stage.Runs -> add(Press(word(R.string.hand_halt), key = "halt") { presenter.halt() })
            is Stage.Ended -> {
                add(Press(word(R.string.dismiss), PressKind.MAIN, key = "seen") { presenter.seen() })
                return@buildList
            }
            else ->
                if (presenter.state?.can == true) {
                    add(Press(word(R.string.hand_room_go), PressKind.MAIN, key = "go") { presenter.letGo() })
                } else {
                    add(Press(word(R.string.hand_over), PressKind.MAIN, key = "hand-over") { presenter.go(Place.HandOver) })
                }
        }
        add(Press(word(R.string.back), key = "back") { back() })
    }
}
