//! One inquiry as the index holds it, worked out by the rules of lists and counts.

use std::collections::{BTreeMap, BTreeSet};

use dooryard_core::{
    ids::RecordId,
    key::stop_id,
    notebook::Summary,
    record::{Field, Kind, Privacy, Type, fields_of},
};
use jiff::civil::Date;

use super::later::NO_DAY;
use crate::{
    counts::{HostCount, may_count},
    ledger::{Ledger, opened_ms, status, stops},
    page::Names,
};

/// One inquiry.
#[derive(Clone, PartialEq, Debug)]
pub(super) struct Case {
    /// Its id.
    pub(super) id: RecordId,
    /// It is under seal.
    pub(super) sealed: bool,
    /// What lists show; `None` when none may.
    pub(super) told: Option<Told>,
    /// Records that belong to it.
    pub(super) members: Vec<RecordId>,
}

/// What lists and counts show of it.
#[derive(Clone, PartialEq, Debug)]
pub(super) struct Told {
    pub(super) opened_ms: i64,
    pub(super) channel: Option<String>,
    pub(super) township: Option<String>,
    pub(super) cell: Option<String>,
    pub(super) status: String,
    pub(super) outcome: Option<String>,
    pub(super) due: Option<String>,
    pub(super) stop: bool,
    pub(super) conflicts: u64,
    pub(super) diagnosis: Option<String>,
    pub(super) scout: Option<String>,
    pub(super) changed_ms: i64,
    pub(super) counted: bool,
    /// What it counts for each of its hosts.
    pub(super) hosts: Vec<HostCount>,
    /// Causes that may be named, with the chance in a hundred.
    pub(super) causes: Vec<(String, Option<u8>)>,
    /// Why it was reviewed.
    pub(super) reviews: BTreeSet<String>,
    /// A stop that halts was raised.
    pub(super) halt: bool,
    /// Private words stand in its records, also in those that were taken away.
    pub(super) private: bool,
    /// What is to be asked later.
    pub(super) laters: Vec<FollowUp>,
    /// Names of the pack by which it is found, since the records hold only ids; and its number as letters have it.
    pub(super) names: String,
}

/// One follow-up.
#[derive(Clone, PartialEq, Debug)]
pub(super) struct FollowUp {
    pub(super) id: RecordId,
    pub(super) done: bool,
    /// The day it is due; once it is done, the day of the answer where one was written.
    pub(super) day: String,
    pub(super) by: String,
}

impl FollowUp {
    fn of(row: &Summary) -> Self {
        let done = row.is_done();
        let answered = row.text("answered").filter(|_| done);
        let day = answered.or_else(|| row.text("due")).filter(|day| day.parse::<Date>().is_ok());
        Self {
            id: row.id,
            done,
            day: day.unwrap_or(NO_DAY).to_owned(),
            by: row.text("by").unwrap_or_default().to_owned(),
        }
    }
}

/// Whether words of a private field stand in a record; of one in conflict it is taken to be so.
fn has_private(row: &Summary) -> bool {
    let is_word = |f: &&Field| f.class == Privacy::Private && !matches!(f.ty, Type::Ref(_));
    row.conflicts > 0 || fields_of(row.kind).iter().filter(is_word).any(|f| row.fields.contains_key(f.name))
}

impl Case {
    /// Works out these inquiries from the rows around them.
    pub(super) fn all(rows: &[Summary], inquiries: &[RecordId], names: &Names) -> Vec<Self> {
        let ledger = Ledger::of_rows(rows.to_vec(), &names.suspect);
        let listed: BTreeMap<RecordId, &Summary> = ledger.inquiries.iter().map(|row| (row.id, row)).collect();
        let mut members: BTreeMap<RecordId, Vec<&Summary>> = BTreeMap::new();
        for row in rows.iter().filter(|row| !row.hidden || row.kind == Kind::Alert) {
            for inquiry in ledger.inquiries_of(row) {
                members.entry(inquiry).or_default().push(row);
            }
        }
        let mut private: BTreeSet<RecordId> = BTreeSet::new();
        for row in rows.iter().filter(|row| has_private(row)) {
            private.extend(ledger.inquiries_of(row));
        }
        let case = |id: &RecordId| {
            let members = members.remove(id).unwrap_or_default();
            Self {
                id: *id,
                sealed: ledger.sealed.contains(id),
                told: listed
                    .get(id)
                    .map(|row| Told { private: private.contains(id), ..Told::of(&ledger, row, &members, names) }),
                members: members.iter().map(|row| row.id).collect(),
            }
        };
        inquiries.iter().map(case).collect()
    }
}

impl Told {
    fn of(ledger: &Ledger, inquiry: &Summary, members: &[&Summary], names: &Names) -> Self {
        let text = |field: &str| inquiry.text(field).map(str::to_owned);
        let at_site = |field: &str| ledger.site_of(inquiry).and_then(|site| site.text(field)).map(str::to_owned);
        let of = |kind: Kind| members.iter().filter(move |row| row.kind == kind);
        let open = of(Kind::FollowUp).filter(|row| !row.is_done());
        let hosts = HostCount::of_inquiry(ledger, inquiry.id, names);
        let mut causes = ledger.causes_of(inquiry.id);
        let found = hosts.iter().map(|host| host.name.clone());
        let found = found.chain(causes.iter().map(|(id, _)| names.cause(id)));
        let found: Vec<String> = found.chain([inquiry.id.short()]).collect();
        causes.retain(|(id, _)| !names.regulated.contains(id));
        let newest = ledger.diagnoses.get(&inquiry.id).and_then(|all| all.first());
        Self {
            opened_ms: opened_ms(inquiry),
            channel: text("channel"),
            township: at_site("township"),
            cell: at_site("cell"),
            status: status(inquiry).to_owned(),
            outcome: text("outcome"),
            due: open.filter_map(|row| row.text("due")).min().map(str::to_owned),
            stop: !stops(inquiry.fields.get("stops")).is_empty(),
            conflicts: members.iter().filter(|row| !row.hidden).map(|row| u64::from(row.conflicts)).sum(),
            diagnosis: newest.map(|row| row.text("status").unwrap_or("presumptive").to_owned()),
            scout: text("taken_by"),
            changed_ms: members.iter().map(|row| row.changed_ms).max().unwrap_or(inquiry.changed_ms),
            counted: may_count(inquiry),
            hosts,
            causes,
            reviews: of(Kind::Review).filter_map(|row| row.text("reason")).map(str::to_owned).collect(),
            halt: stops(inquiry.fields.get("stops")).into_iter().any(|stop| !names.mild.contains(stop_id(stop))),
            private: false,
            laters: of(Kind::FollowUp).map(|row| FollowUp::of(row)).collect(),
            names: found.join("\n"),
        }
    }
}

/// The ISO week of a day, such as `2026-W30`.
pub(super) fn week_of(day: Date) -> String {
    let week = day.iso_week_date();
    format!("{:04}-W{:02}", week.year(), week.week())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_week_has_the_year_of_its_thursday() {
        let week = |year, month, day| week_of(Date::new(year, month, day).unwrap());
        assert_eq!(week(2026, 7, 20), "2026-W30");
        assert_eq!(week(2027, 1, 3), "2026-W53");
        assert_eq!(week(2024, 12, 30), "2025-W01");
    }
}
