//! Bags: their texts with every edit, undo and redo, versions, copies.

use rusqlite::{Connection, OptionalExtension, Transaction, TransactionBehavior, params};

use super::{Keep, Trouble};

/// A bag in the list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BagRow {
    /// Its number.
    pub id: i64,
    /// What it is called.
    pub title: String,
    /// Goes up with each change.
    pub revision: i64,
    /// When it was last changed, as `2026-11-25 18:30`.
    pub changed: String,
    /// Whether the class may read its handout.
    pub is_shared: bool,
}

/// A bag with its text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Opened {
    /// Its number.
    pub id: i64,
    /// Goes up with each change; a change names the revision that it was made from.
    pub revision: i64,
    /// The design file.
    pub text: String,
    /// What undoing would take back; none when there is nothing.
    pub undo: Option<String>,
    /// What redoing would do again.
    pub redo: Option<String>,
    /// The size that is shown; none for the bag as it stands.
    pub size: Option<String>,
    /// The option that is shown.
    pub option: Option<String>,
    /// Whether it was put away.
    pub is_put_away: bool,
    /// Whether the class may read its handout.
    pub is_shared: bool,
}

/// What a change has come to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Edited {
    /// The bag.
    pub id: i64,
    /// Its new revision.
    pub revision: i64,
}

/// A version that she has kept by name.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct VersionRow {
    /// Its number.
    pub id: i64,
    /// Its name.
    pub name: String,
    /// When it was kept.
    pub made: String,
}

/// The most characters of a title or a name.
const LONGEST_NAME: usize = 200;
/// The most bytes of a design's text.
const LARGEST_TEXT: usize = 1_000_000;

fn checked<'a>(name: &'a str, text: &str) -> Result<&'a str, Trouble> {
    let name = name.trim();
    if name.is_empty() || name.chars().count() > LONGEST_NAME {
        return Err(Trouble::NotTaken(format!(
            "a name has at least one and at most {LONGEST_NAME} characters"
        )));
    }
    if text.len() > LARGEST_TEXT {
        return Err(Trouble::NotTaken(format!("a design has at most {LARGEST_TEXT} bytes")));
    }
    Ok(name)
}

impl Keep {
    /// All bags that are not put away (or all that are), last changed first.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn bags(&self, put_away: bool) -> Result<Vec<BagRow>, Trouble> {
        let connection = self.lock();
        let mut found = connection.prepare_cached(
            "SELECT id, title, revision, strftime('%Y-%m-%d %H:%M', changed, 'unixepoch',
                'localtime'), EXISTS (SELECT 1 FROM shared WHERE bag = id) FROM bag
             WHERE (put_away IS NOT NULL) = ?1 ORDER BY changed DESC, id DESC",
        )?;
        let rows = found.query_map([put_away], |row| {
            Ok(BagRow {
                id: row.get(0)?,
                title: row.get(1)?,
                revision: row.get(2)?,
                changed: row.get(3)?,
                is_shared: row.get(4)?,
            })
        })?;
        Ok(rows.collect::<Result<_, _>>()?)
    }

    /// A bag as it stands.
    ///
    /// # Errors
    /// When there is none of that number, or the file cannot be read.
    pub fn bag(&self, id: i64) -> Result<Opened, Trouble> {
        read(&self.lock(), id)
    }

    /// The text of a bag as another edit left it, for looking back.
    ///
    /// # Errors
    /// When there is no such version, or the file cannot be read.
    pub fn version(&self, bag: i64, version: i64) -> Result<(String, String), Trouble> {
        let sql = "SELECT name, text FROM version WHERE bag = ?1 AND id = ?2";
        let connection = self.lock();
        let found = connection.query_row(sql, [bag, version], |row| Ok((row.get(0)?, row.get(1)?)));
        found.optional()?.ok_or(Trouble::NotThere("version"))
    }

    /// A new bag.
    ///
    /// # Errors
    /// When the name or the text is too long, or the file cannot be written.
    pub fn add(&self, title: &str, text: &str, what: &str) -> Result<Edited, Trouble> {
        let title = checked(title, text)?;
        let mut connection = self.lock();
        let change = begin(&mut connection)?;
        let sql = "INSERT INTO bag (title, revision, stands_at, changed)
            VALUES (?1, 1, 0, unixepoch())";
        change.execute(sql, [title])?;
        let id = change.last_insert_rowid();
        put(&change, id, 0, text, what)?;
        change.commit()?;
        Ok(Edited { id, revision: 1 })
    }

    /// Changes a bag from the revision that she saw to a new text.
    ///
    /// # Errors
    /// When it was changed in the meantime, or the file cannot be written; then nothing is changed.
    pub fn change(
        &self,
        id: i64,
        seen: i64,
        title: &str,
        text: &str,
        what: &str,
    ) -> Result<Edited, Trouble> {
        let title = checked(title, text)?;
        let mut connection = self.lock();
        let change = begin(&mut connection)?;
        let at = stands_at(&change, id, seen)?;
        // What was undone is left behind.
        change.execute("DELETE FROM edit WHERE bag = ?1 AND number > ?2", [id, at])?;
        put(&change, id, at + 1, text, what)?;
        finish(change, id, seen, title, at + 1)
    }

    /// Goes back one edit.
    ///
    /// # Errors
    /// When there is none, it was changed in the meantime, or the file cannot be written.
    pub fn undo(&self, id: i64, seen: i64) -> Result<Edited, Trouble> {
        self.go(id, seen, -1, "undo")
    }

    /// Does again what was undone.
    ///
    /// # Errors
    /// When there is none, it was changed in the meantime, or the file cannot be written.
    pub fn redo(&self, id: i64, seen: i64) -> Result<Edited, Trouble> {
        self.go(id, seen, 1, "redo")
    }

    fn go(&self, id: i64, seen: i64, by: i64, verb: &'static str) -> Result<Edited, Trouble> {
        let mut connection = self.lock();
        let change = begin(&mut connection)?;
        let at = stands_at(&change, id, seen)? + by;
        let there: bool = change.query_row(
            "SELECT EXISTS (SELECT 1 FROM edit WHERE bag = ?1 AND number = ?2)",
            [id, at],
            |row| row.get(0),
        )?;
        if !there {
            return Err(Trouble::NothingTo(verb));
        }
        let title: String =
            change.query_row("SELECT title FROM bag WHERE id = ?1", [id], |row| row.get(0))?;
        finish(change, id, seen, &title, at)
    }

    /// Shows another size and option of a bag, from the revision that she saw.
    ///
    /// # Errors
    /// When it was changed in the meantime, or the file cannot be written.
    pub fn show(
        &self,
        id: i64,
        seen: i64,
        size: Option<&str>,
        option: Option<&str>,
    ) -> Result<(), Trouble> {
        let mut connection = self.lock();
        let change = begin(&mut connection)?;
        stands_at(&change, id, seen)?;
        let sql = "UPDATE bag SET size = ?2, choice = ?3, revision = revision + 1 WHERE id = ?1";
        change.execute(sql, params![id, size, option])?;
        change.commit()?;
        Ok(())
    }

    /// Writes the title beside a text that undoing has brought back.
    ///
    /// # Errors
    /// When the file cannot be written.
    pub fn retitle(&self, id: i64, title: &str) -> Result<(), Trouble> {
        let title = checked(title, "")?;
        self.lock().execute("UPDATE bag SET title = ?2 WHERE id = ?1", params![id, title])?;
        Ok(())
    }

    /// The versions of a bag, the last first.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn versions(&self, bag: i64) -> Result<Vec<VersionRow>, Trouble> {
        let connection = self.lock();
        let mut found = connection.prepare_cached(
            "SELECT id, name, strftime('%Y-%m-%d %H:%M', made, 'unixepoch', 'localtime')
             FROM version WHERE bag = ?1 ORDER BY id DESC",
        )?;
        let rows = found.query_map([bag], |row| {
            Ok(VersionRow { id: row.get(0)?, name: row.get(1)?, made: row.get(2)? })
        })?;
        Ok(rows.collect::<Result<_, _>>()?)
    }

    /// Keeps a bag as it stands under a name.
    ///
    /// # Errors
    /// When there is no such bag, the name is not taken, or the file cannot be written.
    pub fn keep_version(&self, bag: i64, name: &str) -> Result<(), Trouble> {
        let name = checked(name, "")?;
        let mut connection = self.lock();
        let change = begin(&mut connection)?;
        let opened = read(&change, bag)?;
        let sql = "INSERT INTO version (bag, name, text, made)
            VALUES (?1, ?2, ?3, unixepoch())";
        change.execute(sql, params![bag, name, opened.text])?;
        change.commit()?;
        Ok(())
    }

    /// Puts a bag away, or takes it out again. Nothing of it is lost.
    ///
    /// # Errors
    /// When there is no such bag, or the file cannot be written.
    pub fn put_away(&self, id: i64, away: bool) -> Result<(), Trouble> {
        let sql = if away {
            "UPDATE bag SET put_away = unixepoch() WHERE id = ?1"
        } else {
            "UPDATE bag SET put_away = NULL WHERE id = ?1"
        };
        match self.lock().execute(sql, [id])? {
            0 => Err(Trouble::NotThere("bag")),
            _ => Ok(()),
        }
    }

    /// Throws away a bag that was put away, with all its edits and versions.
    ///
    /// # Errors
    /// When there is no such bag among those put away, or the file cannot be written.
    pub fn throw_away(&self, id: i64) -> Result<(), Trouble> {
        let sql = "DELETE FROM bag WHERE id = ?1 AND put_away IS NOT NULL";
        match self.lock().execute(sql, [id])? {
            0 => Err(Trouble::NotThere("bag")),
            _ => Ok(()),
        }
    }
}

/// A transaction that holds the right to write from its beginning.
pub(super) fn begin(connection: &mut Connection) -> Result<Transaction<'_>, Trouble> {
    Ok(connection.transaction_with_behavior(TransactionBehavior::Immediate)?)
}

fn read(connection: &Connection, id: i64) -> Result<Opened, Trouble> {
    let mut found = connection.prepare_cached(
        "SELECT bag.revision, now.text, bag.put_away IS NOT NULL,
            EXISTS (SELECT 1 FROM shared WHERE shared.bag = bag.id),
            (SELECT now.what FROM edit WHERE bag = ?1 AND number = stands_at - 1),
            (SELECT what FROM edit WHERE bag = ?1 AND number = stands_at + 1),
            bag.size, bag.choice
         FROM bag JOIN edit now ON now.bag = bag.id AND now.number = stands_at
         WHERE bag.id = ?1",
    )?;
    let opened = found.query_row([id], |row| {
        Ok(Opened {
            id,
            revision: row.get(0)?,
            text: row.get(1)?,
            is_put_away: row.get(2)?,
            is_shared: row.get(3)?,
            undo: row.get(4)?,
            redo: row.get(5)?,
            size: row.get(6)?,
            option: row.get(7)?,
        })
    });
    opened.optional()?.ok_or(Trouble::NotThere("bag"))
}

/// The edit that a bag stands at, if it still has the revision that was seen.
fn stands_at(change: &Transaction<'_>, id: i64, seen: i64) -> Result<i64, Trouble> {
    let sql = "SELECT revision, stands_at FROM bag WHERE id = ?1";
    let row: Option<(i64, i64)> =
        change.query_row(sql, [id], |row| Ok((row.get(0)?, row.get(1)?))).optional()?;
    let (revision, at) = row.ok_or(Trouble::NotThere("bag"))?;
    if revision == seen { Ok(at) } else { Err(Trouble::Changed) }
}

fn put(
    change: &Transaction<'_>,
    bag: i64,
    number: i64,
    text: &str,
    what: &str,
) -> Result<(), Trouble> {
    let sql = "INSERT INTO edit (bag, number, text, what, made)
        VALUES (?1, ?2, ?3, ?4, unixepoch())";
    change.execute(sql, params![bag, number, text, what])?;
    Ok(())
}

fn finish(
    change: Transaction<'_>,
    id: i64,
    seen: i64,
    title: &str,
    at: i64,
) -> Result<Edited, Trouble> {
    let revision = seen + 1;
    let sql = "UPDATE bag SET title = ?2, revision = ?3, stands_at = ?4, changed = unixepoch()
        WHERE id = ?1";
    change.execute(sql, params![id, title, revision, at])?;
    change.commit()?;
    Ok(Edited { id, revision })
}
