package org.dooryard.kit.join

import com.google.zxing.BarcodeFormat
import com.google.zxing.BinaryBitmap
import com.google.zxing.DecodeHintType
import com.google.zxing.EncodeHintType
import com.google.zxing.PlanarYUVLuminanceSource
import com.google.zxing.ReaderException
import com.google.zxing.WriterException
import com.google.zxing.common.GlobalHistogramBinarizer
import com.google.zxing.common.HybridBinarizer
import com.google.zxing.qrcode.QRCodeReader
import com.google.zxing.qrcode.QRCodeWriter
import com.google.zxing.qrcode.decoder.ErrorCorrectionLevel

/** How bright each point of a picture is, row by row, a byte a point. */
class Luminance(val bytes: ByteArray, val width: Int, val height: Int)

/** A picture that the shell reads, off the main thread; nothing where it cannot. */
fun interface Picture {
    fun luminance(): Luminance?
}

/** A code as a square of dark and light fields, with the light edge that a reader needs. */
class Square(val size: Int, private val dark: BooleanArray) {
    fun isDark(x: Int, y: Int): Boolean = dark[y * size + x]

    override fun equals(other: Any?) = other is Square && other.size == size && other.dark.contentEquals(dark)

    override fun hashCode() = dark.contentHashCode()
}

/** Codes as squares that a camera reads. */
object Qr {
    /** The square of a text; nothing where the text is empty or does not fit in one. */
    fun of(text: String): Square? {
        if (text.isEmpty()) return null
        // As much spare as the text leaves room for.
        for (level in listOf(ErrorCorrectionLevel.M, ErrorCorrectionLevel.L)) {
            val hints = mapOf(EncodeHintType.ERROR_CORRECTION to level, EncodeHintType.MARGIN to EDGE)
            val drawn = try {
                QRCodeWriter().encode(text, BarcodeFormat.QR_CODE, 0, 0, hints)
            } catch (_: WriterException) {
                continue
            }
            return Square(drawn.width, BooleanArray(drawn.width * drawn.width) { drawn.get(it % drawn.width, it / drawn.width) })
        }
        return null
    }

    /** The text in a picture of a code; nothing where there is none that can be read. */
    fun read(picture: Luminance): String? {
        val (width, height) = picture.width to picture.height
        val source = PlanarYUVLuminanceSource(picture.bytes, width, height, 0, 0, width, height, false)
        val hints = mapOf(DecodeHintType.TRY_HARDER to true)
        for (bits in listOf(HybridBinarizer(source), GlobalHistogramBinarizer(source), HybridBinarizer(source.invert()))) {
            try {
                return QRCodeReader().decode(BinaryBitmap(bits), hints).text
            } catch (_: ReaderException) {
                continue
            }
        }
        return null
    }

    /** Light fields around a code. */
    private const val EDGE = 4
}
