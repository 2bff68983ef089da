//! The core type-checked for Android's own processor, without Android's development kit.
//!
//! Debian packages a Rust that carries the sources of its standard library; they are unpacked into the clone, not installed. The
//! C parts (SQLite, zstd, BLAKE3) are not compiled: a stand-in answers for the compiler, since nothing is linked.

use std::{
    fs,
    os::unix::fs::PermissionsExt,
    path::{Path, PathBuf},
    process::Command,
};

use anyhow::{Context, Result, bail};

use crate::{
    machine,
    shell::{command, root, run, target},
};

const TARGET: &str = "aarch64-linux-android";

/// Debian's packages of that Rust and of what it runs on.
const PACKAGES: [&str; 11] = [
    "rustc-web",
    "cargo-web",
    "rust-web-src",
    "libstd-rust-web-dev",
    "libstd-rust-web-1.96",
    "libllvm22",
    "libgit2-1.5",
    "libmbedcrypto7",
    "libmbedtls14",
    "libmbedx509-1",
    "libhttp-parser2.9",
];

/// What stands in for the C compiler: it makes each file that is asked for, empty.
const STAND_IN_CC: &str = "#!/bin/sh
out=
while [ $# -gt 0 ]; do
  case \"$1\" in
    -o) out=$2; shift ;;
    -o*) out=${1#-o} ;;
  esac
  shift
done
[ -z \"$out\" ] || : > \"$out\"
";

/// What stands in for the archiver: an archive with nothing in it.
const STAND_IN_AR: &str = "#!/bin/sh
for arg in \"$@\"; do
  case \"$arg\" in *.a) printf '!<arch>\\n' > \"$arg\" ;; esac
done
";

/// Type-checks the boundary and all that stands behind it.
///
/// # Errors
/// When the toolchain is not to be had, or something does not compile there.
pub fn core() -> Result<()> {
    let folder = toolchain()?;
    let llvm = find(&folder.join("usr"), "libLLVM.so.22").context("the toolchain has no LLVM")?;
    let libraries = format!("{}:{}", folder.join("usr/lib/x86_64-linux-gnu").display(), llvm.display());
    let variable = |name: &str| format!("{name}_{}", TARGET.replace('-', "_"));
    run(plain(folder.join("usr/bin/cargo"))
        .args(["check", "--package", "dooryard-ffi", "--target", TARGET, "-Zbuild-std=std,panic_unwind"])
        .arg("--target-dir")
        .arg(target().join("android-check"))
        .env("LD_LIBRARY_PATH", libraries)
        .env("RUSTC", folder.join("usr/bin/rustc"))
        // -Zbuild-std, and nothing else of what is not settled yet.
        .env("RUSTC_BOOTSTRAP", "1")
        .env(variable("CC"), folder.join("cc"))
        .env(variable("AR"), folder.join("ar")))
}

/// A command that does not hear of the Cargo that runs this.
fn plain(program: PathBuf) -> Command {
    let mut command = command(program);
    for name in ["CARGO", "RUSTUP_TOOLCHAIN", "RUSTC_WRAPPER", "RUSTFLAGS", "RUSTC"] {
        command.env_remove(name);
    }
    command
}

/// The folder of the toolchain, fetched and unpacked where it is not there.
///
/// # Errors
/// When it cannot be fetched.
pub fn toolchain() -> Result<PathBuf> {
    let _alone = machine::fetching();
    let folder = root().join(".build/android-rust");
    let whole = folder.join("whole");
    if !whole.exists() {
        if folder.exists() {
            fs::remove_dir_all(&folder)?;
        }
        let debs = folder.join("debs");
        fs::create_dir_all(&debs)?;
        run(command("apt-get").arg("-q").arg("update"))?;
        run(command("apt-get").current_dir(&debs).args(["-q", "download"]).args(PACKAGES))?;
        for file in fs::read_dir(&debs)? {
            run(command("dpkg").arg("-x").arg(file?.path()).arg(&folder))?;
        }
        fs::remove_dir_all(debs)?;
        script(&folder.join("cc"), STAND_IN_CC)?;
        script(&folder.join("ar"), STAND_IN_AR)?;
        fs::write(whole, "")?;
    }
    Ok(folder)
}

fn script(path: &Path, text: &str) -> Result<()> {
    fs::write(path, text)?;
    Ok(fs::set_permissions(path, fs::Permissions::from_mode(0o755))?)
}

/// The folder below `under` that holds a file whose name begins so.
fn find(under: &Path, name: &str) -> Result<PathBuf> {
    let mut open = vec![under.to_owned()];
    while let Some(folder) = open.pop() {
        for entry in fs::read_dir(&folder)? {
            let entry = entry?;
            if entry.file_type()?.is_dir() {
                open.push(entry.path());
            } else if entry.file_name().to_string_lossy().starts_with(name) {
                return Ok(folder);
            }
        }
    }
    bail!("no {name} below {}", under.display())
}
