package org.dooryard.app

import android.net.Uri
import org.junit.Assert.assertEquals
import org.junit.Assert.assertThrows
import org.junit.Test
import org.junit.runner.RunWith
import org.robolectric.RuntimeEnvironment
import java.io.File
import java.io.FileNotFoundException

@RunWith(NativeCoreRunner::class)
class SharedFilesTest {
    private val app get() = RuntimeEnvironment.getApplication() as RehearsalApp

    private fun uri(path: String) = Uri.parse("content://org.dooryard.app.files/$path")

    private fun opens(path: String, mode: String) = app.contentResolver.openFileDescriptor(uri(path), mode)!!.close()

    private fun refuses(path: String, mode: String) {
        assertThrows("$path $mode", FileNotFoundException::class.java) { opens(path, mode) }
    }

    @Test
    fun aCameraWritesThePictureOfACodeWhileOneIsWaitedForAndNothingElse() {
        refuses("scan/code.jpg", "w")
        val scan = SharedFiles.expectScan(app)
        assertEquals(uri("scan/code.jpg"), SharedFiles.uri(app, scan))
        opens("scan/code.jpg", "w")
        opens("scan/code.jpg", "rwt")
        refuses("scan/code.jpg", "r")
        val others = listOf("scan/other.jpg", "scan/code.jpg/../other", "scan", "code", "scan/../code", "notebook/notebook.db", "shared/x.yard")
        others.forEach { refuses(it, "w") }
        scan.delete()
        refuses("scan/code.jpg", "w")
    }

    @Test
    fun whatIsSharedIsReadAndNotWrittenAndNothingElseIsRead() {
        File(SharedFiles.folder(app), "x.yard").writeText("x")
        File(app.filesDir, "code").writeText("DY1:")
        opens("shared/x.yard", "r")
        refuses("shared/x.yard", "rw")
        refuses("code", "r")
        refuses("shared/../code", "r")
        refuses("shared/%2e%2e/code", "r")
    }
}
