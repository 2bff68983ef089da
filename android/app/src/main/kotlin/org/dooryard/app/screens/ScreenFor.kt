package org.dooryard.app.screens

import org.dooryard.app.MainActivity
import org.dooryard.kit.Place
import org.dooryard.kit.ask.AskPresenter
import org.dooryard.kit.ask.StopPresenter
import org.dooryard.kit.today.TodayPresenter

/** The screen of a place. */
fun screenFor(activity: MainActivity, place: Place): ScreenView<*> {
    val (core, trail) = activity.app.core to activity.trail
    return when (place) {
        Place.Today -> TodayView(activity, TodayPresenter(core, trail))
        is Place.Ask -> AskView(activity, AskPresenter(core, trail, place.inquiry))
        is Place.Stop -> StopView(activity, StopPresenter(core, trail, place.inquiry))
        else -> TodayView(activity, TodayPresenter(core, trail))
    }
}
