//! What is kept: bags with every edit, versions, the fabric shelf. One SQLite file; each change is
//! one transaction, which is on the disk before it is acknowledged.

mod backup;
mod bags;
mod photos;
mod prices;
mod schema;
mod sessions;
mod sharing;
mod shelf;
mod trouble;
mod workshop;

use std::path::{Path, PathBuf};
use std::sync::{Mutex, MutexGuard, PoisonError};
use std::time::Duration;

use rusqlite::{Connection, OpenFlags};

pub use bags::{BagRow, Edited, Opened, VersionRow};
pub(crate) use prices::read_day;
pub use prices::{Day, Per, Price, PriceRow};
pub use sessions::{Session, SessionRow};
pub use shelf::{CutOff, CutRow, Fabric, FabricRow, Photo, Swatch};
pub use trouble::Trouble;
pub use workshop::WorkshopRow;

/// The name of the file in the data folder.
pub const FILE: &str = "workroom.sqlite";

/// The open file.
pub struct Keep {
    connection: Mutex<Connection>,
    path: PathBuf,
}

impl Keep {
    /// Opens the file in `folder`, made if it is not there, and brings it up to date.
    ///
    /// # Errors
    /// When the folder cannot be written, the file is another program's, or a newer program has
    /// written it; the file is then left as it was.
    pub fn open(folder: &Path) -> Result<Self, Trouble> {
        std::fs::create_dir_all(folder).map_err(|error| Trouble::at_folder(folder, &error))?;
        let path = folder.join(FILE);
        let opened = Connection::open(&path).map_err(Trouble::from);
        let mut connection = opened.map_err(|trouble| may_be_written(folder, trouble))?;
        prepare(&mut connection).map_err(|trouble| may_be_written(folder, trouble))?;
        Ok(Self { connection: Mutex::new(connection), path })
    }

    /// Where the file is.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// The connection. A request that panicked leaves no transaction open (it was rolled back when
    /// dropped), so the lock is as good as before.
    fn lock(&self) -> MutexGuard<'_, Connection> {
        self.connection.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// A setting, if it was ever set.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn setting(&self, name: &str) -> Result<Option<String>, Trouble> {
        let connection = self.lock();
        let mut found = connection.prepare_cached("SELECT value FROM setting WHERE name = ?1")?;
        let mut rows = found.query([name])?;
        Ok(match rows.next()? {
            Some(row) => Some(row.get(0)?),
            None => None,
        })
    }

    /// Sets a setting.
    ///
    /// # Errors
    /// When the file cannot be written.
    pub fn set(&self, name: &str, value: &str) -> Result<(), Trouble> {
        let sql = "INSERT INTO setting (name, value) VALUES (?1, ?2)
            ON CONFLICT (name) DO UPDATE SET value = excluded.value";
        self.lock().execute(sql, [name, value])?;
        Ok(())
    }

    /// Strikes a row of a table out, so that it does not count, or puts it back.
    fn strike(
        &self,
        table: &'static str,
        what: &'static str,
        id: i64,
        struck: bool,
    ) -> Result<(), Trouble> {
        let sql = format!("UPDATE {table} SET struck = ?2 WHERE id = ?1");
        match self.lock().execute(&sql, rusqlite::params![id, struck])? {
            0 => Err(Trouble::NotThere(what)),
            _ => Ok(()),
        }
    }

    /// Today, as `2026-11-25`, in the clock of this computer.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn today(&self) -> Result<String, Trouble> {
        Ok(self.lock().query_row("SELECT date('now', 'localtime')", [], |row| row.get(0))?)
    }
}

/// SQLite says only that it cannot open a file; a folder in which nothing can be written says why.
fn may_be_written(folder: &Path, trouble: Trouble) -> Trouble {
    match (&trouble, tempfile::tempfile_in(folder)) {
        (Trouble::Broken(_), Err(error)) => error.into(),
        _ => trouble,
    }
}

/// Sets a connection up for safety, and its tables to what this program knows.
fn prepare(connection: &mut Connection) -> Result<(), Trouble> {
    connection.busy_timeout(Duration::from_secs(5))?;
    // Nothing is changed before it is known whose file this is.
    schema::is_ours(connection)?;
    // A write-ahead log that is synced at each commit: an acknowledged change outlives the process
    // and the power.
    connection.pragma_update(None, "journal_mode", "WAL")?;
    connection.pragma_update(None, "synchronous", "FULL")?;
    connection.pragma_update(None, "foreign_keys", true)?;
    schema::migrate(connection)
}

/// Opens a file only to read it.
fn open_to_read(path: &Path) -> Result<Connection, Trouble> {
    let flags = OpenFlags::SQLITE_OPEN_READ_ONLY | OpenFlags::SQLITE_OPEN_NO_MUTEX;
    Ok(Connection::open_with_flags(path, flags)?)
}

#[cfg(test)]
mod tests;
