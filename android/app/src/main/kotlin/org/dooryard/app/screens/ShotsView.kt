package org.dooryard.app.screens

import android.content.ActivityNotFoundException
import android.content.ClipData
import android.content.Intent
import android.net.Uri
import android.provider.MediaStore
import org.dooryard.app.MainActivity
import org.dooryard.app.R
import org.dooryard.app.SharedFiles
import org.dooryard.app.openSettings
import org.dooryard.app.parts.Boxed
import org.dooryard.app.parts.Fact
import org.dooryard.app.parts.Heading
import org.dooryard.app.parts.Note
import org.dooryard.app.parts.Option
import org.dooryard.app.parts.Options
import org.dooryard.app.parts.Pair
import org.dooryard.app.parts.Part
import org.dooryard.app.parts.Picture
import org.dooryard.app.parts.Press
import org.dooryard.app.parts.PressKind
import org.dooryard.app.parts.Row
import org.dooryard.app.parts.Section
import org.dooryard.core.Pending
import org.dooryard.core.PhotoCard
import org.dooryard.core.ShotRow
import org.dooryard.kit.shots.ShotNotice
import org.dooryard.kit.shots.ShotsPresenter
import org.dooryard.kit.shots.Source
import java.io.File
import java.io.IOException

/** The guided set: the shot that is asked, how to take it, what was taken, and all others below. */
class ShotsView(activity: MainActivity, presenter: ShotsPresenter) : ScreenView<ShotsPresenter>(activity, presenter) {
    private var sizing = false

    init {
        presenter.camera = ::openCamera
    }

    override val title get() = presenter.state?.title.orEmpty()
    override val saved get() = presenter.state?.saved.orEmpty()

    override fun parts(): List<Part> {
        val state = presenter.state ?: return emptyList()
        val shown = presenter.shown
        return buildList {
            addAll(said())
            if (presenter.shows.isNotEmpty()) add(Fact(word(R.string.walk_shot_of_look), presenter.shows))
            if (shown == null) {
                add(Heading(word(R.string.walk_photos)))
                add(Note(word(R.string.walk_set_done)))
            } else {
                addAll(asked(shown))
            }
            add(Section(word(R.string.walk_all_photos)))
            state.shots.forEach { add(row(it)) }
            if (state.others.isNotEmpty()) add(Section(word(R.string.walk_other_photos)))
            state.others.forEach { add(photo(it)) }
            add(Press(word(R.string.walk_add_other), PressKind.LINK, key = "others") { choose(OTHERS) })
        }
    }

    /** What has to be said before a photo is taken, and what came of the last try. */
    private fun said(): List<Part> = buildList {
        presenter.state?.notes?.forEach { add(Boxed(it)) }
        presenter.state?.pending?.let { pending ->
            val words = if (pending.written) R.string.walk_waiting_photo else R.string.walk_begun_photo
            add(Boxed(word(words), live = true))
            if (pending.written) add(Press(word(R.string.walk_take_in), key = "take-in") { presenter.takeWaiting() })
            add(Press(word(R.string.walk_leave_it), key = "leave-it") { presenter.leaveWaiting() })
        }
        presenter.notice?.let { add(Boxed(word(words(it)), live = true)) }
        if (presenter.notice == ShotNotice.NOT_ALLOWED) {
            add(Press(word(R.string.walk_settings), key = "settings") { activity.openSettings() })
        }
        presenter.importing?.let { add(Boxed(word(R.string.walk_bringing_in), live = true)) }
    }

    private fun words(notice: ShotNotice): Int = when (notice) {
        ShotNotice.NO_CAMERA -> R.string.walk_no_camera
        ShotNotice.NOT_ALLOWED -> R.string.walk_camera_not_allowed
        ShotNotice.NO_PICTURE -> R.string.walk_no_picture
        ShotNotice.NO_GALLERY -> R.string.walk_no_gallery
        ShotNotice.UNREADABLE -> R.string.walk_unreadable
    }

    private fun asked(shot: ShotRow): List<Part> = buildList {
        val last = shot.photos.lastOrNull()
        add(Heading(shot.name))
        if (last == null) {
            add(Note(shot.how))
            add(Note(shot.state))
            if (shot.sized) addAll(size())
        } else {
            add(Picture(last.path.ifEmpty { last.small }, "${last.shows}, ${last.note}", key = "shown") { presenter.open(last.id) })
            add(Note("${shot.state}. ${last.note}"))
            add(Note(shot.how))
            add(Press(word(R.string.walk_again), key = "again") { presenter.shootAgain() })
            add(Press(word(R.string.walk_one_more_photo), PressKind.LINK, key = "more") { presenter.shoot() })
        }
        add(Press(word(R.string.walk_from_phone), PressKind.LINK, key = "gallery") { choose(SHOWN) })
    }

    private fun size(): List<Part> = buildList {
        val scales = presenter.state?.scales.orEmpty()
        add(Note(word(R.string.walk_for_size)))
        add(
            Press(scales.firstOrNull { it.id == presenter.scale }?.text.orEmpty(), open = sizing, key = "size") {
                sizing = !sizing
                again()
            },
        )
        if (sizing) {
            add(
                Options("size", scales.map { Option(it.id, it.text, it.id == presenter.scale) }, key = "size") {
                    sizing = false
                    presenter.chooseScale(it)
                },
            )
        }
    }

    private fun row(shot: ShotRow): Part {
        val small = shot.photos.lastOrNull()?.small.orEmpty()
        return Row(
            "", shot.name, shot.state,
            mark = if (small.isEmpty()) UNLOOKED else "", picture = small, key = shot.part,
        ) { presenter.turnTo(shot.part) }
    }

    private fun photo(card: PhotoCard): Part =
        Row("", card.shows, card.note, picture = card.small, key = card.id) { presenter.open(card.id) }

    override fun bottom(): List<Part> = buildList {
        val shown = presenter.shown
        when {
            shown == null -> add(onward(PressKind.MAIN))
            shown.photos.isNotEmpty() -> {
                add(Press(word(R.string.walk_next_photo), PressKind.MAIN) { presenter.goOn() })
                add(Pair(Press(word(R.string.back)) { back() }, onward(PressKind.PLAIN)))
                return@buildList
            }
            else -> {
                add(Press(word(R.string.walk_open_camera), PressKind.MAIN) { presenter.shoot() })
                val skip = if (shown.skipped) R.string.walk_not_skip else R.string.walk_skip
                add(Pair(Press(word(skip)) { presenter.skip(!shown.skipped) }, onward(PressKind.PLAIN)))
            }
        }
        add(Press(word(R.string.back)) { back() })
    }

    private fun onward(kind: PressKind): Press =
        if (presenter.state?.plant != null) Press(word(R.string.look), kind) { presenter.toLook() }
        else Press(word(R.string.place), kind) { presenter.toPlace() }

    /** The camera writes into a file of the notebook, and into no other. */
    private fun openCamera(pending: Pending) {
        val to = SharedFiles.uri(activity, File(pending.path))
        val intent = Intent(MediaStore.ACTION_IMAGE_CAPTURE)
            .putExtra(MediaStore.EXTRA_OUTPUT, to)
            .addFlags(Intent.FLAG_GRANT_WRITE_URI_PERMISSION)
            .apply { clipData = ClipData.newRawUri("", to) }
        start(intent, CAMERA, ShotNotice.NO_CAMERA) { presenter.cameraMissing(it) }
    }

    private fun choose(request: Int) {
        val intent = Intent(Intent.ACTION_OPEN_DOCUMENT).addCategory(Intent.CATEGORY_OPENABLE)
            .setType("image/*").putExtra(Intent.EXTRA_ALLOW_MULTIPLE, true)
        start(intent, request, ShotNotice.NO_GALLERY) { presenter.galleryMissing() }
    }

    @Suppress("DEPRECATION")
    private fun start(intent: Intent, request: Int, missing: ShotNotice, not: (ShotNotice) -> Unit) {
        try {
            activity.startActivityForResult(intent, request)
        } catch (_: ActivityNotFoundException) {
            not(missing)
        } catch (_: SecurityException) {
            not(ShotNotice.NOT_ALLOWED)
        }
    }

    override fun came(request: Int, ok: Boolean, data: Intent?) {
        when (request) {
            CAMERA -> presenter.cameraClosed(ok)
            SHOWN -> if (ok) bring(data, presenter.shown?.part ?: OTHER)
            OTHERS -> if (ok) bring(data, OTHER)
        }
    }

    private fun bring(data: Intent?, part: String) {
        val several = data?.clipData?.let { clip -> (0 until clip.itemCount).mapNotNull { clip.getItemAt(it).uri } }
        val chosen = several ?: listOfNotNull(data?.data)
        presenter.bringIn(chosen.map(::source), part, File(activity.app.passing, IMPORTS))
    }

    private fun source(uri: Uri): Source {
        val resolver = activity.applicationContext.contentResolver
        return Source {
            try {
                resolver.openInputStream(uri) ?: throw IOException("it is gone")
            } catch (e: SecurityException) {
                throw IOException(e)
            }
        }
    }

    private companion object {
        const val CAMERA = 1
        const val SHOWN = 2
        const val OTHERS = 3

        /** What shows nothing of the set. */
        const val OTHER = "other"
        const val IMPORTS = "imports"
        const val UNLOOKED = "unlooked"
    }
}
