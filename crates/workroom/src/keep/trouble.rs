//! What can go wrong with the file, in words that say what to do.

use std::path::PathBuf;

use rusqlite::ErrorCode;
use thiserror::Error;

/// Why something could not be kept or found.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum Trouble {
    /// There is no such bag, version or fabric.
    #[error("there is no such {0}; it may have been thrown away in another window")]
    NotThere(&'static str),
    /// Someone else (another window, most likely) changed it in the meantime.
    #[error("it was changed in another window in the meantime, so this change was not made")]
    Changed,
    /// There is nothing to undo or redo.
    #[error("there is nothing more to {0}")]
    NothingTo(&'static str),
    /// A newer program wrote the file.
    #[error(
        "the file was written by a newer version of bagwright (it has format {found}; this one \
         knows up to {known}). Nothing was changed: use the newer version, or another data folder"
    )]
    Newer {
        /// Its format.
        found: i64,
        /// The newest format that this program knows.
        known: i64,
    },
    /// The file is not one of ours.
    #[error("the file is not one of bagwright's; nothing in it was changed")]
    Foreign,
    /// The folder for it cannot be made.
    #[error("the folder {folder} cannot be made: {why}", folder = .0.display(), why = .1)]
    Folder(PathBuf, String),
    /// The disk is full.
    #[error(
        "the disk is full, so this change could not be kept; what was kept before is all there. \
         Make room on the disk and try again"
    )]
    Full,
    /// The disk or the file cannot be written.
    #[error(
        "the data folder cannot be written (it is read-only), so this change could not be kept; \
         what was kept before is all there"
    )]
    ReadOnly,
    /// Another program holds the file.
    #[error("another program is using the file and does not let go of it; close it and try again")]
    Busy,
    /// The name or text is not taken.
    #[error("{0}")]
    NotTaken(String),
    /// Anything else that SQLite says.
    #[error("the file cannot be used: {0}")]
    Broken(String),
}

impl From<rusqlite::Error> for Trouble {
    fn from(error: rusqlite::Error) -> Self {
        match error.sqlite_error_code() {
            Some(ErrorCode::DiskFull) => Self::Full,
            Some(ErrorCode::ReadOnly) => Self::ReadOnly,
            Some(ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked) => Self::Busy,
            Some(ErrorCode::NotADatabase) => Self::Foreign,
            _ => Self::Broken(error.to_string()),
        }
    }
}
