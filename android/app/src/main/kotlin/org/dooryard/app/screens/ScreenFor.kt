package org.dooryard.app.screens

import org.dooryard.app.MainActivity
import org.dooryard.app.R
import org.dooryard.core.RecordId
import org.dooryard.kit.Place
import org.dooryard.kit.ask.AskPresenter
import org.dooryard.kit.ask.StopPresenter
import org.dooryard.kit.look.LookPresenter
import org.dooryard.kit.look.ThinkPresenter
import org.dooryard.kit.plant.PlantPresenter
import org.dooryard.kit.shots.PhotoPresenter
import org.dooryard.kit.shots.ShotsPresenter
import org.dooryard.kit.spot.SpotPresenter
import org.dooryard.kit.today.TodayPresenter

/** The screen of a place. */
fun screenFor(activity: MainActivity, place: Place): ScreenView<*> {
    val (core, trail) = activity.app.core to activity.trail
    return when (place) {
        Place.Today -> TodayView(activity, TodayPresenter(core, trail))
        is Place.Ask -> AskView(activity, AskPresenter(core, trail, place.inquiry))
        is Place.Stop -> StopView(activity, StopPresenter(core, trail, place.inquiry))
        is Place.Plant -> PlantView(activity, PlantPresenter(core, trail, place.inquiry, place.plant))
        is Place.Look -> LookView(activity, LookPresenter(core, trail, place.inquiry, place.plant, place.look))
        is Place.Think -> ThinkView(activity, ThinkPresenter(core, trail, place.inquiry, place.plant))
        is Place.Shots -> ShotsView(activity, ShotsPresenter(core, trail, activity.app.undoing, place.inquiry, place.plant))
        is Place.Photo -> PhotoView(activity, PhotoPresenter(core, trail, activity.app.undoing, place.photo))
        is Place.Spot -> SpotView(activity, activity.spotPresenter(place.inquiry))
        else -> TodayView(activity, TodayPresenter(core, trail))
    }
}

/** The scene of a place is as wide as the screen has room for, in units that do not hang on how fine the screen is. */
private fun MainActivity.spotPresenter(inquiry: RecordId): SpotPresenter {
    val wide = resources.configuration.screenWidthDp - 2 * resources.getDimension(R.dimen.s4) / resources.displayMetrics.density
    return SpotPresenter(app.core, trail, inquiry, wide, wide)
}
