//! Saved views: each person's own names for filters of the list of inquiries.

use std::path::Path;

use dooryard_core::durable;
use rusqlite::{Connection, OptionalExtension, TransactionBehavior, params};

use super::{Error, People, Result, Visitor, accounts::plain_name, store};

/// Views that one person can have.
pub const MOST_VIEWS: u32 = 50;

/// One view.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct View {
    /// Its number.
    pub id: i64,
    /// Its name.
    pub name: String,
    /// The filter, as it stands in an address.
    pub filter: String,
}

impl People {
    /// The views of this person, by name.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn views(&self, of: &Visitor) -> Result<Vec<View>> {
        let conn = self.lock();
        let sql = "SELECT id, name, filter FROM saved_view WHERE account = ?1 ORDER BY name COLLATE NOCASE, id";
        let view = |row: &rusqlite::Row<'_>| Ok(View { id: row.get(0)?, name: row.get(1)?, filter: row.get(2)? });
        Ok(conn.prepare_cached(sql)?.query_map([of.account], view)?.collect::<Result<_, _>>()?)
    }

    /// Saves a filter under a name, and gives its number.
    ///
    /// # Errors
    /// [`Error::BadName`], [`Error::ViewTaken`], [`Error::ManyViews`]; of SQLite.
    pub fn save_view(&self, of: &Visitor, name: &str, filter: &str) -> Result<i64> {
        let name = plain_name(name)?;
        self.write(|tx| {
            let held: u32 =
                tx.query_row("SELECT count(*) FROM saved_view WHERE account = ?1", [of.account], |row| row.get(0))?;
            if held >= MOST_VIEWS {
                return Err(Error::ManyViews);
            }
            is_free(tx, of, name, None)?;
            let sql = "INSERT INTO saved_view (account, name, filter) VALUES (?1, ?2, ?3)";
            tx.execute(sql, params![of.account, name, filter])?;
            Ok(tx.last_insert_rowid())
        })
    }

    /// Gives a view of this person another name.
    ///
    /// # Errors
    /// [`Error::NoView`], [`Error::BadName`], [`Error::ViewTaken`]; of SQLite.
    pub fn rename_view(&self, of: &Visitor, id: i64, name: &str) -> Result<()> {
        let name = plain_name(name)?;
        self.write(|tx| {
            is_free(tx, of, name, Some(id))?;
            let sql = "UPDATE saved_view SET name = ?3 WHERE id = ?1 AND account = ?2";
            match tx.execute(sql, params![id, of.account, name])? {
                0 => Err(Error::NoView),
                _ => Ok(()),
            }
        })
    }

    /// Deletes a view of this person, and gives what it was.
    ///
    /// # Errors
    /// [`Error::NoView`]; of SQLite.
    pub fn delete_view(&self, of: &Visitor, id: i64) -> Result<View> {
        let sql = "DELETE FROM saved_view WHERE id = ?1 AND account = ?2 RETURNING id, name, filter";
        let view = |row: &rusqlite::Row<'_>| Ok(View { id: row.get(0)?, name: row.get(1)?, filter: row.get(2)? });
        self.write(|tx| tx.query_row(sql, params![id, of.account], view).optional()?.ok_or(Error::NoView))
    }
}

/// Removes the views of everybody whose name, or a choice of whose filter, is one that `names_it` says yes to; says how many. In
/// an office's folder without accounts there are none.
///
/// # Errors
/// `NO_SPACE`; of SQLite and the file system; when a newer version wrote the accounts.
pub fn forget_views(office: &Path, names_it: &mut dyn FnMut(&str) -> bool) -> dooryard_core::Result<usize> {
    let path = office.join("people.db");
    if !path.exists() {
        return Ok(0);
    }
    let mut conn = store::open(&path)?;
    let tx = conn.transaction_with_behavior(TransactionBehavior::Immediate)?;
    let view = |row: &rusqlite::Row<'_>| Ok(View { id: row.get(0)?, name: row.get(1)?, filter: row.get(2)? });
    let mut views: Vec<View> = {
        let mut query = tx.prepare("SELECT id, name, filter FROM saved_view")?;
        query.query_map([], view)?.collect::<Result<_, _>>()?
    };
    views.retain(|view| {
        let choices: Vec<(String, String)> = serde_urlencoded::from_str(&view.filter).unwrap_or_default();
        names_it(&view.name) || choices.iter().any(|(_, chosen)| names_it(chosen))
    });
    for view in &views {
        tx.execute("DELETE FROM saved_view WHERE id = ?1", [view.id])?;
    }
    tx.commit()?;
    // Where somebody reads at this moment it is folded in later.
    durable::fold_in(&conn)?;
    Ok(views.len())
}

fn is_free(conn: &Connection, of: &Visitor, name: &str, but: Option<i64>) -> Result<()> {
    let sql = "SELECT 1 FROM saved_view WHERE account = ?1 AND name = ?2 COLLATE NOCASE AND id IS NOT ?3";
    if conn.prepare_cached(sql)?.exists(params![of.account, name, but])? { Err(Error::ViewTaken) } else { Ok(()) }
}

#[cfg(test)]
mod tests {
    use dooryard_core::clock::{Env, SetClock};

    use super::*;
    use crate::people::{Passwords, Role};

    #[test]
    fn views_are_of_one_person_and_end_with_the_account() {
        let dir = tempfile::tempdir().unwrap();
        let env = Env::seeded(1, &SetClock::at(1_784_562_120_000));
        let passwords = Passwords::with(&env, argon2::Params::new(8, 1, 1, None).unwrap()).unwrap();
        let people = People::open(dir.path(), env, passwords).unwrap();
        let [wren, finch] = ["Wren", "Finch"].map(|name| {
            people.add_account(name, Role::Admin, "beans and squash").unwrap();
            people.sign_in(name, "beans and squash", None).unwrap().visitor
        });
        let id = people.save_view(&wren, "Mine", "status=open").unwrap();
        people.save_view(&finch, "Mine", "").unwrap();
        assert!(matches!(people.rename_view(&finch, id, "Yours"), Err(Error::NoView)));
        assert!(matches!(people.delete_view(&finch, id), Err(Error::NoView)));
        assert!(matches!(people.save_view(&wren, "MINE", ""), Err(Error::ViewTaken)));
        // Its own name in other letters is free to it.
        people.rename_view(&wren, id, "MINE").unwrap();
        for n in 1..MOST_VIEWS {
            people.save_view(&wren, &format!("{n}"), "").unwrap();
        }
        assert!(matches!(people.save_view(&wren, "one more", ""), Err(Error::ManyViews)));
        assert_eq!(
            people.delete_view(&wren, id).unwrap(),
            View { id, name: "MINE".into(), filter: "status=open".into() }
        );
        people.close_account(&finch, wren.account).unwrap();
        assert_eq!((people.views(&wren).unwrap().len(), people.views(&finch).unwrap().len()), (0, 1));
    }
}
