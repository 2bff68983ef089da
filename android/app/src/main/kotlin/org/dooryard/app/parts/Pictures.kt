package org.dooryard.app.parts

import android.annotation.SuppressLint
import android.content.Context
import android.graphics.Bitmap
import android.graphics.BitmapFactory
import android.graphics.Matrix
import android.media.ExifInterface
import android.os.Handler
import android.os.Looper
import java.io.IOException
import java.util.concurrent.CountDownLatch
import java.util.concurrent.Executors

/** Reads large pictures out of files beside the main thread, no larger than a screen needs, the right way up. */
object Pictures {
    /** Pixels of the longer side, at most. */
    private const val SIDE = 2048
    private val thread = Executors.newSingleThreadExecutor { Thread(it, "pictures") }
    private val main = Handler(Looper.getMainLooper())

    /** Gives the picture on the main thread; nothing where the file is none. */
    fun read(path: String, then: (Bitmap?) -> Unit) {
        thread.execute {
            val picture = of(path)
            main.post { then(picture) }
        }
    }

    /** Waits until all that was asked so far is read. For tests. */
    fun settle() = CountDownLatch(1).let {
        thread.execute(it::countDown)
        it.await()
    }

    private fun of(path: String): Bitmap? {
        val size = BitmapFactory.Options().apply { inJustDecodeBounds = true }
        BitmapFactory.decodeFile(path, size)
        val longer = maxOf(size.outWidth, size.outHeight)
        val less = BitmapFactory.Options().apply {
            inSampleSize = 1
            while (longer / inSampleSize > SIDE) inSampleSize *= 2
        }
        val picture = BitmapFactory.decodeFile(path, less) ?: return null
        val turn = turn(path)
        if (turn == 0f) return picture
        val upright = Matrix().apply { postRotate(turn) }
        return Bitmap.createBitmap(picture, 0, 0, picture.width, picture.height, upright, true)
    }

    /** Degrees by which the camera was turned. */
    private fun turn(path: String): Float = try {
        when (ExifInterface(path).getAttributeInt(ExifInterface.TAG_ORIENTATION, ExifInterface.ORIENTATION_NORMAL)) {
            ExifInterface.ORIENTATION_ROTATE_90 -> 90f
            ExifInterface.ORIENTATION_ROTATE_180 -> 180f
            ExifInterface.ORIENTATION_ROTATE_270 -> 270f
            else -> 0f
        }
    } catch (_: IOException) {
        0f
    }
}

/**
 * The drawn picture of this name, such as `leaf_spot.round`: the resource `shows_leaf_spot_round`. 0 where there is none.
 */
@SuppressLint("DiscouragedApi")
fun Context.drawn(name: String, before: String = "shows_"): Int {
    if (name.isEmpty()) return 0
    val resource = before + name.lowercase().replace(Regex("[^a-z0-9_]"), "_")
    return resources.getIdentifier(resource, "drawable", packageName)
}
