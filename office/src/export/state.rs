//! The report to the state: counts by month, none without what it was counted out of, as CSV and as JSON.

use std::{
    collections::BTreeMap,
    io::Write,
    path::{Path, PathBuf},
};

use dooryard_core::{Result, notebook::Summary, record::Kind};
use serde_json::{Value as Json, json};

use super::{
    Audience, Written,
    case::Case,
    columns::{Cell, day},
    few::hidden,
    scope::Scope,
    whole::{Rows, whole, writing},
};
use crate::{
    counts::{FEW, HostCount, Tally, share},
    page::Names,
};

/// Columns of the table.
const HEADINGS: [&str; 10] =
    ["month", "what", "id", "name", "of_host", "n", "of", "percent", "percent_low", "percent_high"];

/// What was counted in a month.
#[derive(Default)]
struct Month {
    inquiries: u64,
    hosts: Tally,
    channels: BTreeMap<String, u64>,
    visits: u64,
    plants_looked_at: u64,
    samples: u64,
    laboratory_answers: u64,
}

impl Month {
    fn add(&mut self, case: &Case<'_>, names: &Names) {
        self.inquiries += 1;
        self.hosts.add(case.ledger, case.inquiry.id, names);
        let channel = case.inquiry.text("channel").unwrap_or("not_written_down");
        *self.channels.entry(channel.to_owned()).or_default() += 1;
        for visit in case.of(Kind::Visit) {
            self.visits += 1;
            self.plants_looked_at += visit.fields.get("plants_looked_at").and_then(Json::as_u64).unwrap_or(0);
        }
        for sample in case.of(Kind::Sample) {
            self.samples += 1;
            self.laboratory_answers += u64::from(sample.fields.contains_key("result"));
        }
    }
}

/// Writes the table to `out`, and the same as JSON beside it.
///
/// # Errors
/// `NO_SPACE`; of the stores. No half file is left.
pub fn write(scope: &Scope<'_>, out: &Path) -> Result<Written> {
    let mut months: BTreeMap<String, Month> = BTreeMap::new();
    scope.each(|case| {
        months.entry(month_of(case.inquiry)).or_default().add(case, scope.names);
        Ok(())
    })?;
    let sizes: Vec<u64> = months.values().map(|m| m.inquiries).collect();
    let open = scope.audience == Audience::Office;
    let hide = if open { vec![false; sizes.len()] } else { hidden(&sizes) };
    let told: Vec<Json> =
        months.into_iter().zip(hide).map(|((name, month), hide)| month_json(&name, month, hide, scope)).collect();
    let mut table = Rows::new(&HEADINGS.map(str::to_owned), false)?;
    for month in &told {
        for line in lines(month) {
            table.add(line)?;
        }
    }
    let about = scope.about("state-report", &json!({ "months": told.len(), "lines": table.count }));
    let json = serde_json::to_vec_pretty(&json!({ "about": about, "months": told })).map_err(writing)?;
    let ((), bytes) = whole(out, |file| {
        table.copy(file)?;
        file.flush().map_err(writing)?;
        whole(&beside(out), |file| file.write_all(&json).map_err(writing)).map(drop)
    })?;
    Ok(Written { bytes, about })
}

/// The file with the same as JSON.
pub fn beside(out: &Path) -> PathBuf {
    out.with_extension("json")
}

fn month_of(inquiry: &Summary) -> String {
    let opened = inquiry.text("opened").and_then(day);
    opened.map_or_else(|| "not written down".to_owned(), |on| on.strftime("%Y-%m").to_string())
}

/// A month; what is hidden is null.
fn month_json(name: &str, month: Month, hide: bool, scope: &Scope<'_>) -> Json {
    let open = scope.audience == Audience::Office;
    let inquiries = month.inquiries;
    if hide {
        return json!({ "month": name, "inquiries": null, "of": scope.out_of.written, "fewer_than": FEW });
    }
    let told = |n: u64| if open || n >= FEW { json!(n) } else { Json::Null };
    let counts = month.hosts.counts(inquiries, 0);
    let sizes: Vec<u64> = counts.hosts.iter().map(|h| h.inquiries).collect();
    let hidden_hosts = if open { vec![false; sizes.len()] } else { hidden(&sizes) };
    let hosts = counts.hosts.iter().zip(hidden_hosts).filter(|(_, hide)| !hide);
    let channels: Vec<(&String, &u64)> = month.channels.iter().collect();
    let sizes: Vec<u64> = channels.iter().map(|(_, n)| **n).collect();
    let hidden_channels = if open { vec![false; sizes.len()] } else { hidden(&sizes) };
    let channels = channels.into_iter().zip(hidden_channels).filter(|(_, hide)| !hide);
    json!({
        "month": name,
        "inquiries": inquiries,
        "of": scope.out_of.written,
        "channels": channels.map(|((c, n), _)| json!({ "channel": c, "inquiries": n, "of": inquiries })).collect::<Json>(),
        "visits": told(month.visits),
        "plants_looked_at": if told(month.visits).is_null() { Json::Null } else { json!(month.plants_looked_at) },
        "samples": told(month.samples),
        "laboratory_answers": told(month.laboratory_answers),
        "hosts": hosts.map(|(h, _)| host_json(h, inquiries, scope.names, open)).collect::<Json>(),
    })
}

fn host_json(host: &HostCount, inquiries: u64, names: &Names, open: bool) -> Json {
    let told = |n: u64| open || n >= FEW;
    let causes = host.causes.iter().filter(|(.., n)| told(*n));
    json!({
        "host": host.id,
        "name": names.host(&host.id),
        "inquiries": host.inquiries,
        "of": inquiries,
        "affected": if told(host.plants.0) { json!(host.plants.0) } else { Json::Null },
        "present": if told(host.plants.0) { json!(host.plants.1) } else { Json::Null },
        "answered": if told(host.answered) { json!(host.answered) } else { Json::Null },
        "causes": causes.map(|(id, name, n)| json!({ "cause": id, "name": name, "inquiries": n, "of": host.answered })).collect::<Json>(),
    })
}

/// The lines of a month in the table.
fn lines(month: &Json) -> Vec<[String; 10]> {
    let mut lines = Vec::new();
    let mut add = |what: &str, id: &Json, name: &Json, of_host: &Json, n: &Json, of: &Json| {
        let text = |v: &Json| Cell::Text(v.as_str().unwrap_or_default().to_owned()).safe_text();
        let number = |v: &Json| v.as_u64().map(|n| n.to_string()).unwrap_or_default();
        let interval = match (n.as_u64(), of.as_u64()) {
            (Some(n), Some(of)) if of >= FEW && n <= of => {
                let (share, low, high) = share(n, of);
                [share, low, high].map(|p| format!("{p:.1}"))
            }
            _ => [String::new(), String::new(), String::new()],
        };
        let [share, low, high] = interval;
        let (name, what) = (text(name), what.to_owned());
        lines.push([
            text(&month["month"]),
            what,
            text(id),
            name,
            text(of_host),
            number(n),
            number(of),
            share,
            low,
            high,
        ]);
    };
    let none = Json::Null;
    add("inquiries", &none, &none, &none, &month["inquiries"], &month["of"]);
    for channel in list(&month["channels"]) {
        add("channel", &channel["channel"], &none, &none, &channel["inquiries"], &channel["of"]);
    }
    for what in ["visits", "plants_looked_at", "samples"] {
        add(what, &none, &none, &none, &month[what], &none);
    }
    add("laboratory_answers", &none, &none, &none, &month["laboratory_answers"], &month["samples"]);
    for host in list(&month["hosts"]) {
        add("host", &host["host"], &host["name"], &none, &host["inquiries"], &host["of"]);
        add("plants_affected", &none, &none, &host["host"], &host["affected"], &host["present"]);
        add("answered", &none, &none, &host["host"], &host["answered"], &host["inquiries"]);
        for cause in list(&host["causes"]) {
            add("cause", &cause["cause"], &cause["name"], &host["host"], &cause["inquiries"], &cause["of"]);
        }
    }
    lines
}

fn list(json: &Json) -> impl Iterator<Item = &Json> {
    json.as_array().into_iter().flatten()
}
