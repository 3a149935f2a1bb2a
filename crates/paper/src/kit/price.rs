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
    let mut text = format!("{}: what it costs\n{}\n\n", super::title(kit), whole(kit, price));
    text.push_str(&columns(&table(kit, price)));
    text.push_str("\nMaterials for all, as they are bought\n");
    let line = |(what, money): &(String, measure::Money)| vec![what.clone(), money.to_string()];
    text.push_str(&columns(&price.lines.iter().map(line).collect::<Vec<_>>()));
    notes(kit, price).iter().for_each(|note| text.push_str(&format!("\n{note}\n")));
    text
}

/// The same for the typesetter.
pub(super) fn data(kit: &Kit, price: &KitPrice) -> Value {
    let mut rows = table(kit, price);
    let head = rows.remove(0);
    json!({
        "whole": whole(kit, price),
        "head": head,
        "rows": rows,
        "lines": price.lines.iter().map(|(what, money)| [what.clone(), money.to_string()]).collect::<Vec<_>>(),
        "notes": notes(kit, price),
    })
}
