package org.dooryard.app.parts

import org.dooryard.core.MapScene

/** A picture out of a file, as wide as the screen. [spoken] says what it is. */
data class Picture(
    val path: String,
    val spoken: String,
    override val key: String? = null,
    val tap: (() -> Unit)? = null,
) : Part

/**
 * A photo to look at closely: [zoom] is how much larger than the whole of it. Two fingers change that too. It is moved by a finger
 * or by [hand]; [alone] on the screen it takes all the room that is left.
 */
data class Closely(
    val path: String,
    val spoken: String,
    val zoom: Float,
    val hand: Hand,
    val alone: Boolean = false,
    val zoomed: (Float) -> Unit,
) : Part {
    override val key get() = if (alone) "alone" else "beside"
}

/** What moves a photo that is larger than its place, by parts of that place: what is further right or further down comes in sight. */
class Hand {
    internal var moves: (Float, Float) -> Unit = { _, _ -> }

    fun move(right: Float, down: Float) = moves(right, down)
}

/** The scene of a place. Its words stand beside it. Touches are told in units of the scene; nothing where it cannot be touched. */
data class Scene(val scene: MapScene, val spoken: String, val touched: ((Float, Float) -> Unit)? = null) : Part
