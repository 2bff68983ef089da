package org.dooryard.app

import android.graphics.Bitmap
import android.graphics.Canvas
import android.view.View
import android.view.ViewGroup
import android.widget.EditText
import android.widget.ScrollView
import org.dooryard.app.parts.all
import java.awt.Color
import java.awt.image.BufferedImage
import java.awt.image.IndexColorModel
import java.io.File
import javax.imageio.ImageIO
import kotlin.math.abs

/** One picture of a screen from its top to its end, a third as large as on the phone. */
fun Stage.whole(part: Int = PART): BufferedImage {
    root.all().filterIsInstance<EditText>().forEach { it.isCursorVisible = false }
    val (wide, high) = root.width to root.height
    val hidden = root.all().filterIsInstance<ScrollView>().maxOfOrNull { scroll ->
        scroll.scrollTo(0, 0)
        ((scroll as ViewGroup).getChildAt(0).height - scroll.height).coerceAtLeast(0)
    } ?: 0
    root.lay(wide, high + hidden)
    val bitmap = Bitmap.createBitmap(wide / part, (high + hidden) / part, Bitmap.Config.ARGB_8888)
    root.draw(Canvas(bitmap).apply { scale(1f / part, 1f / part) })
    root.lay(wide, high)
    val pixels = IntArray(bitmap.width * bitmap.height)
    bitmap.getPixels(pixels, 0, bitmap.width, 0, 0, bitmap.width, bitmap.height)
    return BufferedImage(bitmap.width, bitmap.height, BufferedImage.TYPE_INT_RGB).apply {
        setRGB(0, 0, width, height, pixels, 0, width)
    }
}

private const val PART = 3

private fun View.lay(wide: Int, high: Int) {
    val exactly = { size: Int -> View.MeasureSpec.makeMeasureSpec(size, View.MeasureSpec.EXACTLY) }
    measure(exactly(wide), exactly(high))
    layout(0, 0, wide, high)
}

/** All pictures on one sheet: a row a screen, a column a way of showing it. */
class Sheet(private val columns: List<String>) {
    private val rows = LinkedHashMap<String, MutableMap<String, BufferedImage>>()

    fun add(row: String, column: String, picture: BufferedImage) {
        rows.getOrPut(row) { HashMap() }[column] = picture
    }

    /** Draws it. */
    fun drawn(): BufferedImage {
        val (places, size) = places()
        return BufferedImage(size.first, size.second, BufferedImage.TYPE_INT_RGB).apply {
            val pen = createGraphics()
            pen.color = Color.GRAY
            pen.fillRect(0, 0, width, height)
            places.forEach { (cell, at) ->
                pen.drawImage(rows.getValue(cell.first).getValue(cell.second), at.first, at.second, null)
            }
            pen.dispose()
        }
    }

    /** The cells in which a committed sheet shows something else; all of them where it is of another size. */
    fun differing(committed: BufferedImage): List<String> {
        val (places, size) = places()
        if (committed.width != size.first || committed.height != size.second) {
            return listOf("the sheet is $size, the committed one ${committed.width to committed.height}")
        }
        return places.filter { (cell, at) ->
            val picture = rows.getValue(cell.first).getValue(cell.second)
            val other = (0 until picture.height).sumOf { y ->
                (0 until picture.width).count { x -> differs(picture.getRGB(x, y), committed.getRGB(at.first + x, at.second + y)) }
            }
            other > picture.width * picture.height * SHARE
        }.map { "${it.key.first}, ${it.key.second}" }
    }

    /** Where each picture stands, and how large the sheet is: the rows in blocks of about the same height, side by side. */
    private fun places(): Pair<Map<Pair<String, String>, Pair<Int, Int>>, Pair<Int, Int>> {
        val wide = rows.values.flatMap { it.values }.maxOf { it.width } + GAP
        val heights = rows.mapValues { (_, pictures) -> pictures.values.maxOf { it.height } + GAP }
        val most = heights.values.sum() / BLOCKS
        val places = LinkedHashMap<Pair<String, String>, Pair<Int, Int>>()
        var (block, down, deepest) = Triple(0, GAP, 0)
        for ((row, pictures) in rows) {
            if (down > most && block < BLOCKS - 1) {
                block++
                down = GAP
            }
            val left = GAP + block * (columns.size * wide + GAP)
            columns.forEachIndexed { at, column -> if (column in pictures) places[row to column] = (left + at * wide) to down }
            down += heights.getValue(row)
            deepest = maxOf(deepest, down)
        }
        return places to ((BLOCKS * (columns.size * wide + GAP)) to deepest)
    }

    companion object {
        private const val GAP = 12
        private const val BLOCKS = 3

        /** Of a picture, what may differ: another machine smooths letters a little otherwise. */
        private const val SHARE = 0.004
        private const val LEVELS = 48

        private fun differs(one: Int, other: Int): Boolean =
            listOf(16, 8, 0).any { abs((one shr it and 0xff) - (other shr it and 0xff)) > LEVELS }

        /** In its most frequent colors, which are nearly all: a third of the bytes. */
        private fun indexed(picture: BufferedImage): BufferedImage {
            val pixels = picture.getRGB(0, 0, picture.width, picture.height, null, 0, picture.width)
            val counts = HashMap<Int, Int>()
            for (pixel in pixels) counts.merge(pixel and COARSE, 1, Int::plus)
            val colors = counts.entries.sortedWith(compareBy({ -it.value }, { it.key })).take(COLORS).map { it.key }
            val finest = HashMap<Int, HashMap<Int, Int>>()
            for (pixel in pixels) finest.getOrPut(pixel and COARSE) { HashMap() }.merge(pixel, 1, Int::plus)
            val palette = colors.map { finest.getValue(it).maxBy { of -> of.value }.key }
            val nearest = HashMap<Int, Int>()
            val model = IndexColorModel(
                8, COLORS, palette.part(16), palette.part(8), palette.part(0),
            )
            return BufferedImage(picture.width, picture.height, BufferedImage.TYPE_BYTE_INDEXED, model).apply {
                pixels.forEachIndexed { at, pixel ->
                    val index = nearest.getOrPut(pixel and COARSE) { palette.indices.minBy { distance(palette[it], pixel) } }
                    raster.setSample(at % width, at / width, 0, index)
                }
            }
        }

        private fun List<Int>.part(shift: Int) = ByteArray(COLORS) { at -> (getOrElse(at) { 0 } shr shift and 0xff).toByte() }

        private fun distance(one: Int, other: Int): Int =
            listOf(16, 8, 0).sumOf { val d = (one shr it and 0xff) - (other shr it and 0xff); d * d }

        private const val COLORS = 256

        /** Five bits of each part of a color. */
        private const val COARSE = 0xf8f8f8

        fun read(file: File): BufferedImage? = if (file.exists()) ImageIO.read(file) else null

        fun write(picture: BufferedImage, file: File) {
            file.parentFile?.mkdirs()
            ImageIO.write(indexed(picture), "png", file)
        }
    }
}
