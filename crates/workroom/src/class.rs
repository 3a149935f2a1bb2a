//! What the class's tablets may do: give the word of entry, and read the handouts that are shared.
//! Nothing here changes anything.

use std::net::SocketAddr;
use std::sync::{Mutex, PoisonError};
use std::time::{Duration, Instant};

use axum::http::{HeaderMap, header};
use maud::{DOCTYPE, Markup, html};

use crate::ask::{Answer, Ask, Verb};
use crate::keep::Trouble;
use crate::pages::{handout_of, head};
use crate::room::Room;

/// Words that are quickly said and typed; two of them and two digits are the word of entry.
const WORDS: [&str; 32] = [
    "apron", "basket", "bobbin", "button", "canvas", "chalk", "collar", "corner", "cotton",
    "denim", "eyelet", "fabric", "felt", "gusset", "handle", "hem", "jersey", "lace", "linen",
    "needle", "pocket", "quilt", "ribbon", "satchel", "seam", "selvedge", "spool", "stitch",
    "strap", "thimble", "twill", "zip",
];

/// How long the server waits after a wrong word before it takes another: a guesser gets nowhere,
/// and a class hardly notices.
const PAUSE: Duration = Duration::from_millis(700);

/// The word of entry, and what tells a browser that gave it from others.
pub(crate) struct Entry {
    word: String,
    secret: String,
    last_wrong: Mutex<Option<Instant>>,
}

impl Entry {
    /// # Errors
    /// When the system gives no random numbers.
    pub(crate) fn new(word: &str) -> anyhow::Result<Self> {
        let mut bytes = [0_u8; 16];
        random(&mut bytes)?;
        let secret = bytes.iter().map(|byte| format!("{byte:02x}")).collect();
        Ok(Self { word: normal(word), secret, last_wrong: Mutex::default() })
    }

    fn knows(&self, headers: &HeaderMap) -> bool {
        let wanted = format!("class={}", self.secret);
        headers
            .get_all(header::COOKIE)
            .iter()
            .filter_map(|value| value.to_str().ok())
            .flat_map(|value| value.split(';'))
            .any(|cookie| cookie.trim() == wanted)
    }

    /// Whether a word is right. After a wrong one, none is looked at for a moment.
    fn takes(&self, word: &str) -> bool {
        let mut last = self.last_wrong.lock().unwrap_or_else(PoisonError::into_inner);
        if last.is_some_and(|at| at.elapsed() < PAUSE) {
            return false;
        }
        let right = normal(word) == self.word;
        if !right {
            *last = Some(Instant::now());
        }
        right
    }
}

/// Small letters and digits alone: tablets like to begin with a capital and end with a space.
fn normal(word: &str) -> String {
    word.chars().filter(|c| c.is_alphanumeric()).flat_map(char::to_lowercase).take(100).collect()
}

fn random(bytes: &mut [u8]) -> anyhow::Result<()> {
    getrandom::fill(bytes).map_err(|error| anyhow::anyhow!("no random numbers: {error}"))
}

/// A word of entry that nobody knows beforehand.
///
/// # Errors
/// When the system gives no random numbers.
pub(crate) fn word() -> anyhow::Result<String> {
    let mut bytes = [0_u8; 3];
    random(&mut bytes)?;
    let [a, b, c] = bytes.map(usize::from);
    Ok(format!("{}-{}-{:02}", WORDS[a % WORDS.len()], WORDS[b % WORDS.len()], c % 100))
}

/// The address as it is written on the board.
pub(crate) fn shown(address: SocketAddr) -> String {
    if address.ip().is_unspecified() {
        format!("http://THIS-COMPUTER:{}/ (its address in your network)", address.port())
    } else {
        format!("http://{address}/")
    }
}

/// Answers a tablet.
pub(crate) fn answer(room: &Room, entry: &Entry, ask: &Ask, headers: &HeaderMap) -> Answer {
    let path: Vec<&str> = ask.path.iter().map(String::as_str).collect();
    match (ask.verb, path.as_slice()) {
        (Verb::Get, ["look", file @ ("room.css" | "mark.svg")]) => crate::pages::look_of(file),
        (Verb::Post, ["enter"]) => {
            if entry.takes(ask.form.text("word")) {
                let cookie = format!(
                    "class={}; HttpOnly; SameSite=Strict; Path=/; Max-Age=43200",
                    entry.secret
                );
                return Answer { cookie: Some(cookie), ..Answer::see("/") };
            }
            Answer::fault(403, door(true))
        }
        _ if !entry.knows(headers) => Answer::fault(200, door(false)),
        (Verb::Get, []) => list(room).unwrap_or_else(|trouble| told(&trouble)),
        (Verb::Get, ["handout", id]) => {
            let id = id.parse::<i64>().map_err(|_| Trouble::NotThere("handout"));
            let shared = id.and_then(|id| {
                let shared = room.keep.shared()?;
                shared
                    .iter()
                    .find(|bag| bag.id == id)
                    .map(|bag| bag.id)
                    .ok_or(Trouble::NotThere("handout"))
            });
            shared.and_then(|id| handout_of(room, id)).unwrap_or_else(|trouble| told(&trouble))
        }
        _ => told(&Trouble::NotThere("page")),
    }
}

fn told(trouble: &Trouble) -> Answer {
    let body = html! {
        h1 { "That is not there" }
        p { "Ask your teacher which bag is shared today." }
        p { a.button href="/" { "To the handouts" } }
    };
    let status = if matches!(trouble, Trouble::NotThere(_)) { 404 } else { 500 };
    Answer::fault(status, page("That is not there", &body))
}

fn page(title: &str, body: &Markup) -> Markup {
    html! {
        (DOCTYPE)
        html lang="en" {
            head { (head(title, "/look/room.css")) }
            body.class { main id="main" { (body) } }
        }
    }
}

/// Where the word is asked for.
fn door(wrong: bool) -> Markup {
    page(
        "Handouts",
        &html! {
            h1 { "Handouts" }
            form.stack method="post" action="/enter" {
                @if wrong { p.wrong role="alert" { "That is not the word. Wait a moment, and look at the board again." } }
                label for="word" { "The word from the board" }
                input id="word" name="word" required maxlength="100" autocomplete="off" autocapitalize="none";
                button.main { "Enter" }
            }
        },
    )
}

fn list(room: &Room) -> Result<Answer, Trouble> {
    let shared = room.keep.shared()?;
    let body = html! {
        h1 { "Handouts" }
        @if shared.is_empty() { div.empty { p { "No handout is shared yet. Load the page again when your teacher has shared one." } } }
        ul.handouts { @for bag in &shared { li { a.button.main href={ "/handout/" (bag.id) } { (bag.title) } } } }
    };
    Ok(Answer::page(page("Handouts", &body)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_word_is_taken_as_tablets_type_it_and_guessing_is_slow() {
        let entry = Entry::new("bobbin-seam-07").unwrap();
        assert!(entry.takes(" Bobbin seam 07 "));
        assert!(!entry.takes("bobbin-seam-08"));
        // Right, but at once after a wrong one.
        assert!(!entry.takes("bobbin-seam-07"));
    }

    #[test]
    fn words_differ() {
        let words: std::collections::BTreeSet<String> = (0..20).map(|_| word().unwrap()).collect();
        assert!(words.len() > 15, "{words:?}");
    }
}
