//! The demo season's changes in any order, repeated and split in any way, give one state, the model's too.
#![allow(clippy::unwrap_used, reason = "a test")]

use dooryard_core::{
    clock::{Env, SetClock},
    ids::{Hash32, LogId, OfficeId},
    job::Job,
    log::{Authority, Change, Memory, Segment, apply_segment, apply_statement, digest, recount},
    notebook::Notebook,
};
use dooryard_fixtures::play::{Options, Play};
use dooryard_office::desk::Office;
use rand::{Rng, SeedableRng, seq::SliceRandom};
use rand_chacha::ChaCha8Rng;

/// One thing that can reach a store.
#[derive(Clone)]
enum Item {
    Segment(LogId, Hash32, Vec<Change>),
    Statement(Vec<u8>),
}

struct Season {
    dir: tempfile::TempDir,
    play: Play,
    office: OfficeId,
    key: [u8; 32],
    items: Vec<Item>,
    digest: Hash32,
}

/// The season without photos, played to its end; everything that the office holds, log by log, and its statements.
fn season() -> Season {
    let dir = tempfile::tempdir().unwrap();
    let mut play = Play::new(&dir.path().join("season"), Options { seed: 7, photos: false }).unwrap();
    let tell = |_: &str, _: u64, _: u64| {};
    play.on_phones(&tell).unwrap();
    for file in play.handed_in().unwrap() {
        play.office.take_in(&file.path, &Job::silent()).unwrap();
    }
    // Once with all bodies, as phones sent them, and once as the office holds them after the erasure.
    let mut items = segments(play.office.notebook());
    play.at_the_desk(&tell).unwrap();
    items.extend(segments(play.office.notebook()));
    items.extend(play.office.notebook().statements().unwrap().into_iter().map(Item::Statement));
    let (office, key) = (play.office.card().office(), play.office.card().key);
    let digest = play.office.notebook().digest().unwrap();
    Season { dir, play, office, key, items, digest }
}

fn segments(notebook: &Notebook) -> Vec<Item> {
    let mut items = Vec::new();
    for state in notebook.logs().unwrap() {
        let mut after = 0;
        while let Some(segment) = notebook.segment_after(&state.log, after).unwrap() {
            after = segment.to();
            items.push(Item::Segment(segment.log, segment.prev, segment.changes));
        }
    }
    items
}

impl Season {
    /// The items cut at random places, some of them twice, in random order.
    fn shuffled(&self, random: &mut ChaCha8Rng) -> Vec<Item> {
        let mut pieces = Vec::new();
        for item in &self.items {
            match item {
                Item::Statement(_) => pieces.push(item.clone()),
                Item::Segment(log, prev, changes) => {
                    let (mut prev, mut rest) = (*prev, changes.as_slice());
                    while !rest.is_empty() {
                        let (piece, left) = rest.split_at(random.random_range(1..=rest.len().min(60)));
                        pieces.push(Item::Segment(*log, prev, piece.to_vec()));
                        prev = Segment::new(&self.office, *log, prev, piece.to_vec()).tip();
                        rest = left;
                    }
                }
            }
        }
        let again: Vec<_> = pieces.iter().filter(|_| random.random_bool(0.1)).cloned().collect();
        pieces.extend(again);
        pieces.shuffle(random);
        pieces
    }

    fn in_memory(&self, items: &[Item]) -> (Memory, Authority) {
        let (mut memory, mut authority) = (Memory::default(), Authority::new(self.office, self.key));
        for item in items {
            match item {
                Item::Statement(signed) => drop(apply_statement(&mut memory, &mut authority, signed).unwrap()),
                Item::Segment(log, prev, changes) => {
                    let segment = Segment::new(&self.office, *log, *prev, changes.clone());
                    apply_segment(&mut memory, &authority, segment).unwrap();
                }
            }
        }
        (memory, authority)
    }

    fn in_notebook(&self, n: u64, items: &[Item]) -> Notebook {
        // The office's own notebook is enrolled by its first statement; all others come in any order.
        let folder = self.dir.path().join(format!("store-{n}"));
        let notebook = Notebook::create(&folder, Env::seeded(7, &SetClock::at(0))).unwrap();
        let first = self.play.office.notebook().statements().unwrap()[0].clone();
        let card = std::fs::read(self.play.office.folder().join("office.card")).unwrap();
        copy_key(self.play.office.notebook().folder(), &folder);
        drop(notebook);
        let notebook = Notebook::open(&folder, Env::seeded(7, &SetClock::at(0))).unwrap();
        notebook.enrol(&dooryard_core::notebook::write_answer(&card, &[first])).unwrap();
        for item in items {
            match item {
                Item::Statement(signed) => notebook.take_statements(std::slice::from_ref(signed)).unwrap(),
                Item::Segment(log, prev, changes) => {
                    notebook.take_segment(Segment::new(&self.office, *log, *prev, changes.clone())).map(drop).unwrap();
                }
            }
        }
        notebook
    }
}

fn copy_key(from: &std::path::Path, to: &std::path::Path) {
    std::fs::copy(from.join("local/device.key"), to.join("local/device.key")).unwrap();
}

#[test]
fn two_hundred_random_orders_repetitions_and_splits_give_one_digest_on_sqlite_and_in_memory() {
    let season = season();
    let changes: usize = season.items.iter().map(|i| if let Item::Segment(.., c) = i { c.len() } else { 0 }).sum();
    assert!(changes > 600, "{changes} changes");
    for order in 0..200 {
        let mut random = ChaCha8Rng::seed_from_u64(order);
        let items = season.shuffled(&mut random);
        let (mut memory, authority) = season.in_memory(&items);
        assert_eq!(digest(&mut memory, &authority).unwrap(), season.digest, "order {order}, in memory");
        // The definition itself: everything derived, counted anew from the changes.
        recount(&mut memory, &authority).unwrap();
        assert_eq!(digest(&mut memory, &authority).unwrap(), season.digest, "order {order}, counted anew");
        let notebook = season.in_notebook(order, &items);
        assert_eq!(notebook.digest().unwrap(), season.digest, "order {order}, on SQLite");
        drop(notebook);
        std::fs::remove_dir_all(season.dir.path().join(format!("store-{order}"))).unwrap();
    }
}

#[test]
fn the_files_handed_in_give_one_digest_in_any_order() {
    let dir = tempfile::tempdir().unwrap();
    let mut play = Play::new(&dir.path().join("season"), Options { seed: 8, photos: false }).unwrap();
    play.on_phones(&|_, _, _| {}).unwrap();
    let files = play.handed_in().unwrap();
    let mut expected = None;
    for order in 0..6 {
        // A copy of the office as it was before any file came.
        let folder = dir.path().join(format!("office-{order}"));
        dooryard_tests::copy_folder(play.office.folder(), &folder).unwrap();
        let office = Office::open(&folder, Env::seeded(order, &SetClock::at(1_800_000_000_000))).unwrap();
        let mut shuffled = files.clone();
        shuffled.shuffle(&mut ChaCha8Rng::seed_from_u64(order));
        for file in &shuffled {
            office.take_in(&file.path, &Job::silent()).unwrap();
        }
        let digest = office.notebook().digest().unwrap();
        assert_eq!(*expected.get_or_insert(digest), digest, "order {order}");
        assert_eq!(office.notebook().gaps().unwrap(), []);
    }
}

#[test]
fn the_season_ends_with_what_it_is_to_show_and_without_the_erased_words() {
    let season = season();
    let office = season.play.office.notebook();
    assert_eq!(office.conflicts().unwrap().len(), 1);
    let withdrawn = season.play.ids[&season.play.season.withdrawn_finding];
    assert!(office.show(withdrawn).unwrap().hidden);
    assert!(season.play.far.is_some_and(|(_, from, to, _)| to > from), "some changes were dated to 2099");
    for notebook in season.play.phones.iter().chain([office]) {
        notebook.pause().unwrap();
    }
    for words in &season.play.season.erased.words {
        for form in [words.clone(), words.to_lowercase()] {
            let found = dooryard_tests::files_with(&season.play.dir, form.as_bytes()).unwrap();
            assert_eq!(found, Vec::<std::path::PathBuf>::new(), "{form}");
        }
    }
    let again = season.play.bundles.first().unwrap();
    season.play.office.take_in(again, &Job::silent()).unwrap();
    assert_eq!(office.digest().unwrap(), season.digest, "replaying the oldest bundle changes nothing");
}
