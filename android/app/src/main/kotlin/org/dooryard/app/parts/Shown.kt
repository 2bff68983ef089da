package org.dooryard.app.parts

import org.dooryard.core.MapScene

/** A picture out of a file, as wide as the screen. [spoken] says what it is. */
data class Picture(
    val path: String,
    val spoken: String,
    override val key: String? = null,
    val tap: (() -> Unit)? = null,
) : Part

/** A photo to look at closely: [zoom] is how much larger than the whole of it. Two fingers change that too. */
data class Closely(val path: String, val spoken: String, val zoom: Float, val zoomed: (Float) -> Unit) : Part

/** The scene of a place. Its words stand beside it. Touches are told in units of the scene; nothing where it cannot be touched. */
data class Scene(val scene: MapScene, val spoken: String, val touched: ((Float, Float) -> Unit)? = null) : Part
