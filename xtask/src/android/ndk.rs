//! The core's libraries for phones, built by Android's native development kit where one is there.

use std::{env, fs, path::PathBuf};

use anyhow::{Context, Result, ensure};

use super::apk::{LIBRARY, PROCESSORS};
use crate::shell::{cargo, run, target};

/// Rust's names of the kinds of processor, in the order of [`PROCESSORS`], and what the kit calls their compilers.
const TARGETS: [(&str, &str); 3] = [
    ("aarch64-linux-android", "aarch64-linux-android26-clang"),
    ("armv7-linux-androideabi", "armv7a-linux-androideabi26-clang"),
    ("x86_64-linux-android", "x86_64-linux-android26-clang"),
];

/// Builds them where `ANDROID_NDK_HOME` names a kit; gives their folder, or nothing where there is none.
///
/// # Errors
/// When the kit lacks a compiler, or the core does not build with it. Rust's standard library for the targets has to be there
/// (`rustup target add`).
pub(super) fn libraries() -> Result<Option<PathBuf>> {
    let Some(kit) = env::var_os("ANDROID_NDK_HOME") else { return Ok(None) };
    let tools = PathBuf::from(kit).join("toolchains/llvm/prebuilt/linux-x86_64/bin");
    let out = target().join("jni");
    for (processor, (rust, compiler)) in PROCESSORS.into_iter().zip(TARGETS) {
        let compiler = tools.join(compiler);
        ensure!(compiler.exists(), "the kit has no {}", compiler.display());
        let under = rust.replace('-', "_");
        run(cargo()
            .args(["build", "--release", "--package", "dooryard-ffi", "--target", rust])
            .env(format!("CARGO_TARGET_{}_LINKER", under.to_uppercase()), &compiler)
            .env(format!("CC_{under}"), &compiler)
            .env(format!("AR_{under}"), tools.join("llvm-ar")))?;
        let folder = out.join(processor);
        fs::create_dir_all(&folder)?;
        let built = target().join(rust).join("release").join(LIBRARY);
        let placed = folder.join(LIBRARY);
        fs::copy(&built, &placed).with_context(|| built.display().to_string())?;
        run(crate::shell::command(tools.join("llvm-strip")).arg(&placed))?;
    }
    Ok(Some(out))
}
