//! The command: the same files, what it says, and what it leaves when it cannot write.

use std::{
    path::Path,
    process::{Command, Output},
};

use dooryard_core::record::Kind;
use dooryard_office::export::{Audience, Table, write_csv};
use dooryard_tests::save;
use serde_json::{Value as Json, json};

use crate::yard::{County, all_for};

fn export(county: &County, line: &str) -> Output {
    let dir = county.yard.dir.path();
    let mut command = Command::new(env!("CARGO_BIN_EXE_dooryard"));
    command.current_dir(dir).args(["--json", "export"]).args(line.split(' ')).output().unwrap()
}

fn said(output: &Output, code: i32) -> Json {
    let text = if code == 0 { &output.stdout } else { &output.stderr };
    let text = String::from_utf8_lossy(text);
    assert_eq!(output.status.code(), Some(code), "{text}{}", String::from_utf8_lossy(&output.stderr));
    serde_json::from_str(text.trim()).unwrap_or_else(|e| panic!("{e}: {text}"))
}

fn files(dir: &Path) -> usize {
    std::fs::read_dir(dir).unwrap().count()
}

#[test]
fn the_command_writes_the_same_file_as_the_office() {
    let county = County::new();
    let told = said(&export(&county, "csv office --out by_command.csv --table plants --host tomato_family"), 0);
    assert_eq!(told["about"]["rows"]["plants"], 1);
    let mut ask = all_for(Audience::Public);
    ask.filter.host = "tomato_family".into();
    county.export("by_office.csv", &ask, |scope, out| write_csv(scope, out, Some(Table::Plants), false).unwrap());
    let read = |name: &str| std::fs::read(county.yard.file(name)).unwrap();
    assert_eq!(read("by_command.csv"), read("by_office.csv"));
    assert_eq!(told["bytes"].as_u64().unwrap(), read("by_command.csv").len() as u64);
    for line in ["xlsx office --out a.xlsx", "geojson office --out a.geojson", "darwin-core office --out a.zip"] {
        let told = said(&export(&county, line), 0);
        assert_eq!(told["about"]["for"], "public", "{line}: the public reads it unless asked otherwise");
        assert!(county.yard.file(told["file"].as_str().unwrap()).exists());
    }
}

#[test]
fn what_cannot_be_written_leaves_nothing_behind() {
    let county = County::new();
    let before = files(county.yard.dir.path());
    for line in ["csv office --out nowhere/a.csv", "xlsx office --out office", "darwin-core office --out nowhere/a.zip"]
    {
        let refused = said(&export(&county, line), 1);
        assert!(refused["refused"].as_str().unwrap().contains(line.rsplit(' ').next().unwrap()), "{refused}");
    }
    assert_eq!(files(county.yard.dir.path()), before);
    assert_eq!(export(&county, "csv office --out a.csv --status sold").status.code(), Some(2));
}

#[cfg(unix)]
#[test]
fn a_disk_that_takes_no_more_leaves_no_half_file() {
    let county = County::new();
    let (phone, dir) = (&county.yard.phones[0], county.yard.dir.path());
    for _ in 0..40 {
        let visit = json!({"inquiry": county.told.to_string(), "note": "leaf ".repeat(3_000)});
        save(phone, Kind::Visit, visit).unwrap();
    }
    county.yard.take_in(&county.yard.bundle(phone, "notes.yard").unwrap()).unwrap();
    // No file may grow beyond this many blocks: a write fails in the middle, as on a full disk.
    let limited = |blocks: u32, out: &str| {
        let script = format!("trap '' XFSZ; ulimit -f {blocks}; exec \"$0\" \"$@\"");
        let export = ["--json", "export", "dump", "office", "--out", out];
        Command::new("sh")
            .current_dir(dir)
            .args(["-c", &script, env!("CARGO_BIN_EXE_dooryard")])
            .args(export)
            .output()
            .unwrap()
    };
    assert_eq!(said(&limited(100_000, "whole.json"), 0)["about"]["rows"]["visit"], 42);
    let (before, whole) = (files(dir), std::fs::read(county.yard.file("whole.json")).unwrap());
    for out in ["half.json", "whole.json"] {
        let refused = said(&limited(500, out), 1);
        assert!(refused["refused"].as_str().unwrap().contains(out), "{refused}");
    }
    assert_eq!(files(dir), before, "no half file");
    assert_eq!(std::fs::read(county.yard.file("whole.json")).unwrap(), whole, "what stood there stays");
}
