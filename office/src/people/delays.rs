//! Delays after tries that went wrong: they double, and end. Nobody is locked out for good.
//!
//! A try is counted before the password is looked at, and taken back when it was right: so many tries at once are no way
//! past the delay.

use rusqlite::{OptionalExtension, Transaction, params};

use super::{Error, People, Result};

/// How one kind of counter delays.
#[derive(Clone, Copy)]
struct Rule {
    /// Tries without a delay.
    free: u32,
    /// Longest delay, milliseconds.
    most_ms: i64,
}

/// At one account: 3 tries, then 1, 2, 4 … seconds, at most 15 minutes.
const ACCOUNT: Rule = Rule { free: 3, most_ms: 15 * 60_000 };
/// From one address: 10 tries, then 1, 2, 4 … seconds, at most a minute, for everybody at this machine has the same one.
const ADDRESS: Rule = Rule { free: 10, most_ms: 60_000 };
/// A counter that rested so long begins anew.
const FORGOTTEN_MS: i64 = 24 * 3_600_000;

/// What is counted for one try.
pub(super) struct Counted(Vec<[u8; 32]>);

impl Rule {
    fn wait_ms(self, tries: u32) -> i64 {
        match tries.checked_sub(self.free) {
            None => 0,
            Some(over) => 1000_i64.checked_shl(over.min(40)).unwrap_or(i64::MAX).min(self.most_ms),
        }
    }
}

/// A name may be somebody's password typed into the wrong field: only its hash is stored.
fn counter(kind: &str, who: &str) -> [u8; 32] {
    blake3::derive_key("dooryard office page 1 tries", format!("{kind} {who}").as_bytes())
}

fn one(tx: &Transaction<'_>, now: i64, who: &[u8; 32], rule: Rule) -> Result<()> {
    let found = tx
        .query_row("SELECT count, last_ms FROM tries WHERE who = ?1", [who], |row| {
            Ok((row.get::<_, u32>(0)?, row.get::<_, i64>(1)?))
        })
        .optional()?;
    let (tries, rested) = found.map_or((0, 0), |(tries, last)| (tries, now - last));
    let left = rule.wait_ms(tries) - rested;
    if tries > 0 && left > 0 {
        return Err(Error::Wait { seconds: (left as u64).div_ceil(1000) });
    }
    let sql = "INSERT INTO tries VALUES (?1, ?2, ?3) ON CONFLICT (who) DO UPDATE SET count = ?2, last_ms = ?3";
    tx.execute(sql, params![who, tries.saturating_add(1), now])?;
    Ok(())
}

impl People {
    /// Counts a try at an account (by the name that was typed, whether there is one or not) and from an address.
    pub(super) fn begin_try(&self, name: Option<&str>, address: Option<&str>) -> Result<Counted> {
        let now = self.now_ms();
        let account = name.map(|name| (counter("account", name), ACCOUNT));
        let address = address.map(|address| (counter("address", address), ADDRESS));
        // On its own, so that a refusal does not take it back: after a clock that was set back nobody waits longer than the
        // rule says.
        self.write(|tx| {
            tx.execute("UPDATE tries SET last_ms = ?1 WHERE last_ms > ?1", [now])?;
            tx.execute("DELETE FROM tries WHERE last_ms < ?1", [now - FORGOTTEN_MS])?;
            Ok(())
        })?;
        self.write(|tx| {
            for (who, rule) in account.iter().chain(&address) {
                one(tx, now, who, *rule)?;
            }
            Ok(Counted(account.into_iter().chain(address).map(|(who, _)| who).collect()))
        })
    }
}

impl Counted {
    /// The try was right: the account begins anew, and the address has one less against it.
    pub(super) fn was_right(&self, tx: &Transaction<'_>, name: Option<&str>) -> Result<()> {
        let account = name.map(|name| counter("account", name));
        for who in &self.0 {
            if Some(*who) == account {
                tx.execute("DELETE FROM tries WHERE who = ?1", [who])?;
            } else {
                tx.execute("UPDATE tries SET count = max(count - 1, 0) WHERE who = ?1", [who])?;
            }
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn delays_double_up_to_their_end() {
        let waits: Vec<i64> = (0..16).map(|tries| ACCOUNT.wait_ms(tries) / 1000).collect();
        assert_eq!(waits, [0, 0, 0, 1, 2, 4, 8, 16, 32, 64, 128, 256, 512, 900, 900, 900]);
        assert_eq!(ACCOUNT.wait_ms(u32::MAX), ACCOUNT.most_ms);
        assert_eq!((ADDRESS.wait_ms(9), ADDRESS.wait_ms(10), ADDRESS.wait_ms(40)), (0, 1000, 60_000));
    }
}
