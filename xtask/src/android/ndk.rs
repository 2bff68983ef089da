//! The core's libraries for phones, built by Android's native development kit where one is there.

use std::{
    env, fs,
    path::{self, Path, PathBuf},
};

use anyhow::{Context, Result, ensure};

use super::apk::{LIBRARY, PROCESSORS};
use crate::shell::{cargo, command, run, run_heard, target};

/// Rust's names of the kinds of processor, in the order of [`PROCESSORS`], and what the kit calls their compilers.
const TARGETS: [(&str, &str); 3] = [
    ("aarch64-linux-android", "aarch64-linux-android26-clang"),
    ("armv7-linux-androideabi", "armv7a-linux-androideabi26-clang"),
    ("x86_64-linux-android", "x86_64-linux-android26-clang"),
];

/// Programs of the kit besides the compilers.
const TOOLS: [&str; 2] = ["llvm-ar", "llvm-strip"];

/// Where `ANDROID_NDK_HOME` says that a kit has its programs; nothing where it names none.
fn tools() -> Option<PathBuf> {
    let kit = env::var_os("ANDROID_NDK_HOME").filter(|kit| !kit.is_empty())?;
    let kit = path::absolute(PathBuf::from(kit)).ok()?;
    Some(kit.join("toolchains/llvm/prebuilt/linux-x86_64/bin"))
}

/// Looks whether the kit, where one is named, has what is needed of it, and Rust the targets.
///
/// # Errors
/// Says what is lacking, and where it would have to be.
pub(super) fn looked_at() -> Result<()> {
    let Some(tools) = tools() else { return Ok(()) };
    let lacking = lacking(&tools);
    ensure!(
        lacking.is_empty(),
        "ANDROID_NDK_HOME: {} lacks {}; name the folder of a whole kit, or unset it",
        tools.display(),
        lacking.join(", ")
    );
    let (_, root) = run_heard(command("rustc").args(["--print", "sysroot"]))?;
    for (target, _) in TARGETS {
        ensure!(
            PathBuf::from(root.trim()).join("lib/rustlib").join(target).is_dir(),
            "this Rust has no standard library for {target}: rustup target add {target}"
        );
    }
    Ok(())
}

fn lacking(tools: &Path) -> Vec<&'static str> {
    TARGETS.into_iter().map(|(_, compiler)| compiler).chain(TOOLS).filter(|name| !tools.join(name).exists()).collect()
}

/// Builds them where `ANDROID_NDK_HOME` names a kit; gives their folder, or nothing where there is none.
///
/// # Errors
/// When the core does not build with it.
pub(super) fn libraries() -> Result<Option<PathBuf>> {
    let Some(tools) = tools() else { return Ok(None) };
    let out = target().join("jni");
    for (processor, (rust, compiler)) in PROCESSORS.into_iter().zip(TARGETS) {
        let compiler = tools.join(compiler);
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
        run(command(tools.join("llvm-strip")).arg(&placed))?;
    }
    Ok(Some(out))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_empty_kit_is_told_with_everything_that_it_lacks() {
        let lacks = lacking(Path::new("/nowhere/at/all"));
        assert_eq!(lacks.len(), TARGETS.len() + TOOLS.len());
        assert!(lacks.contains(&"llvm-strip") && lacks.contains(&"aarch64-linux-android26-clang"), "{lacks:?}");
    }
}
