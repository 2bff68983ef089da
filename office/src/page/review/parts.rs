//! What stands on the page of one review beside the answers: plants with their findings, stops, causes to choose from,
//! inquiries that look alike.

use dooryard_core::{
    ids::RecordId,
    key::{Cause, stop_id},
    notebook::Record,
    record::Kind,
};

use super::{alike::Like, answer::cause_name, subject::Subject};
use crate::page::{
    four::{self, Four},
    frame::Frame,
    gather::{Whole, day_of, reference},
    lines,
    names::Names,
    reasons::{Reasons, observations, raised, reasons},
    routes::Desk,
    say::Say,
    trouble::Trouble,
    words::{When, by_name},
};

/// One plant with its findings.
pub(super) struct Plant {
    pub(super) title: String,
    pub(super) line: String,
    pub(super) four: Four,
    /// What the key makes of it; only once the scout's answer is shown.
    pub(super) reasons: Option<Reasons>,
}

/// A stop.
pub(super) struct Stop {
    pub(super) head: String,
    pub(super) text: String,
}

/// An inquiry that looks alike, or is linked.
pub(super) struct Beside {
    pub(super) id: String,
    pub(super) title: String,
    pub(super) line: String,
    pub(super) why: String,
}

/// Causes to choose from, under a heading.
pub(super) struct Group {
    pub(super) label: String,
    pub(super) causes: Vec<(String, String)>,
}

pub(super) fn plant_view(
    desk: &Desk,
    subject: &Subject,
    plant: &Record,
    say: Say<'_>,
    opened: bool,
    stops: &mut Vec<String>,
) -> Plant {
    let whole = &subject.whole;
    let findings: Vec<&Record> =
        whole.of(Kind::Finding).into_iter().filter(|f| reference(f, "plant") == Some(plant.id)).collect();
    let host = plant.text("host").unwrap_or_default();
    let (given, unknown) = observations(&desk.pack, host, day_of(whole), &findings);
    stops.extend(raised(&desk.pack, &given).into_iter().map(|stop| stop.id));
    let told = opened && !given.findings.is_empty();
    Plant {
        title: lines::plant_title(plant, say),
        line: lines::plant(plant, say),
        four: four::table(&findings, &whole.of(Kind::Visit), say),
        reasons: if told { reasons(&desk.pack, say, &given, unknown).ok() } else { None },
    }
}

pub(super) fn stop_views(ids: &[String], names: &Names) -> Vec<Stop> {
    let mut shown: Vec<String> = Vec::new();
    for id in ids.iter().map(|id| stop_id(id)) {
        if !shown.iter().any(|known| known == id) {
            shown.push(id.to_owned());
        }
    }
    shown.iter().map(|id| Stop { head: names.stop_head(id), text: names.stop_text(id) }).collect()
}

/// Causes to choose from: first those of the plant's host, then all others. What is regulated is not among them.
pub(super) fn groups(frame: &Frame, desk: &Desk, subject: &Subject) -> Vec<Group> {
    let (pack, names) = (&desk.pack, desk.names_in(frame.words.0));
    let host = subject.plant().and_then(|p| p.text("host")).unwrap_or_default();
    let at = pack.hosts.iter().position(|h| h.id == host);
    let fits = |cause: &&Cause| at.is_some_and(|at| cause.fits_host(at));
    let open = || pack.causes.iter().filter(|c| !names.regulated.contains(&c.id));
    let list = |causes: Vec<&Cause>| {
        let mut named: Vec<(String, String)> =
            causes.iter().map(|c| (c.id.clone(), cause_name(desk, frame, &c.id))).collect();
        named.sort_by_key(|(_, name)| by_name(name));
        named
    };
    let first = Group {
        label: frame.with("review-causes-host", [("host", &names.host(host))]),
        causes: list(open().filter(fits).collect()),
    };
    let rest = Group { label: frame.say("review-causes-other"), causes: list(open().filter(|c| !fits(c)).collect()) };
    [first, rest].into_iter().filter(|g| !g.causes.is_empty()).collect()
}

pub(super) fn beside_views(
    desk: &Desk,
    frame: &Frame,
    when: &When,
    ids: impl Iterator<Item = (RecordId, Vec<Like>)>,
) -> Result<Vec<Beside>, Trouble> {
    let mut views = Vec::new();
    let say = Say { names: desk.names_in(frame.words.0), when, words: frame.words };
    for (id, likes) in ids {
        let whole = Whole::read(desk.notebook(), id)?;
        let why: Vec<String> = likes
            .iter()
            .map(|like| {
                frame.say(match like {
                    Like::Photo => "review-alike-photo",
                    Like::Contact => "review-alike-contact",
                    Like::Place => "review-alike-place",
                })
            })
            .collect();
        views.push(Beside {
            id: id.to_string(),
            title: lines::title(&whole.of(Kind::Plant), whole.site.as_ref(), say),
            line: lines::line(&whole.inquiry, say),
            why: why.join(" "),
        });
    }
    Ok(views)
}
