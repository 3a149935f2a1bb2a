//! What a bag is reckoned with: the rates that she typed, the newest prices, and her pace.

use measure::Money;
use packet::Packet;
use packet::earns::{Earns, Priced, Rates, earns};
use packet::kit::Kit;
use packet::takes::Pace;
use store::{Workshop, WorkshopForm};

use crate::keep::{PriceRow, SessionRow, Trouble, WorkshopRow, read_day};
use crate::room::Room;

/// Where a pace comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum From {
    /// Nobody said one and nothing was logged.
    Usual,
    /// It was typed.
    Said,
    /// It was learnt from so many sessions, which were told one time and took another, in seconds.
    Learnt(usize, u64, u64),
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
    /// Rates for materials alone; none if nothing has a price.
    materials: Option<Rates>,
    /// What is priced in another currency.
    pub(crate) other_money: Vec<String>,
}

impl Room {
    /// What these bags are reckoned with, now: things by the names that they have in them.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub(crate) fn reckoned(
        &self,
        row: &WorkshopRow,
        packets: &[&Packet],
    ) -> Result<Reckoned, Trouble> {
        // What was kept was read before; a newer program's keys are left out, not refused.
        let mut workshop = WorkshopForm::of(&row.text).read().unwrap_or_default();
        let usual = Pace::at(workshop.stitches);
        let sessions = self.sessions_told(usual)?;
        let (pace, from) = match workshop.pace {
            Some(said) => (usual.times(said), From::Said),
            None if sessions.is_empty() => (usual, From::Usual),
            None => {
                let told = sessions.iter().map(|(told, _)| told).sum();
                let took = sessions.iter().map(|(_, took)| took).sum();
                (usual.learnt_from(&sessions), From::Learnt(sessions.len(), told, took))
            }
        };
        let newest = self.keep.newest_prices()?;
        let (months, today) = (super::pages::old_after(self)?, self.keep.today()?);
        let today = read_day(&today).unwrap_or((1_900, 1, 1));
        let own = workshop.rates.as_ref().map(Rates::currency);
        let currency = own.or_else(|| newest.first().map(|row| row.price.money.currency()));
        let (mut prices, mut other_money) = (Vec::new(), Vec::new());
        for PriceRow { thing, price, .. } in newest {
            let thing = named_as(packets, &thing);
            if currency != Some(price.money.currency()) {
                other_money.push(thing);
                continue;
            }
            let old = if price.is_older(months, today) { " (old: ask again)" } else { "" };
            let shown = format!("{}{old}", super::pages::price_shown(&price));
            prices.push((Priced { thing, money: price.money, per: price.per.length() }, shown));
        }
        let all: Vec<Priced> = prices.iter().map(|(priced, _)| priced.clone()).collect();
        let scenarios = workshop.scenarios.iter_mut().map(|(_, rates)| rates);
        for rates in workshop.rates.iter_mut().chain(scenarios) {
            rates.prices.clone_from(&all);
        }
        let materials = currency.filter(|_| !all.is_empty()).map(|currency| {
            // Without a wage the materials still have their prices.
            let none = Rates::new(Money::new(0, currency));
            Rates { prices: all, ..workshop.rates.clone().unwrap_or(none) }
        });
        Ok(Reckoned { workshop, pace, from, prices, materials, other_money })
    }

    /// What each session that counts was told to take at the usual pace, and took, in seconds.
    fn sessions_told(&self, usual: Pace) -> Result<Vec<(u64, u64)>, Trouble> {
        let rows = self.keep.sessions()?.into_iter().filter(|row| !row.is_struck);
        Ok(rows.filter_map(|row| Some((self.told(&row, usual)?, row.session.seconds))).collect())
    }

    /// The seconds that the work of a session takes at the usual pace; nothing if its design is not
    /// understood any more.
    pub(crate) fn told(&self, row: &SessionRow, usual: Pace) -> Option<u64> {
        let key = (row.id, usual.stitches_per_minute);
        self.told_once(key, || {
            let design = store::read_design("a session", &row.session.text).ok()?;
            let packet = packet::build(&design).packet?;
            let steps = (row.session.from.as_deref(), row.session.to.as_deref());
            let one = packet::takes::told(&packet, steps, usual).ok()?;
            Some(one * u64::from(row.session.bags))
        })
    }
}

/// A thing by the name that the bags give it, upper and lower case alike.
fn named_as(packets: &[&Packet], thing: &str) -> String {
    let same = thing.trim().to_lowercase();
    let mut materials = packets.iter().flat_map(|packet| &packet.pattern.materials);
    if let Some(found) = materials.find(|it| it.name.trim().to_lowercase() == same) {
        return found.name.clone();
    }
    let mut notions = packets.iter().flat_map(|packet| &packet.pattern.notions);
    let is_notion = same == "thread" || notions.any(|notion| notion.is_called(&same));
    if is_notion { same } else { thing.to_owned() }
}

impl Reckoned {
    /// Which pace counts, and why.
    pub(crate) fn pace_said(&self) -> String {
        let percent = self.pace.factor_percent;
        match self.from {
            From::Usual => "At the usual pace of somebody who has sewn some bags.".to_owned(),
            From::Said => format!(
                "At {percent} % of the usual time, as you typed; leave the field empty to have it \
                 learnt from your sewing log."
            ),
            From::Learnt(count, told, took) => {
                let sessions = if count == 1 { "session" } else { "sessions" };
                format!(
                    "At {percent} % of the usual time, learnt from {count} logged {sessions}: what \
                     usually takes {} took you {}. One usual session of two hours is counted in, as \
                     a few say less than many.",
                    paper::show_time(told),
                    paper::show_time(took),
                )
            }
        }
    }

    /// The words for a price that a line of the reckoning goes by.
    pub(crate) fn price_of(&self, priced: &Priced) -> Option<&str> {
        let found = self.prices.iter().find(|(known, _)| known == priced);
        found.map(|(_, shown)| shown.as_str())
    }

    /// Her rates with the newest prices; without a wage, the prices alone; nothing if nothing has a
    /// price either.
    pub(crate) fn rates(&self) -> Option<&Rates> {
        self.workshop.rates.as_ref().or(self.materials.as_ref())
    }

    /// What the materials of a bag come to; nothing if nothing has a price.
    pub(crate) fn materials(&self, packet: &Packet) -> Option<Earns> {
        let rates = self.materials.as_ref()?;
        let kit = Kit::of(vec![(packet.clone(), 1)], 0, 0);
        Some(earns(&kit, rates, self.pace))
    }

    /// All of it as a workshop file.
    pub(crate) fn file(&self, text: &str) -> String {
        let prices: Vec<Priced> = self.prices.iter().map(|(priced, _)| priced.clone()).collect();
        format!("{text}{}", store::workshop_prices(&prices))
    }
}
