//! What every page has: its head, the way to the other pages, and how faults are told.

use std::sync::LazyLock;

use maud::{DOCTYPE, Markup, PreEscaped, html};
use store::Problem;

use super::Page;
use crate::ask::Answer;
use crate::keep::{Opened, Trouble};
use crate::sum::sum;

/// The look of the pages, and that of the drawings on them.
static STYLE: LazyLock<String> = LazyLock::new(|| {
    format!("{}{}", include_str!("../look/room.css"), drawing::svg::Page::style())
});
const SCRIPT: &str = include_str!("../look/room.js");
const MARK: &str = include_str!("../look/mark.svg");
/// The mark beside the name, within the page: one thing less to wait for.
static SMALL_MARK: LazyLock<String> = LazyLock::new(|| {
    MARK.replacen("<svg ", "<svg aria-hidden=\"true\" width=\"28\" height=\"28\" ", 1)
});

/// Where in the workroom a page is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Here {
    /// The list of bags.
    Bags,
    /// The fabric shelf.
    Fabrics,
    /// The price list.
    Prices,
    /// The sewing log.
    Log,
    /// Backup and restore.
    Safe,
    /// Elsewhere.
    Elsewhere,
}

const PLACES: [(Here, &str, &str); 5] = [
    (Here::Bags, "/bags", "Bags"),
    (Here::Fabrics, "/fabrics", "Fabric shelf"),
    (Here::Prices, "/prices", "Prices"),
    (Here::Log, "/log", "Sewing log"),
    (Here::Safe, "/safe", "Safekeeping"),
];

/// What the head of every page holds.
pub(crate) fn head(title: &str, style: &str) -> Markup {
    html! {
        meta charset="utf-8";
        meta name="viewport" content="width=device-width, initial-scale=1";
        meta name="color-scheme" content="light dark";
        title { (title) }
        link rel="icon" href="/look/mark.svg" type="image/svg+xml";
        link rel="stylesheet" href=(style);
    }
}

/// A page.
pub(super) fn shell(title: &str, here: Here, body: &Markup) -> Markup {
    framed(title, here, (&html! {}, &html! {}), body)
}

/// A page with something more in its head, and a way between its own parts below the way between pages.
fn framed(title: &str, here: Here, (more, ways): (&Markup, &Markup), body: &Markup) -> Markup {
    html! {
        (DOCTYPE)
        html lang="en" {
            head {
                (head(&format!("{title} · bagwright"), &address("room.css", &STYLE)))
                script src=(address("room.js", SCRIPT)) defer {}
                (more)
            }
            body {
                a.skip href="#main" { "To the page itself" }
                header.top {
                    a.mark href="/bags" { (PreEscaped(&*SMALL_MARK)) "bagwright" }
                    nav aria-label="Workroom" {
                        @for (place, to, name) in PLACES {
                            a href=(to) aria-current=[(place == here).then_some("page")] { (name) }
                        }
                    }
                }
                (ways)
                main id="main" tabindex="-1" { (body) }
            }
        }
    }
}

/// The pages of one bag, in the order of the work.
const WAYS: [(&str, &str); 10] = [
    ("", "Design"),
    ("pieces", "Pieces"),
    ("cutting", "Cutting"),
    ("sewing", "Sewing"),
    ("shopping", "Shopping"),
    ("reckoning", "Time and price"),
    ("sizes", "Sizes"),
    ("templates", "Templates"),
    ("take", "Print and files"),
    ("versions", "Versions"),
];

/// The page of a bag.
pub(super) fn of_bag(id: i64, title: &str, here: &str, body: &Markup) -> Markup {
    of_bag_with(id, title, here, &html! {}, body)
}

/// The page of a bag with something more in its head.
pub(super) fn of_bag_with(
    id: i64,
    title: &str,
    here: &str,
    more: &Markup,
    body: &Markup,
) -> Markup {
    let ways = html! {
        nav.ways aria-label="This bag" {
            ul {
                @for (word, name) in WAYS {
                    li {
                        a href=(way(id, word)) aria-current=[(word == here).then_some("page")] { (name) }
                    }
                }
            }
        }
    };
    let name = WAYS.iter().find(|(word, _)| *word == here).map_or("", |(_, name)| *name);
    let heading = format!("{title}: {}", name.to_lowercase());
    let name = if here.is_empty() { title } else { &heading };
    framed(name, Here::Elsewhere, (more, &ways), body)
}

/// Where a page of a bag is.
pub(super) fn way(id: i64, word: &str) -> String {
    if word.is_empty() { format!("/bag/{id}") } else { format!("/bag/{id}/{word}") }
}

/// The address of a file of the look, which changes with its content.
fn address(name: &str, content: &str) -> String {
    format!("/look/{name}?{:x}", sum(content.as_bytes()))
}

/// A file of the look.
pub(super) fn look(file: &str) -> Page {
    let (media, text) = match file {
        "room.css" => ("text/css; charset=utf-8", STYLE.as_str()),
        "room.js" => ("text/javascript; charset=utf-8", SCRIPT),
        "mark.svg" => ("image/svg+xml", MARK),
        _ => return Err(Trouble::NotThere("page").into()),
    };
    Ok(Answer { lasting: file != "mark.svg", ..Answer::of(media, text) })
}

/// A page that says what went wrong, with ways on.
pub(crate) fn fault_page(message: &str) -> Markup {
    let body = html! {
        h1 { "That did not work" }
        p.fault role="alert" { (capital(message)) "." }
        p { a.button href="/bags" { "To the bags" } }
    };
    shell("That did not work", Here::Elsewhere, &body)
}

/// A bag whose text is not understood: what is wrong, and the text, which is safe.
pub(super) fn unread_page(opened: &Opened, problems: &[Problem]) -> Answer {
    let body = html! {
        h1 { "This bag cannot be read" }
        p { "A newer version of bagwright may have made it. Its text is safe: you can save it as a file, or undo the last change." }
        ul {
            @for problem in problems { li { (problem.message) ". " (problem.hint) } }
        }
        div.row {
            a.button href={ "/bag/" (opened.id) "/design.toml" } { "Save its text" }
            form method="post" action={ "/bag/" (opened.id) "/undo" } {
                input type="hidden" name="revision" value=(opened.revision);
                button disabled[opened.undo.is_none()] { "Undo the last change" }
            }
        }
    };
    Answer::fault(422, shell("This bag cannot be read", Here::Elsewhere, &body))
}

/// The first letter large.
pub(super) fn capital(text: &str) -> String {
    bag::operations::sentence(text)
}

/// A text whose measures do not break at the end of a line: `11 3/4 yd` read as 3/4 yd is too little cloth.
pub(super) fn unbroken(text: &str) -> String {
    let mut said = String::with_capacity(text.len());
    let mut before = "";
    for word in text.split(' ') {
        let bare = word.trim_matches(|c: char| !c.is_ascii_alphanumeric());
        let follows = ["yd", "in", "m", "cm", "mm"].contains(&bare)
            || bare.split_once('/').is_some_and(|(over, _)| over.parse::<u32>().is_ok());
        let joins = follows && before.ends_with(|c: char| c.is_ascii_digit());
        if !said.is_empty() {
            said.push_str(if joins { "\u{a0}" } else { " " });
        }
        said.push_str(word);
        before = word;
    }
    said
}

/// "1 step", "2 steps".
pub(super) fn counted(count: usize, what: &str) -> String {
    if count == 1 { format!("1 {what}") } else { format!("{count} {what}s") }
}

/// A hidden field.
pub(super) fn hidden(name: &str, value: impl maud::Render) -> Markup {
    html! { input type="hidden" name=(name) value=(value); }
}

/// What stands in the place of a page for a bag that cannot be made yet.
pub(super) fn not_yet(id: i64, what: &str) -> Markup {
    html! {
        div.empty {
            p { "There is no " (what) " yet: the bag cannot be made as it stands. The design says what to change." }
            p { a.button href=(way(id, "")) { "To the design" } }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::unbroken;

    #[test]
    fn a_measure_is_not_broken_and_all_else_may_be() {
        let text = "Duck, 44 in wide: 11 3/4 yd (423 in), of 3 kinds";
        let said = unbroken(text);
        assert_eq!(said.replace('\u{a0}', "_"), "Duck, 44_in wide: 11_3/4_yd (423_in), of 3 kinds");
        assert_eq!(unbroken(""), "");
    }
}
