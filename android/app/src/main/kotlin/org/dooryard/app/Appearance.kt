package org.dooryard.app

import android.content.Context
import android.content.res.Configuration
import org.dooryard.core.Language
import org.dooryard.kit.Look
import org.dooryard.kit.Settings
import org.dooryard.kit.Type
import java.util.Locale

/** How much larger than the phone's own the type is. */
private val Type.scale: Float
    get() = when (this) {
        Type.PLAIN -> 1f
        Type.LARGE -> 1.3f
        Type.LARGEST -> 1.6f
    }

/** A context in the language, the brightness and the size of type that a person chose. */
fun Context.asChosen(settings: Settings): Context {
    val configuration = Configuration(resources.configuration)
    settings.language?.let { configuration.setLocale(Locale(if (it == Language.ES) "es" else "en", "US")) }
    configuration.fontScale *= settings.type.scale
    val night = when (settings.look) {
        Look.PHONE -> configuration.uiMode and Configuration.UI_MODE_NIGHT_MASK
        Look.DARK -> Configuration.UI_MODE_NIGHT_YES
        Look.LIGHT, Look.SUN -> Configuration.UI_MODE_NIGHT_NO
    }
    configuration.uiMode = (configuration.uiMode and Configuration.UI_MODE_NIGHT_MASK.inv()) or night
    return createConfigurationContext(configuration)
}

/** The theme for it. */
val Settings.theme: Int get() = if (look == Look.SUN) R.style.Dooryard_Sun else R.style.Dooryard
