//! Whether the same seeds still give the committed files. Sealing is random, so a sealed file is compared by what stands inside it,
//! and the committed bytes stay when that is the same; cut and changed files are compared byte for byte.

use std::{collections::BTreeMap, fs, path::Path};

use age::x25519::Identity;
use ciborium::Value;
use dooryard_core::notebook::Notebook;
use dooryard_tests::{
    copy_folder,
    wire::{self, Outer, Text},
};

use super::{
    cast::env,
    expected::expected,
    files::{Files, derived, made},
    place,
};

/// What stands inside a file, without what differs from one making, packer or version of the program to the next.
#[derive(PartialEq, Debug)]
enum Inside {
    Text { envelope: Vec<Value>, frames: Vec<(u8, Value)> },
    Plain(Vec<u8>),
}

/// A file's header and parts.
type Opened = (Vec<u8>, Vec<(u8, Inside)>);

/// Opens a file; none when it is damaged.
fn inside(file: &[u8], keys: &[Identity]) -> Option<Opened> {
    let outer = Outer::read(file).ok()?;
    let open = |sealed: &[u8]| keys.iter().find_map(|key| wire::unseal(sealed, key).ok()).unwrap_or(sealed.to_vec());
    let look = |(kind, sealed): &(u8, Vec<u8>)| {
        let plain = open(sealed);
        let text = (*kind == wire::TEXT).then(|| Text::read(&plain).ok().and_then(|text| read(&text)));
        (*kind, text.flatten().unwrap_or(Inside::Plain(plain)))
    };
    Some((outer.header.clone(), outer.parts.iter().map(look).collect()))
}

fn read(text: &Text) -> Option<Inside> {
    let frames = text.frames().ok()?.into_iter().map(|(kind, bytes)| {
        let Ok(mut tree) = ciborium::from_reader::<Value, _>(&bytes[..]) else { return (kind, Value::Bytes(bytes)) };
        if kind == 1 {
            // The version of the program.
            tree.as_array_mut().unwrap()[1] = Value::Null;
        }
        (kind, tree)
    });
    let frames = frames.collect();
    // The last three: lengths and hash of what was packed.
    let envelope = wire::payload(&text.envelope).ok()?.as_array()?[..9].to_vec();
    Some(Inside::Text { envelope, frames })
}

/// A folder's digest and its small files.
fn state(folder: &Path, notebook: &str) -> (String, BTreeMap<&'static str, Option<Vec<u8>>>) {
    let copy = tempfile::tempdir().unwrap();
    copy_folder(folder, copy.path()).unwrap();
    let names = ["office.key", "office.card", "local/device.key", "local/incarnation", "notebook/local/device.key"];
    let small = names.map(|name| (name, fs::read(folder.join(name)).ok())).into_iter().collect();
    let opened = Notebook::open(&copy.path().join(notebook), env(1)).unwrap();
    (opened.digest().unwrap().to_hex(), small)
}

#[test]
fn the_committed_files_have_not_drifted_from_their_seeds() {
    let update = std::env::var_os("UPDATE").is_some();
    let made = made();
    for (name, folder, notebook) in [("office", &made.office, "notebook"), ("phone", &made.phone, "")] {
        let same = place(name).exists() && state(&place(name), notebook) == state(folder, notebook);
        if update && !same {
            let _ = fs::remove_dir_all(place(name));
            copy_folder(folder, &place(name)).unwrap();
        }
        assert!(same || update, "the folder {name} is another");
    }
    let mut files = Files::new();
    for (name, bytes) in &made.files {
        let committed = fs::read(place(name)).ok();
        let new = inside(bytes, &made.keys);
        assert!(new.is_some(), "{name}");
        let same = committed.filter(|old| inside(old, &made.keys) == new);
        assert!(same.is_some() || update, "{name} is another inside");
        files.insert(name, same.unwrap_or_else(|| bytes.clone()));
    }
    let derived = derived(&files);
    files.extend(derived);
    let text = format!("{}\n", serde_json::to_string_pretty(&expected()).unwrap());
    files.insert("expected.json", text.into_bytes());
    let mut size = 0;
    for (name, bytes) in &files {
        size += bytes.len();
        if update {
            fs::create_dir_all(place(name).parent().unwrap()).unwrap();
            fs::write(place(name), bytes).unwrap();
        } else {
            assert!(fs::read(place(name)).unwrap() == *bytes, "{name} is another");
        }
    }
    assert!(size < 2 << 20, "{size} bytes of golden files");
}
