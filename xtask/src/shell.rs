//! Running other programs: what is run is shown, a failure names the program.

use std::{
    cell::RefCell,
    env,
    fs::{self, File},
    io::{self, BufRead, BufReader, Write},
    path::{Path, PathBuf},
    process::{Command, Stdio},
    sync::Arc,
};

use anyhow::{Context, Result, bail};

thread_local! {
    static LOG: RefCell<Log> = const { RefCell::new(None) };
}

/// Where a thread and the programs that it starts write; without one it is what this program was given.
pub type Log = Option<Arc<File>>;

/// Where this thread writes.
pub fn log() -> Log {
    LOG.with_borrow(Clone::clone)
}

/// From now on this thread writes there.
pub fn write_to(log: Log) {
    LOG.set(log);
}

/// Writes as a program would that this thread starts.
pub fn say(text: &str) {
    let _ = match log() {
        Some(log) => (&*log).write_all(text.as_bytes()),
        None => io::stdout().write_all(text.as_bytes()),
    };
}

/// Lets what this thread starts from now on run when others leave it time. Where that cannot be said, nothing changes.
pub fn stand_back() {
    let thread = fs::read_link("/proc/thread-self").ok().and_then(|link| Some(link.file_name()?.to_owned()));
    if let Some(thread) = thread {
        let _ = command("renice").args(["-n", "10", "-p"]).arg(thread).stdout(Stdio::null()).status();
    }
}

/// The folder of the clone.
pub fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR")).parent().expect("xtask stands in the clone")
}

/// Where Cargo builds.
pub fn target() -> PathBuf {
    env::var_os("CARGO_TARGET_DIR").map_or_else(|| root().join("target"), |dir| root().join(dir))
}

/// A program that Cargo built for debugging.
pub fn built(name: &str) -> PathBuf {
    target().join("debug").join(name)
}

/// A command that runs in the clone's folder.
pub fn command(program: impl AsRef<Path>) -> Command {
    let mut command = Command::new(program.as_ref());
    command.current_dir(root());
    command
}

/// The Cargo that runs this.
pub fn cargo() -> Command {
    command(env::var_os("CARGO").map_or_else(|| PathBuf::from("cargo"), PathBuf::from))
}

/// Runs it to its end; an error names the program.
pub fn run(command: &mut Command) -> Result<()> {
    show(command);
    let status = logged(command)?.status().with_context(|| format!("starting {}", name(command)))?;
    if !status.success() {
        bail!("{} ended with {status}", name(command));
    }
    Ok(())
}

/// Runs it to its end, printing what it writes while it writes; gives whether it went well and its standard output.
pub fn run_heard(command: &mut Command) -> Result<(bool, String)> {
    show(command);
    let mut child =
        logged(command)?.stdout(Stdio::piped()).spawn().with_context(|| format!("starting {}", name(command)))?;
    let mut heard = String::new();
    if let Some(out) = child.stdout.take() {
        let mut lines = BufReader::new(out);
        let mut line = Vec::new();
        while lines.read_until(b'\n', &mut line)? > 0 {
            let text = String::from_utf8_lossy(&line);
            say(&text);
            heard.push_str(&text);
            line.clear();
        }
    }
    Ok((child.wait()?.success(), heard))
}

/// Lets a program write where this thread does.
///
/// # Errors
/// Of the file system.
pub fn logged(command: &mut Command) -> Result<&mut Command> {
    Ok(match log() {
        Some(log) => command.stdin(Stdio::null()).stdout(log.try_clone()?).stderr(log.try_clone()?),
        None => command,
    })
}

/// Whether a program of this name is on the path.
pub fn is_there(program: &str) -> bool {
    found(program).is_some()
}

/// Where a program of this name is on the path.
pub fn found(program: &str) -> Option<PathBuf> {
    let paths = env::var_os("PATH").unwrap_or_default();
    env::split_paths(&paths).map(|dir| dir.join(program)).find(|file| file.is_file())
}

fn name(command: &Command) -> String {
    Path::new(command.get_program()).file_name().unwrap_or_default().to_string_lossy().into_owned()
}

fn show(command: &Command) {
    let args: Vec<_> = command.get_args().map(|a| a.to_string_lossy()).collect();
    let line = format!("$ {} {}\n", name(command), args.join(" "));
    match log() {
        Some(_) => say(&line),
        None => eprint!("{line}"),
    }
}
