//! Files that are taken away from a page: their list, and what each of them is.

use maud::{Markup, html};

use crate::keep::Trouble;

/// The name of a file, what it is called, and what it is for.
pub(super) type File = (&'static str, &'static str, &'static str);

/// The files of a list, as a page offers them; each at its address.
pub(super) fn offered(files: &[File], address: impl Fn(&str) -> String) -> Markup {
    html! {
        @for (file, title, says) in files {
            li {
                a.button href=(address(file)) download { (title) }
                p { (says) span.says { " " (file) } }
            }
        }
    }
}

/// Whether there is a file of that name.
///
/// # Errors
/// When there is none.
pub(super) fn known(files: &[File], file: &str) -> Result<(), Trouble> {
    files.iter().any(|(name, ..)| *name == file).then_some(()).ok_or(Trouble::NotThere("file"))
}

/// The media type of a file, by its ending.
pub(super) fn media(file: &str) -> &'static str {
    match file.rsplit_once('.').map_or("", |(_, ending)| ending) {
        "pdf" => "application/pdf",
        "html" => "text/html; charset=utf-8",
        "txt" => "text/plain; charset=utf-8",
        "json" => "application/json",
        "zip" => "application/zip",
        _ => "application/octet-stream",
    }
}
