package org.dooryard.app.screens

import org.dooryard.app.MainActivity
import org.dooryard.kit.Place
import org.dooryard.kit.ask.AskPresenter
import org.dooryard.kit.ask.StopPresenter
import org.dooryard.kit.hand.HandOverPresenter
import org.dooryard.kit.join.JoinPresenter
import org.dooryard.kit.me.BackupPresenter
import org.dooryard.kit.me.MePresenter
import org.dooryard.kit.me.PrivacyPresenter
import org.dooryard.kit.today.TodayPresenter

/** The screen of a place. */
fun screenFor(activity: MainActivity, place: Place): ScreenView<*> {
    val app = activity.app
    val (core, trail) = app.core to activity.trail
    return when (place) {
        Place.Today -> TodayView(activity, TodayPresenter(core, trail))
        is Place.Ask -> AskView(activity, AskPresenter(core, trail, place.inquiry))
        is Place.Stop -> StopView(activity, StopPresenter(core, trail, place.inquiry))
        Place.HandOver -> HandOverView(activity, HandOverPresenter(core, trail, app.errands))
        Place.Me -> MeView(activity, MePresenter(core, trail, app, activity::recreate))
        Place.Join -> JoinView(activity, JoinPresenter(core, trail, app.errands))
        Place.Backup -> BackupView(activity, BackupPresenter(core, trail, app.errands))
        Place.Privacy -> PrivacyView(activity, PrivacyPresenter(core, trail, app.errands, app.undoing))
        else -> TodayView(activity, TodayPresenter(core, trail))
    }
}
