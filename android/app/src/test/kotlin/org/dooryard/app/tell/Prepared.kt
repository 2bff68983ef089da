package org.dooryard.app.tell

import org.dooryard.app.R
import org.dooryard.app.RehearsalApp
import org.dooryard.app.Stage
import org.dooryard.core.Screens
import org.dooryard.kit.Answer
import org.dooryard.kit.Desk
import org.dooryard.kit.Place
import java.nio.file.Path

/** The app of a scout of an office that this makes in a folder. */
fun stageOf(folder: Path): Stage {
    RehearsalApp.desk = Desk(folder.resolve("office"))
    return Stage()
}

/** Does this on the core, as another screen would. */
fun <T> Stage.on(what: Screens.() -> T): T {
    var answer: Answer<T>? = null
    app.core.ask(what) { answer = it }
    settle()
    return (answer as Answer.Done<T>).value
}

/** Goes somewhere. */
fun Stage.at(place: Place): Stage {
    activity.trail.go(place)
    return settle()
}

/** Takes an inquiry by telephone that nothing dangerous is in, with these words. */
fun Stage.takes(words: String): Stage {
    tap(R.string.someone_asks)
    repeat(4) { tap("No") }
    return type("own words", words)
}
