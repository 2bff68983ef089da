package org.dooryard.app.walk

import android.app.Activity
import android.content.Intent
import android.net.Uri
import android.os.ParcelFileDescriptor
import android.provider.MediaStore
import org.dooryard.app.RehearsalApp
import org.dooryard.app.SharedFiles
import org.dooryard.app.Stage
import org.dooryard.app.parts.Pictures
import org.dooryard.app.parts.all
import org.dooryard.core.RecordId
import org.dooryard.core.Screens
import org.dooryard.kit.Answer
import org.dooryard.kit.Desk
import org.dooryard.kit.Place
import org.robolectric.Robolectric
import org.robolectric.RuntimeEnvironment
import org.robolectric.Shadows.shadowOf
import java.io.File
import java.nio.file.Path

/** The photo that a camera of these tests takes. */
val leaf = File(checkNotNull(System.getProperty("dooryard.photo")))

/** A stage in an office's county. */
fun stageIn(folder: Path): Stage {
    RehearsalApp.desk = Desk(folder.resolve("office"))
    return Stage()
}

/** Asks the core itself. */
fun <T> Stage.ask(what: Screens.() -> T): T {
    var answer: Answer<T>? = null
    app.core.ask(what) { answer = it }
    settle()
    return when (val it = checkNotNull(answer)) {
        is Answer.Done -> it.value
        is Answer.Not -> error("${it.trouble}")
    }
}

/** Goes to a place by its name, as the ways of other screens do. */
fun Stage.go(place: Place): Stage {
    activity.trail.go(place)
    return settle()
}

/** An inquiry with a plant of this kind. */
fun Stage.plant(kind: String = "tomato_family"): kotlin.Pair<RecordId, RecordId> = ask {
    val inquiry = begin("yard")
    inquiry to checkNotNull(writePlant(inquiry, null, "host", kind, true).plant)
}

/** What was asked of another app last. */
fun Stage.asked(): Intent = checkNotNull(shadowOf(activity).peekNextStartedActivityForResult()?.intent)

/** The camera that was opened writes this photo where it was told to, and closes. */
fun Stage.takes(photo: File = leaf): Stage {
    val sent = shadowOf(activity).nextStartedActivityForResult
    write(sent.intent, photo)
    return comes(sent.requestCode, Activity.RESULT_OK, null)
}

/** What a camera does with the file that it was given. */
fun Stage.write(intent: Intent, photo: File) {
    @Suppress("DEPRECATION")
    val to = checkNotNull(intent.getParcelableExtra<Uri>(MediaStore.EXTRA_OUTPUT))
    // As the camera's own call goes through the system to the provider, not around it.
    val provider = Robolectric.setupContentProvider(SharedFiles::class.java)
    ParcelFileDescriptor.AutoCloseOutputStream(provider.openFile(to, "w")).use { out ->
        photo.inputStream().use { it.copyTo(out) }
    }
}

/** Another app gives an answer. */
fun Stage.comes(request: Int, result: Int, data: Intent?): Stage {
    shadowOf(activity).callOnActivityResult(request, result, data)
    settle()
    Pictures.settle()
    return settle()
}

/** The system took the app out of memory while another app was before it; the window comes back with what it kept. */
fun Stage.killed(): Stage {
    app.kill()
    return recreate()
}

/** The app's own context. */
val app: RehearsalApp get() = RuntimeEnvironment.getApplication() as RehearsalApp
