//! What a kit costs, and what each student pays for hers.

use packet::earns::{KitPrice, OneKit};
use packet::kit::Kit;
use serde_json::{Value, json};

use crate::lists::{columns, row};
use crate::takes::show_time;

/// One line of the reckoning: what it is, and how it is read off.
type Line = (&'static str, fn(&OneKit) -> measure::Money);

const LINES: [Line; 7] = [
    ("materials", |one| one.materials),
    ("cutting and marking", |one| one.labour),
    ("overhead", |one| one.overhead),
    ("label, packing", |one| one.each),
    ("what it costs to put together", |one| one.cost),
    ("price of the kit", |one| one.price),
    ("price with tax", |one| one.with_tax),
];

/// What a kit costs, as a page shows it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct KitCosts {
    /// What is to be said of all kits together: one sentence.
    pub whole: String,
    /// For one student: headings, then a row for each part of the price, a column for each design.
    pub table: Vec<Vec<String>>,
    /// What each material comes to for all, as it is bought.
    pub lines: Vec<(String, measure::Money)>,
    /// How materials are shared, and what has no price: sentences.
    pub notes: Vec<String>,
}

/// What a kit costs, and what each student pays for hers.
pub fn kit_costs(kit: &Kit, price: &KitPrice) -> KitCosts {
    KitCosts {
        whole: whole(kit, price),
        table: table(kit, price),
        lines: price.lines.clone(),
        notes: notes(kit, price),
    }
}

/// Headings and rows: a row for each line, a column for each design.
fn table(kit: &Kit, price: &KitPrice) -> Vec<Vec<String>> {
    let titles = kit.bags.iter().map(|bag| bag.packet.pattern.title.clone());
    let mut rows = vec![std::iter::once("for one student".to_owned()).chain(titles).collect()];
    rows.extend(
        LINES.iter().map(|(what, of)| row(what, &price.bags, |bag| of(&bag.one).to_string())),
    );
    rows.push(row("cutting and marking takes", &price.bags, |bag| show_time(bag.seconds)));
    rows.push(row("students", &price.bags, |bag| bag.wanted.to_string()));
    rows.push(row("all of them pay", &price.bags, |bag| {
        bag.one.price.times(i64::from(bag.wanted)).to_string()
    }));
    rows
}

/// What is to be said of all kits together.
fn whole(kit: &Kit, price: &KitPrice) -> String {
    let spare = kit.count() - kit.wanted();
    let pays = match spare {
        0 => String::new(),
        1 => ", the spare one with it".to_owned(),
        _ => format!(", the {spare} spare ones with it"),
    };
    format!(
        "Materials for all cost {} as they are bought; all students together pay {}{pays}.",
        price.materials, price.whole
    )
}

/// How materials are shared, and what is left out.
fn notes(kit: &Kit, price: &KitPrice) -> Vec<String> {
    let mut notes = Vec::new();
    if kit.bags.len() > 1 {
        notes.push(
            "What is bought for all is shared by what the bags of each design would take by \
             themselves."
                .to_owned(),
        );
    }
    if !price.unpriced.is_empty() {
        notes.push(format!("Without a price, and not counted: {}.", price.unpriced.join("; ")));
    }
    notes
}

/// The price as plain text.
pub fn kit_price_text(kit: &Kit, price: &KitPrice) -> String {
    let KitCosts { whole, table, lines, notes } = kit_costs(kit, price);
    let mut text = format!("{}: what it costs\n{whole}\n\n", super::title(kit));
    text.push_str(&columns(&table));
    text.push_str("\nMaterials for all, as they are bought\n");
    let line = |(what, money): (String, measure::Money)| vec![what, money.to_string()];
    text.push_str(&columns(&lines.into_iter().map(line).collect::<Vec<_>>()));
    notes.iter().for_each(|note| text.push_str(&format!("\n{note}\n")));
    text
}

/// The same for the typesetter.
pub(super) fn data(kit: &Kit, price: &KitPrice) -> Value {
    let KitCosts { whole, table: mut rows, lines, notes } = kit_costs(kit, price);
    let head = rows.remove(0);
    let lines: Vec<[String; 2]> =
        lines.into_iter().map(|(what, money)| [what, money.to_string()]).collect();
    json!({ "whole": whole, "head": head, "rows": rows, "lines": lines, "notes": notes })
}
