package org.dooryard.app

import android.app.Activity
import android.content.ActivityNotFoundException
import android.content.Intent
import android.net.Uri
import android.provider.Settings

/** Opens the phone's settings: those of this app, or others of this name. */
fun Activity.openSettings(action: String = Settings.ACTION_APPLICATION_DETAILS_SETTINGS) {
    val intent = Intent(action)
    if (action == Settings.ACTION_APPLICATION_DETAILS_SETTINGS) intent.data = Uri.fromParts("package", packageName, null)
    try {
        startActivity(intent)
    } catch (_: ActivityNotFoundException) {
        // A device without such a page: the sentence stands on the screen.
    }
}
