package org.dooryard.kit.join

import java.io.File

/** The code that somebody types, kept in a file of the app so that nothing of it is lost before it is taken. */
class Joining(private val file: File) {
    /** Somebody asked to see what the code says. */
    @Volatile var looked = false

    /** What was typed; read and written on the notebook's thread. */
    var text: String
        get() = if (file.exists()) file.readText() else ""
        set(typed) {
            if (typed.isEmpty()) file.delete() else file.writeText(typed)
        }

    /** A whole code came: it is kept, and what it says is shown. */
    fun read(code: String) {
        text = code
        looked = true
    }

    /** It was taken, or is not wanted any more. */
    fun forget() {
        looked = false
        text = ""
    }
}
