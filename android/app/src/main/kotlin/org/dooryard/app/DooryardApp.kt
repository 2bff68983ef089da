package org.dooryard.app

import android.app.Application
import android.content.Context
import android.content.res.Configuration
import android.os.Handler
import org.dooryard.core.FieldNotebook
import org.dooryard.core.Language
import org.dooryard.core.NotebookException
import org.dooryard.core.Screens
import org.dooryard.core.Secrets
import org.dooryard.kit.Core
import org.dooryard.kit.Opened
import org.dooryard.kit.Settings
import org.dooryard.kit.Undoing
import org.dooryard.kit.shots.takeLeftShot
import org.dooryard.kit.hand.Errands
import org.dooryard.kit.hand.Outbox
import org.dooryard.kit.me.Chosen
import java.io.File
import java.time.ZoneId

/** The app as long as it is in memory: the notebook behind its thread, and what a person chose. */
open class DooryardApp : Application(), Chosen {
    /** The notebook. It is opened by the first question. */
    open val core: Core by lazy { begin() }

    /** What can be brought back. */
    open val undoing: Undoing by lazy { Undoing(core) }

    /** Long work that goes on whatever screen is shown. */
    open val errands: Errands by lazy { chores() }

    /** What a person chose for this phone. */
    override var settings: Settings
        get() = settingsOf(this)
        set(chosen) {
            kept(this).edit().putString(SETTINGS, chosen.line()).apply()
            core.ask({ setReader(reader(chosen)) }) {}
        }

    /** Folder of the notebook. */
    val folder: File get() = File(filesDir, "notebook")

    /** Files on their way in or out; what a kill left there goes at the next start. */
    val passing: File get() = File(cacheDir, "passing")

    /** Opens the notebook, or begins one on the first run. */
    protected open fun notebook(): FieldNotebook = try {
        FieldNotebook.open(folder.path, secrets())
    } catch (_: NotebookException.NotFound) {
        FieldNotebook.create(folder.path, secrets())
    }

    /** What wraps the notebook's key. */
    protected open fun secrets(): Secrets = KeystoreSecrets()

    /** Path of the pack that came with the app. */
    protected open fun pack(): String {
        val version = packageManager.getPackageInfo(packageName, 0).lastUpdateTime
        val file = File(filesDir, "$PACK.$version")
        if (!file.exists()) {
            val fresh = File(filesDir, "$PACK.new")
            assets.open(PACK).use { from -> fresh.outputStream().use { from.copyTo(it) } }
            filesDir.listFiles { old -> old.name.startsWith("$PACK.") && old != fresh }?.forEach { it.delete() }
            check(fresh.renameTo(file)) { "the pack could not be kept" }
        }
        return file.path
    }

    /** The notebook behind its thread, not opened yet. */
    protected fun begin() = Core(Handler(mainLooper)::post, ::open)

    /** Its long work, nothing of it begun. */
    protected fun chores() =
        Errands(core, Outbox(SharedFiles.folder(this)), passing, folder, File(filesDir, "code"), SharedFiles.scan(this)) {
            FieldNotebook.openWithNewKey(folder.path, secrets())
        }

    private val tidied by lazy { errands.start() }

    private fun open(): Opened {
        tidied
        val notebook = notebook()
        return Opened(notebook, Screens.open(notebook, pack(), reader(settings)).also(::takeLeftShot)).also(errands::heed)
    }

    private fun reader(chosen: Settings) = chosen.reader(phoneLanguage, ZoneId.systemDefault().id)

    /** The phone's own language, or English where we do not speak it. */
    private val phoneLanguage: Language
        get() = if (resources.configuration.locales[0].language == "es") Language.ES else Language.EN

    override fun onConfigurationChanged(configuration: Configuration) {
        super.onConfigurationChanged(configuration)
        core.ask({ setReader(reader(settings)) }) {}
    }

    companion object {
        private const val PACK = "starter.pack"
        private const val SETTINGS = "settings"

        private fun kept(context: Context) = context.getSharedPreferences(SETTINGS, MODE_PRIVATE)

        /** What a person chose, also before the app is there. */
        fun settingsOf(context: Context): Settings = Settings.of(kept(context).getString(SETTINGS, "").orEmpty())

    }
}
