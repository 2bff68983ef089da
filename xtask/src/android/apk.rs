//! The app's file: checked against its oldest phone, shrunk, packed, aligned, signed, weighed.

use std::{
    env, fs,
    path::{Path, PathBuf},
};

use anyhow::{Context, Result, ensure};

use super::{Given, ndk};
use crate::{
    pack,
    shell::{command, found, logged, root, run, run_heard, say},
};

/// The oldest and the newest level of Android that the app is for.
const LEVELS: (&str, &str) = ("26", "34");

/// Kinds of processor, as Android names their folders.
pub(super) const PROCESSORS: [&str; 3] = ["arm64-v8a", "armeabi-v7a", "x86_64"];

/// What the app may weigh without the core, bytes.
const LIMIT: u64 = 2 * 1024 * 1024;

/// The core's library in the app's file.
pub(super) const LIBRARY: &str = "libdooryard_ffi.so";

/// Builds the jars that the file is made from.
///
/// # Errors
/// When something does not compile.
pub fn jars() -> Result<()> {
    let mut maven = command("mvn");
    maven.current_dir(root().join("android"));
    run(maven.args(["-B", "-ntp", "-q", "-Papk", "-DskipTests", "package"]))
}

/// Makes the file from the jars.
///
/// # Errors
/// Of each tool; when the file is over its limit.
pub fn make(given: &Given) -> Result<()> {
    let app = root().join("android/app");
    let built = app.join("target");
    let inputs = built.join("apk-in");
    let work = built.join("apk-work");
    if work.exists() {
        fs::remove_dir_all(&work)?;
    }
    fs::create_dir_all(work.join("dex"))?;
    run(command("unzip").args(["-qo"]).arg(inputs.join("jna.aar")).arg("-d").arg(work.join("aar")))?;

    let (own, others) = of_phones(&built, &inputs, &work)?;
    oldest(&inputs, &work, &own, &others)?;
    shrink(&app, &inputs, &work, own.iter().chain(&others))?;
    let jni = given.jni.clone().map_or_else(ndk::libraries, |jni| Ok(Some(jni)))?;
    let with_core = libraries(&work, jni.as_deref())?;
    let unsigned = pack_up(given, &app, &built, &work)?;
    let file = built.join("dooryard.apk");
    sign(given, &work, &unsigned, &file)?;
    weigh(&file, &work, with_core)
}

/// Our own jars, and those of the libraries that go with them.
fn of_phones(built: &Path, inputs: &Path, work: &Path) -> Result<(Vec<PathBuf>, Vec<PathBuf>)> {
    let mut own = vec![built.join("dooryard-app-0.1.0.jar")];
    let mut others = vec![work.join("aar/classes.jar")];
    for file in fs::read_dir(inputs.join("runtime"))? {
        let path = file?.path();
        let name = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
        match name.as_str() {
            // The phone's own build of it is in the aar.
            "jna.jar" => {}
            _ if name.starts_with("dooryard-") => own.push(path),
            _ => others.push(path),
        }
    }
    ensure!(own.len() == 3, "the jars of the app, the kit and the bindings, not {own:?}");
    Ok((own, others))
}

fn java(inputs: &Path) -> std::process::Command {
    let mut java = command("java");
    java.arg("-Xmx1g").arg("-cp").arg(inputs.join("r8.jar"));
    java
}

fn jdk() -> Result<PathBuf> {
    if let Some(home) = env::var_os("JAVA_HOME") {
        return Ok(home.into());
    }
    let javac = fs::canonicalize(found("javac").context("no javac")?)?;
    Ok(javac.ancestors().nth(2).context("a JDK's folder")?.to_owned())
}

/// No class or call of Android that its oldest phone lacks. What newer ones alone have is called in `Newer`, guarded by the level.
fn oldest(inputs: &Path, work: &Path, own: &[PathBuf], others: &[PathBuf]) -> Result<()> {
    let mut check = java(inputs);
    check.args(["com.android.tools.r8.tracereferences.TraceReferences", "--check", "--lib"]);
    check.arg(inputs.join("android-min.jar")).arg("--lib").arg(jdk()?);
    for jar in own {
        check.arg("--source").arg(older(jar, work)?);
    }
    for jar in own.iter().chain(others) {
        check.arg("--target").arg(jar);
    }
    run(&mut check)
}

/// A jar without `Newer`, which calls what only newer phones have.
fn older(jar: &Path, work: &Path) -> Result<PathBuf> {
    let copy = work.join(jar.file_name().context("a jar's name")?);
    fs::copy(jar, &copy)?;
    // zip says 12 where there was none of them.
    let mut zip = command("zip");
    let status = logged(zip.args(["-qd"]).arg(&copy).arg("org/dooryard/app/Newer.class"))?.status()?;
    ensure!(status.success() || status.code() == Some(12), "zip ended with {status}");
    Ok(copy)
}

fn shrink<'a>(app: &Path, inputs: &Path, work: &Path, jars: impl Iterator<Item = &'a PathBuf>) -> Result<()> {
    run(java(inputs)
        .args(["com.android.tools.r8.R8", "--release", "--min-api", LEVELS.0, "--lib"])
        .arg(inputs.join("android-all.jar"))
        // android-all has no java.lang of its own.
        .arg("--lib")
        .arg(jdk()?)
        .arg("--pg-conf")
        .arg(app.join("tools/rules.pro"))
        .arg("--output")
        .arg(work.join("dex"))
        .args(jars))
}

/// Puts the libraries by kind of processor; says whether the core's are among them.
fn libraries(work: &Path, jni: Option<&Path>) -> Result<bool> {
    let mut with_core = false;
    for processor in PROCESSORS {
        let folder = work.join("lib").join(processor);
        fs::create_dir_all(&folder)?;
        let caller = "libjnidispatch.so";
        fs::copy(work.join("aar/jni").join(processor).join(caller), folder.join(caller))?;
        if let Some(core) = jni.map(|jni| jni.join(processor).join(LIBRARY)).filter(|core| core.exists()) {
            fs::copy(core, folder.join(LIBRARY))?;
            with_core = true;
        }
    }
    Ok(with_core)
}

/// Resources, code, libraries, assets in one file, aligned.
fn pack_up(given: &Given, app: &Path, built: &Path, work: &Path) -> Result<PathBuf> {
    let assets = work.join("assets");
    fs::create_dir_all(&assets)?;
    pack::write(given.pack_key.as_deref())?;
    fs::copy(pack::file(), assets.join("starter.pack"))?;
    let base = work.join("base.apk");
    run(command(built.join("aapt2/prebuilt/linux/aapt2"))
        .args(["link", "-o"])
        .arg(&base)
        .arg("-I")
        .arg(built.join("aapt2/prebuilt/android-framework.jar"))
        .arg("--manifest")
        .arg(app.join("src/main/AndroidManifest.xml"))
        .args(["--min-sdk-version", LEVELS.0, "--target-sdk-version", LEVELS.1, "-A"])
        .arg(&assets)
        .arg(built.join("android-res/compiled.zip")))?;
    for file in fs::read_dir(work.join("dex"))? {
        let file = file?;
        if file.path().extension().is_some_and(|e| e == "dex") {
            fs::copy(file.path(), work.join(file.file_name()))?;
            run(command("zip").current_dir(work).args(["-q", "-X", "base.apk"]).arg(file.file_name()))?;
        }
    }
    // Stored, not packed: the phone maps them as they lie.
    run(command("zip").current_dir(work).args(["-q", "-X", "-0", "-r", "base.apk", "lib"]))?;
    let aligned = work.join("aligned.apk");
    run(command("zipalign").args(["-f", "-p", "4"]).arg(&base).arg(&aligned))?;
    Ok(aligned)
}

fn sign(given: &Given, work: &Path, unsigned: &Path, file: &Path) -> Result<()> {
    let mut signer = command("apksigner");
    signer.args(["sign", "--min-sdk-version", LEVELS.0, "--ks"]);
    if let Some(keystore) = &given.keystore {
        signer.arg(keystore).args(["--ks-pass", "env:SIGN_PASS"]);
    } else {
        say("signed with a throw-away key: another build cannot take this one's place on a phone\n");
        let key = work.join("throw-away.p12");
        run(command("keytool")
            .args(["-genkeypair", "-storetype", "PKCS12", "-storepass", "throwaway", "-alias", "key", "-keyalg", "RSA"])
            .args(["-keysize", "2048", "-validity", "30", "-dname", "CN=throw-away key", "-keystore"])
            .arg(&key))?;
        signer.arg(&key).args(["--ks-pass", "pass:throwaway"]);
    }
    run(signer.arg("--out").arg(file).arg(unsigned))?;
    run(command("zipalign").args(["-c", "-p", "4"]).arg(file))?;
    let (valid, said) = run_heard(command("apksigner").args(["verify", "--min-sdk-version", LEVELS.0]).arg(file))?;
    ensure!(valid, "the signature does not hold: {said}");
    Ok(())
}

/// Says how large it is; refuses what is over the limit.
fn weigh(file: &Path, work: &Path, with_core: bool) -> Result<()> {
    let size = |path: &Path| fs::metadata(path).map(|m| m.len()).unwrap_or_default();
    let mut core = 0;
    for processor in PROCESSORS {
        core += size(&work.join("lib").join(processor).join(LIBRARY));
    }
    let whole = size(file);
    let without = whole.saturating_sub(core);
    let code = size(&work.join("classes.dex"));
    let [in_all, of_core, of_code] = [whole, core, code].map(|bytes| bytes / 1024);
    say(&format!("{}: {in_all} KiB, of it the core {of_core} KiB, code {of_code} KiB\n", file.display()));
    if !with_core {
        say("without the core's libraries it cannot run on a phone: give them with --jni\n");
    }
    ensure!(without <= LIMIT, "without the core it weighs {without} bytes; the limit is {LIMIT}");
    Ok(())
}
