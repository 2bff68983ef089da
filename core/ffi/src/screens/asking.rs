//! Taking an inquiry: the person, the plant, the place and its scene. Mirrors of the core's own: when the core changes, they no longer compile.

use dooryard_core::view;

use super::shared::{Choice, StopCard};
use crate::requests::RecordId;

/// Taking an inquiry.
pub type AskScreen = view::AskScreen;

/// Taking an inquiry.
#[uniffi::remote(Record)]
pub struct AskScreen {
    /// The inquiry.
    pub inquiry: RecordId,
    /// Plant and township as far as they are known.
    pub title: String,
    /// `Saved on this phone 10:31 am`
    pub saved: String,
    /// Stops that nobody read yet: they are shown before anything else.
    pub halts: Vec<StopCard>,
    /// The safety questions.
    pub questions: Vec<Question>,
    /// Place of the first question that nobody answered; their number when all are.
    pub step: u32,
    /// What is asked after them.
    pub fields: Vec<AskField>,
    /// That a child asks, and nothing of the person is kept; else empty.
    pub child: String,
    /// It was not put down yet.
    pub unfinished: bool,
}

/// A safety question.
pub type Question = view::Question;

/// A safety question.
#[uniffi::remote(Record)]
pub struct Question {
    /// Its id.
    pub id: String,
    /// The question.
    pub ask: String,
    /// Yes, not sure, no.
    pub answers: Vec<Choice>,
}

/// What a field takes.
pub type FieldKind = view::FieldKind;

/// What a field takes.
#[uniffi::remote(Enum)]
pub enum FieldKind {
    /// One line.
    Line,
    /// Several lines, in a person's own words.
    Words,
    /// A whole number.
    Number,
    /// One of its choices.
    Choice,
    /// Yes, or not.
    Tick,
}

/// One field.
pub type AskField = view::AskField;

/// One field.
#[uniffi::remote(Record)]
pub struct AskField {
    /// Its name, handed back with what is written.
    pub name: String,
    /// What it is called.
    pub label: String,
    /// What it takes.
    pub kind: FieldKind,
    /// What stands in it; `yes` where a tick is set.
    pub text: String,
    /// Its choices.
    pub choices: Vec<Choice>,
    /// What is wrong with it: it is kept as it was typed, and in no record yet. Empty when it is well.
    pub problem: String,
    /// Only the office and whoever handles the case see it.
    pub private: bool,
}

/// A plant of an inquiry.
pub type PlantScreen = view::PlantScreen;

/// A plant of an inquiry.
#[uniffi::remote(Record)]
pub struct PlantScreen {
    /// The inquiry.
    pub inquiry: RecordId,
    /// The plant; nothing before its first field was written.
    pub plant: Option<RecordId>,
    /// What it is called.
    pub title: String,
    /// `Saved on this phone 10:31 am`; empty before.
    pub saved: String,
    /// Stops that nobody read yet.
    pub halts: Vec<StopCard>,
    /// Kinds that were met here last, the newest first.
    pub recent: Vec<Choice>,
    /// All kinds of the pack by group, and that nobody knows it.
    pub hosts: Vec<HostGroup>,
    /// Scientific name of the chosen kind; empty where there is none.
    pub scientific: String,
    /// What to know about it; empty where there is nothing.
    pub note: String,
    /// The fields.
    pub fields: Vec<AskField>,
}

/// Kinds of one group.
pub type HostGroup = view::HostGroup;

/// Kinds of one group.
#[uniffi::remote(Record)]
pub struct HostGroup {
    /// What the group is called.
    pub name: String,
    /// Its kinds.
    pub hosts: Vec<Choice>,
}

/// Where an inquiry is.
pub type PlaceScreen = view::PlaceScreen;

/// Where an inquiry is.
#[uniffi::remote(Record)]
pub struct PlaceScreen {
    /// The inquiry.
    pub inquiry: RecordId,
    /// Plant and township.
    pub title: String,
    /// `Saved on this phone 10:31 am`; empty before anything was written.
    pub saved: String,
    /// Stops that nobody read yet.
    pub halts: Vec<StopCard>,
    /// Where it is and how well that is known, in words; that nobody said.
    pub point: String,
    /// A position is there.
    pub has_point: bool,
    /// A pin can be set and moved on the scene: a position may be kept, and the scene is of a place.
    pub can_pin: bool,
    /// Why no position is kept; empty where one may be.
    pub held: String,
    /// Township, address or landmark, way in, use of the ground.
    pub fields: Vec<AskField>,
    /// What a visitor must know.
    pub hazards: Vec<Choice>,
    /// Townships of the county.
    pub townships: Vec<String>,
    /// Earlier records near by, the nearest first.
    pub near: Vec<Near>,
    /// The scene.
    pub scene: MapScene,
}

/// An earlier record near by.
pub type Near = view::Near;

/// An earlier record near by.
#[uniffi::remote(Record)]
pub struct Near {
    /// Its inquiry.
    pub inquiry: RecordId,
    /// `0.3 mi northeast`
    pub way: String,
    /// Host and township.
    pub head: String,
    /// The day.
    pub day: String,
}

/// A fix of the phone, in words.
pub type Fix = view::Fix;

/// A fix of the phone, in words.
#[uniffi::remote(Record)]
pub struct Fix {
    /// How good it is: `Good: within 20 ft.`
    pub text: String,
    /// It is good enough to tell one yard from the next.
    pub good: bool,
    /// What would make it better; empty where it is good.
    pub advice: String,
}

/// What a shape is.
pub type MapShapeKind = view::MapShapeKind;

/// What a shape is.
#[uniffi::remote(Enum)]
pub enum MapShapeKind {
    /// The county's outline: a heavy line.
    County,
    /// A township: a thin line.
    Township,
    /// A ring around the middle: a circle of the first point with the radius.
    Ring,
    /// Words at a point.
    Label,
    /// An earlier record.
    Record,
    /// Where this phone is, with a circle of what it knows.
    Here,
    /// The pin of this inquiry.
    Pin,
    /// An arrow to the north, from the first point to the second.
    North,
    /// The scale: a line between two points.
    Scale,
}

/// One shape.
pub type MapShape = view::MapShape;

/// One shape.
#[uniffi::remote(Record)]
pub struct MapShape {
    /// What it is.
    pub kind: MapShapeKind,
    /// Across and down, in turn, in units of the screen.
    pub points: Vec<f32>,
    /// Radius of a circle; 0 where there is none.
    pub radius: f32,
    /// Its words; empty where it has none.
    pub text: String,
}

/// The scene, for one size of the screen.
pub type MapScene = view::MapScene;

/// The scene, for one size of the screen.
#[uniffi::remote(Record)]
pub struct MapScene {
    /// Width in units of the screen.
    pub width: f32,
    /// Height in units of the screen.
    pub height: f32,
    /// Shapes, the lowest first.
    pub shapes: Vec<MapShape>,
    /// The same in words, a line each.
    pub twin: Vec<String>,
    /// Latitude of the middle, degrees, WGS 84. Handed back with a touch.
    pub latitude: f64,
    /// Longitude of the middle, degrees, WGS 84.
    pub longitude: f64,
    /// Meters of one unit of the screen.
    pub meters: f64,
}
