//! What a bag is reckoned with: the rates that she typed, the newest prices, and her pace.

use packet::Packet;
use packet::earns::Priced;
use packet::takes::Pace;
use store::{Workshop, WorkshopForm};

use crate::keep::{Trouble, WorkshopRow};
use crate::room::{Drawn, Room};

/// Where a pace comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum From {
    /// Nobody said one and nothing was logged.
    Usual,
    /// It was typed.
    Said,
}

/// What a bag is reckoned with.
pub(crate) struct Reckoned {
    /// Rates with the newest prices in them, scenarios, evenings.
    pub(crate) workshop: Workshop,
    /// The pace that counts.
    pub(crate) pace: Pace,
    from: From,
    /// Each price that counts, with the words for it.
    prices: Vec<(Priced, String)>,
    /// What is priced in another currency.
    pub(crate) other_money: Vec<String>,
}

impl Room {
    /// What a bag is reckoned with, now.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub(crate) fn reckoned(&self, row: &WorkshopRow, drawn: &Drawn) -> Result<Reckoned, Trouble> {
        // What was kept was read before; a newer program's keys are left out, not refused.
        let mut workshop = WorkshopForm::of(&row.text).read().unwrap_or_default();
        let usual = Pace::at(workshop.stitches);
        let (pace, from) = match workshop.pace {
            Some(said) => (usual.times(said), From::Said),
            None => (usual, From::Usual),
        };
        let mut prices = Vec::new();
        let mut other_money = Vec::new();
        let currency = workshop.rates.as_ref().map(packet::earns::Rates::currency);
        for row in self.keep.fabrics()? {
            let Some(price) = row.price else { continue };
            let thing = named_as(drawn.packet.as_ref(), &row.fabric.name);
            if currency.is_some_and(|own| own != price.money.currency()) {
                other_money.push(thing);
                continue;
            }
            let shown = super::pages::price_shown(&price);
            prices.push((Priced { thing, money: price.money, per: Some(price.unit()) }, shown));
        }
        let all: Vec<Priced> = prices.iter().map(|(priced, _)| priced.clone()).collect();
        let scenarios = workshop.scenarios.iter_mut().map(|(_, rates)| rates);
        for rates in workshop.rates.iter_mut().chain(scenarios) {
            rates.prices.clone_from(&all);
        }
        Ok(Reckoned { workshop, pace, from, prices, other_money })
    }
}

/// A thing by the name that the bag gives it, upper and lower case alike.
fn named_as(packet: Option<&Packet>, thing: &str) -> String {
    let same = thing.trim().to_lowercase();
    let mut materials = packet.into_iter().flat_map(|packet| &packet.pattern.materials);
    let found = materials.find(|material| material.name.trim().to_lowercase() == same);
    found.map_or_else(|| thing.to_owned(), |material| material.name.clone())
}

impl Reckoned {
    /// Which pace counts, and why.
    pub(crate) fn pace_said(&self) -> String {
        let percent = self.pace.factor_percent;
        match self.from {
            From::Usual => "At the usual pace of somebody who has sewn some bags.".to_owned(),
            From::Said => format!("At {percent} % of the usual time, as you typed."),
        }
    }

    /// The words for the price that a line of the reckoning goes by.
    pub(crate) fn price_of(&self, line: &str) -> Option<&str> {
        let rates = self.workshop.rates.as_ref()?;
        let priced = rates.price_for(line)?;
        let found = self.prices.iter().find(|(known, _)| known == priced);
        found.map(|(_, shown)| shown.as_str())
    }

    /// All of it as a workshop file.
    pub(crate) fn file(&self, text: &str) -> String {
        let prices: Vec<Priced> = self.prices.iter().map(|(priced, _)| priced.clone()).collect();
        format!("{text}{}", store::workshop_prices(&prices))
    }
}
