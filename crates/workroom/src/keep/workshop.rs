//! What she reckons with: rates, evenings and scenarios, as the text of a workshop file, with every
//! change of it.

use rusqlite::{OptionalExtension, Transaction, params};

use super::bags::begin;
use super::{Keep, Trouble};

/// What she reckons with, as it stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WorkshopRow {
    /// Goes up with each change; a change names the revision that it was made from.
    pub revision: i64,
    /// The workshop file.
    pub text: String,
    /// Whether there is a change to take back.
    pub can_undo: bool,
    /// Whether one was taken back that can be made again.
    pub can_redo: bool,
}

/// The most bytes of its text.
const LARGEST: usize = 200_000;

impl Keep {
    /// What she reckons with.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn workshop(&self) -> Result<WorkshopRow, Trouble> {
        let sql = "SELECT revision, text,
                EXISTS (SELECT 1 FROM workshop_edit WHERE number = stands_at - 1),
                EXISTS (SELECT 1 FROM workshop_edit WHERE number = stands_at + 1)
            FROM workshop JOIN workshop_edit ON number = stands_at";
        let connection = self.lock();
        let mut found = connection.prepare_cached(sql)?;
        let row = found.query_row([], |row| {
            Ok(WorkshopRow {
                revision: row.get(0)?,
                text: row.get(1)?,
                can_undo: row.get(2)?,
                can_redo: row.get(3)?,
            })
        });
        row.optional()?.ok_or_else(|| Trouble::Broken("the workshop is missing".to_owned()))
    }

    /// Changes what she reckons with, from the revision that she saw.
    ///
    /// # Errors
    /// When it was changed in the meantime, or the file cannot be written; then nothing is changed.
    pub fn change_workshop(&self, seen: i64, text: &str) -> Result<(), Trouble> {
        if text.len() > LARGEST {
            return Err(Trouble::NotTaken(format!("this has more than {LARGEST} bytes")));
        }
        let mut connection = self.lock();
        let change = begin(&mut connection)?;
        let at = stands_at(&change, seen)? + 1;
        change.execute("DELETE FROM workshop_edit WHERE number >= ?1", [at])?;
        let sql = "INSERT INTO workshop_edit (number, text, made) VALUES (?1, ?2, unixepoch())";
        change.execute(sql, params![at, text])?;
        finish(change, at)
    }

    /// Goes back one change of it.
    ///
    /// # Errors
    /// When there is none, it was changed in the meantime, or the file cannot be written.
    pub fn undo_workshop(&self, seen: i64) -> Result<(), Trouble> {
        self.go_workshop(seen, -1, "undo")
    }

    /// Does again what was undone.
    ///
    /// # Errors
    /// When there is none, it was changed in the meantime, or the file cannot be written.
    pub fn redo_workshop(&self, seen: i64) -> Result<(), Trouble> {
        self.go_workshop(seen, 1, "redo")
    }

    fn go_workshop(&self, seen: i64, by: i64, verb: &'static str) -> Result<(), Trouble> {
        let mut connection = self.lock();
        let change = begin(&mut connection)?;
        let at = stands_at(&change, seen)? + by;
        let sql = "SELECT EXISTS (SELECT 1 FROM workshop_edit WHERE number = ?1)";
        if !change.query_row(sql, [at], |row| row.get(0))? {
            return Err(Trouble::NothingTo(verb));
        }
        finish(change, at)
    }
}

/// The change that it stands at, if it still has the revision that was seen.
fn stands_at(change: &Transaction<'_>, seen: i64) -> Result<i64, Trouble> {
    let (revision, at): (i64, i64) =
        change.query_row("SELECT revision, stands_at FROM workshop", [], |row| {
            Ok((row.get(0)?, row.get(1)?))
        })?;
    if revision == seen { Ok(at) } else { Err(Trouble::Changed) }
}

fn finish(change: Transaction<'_>, at: i64) -> Result<(), Trouble> {
    change.execute("UPDATE workshop SET revision = revision + 1, stands_at = ?1", [at])?;
    change.commit()?;
    Ok(())
}
