package org.dooryard.app.screens

import org.dooryard.app.MainActivity
import org.dooryard.app.R
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
import org.dooryard.app.parts.Section
import org.dooryard.app.said
import org.dooryard.core.LetGo
import org.dooryard.core.PrivacyScreen
import org.dooryard.kit.hand.Stage
import org.dooryard.kit.me.PrivacyPresenter

/** What this phone holds, what leaves it, what it may let go of; and erasing, which asks first. */
class PrivacyView(activity: MainActivity, presenter: PrivacyPresenter) : ScreenView<PrivacyPresenter>(activity, presenter) {
    override val title get() = word(R.string.hand_privacy)

    override fun parts(): List<Part> {
        val screen = presenter.state ?: return emptyList()
        val stage = presenter.stage
        return when {
            presenter.erases -> listOf(Heading(word(R.string.hand_erasing)), Note(word(R.string.wait), live = true))
            presenter.erasing -> erasing(screen)
            stage is Stage.Runs -> activity.working(word(R.string.hand_letting_go_now), stage)
            else -> held(screen)
        }
    }

    private fun held(screen: PrivacyScreen): List<Part> = buildList {
        add(Heading(word(R.string.hand_holds)))
        screen.holds.forEach { add(Fact(it.label, it.text)) }
        add(Section(word(R.string.hand_leaves)))
        screen.leaves.forEach { add(Body(it)) }
        add(Section(word(R.string.hand_letting_go)))
        when (val stage = presenter.stage) {
            is Stage.Ended -> add(
                Boxed(word(if (stage.value.rule == LetGo.NOTHING) R.string.hand_let_go_kept else R.string.hand_let_go_done), live = true),
            )
            is Stage.Stuck -> add(Boxed(activity.said(stage.trouble), live = true))
            else -> Unit
        }
        add(Options("rule", screen.lettingGo.map { Option(it.id, it.text, it.chosen) }, key = "rule") { presenter.letGo(it) })
        add(Section(word(R.string.hand_erase)))
        add(Body(screen.erase))
        add(Press(word(R.string.hand_erase), key = "erase") { presenter.askToErase() })
    }

    private fun erasing(screen: PrivacyScreen): List<Part> = buildList {
        add(Heading(word(R.string.hand_erase_head)))
        add(Boxed(screen.erase))
        screen.after.forEach { add(Body(it)) }
        add(Note(word(R.string.hand_erase_final)))
        add(Press(word(R.string.hand_erase_now), key = "final") { presenter.erase() })
    }

    override fun bottom(): List<Part> = when {
        presenter.erases -> emptyList()
        presenter.erasing -> listOf(Press(word(R.string.hand_erase_keep), PressKind.MAIN, key = "keep") { presenter.keep() })
        presenter.stage is Stage.Runs -> listOf(Press(word(R.string.hand_halt), key = "halt") { presenter.halt() })
        else -> listOf(Press(word(R.string.back), key = "back") { back() })
    }

    override fun back() = when {
        presenter.erases -> Unit
        presenter.erasing -> presenter.keep()
        else -> super.back()
    }
}
