package org.dooryard.app

import android.content.Context
import org.dooryard.core.Language
import org.dooryard.kit.Trouble
import org.dooryard.kit.TroubleKind

/** What to say of a trouble: the core's own sentence, or the app's. */
fun Context.said(trouble: Trouble): String {
    val language = if (resources.configuration.locales[0].language == "es") Language.ES else Language.EN
    trouble.said(language)?.let { return it }
    return when (trouble.kind) {
        TroubleKind.FULL -> getString(R.string.trouble_full) + "\n" + getString(R.string.trouble_full_hand_over)
        TroubleKind.REFUSED -> getString(R.string.trouble_refused)
        TroubleKind.INVALID -> getString(R.string.trouble_invalid)
        TroubleKind.GONE -> getString(R.string.trouble_gone)
        TroubleKind.NO_OFFICE -> getString(R.string.trouble_no_office)
        TroubleKind.NEWER -> getString(R.string.trouble_newer)
        TroubleKind.DAMAGED -> getString(R.string.trouble_damaged)
        TroubleKind.LOCKED -> getString(R.string.trouble_locked)
        TroubleKind.KEY -> getString(R.string.trouble_key)
        TroubleKind.STORAGE -> getString(R.string.trouble_storage)
        TroubleKind.STOPPED -> getString(R.string.trouble_stopped)
        TroubleKind.UNREADABLE -> getString(R.string.hand_unreadable)
        TroubleKind.UNWRITABLE -> getString(R.string.hand_unwritable)
    }
}
