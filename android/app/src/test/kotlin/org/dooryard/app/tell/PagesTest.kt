package org.dooryard.app.tell

import android.view.View
import android.widget.TextView
import org.dooryard.app.NativeCoreRunner
import org.dooryard.app.R
import org.dooryard.app.Stage
import org.dooryard.app.named
import org.dooryard.app.parts.all
import org.dooryard.core.RecordId
import org.dooryard.kit.Look
import org.dooryard.kit.MemorySecrets
import org.dooryard.kit.Place
import org.dooryard.kit.leafPhoto
import org.dooryard.kit.tell.Walked
import org.dooryard.kit.tell.disagree
import org.dooryard.kit.tell.walkedTomato
import org.junit.Assert.assertEquals
import org.junit.Assert.assertTrue
import org.junit.Rule
import org.junit.Test
import org.junit.rules.TemporaryFolder
import org.junit.runner.RunWith
import org.robolectric.RuntimeEnvironment
import org.robolectric.annotation.Config

/** Each screen in the languages, the sizes of type and the lights in which it is read. */
@RunWith(NativeCoreRunner::class)
class PagesTest {
    @get:Rule val folder = TemporaryFolder()

    @Test
    @Config(qualifiers = "+h1900dp")
    fun inEnglish() = everyScreen("en")

    @Test
    fun onTheScreenAsItIs() = everyScreen("short")

    @Test
    @Config(qualifiers = "+es-h1900dp")
    fun inSpanish() = everyScreen("es")

    @Test
    @Config(qualifiers = "+es-h2600dp")
    fun inSpanishAtTwiceTheSize() {
        RuntimeEnvironment.setFontScale(2f)
        everyScreen("large")
    }

    @Test
    @Config(qualifiers = "+h1400dp-night")
    fun atNight() = everyScreen("night")

    @Test
    @Config(qualifiers = "+h1400dp")
    fun inTheSun() = everyScreen("sun") { it.app.settings = it.app.settings.copy(look = Look.SUN) }

    private fun everyScreen(name: String, ready: (Stage) -> Unit = {}) {
        val stage = stageOf(folder.root.toPath())
        ready(stage)
        stage.recreate()
        fun page(of: String) {
            stage.picture("tell-$name-$of")
            canBeTouched(stage)
        }
        stage.at(Place.Records)
        page("records-empty")
        val walked = seeded(stage)
        stage.at(Place.Today)
        for ((of, place) in places(walked, stage.on { inquiry(walked.inquiry) }.later.first { it.answer.isEmpty() }.id)) {
            stage.at(place)
            page(of)
        }
        stage.at(Place.Sample(walked.inquiry)).tap(R.string.tell_take)
        page("sample-taking")
        stage.at(Place.Letter(walked.inquiry, walked.plant)).tap(R.string.tell_letter_parts)
        page("letter-parts")
        stage.at(Place.Records).tap(R.string.tell_which)
        page("records-which")
        stage.at(Place.History(walked.inquiry)).tap(R.string.tell_fields)
        page("history-fields")
        stage.app.core.askNotebook({ disagree(walked, stage.app.folder, MemorySecrets("rehearsal")) }) {}
        stage.settle()
        stage.at(Place.Conflicts(null))
        page("conflicts")
        stage.on { takeAway(walked.inquiry) }
        stage.at(Place.Inquiry(walked.inquiry))
        page("inquiry-away")
        stage.at(Place.Bin)
        page("bin")
    }

    private fun places(walked: Walked, waiting: RecordId): Map<String, Place> = mapOf(
        "records" to Place.Records,
        "inquiry" to Place.Inquiry(walked.inquiry),
        "tell" to Place.Tell(walked.inquiry, walked.plant),
        "letter" to Place.Letter(walked.inquiry, walked.plant),
        "later" to Place.Later,
        "asklater" to Place.AskLater(walked.inquiry),
        "sample" to Place.Sample(walked.inquiry),
        "history" to Place.History(walked.inquiry),
        "conflicts-none" to Place.Conflicts(null),
        "answer" to Place.Answer(walked.inquiry, waiting),
    )

    private fun seeded(stage: Stage): Walked = stage.on {
        begin("phone").also { write(it, "words", "Something eats the roses at night. Nobody has seen it yet.", true) }
        val walked = walkedTomato("The low leaves have brown spots with rings. Should I pull them all?")
        repeat(4) { importPhoto(walked.inquiry, walked.plant, if (it == 0) "whole" else "close_up", leafPhoto.toString()) }
        askLater(walked.inquiry, "2026-07-27", "Any new spots since you picked the low leaves?")
        val asked = askLater(walked.inquiry, "2026-07-20", "Did you mulch?")
        answerLater(asked, "Yes, with straw, all along the row", "", "same")
        told(walked.inquiry, walked.plant, "spoken", true, "")
        takeSample(walked.inquiry, walked.plant, "low leaves", 4u, "A-7", true)
        walked
    }

    /** Whatever can be touched says what it is, and is large enough for a thumb. */
    private fun canBeTouched(stage: Stage) {
        val density = stage.activity.resources.displayMetrics.density
        val least = (48 * density).toInt()
        for (view: View in stage.touchable) {
            assertTrue("a ${view.javaClass.simpleName} without a name", view.named().isNotBlank() || view.isLabelled())
            assertTrue("${view.named()}: ${view.height / density} dp high", view.height == 0 || view.height >= least)
        }
        assertEquals("something is wider than the screen", stage.root.width, widest(stage.root))
    }

    private fun View.isLabelled() = (parent as View).all().any { it is TextView && it.labelFor == id && it.text.isNotBlank() }

    private fun widest(view: View): Int = if (view is android.view.ViewGroup) {
        maxOf(view.width, (0 until view.childCount).maxOfOrNull { widest(view.getChildAt(it)) } ?: 0)
    } else {
        view.width
    }
}
