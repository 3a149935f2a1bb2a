//! Everything in one file, to keep elsewhere, and back again.

use std::path::{Path, PathBuf};
use std::time::Duration;

use rusqlite::Connection;
use rusqlite::backup::Backup;

use super::{Keep, Trouble, open_to_read, prepare, schema};

impl Keep {
    /// Everything as one file, whole and consistent even while it is worked on.
    ///
    /// # Errors
    /// When there is no room for it, or the file cannot be read.
    pub fn backup(&self) -> Result<Vec<u8>, Trouble> {
        self.backup_by_way_of(self.folder()).or_else(|trouble| match trouble {
            // A disk that is full or failing is when she needs it most.
            Trouble::Full | Trouble::ReadOnly | Trouble::Broken(_) => {
                self.backup_by_way_of(&std::env::temp_dir()).map_err(|_| trouble)
            }
            other => Err(other),
        })
    }

    fn backup_by_way_of(&self, folder: &Path) -> Result<Vec<u8>, Trouble> {
        let folder = tempfile::tempdir_in(folder)?;
        let copy = folder.path().join("backup.sqlite");
        let name = copy.to_str().ok_or_else(|| Trouble::Broken("odd folder name".to_owned()))?;
        self.lock().execute("VACUUM INTO ?1", [name])?;
        Ok(std::fs::read(&copy)?)
    }

    /// Puts what is in a backup in the place of everything. What was there before is kept beside
    /// it in a file whose path is returned.
    ///
    /// # Errors
    /// When it is no backup of ours, is damaged, or a newer program has written it; then nothing is
    /// changed.
    pub fn restore(&self, backup: &[u8]) -> Result<PathBuf, Trouble> {
        let folder = tempfile::tempdir_in(self.folder())?;
        let copy = folder.path().join("restore.sqlite");
        std::fs::write(&copy, backup)?;
        is_sound(&copy)?;
        // An older backup is brought up to date before it takes anything's place.
        let mut from = Connection::open(&copy)?;
        prepare(&mut from)?;
        let before = self.before_restoring()?;
        let mut connection = self.lock();
        {
            let backup = Backup::new(&from, &mut connection)?;
            backup.run_to_completion(1_000, Duration::ZERO, None)?;
        }
        prepare(&mut connection)?;
        Ok(before)
    }

    /// Keeps what there is beside the file, under a name that is still free.
    fn before_restoring(&self) -> Result<PathBuf, Trouble> {
        let day = self.today()?;
        let bytes = self.backup()?;
        for number in 1..1_000 {
            let path = self.folder().join(format!("before-restoring-{day}-{number}.sqlite"));
            let file = std::fs::File::options().write(true).create_new(true).open(&path);
            match file {
                Ok(mut file) => {
                    let written = std::io::Write::write_all(&mut file, &bytes);
                    if let Err(error) = written.and_then(|()| file.sync_all()) {
                        // Half of it would be taken for the whole.
                        let _ = std::fs::remove_file(&path);
                        return Err(error.into());
                    }
                    return Ok(path);
                }
                Err(error) if error.kind() == std::io::ErrorKind::AlreadyExists => {}
                Err(error) => return Err(error.into()),
            }
        }
        Err(Trouble::NotTaken("too many restores in one day; tidy the data folder".to_owned()))
    }

    fn folder(&self) -> &Path {
        self.path().parent().unwrap_or(Path::new("."))
    }
}

/// Whether a file is a whole database of ours.
fn is_sound(path: &Path) -> Result<(), Trouble> {
    let connection = open_to_read(path)?;
    schema::is_ours(&connection)?;
    let said: String =
        connection.query_row("SELECT * FROM pragma_integrity_check", [], |row| row.get(0))?;
    let bags: i64 = connection.query_row(
        "SELECT count(*) FROM sqlite_schema WHERE type = 'table' AND name = 'bag'",
        [],
        |row| row.get(0),
    )?;
    if said != "ok" {
        return Err(Trouble::NotTaken(format!("the backup is damaged ({said})")));
    }
    if bags == 0 { Err(Trouble::Foreign) } else { Ok(()) }
}
