package org.dooryard.app.screens

import org.dooryard.app.MainActivity
import org.dooryard.app.R
import org.dooryard.core.RecordId
import org.dooryard.kit.Place
import org.dooryard.kit.ask.AskPresenter
import org.dooryard.kit.ask.StopPresenter
import org.dooryard.kit.inquiry.HistoryPresenter
import org.dooryard.kit.inquiry.InquiryPresenter
import org.dooryard.kit.records.BinPresenter
import org.dooryard.kit.records.ConflictsPresenter
import org.dooryard.kit.records.RecordsPresenter
import org.dooryard.kit.tell.AnswerPresenter
import org.dooryard.kit.tell.AskLaterPresenter
import org.dooryard.kit.tell.LaterPresenter
import org.dooryard.kit.tell.LetterPresenter
import org.dooryard.kit.tell.SamplePresenter
import org.dooryard.kit.tell.TellPresenter
import org.dooryard.kit.look.LookPresenter
import org.dooryard.kit.look.ThinkPresenter
import org.dooryard.kit.plant.PlantPresenter
import org.dooryard.kit.shots.PhotoPresenter
import org.dooryard.kit.shots.ShotsPresenter
import org.dooryard.kit.spot.SpotPresenter
import org.dooryard.kit.hand.HandOverPresenter
import org.dooryard.kit.hand.OneFilePresenter
import org.dooryard.kit.join.JoinPresenter
import org.dooryard.kit.me.BackupPresenter
import org.dooryard.kit.me.MePresenter
import org.dooryard.kit.me.PrivacyPresenter
import org.dooryard.kit.me.RoomPresenter
import org.dooryard.kit.today.TodayPresenter

/** The screen of a place. */
fun screenFor(activity: MainActivity, place: Place): ScreenView<*> {
    val app = activity.app
    val undoing = app.undoing
    val (core, trail) = app.core to activity.trail
    return when (place) {
        Place.Today -> TodayView(activity, TodayPresenter(core, trail))
        is Place.Ask -> AskView(activity, AskPresenter(core, trail, place.inquiry))
        is Place.Stop -> StopView(activity, StopPresenter(core, trail, place.inquiry))
        Place.Records -> RecordsView(activity, RecordsPresenter(core, trail))
        Place.Later -> LaterView(activity, LaterPresenter(core, trail))
        Place.Bin -> BinView(activity, BinPresenter(core, trail, undoing))
        is Place.Inquiry -> InquiryView(activity, InquiryPresenter(core, trail, undoing, place.inquiry))
        is Place.History -> HistoryView(activity, HistoryPresenter(core, trail, place.inquiry))
        is Place.Conflicts -> ConflictsView(activity, ConflictsPresenter(core, trail, place.inquiry))
        is Place.Tell -> TellView(activity, TellPresenter(core, trail, place.inquiry, place.plant))
        is Place.Letter -> LetterView(activity, LetterPresenter(core, trail, place.inquiry, place.plant))
        is Place.Sample -> SampleView(activity, SamplePresenter(core, trail, undoing, place.inquiry))
        is Place.AskLater -> AskLaterView(activity, AskLaterPresenter(core, trail, place.inquiry))
        is Place.Answer -> AnswerView(activity, AnswerPresenter(core, trail, undoing, place.inquiry, place.followUp))
        is Place.Plant -> PlantView(activity, PlantPresenter(core, trail, undoing, place.inquiry, place.plant))
        is Place.Look -> LookView(activity, LookPresenter(core, trail, place.inquiry, place.plant, place.look))
        is Place.Think -> ThinkView(activity, ThinkPresenter(core, trail, place.inquiry, place.plant))
        is Place.Shots -> ShotsView(activity, ShotsPresenter(core, trail, undoing, place.inquiry, place.plant, place.look))
        is Place.Photo -> PhotoView(activity, PhotoPresenter(core, trail, undoing, place.photo))
        is Place.Spot -> SpotView(activity, activity.spotPresenter(place.inquiry))
        Place.HandOver -> HandOverView(activity, HandOverPresenter(core, trail, app.errands))
        is Place.OneFile -> OneFileView(activity, OneFilePresenter(core, trail, app.errands, place.inquiry))
        Place.Me -> MeView(activity, MePresenter(core, trail, app, activity::recreate))
        Place.Join -> JoinView(activity, JoinPresenter(core, trail, app.errands))
        Place.Backup -> BackupView(activity, BackupPresenter(core, trail, app.errands))
        Place.Room -> RoomView(activity, RoomPresenter(core, trail, app.errands))
        Place.Privacy -> PrivacyView(activity, PrivacyPresenter(core, trail, app.errands, undoing))
    }
}

/** The scene of a place is as wide as the screen has room for, in units that do not hang on how fine the screen is. */
private fun MainActivity.spotPresenter(inquiry: RecordId): SpotPresenter {
    val wide = resources.configuration.screenWidthDp - 2 * resources.getDimension(R.dimen.s4) / resources.displayMetrics.density
    return SpotPresenter(app.core, trail, app.undoing, inquiry, wide, wide)
}
