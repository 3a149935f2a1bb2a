//! The parts of a page that its script takes by themselves. Each says what it was made from by a sum of
//! its text; the script says which sums it has, and is sent the others. Nothing is remembered here about
//! what a window shows, so that two windows, a restart and the way back need no thought.

use maud::{Markup, PreEscaped, Render, html};

use super::shell::way;
use crate::ask::{Answer, Ask, Has, Verb};
use crate::sum::sum;

/// Before the number of a revision. It is one for the whole page, and a part that says it has not changed
/// for that: the script sets it everywhere.
const REVISION: &str = "name=\"revision\" value=\"";

/// An element with an id.
pub(super) struct Part {
    id: String,
    sum: String,
    html: String,
}

impl Part {
    /// The element with that id, as it is.
    pub(super) fn of(id: &str, element: Markup) -> Self {
        let mut whole = element.into_string();
        debug_assert!(whole.contains(&format!(" id=\"{id}\"")), "{id}: {whole}");
        let mut said = String::with_capacity(whole.len());
        for (number, piece) in whole.split(REVISION).enumerate() {
            let number = if number == 0 { "" } else { piece.split('"').next().unwrap_or_default() };
            said.push_str(&piece[number.len()..]);
        }
        let sum = format!("{:x}", sum(said.as_bytes()));
        mark(&mut whole, &sum);
        Self { id: id.to_owned(), sum, html: whole }
    }

    /// What stands there until the script has asked for the element: it has no sum.
    pub(super) fn unmade(id: &str, element: Markup) -> Self {
        let mut whole = element.into_string();
        mark(&mut whole, "");
        Self { id: id.to_owned(), sum: String::new(), html: whole }
    }
}

/// Writes the sum into the first tag.
fn mark(whole: &mut String, sum: &str) {
    let at = whole.find([' ', '>']).unwrap_or(whole.len());
    whole.insert_str(at, &format!(" data-part=\"{sum}\""));
}

impl Render for Part {
    fn render_to(&self, page: &mut String) {
        page.push_str(&self.html);
    }
}

/// What the script is sent: those of the parts that it does not have as they are, each after its name.
pub(super) fn told<'a>(
    status: u16,
    revision: Option<i64>,
    parts: impl IntoIterator<Item = &'a Part>,
    has: &Has,
) -> Answer {
    let mut all = format!("<!--parts {}-->", revision.map_or(String::new(), |it| it.to_string()));
    for part in parts.into_iter().filter(|part| !has.is(&part.id, &part.sum)) {
        all.push_str(&format!("<!--part {}-->", part.id));
        all.push_str(&part.html);
    }
    Answer::fault(status, PreEscaped(all))
}

/// How much of a page is made.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Extent<'a> {
    /// What is in sight at first. The script asks for the rest when that has been shown.
    First,
    /// All of it, as a browser without the script wants it, with the fold of that name open.
    Whole(&'a str),
}

impl<'a> Extent<'a> {
    /// How much is asked for. What answers a form without the script is there once, and so it is whole.
    pub(super) fn asked(ask: &'a Ask) -> Self {
        match ask.query.get("whole") {
            Some(open) => Self::Whole(open),
            None if ask.parts.is_some() || ask.verb == Verb::Post => Self::Whole(""),
            None => Self::First,
        }
    }
}

/// Where all of a bag's design is, as a browser without the script wants it, with one fold open.
pub(super) fn whole_way(id: i64, fold: &str) -> String {
    format!("{}?whole={fold}", way(id, ""))
}

/// Leads a browser without script to all of the page; one with a script takes this for text.
pub(super) fn without_script(id: i64, ask: &Ask) -> Markup {
    let mut place = whole_way(id, "yes");
    for name in ["turn", "rise", "showing", "beside"] {
        let value = ask.query.text(name);
        if !value.is_empty() && value.chars().all(|c| c.is_ascii_alphanumeric() || c == '-') {
            place.push_str(&format!("&{name}={value}"));
        }
    }
    html! { noscript { meta http-equiv="refresh" content={ "0; url=" (place) }; } }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn part(revision: u32, width: &str) -> Part {
        let element = html! {
            div.field id="it" { input name="revision" value=(revision); input name="value" value=(width); input name="revision" value=(revision); }
        };
        Part::of("it", element)
    }

    #[test]
    fn a_part_is_another_when_anything_but_the_revision_is() {
        let (one, later, wider) = (part(1, "8"), part(12, "8"), part(1, "9"));
        assert_eq!(one.sum, later.sum);
        assert_ne!(one.sum, wider.sum);
        assert!(later.html.contains("name=\"revision\" value=\"12\""), "{}", later.html);
        assert!(later.html.starts_with(&format!("<div data-part=\"{}\" class", one.sum)));
        let has = Has::read(&format!("parts it.{} other.1", one.sum));
        let sent = |part: &Part| {
            String::from_utf8(told(200, Some(3), [part], &has).body).expect("it is text")
        };
        assert_eq!(sent(&later), "<!--parts 3-->");
        assert_eq!(sent(&wider), format!("<!--parts 3--><!--part it-->{}", wider.html));
        let unmade = Part::unmade("it", html! { p id="it" {} });
        assert_eq!(unmade.html, "<p data-part=\"\" id=\"it\"></p>");
        assert!(sent(&unmade).ends_with("</p>"), "what is not made is never had");
    }
}
