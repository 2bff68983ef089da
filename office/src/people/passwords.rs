//! Passwords: Argon2id. Twelve characters and more, and nothing else is asked of them.

use std::sync::{Mutex, PoisonError};

use argon2::{
    Argon2, Params,
    password_hash::{PasswordHasher, PasswordVerifier, phc::PasswordHash},
};
use dooryard_core::clock::Env;
use unicode_normalization::UnicodeNormalization;

use super::{Error, Result};

/// The least length of a password, characters.
pub const LEAST_CHARACTERS: usize = 12;

/// How passwords are hashed.
pub struct Passwords {
    argon: Argon2<'static>,
    /// What a try at an account that is not there is compared with, so that it takes as long.
    nobody: String,
    /// One at a time: each takes its memory.
    one: Mutex<()>,
}

impl Passwords {
    /// With the parameters that the library recommends: Argon2id, 19 MiB, 2 passes.
    ///
    /// # Errors
    /// [`Error::Hash`].
    pub fn recommended(env: &Env) -> Result<Self> {
        Self::with(env, Params::default())
    }

    /// With other parameters.
    ///
    /// # Errors
    /// [`Error::Hash`].
    pub fn with(env: &Env, params: Params) -> Result<Self> {
        let mut passwords = Self { argon: Argon2::from(params), nobody: String::new(), one: Mutex::new(()) };
        passwords.nobody = passwords.hash(env, &hex::encode(env.random::<32>()))?;
        Ok(passwords)
    }

    /// Hashes a password that somebody chose, with a salt of its own, as a PHC string.
    ///
    /// # Errors
    /// [`Error::ShortPassword`], [`Error::Hash`].
    pub(super) fn hash(&self, env: &Env, password: &str) -> Result<String> {
        let password = plain(password);
        if password.chars().count() < LEAST_CHARACTERS {
            return Err(Error::ShortPassword);
        }
        let _one = self.one.lock().unwrap_or_else(PoisonError::into_inner);
        let hash: PasswordHash = self
            .argon
            .hash_password_with_salt(password.as_bytes(), &env.random::<16>())
            .map_err(|e| Error::Hash(e.to_string()))?;
        Ok(hash.to_string())
    }

    /// Whether a password is the one of this hash. Without a hash it takes as long, and is not.
    pub(super) fn holds(&self, password: &str, hash: Option<&str>) -> bool {
        let _one = self.one.lock().unwrap_or_else(PoisonError::into_inner);
        let held = self.argon.verify_password(plain(password).as_bytes(), hash.unwrap_or(&self.nobody)).is_ok();
        held && hash.is_some()
    }
}

/// The same characters typed on different keyboards are the same bytes.
fn plain(password: &str) -> String {
    password.nfkc().collect()
}

#[cfg(test)]
mod tests {
    use dooryard_core::clock::SetClock;

    use super::*;

    fn cheap() -> (Env, Passwords) {
        let env = Env::seeded(1, &SetClock::at(0));
        let passwords = Passwords::with(&env, Params::new(8, 1, 1, None).unwrap()).unwrap();
        (env, passwords)
    }

    #[test]
    fn what_the_program_uses_is_argon2id_as_recommended() {
        let env = Env::seeded(1, &SetClock::at(0));
        let hash = Passwords::recommended(&env).unwrap().hash(&env, "correct horse").unwrap();
        assert!(hash.starts_with("$argon2id$v=19$m=19456,t=2,p=1$"), "{hash}");
    }

    #[test]
    fn twelve_characters_are_enough_whatever_they_are() {
        let (env, passwords) = cheap();
        assert!(matches!(passwords.hash(&env, "eleven char"), Err(Error::ShortPassword)));
        assert!(matches!(passwords.hash(&env, "ñññññññññññ"), Err(Error::ShortPassword)), "letters count, not bytes");
        for good in ["aaaaaaaaaaaa", "            ", "ññññññññññññ", &"long ".repeat(200)] {
            let hash = passwords.hash(&env, good).unwrap();
            assert!(passwords.holds(good, Some(&hash)) && !hash.contains(good));
            assert!(!passwords.holds(&format!("{good}x"), Some(&hash)));
        }
        assert_ne!(passwords.hash(&env, "aaaaaaaaaaaa").unwrap(), passwords.hash(&env, "aaaaaaaaaaaa").unwrap());
    }

    #[test]
    fn an_accent_typed_in_two_ways_is_one_password() {
        let (env, passwords) = cheap();
        let hash = passwords.hash(&env, "jardín de mi abuela").unwrap();
        assert!(passwords.holds("jardi\u{301}n de mi abuela", Some(&hash)));
    }

    #[test]
    fn nobody_has_a_password() {
        let (_, passwords) = cheap();
        assert!(!passwords.holds("aaaaaaaaaaaa", None));
        assert!(!passwords.holds("aaaaaaaaaaaa", Some("no hash")));
    }
}
