//! What a bag costs and is sold for, in words and as a table.

use measure::Money;
use packet::Comparison;
use packet::earns::{Earns, OneBag};
use packet::takes::Pace;

use crate::lists::{columns, row};
use crate::takes::show_time;

/// One line of the reckoning: what it is, and how it is read off a bag's price.
type Line = (&'static str, fn(&OneBag) -> Money);

const LINES: [Line; 11] = [
    ("materials", |one| one.materials),
    ("work", |one| one.labour),
    ("overhead", |one| one.overhead),
    ("label, packing", |one| one.each),
    ("what it costs to make", |one| one.cost),
    ("wholesale price", |one| one.wholesale),
    ("retail price", |one| one.retail),
    ("retail price with tax", |one| one.with_tax),
    ("fees of it", |one| one.fees),
    ("left of it", |one| one.left),
    ("price as a kit", |one| one.kit),
];

/// Scenarios side by side: a row for each line, a column for each scenario; the first has no name.
pub fn earns_table(all: &[(String, Earns)]) -> Comparison {
    let name =
        |name: &str| if name.is_empty() { "as it stands".to_owned() } else { name.to_owned() };
    let headings = std::iter::once("for one bag".to_owned());
    let headings = headings.chain(all.iter().map(|(it, _)| name(it))).collect();
    let mut rows: Vec<Vec<String>> = LINES
        .iter()
        .map(|(what, of)| row(what, all, |(_, earns)| of(&earns.one).to_string()))
        .collect();
    rows.push(row("an hour of work brings", all, |(_, earns)| {
        earns.one.an_hour(earns.seconds).map_or(String::new(), |money| money.to_string())
    }));
    rows.push(row("bags to earn back the batch", all, |(_, earns)| {
        earns.break_even.map_or_else(|| "never".to_owned(), |bags| bags.to_string())
    }));
    Comparison { headings, rows }
}

/// What a bag loses that is sold below cost: "sold at 40.00 USD, each bag loses 10.85 USD".
pub fn loses(one: &OneBag) -> String {
    let lost = Money::new(-one.left.minor(), one.left.currency());
    format!("sold at {}, each bag loses {lost}", one.retail)
}

/// The reckoning as plain text, with what is below cost and what has no price.
pub fn earns_text(title: &str, all: &[(String, Earns)], pace: Pace) -> String {
    let Some((_, first)) = all.first() else { return String::new() };
    let mut text = format!("{title}: what it costs and earns\n");
    let bags = if first.bags == 1 { "one bag".to_owned() } else { format!("{} bags", first.bags) };
    text.push_str(&format!(
        "{bags}, {} of work for each, at {} % of the usual time\n\n",
        show_time(first.seconds),
        pace.factor_percent
    ));
    let table = earns_table(all);
    let rows: Vec<_> = std::iter::once(table.headings).chain(table.rows).collect();
    text.push_str(&columns(&rows));
    if !first.lines.is_empty() {
        text.push_str(&format!("\nMaterials for {bags}\n"));
        let line = |(what, money): &(String, Money)| vec![what.clone(), money.to_string()];
        text.push_str(&columns(&first.lines.iter().map(line).collect::<Vec<_>>()));
    }
    if !first.unpriced.is_empty() {
        text.push_str(&format!(
            "\nWithout a price, and not counted: {}\n",
            first.unpriced.join("; ")
        ));
    }
    for (name, earns) in all.iter().filter(|(_, earns)| earns.one.is_below_cost()) {
        let of = if name.is_empty() { String::new() } else { format!(" ({name})") };
        text.push_str(&format!("\nBELOW COST{of}: {}\n", loses(&earns.one)));
    }
    text.push_str(
        "\nTimes are estimates. Taxes and fees are those of your file: ask where you live.\n",
    );
    text
}
