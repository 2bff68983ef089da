package org.dooryard.kit.shots

import org.dooryard.core.NotebookException
import org.dooryard.core.Screens

/**
 * Takes in the photo of a camera that was still open when the app was taken out of memory. Asked once, when a notebook is opened:
 * what cannot be taken in, as where there is no room, keeps waiting.
 */
fun takeLeftShot(screens: Screens) {
    try {
        if (screens.pendingShot()?.written == true) screens.takeShot()
    } catch (_: NotebookException) {
        // It stays as it is; the screen of the shots offers it.
    }
}
