//! The `dooryard` command: the office's tool, and the way everything can be scripted.
//!
//! Comes in: arguments. Goes out: lines for people, or with `--json` one object a line; exit code 0 done, 1 refused with a
//! reason, 2 wrong use. Nothing here decides anything: every command is a call of the core or of the office's desk.

mod account;
mod bundle;
mod decide;
mod enrol;
mod export;
mod join;
mod kept;
mod key;
mod key_letter;
mod key_score;
mod keys;
mod messages;
mod notebook;
mod notebook_look;
mod office;
mod office_look;
mod own_data;
mod pack;
mod pack_check;
mod pack_choice;
mod pack_file;
mod pack_learn;
mod pack_publish;
mod pack_sdd;
mod pack_take;
mod qr;
mod refusal;
mod save;
mod speak;
mod table_score;
mod tell;
mod walk;

use std::process::ExitCode;

use clap::{Parser, Subcommand};

use tell::Tell;

const EXAMPLES: &str = "\
Examples, from a new office to the first bundle:
  dooryard office new county --name \"Larkspur County office\"
  dooryard notebook new phone3
  dooryard notebook request phone3 --out phone3.request
  dooryard office add-device county --request phone3.request --role scout --label \"Scout 3\" --out phone3.answer
  dooryard notebook enrol phone3 phone3.answer
  dooryard notebook save phone3 visit.json
  dooryard bundle make phone3 --out s3.yard
  dooryard bundle take-in --office county s3.yard
  dooryard office account new county --name Wren --role admin
  dooryard office serve county --port 8080

Exit code: 0 done, 1 refused with a reason, 2 wrong use.";

/// Keeps the county's inquiries about plants: what scouts saw, what was answered, and what came of it.
#[derive(Parser)]
#[command(name = "dooryard", version, after_help = EXAMPLES, disable_help_subcommand = true)]
struct Cli {
    /// One JSON object a line instead of words.
    #[arg(long, global = true)]
    json: bool,
    #[command(subcommand)]
    group: Group,
}

#[derive(Subcommand)]
enum Group {
    /// The county office: its folder, its phones, its page.
    #[command(subcommand)]
    Office(office::Office),
    /// A notebook, as it is on a phone: write, list, look up.
    #[command(subcommand)]
    Notebook(notebook::Notebook),
    /// Bundles: the sealed files that go from a phone to the office and back.
    #[command(subcommand)]
    Bundle(bundle::Bundle),
    /// The symptom key: from what was seen to what may be the cause.
    #[command(subcommand)]
    Key(key::Key),
    /// Packs of the key: write them, check and sign them, keep them, and learn for them from cases.
    #[command(subcommand)]
    Pack(pack::Pack),
    /// Exports: what a filter finds, as a file in an open form.
    #[command(subcommand)]
    Export(export::Export),
}

/// Runs the command of this process.
pub fn run() -> ExitCode {
    let cli = match Cli::try_parse() {
        Ok(cli) => cli,
        Err(e) => {
            // Help and version are asked for: they are no wrong use.
            let code = if e.use_stderr() { ExitCode::from(2) } else { ExitCode::SUCCESS };
            return if e.print().is_ok() { code } else { ExitCode::from(2) };
        }
    };
    let tell = Tell::new(cli.json);
    let done = match cli.group {
        Group::Office(command) => office::run(command, &tell),
        Group::Notebook(command) => notebook::run(command, &tell),
        Group::Bundle(command) => bundle::run(command, &tell),
        Group::Key(command) => key::run(command, &tell),
        Group::Pack(command) => pack::run(command, &tell),
        Group::Export(command) => export::run(command, &tell),
    };
    match done {
        Ok(()) => ExitCode::SUCCESS,
        Err(e) => {
            tell.refused(&e);
            ExitCode::from(1)
        }
    }
}

#[cfg(test)]
mod tests {
    use clap::CommandFactory;

    use super::*;

    #[test]
    fn the_arguments_fit_together() {
        Cli::command().debug_assert();
    }

    #[test]
    fn every_command_says_what_it_does() {
        fn check(command: &clap::Command) {
            assert!(command.get_about().is_some(), "{}", command.get_name());
            for argument in command.get_arguments() {
                assert!(argument.get_help().is_some(), "{} {}", command.get_name(), argument.get_id());
            }
            command.get_subcommands().for_each(check);
        }
        let mut command = Cli::command();
        command.build();
        check(&command);
    }
}
