package org.dooryard.app.parts

import android.graphics.Canvas
import android.graphics.Paint
import android.graphics.RectF
import org.dooryard.core.MapShapeKind

/**
 * The words of a scene. They are written last, on the ground of the sheet, and inside it. No word stands on another: the nearer to the
 * inquiry one is, the sooner it has its place, and what finds none is left to the words beside the scene.
 */
class SceneNames(private val dp: Float, size: Float) {
    private class Name(val lines: List<String>, val kind: MapShapeKind, val x: Float, val ys: List<Float>)

    private val letters = Paint(Paint.ANTI_ALIAS_FLAG).apply {
        textSize = size
        textAlign = Paint.Align.CENTER
    }
    private val ground = Paint()
    private val names = mutableListOf<Name>()
    private val drawn = mutableListOf<RectF>()

    /** Height of a line. */
    val tall: Float = letters.descent() - letters.ascent()

    fun inks(ink: Int, sheet: Int) {
        letters.color = ink
        ground.color = sheet
    }

    fun clear() {
        names.clear()
        drawn.clear()
    }

    /** Something is drawn around here that no word may cover. */
    fun keepFree(x: Float, y: Float, half: Float) {
        drawn += RectF(x - half, y - half, x + half, y + half)
    }

    /** Words with their middle at one of these places, the first that is free; in two lines where they are [broken] in the middle. */
    fun add(text: String, kind: MapShapeKind, x: Float, vararg ys: Float, broken: Boolean = false) {
        if (text.isNotEmpty()) names += Name(if (broken) halves(text) else listOf(text), kind, x, ys.toList())
    }

    /** Writes them all. */
    fun show(canvas: Canvas, width: Int) {
        val taken = drawn.toMutableList()
        for (name in names.sortedBy { FIRST.indexOf(it.kind) }) {
            val wide = name.lines.maxOf(letters::measureText) + 2 * PAD * dp
            val x = name.x.coerceIn(wide / 2, maxOf(wide / 2, width - wide / 2))
            val high = tall * name.lines.size
            val rooms = name.ys.map { y -> RectF(x - wide / 2, y - high / 2, x + wide / 2, y + high / 2) }
            val room = rooms.firstOrNull { room -> taken.none { RectF.intersects(it, room) } } ?: continue
            taken += room
            canvas.drawRect(room, ground)
            name.lines.forEachIndexed { at, line -> canvas.drawText(line, x, room.top + tall * at - letters.ascent(), letters) }
        }
    }

    /** Two lines as equal as the words allow. */
    private fun halves(text: String): List<String> {
        val space = text.indices.filter { text[it] == ' ' }.minByOrNull { kotlin.math.abs(2 * it - text.length) } ?: return listOf(text)
        return listOf(text.take(space), text.drop(space + 1))
    }

    private companion object {
        const val PAD = 3f

        /** Whose words have their place first. */
        val FIRST = listOf(
            MapShapeKind.PIN, MapShapeKind.HERE, MapShapeKind.NORTH, MapShapeKind.SCALE, MapShapeKind.LABEL, MapShapeKind.RING,
        )
    }
}
