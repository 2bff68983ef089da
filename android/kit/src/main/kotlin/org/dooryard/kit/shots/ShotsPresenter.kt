package org.dooryard.kit.shots

import org.dooryard.core.Pending
import org.dooryard.core.RecordId
import org.dooryard.core.Screens
import org.dooryard.core.ShotRow
import org.dooryard.core.ShotScreen
import org.dooryard.core.StopCard
import org.dooryard.kit.Answer
import org.dooryard.kit.Core
import org.dooryard.kit.Place
import org.dooryard.kit.Presenter
import org.dooryard.kit.Progress
import org.dooryard.kit.Trail
import org.dooryard.kit.Undoing
import java.io.File

/** What there is to say besides the shots; the shell has words for each. */
enum class ShotNotice { NO_CAMERA, NOT_ALLOWED, NO_PICTURE, NO_GALLERY, UNREADABLE }

/** The guided set of photos of a plant, or of the place where [plant] is none. A photo that is taken or brought in here shows [look]. */
class ShotsPresenter(
    core: Core,
    trail: Trail,
    private val undoing: Undoing,
    private val inquiry: RecordId,
    private val plant: RecordId?,
    private val look: String = "",
) : Presenter<ShotScreen>(core, trail) {
    /** Opens the camera for a shot that is written down already. */
    var camera: (Pending) -> Unit = {}

    /** What there is to say of the last try; nothing for nothing. */
    var notice: ShotNotice? = null
        private set

    /** Pictures that are being brought in, and how far. */
    var importing: Progress? = null
        private set

    /** The shot that somebody turned to. */
    private var turned: String? = null

    /** The photo that the next one takes the place of. */
    private var replaces: RecordId? = null

    /** What was chosen for the size; the core's own choice before. */
    private var chosenScale: String? = null

    /** What the look is called that the photos show; empty where they show none. */
    var shows = ""
        private set

    override fun start(back: Boolean) {
        super.start(back)
        val of = plant?.takeIf { look.isNotEmpty() } ?: return
        does({ look(inquiry, of, look, "").parts.flatMap { it.looks }.firstOrNull { it.character == look }?.label }) {
            shows = it.orEmpty()
            changed()
        }
    }

    override fun Screens.load() = shots(inquiry, plant)

    override fun haltsOf(state: ShotScreen): List<StopCard> = state.halts

    override val stopPlace get() = Place.Stop(inquiry)

    /** The shot that is shown: the one that somebody turned to, else the next that is open; nothing once none is. */
    val shown: ShotRow? get() = state?.let { s -> s.shots.firstOrNull { it.part == (turned ?: s.next) } }

    /** What gives the size in the next photo. */
    val scale: String get() = chosenScale ?: state?.scales?.firstOrNull { it.chosen }?.id.orEmpty()

    fun chooseScale(id: String) {
        chosenScale = id
        changed()
    }

    /** Turns to a shot, taken or not. */
    fun turnTo(part: String) {
        turned = part
        notice = null
        changed()
    }

    /** On to the next that is open. */
    fun goOn() {
        turned = null
        notice = null
        changed()
    }

    /** Skips the shot that is shown, or asks for it again. */
    fun skip(skipped: Boolean) {
        val part = shown?.part ?: return
        turned = if (skipped) null else part
        notice = null
        act { skipShot(inquiry, plant, part, skipped) }
    }

    /** Takes the shot that is shown. It is written down before the camera opens: the app may be gone when it comes back. */
    fun shoot() = shoot(null)

    /** Takes it once more; the last photo of it goes into the bin when the new one is there. */
    fun shootAgain() = shoot(shown?.photos?.lastOrNull()?.id)

    private fun shoot(instead: RecordId?) {
        val part = shown?.part ?: return
        val size = scale
        notice = null
        does({ expectShot(inquiry, plant, part, size, look) }) { pending ->
            replaces = instead
            turned = part
            camera(pending)
        }
    }

    /** The camera was closed: with a picture, or without. */
    fun cameraClosed(ok: Boolean) {
        val old = replaces
        replaces = null
        does({ close(ok) }) { closed ->
            notice = if (ok && !closed.taken) ShotNotice.NO_PICTURE else null
            closed.part?.let { turned = it }
            show(closed.screen)
            if (closed.taken && old != null) takeAway(old)
        }
    }

    private class Closed(val screen: ShotScreen, val part: String?, val taken: Boolean)

    private fun Screens.close(ok: Boolean): Closed {
        val pending = pendingShot()
        return when {
            // It was taken in when the app was opened again.
            pending == null -> Closed(shots(inquiry, plant), null, true)
            ok && pending.written -> {
                takeShot()
                Closed(shots(inquiry, plant), pending.part, true)
            }
            else -> {
                giveUpShot()
                Closed(shots(inquiry, plant), pending.part, false)
            }
        }
    }

    /** There is no camera, or it may not be opened. */
    fun cameraMissing(why: ShotNotice) {
        replaces = null
        notice = why
        act {
            giveUpShot()
            shots(inquiry, plant)
        }
    }

    /** Takes in a shot that is still waiting, as when there was no room. */
    fun takeWaiting() = cameraClosed(true)

    /** Lets a shot go that is still waiting. */
    fun leaveWaiting() = cameraClosed(false)

    /** There is nothing on this phone to choose pictures with. */
    fun galleryMissing() {
        notice = ShotNotice.NO_GALLERY
        changed()
    }

    /** Takes a photo away; it can be brought back. */
    fun takeAway(photo: RecordId) = does({ takeAway(photo) }) {
        undoing.offer(it)
        refresh()
    }

    /** Brings pictures of the phone in, as photos of [part]: each is copied into [folder] first, and read there. */
    fun bringIn(sources: List<Source>, part: String, folder: File) {
        if (sources.isEmpty()) return
        notice = null
        importing = Progress(0, sources.size.toLong())
        changed()
        core.run(
            { token, told ->
                val all = sources.size.toLong()
                val came = Imports(this, folder).all(sources, inquiry, plant, part, look) { done ->
                    told.onProgress(done.toLong(), all)
                    !token.isCancelled()
                }
                came to shots(inquiry, plant)
            },
            {
                importing = it
                changed()
            },
        ) { answer ->
            importing = null
            when (answer) {
                is Answer.Done -> brought(answer.value.first, answer.value.second, part)
                is Answer.Not -> fail(answer.trouble)
            }
        }
    }

    private fun brought(came: Imported, screen: ShotScreen, part: String) {
        if (screen.shots.any { it.part == part }) turned = part
        notice = if (came.unreadable) ShotNotice.UNREADABLE else null
        show(screen)
        came.trouble?.let { fail(it) }
    }

    fun open(photo: RecordId) = trail.go(Place.Photo(photo))

    fun toLook() {
        plant?.let { trail.go(Place.Look(inquiry, it, "")) }
    }

    fun toPlace() = trail.go(Place.Spot(inquiry))
}
