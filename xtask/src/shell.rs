//! Running other programs: what is run is shown, a failure names the program.

use std::{
    env,
    io::{BufRead, BufReader},
    path::{Path, PathBuf},
    process::{Command, Stdio},
};

use anyhow::{Context, Result, bail};

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
    let status = command.status().with_context(|| format!("starting {}", name(command)))?;
    if !status.success() {
        bail!("{} ended with {status}", name(command));
    }
    Ok(())
}

/// Runs it to its end, printing what it writes while it writes; gives whether it went well and its standard output.
pub fn run_heard(command: &mut Command) -> Result<(bool, String)> {
    show(command);
    let mut child = command.stdout(Stdio::piped()).spawn().with_context(|| format!("starting {}", name(command)))?;
    let mut heard = String::new();
    if let Some(out) = child.stdout.take() {
        let mut lines = BufReader::new(out);
        let mut line = Vec::new();
        while lines.read_until(b'\n', &mut line)? > 0 {
            let text = String::from_utf8_lossy(&line);
            print!("{text}");
            heard.push_str(&text);
            line.clear();
        }
    }
    Ok((child.wait()?.success(), heard))
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
    eprintln!("$ {} {}", name(command), args.join(" "));
}
