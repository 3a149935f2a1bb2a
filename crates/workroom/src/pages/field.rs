//! One field of the form, made from a parameter: its name, what it takes, what is wrong with it.

use bag::draft::Settled;
use bag::kinds::{Param, Quantity, Value};
use bag::{Finding, Severity};
use maud::{Markup, html};
use measure::Units;
use store::{Refused, shown_value, value_range, value_words};

use super::parts::Extent;
use super::shell::{capital, hidden, way};

/// The most characters of a choice that are seen beside its name, and in a row of their own.
const SHORT_CHOICE: usize = 22;
const LONG_CHOICE: usize = 38;

/// What was typed into a field and not taken.
#[derive(Clone, Debug)]
pub(super) struct Slip {
    pub(super) path: String,
    pub(super) typed: String,
    pub(super) refused: Refused,
}

/// The form around the fields.
#[derive(Clone, Copy)]
pub(super) struct Around<'a> {
    pub(super) id: i64,
    pub(super) revision: i64,
    pub(super) units: Units,
    pub(super) findings: &'a [Finding],
    /// What the sizes come to that are left out, by path.
    pub(super) settled: &'a Settled,
    pub(super) slip: Option<&'a Slip>,
    /// The page of the bag to which a change goes: "change" of the design, "sizes".
    pub(super) to: &'static str,
    /// Whether fields stand side by side, without their help.
    pub(super) brief: bool,
    /// How much is made.
    pub(super) extent: Extent<'a>,
    /// Whether changes lead back to the page as a browser without the script wants it.
    pub(super) keeps_whole: bool,
}

/// A word that is an id: `pocket[2].height` becomes `pocket-2-height`.
pub(super) fn id_of(path: &str) -> String {
    let mut id = String::new();
    for c in path.chars() {
        match c {
            c if c.is_ascii_alphanumeric() => id.push(c),
            _ if id.ends_with('-') => {}
            _ => id.push('-'),
        }
    }
    id.trim_end_matches('-').to_owned()
}

impl Around<'_> {
    /// Where a form of this page goes.
    pub(super) fn action(&self, to: &str) -> String {
        let whole = if self.keeps_whole { "?whole=yes" } else { "" };
        format!("{}{whole}", way(self.id, to))
    }

    /// A form that makes one change.
    pub(super) fn change(&self, path: &str, class: &str, inner: &Markup) -> Markup {
        html! {
            form class=(class) method="post" action=(self.action(self.to)) {
                (hidden("revision", self.revision))
                (hidden("path", path))
                (inner)
            }
        }
    }

    /// A button that makes one change.
    pub(super) fn button(&self, path: &str, value: &str, says: &str, name: &str) -> Markup {
        let inner = html! {
            (hidden("value", value))
            button id={ "do-" (id_of(path)) "-" (id_of(value)) } aria-label=(name) { (says) }
        };
        self.change(path, "act", &inner)
    }

    /// The field of a parameter.
    pub(super) fn field(&self, path: &str, param: &Param, value: &Value) -> Markup {
        self.labelled(&capital(param.label), path, param, value)
    }

    /// The field of a parameter under a label of its own.
    pub(super) fn labelled(&self, label: &str, path: &str, param: &Param, value: &Value) -> Markup {
        let id = id_of(path);
        let slip = self.slip.filter(|slip| slip.path == path);
        let shown = slip.map_or_else(|| shown_value(value, self.units), |slip| slip.typed.clone());
        let found: Vec<&Finding> = self
            .findings
            .iter()
            .filter(|f| f.severity != Severity::Note && f.place.parameter.as_deref() == Some(path))
            .collect();
        let wrong = slip.is_some() || found.iter().any(|f| f.severity == Severity::Error);
        let about = format!("about-{id}");
        let range = match param.quantity {
            Quantity::Length { .. }
            | Quantity::OptionalLength { .. }
            | Quantity::Count { .. }
            | Quantity::Percent { .. } => {
                let range = value_range(param, self.units);
                let range = range.trim_start_matches("a length from ");
                let range = range.trim_start_matches("a whole number from ");
                Some(range.trim_start_matches("a percentage from ").to_owned())
            }
            _ => None,
        };
        let usual = self.settled.get(path).filter(|_| shown.is_empty());
        let usual = usual.map(|length| shown_value(&Value::Length(*length), self.units));
        let (invalid, about) = (wrong.then_some("true"), about.as_str());
        let choices = choices(param, self.brief);
        let is_wide = choices.iter().any(|it| it.text.chars().count() > SHORT_CHOICE);
        let control = match param.quantity {
            Quantity::Choice { .. } | Quantity::Thing { .. } => html! {
                select id=(id) name="value" aria-describedby=(about) aria-invalid=[invalid] {
                    @for it in &choices { option value=(it.word) selected[it.word == shown] { (it.text) } }
                }
            },
            Quantity::Flag { .. } => html! {
                select id=(id) name="value" aria-describedby=(about) aria-invalid=[invalid] {
                    option value="no" selected[shown == "no"] { "no" }
                    option value="yes" selected[shown == "yes"] { "yes" }
                }
            },
            Quantity::Weight => html! {
                input id=(id) name="value" value=(shown) autocomplete="off" spellcheck="false"
                    aria-describedby=(about) aria-invalid=[invalid];
            },
            Quantity::Text { .. } => html! {
                input.long id=(id) name="value" value=(shown) maxlength="200" autocomplete="off"
                    aria-describedby=(about) aria-invalid=[invalid];
            },
            Quantity::Length { .. } | Quantity::OptionalLength { .. } => html! {
                span.measure {
                    input id=(id) name="value" value=(shown) placeholder=[usual.as_deref()] autocomplete="off" spellcheck="false"
                        aria-describedby=(about) aria-invalid=[invalid];
                    span.unit aria-hidden="true" { (unit(usual.as_deref().unwrap_or(&shown), self.units)) }
                }
            },
            Quantity::Count { .. } | Quantity::Percent { .. } => html! {
                span.measure {
                    input id=(id) name="value" value=(shown) inputmode="decimal" autocomplete="off"
                        aria-describedby=(about) aria-invalid=[invalid];
                    @if matches!(param.quantity, Quantity::Percent { .. }) {
                        span.unit aria-hidden="true" { "%" }
                    }
                }
            },
        };
        let inner = html! {
            label for=(id) { (label) }
            (control)
            button.set { "Set" }
            div.about id=(about) {
                @if !self.brief { p {
                    (page_help(param.help))
                    @if let Some(range) = &range { span.range { " " (range) "." } }
                    @if let Some(usual) = &usual { span.usual { " Left empty, it comes to " (usual) " " (unit(usual, self.units)) " here." } }
                } }
                @for it in &choices {
                    @if let Some(meaning) = &it.meaning { p { strong { (it.text) } ": " (meaning) "." } }
                }
                @if let Some(slip) = slip {
                    p.wrong { (capital(&in_quotes(&slip.refused.message))) "; " (plain(&slip.refused.hint)) "." }
                }
                @for finding in &found {
                    p.wrong[finding.severity == Severity::Error].care[finding.severity == Severity::Warning] {
                        (capital(&finding.message)) "."
                    }
                }
            }
        };
        let class = match (self.brief, is_wide) {
            (true, _) => "field brief",
            (false, true) => "field wide",
            (false, false) => "field",
        };
        self.change(path, class, &inner)
    }
}

/// One of the words that a parameter takes.
struct Choice {
    word: &'static str,
    /// What stands in the list of them.
    text: String,
    /// What it means, told below the list if it would be cut off in it.
    meaning: Option<String>,
}

fn choices(param: &Param, is_brief: bool) -> Vec<Choice> {
    if !matches!(param.quantity, Quantity::Choice { .. } | Quantity::Thing { .. }) {
        return Vec::new();
    }
    let each = value_words(param).into_iter().map(|(word, meaning)| {
        let meaning = plain(&meaning);
        let (text, bare) = (option_text(word, &meaning), word.replace('-', " "));
        let is_told = !is_brief && text.chars().count() > LONG_CHOICE && text != bare;
        Choice {
            word,
            text: if is_told { bare } else { text },
            meaning: is_told.then_some(meaning),
        }
    });
    each.collect()
}

/// A parameter whose help begins "With `key = "word"`:" counts only with that choice.
pub(super) fn only_with(help: &str) -> Option<(&str, &str)> {
    let (condition, _) = help.strip_prefix("With `")?.split_once("`:")?;
    let (key, word) = condition.split_once(" = ")?;
    Some((key, word.trim_matches('"')))
}

/// A help text for the page: without the condition that is fulfilled, and without the marks that a
/// design file's own words have in the guide.
pub(super) fn page_help(help: &str) -> String {
    let help = match only_with(help) {
        Some(_) => help.split_once("`:").map_or(help, |(_, rest)| rest),
        None => help,
    };
    // `fabric for it (`[fabric.base]`)`: where a design file says so, the form has its own place.
    let mut said = String::new();
    for (number, part) in help.split(" (`[").enumerate() {
        let part =
            if number == 0 { part } else { part.split_once("]`)").map_or(part, |(_, rest)| rest) };
        said.push_str(part);
    }
    plain(&capital(said.trim()))
}

/// A text without the marks that the words of a design file have.
pub(super) fn plain(text: &str) -> String {
    text.replace('`', "")
}

/// A text in which what stands between the marks, being what was typed, stands in quotes.
pub(super) fn in_quotes(text: &str) -> String {
    let mut said = String::new();
    for (number, part) in text.split('`').enumerate() {
        if number > 0 {
            said.push(if number % 2 == 1 { '“' } else { '”' });
        }
        said.push_str(part);
    }
    said
}

/// The unit beside a number without one.
fn unit(shown: &str, units: Units) -> &'static str {
    if shown.is_empty() || shown.chars().any(|c| c.is_alphabetic() || c == '"') {
        ""
    } else {
        units.symbol()
    }
}

/// "eighths of a yard" says more than `eighths`; what is short stands before what it means.
pub(super) fn option_text(word: &str, meaning: &str) -> String {
    let plain = word.replace('-', " ");
    if meaning.is_empty() || meaning == plain {
        plain
    } else if meaning.starts_with(&plain) || meaning.chars().count() < 40 {
        meaning.to_owned()
    } else {
        format!("{plain}: {meaning}")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_choice_that_would_be_cut_off_is_told_below_the_list() {
        let params = bag::Design::params_of("body", "boxed").unwrap();
        let size = params.iter().find(|param| param.key == "size").expect("it is there");
        let all = choices(size, false);
        let cut = all.iter().find(|it| it.word == "cut").expect("it is one of them");
        assert!(cut.text == "cut" && cut.meaning.as_ref().is_some_and(|it| it.contains("panel")));
        assert!(all.iter().all(|it| it.text.chars().count() <= LONG_CHOICE));
        let brief = choices(size, true);
        assert!(brief.iter().all(|it| it.meaning.is_none() && !it.text.contains('`')));
    }

    #[test]
    fn a_condition_of_a_parameter_is_read_from_its_help() {
        let help = "With `size = \"fits\"`: how the thing goes in.";
        assert_eq!(only_with(help), Some(("size", "fits")));
        assert_eq!(page_help(help), "How the thing goes in.");
        assert_eq!(page_help("Set `cutting` to `free`."), "Set cutting to free.");
        assert_eq!(id_of("pocket[2].height"), "pocket-2-height");
    }
}
