//! Safekeeping: everything in one file, and back again.

use maud::html;

use super::Page;
use super::shell::{Here, shell};
use crate::ask::{Answer, Ask};
use crate::keep::Trouble;
use crate::room::Room;

/// The page.
pub(super) fn page(room: &Room, said: Option<(u16, &str)>) -> Page {
    let body = html! {
        h1 { "Safekeeping" }
        @if let Some((status, text)) = said {
            @if status == 200 { p.good role="status" { (text) } } @else { p.wrong role="alert" { (text) } }
        }
        p { "Everything is kept on this computer as you go, in " code { (room.keep.path().display()) } ". Nothing is sent anywhere." }
        h2 { "Keep it elsewhere, too" }
        p { "One file with every bag, every version and the shelf: put it on a stick, or wherever you keep what must not be lost." }
        p { a.button.main href="/safe/backup" download { "Save everything in one file" } }
        h2 { "Bring it back" }
        p { "What is here now is put aside in a file of its own first, and then everything is as it was in the file that you choose." }
        form.row method="post" action="/safe/restore" enctype="multipart/form-data" {
            label for="file" { "File that was saved here" }
            input type="file" id="file" name="file" accept=".sqlite" required;
            button { "Bring it back" }
        }
    };
    let status = said.map_or(200, |(status, _)| status);
    Ok(Answer::fault(status, shell("Safekeeping", Here::Safe, &body)))
}

/// Everything as one file.
pub(super) fn backup(room: &Room) -> Page {
    let name = format!("bagwright-{}.sqlite", room.keep.today()?);
    Ok(Answer::download(&name, "application/vnd.sqlite3", room.keep.backup()?))
}

/// Everything back from a file.
pub(super) fn restore(room: &Room, ask: &Ask) -> Page {
    let bytes = ask.files.get("file").map(Vec::as_slice).unwrap_or_default();
    match room.keep.restore(bytes) {
        Ok(before) => {
            room.forget();
            let text = format!(
                "Everything is back. What was here before lies in {}.",
                before.file_name().unwrap_or_default().to_string_lossy()
            );
            page(room, Some((200, &text)))
        }
        Err(
            trouble @ (Trouble::Foreign
            | Trouble::NotTaken(_)
            | Trouble::Newer { .. }
            | Trouble::Broken(_)),
        ) => {
            let text = format!("Nothing was changed: {trouble}.");
            page(room, Some((422, &text)))
        }
        Err(other) => Err(other.into()),
    }
}
