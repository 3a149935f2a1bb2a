//! The workshop file: what somebody is paid, what things cost there, and how long bags took.
//!
//! ```toml
//! hour = "18.00 USD"
//! overhead = 12
//!
//! [prices]
//! "linen canvas" = "14.50 USD per yd"
//! thread = "3.20 USD"
//!
//! [scenario.market]
//! fee = 0
//!
//! [[session]]
//! design = "market-day-bag.toml"
//! took = "5 h 20 min"
//! ```

use bag::kinds::{Param, Quantity, Value};
use measure::{Length, Money};
use packet::earns::{Priced, Rates};
use toml::Spanned;
use toml::de::{DeTable, DeValue};

use crate::document;
use crate::nearest;
use crate::problem::{Problem, Source};
use crate::values::{self, clean_text, found};

/// What a workshop file says.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Workshop {
    /// The rates; none if no `hour` is given.
    pub rates: Option<Rates>,
    /// The same with what differs, by name, in the order of the file.
    pub scenarios: Vec<(String, Rates)>,
    /// The pace in percent, if it is said and not to be learnt.
    pub pace: Option<u32>,
    /// Stitches a minute at which the machine runs.
    pub stitches: Option<u32>,
    /// Minutes of an evening of the class.
    pub evening: Option<u32>,
    /// Minutes of it for setting up and clearing away.
    pub clearing: Option<u32>,
    /// How many bags are made at once.
    pub bags: Option<u32>,
    /// What was logged.
    pub sessions: Vec<Session>,
}

/// One bag, or a part of one, that was made.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Session {
    /// The design file, from the folder of the workshop file.
    pub design: String,
    /// How many bags.
    pub bags: u32,
    /// The id of the first step that was done in it; none for the first of all.
    pub from: Option<String>,
    /// The id of the last.
    pub to: Option<String>,
    /// Seconds that it took.
    pub took: u64,
}

/// Every key of rates, with what it is.
pub(crate) const RATES: &[(&str, &str)] = &[
    ("hour", "What an hour of work is paid, as in `\"18.00 USD\"`; its currency is that of all."),
    ("overhead", "Rent, power, needles, wear: percent of materials and work."),
    ("each", "An amount for each bag besides: label, packing."),
    ("margin", "Percent laid on the cost for the wholesale price."),
    ("retail", "The retail price is so many times the wholesale price; 2 if left out."),
    ("fee", "Percent of the retail price that a shop or a market keeps."),
    ("fee-each", "An amount that it keeps of each sale besides."),
    ("tax", "Percent of tax laid on the retail price."),
    ("batch", "An amount that a batch costs however many bags it has: a stall, photographs."),
    ("asks", "The price before tax that is asked, if it is not the usual one."),
];

pub(crate) const TOP: &[(&str, &str)] = &[
    ("pace", "Your times in percent of the usual ones; learnt from the sessions if left out."),
    ("stitches", "Stitches a minute at which your machine runs; 600 if left out."),
    ("evening", "Minutes of an evening of your class: plans are made for it."),
    ("clearing", "Minutes of each evening for setting up and clearing away; 20 if left out."),
    ("bags", "How many bags you make at once; 1 if left out."),
    (
        "prices",
        "What things cost: the name of a material, with an amount `per yd` or `per m`; `thread` for a spool; what a notion is called for one of it, or for a length of what is sold by length; with its size if sizes cost differently, as in `\"closed-end zip, 12 in long\"`.",
    ),
    ("scenario", "`[scenario.NAME]`: what differs, put side by side."),
    ("session", "`[[session]]`: what was made, and how long it took."),
];

const SESSION: &[(&str, &str)] = &[
    ("design", "The design file, from the folder of this file."),
    ("took", "How long it took, as in `\"5 h 20 min\"`."),
    ("bags", "How many bags were made in it; 1 if left out."),
    ("from", "The id of the first step that was done; the first of all if left out."),
    ("to", "The id of the last step; the last of all if left out."),
];

/// Longest text that is read.
const LONGEST: usize = 200;
/// Most scenarios, sessions and prices.
const MOST: usize = 500;

/// Reads a workshop file.
///
/// # Errors
/// Every problem there is, in the order of the file.
pub fn read_workshop(file: &str, text: &str) -> Result<Workshop, Vec<Problem>> {
    let source = Source { file, text };
    let (document, problems) = document::parse(source)?;
    let mut reader = Reader { source, problems };
    let workshop = reader.workshop(document.get_ref());
    let mut problems = reader.problems;
    problems.sort_by_key(|problem| (problem.line, problem.column));
    if problems.is_empty() { Ok(workshop) } else { Err(problems) }
}

/// The page that explains the file: every key, one line each.
pub fn workshop_page() -> String {
    let mut page = String::from(
        "# The workshop file\n\nOne file says what you are paid, what things cost in your shops, and \
         how long your bags took. `bagwright earns my-bag.toml --workshop my-workshop.toml` reckons \
         with it, and `bagwright takes` takes its pace from it. Taxes and fees are what you write: \
         nothing here knows the rules where you live.\n\n<!-- Generated by `cargo xtask docs`. -->\n\n\
         ```toml\nhour = \"18.00 USD\"\noverhead = 12\nmargin = 30\neach = \"0.80 USD\"\n\n[prices]\n\
         \"linen canvas\" = \"14.50 USD per yd\"\nthread = \"3.20 USD\"\n\"magnetic snap\" = \"1.10 USD\"\nelastic = \"0.90 USD per yd\"\n\"closed-end zip, 12 in long\" = \"3.40 USD\"\n\n\
         [scenario.market]\nfee = 0\nbatch = \"60.00 USD\"\n\n[[session]]\ndesign = \"market-day-bag.toml\"\n\
         took = \"5 h 20 min\"\n```\n",
    );
    for (title, keys) in [
        ("Rates, at the top and under `[scenario.NAME]`", RATES),
        ("At the top", TOP),
        ("Under `[[session]]`", SESSION),
    ] {
        page.push_str(&format!("\n## {title}\n\n| key | is |\n|---|---|\n"));
        for (key, is) in keys {
            page.push_str(&format!("| `{key}` | {is} |\n"));
        }
    }
    page
}

struct Reader<'a> {
    source: Source<'a>,
    problems: Vec<Problem>,
}

type Item<'i> = Spanned<DeValue<'i>>;

impl Reader<'_> {
    fn problem(&mut self, item: &Item<'_>, message: impl Into<String>, hint: impl Into<String>) {
        self.problems.push(self.source.problem(item.span(), message, hint));
    }

    fn workshop(&mut self, table: &DeTable<'_>) -> Workshop {
        self.only(table, "the file", &[RATES, TOP]);
        let prices = table.get("prices").map(|item| self.prices(item)).unwrap_or_default();
        let rates = table.get("hour").and_then(|item| self.money(item)).map(|hour| {
            let rates = Rates { prices, ..Rates::new(hour) };
            self.rates(table, rates)
        });
        let mut scenarios = Vec::new();
        if let (Some(rates), Some(item)) = (&rates, table.get("scenario")) {
            for (name, item) in self.named(item, "scenario") {
                let DeValue::Table(differs) = item.get_ref() else {
                    self.problem(item, "a scenario is a section", "write `[scenario.NAME]`");
                    continue;
                };
                self.only(differs, "[scenario]", &[RATES]);
                let mut own = rates.clone();
                if let Some(hour) = differs.get("hour").and_then(|item| self.money(item)) {
                    own.hour = hour;
                }
                scenarios.push((name, self.rates(differs, own)));
            }
        }
        let currencies = rates.iter().chain(scenarios.iter().map(|(_, rates)| rates));
        let mixed = currencies.clone().any(|it| {
            let own = it.currency();
            let amounts = [it.each, it.fee_each, it.batch].into_iter().chain(it.asks);
            amounts.chain(it.prices.iter().map(|it| it.money)).any(|it| it.currency() != own)
        });
        if mixed {
            let hint = "write every amount in the currency of `hour`";
            self.problems.push(self.source.problem(0..0, "this file has several currencies", hint));
        }
        Workshop {
            scenarios,
            pace: table.get("pace").and_then(|item| self.count(item, "pace", 10, 2_000)),
            stitches: table
                .get("stitches")
                .and_then(|item| self.count(item, "stitches", 50, 5_000)),
            evening: table.get("evening").and_then(|item| self.count(item, "evening", 20, 1_440)),
            clearing: table.get("clearing").and_then(|item| self.count(item, "clearing", 0, 240)),
            bags: table.get("bags").and_then(|item| self.count(item, "bags", 1, 500)),
            sessions: table.get("session").map(|item| self.sessions(item)).unwrap_or_default(),
            rates,
        }
    }

    /// Keys that are none.
    fn only(&mut self, table: &DeTable<'_>, what: &str, known: &[&[(&str, &str)]]) {
        let known = known.iter().copied().flatten().map(|(key, _)| *key);
        for (key, _) in table {
            let name = key.get_ref().as_ref();
            if !known.clone().any(|it| it == name) {
                let message = format!("{what} has no key `{}`", values::shown(name));
                let hint = nearest::hint(name, known.clone(), &format!("{what} takes"));
                self.problems.push(self.source.problem(key.span(), message, hint));
            }
        }
    }

    fn named<'t, 'i>(&mut self, item: &'t Item<'i>, what: &str) -> Vec<(String, &'t Item<'i>)> {
        let DeValue::Table(table) = item.get_ref() else {
            let message = format!("[{what}] is a section, not {}", found(item.get_ref()));
            self.problem(item, message, format!("write `[{what}.NAME]`"));
            return Vec::new();
        };
        if table.len() > MOST {
            self.problem(item, format!("[{what}] has more than {MOST} entries"), "write fewer");
            return Vec::new();
        }
        let mut entries: Vec<_> = table.iter().collect();
        entries.sort_by_key(|(key, _)| key.span().start);
        entries.into_iter().map(|(key, item)| (key.get_ref().to_string(), item)).collect()
    }

    fn rates(&mut self, table: &DeTable<'_>, mut rates: Rates) -> Rates {
        let shares = [
            ("overhead", &mut rates.overhead, 100_000),
            ("margin", &mut rates.margin, 100_000),
            ("fee", &mut rates.fee, 9_900),
            ("tax", &mut rates.tax, 10_000),
            ("retail", &mut rates.retail, 10_000),
        ];
        for (key, to, most) in shares {
            if let Some(share) = table.get(key).and_then(|item| self.share(item, key, most)) {
                *to = share;
            }
        }
        for (key, to) in [
            ("each", &mut rates.each),
            ("fee-each", &mut rates.fee_each),
            ("batch", &mut rates.batch),
        ] {
            if let Some(money) = table.get(key).and_then(|item| self.money(item)) {
                *to = money;
            }
        }
        if let Some(asks) = table.get("asks").and_then(|item| self.money(item)) {
            rates.asks = Some(asks);
        }
        rates
    }

    /// Hundredths of a percent, or of one.
    fn share(&mut self, item: &Item<'_>, key: &'static str, most: u32) -> Option<u32> {
        let quantity = Quantity::Percent { most, default: 0 };
        let param = Param { key, label: key, help: "", quantity, grows: None };
        match values::read(None, &param, item.get_ref()) {
            Ok(Value::Percent(share)) => Some(share),
            Ok(_) => None,
            Err(fault) => {
                self.problem(item, fault.message, fault.hint);
                None
            }
        }
    }

    fn count(&mut self, item: &Item<'_>, key: &'static str, least: u32, most: u32) -> Option<u32> {
        let param = Param {
            key,
            label: key,
            help: "",
            quantity: Quantity::Count { least, most, default: least },
            grows: None,
        };
        match values::read(None, &param, item.get_ref()) {
            Ok(Value::Count(count)) => Some(count),
            Ok(_) => None,
            Err(fault) => {
                self.problem(item, fault.message, fault.hint);
                None
            }
        }
    }

    fn text<'t>(&mut self, item: &'t Item<'_>) -> Option<&'t str> {
        let DeValue::String(text) = item.get_ref() else {
            let message = format!("this should be a text, not {}", found(item.get_ref()));
            self.problem(item, message, "put it in quotes");
            return None;
        };
        if let Err(message) = clean_text(text, LONGEST) {
            self.problem(item, message, "write less");
            return None;
        }
        Some(text)
    }

    fn money(&mut self, item: &Item<'_>) -> Option<Money> {
        let text = self.text(item)?;
        match Money::parse(text) {
            Ok(money) => Some(money),
            Err(error) => {
                self.problem(item, error.to_string(), "as in `\"12.50 USD\"`");
                None
            }
        }
    }

    fn prices(&mut self, item: &Item<'_>) -> Vec<Priced> {
        let mut prices = Vec::new();
        for (thing, item) in self.named(item, "prices") {
            let Some(text) = self.text(item) else { continue };
            let (amount, unit) = match text.split_once(" per ") {
                Some((amount, unit)) => (amount, Some(unit.trim())),
                None => (text, None),
            };
            let per = match unit {
                None => None,
                Some("yd" | "yard") => Some(Length::YARD),
                Some("m" | "metre" | "meter") => Some(Length::mm(1_000)),
                Some(other) => {
                    let message = format!("nothing is sold by `{}`", values::shown(other));
                    self.problem(item, message, "write `per yd`, `per m`, or the price of one");
                    continue;
                }
            };
            match Money::parse(amount) {
                Ok(money) => prices.push(Priced { thing, money, per }),
                Err(error) => {
                    self.problem(item, error.to_string(), "as in `\"14.50 USD per yd\"`");
                }
            }
        }
        prices
    }

    fn sessions(&mut self, item: &Item<'_>) -> Vec<Session> {
        let DeValue::Array(list) = item.get_ref() else {
            self.problem(item, "sessions are a list", "write `[[session]]`");
            return Vec::new();
        };
        let mut sessions = Vec::new();
        for item in list.iter().take(MOST) {
            let DeValue::Table(table) = item.get_ref() else {
                self.problem(item, "a session is a section", "write `[[session]]`");
                continue;
            };
            self.only(table, "[[session]]", &[SESSION]);
            let text = |reader: &mut Self, key: &str| {
                table.get(key).and_then(|item| reader.text(item)).map(str::to_owned)
            };
            let (design, from, to) = (text(self, "design"), text(self, "from"), text(self, "to"));
            let took = table.get("took").and_then(|item| self.time(item));
            let bags = match table.get("bags") {
                Some(item) => self.count(item, "bags", 1, 500),
                None => Some(1),
            };
            for key in ["design", "took"].into_iter().filter(|key| !table.contains_key(*key)) {
                self.problem(item, format!("this session has no `{key}`"), "add it");
            }
            if let (Some(design), Some(took), Some(bags)) = (design, took, bags) {
                sessions.push(Session { design, bags, from, to, took });
            }
        }
        sessions
    }

    fn time(&mut self, item: &Item<'_>) -> Option<u64> {
        let text = self.text(item)?;
        let time = read_time(text);
        if time.is_none() {
            let message = format!("`{}` is no time", values::shown(text));
            self.problem(item, message, "as in `\"5 h 20 min\"` or `\"45 min\"`");
        }
        time
    }
}

/// Seconds of "5 h 20 min", "2h", "45 min"; nothing for anything else, or for more than a thousand
/// hours.
pub fn read_time(text: &str) -> Option<u64> {
    let mut rest = text.trim();
    let mut minutes = 0_u64;
    let mut any = false;
    for (words, each) in [(&["hours", "hour", "h"][..], 60), (&["minutes", "min", "m"][..], 1)] {
        let digits = rest.len() - rest.trim_start_matches(|c: char| c.is_ascii_digit()).len();
        let after = rest[digits..].trim_start();
        let Some(word) = words.iter().find(|word| after.starts_with(**word)) else { continue };
        let number: u64 = rest[..digits].parse().ok().filter(|number| *number <= 60_000)?;
        minutes += number * each;
        rest = after[word.len()..].trim_start();
        any = true;
    }
    (any && rest.is_empty() && minutes > 0 && minutes <= 60_000).then_some(minutes * 60)
}

#[cfg(test)]
mod tests {
    use super::*;
    use expect_test::expect;

    const FILE: &str = r#"
hour = "18.00 USD"
overhead = 12
retail = 2.2
pace = 120
[prices]
"linen canvas" = "14.50 USD per yd"
thread = "3.20 USD"
[scenario.market]
fee = 0
asks = "48.00 USD"
[scenario.online]
fee = 6.5
fee-each = "0.25 USD"
[[session]]
design = "bag.toml"
took = "5 h 20 min"
"#;

    #[test]
    fn a_workshop_is_read() {
        let workshop = read_workshop("w.toml", FILE).expect("it can be read");
        let rates = workshop.rates.expect("it has a wage");
        assert_eq!((rates.overhead, rates.retail, rates.prices.len()), (1_200, 220, 2));
        assert_eq!(rates.prices[0].per, Some(Length::YARD));
        let names: Vec<_> = workshop.scenarios.iter().map(|(name, _)| name.as_str()).collect();
        assert_eq!(names, ["market", "online"]);
        assert_eq!(workshop.scenarios[1].1.fee, 650);
        assert_eq!(workshop.scenarios[1].1.overhead, 1_200);
        assert_eq!((workshop.pace, workshop.sessions[0].took), (Some(120), 19_200));
    }

    #[test]
    fn slips_are_told_with_their_places() {
        let text = "hour = \"18\"\noverhaed = 3\n[prices]\ncanvas = \"3 USD per ell\"\n[[session]]\ntook = \"long\"\n";
        let problems = read_workshop("w.toml", text).expect_err("there are slips");
        let told: Vec<String> = problems.iter().map(ToString::to_string).collect();
        expect![[r#"
            w.toml:1:8: `18`: has no currency; write an amount and a three-letter currency code, as in `12.50 USD`
              1 | hour = "18"
                |        ^^^^
                = as in `"12.50 USD"`
            w.toml:2:1: the file has no key `overhaed`
              2 | overhaed = 3
                | ^^^^^^^^
                = did you mean `overhead`? the file takes hour, overhead, each, margin, retail, fee, fee-each, tax, batch, asks, pace, stitches, evening, clearing, bags, prices, scenario, session
            w.toml:4:10: nothing is sold by `ell`
              4 | canvas = "3 USD per ell"
                |          ^^^^^^^^^^^^^^^
                = write `per yd`, `per m`, or the price of one
            w.toml:5:1: this session has no `design`
              5 | [[session]]
                | ^^^^^^^^^^^
                = add it
            w.toml:6:8: `long` is no time
              6 | took = "long"
                |        ^^^^^^
                = as in `"5 h 20 min"` or `"45 min"`"#]]
        .assert_eq(&told.join("\n"));
    }

    #[test]
    fn times_are_read() {
        let times =
            [("5 h 20 min", 19_200), ("2h", 7_200), ("45 min", 2_700), ("1 hour 5 m", 3_900)];
        for (text, seconds) in times {
            assert_eq!(read_time(text), Some(seconds), "{text}");
        }
        for text in
            ["", "5", "h", "-1 h", "5 h 20", "20 min 5 h", "99999999999999999999 h", "0 min"]
        {
            assert_eq!(read_time(text), None, "{text}");
        }
    }
}
