//! Reads a design file, and reports everything that is wrong with it at once.

use std::ops::Range;

use bag::design::{FABRIC, INTERFACING};
use bag::kinds::{Kind, Param, Value, Values};
use bag::{Chosen, Design, Edition, Role, bodies};
use measure::Units;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

use crate::document;
use crate::family::{OPTION, SIZE};
use crate::nearest;
use crate::problem::{Problem, Source};
use crate::sections::{self, CHANGES, Form, HEAD, LONGEST_LIST, SECTIONS};
use crate::values::{self, clean_text, found, shown};

/// The most problems that are told at once; a file with more is another kind of file.
const MOST: usize = 100;

/// Reads the text of a design file; `file` is its name for messages.
///
/// # Errors
/// Every problem there is (the first hundred that are met), in the order of the file. When the
/// file is no TOML, only what keeps it from being read as such.
pub fn read_design(file: &str, text: &str) -> Result<Design, Vec<Problem>> {
    let source = Source { file, text };
    let (document, problems) = document::parse(source)?;
    let mut reader = Reader { source, units: None, problems: Vec::new() };
    let design = reader.design(document.get_ref());
    // What the TOML parser made of a value without quotes is not worth a second problem.
    let is_new = |problem: &Problem| problems.iter().all(|known| known.line != problem.line);
    reader.problems.retain(is_new);
    reader.problems.extend(problems);
    match design {
        Some(design) if reader.problems.is_empty() => Ok(design),
        _ => {
            reader.problems.sort_by_key(|problem| (problem.line, problem.column));
            Err(reader.problems)
        }
    }
}

/// Reads the tables of a file that has been followed already.
pub(crate) fn read_table(source: Source<'_>, table: &DeTable<'_>) -> Result<Design, Vec<Problem>> {
    let mut reader = Reader { source, units: None, problems: Vec::new() };
    match reader.design(table) {
        Some(design) if reader.problems.is_empty() => Ok(design),
        _ => Err(reader.problems),
    }
}

type Item<'a> = Spanned<DeValue<'a>>;

struct Reader<'a> {
    source: Source<'a>,
    /// The unit of numbers without one, once it is known.
    units: Option<Units>,
    problems: Vec<Problem>,
}

impl Reader<'_> {
    /// Whether no more problems are taken.
    fn is_full(&self) -> bool {
        self.problems.len() >= MOST
    }

    fn report(&mut self, span: Range<usize>, message: impl Into<String>, hint: impl Into<String>) {
        if !self.is_full() {
            self.problems.push(self.source.problem(span, message, hint));
        }
    }

    /// The whole design; nothing when there is no body to build it on, which is reported.
    fn design(&mut self, file: &DeTable<'_>) -> Option<Design> {
        self.unknown_keys(file);
        self.units = self.units(file);
        let head = self.head(file);
        let body = self.body(file);
        let units = self.units.unwrap_or(Units::Inch);
        let kind = body.as_ref().map_or(bodies::ALL[0].name(), |body| body.kind);
        let mut design = Design::of(bodies::find(kind)?, units);
        let system = design.system();
        for (key, slot) in [("title", &mut design.title), ("about", &mut design.about)] {
            let text = head.text(key);
            if !text.is_empty() {
                text.clone_into(slot);
            }
        }
        for section in SECTIONS {
            let Some(item) = file.get(section.key) else { continue };
            match (section.key, &section.form) {
                ("edition", Form::Values(params)) => design.edition = self.edition(item, params),
                ("pocket", _) => design.pockets = self.list(item, ("pocket", "pockets")),
                ("extra", _) => design.extras = self.list(item, ("extra", "extras")),
                ("handles", _) => self.choose(&mut design.handles, "handles", item),
                ("closure", _) => self.choose(&mut design.closure, "closure", item),
                ("lining", _) => self.choose(&mut design.lining, "lining", item),
                ("fabric", _) => self.fabrics(&mut design, item),
                ("interfacing", _) => self.interfacings(&mut design, item),
                (key, Form::Values(params)) => {
                    let mut set = Values::defaults(params, system);
                    self.section(&mut set, &format!("[{key}]"), item, params);
                    match key {
                        "allowances" => design.allowances = set,
                        "stitching" => design.stitching = set,
                        _ => design.shop = set,
                    }
                }
                _ => {}
            }
        }
        design.body = body?;
        Some(design)
    }

    /// Reports keys of the file itself that mean nothing.
    fn unknown_keys(&mut self, file: &DeTable<'_>) {
        let known = || {
            let sections = SECTIONS.iter().map(|section| section.key);
            HEAD.iter().map(|param| param.key).chain(sections).chain([SIZE, OPTION])
        };
        for key in file.keys() {
            let word = key.get_ref();
            if self.is_full() {
                return;
            }
            if known().all(|known| known != word) {
                // A key of the body that was written above its section is a likely slip.
                let hint = nearest::hint(word, known().collect::<Vec<_>>(), "a design file takes");
                self.report(
                    key.span(),
                    format!("a design file has no key `{}`", shown(word)),
                    hint,
                );
            }
        }
    }

    fn units(&mut self, file: &DeTable<'_>) -> Option<Units> {
        let Some(item) = file.get("units") else {
            let hint = "write `units = \"inch\"` (or \"cm\" or \"mm\") at the top: it says what a \
                        number without a unit means";
            self.report(0..0, "the file does not name its `units`", hint);
            return None;
        };
        let param = HEAD.iter().find(|param| param.key == "units")?;
        match values::read(None, param, item.get_ref()) {
            Ok(Value::Choice("inch")) => Some(Units::Inch),
            Ok(Value::Choice("cm")) => Some(Units::Cm),
            Ok(Value::Choice("mm")) => Some(Units::Mm),
            Ok(_) => None,
            Err(fault) => {
                self.report(item.span(), fault.message, fault.hint);
                None
            }
        }
    }

    /// Title and about.
    fn head(&mut self, file: &DeTable<'_>) -> Values {
        let system = self.units.unwrap_or(Units::Inch).system();
        let mut head = Values::defaults(HEAD, system);
        for param in HEAD.iter().filter(|param| param.key != "units") {
            if let Some(item) = file.get(param.key) {
                self.set(&mut head, param, item);
            }
        }
        head
    }

    fn body(&mut self, file: &DeTable<'_>) -> Option<Chosen> {
        if let Some(item) = file.get("body") {
            return self.chosen("body", "[body]", item);
        }
        let kinds = nearest::list(bodies::ALL.iter().map(|kind| kind.name()));
        let hint = format!("add a line `[body]` and under it `kind = …`, one of {kinds}");
        let end = self.source.text.trim_end().len();
        self.report(end..end, "the file has no section [body]", hint);
        None
    }

    fn choose(&mut self, slot: &mut Chosen, section: &str, item: &Item<'_>) {
        if let Some(chosen) = self.chosen(section, &format!("[{section}]"), item) {
            *slot = chosen;
        }
    }

    /// A kind with its values.
    fn chosen(&mut self, section: &str, label: &str, item: &Item<'_>) -> Option<Chosen> {
        let Form::Kind(kinds) = sections::find(section)?.form else { return None };
        let kinds = kinds();
        let table = self.table(label, item)?;
        let names = || kinds.iter().map(|kind| kind.name()).collect::<Vec<_>>();
        let Some(named) = table.get("kind") else {
            let hint = format!("write `kind = …`, one of {}", nearest::list(names()));
            self.report(item.span(), format!("{label} does not say its `kind`"), hint);
            return None;
        };
        let DeValue::String(word) = named.get_ref() else {
            let message =
                format!("`kind` should be a word in quotes, not {}", found(named.get_ref()));
            let hint = format!("{label} is one of {}", nearest::list(names()));
            self.report(named.span(), message, hint);
            return None;
        };
        let mut meant = word.as_ref();
        if !names().contains(&meant) {
            let hint = nearest::hint(word, names(), &format!("{label} is one of"));
            self.report(named.span(), format!("{label} has no kind `{}`", shown(word)), hint);
            // The rest is read as the kind that was probably meant, so that its slips are told too.
            meant = nearest(word, names())?;
        }
        let kind = kinds.iter().find(|kind| kind.name() == meant)?;
        let system = self.units.unwrap_or(Units::Inch).system();
        let mut chosen = Chosen::new(*kind, system);
        for (key, item) in table {
            if key.get_ref() == "kind" {
                continue;
            }
            let label = format!("{label} of kind `{}`", kind.name());
            match kind.params().iter().find(|param| param.key == key.get_ref()) {
                Some(param) => self.set(&mut chosen.values, param, item),
                None => self.no_such_key(&label, key, kind.params(), Some(&kinds)),
            }
        }
        Some(chosen)
    }

    /// The kinds of a section that may be written several times: its key, and what they are called.
    fn list(&mut self, item: &Item<'_>, (key, several): (&'static str, &str)) -> Vec<Chosen> {
        // A single one may also be written as `[pocket]`.
        let DeValue::Array(list) = item.get_ref() else {
            return self.chosen(key, &format!("[{key}]"), item).into_iter().collect();
        };
        if let Some(first) = list.get(LONGEST_LIST) {
            let message = format!("there are {} {several}", list.len());
            self.report(first.span(), message, format!("at most {LONGEST_LIST} are taken"));
            return Vec::new();
        }
        let header = format!("[[{key}]]");
        list.iter().filter_map(|item| self.chosen(key, &header, item)).collect()
    }

    fn edition(&mut self, item: &Item<'_>, params: &[Param]) -> Edition {
        let mut edition = Edition { number: 1, ..Edition::default() };
        let Some(table) = self.table("[edition]", item) else { return edition };
        let system = self.units.unwrap_or(Units::Inch).system();
        let mut set = Values::defaults(params, system);
        for (key, item) in table {
            match (params.iter().find(|param| param.key == key.get_ref()), item.get_ref()) {
                (None, _) if key.get_ref() == CHANGES => edition.changes = self.changes(item),
                (None, _) => self.no_such_key("[edition]", key, params, None),
                // TOML knows dates; a day without quotes is as good as one with them.
                (Some(param), DeValue::Datetime(day)) if param.key == "date" => {
                    set.set(param.key, Value::Text(day.to_string()));
                }
                (Some(param), _) => self.set(&mut set, param, item),
            }
        }
        edition.number = set.count("number");
        set.text("date").clone_into(&mut edition.date);
        edition
    }

    fn changes(&mut self, item: &Item<'_>) -> Vec<String> {
        let hint = format!(
            "write a list of at most {LONGEST_LIST} texts, as in `{CHANGES} = [\"longer straps\"]`"
        );
        let DeValue::Array(list) = item.get_ref() else {
            let message = format!("`{CHANGES}` should be a list, not {}", found(item.get_ref()));
            self.report(item.span(), message, hint);
            return Vec::new();
        };
        if let Some(first) = list.get(LONGEST_LIST) {
            self.report(first.span(), format!("`{CHANGES}` has {} lines", list.len()), &*hint);
        }
        let mut changes = Vec::new();
        for item in list.iter().take(LONGEST_LIST) {
            match item.get_ref() {
                DeValue::String(text) => match clean_text(text, 200) {
                    Ok(text) => changes.push(text),
                    Err(message) => self.report(item.span(), message, &*hint),
                },
                other => {
                    let message =
                        format!("a change should be a text in quotes, not {}", found(other));
                    self.report(item.span(), message, &*hint);
                }
            }
        }
        changes
    }

    /// The fabrics, over those that every design starts with.
    fn fabrics(&mut self, design: &mut Design, item: &Item<'_>) {
        for (role, item) in self.by_role("fabric", item) {
            let system = design.system();
            let mut set = Values::defaults(FABRIC, system);
            let label = format!("[fabric.{}]", role.key());
            self.section(&mut set, &label, item, FABRIC);
            self.usable_within_width(&label, item, &set);
            self.same_name(design, role, item, &set);
            design.fabrics.insert(role, set);
        }
    }

    fn interfacings(&mut self, design: &mut Design, item: &Item<'_>) {
        for (role, item) in self.by_role("interfacing", item) {
            let mut set = Values::defaults(INTERFACING, design.system());
            let label = format!("[interfacing.{}]", role.key());
            self.section(&mut set, &label, item, INTERFACING);
            self.usable_within_width(&label, item, &set);
            design.interfacings.insert(role, set);
        }
    }

    /// The sections for parts of the bag below `section`, in the order of the parts.
    fn by_role<'b, 'c>(&mut self, section: &str, item: &'b Item<'c>) -> Vec<(Role, &'b Item<'c>)> {
        let Some(table) = self.table(&format!("[{section}]"), item) else { return Vec::new() };
        let keys = || Role::ALL.iter().map(|role| role.key()).collect::<Vec<_>>();
        for key in table.keys() {
            let word = key.get_ref();
            if !self.is_full() && !keys().contains(&&**word) {
                let what = format!("write [{section}.PART], where PART is one of");
                let hint = nearest::hint(word, keys(), &what);
                let message = format!("[{section}] knows no part `{}`", shown(word));
                self.report(key.span(), message, hint);
            }
        }
        let parts = Role::ALL.iter().filter_map(|role| Some((*role, table.get(role.key())?)));
        parts.collect()
    }

    /// Nothing is usable beyond the selvedges.
    fn usable_within_width(&mut self, label: &str, item: &Item<'_>, set: &Values) {
        let (Some(usable), width) = (set.optional("usable"), set.length("width")) else { return };
        if usable <= width {
            return;
        }
        let place = item.get_ref().get("usable").map_or(item.span(), Spanned::span);
        let system = self.units.unwrap_or(Units::Inch).system();
        let [usable, width] = [usable, width].map(|l| measure::show_length(l, system));
        let message = format!("{label} has {usable} usable of a bought `width` of {width}");
        self.report(place, message, "give the bought width, or leave `usable` out");
    }

    /// Two different fabrics of one name could not be told apart on the shopping list.
    fn same_name(&mut self, design: &Design, role: Role, item: &Item<'_>, set: &Values) {
        let Some(named) = item.get_ref().get("name") else { return };
        let name = set.text("name").to_lowercase();
        let is_double = |(other, values): &(&Role, &Values)| {
            **other != role && *values != set && values.text("name").to_lowercase() == name
        };
        if let Some((other, _)) = design.fabrics.iter().find(is_double) {
            let message = format!(
                "[fabric.{}] and [fabric.{}] are both called `{}`, but differ",
                other.key(),
                role.key(),
                shown(set.text("name"))
            );
            let hint = "give them different names, or the same values if they are one fabric";
            self.report(named.span(), message, hint);
        }
    }

    /// Sets what a section with always the same parameters holds.
    fn section(&mut self, set: &mut Values, label: &str, item: &Item<'_>, params: &[Param]) {
        let Some(table) = self.table(label, item) else { return };
        for (key, item) in table {
            match params.iter().find(|param| param.key == key.get_ref()) {
                Some(param) => self.set(set, param, item),
                None => self.no_such_key(label, key, params, None),
            }
        }
    }

    fn set(&mut self, set: &mut Values, param: &Param, item: &Item<'_>) {
        match values::read(self.units, param, item.get_ref()) {
            Ok(value) => {
                set.set(param.key, value);
            }
            Err(fault) => self.report(item.span(), fault.message, fault.hint),
        }
    }

    fn table<'b, 'c>(&mut self, label: &str, item: &'b Item<'c>) -> Option<&'b DeTable<'c>> {
        if let DeValue::Table(table) = item.get_ref() {
            return Some(table);
        }
        let message = format!("{label} should be a section, not {}", found(item.get_ref()));
        let hint = format!("write a line `{label}`, and its keys under it, each on its own line");
        self.report(item.span(), message, hint);
        None
    }

    /// Reports a key that the section does not have; `kinds` are those it could have chosen.
    fn no_such_key(
        &mut self,
        label: &str,
        key: &Spanned<toml::de::DeString<'_>>,
        params: &[Param],
        kinds: Option<&[&dyn Kind]>,
    ) {
        if self.is_full() {
            return;
        }
        let word = key.get_ref();
        let mut known: Vec<&str> = params.iter().map(|param| param.key).collect();
        known.extend(kinds.map(|_| "kind"));
        known.extend((label == "[edition]").then_some(CHANGES));
        let has_it = |kind: &&&dyn Kind| kind.params().iter().any(|param| param.key == word);
        let hint = match kinds.and_then(|kinds| kinds.iter().find(has_it)) {
            Some(kind) => {
                let known = nearest::list(known);
                format!("`{word}` belongs to the kind `{}`; {label} takes {known}", kind.name())
            }
            None => nearest::hint(word, known, &format!("{label} takes")),
        };
        self.report(key.span(), format!("{label} has no key `{}`", shown(word)), hint);
    }
}
