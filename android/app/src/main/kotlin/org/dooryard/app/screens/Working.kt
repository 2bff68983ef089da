package org.dooryard.app.screens

import android.content.Context
import org.dooryard.app.R
import org.dooryard.app.parts.Bar
import org.dooryard.app.parts.Heading
import org.dooryard.app.parts.Note
import org.dooryard.app.parts.Part
import org.dooryard.kit.hand.Share
import org.dooryard.kit.hand.Stage
import org.dooryard.kit.hand.share

/** What stands on a screen while long work runs: what it is, how far it is, that one may leave. */
fun Context.working(head: String, stage: Stage.Runs): List<Part> {
    val progress = stage.progress
    val words = when (progress?.share) {
        null -> R.string.wait
        Share.BEGUN -> R.string.hand_begun
        Share.QUARTER -> R.string.hand_quarter
        Share.HALF -> R.string.hand_half
        Share.MOST -> R.string.hand_most
    }
    return listOf(
        Heading(head),
        Bar(getString(words), progress?.done ?: 0, progress?.total ?: 0),
        Note(getString(R.string.hand_may_leave)),
    )
}
