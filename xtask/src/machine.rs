//! What a part of the tests needs on the machine, and how it is had.

use std::{
    env,
    sync::{Mutex, MutexGuard, PoisonError},
};

use crate::shell::{command, is_there, run};

/// A program, and the Debian package that brings it.
pub struct Tool {
    pub program: &'static str,
    pub package: &'static str,
}

/// A C compiler, for SQLite and zstd.
pub const CC: Tool = Tool { program: "cc", package: "build-essential" };
/// What counts a program's calls and stops it at one of them.
pub const STRACE: Tool = Tool { program: "strace", package: "strace" };
/// A JDK; Debian 12 has 17.
pub const JAVA: Tool = Tool { program: "java", package: "openjdk-17-jdk-headless" };
/// Maven.
pub const MAVEN: Tool = Tool { program: "mvn", package: "maven" };

/// What packs and unpacks the Android app's file.
pub const ZIP: Tool = Tool { program: "zip", package: "zip" };
pub const UNZIP: Tool = Tool { program: "unzip", package: "unzip" };
/// What aligns it.
pub const ZIPALIGN: Tool = Tool { program: "zipalign", package: "zipalign" };
/// What signs it.
pub const APKSIGNER: Tool = Tool { program: "apksigner", package: "apksigner" };

/// Python with its environments, for readers of the exports.
pub const PYTHON: Tool = Tool { program: "python3", package: "python3-venv" };
/// A browser for the office page.
pub const CHROMIUM: Tool = Tool { program: "chromium", package: "chromium" };
/// A reader of PDF, for what the office page prints.
pub const PDFTOTEXT: Tool = Tool { program: "pdftotext", package: "poppler-utils" };
/// Node, which runs the browser tests.
pub const NODE: Tool = Tool { program: "node", package: "nodejs" };
/// What fetches their packages.
pub const NPM: Tool = Tool { program: "npm", package: "npm" };

/// Whether this run may skip nothing.
pub fn is_ci() -> bool {
    env::var("CI").is_ok_and(|v| v == "true" || v == "1")
}

/// Held while something is fetched, so that nothing is fetched twice at the same time, nor two programs want the machine's list
/// of packages.
pub fn fetching() -> MutexGuard<'static, ()> {
    static ONE: Mutex<()> = Mutex::new(());
    ONE.lock().unwrap_or_else(PoisonError::into_inner)
}

/// Installs what is missing, when the machine allows it.
///
/// # Errors
/// Why a tool cannot be had, in one line.
pub fn ensure(tools: &[&Tool]) -> Result<(), String> {
    let missing = || tools.iter().copied().filter(|t| !is_there(t.program)).collect::<Vec<&Tool>>();
    if missing().is_empty() {
        return Ok(());
    }
    // Another may have brought them while this one waited.
    let _alone = fetching();
    let missing = missing();
    if missing.is_empty() {
        return Ok(());
    }
    let packages: Vec<&str> = missing.iter().map(|t| t.package).collect();
    let names = packages.join(", ");
    if !is_there("apt-get") {
        return Err(format!("{names} missing, and this machine has no apt-get"));
    }
    if !is_root() {
        return Err(format!("{names} missing, and only root may install it (apt-get install {})", packages.join(" ")));
    }
    let apt = || {
        let mut apt = command("apt-get");
        apt.env("DEBIAN_FRONTEND", "noninteractive").args(["-q", "-y"]);
        apt
    };
    run(apt().arg("update"))
        .and_then(|()| run(apt().args(["install", "--no-install-recommends"]).args(&packages)))
        .map_err(|e| format!("{names} cannot be installed: {e}"))
}

fn is_root() -> bool {
    let id = command("id").arg("-u").output();
    id.is_ok_and(|out| out.stdout.trim_ascii() == b"0")
}
