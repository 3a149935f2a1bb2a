//! What can go wrong with the file, in words that say what to do.

use std::io::ErrorKind;
use std::path::{Path, PathBuf};

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
        "the disk is full, so nothing new can be kept; what was kept before is all there. Make room on \
         the disk and try again"
    )]
    Full,
    /// The disk or the file cannot be written.
    #[error(
        "nothing can be written in the data folder, so nothing new can be kept; what was kept before is \
         all there. Allow writing there, or name another folder with --data when bagwright is started"
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

impl Trouble {
    /// What keeps a folder from being made.
    pub(super) fn at_folder(folder: &Path, error: &std::io::Error) -> Self {
        let why = match error.kind() {
            ErrorKind::AlreadyExists | ErrorKind::NotADirectory => "a file is in its place",
            ErrorKind::ReadOnlyFilesystem | ErrorKind::PermissionDenied => {
                "nothing may be written there; name another one with --data"
            }
            ErrorKind::StorageFull => "the disk is full",
            _ => return Self::Folder(folder.to_owned(), error.to_string()),
        };
        Self::Folder(folder.to_owned(), why.to_owned())
    }
}

impl From<std::io::Error> for Trouble {
    fn from(error: std::io::Error) -> Self {
        match error.kind() {
            ErrorKind::StorageFull | ErrorKind::QuotaExceeded => Self::Full,
            ErrorKind::ReadOnlyFilesystem | ErrorKind::PermissionDenied => Self::ReadOnly,
            _ => Self::Broken(error.to_string()),
        }
    }
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
