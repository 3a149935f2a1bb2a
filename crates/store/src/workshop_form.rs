//! What a workshop file says of rates, evenings and scenarios, key by key as it was typed: so that a
//! form can show it, change it, and have it read by the same rules as the file.

use std::collections::BTreeMap;

use measure::Length;
use packet::earns::Priced;
use toml::de::{DeTable, DeValue};

use crate::typed::Refused;
use crate::workshop::{RATES, TOP, Workshop, read_workshop};

/// Keys at the top that hold a number rather than a list or sections.
const NUMBERS: [&str; 5] = ["pace", "stitches", "evening", "clearing", "bags"];

/// Keys of rates that hold a share.
const SHARES: [&str; 5] = ["overhead", "margin", "retail", "fee", "tax"];

/// A key that may be typed, with what it is.
pub type WorkshopKey = (&'static str, &'static str);

/// The keys of rates, at the top and in each scenario.
pub fn workshop_rates() -> &'static [WorkshopKey] {
    RATES
}

/// The keys that hold a number at the top alone.
pub fn workshop_numbers() -> impl Iterator<Item = &'static WorkshopKey> {
    TOP.iter().filter(|(key, _)| NUMBERS.contains(key))
}

/// Values as typed, by key.
pub type Typed = BTreeMap<String, String>;

/// Rates, evenings and scenarios as they were typed.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct WorkshopForm {
    /// What stands at the top.
    pub top: Typed,
    /// What differs in each scenario, by its name.
    pub scenarios: Vec<(String, Typed)>,
}

/// What is wrong with one value of the form.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FormSlip {
    /// Which scenario, from zero; none for the top.
    pub scenario: Option<usize>,
    /// The key; empty for the name of a scenario.
    pub key: String,
    /// What is wrong, and what would be right.
    pub refused: Refused,
}

/// A scenario, if it is of one, and a key.
type At<'a> = (Option<usize>, &'a str);

impl WorkshopForm {
    /// From the text of a workshop file; what is not understood is left out.
    pub fn of(text: &str) -> Self {
        let Ok(document) = DeTable::parse(text) else { return Self::default() };
        let table = document.get_ref();
        let mut scenarios: Vec<(usize, String, Typed)> = Vec::new();
        if let Some(DeValue::Table(named)) = table.get("scenario").map(toml::Spanned::get_ref) {
            for (name, item) in named {
                if let DeValue::Table(differs) = item.get_ref() {
                    let at = name.span().start;
                    scenarios.push((at, name.get_ref().to_string(), typed(differs)));
                }
            }
        }
        scenarios.sort_by_key(|(at, ..)| *at);
        let scenarios = scenarios.into_iter().map(|(_, name, typed)| (name, typed)).collect();
        Self { top: typed(table), scenarios }
    }

    /// As the text of a workshop file.
    pub fn text(&self) -> String {
        self.lines().into_iter().map(|(line, _)| line + "\n").collect()
    }

    /// Every line, with the scenario and key that it holds.
    fn lines(&self) -> Vec<(String, At<'_>)> {
        let mut lines = Vec::new();
        // The wage first: what is wrong with the file as a whole is told at its first line.
        let first = |(key, _): &(&String, &String)| key.as_str() != "hour";
        let mut top: Vec<_> = self.top.iter().collect();
        top.sort_by_key(first);
        for (key, value) in top {
            lines.push((line(key, value), (None, key.as_str())));
        }
        for (at, (name, differs)) in self.scenarios.iter().enumerate() {
            lines.push((format!("[scenario.{}]", quoted(name)), (Some(at), "")));
            for (key, value) in differs {
                lines.push((line(key, value), (Some(at), key.as_str())));
            }
        }
        lines
    }

    /// Reads it by the rules of the file.
    ///
    /// # Errors
    /// Every slip there is, at its key.
    pub fn read(&self) -> Result<Workshop, Vec<FormSlip>> {
        let lines = self.lines();
        let slip = |scenario, key: &str, message: String, hint: String| FormSlip {
            scenario,
            key: key.to_owned(),
            refused: Refused { message, hint },
        };
        let twice =
            self.scenarios.iter().enumerate().skip(1).find(|(at, (name, _))| {
                self.scenarios[..*at].iter().any(|(other, _)| other == name)
            });
        if let Some((at, (name, _))) = twice {
            let message = format!("there are two scenarios called “{name}”");
            return Err(vec![slip(Some(at), "", message, "give one another name".to_owned())]);
        }
        let workshop = read_workshop("the form", &self.text()).map_err(|problems| {
            let of = |line: usize| lines.get(line.saturating_sub(1)).map(|(_, of)| *of);
            let slips = problems.into_iter().map(|problem| {
                let (scenario, key) = of(problem.line).unwrap_or((None, "hour"));
                slip(scenario, key, problem.message, problem.hint)
            });
            slips.collect::<Vec<_>>()
        })?;
        let any_rate = |typed: &Typed| RATES.iter().any(|(key, _)| typed.contains_key(*key));
        if workshop.rates.is_none()
            && (any_rate(&self.top) || self.scenarios.iter().any(|(_, it)| any_rate(it)))
        {
            let message = "without it nothing can be reckoned".to_owned();
            let hint = "say what an hour of your work is paid, as in 18.00 USD".to_owned();
            return Err(vec![slip(None, "hour", message, hint)]);
        }
        let clearing = workshop.clearing.unwrap_or(packet::takes::CLEARING);
        if workshop.evening.is_some_and(|evening| evening <= clearing) {
            let message = format!("nothing is left beside {clearing} min of clearing");
            return Err(vec![slip(None, "evening", message, "write more".to_owned())]);
        }
        Ok(workshop)
    }
}

/// Prices as the last section of a workshop file; nothing if there are none.
pub fn workshop_prices(prices: &[Priced]) -> String {
    let mut text = String::new();
    for Priced { thing, money, per } in prices {
        let unit = match per {
            None => "",
            Some(per) if *per == Length::YARD => " per yd",
            Some(_) => " per m",
        };
        text.push_str(&format!("{} = \"{money}{unit}\"\n", quoted(thing)));
    }
    if text.is_empty() { text } else { format!("\n[prices]\n{text}") }
}

/// A text on one line in double quotes, which a key may be as well as a value.
fn quoted(text: &str) -> String {
    let mut quoted = String::from("\"");
    for c in text.chars() {
        match c {
            '"' | '\\' => quoted.extend(['\\', c]),
            c if c.is_control() => quoted.push_str(&format!("\\U{:08X}", u32::from(c))),
            c => quoted.push(c),
        }
    }
    quoted + "\""
}

fn line(key: &str, value: &str) -> String {
    let bare = NUMBERS.contains(&key)
        && value.len() <= 9
        && !value.is_empty()
        && value.bytes().all(|byte| byte.is_ascii_digit());
    let plain = value.trim_start_matches('0');
    // "12,5 %", as half of the world writes it.
    let share = value.trim_end_matches('%').trim_end();
    let comma = share.split_once(',').filter(|(whole, part)| {
        let digits = |text: &str| !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
        SHARES.contains(&key) && digits(whole) && digits(part)
    });
    if let Some((whole, part)) = comma {
        return format!("{key} = {}", quoted(&format!("{whole}.{part}")));
    }
    match (bare, plain) {
        (true, "") => format!("{key} = 0"),
        (true, plain) => format!("{key} = {plain}"),
        (false, _) => format!("{key} = {}", quoted(value)),
    }
}

/// The numbers and texts of a section as they were written.
fn typed(table: &DeTable<'_>) -> Typed {
    let known = |key: &str| RATES.iter().any(|(known, _)| *known == key) || NUMBERS.contains(&key);
    let entries = table.iter().filter(|(key, _)| known(key.get_ref()));
    let text = |value: &DeValue<'_>| match value {
        DeValue::String(text) => Some(text.to_string()),
        DeValue::Integer(number) => Some(number.to_string()),
        DeValue::Float(number) => Some(number.to_string()),
        _ => None,
    };
    entries
        .filter_map(|(key, item)| Some((key.get_ref().to_string(), text(item.get_ref())?)))
        .collect()
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn form(top: &[(&str, &str)], scenarios: &[(&str, &[(&str, &str)])]) -> WorkshopForm {
        let typed = |of: &[(&str, &str)]| {
            of.iter().map(|(key, value)| ((*key).to_owned(), (*value).to_owned())).collect()
        };
        let scenarios = scenarios.iter().map(|(name, of)| ((*name).to_owned(), typed(of)));
        WorkshopForm { top: typed(top), scenarios: scenarios.collect() }
    }

    #[test]
    fn what_is_typed_is_read_by_the_rules_of_the_file() {
        let typed = form(
            &[("hour", "18.00 EUR"), ("overhead", "12,5 %"), ("evening", "0150"), ("tax", "20")],
            &[("market day", &[("fee", "0")]), ("shop", &[("fee", "40"), ("fee-each", "1 EUR")])],
        );
        let workshop = typed.read().expect("it can be read");
        let rates = workshop.rates.expect("there is a wage");
        assert_eq!((rates.overhead, rates.tax, workshop.evening), (1_250, 2_000, Some(150)));
        let names: Vec<_> = workshop.scenarios.iter().map(|(name, _)| name.as_str()).collect();
        assert_eq!(names, ["market day", "shop"]);
        assert_eq!(workshop.scenarios[1].1.fee, 4_000);
        assert_eq!(WorkshopForm::of(&typed.text()).scenarios, typed.scenarios);
    }

    #[test]
    fn slips_are_told_at_their_keys() {
        let wrong = form(
            &[("hour", "18"), ("pace", "fast"), ("tax", "7"), ("clearing", "500")],
            &[("fair", &[])],
        );
        let slips = wrong.read().expect_err("there are slips");
        let at: Vec<_> = slips.iter().map(|slip| (slip.scenario, slip.key.as_str())).collect();
        assert_eq!(at, [(None, "hour"), (None, "clearing"), (None, "pace")]);
        assert!(slips[0].refused.message.contains("currency"));
        let wrong = form(&[("hour", "18 EUR")], &[("a", &[]), ("b", &[("fee", "200 %")])]);
        let slips = wrong.read().expect_err("there is a slip");
        assert_eq!((slips[0].scenario, slips[0].key.as_str()), (Some(1), "fee"));
        for (form, key) in [
            (form(&[("tax", "7")], &[]), "hour"),
            (form(&[("evening", "20")], &[]), "evening"),
            (form(&[("hour", "1 EUR"), ("each", "1 USD")], &[]), "hour"),
        ] {
            assert_eq!(form.read().expect_err("a slip")[0].key, key);
        }
        let twice = form(&[("hour", "1 EUR")], &[("a", &[]), ("a", &[])]);
        assert_eq!(twice.read().expect_err("a slip")[0].scenario, Some(1));
    }

    #[test]
    fn prices_are_written_as_they_are_read() {
        let money = |text| measure::Money::parse(text).expect("an amount");
        let priced =
            |thing: &str, text, per| Priced { thing: thing.to_owned(), money: money(text), per };
        let prices = [
            priced("canvas \"red\"", "14.50 USD", Some(Length::YARD)),
            priced("duck", "9 USD", Some(Length::mm(1_000))),
            priced("thread", "3.20 USD", None),
        ];
        let text = format!("hour = \"18 USD\"\n{}", workshop_prices(&prices));
        let read = read_workshop("it", &text).expect("it can be read").rates.expect("a wage");
        let mut again = read.prices;
        again.sort_by(|a, b| a.thing.cmp(&b.thing));
        assert_eq!(again, prices);
        assert_eq!(workshop_prices(&[]), "");
    }

    proptest! {
        /// Whatever is typed comes back as it was, and nothing typed writes another key.
        #[test]
        fn whatever_is_typed_comes_back(value in "(?s).{0,40}", name in "(?s).{1,20}") {
            let typed = form(&[("hour", &value), ("pace", &value)], &[(&name, &[("fee", &value)])]);
            let again = WorkshopForm::of(&typed.text());
            prop_assert_eq!(again.top.get("hour"), Some(&value));
            prop_assert_eq!(&again.scenarios, &typed.scenarios);
            prop_assert_eq!(again.top.len(), 2);
        }
    }
}
