//! The one tool for every chore: `cargo xtask --help`.

mod android;
mod bindings;
mod browser;
mod chores;
mod fuzz;
mod kotlin;
mod lanes;
mod library;
mod machine;
mod pack;
mod phones;
mod readers;
mod rust;
mod shell;
mod strings;
mod swift;
mod tally;
mod test;

use std::{ffi::OsString, path::PathBuf, process::ExitCode};

use clap::{Parser, Subcommand};

/// The one tool of the people who build Dooryard.
#[derive(Parser)]
#[command(name = "cargo xtask", bin_name = "cargo xtask")]
struct Args {
    #[command(subcommand)]
    chore: Chore,
}

#[derive(Subcommand)]
enum Chore {
    /// The quick loop: formatting, lints as errors, unit tests of the core
    Check,
    /// Everything: sets up what it needs, runs every test of every language, prints the counts
    ///
    /// As root it installs missing Debian packages; Swift comes into .build/swift of this clone. A part that cannot be
    /// set up is skipped with a reason, except where CI=true: there nothing may be skipped.
    Test,
    /// Makes the demo county, plays its season through to the office, and serves the office page
    #[command(disable_help_flag = true)]
    Demo {
        /// Passed on to the demo, such as --port 8000 or --no-serve; --help lists them
        #[arg(trailing_var_arg = true, allow_hyphen_values = true)]
        args: Vec<OsString>,
    },
    /// Runs one benchmark of core/benches or office/benches, built for release
    Bench {
        /// Its name, such as merge
        name: String,
        /// One JSON object a line instead of a table
        #[arg(long)]
        json: bool,
        /// Passed on to the benchmark, such as -- --quick
        #[arg(last = true)]
        args: Vec<OsString>,
    },
    /// Plays random histories of an office, its phones and a careless carrier, built for release
    Torture {
        /// How many
        #[arg(long)]
        seeds: u64,
        /// The first seed; a failure names the one to give here
        #[arg(long, default_value_t = 0)]
        first_seed: u64,
    },
    /// Feeds what comes from outside (bundles, CBOR, packs, photos) to the core, changed in a million ways
    Fuzz {
        /// Seconds for each of the six targets
        #[arg(long, default_value_t = 60)]
        seconds: u64,
    },
    /// Writes the Kotlin and Swift files of the boundary anew
    Bindings {
        /// Only compares: fails when the committed files are not what the core would give
        #[arg(long)]
        check: bool,
    },
    /// Writes the Android app's files of strings anew out of the core's words
    Strings {
        /// Only compares: fails when the committed files are not what the words give
        #[arg(long)]
        check: bool,
    },
    /// Makes the Android app's file, once the core is type-checked for phones
    Android(android::Given),
    /// Signs the starter pack for the apps: target/assets/starter.pack
    Pack {
        /// A key of `dooryard pack key`; without one a new key signs and is thrown away
        #[arg(long)]
        key: Option<PathBuf>,
    },
    /// Copies the libraries that the office page serves out of their npm packages anew
    Library {
        /// Only compares: fails when the files here are not those of the packages
        #[arg(long)]
        check: bool,
    },
    /// Writes everything generated anew, on purpose: schemas, tables, golden files
    Fixtures,
    /// Removes everything that was built or fetched into this clone
    Clean,
}

fn main() -> ExitCode {
    let done = match Args::parse().chore {
        Chore::Check => rust::check(),
        Chore::Test => test::run(),
        Chore::Demo { args } => chores::demo(&args),
        Chore::Bench { name, json, args } => chores::bench(&name, json, &args),
        Chore::Torture { seeds, first_seed } => chores::torture(seeds, first_seed),
        Chore::Fuzz { seconds } => fuzz::fuzz(seconds),
        Chore::Bindings { check: true } => bindings::check(),
        Chore::Bindings { check: false } => bindings::write(),
        Chore::Strings { check: true } => strings::compared().map(drop),
        Chore::Strings { check: false } => strings::write(),
        Chore::Android(given) => android::make(&given),
        Chore::Pack { key } => pack::make(key.as_deref()),
        Chore::Library { check: true } => library::check(),
        Chore::Library { check: false } => library::write(),
        Chore::Fixtures => chores::fixtures(),
        Chore::Clean => chores::clean(),
    };
    match done {
        Ok(()) => ExitCode::SUCCESS,
        Err(e) => {
            eprintln!("xtask: {e:#}");
            ExitCode::FAILURE
        }
    }
}
