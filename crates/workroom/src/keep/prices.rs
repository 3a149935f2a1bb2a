//! The price list: what things cost, on which day and in which shop. Nothing in it is overwritten:
//! the newest price counts, older ones stay to be seen, and what was struck out can be put back.

use measure::{Length, Money};
use rusqlite::{Row, params};

use super::{Keep, Trouble};

/// For how much a price is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Per {
    /// A yard of it.
    Yard,
    /// A metre of it.
    Metre,
    /// One of it: a zip, a snap, a spool, a packet of needles.
    One,
}

impl Per {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Yard, Self::Metre, Self::One];

    /// The word for it in the file.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Yard => "yd",
            Self::Metre => "m",
            Self::One => "one",
        }
    }

    /// What a person calls it.
    pub const fn title(self) -> &'static str {
        match self {
            Self::Yard => "a yard",
            Self::Metre => "a metre",
            Self::One => "each",
        }
    }

    /// The unit of that word.
    pub fn find(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|per| per.word() == word)
    }

    /// The length that it is for, if it is one.
    pub const fn length(self) -> Option<Length> {
        match self {
            Self::Yard => Some(Length::YARD),
            Self::Metre => Some(Length::mm(1_000)),
            Self::One => None,
        }
    }
}

/// A day as year, month and day.
pub type Day = (u16, u8, u8);

/// A price on a day.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Price {
    /// How much.
    pub money: Money,
    /// For how much of it.
    pub per: Per,
    /// The day.
    pub day: Day,
    /// The shop, as she calls it; may be empty.
    pub shop: String,
}

impl Price {
    /// The day as `2026-11-25`.
    pub fn day_shown(&self) -> String {
        let (year, month, day) = self.day;
        format!("{year:04}-{month:02}-{day:02}")
    }

    /// Whether it is older than so many months.
    pub fn is_older(&self, months: u32, today: Day) -> bool {
        let months_of = |(year, month, _): Day| i64::from(year) * 12 + i64::from(month);
        let passed = months_of(today) - months_of(self.day) - i64::from(today.2 < self.day.2);
        passed >= i64::from(months)
    }
}

/// A price in the list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PriceRow {
    /// Its number.
    pub id: i64,
    /// What costs that: a material by its name, or words of a notion.
    pub thing: String,
    /// The price.
    pub price: Price,
    /// Whether it was struck out, and does not count.
    pub is_struck: bool,
}

/// Reads a day as `2026-11-25`.
pub(crate) fn read_day(text: &str) -> Option<Day> {
    let mut parts = text.split('-');
    let day =
        (parts.next()?.parse().ok()?, parts.next()?.parse().ok()?, parts.next()?.parse().ok()?);
    let is_day = parts.next().is_none()
        && (1_900..=9_999).contains(&day.0)
        && (1..=12).contains(&day.1)
        && (1..=31).contains(&day.2);
    is_day.then_some(day)
}

/// The price of a row that begins with amount, unit, day and shop.
pub(super) fn price(
    amount: Option<String>,
    per: Option<String>,
    day: Option<String>,
    shop: Option<String>,
) -> Option<Price> {
    let money = Money::parse(&amount?).ok()?;
    Some(Price { money, per: Per::find(&per?)?, day: read_day(&day?)?, shop: shop? })
}

fn row(row: &Row<'_>) -> rusqlite::Result<Option<PriceRow>> {
    let price = price(row.get(3)?, row.get(4)?, row.get(5)?, row.get(6)?);
    let (id, thing, is_struck) = (row.get(0)?, row.get(1)?, row.get(2)?);
    Ok(price.map(|price| PriceRow { id, thing, price, is_struck }))
}

/// The most characters of a thing or a shop.
const LONGEST: usize = 200;

impl Keep {
    /// Every price there is, the newest first.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn prices(&self) -> Result<Vec<PriceRow>, Trouble> {
        let connection = self.lock();
        let mut found = connection.prepare_cached(
            "SELECT id, thing, struck, amount, per, day, shop FROM noted_price
             ORDER BY day DESC, id DESC",
        )?;
        let rows = found.query_map([], row)?;
        let rows: Vec<Option<PriceRow>> = rows.collect::<Result<_, _>>()?;
        Ok(rows.into_iter().flatten().collect())
    }

    /// The newest price of each thing, by its name in small letters.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn newest_prices(&self) -> Result<Vec<PriceRow>, Trouble> {
        let mut seen = std::collections::BTreeSet::new();
        let rows = self.prices()?.into_iter().filter(|row| !row.is_struck);
        Ok(rows.filter(|row| seen.insert(row.thing.trim().to_lowercase())).collect())
    }

    /// Notes what something cost; a price of the same thing, day and shop takes the place of the
    /// first.
    ///
    /// # Errors
    /// When a text is too long or empty, or the file cannot be written.
    pub fn note_price(&self, thing: &str, price: &Price) -> Result<(), Trouble> {
        let (thing, shop) = (thing.trim(), price.shop.trim());
        if thing.is_empty() || [thing, shop].iter().any(|text| text.chars().count() > LONGEST) {
            let why =
                format!("names have up to {LONGEST} characters, and a thing has at least one");
            return Err(Trouble::NotTaken(why));
        }
        let sql =
            "INSERT INTO noted_price (thing, day, shop, amount, per) VALUES (?1, ?2, ?3, ?4, ?5)
            ON CONFLICT (thing, day, shop) DO UPDATE
            SET amount = excluded.amount, per = excluded.per, struck = 0";
        let (amount, per) = (price.money.to_string(), price.per.word());
        self.lock().execute(sql, params![thing, price.day_shown(), shop, amount, per])?;
        Ok(())
    }

    /// Strikes a price out, so that it does not count, or puts it back.
    ///
    /// # Errors
    /// When there is none of that number, or the file cannot be written.
    pub fn strike_price(&self, id: i64, struck: bool) -> Result<(), Trouble> {
        self.strike("noted_price", "price", id, struck)
    }
}
