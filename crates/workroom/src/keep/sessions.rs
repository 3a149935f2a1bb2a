//! The sewing log: what was sewn, and how long it took. The design is kept as it was sewn, so that a
//! session says the same for ever.

use rusqlite::params;

use super::{Keep, Trouble};

/// A session as it is logged.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Session {
    /// The bag's number.
    pub bag: i64,
    /// What the bag was called.
    pub title: String,
    /// The design file as it was sewn.
    pub text: String,
    /// The id of the first step; none for the first of all.
    pub from: Option<String>,
    /// The id of the last step; none for the last of all.
    pub to: Option<String>,
    /// How many bags.
    pub bags: u32,
    /// Seconds that it took.
    pub seconds: u64,
    /// The day, as `2026-11-25`.
    pub day: String,
}

/// A session in the log.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SessionRow {
    /// Its number.
    pub id: i64,
    /// What was logged; its bag is zero if it was thrown away.
    pub session: Session,
    /// Whether it was struck out, and does not count.
    pub is_struck: bool,
}

impl Keep {
    /// Every session, the newest first.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn sessions(&self) -> Result<Vec<SessionRow>, Trouble> {
        let connection = self.lock();
        let mut found = connection.prepare_cached(
            "SELECT id, struck, bag, title, text, from_step, to_step, bags, seconds, day
             FROM session ORDER BY day DESC, id DESC LIMIT 500",
        )?;
        let rows = found.query_map([], |row| {
            let session = Session {
                bag: row.get::<_, Option<i64>>(2)?.unwrap_or(0),
                title: row.get(3)?,
                text: row.get(4)?,
                from: row.get(5)?,
                to: row.get(6)?,
                bags: row.get(7)?,
                seconds: u64::try_from(row.get::<_, i64>(8)?).unwrap_or(0),
                day: row.get(9)?,
            };
            Ok(SessionRow { id: row.get(0)?, session, is_struck: row.get(1)? })
        })?;
        Ok(rows.collect::<Result<_, _>>()?)
    }

    /// Logs a session.
    ///
    /// # Errors
    /// When the file cannot be written.
    pub fn log_session(&self, it: &Session) -> Result<(), Trouble> {
        let sql = "INSERT INTO session (bag, title, text, from_step, to_step, bags, seconds, day)
            VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)";
        let seconds = i64::try_from(it.seconds).unwrap_or(i64::MAX);
        self.lock().execute(
            sql,
            params![it.bag, it.title, it.text, it.from, it.to, it.bags, seconds, it.day],
        )?;
        Ok(())
    }

    /// Strikes a session out, so that it does not count, or puts it back.
    ///
    /// # Errors
    /// When there is none of that number, or the file cannot be written.
    pub fn strike_session(&self, id: i64, struck: bool) -> Result<(), Trouble> {
        self.strike("session", "session", id, struck)
    }
}
