//! What a bag costs and earns, for other programs.

use measure::Money;
use packet::earns::Earns;
use serde::Serialize;

#[derive(Serialize)]
struct EarnsJson<'a> {
    format: &'static str,
    title: &'a str,
    scenarios: Vec<ScenarioJson<'a>>,
}

#[derive(Serialize)]
struct ScenarioJson<'a> {
    /// Empty for the file as it stands.
    name: &'a str,
    currency: String,
    bags: u32,
    seconds_each: u64,
    /// For all bags; amounts in the smallest coin.
    materials: Vec<LineJson<'a>>,
    /// Not counted, as no price is known.
    without_price: &'a [String],
    one_bag: OneJson,
    /// Bags that earn back the batch; null if no number does.
    break_even: Option<u32>,
    below_cost: bool,
}

/// One thing that is bought, in the smallest coin.
#[derive(Serialize)]
pub(crate) struct LineJson<'a> {
    what: &'a str,
    minor: i64,
}

impl<'a> LineJson<'a> {
    pub(crate) fn of((what, money): &'a (String, Money)) -> Self {
        Self { what, minor: money.minor() }
    }
}

#[derive(Serialize)]
struct OneJson {
    materials: i64,
    labour: i64,
    overhead: i64,
    each: i64,
    cost: i64,
    wholesale: i64,
    retail: i64,
    with_tax: i64,
    fees: i64,
    left: i64,
    kit: i64,
    an_hour: Option<i64>,
}

/// The reckoning as JSON, every amount in the smallest coin of its currency.
pub fn earns_json(title: &str, all: &[(String, Earns)]) -> String {
    let scenarios = all.iter().map(|(name, earns)| scenario(name, earns)).collect();
    crate::json::pretty(&EarnsJson { format: "bagwright earns", title, scenarios })
}

fn scenario<'a>(name: &'a str, earns: &'a Earns) -> ScenarioJson<'a> {
    let one = earns.one;
    ScenarioJson {
        name,
        currency: one.cost.currency().code().to_owned(),
        bags: earns.bags,
        seconds_each: earns.seconds,
        materials: earns.lines.iter().map(LineJson::of).collect(),
        without_price: &earns.unpriced,
        one_bag: OneJson {
            materials: one.materials.minor(),
            labour: one.labour.minor(),
            overhead: one.overhead.minor(),
            each: one.each.minor(),
            cost: one.cost.minor(),
            wholesale: one.wholesale.minor(),
            retail: one.retail.minor(),
            with_tax: one.with_tax.minor(),
            fees: one.fees.minor(),
            left: one.left.minor(),
            kit: one.kit.minor(),
            an_hour: one.an_hour(earns.seconds).map(Money::minor),
        },
        break_even: earns.break_even,
        below_cost: one.is_below_cost(),
    }
}
