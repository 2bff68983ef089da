//! The phones' screens: one call a screen gives all it shows, in the reader's language and units, and one call each act.
//!
//! Comes in: a notebook, a pack, who reads, and what a person touched. Goes out: plain structs of words, marks, paths and
//! choices, ready to be drawn. A shell holds no rule, no threshold and no sentence of its own. What a person touches is kept at
//! once; what is being typed is kept beside the records until it is left, and a stop that was raised stays.

mod act;
mod ask;
mod ask_answers;
mod ask_write;
mod backup;
mod bin;
mod camera;
mod conflicts;
mod enrol;
mod fix;
mod hand;
mod history;
mod hosts;
mod inquiry;
mod later;
mod letter;
mod look;
mod look_answer;
mod look_parts;
mod near;
mod outline;
mod over_time;
mod photo;
mod place;
mod place_write;
mod plant;
mod privacy;
mod reader;
mod records;
mod resume;
mod sample;
mod scene;
mod shots;
mod stops;
mod tell;
#[cfg(test)]
mod tests;
mod think;
mod today;

pub use act::{Choice, Line, Undo};
pub use ask::{AskField, AskScreen, FieldKind, Question, ask, begin};
pub use ask_answers::answer_question;
pub use ask_write::{finish, settle, settle_all, write};
pub use backup::{BackupScreen, back_up, backup, bring_own_data, merge_backup, write_own_data};
pub use bin::{BinPage, BinRow, bin, bring_back, take_away};
pub use camera::{Pending, expect_shot, give_up_shot, import_photo, pending_shot, take_shot};
pub use conflicts::{ConflictRow, ConflictScreen, Wrote, conflicts, keep_both, keep_one};
pub use enrol::{Enrolling, FirstScreen, first, read_code};
pub use fix::{Fix, fix};
pub use hand::{HandOverScreen, HandedOver, ReplyTold, WayRow, hand_over, hand_over_screen, reply_told};
pub use history::{HistoryPage, HistoryRow, history};
pub use hosts::HostGroup;
pub use inquiry::{InquiryScreen, PlantRow, Useful, inquiry};
pub use later::{LaterPage, LaterRow, answer_later, ask_later, later};
pub use letter::{LetterScreen, PieceRow, leave_out, letter, letter_files, write_piece};
pub use look::{AnswerRow, LookCard, LookScreen, look};
pub use look_answer::{answer, take_back};
pub use look_parts::{LookRow, PartRows};
pub use near::Near;
pub use outline::{Outline, Ring};
pub use over_time::{PastVisit, again};
pub use photo::{PhotoCard, PhotoScreen, caption, photo};
pub use place::{PlaceScreen, place};
pub use place_write::{move_pin, nudge_pin, set_place, write_place};
pub use plant::{PlantScreen, plant, write_plant};
pub use privacy::{PrivacyScreen, privacy};
pub use reader::{Reader, Units, View};
pub use records::{InquiryFilter, InquiryPage, InquiryRow, inquiries};
pub use resume::{Resume, Screen, keep_place, leave_place};
pub use sample::{SampleCard, SampleScreen, SampleStep, hand_over_sample, samples, take_sample, write_sample};
pub use scene::{MapScene, MapShape, MapShapeKind};
pub use shots::{ShotRow, ShotScreen, shots, skip_shot};
pub use stops::{StopCard, StopScreen, read_stop, stop_screen};
pub use tell::{TellGroup, TellScreen, tell, told_it};
pub use think::{CauseCard, ThinkScreen, think};
pub use today::{Today, today};
