//! `dooryard office account`: accounts of the office page, from this machine's terminal.

use std::{
    io::{self, IsTerminal},
    path::{Path, PathBuf},
};

use anyhow::{Context, Result, ensure};
use clap::Subcommand;
use dooryard_core::clock::Env;
use serde_json::json;

use super::tell::Tell;
use crate::people::{LEAST_CHARACTERS, Passwords, People, Role};

/// Commands on the accounts of an office page.
#[derive(Subcommand)]
pub enum Account {
    /// Make an account. The password is asked for twice, and not shown; from a file or a pipe, two lines are read.
    New {
        /// The office's folder.
        dir: PathBuf,
        /// Name of the person, to sign in with.
        #[arg(long)]
        name: String,
        /// What the person may do: reader, scout-lead, reviewer or admin.
        #[arg(long)]
        role: Role,
        /// Ask for no password: print a one-time link with which the person chooses one.
        #[arg(long)]
        link: bool,
    },
    /// Print a one-time link for somebody who forgot the password. It stays as it is until the link is used.
    Link {
        /// The office's folder.
        dir: PathBuf,
        /// Name of the account.
        #[arg(long)]
        name: String,
    },
    /// List the accounts and their roles.
    List {
        /// The office's folder.
        dir: PathBuf,
    },
}

/// Opens the accounts of the office in a folder.
pub fn people(dir: &Path) -> Result<People> {
    let env = Env::system();
    let passwords = Passwords::recommended(&env)?;
    ensure!(dir.join("notebook").exists(), "{}: there is no office in this folder", dir.display());
    People::open(dir, env, passwords).with_context(|| dir.display().to_string())
}

/// Runs one of them.
pub fn run(command: Account, tell: &Tell) -> Result<()> {
    match command {
        Account::New { dir, name, role, link: true } => {
            say_link(tell, &name, &people(&dir)?.invite(None, &name, role)?)
        }
        Account::New { dir, name, role, link: false } => {
            let people = people(&dir)?;
            people.add_account(&name, role, &password()?)?;
            tell.say(
                || format!("{name} can sign in at the office page, as {}.", role.name()),
                || json!({ "name": name, "role": role.name() }),
            );
        }
        Account::Link { dir, name } => {
            let people = people(&dir)?;
            say_link(tell, &name, &people.link(None, people.account_named(&name)?.id)?);
        }
        Account::List { dir } => {
            for account in people(&dir)?.accounts()? {
                let stands = match (account.closed, account.ready) {
                    (true, _) => "closed",
                    (false, true) => "can sign in",
                    (false, false) => "has no password yet",
                };
                tell.say(
                    || format!("{:<24} {:<11} {stands}", account.name, account.role.name()),
                    || json!({ "name": account.name, "role": account.role.name(), "stands": stands }),
                );
            }
        }
    }
    Ok(())
}

fn say_link(tell: &Tell, name: &str, token: &str) {
    let at = format!("/welcome/{token}");
    tell.say(
        || {
            format!(
                "For {name}, good once, for an hour. Open it at the address that `dooryard office serve` prints:\n{at}"
            )
        },
        || json!({ "name": name, "link": at }),
    );
}

/// The password, typed twice.
fn password() -> Result<String> {
    let stdin = io::stdin();
    let (first, second) = if stdin.is_terminal() {
        let ask = format!("Password, {LEAST_CHARACTERS} characters or more: ");
        (rpassword::prompt_password(ask)?, rpassword::prompt_password("The same once more: ")?)
    } else {
        let mut lines = stdin.lines();
        let mut line = || lines.next().transpose().map(Option::unwrap_or_default);
        (line()?, line()?)
    };
    ensure!(first == second, "the two passwords are not the same");
    Ok(first)
}
