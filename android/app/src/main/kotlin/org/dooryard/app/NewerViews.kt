package org.dooryard.app

import android.annotation.TargetApi
import android.os.Build
import android.view.View

/** Calls on views that Android 8 does not know yet; whoever calls them has looked at the level. */
object NewerViews {
    /** It is a heading. */
    @TargetApi(Build.VERSION_CODES.P)
    fun markHeading(view: View) {
        view.isAccessibilityHeading = true
    }
}
