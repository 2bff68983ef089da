//! A disk that remembers what was made durable and what was not, so that it can be shown as it would come back after a power cut.
//!
//! Only what the standard promises is durable: the bytes of a file by a sync of that file, its name by a sync of its folder.

use std::{
    collections::{BTreeMap, HashMap},
    ffi::OsString,
    fs,
    path::{Path, PathBuf},
};

use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;

use super::calls::Call;

/// What of that which was not made durable is there all the same when the power is back.
#[derive(Clone, Copy, Debug)]
pub enum Kept {
    /// Nothing.
    Nothing,
    /// All names, without the bytes: what renames in place of a sync would rely on.
    Names,
    /// Names up to some moment in each folder, and some of the writes to each file.
    Some(u64),
    /// All of it, as when only the program is stopped.
    All,
}

/// The files below a folder after a power cut, and its folders.
pub type Image = (BTreeMap<PathBuf, Vec<u8>>, Vec<PathBuf>);

enum Node {
    File { now: Vec<u8>, synced: Vec<u8>, since: Vec<Change> },
    Folder { now: Names, synced: Names, since: Vec<Named> },
}

type Names = BTreeMap<OsString, usize>;

/// What one call did to the names of a folder: all of it lasts, or nothing.
type Named = Vec<(OsString, Option<usize>)>;

#[derive(Clone)]
enum Change {
    Write(u64, Vec<u8>),
    Length(u64),
}

impl Change {
    fn make(&self, bytes: &mut Vec<u8>) {
        match self {
            Self::Write(at, new) => {
                let (at, end) = (*at as usize, *at as usize + new.len());
                bytes.resize(bytes.len().max(end), 0);
                bytes[at..end].copy_from_slice(new);
            }
            Self::Length(length) => bytes.resize(*length as usize, 0),
        }
    }
}

/// A file that the program has open: one of this disk, or another.
struct Open {
    node: Option<usize>,
    path: PathBuf,
    at: u64,
    append: bool,
}

/// A disk with one folder, whose every file is durable at first.
pub struct Disk {
    root: PathBuf,
    nodes: Vec<Node>,
    open: HashMap<i64, Open>,
    /// Whether it does what a sync asks for.
    heeds_syncs: bool,
}

impl Disk {
    /// As the folder stands.
    pub fn of(root: &Path) -> Self {
        let mut disk = Self { root: root.to_owned(), nodes: Vec::new(), open: HashMap::new(), heeds_syncs: true };
        disk.load(root);
        disk
    }

    /// The same, of a disk that says that it made something durable and did not.
    pub fn lying(root: &Path) -> Self {
        Self { heeds_syncs: false, ..Self::of(root) }
    }

    fn load(&mut self, path: &Path) -> usize {
        let at = self.nodes.len();
        if path.is_dir() {
            self.nodes.push(Node::Folder { now: Names::new(), synced: Names::new(), since: Vec::new() });
            let mut names = Names::new();
            for entry in fs::read_dir(path).unwrap() {
                let entry = entry.unwrap();
                let node = self.load(&entry.path());
                names.insert(entry.file_name(), node);
            }
            self.nodes[at] = Node::Folder { now: names.clone(), synced: names, since: Vec::new() };
        } else {
            let bytes = fs::read(path).unwrap();
            self.nodes.push(Node::File { now: bytes.clone(), synced: bytes, since: Vec::new() });
        }
        at
    }

    /// The program ended: nothing is open.
    pub fn ended(&mut self) {
        self.open.clear();
    }

    /// A program made a call. Says whether what a power cut would leave may be another now.
    pub fn apply(&mut self, call: &Call) -> bool {
        match call {
            Call::Open { path, file, make, empty, append } => {
                let mut node = self.find(path);
                let mut changed = false;
                if node.is_none() && *make && self.is_here(path) {
                    self.nodes.push(Node::File { now: Vec::new(), synced: Vec::new(), since: Vec::new() });
                    node = Some(self.nodes.len() - 1);
                    self.name_one(path, node);
                    changed = true;
                } else if let (Some(node), true) = (node, *empty) {
                    self.change(node, Change::Length(0));
                    changed = true;
                }
                self.open.insert(*file, Open { node, path: path.clone(), at: 0, append: *append });
                return changed;
            }
            Call::Close(file) => _ = self.open.remove(file),
            Call::Twin { of, file } => {
                if let Some(Open { node, path, at, append }) = self.open.get(of) {
                    assert!(node.is_none(), "a file of this disk is open twice as one: {}", path.display());
                    let twin = Open { node: *node, path: path.clone(), at: *at, append: *append };
                    self.open.insert(*file, twin);
                }
            }
            Call::Seek { file, to } => _ = self.open.get_mut(file).map(|open| open.at = *to),
            Call::Read { file, bytes } => _ = self.open.get_mut(file).map(|open| open.at += bytes),
            Call::Write { file, bytes } => return self.write(*file, bytes.clone()),
            Call::WriteAt { file, at, bytes } => {
                let node = self.open.get(file).and_then(|open| open.node);
                node.into_iter().for_each(|node| self.change(node, Change::Write(*at, bytes.clone())));
                return node.is_some();
            }
            Call::Length { file, length } => {
                let node = self.open.get(file).and_then(|open| open.node);
                node.into_iter().for_each(|node| self.change(node, Change::Length(*length)));
                return node.is_some();
            }
            Call::Copy { from, to, bytes } => {
                let source = &self.open[from];
                let whole = match source.node.map(|node| &self.nodes[node]) {
                    Some(Node::File { now, .. }) => now.clone(),
                    _ => fs::read(&source.path).unwrap(),
                };
                let (begin, end) = (source.at as usize, (source.at + bytes) as usize);
                self.open.get_mut(from).unwrap().at += bytes;
                return self.write(*to, whole[begin..end].to_vec());
            }
            Call::Sync(file) => {
                let node = self.open.get(file).and_then(|open| open.node);
                match node.filter(|_| self.heeds_syncs).map(|node| &mut self.nodes[node]) {
                    Some(Node::File { now, synced, since }) => {
                        since.clear();
                        synced.clone_from(now);
                    }
                    Some(Node::Folder { now, synced, since }) => {
                        since.clear();
                        synced.clone_from(now);
                    }
                    None => return false,
                }
                return true;
            }
            Call::Rename { from, to } => {
                assert_eq!(self.is_here(from), self.is_here(to), "{call:?}");
                let node = self.find(from);
                if node.is_some() {
                    let names = |path: &Path| path.file_name().unwrap().to_owned();
                    if from.parent() == to.parent() {
                        self.name(to.parent().unwrap(), vec![(names(from), None), (names(to), node)]);
                    } else {
                        self.name(to.parent().unwrap(), vec![(names(to), node)]);
                        self.name(from.parent().unwrap(), vec![(names(from), None)]);
                    }
                }
                return node.is_some();
            }
            Call::Remove(path) => {
                let here = self.find(path).is_some();
                if here {
                    self.name_one(path, None);
                }
                return here;
            }
            Call::MakeFolder(path) => {
                if self.is_here(path) {
                    self.nodes.push(Node::Folder { now: Names::new(), synced: Names::new(), since: Vec::new() });
                    self.name_one(path, Some(self.nodes.len() - 1));
                    return true;
                }
            }
        }
        false
    }

    fn write(&mut self, file: i64, bytes: Vec<u8>) -> bool {
        let Some((node, at, append)) = self.open.get(&file).and_then(|open| Some((open.node?, open.at, open.append)))
        else {
            return false;
        };
        let Node::File { now, .. } = &self.nodes[node] else { panic!("a folder is written to") };
        let at = if append { now.len() as u64 } else { at };
        self.open.get_mut(&file).unwrap().at = at + bytes.len() as u64;
        self.change(node, Change::Write(at, bytes));
        true
    }

    fn change(&mut self, node: usize, change: Change) {
        let Node::File { now, since, .. } = &mut self.nodes[node] else { panic!("a folder is written to") };
        change.make(now);
        since.push(change);
    }

    fn is_here(&self, path: &Path) -> bool {
        path.starts_with(&self.root)
    }

    /// The file or folder of this name now.
    fn find(&self, path: &Path) -> Option<usize> {
        path.strip_prefix(&self.root).ok()?.components().try_fold(0, |at, name| match &self.nodes[at] {
            Node::Folder { now, .. } => now.get(name.as_os_str()).copied(),
            Node::File { .. } => None,
        })
    }

    fn name_one(&mut self, path: &Path, node: Option<usize>) {
        self.name(path.parent().unwrap(), vec![(path.file_name().unwrap().to_owned(), node)]);
    }

    fn name(&mut self, folder: &Path, named: Named) {
        let at = self.find(folder).unwrap_or_else(|| panic!("{} is not there", folder.display()));
        let Node::Folder { now, since, .. } = &mut self.nodes[at] else { panic!("a file holds names") };
        named.iter().for_each(|(name, node)| set(now, name, *node));
        since.push(named);
    }

    /// The bytes of a file as programs see it now.
    pub fn now(&self, path: &Path) -> Option<&[u8]> {
        match &self.nodes[self.find(path)?] {
            Node::File { now, .. } => Some(now),
            Node::Folder { .. } => None,
        }
    }

    /// What stands in the folder when the power is back. What SQLite keeps in memory between programs, and writes anew, is not there.
    pub fn after_a_cut(&self, kept: Kept) -> Image {
        let seed = if let Kept::Some(seed) = kept { seed } else { 0 };
        let (mut image, mut random) = (Image::default(), ChaCha8Rng::seed_from_u64(seed));
        self.show(0, Path::new(""), kept, &mut random, &mut image);
        image
    }

    fn show(&self, node: usize, path: &Path, kept: Kept, random: &mut ChaCha8Rng, image: &mut Image) {
        match &self.nodes[node] {
            Node::File { now, synced, since } => {
                let mut bytes = if matches!(kept, Kept::All) { now.clone() } else { synced.clone() };
                if matches!(kept, Kept::Some(_)) {
                    since.iter().filter(|_| random.random_bool(0.5)).for_each(|change| change.make(&mut bytes));
                }
                image.0.insert(path.to_owned(), bytes);
            }
            Node::Folder { now, synced, since } => {
                let mut names = if matches!(kept, Kept::Names | Kept::All) { now.clone() } else { synced.clone() };
                if matches!(kept, Kept::Some(_)) {
                    let lasting = &since[..random.random_range(0..=since.len())];
                    lasting.iter().flatten().for_each(|(name, node)| set(&mut names, name, *node));
                }
                image.1.push(path.to_owned());
                for (name, node) in names.into_iter().filter(|(name, _)| !name.to_string_lossy().ends_with("-shm")) {
                    self.show(node, &path.join(name), kept, random, image);
                }
            }
        }
    }
}

fn set(names: &mut Names, name: &OsString, node: Option<usize>) {
    match node {
        Some(node) => _ = names.insert(name.clone(), node),
        None => _ = names.remove(name),
    }
}

/// Writes what came back into a folder, which is made anew.
pub fn write(image: &Image, folder: &Path) {
    let _ = fs::remove_dir_all(folder);
    image.1.iter().for_each(|name| fs::create_dir_all(folder.join(name)).unwrap());
    image.0.iter().for_each(|(name, bytes)| fs::write(folder.join(name), bytes).unwrap());
}
