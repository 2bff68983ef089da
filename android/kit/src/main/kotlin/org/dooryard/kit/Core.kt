package org.dooryard.kit

import org.dooryard.core.CancelToken
import org.dooryard.core.FieldNotebook
import org.dooryard.core.NotebookException
import org.dooryard.core.ProgressListener
import org.dooryard.core.Screens
import java.util.concurrent.Callable
import java.util.concurrent.CountDownLatch
import java.util.concurrent.Executor
import java.util.concurrent.Executors
import java.util.concurrent.ScheduledFuture
import java.util.concurrent.TimeUnit

/** An open notebook and its screens. */
class Opened(val notebook: FieldNotebook, val screens: Screens)

/** A question that was asked; whoever no longer wants the answer drops it. */
class Asked {
    @Volatile private var dropped = false
    internal val wanted get() = !dropped

    fun drop() {
        dropped = true
    }
}

/** Long work that runs: it can be stopped. */
class Running(private val token: CancelToken) {
    fun stop() = token.cancel()
}

/** Steps of long work that are behind, of all. */
data class Progress(val done: Long, val total: Long)

/**
 * The notebook behind one thread of its own: all that is asked is done there in order, and answers come back on [main]. What is
 * typed waits until the fingers rest, but never longer than the next question.
 */
class Core(private val main: Executor, private val open: () -> Opened) {
    private val work = Executors.newSingleThreadScheduledExecutor { Thread(it, THREAD) }
    private val long = Executors.newSingleThreadExecutor { Thread(it, "$THREAD-long") }

    // Touched on the working thread alone.
    private var opened: Opened? = null
    private val typed = LinkedHashMap<String, Screens.() -> Unit>()
    private var rest: ScheduledFuture<*>? = null

    /** Why the notebook is not opened again by itself: it is damaged, and somebody has to have read that first. */
    private var held: Answer.Not? = null

    /** Asks on the working thread and gives the answer on the main one, unless it was dropped meanwhile. */
    fun <T> ask(what: Screens.() -> T, then: (Answer<T>) -> Unit): Asked = asked({ it.screens.what() }, then)

    /** The same for the notebook itself: enrolment, secrets. */
    fun <T> askNotebook(what: FieldNotebook.() -> T, then: (Answer<T>) -> Unit): Asked =
        asked({ it.notebook.what() }, then)

    private fun <T> asked(what: (Opened) -> T, then: (Answer<T>) -> Unit): Asked {
        val asked = Asked()
        onWork {
            val answer = answered { writeTyped(); what(it) }
            main.execute { if (asked.wanted) then(answer) }
        }
        return asked
    }

    /** Keeps what is typed under [key] once the fingers rest; of several under one key only the newest. */
    fun type(key: String, trouble: (Trouble) -> Unit, what: Screens.() -> Unit) {
        onWork {
            typed[key] = {
                try {
                    what()
                } catch (e: NotebookException) {
                    main.execute { trouble(Trouble.of(e)) }
                }
            }
            rest?.cancel(false)
            rest = work.schedule({ answered { writeTyped() } }, REST_MS, TimeUnit.MILLISECONDS)
        }
    }

    /** Work that takes its time, beside the questions: told step by step, stopped through the handle. */
    fun <T> run(
        what: Screens.(CancelToken, ProgressListener) -> T,
        told: (Progress) -> Unit,
        then: (Answer<T>) -> Unit,
    ): Running = runOpened({ token, listener -> screens.what(token, listener) }, told, then)

    /** The same for work that needs the notebook too. */
    fun <T> runOpened(
        what: Opened.(CancelToken, ProgressListener) -> T,
        told: (Progress) -> Unit,
        then: (Answer<T>) -> Unit,
    ): Running {
        val token = CancelToken()
        val listener = object : ProgressListener {
            override fun onProgress(done: Long, total: Long) = main.execute { told(Progress(done, total)) }
        }
        // What was typed is written first, on the thread that is for it.
        onWork {
            val open = answered { writeTyped(); it }
            long.execute {
                val answer = when (open) {
                    is Answer.Done -> answeredBy { open.value.what(token, listener) }
                    is Answer.Not -> open
                }
                main.execute { then(answer) }
            }
        }
        return Running(token)
    }

    /** Does something off the main thread that needs no notebook, also while none opens. */
    fun <T> beside(what: () -> T, then: (Answer<T>) -> Unit) = long.execute {
        val answer = answeredBy(what)
        main.execute { then(answer) }
    }

    /** Writes what is typed and folds everything into the file: the app goes out of sight. */
    fun pause() = onWork { if (opened != null) answered { writeTyped(); it.screens.pause() } }

    /** Closes the notebook, so that the next question opens it anew. */
    fun close(then: () -> Unit) = onWork {
        shut()
        main.execute(then)
    }

    /** Closes the notebook and does something to its folder after long work has ended and before anything opens it again. */
    fun <T> closed(what: () -> T, then: (Answer<T>) -> Unit) = onWork {
        shut()
        val answer = long.submit(Callable { answeredBy(what) }).get()
        main.execute { then(answer) }
    }

    /** Opens it again after it was found damaged: somebody has read that. */
    fun openAgain() = onWork { held = null }

    /** Waits until everything asked so far is done, long work too. For tests: answers are on their way to [main] then. */
    fun settle() {
        for (thread in listOf(work, long, work)) {
            val done = CountDownLatch(1)
            thread.execute { done.countDown() }
            done.await()
        }
    }

    /** On the working thread. What nobody expected ends the app in sight, instead of leaving a screen that waits for ever. */
    private fun onWork(what: () -> Unit) = work.execute {
        try {
            what()
        } catch (e: Throwable) {
            main.execute { throw e }
        }
    }

    private fun writeTyped() {
        rest?.cancel(false)
        rest = null
        val all = typed.values.toList()
        typed.clear()
        opened?.let { open -> all.forEach { it(open.screens) } }
    }

    private fun shut() {
        if (opened != null) answered { writeTyped(); it.screens.pause(); it.notebook.shutdown() }
        opened = null
        held = null
    }

    private fun <T> answered(what: (Opened) -> T): Answer<T> {
        check(Thread.currentThread().name == THREAD) { "the notebook is asked on its own thread" }
        val open = opened ?: when (val fresh = held ?: answeredBy(open)) {
            is Answer.Done -> fresh.value.also { opened = it }
            is Answer.Not -> {
                if (fresh.trouble.kind == TroubleKind.DAMAGED) held = fresh
                return fresh
            }
        }
        return answeredBy { what(open) }
    }

    private fun <T> answeredBy(what: () -> T): Answer<T> = try {
        Answer.Done(what())
    } catch (e: NotebookException) {
        Answer.Not(Trouble.of(e))
    } catch (e: Outside) {
        Answer.Not(Trouble(e.kind))
    }

    private companion object {
        const val THREAD = "notebook"

        /** Milliseconds without a key before what is typed is kept. */
        const val REST_MS = 300L
    }
}
