//! A folder that is written whole or not at all.

use std::fs;
use std::path::{Path, PathBuf};

use anyhow::{Context, bail};

/// Files by which a folder is known to be a packet, a kit or remnants of ours.
const OURS: [&str; 3] = ["packet.json", "kit.json", "remnants.json"];

/// A folder in the making: it is filled beside its place, and moved there at last.
pub(crate) struct Folder {
    filling: tempfile::TempDir,
    place: PathBuf,
    replaces: bool,
}

impl Folder {
    /// Begins a folder. One that exists is replaced only when that is asked for, and only if it
    /// is empty or holds a packet.
    pub(crate) fn begin(place: &Path, replace: bool) -> anyhow::Result<Self> {
        // As a shell completes it, a folder ends in a slash, and so named it cannot be moved.
        let place: &Path = &place.components().collect::<PathBuf>();
        let name = place.display();
        let replaces = match fs::read_dir(place) {
            Ok(mut entries) => {
                let empty = entries.next().is_none();
                if !empty && !OURS.iter().any(|file| place.join(file).is_file()) {
                    bail!("{name} exists and is not a packet: choose another folder");
                }
                if !empty && !replace {
                    bail!(
                        "{name} exists; use --replace to write the packet anew, or another folder"
                    );
                }
                true
            }
            Err(_) if place.exists() => bail!("{name} exists and is not a folder"),
            Err(_) => false,
        };
        let parent = match place.parent() {
            Some(parent) if !parent.as_os_str().is_empty() => parent,
            _ => Path::new("."),
        };
        fs::create_dir_all(parent)
            .with_context(|| format!("the folder {} cannot be made", parent.display()))?;
        let filling = tempfile::Builder::new()
            .prefix(".bagwright-")
            .tempdir_in(parent)
            .with_context(|| format!("nothing can be written in {}", parent.display()))?;
        Ok(Self { filling, place: place.to_owned(), replaces })
    }

    /// Adds a file, by its path within the folder.
    pub(crate) fn write(&self, path: &str, bytes: &[u8]) -> anyhow::Result<()> {
        let full = self.filling.path().join(path);
        if let Some(parent) = full.parent() {
            fs::create_dir_all(parent)?;
        }
        fs::write(&full, bytes).with_context(|| format!("{path} cannot be written"))
    }

    /// Moves the folder to its place; what was there goes away only when the new one is there.
    pub(crate) fn finish(self) -> anyhow::Result<()> {
        let Self { filling, place, replaces } = self;
        let new = filling.keep();
        let result = if replaces { swap(&new, &place) } else { fs::rename(&new, &place) };
        if result.is_err() {
            // The half-made folder must not stay behind.
            let _ = fs::remove_dir_all(&new);
        }
        result.with_context(|| format!("{} cannot be written", place.display()))
    }
}

fn swap(new: &Path, place: &Path) -> std::io::Result<()> {
    let mut old = place.as_os_str().to_owned();
    old.push(".old");
    let old = PathBuf::from(old);
    fs::rename(place, &old)?;
    if let Err(error) = fs::rename(new, place) {
        fs::rename(&old, place)?;
        return Err(error);
    }
    fs::remove_dir_all(&old)
}

/// Writes one file whole or not at all: beside its place, and moved there at last.
pub(crate) fn write_file(place: &Path, bytes: &[u8]) -> anyhow::Result<()> {
    use std::io::Write;
    let parent = match place.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent,
        _ => Path::new("."),
    };
    let mut builder = tempfile::Builder::new();
    builder.prefix(".bagwright-");
    // A temporary file is for its owner alone; what is handed over is for whom the system says.
    #[cfg(unix)]
    builder.permissions(std::os::unix::fs::PermissionsExt::from_mode(0o666));
    let mut file = builder.tempfile_in(parent)?;
    file.write_all(bytes)?;
    file.persist(place)?;
    Ok(())
}
