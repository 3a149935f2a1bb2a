//! What a bag costs to make, and what it has to be sold for: materials at what it costs to buy them
//! again, work, overhead, margin and fees.
//!
//! That the price has to cover materials at replacement cost, labour at a fair wage, overhead and
//! profit is the advice of the University of Missouri Extension, MP598, and of the University of
//! Maine Extension, bulletin 3000; twice the cost is only a habit.
//!
//! Every amount is a whole number of the smallest coin, each line is rounded by itself, and sums are
//! sums of what is shown.

use bag::pattern::Notion;
use bag::pattern::notion::Sold;
use measure::{Currency, Length, Money, Rounding};

use crate::kit::Kit;
use crate::takes::{Pace, Takes, spools};

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
    /// The material by its name; "thread"; or what a notion is called, see [`Notion::is_called`].
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

    /// The price of a notion: of those that mean it, the one that says most of it. What is sold by
    /// length needs a price by length, and all else a price for one.
    pub fn price_of_notion(&self, notion: &Notion) -> Option<&Priced> {
        let by_length = notion.kind.sold == Sold::ByLength;
        let means =
            |priced: &&Priced| priced.per.is_some() == by_length && notion.is_called(&priced.thing);
        self.prices.iter().filter(means).max_by_key(|priced| priced.thing.len())
    }
}

/// What a batch of bags costs and brings.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Earns {
    /// How many bags.
    pub bags: u32,
    /// What each material comes to, for all bags.
    pub lines: Vec<(String, Money)>,
    /// The price that each of these lines goes by.
    pub by: Vec<Priced>,
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

/// A part of an amount in whole coins: to the nearest; or up, so that the parts are together no less
/// than the amount.
fn split(money: Money, parts: u32, rounding: Rounding) -> Money {
    let (minor, parts) = (money.minor(), i64::from(parts.max(1)));
    let one = match rounding {
        Rounding::Nearest => divided(i128::from(minor), i128::from(parts)).unwrap_or(0),
        Rounding::Up => minor.saturating_add(parts - 1).div_euclid(parts),
        Rounding::Down => minor.div_euclid(parts),
    };
    Money::new(one, money.currency())
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
    let wholesale = share(cost, WHOLE + rates.margin);
    let usual = share(wholesale, rates.retail.saturating_mul(100));
    let retail = rates.asks.unwrap_or(usual);
    let fees = all(&[share(retail, rates.fee), rates.fee_each]);
    let left = Money::new(
        retail.minor().saturating_sub(cost.minor()).saturating_sub(fees.minor()),
        currency,
    );
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
        kit: one_kit(rates, materials, cutting).price,
    }
}

/// Reckons a kit of bags of one design at some rates and pace.
pub fn earns(kit: &Kit, rates: &Rates, pace: Pace) -> Earns {
    let Bill { lines, unpriced, .. } = Bill::of(kit, rates);
    let bags = kit.count();
    let spent = kit.bags.first().map(|bag| Takes::of(&bag.packet, pace).spent());
    let spent = spent.unwrap_or_default();
    let by = lines.iter().map(|line| line.by.clone()).collect();
    let lines: Vec<(String, Money)> =
        lines.into_iter().map(|line| (line.what, line.money)).collect();
    let amounts: Vec<Money> = lines.iter().map(|(_, money)| *money).collect();
    let materials = split(sum(&amounts, rates.currency()), bags, Rounding::Nearest);
    let one = one_bag(rates, materials, spent.seconds(), spent.cutting + spent.marking);
    Earns {
        bags,
        lines,
        by,
        unpriced,
        one,
        seconds: spent.seconds(),
        break_even: break_even(rates.batch, one.left),
    }
}

/// What a kit of bags costs to put together, and what each student pays for hers.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct KitPrice {
    /// What is bought, as the shop sells it, for all bags.
    pub lines: Vec<(String, Money)>,
    /// What has no price, by name: the cost is higher by these.
    pub unpriced: Vec<String>,
    /// By design, in the order of the kit.
    pub bags: Vec<KitBagPrice>,
    /// All that is bought.
    pub materials: Money,
    /// What all students pay together: never less than what the kit costs.
    pub whole: Money,
}

/// The price of the kits of one design.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct KitBagPrice {
    /// How many are handed out: these pay for the spare ones too.
    pub wanted: u32,
    /// What its bags take of the materials, the spare ones with them: shares of each purchase by what
    /// each design would need alone.
    pub materials: Money,
    /// Seconds of cutting and marking for one that is handed out, its part of the spare ones with it.
    pub seconds: u64,
    /// What one student's kit costs, part by part, and its price.
    pub one: OneKit,
}

/// The price of one student's kit, part by part.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct OneKit {
    /// Its materials.
    pub materials: Money,
    /// Cutting and marking.
    pub labour: Money,
    /// Overhead.
    pub overhead: Money,
    /// Label and packing.
    pub each: Money,
    /// What it costs to put together: these four.
    pub cost: Money,
    /// Cost and margin.
    pub price: Money,
    /// The same with tax.
    pub with_tax: Money,
}

/// The price of one kit from its parts.
fn one_kit(rates: &Rates, materials: Money, cutting: u64) -> OneKit {
    let currency = rates.currency();
    let work = labour(rates.hour, cutting);
    let overhead = share(sum(&[materials, work], currency), rates.overhead);
    let cost = sum(&[materials, work, overhead, rates.each], currency);
    let price = share(cost, WHOLE + rates.margin);
    let with_tax = sum(&[price, share(price, rates.tax)], currency);
    OneKit { materials, labour: work, overhead, each: rates.each, cost, price, with_tax }
}

/// Reckons a kit of several designs: materials as they are bought for all, each design's share of
/// them, cutting and marking, overhead, packing and margin.
pub fn kit_price(kit: &Kit, rates: &Rates, pace: Pace) -> KitPrice {
    let bill = Bill::of(kit, rates);
    let currency = rates.currency();
    let bags: Vec<KitBagPrice> = kit
        .bags
        .iter()
        .enumerate()
        .map(|(at, bag)| {
            let shares: Vec<Money> = bill.lines.iter().map(|line| line.shares[at]).collect();
            let materials = sum(&shares, currency);
            let spent = Takes::of(&bag.packet, pace).spent();
            let all = (spent.cutting + spent.marking).saturating_mul(u64::from(bag.cut));
            let seconds = all.div_ceil(u64::from(bag.wanted.max(1)));
            let one = one_kit(rates, split(materials, bag.wanted, Rounding::Up), seconds);
            KitBagPrice { wanted: bag.wanted, materials, seconds, one }
        })
        .collect();
    let amounts: Vec<Money> = bill.lines.iter().map(|line| line.money).collect();
    let paid: Vec<Money> =
        bags.iter().map(|bag| bag.one.price.times(i64::from(bag.wanted))).collect();
    KitPrice {
        materials: sum(&amounts, currency),
        whole: sum(&paid, currency),
        lines: bill.lines.into_iter().map(|line| (line.what, line.money)).collect(),
        unpriced: bill.unpriced,
        bags,
    }
}

/// An amount in parts that are together the amount, as near as coins allow to what each weighs; what
/// is left over goes to the largest remainders, the first of them first.
fn shares(money: Money, weights: &[i64]) -> Vec<Money> {
    let all: i128 = weights.iter().map(|weight| i128::from(*weight)).sum();
    let minor = i128::from(money.minor());
    let mut parts: Vec<i64> = Vec::with_capacity(weights.len());
    let mut rests: Vec<(i128, usize)> = Vec::with_capacity(weights.len());
    for (at, weight) in weights.iter().enumerate() {
        let product = minor * i128::from(*weight);
        parts.push(i64::try_from(product.checked_div(all).unwrap_or(0)).unwrap_or(0));
        rests.push((-product.checked_rem(all).unwrap_or(0), at));
    }
    rests.sort_unstable();
    let left = money.minor() - parts.iter().sum::<i64>();
    for (_, at) in rests.iter().cycle().take(usize::try_from(left).unwrap_or(0)) {
        parts[*at] += 1;
    }
    parts.into_iter().map(|minor| Money::new(minor, money.currency())).collect()
}

/// How many bags bring in what a batch costs, when each leaves so much.
pub fn break_even(batch: Money, left: Money) -> Option<u32> {
    match (batch.minor(), left.minor()) {
        (..=0, _) => Some(0),
        (_, ..=0) => None,
        (batch, left) => u32::try_from((batch + left - 1) / left).ok(),
    }
}

/// One thing that is bought for all bags.
struct BillLine {
    what: String,
    money: Money,
    /// The price that it goes by.
    by: Priced,
    /// What each design's bags take of it.
    shares: Vec<Money>,
}

struct Bill {
    lines: Vec<BillLine>,
    unpriced: Vec<String>,
}

impl Bill {
    /// Everything that is bought for a kit, as the shop sells it. Scraps are not bought.
    fn of(kit: &Kit, rates: &Rates) -> Self {
        let mut bill = Self { lines: Vec::new(), unpriced: Vec::new() };
        let name = |of: (usize, bag::pattern::MaterialId)| {
            kit.bags[of.0].packet.pattern.material(of.1).name.as_str()
        };
        let nm = |each: &[Length]| each.iter().map(|length| length.to_nm()).collect::<Vec<_>>();
        for cloth in &kit.cloths {
            let bought = cloth.bought().unwrap_or(Length::ZERO);
            bill.length(name(cloth.of), rates.price_of(name(cloth.of)), bought, &nm(&cloth.each));
        }
        for webbing in &kit.webbing {
            let name = name(webbing.of);
            bill.length(name, rates.price_of(name), webbing.bought, &nm(&webbing.each));
        }
        let Some(first) = kit.bags.first() else { return bill };
        let system = first.packet.system;
        let spool: i64 = kit.threads.iter().map(|it| spools(it.length, system).count).sum();
        let thread: Vec<i64> = (0..kit.bags.len())
            .map(|at| kit.threads.iter().map(|it| it.each[at].to_nm()).sum())
            .collect();
        bill.pieces("thread", rates.price_of("thread"), spool, &thread);
        for one in &kit.notions {
            let (notion, priced) = (&one.notion, rates.price_of_notion(&one.notion));
            match one.bought {
                _ if notion.kind.sold == Sold::Scrap => {}
                Some(bought) => bill.length(&notion.spec(system), priced, bought, &nm(&one.run)),
                None => match priced {
                    Some(_) => {
                        let count = one.count();
                        let many = u32::try_from(count).unwrap_or(u32::MAX);
                        let words = notion.describe_times(many, system);
                        bill.pieces(&words, priced, count, &one.each);
                    }
                    None => bill.unpriced.push(notion.spec(system)),
                },
            }
        }
        bill
    }

    fn length(&mut self, name: &str, priced: Option<&Priced>, bought: Length, each: &[i64]) {
        match priced {
            Some(by @ Priced { money, per: Some(unit), .. }) => {
                self.add(name, money.for_length(bought, *unit), by, each);
            }
            _ => self.unpriced.push(name.to_owned()),
        }
    }

    fn pieces(&mut self, name: &str, priced: Option<&Priced>, count: i64, each: &[i64]) {
        match priced {
            Some(by) => self.add(name, by.money.times(count), by, each),
            None => self.unpriced.push(name.to_owned()),
        }
    }

    fn add(&mut self, what: &str, money: Money, by: &Priced, each: &[i64]) {
        let shares = shares(money, each);
        self.lines.push(BillLine { what: what.to_owned(), money, by: by.clone(), shares });
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
        rates.each = split(usd(25_00), 3, Rounding::Nearest);
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
        fn shares_are_the_whole_and_fair_to_a_coin(
            minor in 0_i64..1_000_000, weights in prop::collection::vec(0_i64..1_000_000, 1..6),
        ) {
            let parts = shares(usd(minor), &weights);
            prop_assert_eq!(sum(&parts, Currency::USD), usd(minor));
            let all: i64 = weights.iter().sum();
            for (part, weight) in parts.iter().zip(&weights).filter(|_| all > 0) {
                let exact = i128::from(minor) * i128::from(*weight) / i128::from(all);
                let off = i128::from(part.minor()) - exact;
                prop_assert!((0..=1).contains(&off), "{} of {}", part.minor(), exact);
            }
        }

        #[test]
        fn so_many_bags_and_no_fewer_break_even(batch in 1_i64..100_000, left in 1_i64..10_000) {
            let bags = i64::from(break_even(usd(batch), usd(left)).expect("something is left"));
            prop_assert!(bags * left >= batch && (bags - 1) * left < batch);
        }
    }
}
