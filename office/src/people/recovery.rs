//! Recovery codes: ten on a sheet of paper, each good once, for whoever forgot the password.

use rusqlite::{Transaction, params};

use super::{Act, Error, People, Result, Session, Visitor, accounts, audit};

/// How many codes there are on a sheet.
pub const CODES: usize = 10;

/// Letters and figures that are not taken for each other on paper.
const LETTERS: &[u8; 32] = b"0123456789ABCDEFGHJKMNPQRSTVWXYZ";

/// Sixteen letters of five bits, in fours.
fn text(bytes: [u8; 16]) -> String {
    let letters: Vec<char> = bytes.iter().map(|b| char::from(LETTERS[usize::from(b & 31)])).collect();
    letters.chunks(4).map(|four| four.iter().collect::<String>()).collect::<Vec<_>>().join("-")
}

/// What is stored of a code of an account. 80 random bits need no slow hash. What is typed may lack its dashes, be in
/// small letters, and take O for 0, I and L for 1.
fn hash(account: i64, code: &str) -> [u8; 32] {
    let typed = code.chars().filter(|c| c.is_alphanumeric()).map(|c| match c.to_ascii_uppercase() {
        'O' => '0',
        'I' | 'L' => '1',
        other => other,
    });
    let input: String = format!("{account} ").chars().chain(typed).collect();
    blake3::derive_key("dooryard office page 1 recovery code", input.as_bytes())
}

impl People {
    /// Ten new codes for the signed-in person; those of before are good no longer. They are told once and stored as hashes.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn new_codes(&self, by: &Visitor) -> Result<Vec<String>> {
        let codes: Vec<String> = (0..CODES).map(|_| text(self.env.random())).collect();
        self.write(|tx| {
            tx.execute("DELETE FROM recovery WHERE account = ?1", [by.account])?;
            for code in &codes {
                tx.execute("INSERT INTO recovery VALUES (?1, ?2, NULL)", params![hash(by.account, code), by.account])?;
            }
            audit::add(tx, self.now_ms(), Some(by.account), Act::MadeCodes, Some(&by.account.to_string()))
        })?;
        Ok(codes)
    }

    /// Uses a code up: another password is chosen, every session of before ends, a new one begins. The account's own delay
    /// does not hold a code up, so that nobody keeps a person out by guessing; the address' does.
    ///
    /// # Errors
    /// [`Error::Wrong`], [`Error::Wait`], [`Error::ShortPassword`] (then the code stays good); of SQLite.
    pub fn recover(&self, name: &str, code: &str, new: &str, address: Option<&str>) -> Result<Session> {
        let counted = self.begin_try(None, address)?;
        let password = self.passwords.hash(&self.env, new)?;
        let now = self.now_ms();
        let account = self.account_named(name).map(|account| account.id);
        let used = |tx: &Transaction<'_>| -> Result<Session> {
            let id = account.map_err(|_| Error::Wrong)?;
            accounts::open_account(tx, id).map_err(|_| Error::Wrong)?;
            let sql = "UPDATE recovery SET used_ms = ?3 WHERE hash = ?1 AND account = ?2 AND used_ms IS NULL";
            if tx.execute(sql, params![hash(id, code), id, now])? == 0 {
                return Err(Error::Wrong);
            }
            tx.execute("UPDATE account SET password = ?2 WHERE id = ?1", params![id, password])?;
            tx.execute("DELETE FROM session WHERE account = ?1", [id])?;
            counted.was_right(tx, None)?;
            audit::add(tx, now, Some(id), Act::UsedCode, Some(&id.to_string()))?;
            self.begin_session(tx, id)
        };
        self.write(used).inspect_err(|e| self.note_refused(e, name))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_code_is_read_as_people_type_it() {
        let code = text(std::array::from_fn(|n| n as u8 * 7));
        assert_eq!(code.len(), 19);
        let typed = code.to_lowercase().replace('-', " ").replace('0', "o").replace('1', "l");
        assert_eq!(hash(1, &typed), hash(1, &code));
        assert_ne!(hash(2, &code), hash(1, &code), "of one account only");
    }
}
