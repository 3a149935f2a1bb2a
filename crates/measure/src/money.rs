//! Money in whole minor units (cents), with its currency.

use std::fmt;

use crate::number::{decimal, rounded, spell_out};
use crate::{Length, QuantityError};

/// What to write instead.
const ADVICE: &str = "write an amount and a three-letter currency code, as in `12.50 USD`";

/// The largest amount accepted, in minor units.
const LARGEST: i128 = 1_000_000_000_000;

/// A currency by its three-letter code (ISO 4217).
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Currency([u8; 3]);

impl Currency {
    /// The US dollar.
    pub const USD: Self = Self(*b"USD");
    /// The euro.
    pub const EUR: Self = Self(*b"EUR");

    /// Reads a code of three letters, in either case.
    ///
    /// # Errors
    /// When it is anything else.
    pub fn parse(code: &str) -> Result<Self, QuantityError> {
        match code.trim().as_bytes() {
            &[a, b, c] if [a, b, c].iter().all(u8::is_ascii_alphabetic) => {
                Ok(Self([a, b, c].map(|letter| letter.to_ascii_uppercase())))
            }
            _ => Err(QuantityError::new(
                code,
                "is not a currency; write its three-letter code, as in `USD` or `EUR`",
            )),
        }
    }

    /// The three letters.
    pub fn code(&self) -> &str {
        // Only ASCII letters get in.
        std::str::from_utf8(&self.0).unwrap_or_default()
    }

    /// How many decimal places its minor unit has (ISO 4217, from memory): two for most.
    pub fn places(self) -> usize {
        match &self.0 {
            b"BIF" | b"CLP" | b"DJF" | b"GNF" | b"ISK" | b"JPY" | b"KMF" | b"KRW" | b"PYG"
            | b"RWF" | b"UGX" | b"VND" | b"VUV" | b"XAF" | b"XOF" | b"XPF" => 0,
            b"BHD" | b"IQD" | b"JOD" | b"KWD" | b"LYD" | b"OMR" | b"TND" => 3,
            _ => 2,
        }
    }
}

impl fmt::Display for Currency {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.code())
    }
}

impl fmt::Debug for Currency {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.code())
    }
}

/// An amount of money: whole minor units of one currency. Shown as `12.50 USD`.
#[derive(Clone, Copy, PartialEq, Eq, Hash)]
pub struct Money {
    minor: i64,
    currency: Currency,
}

impl Money {
    /// `minor` units (cents) of a currency.
    pub const fn new(minor: i64, currency: Currency) -> Self {
        Self { minor, currency }
    }

    /// Reads an amount with its currency: `12.50 USD`, `12,50 EUR`, `USD 12.50`.
    ///
    /// # Errors
    /// When the amount or the currency is missing, negative, has more decimal places than the
    /// currency, is ambiguous (`1,234`) or absurdly large; a sign such as `$` is no currency, as
    /// several countries use it.
    pub fn parse(text: &str) -> Result<Self, QuantityError> {
        read(text).map_err(|reason| QuantityError::new(text, reason))
    }

    /// The count of minor units.
    pub const fn minor(self) -> i64 {
        self.minor
    }

    /// The currency.
    pub const fn currency(self) -> Currency {
        self.currency
    }

    /// The sum, when both are of one currency.
    pub fn plus(self, other: Self) -> Option<Self> {
        let minor = self.minor.saturating_add(other.minor);
        (self.currency == other.currency).then_some(Self { minor, ..self })
    }

    /// `count` times as much (saturating).
    #[must_use]
    pub const fn times(self, count: i64) -> Self {
        Self { minor: self.minor.saturating_mul(count), ..self }
    }

    /// What `bought` costs when this is the price of `unit` (a yard, a metre), to the nearest minor
    /// unit. Nothing when `unit` is not positive.
    #[must_use]
    pub fn for_length(self, bought: Length, unit: Length) -> Self {
        if !unit.is_positive() {
            return Self { minor: 0, ..self };
        }
        let product = i128::from(self.minor) * i128::from(bought.to_nm());
        let minor = rounded(product, i128::from(unit.to_nm()));
        Self { minor: i64::try_from(minor).unwrap_or(i64::MAX), ..self }
    }
}

impl fmt::Display for Money {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let places = self.currency.places();
        let sign = if self.minor < 0 { "-" } else { "" };
        // One digit more than there are places, so that the whole part is never empty.
        let digits = format!("{:0width$}", self.minor.unsigned_abs(), width = places + 1);
        let (whole, minor) = digits.split_at(digits.len() - places);
        let point = if places == 0 { "" } else { "." };
        write!(f, "{sign}{whole}{point}{minor} {}", self.currency)
    }
}

impl fmt::Debug for Money {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self, f)
    }
}

fn read(text: &str) -> Result<Money, String> {
    let plain = spell_out(text);
    let plain = plain.trim();
    let is_amount = |c: char| c.is_ascii_digit() || c == '.' || c == ',';
    let (amount, code) = match plain.find(is_amount) {
        Some(0) => plain.split_at(plain.find(|c| !is_amount(c)).unwrap_or(plain.len())),
        Some(start) => {
            let (code, amount) = plain.split_at(start);
            (amount, code)
        }
        None => return Err(format!("has no amount; {ADVICE}")),
    };
    let (amount, code) = (amount.trim(), code.trim());
    match code {
        "" => return Err(format!("has no currency; {ADVICE}")),
        code if code.starts_with('-') || code.ends_with('-') => {
            return Err("cannot be negative".into());
        }
        "$" | "£" | "¥" | "€" => {
            return Err(format!("`{code}` is a sign, not a code; {ADVICE}"));
        }
        _ => {}
    }
    let currency = Currency::parse(code).map_err(|error| error.to_string())?;
    let (numerator, denominator) = decimal(amount)?;
    let minors = 10_i128.pow(u32::try_from(currency.places()).unwrap_or(0));
    let minor = numerator * minors / denominator;
    if minor * denominator != numerator * minors {
        let places = currency.places();
        return Err(format!("has more than the {places} decimal places of {currency}"));
    }
    if minor > LARGEST {
        return Err("is more than any price of a bag".into());
    }
    i64::try_from(minor)
        .map(|minor| Money { minor, currency })
        .map_err(|_| "is more than any price of a bag".into())
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn amounts_are_read_and_shown() {
        for text in ["12.50 USD", "12,50 usd", "USD 12.50", "12.5USD", " 12.500\u{a0}USD "] {
            let money = Money::parse(text).unwrap();
            assert_eq!((money.minor(), money.currency()), (1250, Currency::USD), "{text}");
            assert_eq!(money.to_string(), "12.50 USD");
        }
        // ISO 4217: the yen has no minor unit, the Kuwaiti dinar three places (from memory).
        assert_eq!(Money::parse("1200 JPY").unwrap().to_string(), "1200 JPY");
        assert_eq!(Money::parse("1.25 KWD").unwrap().to_string(), "1.250 KWD");
        assert_eq!(Money::new(-5, Currency::EUR).to_string(), "-0.05 EUR");
    }

    #[test]
    fn what_is_no_price_is_refused() {
        let refusal = |text: &str| Money::parse(text).expect_err(text).to_string();
        assert_eq!(
            refusal("12.50"),
            "`12.50`: has no currency; write an amount and a three-letter currency code, as in \
             `12.50 USD`"
        );
        assert!(refusal("$12.50").contains("`$` is a sign, not a code"));
        assert!(refusal("12.505 USD").contains("more than the 2 decimal places of USD"));
        assert!(refusal("1,234 USD").contains("may mean"));
        assert!(refusal("-3 USD").contains("negative"));
        assert!(refusal("USD").contains("has no amount"));
        assert!(refusal("12 dollars").contains("is not a currency"));
        assert!(refusal("99999999999 USD").contains("nine digits"));
    }

    #[test]
    fn prices_by_length() {
        // Common practice, no source: 3/8 yd at 12.50 a yard is 4.6875, so 4.69.
        let price = Money::new(1250, Currency::USD);
        let cloth = price.for_length(Length::inch_frac(27, 2), Length::YARD);
        assert_eq!(cloth.to_string(), "4.69 USD");
        assert_eq!(cloth.plus(price), Some(Money::new(1719, Currency::USD)));
        assert_eq!(cloth.plus(Money::new(1, Currency::EUR)), None);
        assert_eq!(price.for_length(Length::INCH, Length::ZERO).minor(), 0);
        // University of Missouri Extension MP598: a price is the sum of its parts; 8 + 12 + 3 + 7 = 30
        // (worked example at craftprofessional.com).
        let parts = [8, 12, 3, 7].map(|whole| Money::new(whole * 100, Currency::USD));
        let sum = parts.into_iter().try_fold(Money::new(0, Currency::USD), Money::plus);
        assert_eq!(sum.unwrap().to_string(), "30.00 USD");
    }

    proptest! {
        #[test]
        fn shown_amounts_read_back(minor in 0_i64..1_000_000_000, code in "[A-Z]{3}") {
            let money = Money::new(minor, Currency::parse(&code).unwrap());
            prop_assert_eq!(Money::parse(&money.to_string()), Ok(money));
        }

        #[test]
        fn never_panics(text in any::<String>(), likely in "[A-Z$ ]{0,4}[0-9.,]{0,14}[A-Z ]{0,4}") {
            for text in [text, likely] {
                if let Ok(money) = Money::parse(&text) {
                    prop_assert!(money.minor() >= 0);
                }
            }
        }
    }
}
