//! What a bag costs to make, and what it has to be sold for: materials at what it costs to buy them
//! again, work, overhead, margin and fees.
//!
//! That the price has to cover materials at replacement cost, labour at a fair wage, overhead and
//! profit is the advice of the University of Missouri Extension, MP598, and of the University of
//! Maine Extension, bulletin 3000; twice the cost is only a habit.
//!
//! Every amount is a whole number of the smallest coin, each line is rounded by itself, and sums are
//! sums of what is shown.

use measure::{Currency, Length, Money};

use crate::kit::Kit;
use crate::takes::{Pace, Spent, Takes, spools};

/// A whole, in hundredths of a percent.
const WHOLE: u32 = 10_000;

/// What a workshop reckons with. Shares are hundredths of a percent.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Rates {
    /// What an hour of work is paid.
    pub hour: Money,
    /// Rent, power, needles, wear: a share of materials and work.
    pub overhead: u32,
    /// For each bag besides: label, packing.
    pub each: Money,
    /// What is laid on the cost for the wholesale price.
    pub margin: u32,
    /// The retail price in hundredths of the wholesale price: 200 is twice.
    pub retail: u32,
    /// The share of the retail price that a shop or market keeps.
    pub fee: u32,
    /// And what it keeps of each sale besides.
    pub fee_each: Money,
    /// Tax that is laid on the retail price.
    pub tax: u32,
    /// What a batch costs however many bags it has: a stall, photographs.
    pub batch: Money,
    /// The price that is asked, if it is not the retail price.
    pub asks: Option<Money>,
    /// What things cost.
    pub prices: Vec<Priced>,
}

/// What one thing costs.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Priced {
    /// The material by its name; "thread"; or words that a notion has.
    pub thing: String,
    /// How much.
    pub money: Money,
    /// For how much of it: a length, or one piece or spool.
    pub per: Option<Length>,
}

impl Rates {
    /// Rates in a currency with a wage, and nothing else set: no overhead and no margin, retail at
    /// twice the wholesale price.
    pub fn new(hour: Money) -> Self {
        let none = Money::new(0, hour.currency());
        Self {
            hour,
            overhead: 0,
            each: none,
            margin: 0,
            retail: 200,
            fee: 0,
            fee_each: none,
            tax: 0,
            batch: none,
            asks: None,
            prices: Vec::new(),
        }
    }

    /// The currency of all of it.
    pub fn currency(&self) -> Currency {
        self.hour.currency()
    }

    fn price_of(&self, thing: &str) -> Option<&Priced> {
        self.prices.iter().find(|priced| priced.thing == thing)
    }

    /// The price that a line of a reckoning goes by: of the material of that name, or of the notion
    /// that has the most of its words.
    pub fn price_for(&self, line: &str) -> Option<&Priced> {
        self.price_of(line).or_else(|| self.price_of_notion(line))
    }

    fn price_of_notion(&self, notion: &str) -> Option<&Priced> {
        let has = |priced: &&Priced| priced.per.is_none() && notion.contains(&priced.thing);
        self.prices.iter().filter(has).max_by_key(|priced| priced.thing.len())
    }
}

/// What a batch of bags costs and brings.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Earns {
    /// How many bags.
    pub bags: u32,
    /// What each material comes to, for all bags.
    pub lines: Vec<(String, Money)>,
    /// What has no price, by name: the cost is higher by these.
    pub unpriced: Vec<String>,
    /// All of it for one bag.
    pub one: OneBag,
    /// Seconds of work for one bag.
    pub seconds: u64,
    /// How many bags have to be sold at the price before what the batch costs is earned back;
    /// nothing if no number is enough.
    pub break_even: Option<u32>,
}

/// The price of one bag, part by part.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct OneBag {
    /// Its share of the materials.
    pub materials: Money,
    /// Work.
    pub labour: Money,
    /// Overhead.
    pub overhead: Money,
    /// Label and packing.
    pub each: Money,
    /// What it costs to make: these four.
    pub cost: Money,
    /// Cost and margin.
    pub wholesale: Money,
    /// What it is sold for, before tax: the price that is asked, or else the usual one.
    pub retail: Money,
    /// The same with tax.
    pub with_tax: Money,
    /// What shop or market keeps.
    pub fees: Money,
    /// What is left of the retail price after cost and fees; negative if it is sold below cost.
    pub left: Money,
    /// What a kit of it costs to put together: materials, cutting and marking, overhead and packing;
    /// with the margin, its price.
    pub kit: Money,
}

impl OneBag {
    /// Whether it is sold below what it costs.
    pub const fn is_below_cost(&self) -> bool {
        self.left.minor() < 0
    }

    /// What is left after fees for each hour of work, its own wage counted in.
    pub fn an_hour(&self, seconds: u64) -> Option<Money> {
        let earned = i128::from(self.left.minor()) + i128::from(self.labour.minor());
        let minor = divided(earned * 3_600, i128::from(seconds))?;
        Some(Money::new(minor, self.labour.currency()))
    }
}

/// To the nearest whole, halves away from nothing; nothing for a division by nothing.
fn divided(numerator: i128, denominator: i128) -> Option<i64> {
    if denominator == 0 {
        return None;
    }
    let (up, sign) = (numerator.abs() * 2 + denominator.abs(), numerator.signum());
    let whole = up / (denominator.abs() * 2) * sign * denominator.signum();
    Some(i64::try_from(whole).unwrap_or(i64::MAX / 4))
}

/// A share of an amount, in hundredths of a percent, to the smallest coin.
pub fn share(money: Money, share: u32) -> Money {
    let minor = i128::from(money.minor()) * i128::from(share);
    Money::new(divided(minor, i128::from(WHOLE)).unwrap_or(0), money.currency())
}

fn split(money: Money, parts: u32) -> Money {
    let minor = divided(i128::from(money.minor()), i128::from(parts.max(1))).unwrap_or(0);
    Money::new(minor, money.currency())
}

fn sum(parts: &[Money], currency: Currency) -> Money {
    let minor = parts.iter().fold(0_i64, |sum, part| sum.saturating_add(part.minor()));
    Money::new(minor, currency)
}

/// What work costs.
pub fn labour(hour: Money, seconds: u64) -> Money {
    let minor = i128::from(hour.minor()) * i128::from(seconds);
    Money::new(divided(minor, 3_600).unwrap_or(0), hour.currency())
}

/// The price of one bag from its parts.
pub fn one_bag(rates: &Rates, materials: Money, seconds: u64, cutting: u64) -> OneBag {
    let currency = rates.currency();
    let all = |parts: &[Money]| sum(parts, currency);
    let work = labour(rates.hour, seconds);
    let overhead = share(all(&[materials, work]), rates.overhead);
    let cost = all(&[materials, work, overhead, rates.each]);
    let with_margin = |cost: Money| share(cost, WHOLE + rates.margin);
    let wholesale = with_margin(cost);
    let usual = share(wholesale, rates.retail.saturating_mul(100));
    let retail = rates.asks.unwrap_or(usual);
    let fees = all(&[share(retail, rates.fee), rates.fee_each]);
    let left = Money::new(
        retail.minor().saturating_sub(cost.minor()).saturating_sub(fees.minor()),
        currency,
    );
    let kit_work = labour(rates.hour, cutting);
    let kit_overhead = share(all(&[materials, kit_work]), rates.overhead);
    OneBag {
        materials,
        labour: work,
        overhead,
        each: rates.each,
        cost,
        wholesale,
        retail,
        with_tax: all(&[retail, share(retail, rates.tax)]),
        fees,
        left,
        kit: with_margin(all(&[materials, kit_work, kit_overhead, rates.each])),
    }
}

/// Reckons a kit of bags of one design at some rates and pace.
pub fn earns(kit: &Kit, rates: &Rates, pace: Pace) -> Earns {
    let mut bill = Bill { rates, lines: Vec::new(), unpriced: Vec::new() };
    let name = |of: (usize, bag::pattern::MaterialId)| {
        kit.bags[of.0].packet.pattern.material(of.1).name.as_str()
    };
    for cloth in &kit.cloths {
        bill.length(name(cloth.of), cloth.bought().unwrap_or(Length::ZERO));
    }
    for webbing in &kit.webbing {
        bill.length(name(webbing.of), webbing.bought);
    }
    let bags: u32 = kit.bags.iter().map(|bag| bag.cut).sum();
    let mut spent = Spent::default();
    if let Some(first) = kit.bags.first() {
        let packet = &first.packet;
        let spool: i64 = kit.threads.iter().map(|it| spools(it.length, packet.system).count).sum();
        bill.pieces("thread", rates.price_of("thread"), spool);
        for notion in &packet.pattern.notions {
            let count = leading_count(notion) * i64::from(bags);
            bill.pieces(notion, rates.price_of_notion(notion), count);
        }
        spent = Takes::of(packet, pace).spent();
    }
    let Bill { lines, unpriced, .. } = bill;
    let amounts: Vec<Money> = lines.iter().map(|(_, money)| *money).collect();
    let materials = split(sum(&amounts, rates.currency()), bags);
    let one = one_bag(rates, materials, spent.seconds(), spent.cutting + spent.marking);
    Earns {
        bags,
        lines,
        unpriced,
        one,
        seconds: spent.seconds(),
        break_even: break_even(rates.batch, one.left),
    }
}

/// How many bags bring in what a batch costs, when each leaves so much.
pub fn break_even(batch: Money, left: Money) -> Option<u32> {
    match (batch.minor(), left.minor()) {
        (..=0, _) => Some(0),
        (_, ..=0) => None,
        (batch, left) => u32::try_from((batch + left - 1) / left).ok(),
    }
}

/// "2 rings for webbing" are two; what does not begin with a number is one.
fn leading_count(notion: &str) -> i64 {
    let number = notion.split(' ').next().and_then(|word| word.parse().ok());
    number.filter(|count| (1..=100).contains(count)).unwrap_or(1)
}

struct Bill<'r> {
    rates: &'r Rates,
    lines: Vec<(String, Money)>,
    unpriced: Vec<String>,
}

impl Bill<'_> {
    fn length(&mut self, name: &str, bought: Length) {
        match self.rates.price_of(name) {
            Some(Priced { money, per: Some(unit), .. }) => {
                self.lines.push((name.to_owned(), money.for_length(bought, *unit)));
            }
            _ => self.unpriced.push(name.to_owned()),
        }
    }

    fn pieces(&mut self, name: &str, priced: Option<&Priced>, count: i64) {
        match priced {
            Some(priced) => self.lines.push((name.to_owned(), priced.money.times(count))),
            None => self.unpriced.push(name.to_owned()),
        }
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn usd(minor: i64) -> Money {
        Money::new(minor, Currency::USD)
    }

    #[test]
    fn published_price_examples() {
        // craftprofessional.com: materials 8, 48 min at 15 an hour (12), overhead 3, profit 7 make 30.
        let mut rates = Rates::new(usd(15_00));
        (rates.overhead, rates.margin) = (15_00, 0);
        let one = one_bag(&rates, usd(8_00), 48 * 60, 0);
        assert_eq!((one.labour, one.overhead, one.cost), (usd(12_00), usd(3_00), usd(23_00)));
        rates.margin = 30_43;
        assert_eq!(one_bag(&rates, usd(8_00), 48 * 60, 0).wholesale, usd(30_00));
        // The same source: (40 + 100 + 10) × 1.30 = 195.
        let mut rates = Rates::new(usd(20_00));
        (rates.each, rates.margin) = (usd(10_00), 30_00);
        let one = one_bag(&rates, usd(40_00), 5 * 3_600, 0);
        assert_eq!((one.cost, one.wholesale), (usd(15_000), usd(19_500)));
        // stainedglassexpress.com: 25 + 14 + 25/3 = 47.33, twice that 94.67 by exact thirds; in coins,
        // twice 47.33 (the page prints 47.40 and 94.80, which is wrong).
        let mut rates = Rates::new(usd(14_00));
        rates.each = split(usd(25_00), 3);
        let one = one_bag(&rates, usd(25_00), 3_600, 0);
        assert_eq!((one.wholesale, one.retail), (usd(47_33), usd(94_66)));
    }

    #[test]
    fn a_price_below_cost_is_seen_and_breaks_even_never() {
        let mut rates = Rates::new(usd(18_00));
        (rates.fee, rates.fee_each, rates.asks) = (6_50, usd(25), Some(usd(40_00)));
        let one = one_bag(&rates, usd(12_00), 2 * 3_600, 0);
        // 40.00 − 48.00 − (2.60 + 0.25).
        assert_eq!((one.fees, one.left), (usd(2_85), usd(-10_85)));
        assert!(one.is_below_cost());
        assert_eq!(break_even(usd(10_000), one.left), None);
        assert_eq!(break_even(usd(10_000), usd(33_33)), Some(4));
        assert_eq!(break_even(usd(0), usd(-1)), Some(0));
        // What an hour brings: (36.00 − 10.85) / 2.
        assert_eq!(one.an_hour(2 * 3_600), Some(usd(12_58)));
    }

    proptest! {
        #[test]
        fn parts_are_the_whole_and_more_of_anything_costs_more(
            materials in 0_i64..50_000, hour in 0_i64..10_000, seconds in 0_u64..100_000,
            overhead in 0_u32..10_000, margin in 0_u32..20_000, fee in 0_u32..3_000,
        ) {
            let mut rates = Rates::new(usd(hour));
            (rates.overhead, rates.margin, rates.fee) = (overhead, margin, fee);
            let one = one_bag(&rates, usd(materials), seconds, seconds / 3);
            let parts = [one.materials, one.labour, one.overhead, one.each];
            prop_assert_eq!(sum(&parts, Currency::USD), one.cost);
            prop_assert!(one.wholesale.minor() >= one.cost.minor());
            prop_assert_eq!(
                one.left.minor() + one.cost.minor() + one.fees.minor(),
                one.retail.minor()
            );
            prop_assert!(one.kit.minor() <= one.wholesale.minor());
            let more = one_bag(&rates, usd(materials + 100), seconds + 60, seconds / 3);
            prop_assert!(more.cost.minor() > one.cost.minor());
        }

        #[test]
        fn so_many_bags_and_no_fewer_break_even(batch in 1_i64..100_000, left in 1_i64..10_000) {
            let bags = i64::from(break_even(usd(batch), usd(left)).expect("something is left"));
            prop_assert!(bags * left >= batch && (bags - 1) * left < batch);
        }
    }
}
