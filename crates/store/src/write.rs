//! Writes a design as a file that reads back to the same design, with or without remarks.

use std::borrow::Cow;

use bag::design::{FABRIC, INTERFACING};
use bag::kinds::{Kind, Param, Quantity, Value, Values};
use bag::pattern::spell_weight;
use bag::{Chosen, Design, Role, Severity, bodies, extras, pockets};
use measure::{Length, Ruler, System, Units, show_length};

use crate::nearest;
use crate::sections::{self, CHANGES, Form, HEAD, SECTIONS, Section};
use crate::usual::usual;
use crate::values;

/// The widest line of a remark.
const WIDTH: usize = 96;

/// A design as the text of a design file. Reading it gives the same design again.
pub fn write_design(design: &Design) -> String {
    let mut writer = Writer { text: String::new(), units: design.units, remarks: Remarks::None };
    writer.file(design);
    writer.text
}

/// What a design to start from holds besides the body's own parameters.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Starter {
    /// What this body begins with, and the other kinds by name.
    Short,
    /// Every kind of pocket and extra with its parameters, and what each kind is.
    Whole,
}

/// A design of the given body to start from: every parameter at its default, each with a remark
/// on what it does and what it takes. `None` when there is no such body.
pub fn starter(body: &str, units: Units, extent: Starter) -> Option<String> {
    let design = Design::of(bodies::find(body)?, units);
    let remarks = match extent {
        Starter::Short => Remarks::Short,
        Starter::Whole => Remarks::Whole,
    };
    let mut writer = Writer { text: String::new(), units, remarks };
    writer.remark(
        "A bag design for bagwright. Lines that start with `# ` are remarks. Lines that start with \
         a # and no space are settings that are not in use: take the # away to use them. Every \
         value is the default and may be changed; a line that is left out means the default. A \
         length with a fraction or with a unit of its own stands in quotes, as in \"4 1/2\" or \
         \"12 cm\".",
    );
    if extent == Starter::Short {
        writer.remark(&format!(
            "`bagwright kinds` tells what else there is, `bagwright new {body} --whole` prints it \
             all.",
        ));
    }
    writer.text.push('\n');
    writer.file(&design);
    Some(writer.text)
}

/// What a short starter proposes, each under its section: the first pocket with which the design can
/// be sewn without a warning, and the first extra with which it still can.
fn proposals(design: &Design) -> Vec<(&'static str, &'static dyn Kind)> {
    let system = design.system();
    let goes = |design: &Design| {
        let drafted = bag::draft(design);
        let told = drafted.pattern.as_ref().map(bag::checks::run);
        let is_note = |finding: &bag::Finding| finding.severity == Severity::Note;
        told.is_some_and(|told| told.iter().chain(&drafted.findings).all(is_note))
    };
    let mut design = design.clone();
    let pocket = pockets::ALL.iter().find(|kind| {
        design.pockets = vec![Chosen::new(**kind, system)];
        goes(&design)
    });
    design.pockets = pocket.map(|kind| Chosen::new(*kind, system)).into_iter().collect();
    let extra = extras::ALL.iter().find(|kind| {
        design.extras = vec![Chosen::new(**kind, system)];
        goes(&design)
    });
    let pocket = pocket.map(|kind| ("pocket", *kind as &dyn Kind));
    let extra = extra.map(|kind| ("extra", *kind as &dyn Kind));
    pocket.into_iter().chain(extra).collect()
}

/// What a file says besides the values.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Remarks {
    None,
    Short,
    Whole,
}

/// A stretch of a file: a header and the keys under it.
struct Block<'a> {
    header: String,
    kind: Option<&'a dyn Kind>,
    params: &'a [Param],
    values: Cow<'a, Values>,
    /// Whether it is only proposed, behind a `#`.
    is_proposal: bool,
}

impl Block<'_> {
    /// What a length comes to that is left out.
    fn usual(&self, key: &str, system: System) -> Option<Length> {
        let section = self.header.trim_matches(['[', ']']);
        Some(usual(section, self.kind?, key)?.on(system))
    }
}

struct Writer {
    text: String,
    units: Units,
    remarks: Remarks,
}

impl Writer {
    fn file(&mut self, design: &Design) {
        self.keys(&Block {
            header: String::new(),
            kind: None,
            params: HEAD,
            values: Cow::Owned(head(design)),
            is_proposal: false,
        });
        let proposed = if self.remarks == Remarks::Short { proposals(design) } else { Vec::new() };
        for section in SECTIONS {
            let blocks = self.blocks(section, design, &proposed);
            if blocks.is_empty() {
                continue;
            }
            self.text.push('\n');
            if self.remarks != Remarks::None {
                self.remark(section.help);
                self.kinds(section, &blocks);
            }
            for (index, block) in blocks.iter().enumerate() {
                if index > 0 {
                    self.text.push('\n');
                }
                self.block(block);
            }
            if section.key == "edition" && !design.edition.changes.is_empty() {
                self.changes(&design.edition.changes);
            }
        }
    }

    /// What a design has of a section; with remarks also what it could have.
    fn blocks<'a>(
        &self,
        section: &Section,
        design: &'a Design,
        proposed: &[(&'static str, &'static dyn Kind)],
    ) -> Vec<Block<'a>> {
        let system = design.system();
        let chosen = |chosen: &'a Chosen, header: String| {
            let kind = sections::kinds(section).into_iter().find(|kind| kind.name() == chosen.kind);
            let params = kind.map_or(&[][..], Kind::params);
            let values = Cow::Borrowed(&chosen.values);
            Block { header, kind, params, values, is_proposal: false }
        };
        let plain = |params, values| {
            let header = format!("[{}]", section.key);
            Block { header, kind: None, params, values, is_proposal: false }
        };
        let by_role = |params, role: Role, values, is_proposal| {
            let header = format!("[{}.{}]", section.key, role.key());
            Block { header, kind: None, params, values, is_proposal }
        };
        let header = format!("[{}]", section.key);
        let mut blocks: Vec<Block<'a>> = match (section.key, &section.form) {
            ("edition", Form::Values(params)) => {
                let mut values = Values::defaults(params, system);
                values.set("number", Value::Count(design.edition.number));
                values.set("date", Value::Text(design.edition.date.clone()));
                vec![plain(params, Cow::Owned(values))]
            }
            ("allowances", Form::Values(params)) => {
                vec![plain(params, Cow::Borrowed(&design.allowances))]
            }
            ("stitching", Form::Values(params)) => {
                vec![plain(params, Cow::Borrowed(&design.stitching))]
            }
            ("shop", Form::Values(params)) => vec![plain(params, Cow::Borrowed(&design.shop))],
            ("body", _) => vec![chosen(&design.body, header)],
            ("handles", _) => vec![chosen(&design.handles, header)],
            ("closure", _) => vec![chosen(&design.closure, header)],
            ("lining", _) => vec![chosen(&design.lining, header)],
            ("pocket", _) => design
                .pockets
                .iter()
                .map(|pocket| chosen(pocket, "[[pocket]]".to_owned()))
                .collect(),
            ("extra", _) => {
                design.extras.iter().map(|extra| chosen(extra, "[[extra]]".to_owned())).collect()
            }
            ("fabric", _) => {
                let fabrics = design.fabrics.iter();
                fabrics
                    .map(|(role, set)| by_role(FABRIC, *role, Cow::Borrowed(set), false))
                    .collect()
            }
            ("interfacing", _) => {
                let all = design.interfacings.iter();
                all.map(|(role, set)| by_role(INTERFACING, *role, Cow::Borrowed(set), false))
                    .collect()
            }
            _ => Vec::new(),
        };
        if sections::LISTS.iter().any(|(key, _)| *key == section.key) {
            let proposals = match self.remarks {
                Remarks::None => Vec::new(),
                Remarks::Short => proposed
                    .iter()
                    .filter(|(key, _)| *key == section.key)
                    .map(|(_, kind)| *kind)
                    .collect(),
                Remarks::Whole => sections::kinds(section),
            };
            blocks.extend(proposals.into_iter().map(|kind| Block {
                header: format!("[[{}]]", section.key),
                kind: Some(kind),
                params: kind.params(),
                values: Cow::Owned(Values::defaults(kind.params(), system)),
                is_proposal: true,
            }));
        }
        if self.remarks != Remarks::None && section.key == "interfacing" {
            let values = Cow::Owned(Values::defaults(INTERFACING, system));
            blocks.push(by_role(INTERFACING, Role::Outside, values, true));
        }
        blocks
    }

    /// The kinds that a section chooses from.
    fn kinds(&mut self, section: &Section, blocks: &[Block<'_>]) {
        let kinds = sections::kinds(section);
        if kinds.len() < 2 && !blocks.iter().any(|block| block.is_proposal) {
            return;
        }
        let is_shown = |kind: &dyn Kind| {
            blocks.iter().filter_map(|block| block.kind).any(|shown| shown.name() == kind.name())
        };
        let (shown, others): (Vec<&dyn Kind>, Vec<&dyn Kind>) =
            kinds.into_iter().partition(|kind| self.remarks == Remarks::Whole || is_shown(*kind));
        for kind in shown {
            self.remark(&format!("kind = \"{}\": {}", kind.name(), kind.help()));
        }
        if !others.is_empty() {
            let names = nearest::list(others.iter().map(|kind| kind.name()));
            self.remark(&format!("Other kinds: {names}."));
        }
    }

    fn block(&mut self, block: &Block<'_>) {
        let mark = if block.is_proposal { "#" } else { "" };
        self.text.push_str(&format!("{mark}{}\n", block.header));
        if let Some(kind) = block.kind {
            self.text.push_str(&format!("{mark}kind = \"{}\"\n", kind.name()));
        }
        self.keys(block);
    }

    fn keys(&mut self, block: &Block<'_>) {
        let mark = if block.is_proposal { "#" } else { "" };
        for param in block.params {
            let value = block.values.get(param.key);
            let spelled = value.and_then(|value| literal(value, self.units));
            if self.remarks != Remarks::None {
                self.explain(block, param, spelled.is_none());
            }
            if let Some(spelled) = spelled {
                self.text.push_str(&format!("{mark}{} = {spelled}\n", param.key));
            }
        }
    }

    /// The remark above a key.
    fn explain(&mut self, block: &Block<'_>, param: &Param, is_left_out: bool) {
        let start = if is_left_out {
            let usual = block.usual(param.key, self.units.system());
            let comes_to = usual
                .map(|usual| format!(", and comes to {}", show_length(usual, self.units.system())))
                .unwrap_or_default();
            format!("{} (left out here{comes_to}): ", param.key)
        } else {
            String::new()
        };
        let words = values::words(param);
        if !words.is_empty() && !matches!(param.quantity, Quantity::Thing { .. }) {
            self.remark(&format!("{start}{}", param.help));
            for (word, meaning) in words {
                self.remark(&format!("  \"{word}\": {meaning}"));
            }
        } else {
            let takes = match param.quantity {
                // The value itself shows what these take.
                Quantity::Flag { .. } | Quantity::Text { .. } => String::new(),
                _ => format!(" Takes {}.", values::range(param, self.units)),
            };
            self.remark(&format!("{start}{}{takes}", param.help));
        }
    }

    fn changes(&mut self, changes: &[String]) {
        let list: Vec<String> =
            changes.iter().map(|text| format!("    {},\n", quoted(text))).collect();
        self.text.push_str(&format!("{CHANGES} = [\n{}]\n", list.concat()));
    }

    /// A remark, on as many lines as it needs.
    fn remark(&mut self, text: &str) {
        let indent = text.len() - text.trim_start().len();
        let start = format!("# {}", " ".repeat(indent));
        let mut line = start.clone();
        for word in text.split_whitespace() {
            if line.len() > start.len() && line.chars().count() + 1 + word.chars().count() > WIDTH {
                self.text.push_str(line.trim_end());
                self.text.push('\n');
                line.clone_from(&start);
            }
            if line.len() > start.len() {
                line.push(' ');
            }
            line.push_str(word);
        }
        self.text.push_str(line.trim_end());
        self.text.push('\n');
    }
}

/// What stands before the first section.
fn head(design: &Design) -> Values {
    let units = match design.units {
        Units::Inch => "inch",
        Units::Cm => "cm",
        Units::Mm => "mm",
    };
    Values::defaults(HEAD, design.system())
        .with("title", Value::Text(design.title.clone()))
        .with("about", Value::Text(design.about.clone()))
        .with("units", Value::Choice(units))
}

/// A value as it stands in a file; nothing for a length that is left out.
pub fn literal(value: &Value, units: Units) -> Option<String> {
    Some(match value {
        Value::Length(length) => spelled(*length, units),
        Value::Absent => return None,
        Value::Count(count) => count.to_string(),
        Value::Choice(word) => quoted(word),
        Value::Flag(flag) => flag.to_string(),
        Value::Text(text) => quoted(text),
        Value::Percent(share) => values::percent_shown(*share),
        Value::Weight(weight) => quoted(&spell_weight(*weight)),
    })
}

/// A length as it stands in a file, exactly: a number in the design's unit where it has few
/// digits, else a text with its unit.
pub(crate) fn spelled(length: Length, units: Units) -> String {
    if units.system() == System::Inch && Ruler::SIXTEENTH_INCH.is_on(length) {
        let number = Ruler::SIXTEENTH_INCH.show_number(length);
        let is_whole = number.bytes().all(|b| b.is_ascii_digit());
        return if is_whole { number } else { quoted(&number) };
    }
    match units {
        Units::Inch => quoted(&format!("{} mm", decimal(length.to_nm(), 6))),
        Units::Cm => decimal(length.to_nm(), 7),
        Units::Mm => decimal(length.to_nm(), 6),
    }
}

/// `count` with a point before its last `places` digits, without zeros at the end.
fn decimal(count: i64, places: usize) -> String {
    let digits = format!("{:0>1$}", count.unsigned_abs(), places + 1);
    let (whole, part) = digits.split_at(digits.len() - places);
    let sign = if count < 0 { "-" } else { "" };
    match part.trim_end_matches('0') {
        "" => format!("{sign}{whole}"),
        part => format!("{sign}{whole}.{part}"),
    }
}

/// A text as TOML quotes it.
pub(crate) fn quoted(text: &str) -> String {
    toml::Value::String(text.to_owned()).to_string()
}

#[cfg(test)]
mod tests {
    use super::*;
    use measure::parse_length;
    use proptest::prelude::*;

    #[test]
    fn lengths_are_spelled_as_a_person_would() {
        let cases = [
            (Length::inch(16), Units::Inch, "16"),
            (Length::inch_frac(9, 2), Units::Inch, "\"4 1/2\""),
            (Length::nm(2_500_000), Units::Inch, "\"2.5 mm\""),
            (Length::ZERO, Units::Inch, "0"),
            (Length::mm(12), Units::Cm, "1.2"),
            (Length::mm(400), Units::Mm, "400"),
            (Length::inch_frac(1, 8), Units::Mm, "3.175"),
        ];
        for (length, units, expected) in cases {
            assert_eq!(spelled(length, units), expected);
        }
    }

    proptest! {
        #[test]
        fn every_length_is_spelled_exactly(nm in 0_i64..100_000_000_000) {
            for units in Units::ALL {
                let text = spelled(Length::nm(nm), units);
                let length = parse_length(text.trim_matches('"'), units);
                prop_assert_eq!(length, Ok(Length::nm(nm)), "{}", text);
            }
        }
    }
}
