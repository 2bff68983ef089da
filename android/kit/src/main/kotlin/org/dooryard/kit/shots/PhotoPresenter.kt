package org.dooryard.kit.shots

import org.dooryard.core.Form
import org.dooryard.core.PhotoScreen
import org.dooryard.core.RecordId
import org.dooryard.core.Screens
import org.dooryard.core.StopCard
import org.dooryard.kit.Core
import org.dooryard.kit.Place
import org.dooryard.kit.Presenter
import org.dooryard.kit.Trail
import org.dooryard.kit.Undoing

/** One photo, as large as the screen, with what it shows. */
class PhotoPresenter(core: Core, trail: Trail, private val undoing: Undoing, private val photo: RecordId) :
    Presenter<PhotoScreen>(core, trail) {
    override fun Screens.load() = photo(photo)

    override fun haltsOf(state: PhotoScreen): List<StopCard> = state.halts

    /** A photo is only come to from its inquiry. */
    override val stopPlace get() = trail.inquiry?.let { Place.Stop(it) }

    /** A key was touched in the caption. */
    fun typed(text: String) = type("photo $photo") { typeIn(Form.CAPTION, photo, CAPTION, text, false) }

    /** The caption was left. */
    fun left(text: String) = act {
        typeIn(Form.CAPTION, photo, CAPTION, text, true)
        load()
    }

    fun shows(part: String) = write("part", part)

    fun size(scale: String) = write("scale", scale)

    /** To another photo of the same inquiry; back leads off the photos, not through them. */
    fun turnTo(other: RecordId?) {
        other?.let { trail.swap(Place.Photo(it)) }
    }

    /** One place earlier among the others, or later. */
    fun move(earlier: Boolean) = act { movePhoto(photo, earlier) }

    /** Takes it away and leaves it; it can be brought back. */
    fun takeAway() = does({ takeAway(photo) }) {
        trail.back()
        undoing.offer(it)
    }

    private fun write(field: String, text: String) = act { caption(photo, field, text) }

    private companion object {
        const val CAPTION = "caption"
    }
}
