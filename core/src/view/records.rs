//! The inquiries on this phone, newest first, in pages: what each is about, where it is on its way, whether it was finished.

use std::collections::BTreeMap;

use serde_json::Value as Json;

use super::reader::View;
use crate::{
    Result,
    ids::RecordId,
    inquiry,
    key::{stop_id, under_seal},
    notebook::{Only, PageAsk, Summary, Way},
    record::Kind,
    tell::{place::township, say::lower_first},
};

/// Which inquiries.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug, Default)]
pub enum InquiryFilter {
    /// All.
    #[default]
    All,
    /// Those that somebody began and did not put down.
    Unfinished,
    /// Those of which something is in no bundle yet.
    NotHandedOver,
    /// Those changed in this month.
    ThisMonth,
}

/// A page of inquiries.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct InquiryPage {
    /// The rows.
    pub rows: Vec<InquiryRow>,
    /// What to hand back for the next page; empty where this is the last.
    pub next: String,
    /// Said where there is none.
    pub none: String,
}

/// One inquiry of a list. One under seal says nothing but that.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct InquiryRow {
    /// The inquiry.
    pub id: RecordId,
    /// The day, for the margin.
    pub day: String,
    /// Host and township.
    pub head: String,
    /// What it is about, or the resident's first words.
    pub text: String,
    /// Path of a small picture; empty where there is none here.
    pub picture: String,
    /// How far it is on its way.
    pub way: Way,
    /// The same in words.
    pub way_words: String,
    /// Somebody began it and did not put it down: `Not finished`; else empty.
    pub unfinished: String,
    /// The first of its stops; empty where none stands.
    pub stop: String,
    /// Two wrote otherwise of it, in words; else empty.
    pub conflict: String,
}

/// Rows of a page at most.
const MOST: u32 = 50;
/// Letters of the resident's words in a list.
const SHORT: usize = 120;

/// A page of inquiries. `after` is what the page before gave as its end, empty for the first page.
///
/// # Errors
/// `SCHEMA` for an end that is none; of SQLite.
pub fn inquiries(view: &View<'_>, filter: InquiryFilter, words: &str, after: &str, limit: u32) -> Result<InquiryPage> {
    let only = match filter {
        InquiryFilter::All => Only::All,
        InquiryFilter::Unfinished => Only::Begun,
        InquiryFilter::NotHandedOver => Only::NotHanded,
        InquiryFilter::ThisMonth => Only::Since(view.when.month_begins_ms()),
    };
    let ask = PageAsk {
        kinds: vec![Kind::Inquiry],
        deleted: false,
        words: words.to_owned(),
        only,
        after: if after.is_empty() { None } else { Some(after.parse()?) },
        limit: limit.clamp(1, MOST) as usize,
    };
    let (found, next) = view.notebook.page(&ask)?;
    let rows = rows(view, &found)?;
    let none = match (rows.is_empty(), words.trim().is_empty(), filter) {
        (false, ..) => String::new(),
        (_, false, _) => view.say("phone-none-found"),
        (_, _, InquiryFilter::All) => view.say("phone-none-yet"),
        _ => view.say("phone-none-so"),
    };
    Ok(InquiryPage { rows, next: next.map_or_else(String::new, |key| key.to_string()), none })
}

/// The rows of these inquiries.
pub(super) fn rows(view: &View<'_>, found: &[Summary]) -> Result<Vec<InquiryRow>> {
    let ids: Vec<RecordId> = found.iter().map(|row| row.id).collect();
    let mut of: BTreeMap<RecordId, Vec<Summary>> = BTreeMap::new();
    for row in view.notebook.rows_referring(&ids)?.into_iter().filter(|row| !row.hidden) {
        let owner = row.text("inquiry").and_then(|id| id.parse::<RecordId>().ok());
        if let Some(owner) = owner {
            of.entry(owner).or_default().push(row);
        }
    }
    let sites: Vec<RecordId> = found.iter().filter_map(|row| row.text("site")?.parse().ok()).collect();
    let sites: BTreeMap<RecordId, Summary> =
        view.notebook.rows_of(&sites)?.into_iter().map(|row| (row.id, row)).collect();
    let begun = view.notebook.drafts_after("begun ")?;
    found
        .iter()
        .map(|inquiry| {
            let own = of.remove(&inquiry.id).unwrap_or_default();
            let begun = begun.iter().any(|(id, _)| *id == hex::encode(inquiry.id.0));
            let way = view.notebook.way_of_all(inquiry.id)?;
            Ok(row(view, inquiry, &own, &sites, begun, way))
        })
        .collect()
}

/// Whether an inquiry is under seal, by its row and those that refer to it.
pub(super) fn is_sealed(inquiry: &Summary, own: &[Summary]) -> bool {
    under_seal(inquiry::stops(inquiry.fields.get("stops"))) || own.iter().any(|row| row.kind == Kind::Alert)
}

fn row(
    view: &View<'_>,
    inquiry: &Summary,
    own: &[Summary],
    sites: &BTreeMap<RecordId, Summary>,
    begun: bool,
    way: Way,
) -> InquiryRow {
    let opened = inquiry.text("opened").map(|at| view.when.day(at));
    let mut row = InquiryRow {
        id: inquiry.id,
        day: opened.unwrap_or_else(|| view.when.day_ms(inquiry.changed_ms)),
        head: view.say("phone-sealed"),
        text: String::new(),
        picture: String::new(),
        way,
        way_words: way_words(view, way),
        unfinished: if begun { view.say("phone-unfinished") } else { String::new() },
        stop: String::new(),
        conflict: String::new(),
    };
    if is_sealed(inquiry, own) {
        return row;
    }
    let site = inquiry.text("site").and_then(|id| sites.get(&id.parse().ok()?));
    row.head = title(view, own, site);
    row.text = inquiry.text("summary").or_else(|| inquiry.text("question")).map_or_else(String::new, short);
    let photo = own.iter().filter(|r| r.kind == Kind::Photo).max_by_key(|r| r.id);
    row.picture = view.blob(photo.and_then(|r| r.fields.get("thumbnail")));
    let stop = inquiry::stops(inquiry.fields.get("stops")).into_iter().find_map(|id| view.pack.stop(stop_id(id)));
    row.stop = stop.map_or_else(String::new, |stop| {
        view.with("key-stop-head", [("what", &lower_first(stop.title.get(view.words.0)))])
    });
    let conflicts = inquiry.conflicts + own.iter().map(|r| r.conflicts).sum::<u32>();
    if conflicts > 0 {
        row.conflict = view.with("phone-conflicts-of-one", [("n", &conflicts)]);
    }
    row
}

/// Hosts and township of an inquiry, from rows.
pub(super) fn title(view: &View<'_>, own: &[Summary], site: Option<&Summary>) -> String {
    let mut hosts: Vec<String> = Vec::new();
    for plant in own.iter().filter(|r| r.kind == Kind::Plant) {
        let name = view.names.host(plant.text("host").unwrap_or_default());
        if !hosts.contains(&name) {
            hosts.push(name);
        }
    }
    let what = if hosts.is_empty() { view.say("inquiry-no-plant-yet") } else { hosts.join("; ") };
    match site.and_then(|s| s.fields.get("township")).and_then(Json::as_str).filter(|name| !name.is_empty()) {
        Some(name) => format!("{what}, {}", township(name, view.words)),
        None => what,
    }
}

/// How far something is on its way, in words.
pub(super) fn way_words(view: &View<'_>, way: Way) -> String {
    view.say(match way {
        Way::OnThisPhone => "phone-way-here",
        Way::HandedOver => "phone-way-handed",
        Way::OfficeHasIt => "phone-way-office",
        Way::Reviewed => "phone-way-reviewed",
    })
}

/// The first words of a text.
pub(super) fn short(text: &str) -> String {
    let line = text.split_whitespace().collect::<Vec<_>>().join(" ");
    let cut: String = line.chars().take(SHORT).collect();
    if cut.len() < line.len() { format!("{cut}…") } else { cut }
}
