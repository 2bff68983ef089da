package org.dooryard.app

import org.junit.Assert.assertEquals
import org.junit.Assert.assertTrue
import org.junit.Test
import java.io.File

/** What must not stand in the sources of the kit and the app: words for people, numbers of the trade, calls around the one thread. */
class SourcesTest {
    private val root = File(checkNotNull(System.getProperty("dooryard.android")))
    private val kotlin = listOf("kit", "app").flatMap { module ->
        root.resolve("$module/src/main/kotlin").walk().filter { it.extension == "kt" }
    }
    private val layouts = root.resolve("app/src/main/res").walk().filter { it.extension == "xml" }.toList()

    @Test
    fun noSentenceStandsOutsideTheWords() {
        assertTrue(kotlin.size > 10 && layouts.size > 10)
        val found = kotlin.flatMap { file -> sentences(file.readText()).map { "${file.name}: $it" } } +
            layouts.filter { it.name != "strings.xml" }.flatMap { file -> spoken(file.readText()).map { "${file.name}: $it" } }
        assertEquals(emptyList<String>(), found)
    }

    @Test
    fun everyWordThatIsThereIsAskedFor() {
        val strings = root.resolve("app/src/main/res/values/strings.xml").readText()
        val there = Regex("""name="(\w+)"""").findAll(strings).map { it.groupValues[1] }.toList()
        val asked = (kotlin + layouts + root.resolve("app/src/main/AndroidManifest.xml")).joinToString("\n") { it.readText() }
        assertTrue(there.size > 100)
        assertEquals(emptyList<String>(), there.filter { !Regex("""(R\.string\.|@string/)$it\b""").containsMatchIn(asked) })
    }

    @Test
    fun theSearchForSentencesFindsThem() {
        assertEquals(listOf("Take a photo"), sentences("val x = \"Take a photo\""))
        assertEquals(listOf("Save"), sentences("add(Press(\"Save\") { })"))
        assertEquals(emptyList<String>(), sentences("check(ok) { \"two parts of one key\" }\nval a = \"content://\""))
        assertEquals(listOf("Back"), spoken("android:text=\"Back\""))
        assertEquals(emptyList<String>(), spoken("android:text=\"@string/back\""))
    }

    @Test
    fun theKitAndTheScreensHoldNoNumberOfTheTrade() {
        val found = kotlin.filter { "/parts/" !in it.path && it.name !in DRAWING }
            .flatMap { file -> numbers(file.readText()).map { "${file.name}: $it" } }
        assertEquals(emptyList<String>(), found)
    }

    @Test
    fun theSearchForNumbersFindsThem() {
        assertEquals(listOf("45"), numbers("if (percent > 45) x()"))
        assertEquals(listOf("0.05"), numbers("val a = 0.05"))
        assertEquals(emptyList<String>(), numbers("const val REST_MS = 300L\nparts.getOrElse(2)\n// after 45 days"))
    }

    @Test
    fun theCoreIsCalledThroughItsOneThreadAlone() {
        val around = Regex("""\.(screens|notebook)\b""")
        val found = kotlin.filter { it.name != "Core.kt" }.flatMap { file ->
            file.readLines().filter { !it.startsWith("import ") && !it.startsWith("package ") && around.containsMatchIn(it) }
                .map { "${file.name}: ${it.trim()}" }
        }
        assertEquals(emptyList<String>(), found)
        val kit = kotlin.filter { "/kit/src/" in it.path && Regex("""import android""").containsMatchIn(it.readText()) }
        assertEquals("the kit knows no Android", emptyList<File>(), kit)
    }

    private fun code(text: String): String =
        text.replace(Regex("""/\*.*?\*/""", RegexOption.DOT_MATCHES_ALL), "").lines()
            .joinToString("\n") { it.replace(Regex("""(^|\s)//.*"""), "") }

    /** Words in quotes that a person could read: two words, or one that begins like a button. */
    private fun sentences(text: String): List<String> = code(text).lines()
        .filter { line -> DEVELOPERS.none { it in line } }
        .flatMap { line -> Regex("\"([^\"\\\\]*)\"").findAll(line).map { it.groupValues[1] } }
        .map { it.replace(Regex("""\$\{[^}]*}|\$\w+"""), "") }
        .filter { Regex("""\p{L}{2,} \p{L}+""").containsMatchIn(it) || Regex("""^\p{Lu}\p{Ll}{2,}$""").matches(it) && it !in NAMES }

    private fun spoken(text: String): List<String> =
        Regex("""android:(?:text|contentDescription|hint|title|label)="([^@?"][^"]*)"""").findAll(text)
            .map { it.groupValues[1] }.toList()

    /** Numbers other than those one counts with; a constant says by its name what it is. */
    private fun numbers(text: String): List<String> = code(text).lines()
        .filter { "const val" !in it && "Build.VERSION" !in it && "@RequiresApi" !in it }
        .map { it.replace(Regex("\"[^\"]*\""), "") }
        .flatMap { Regex("""(?<![\w.])\d+(\.\d+)?""").findAll(it).map { n -> n.value } }
        .filter { it !in COUNTING }

    private companion object {
        val COUNTING = setOf("0", "1", "2", "3")

        /** Files that only draw. */
        val DRAWING = setOf("Page.kt", "Appearance.kt")

        /** Lines that speak to whoever builds the app. */
        val DEVELOPERS = listOf("check(", "checkNotNull(", "error(", "require(", "@Deprecated", "@Suppress", "Exception(")

        /** Names that are written down, not shown: those of places, and of the store of keys. */
        val NAMES = setOf(
            "Inquiry", "History", "Ask", "Stop", "Spot", "Plant", "Look", "Shots", "Photo", "Think", "Tell", "Letter", "Sample",
            "Conflicts", "Answer",
        )
    }
}
