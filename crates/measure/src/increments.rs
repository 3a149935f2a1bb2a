//! The lengths in which a shop sells cloth, and rounding up to the next of them.

use std::error::Error;
use std::fmt;

use crate::show::show_bought;
use crate::units::{System, Units};
use crate::{Length, LengthError, Rounding, Ruler, Style, parse_length};

/// A set of increments: any whole multiple of any one of them may be bought.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Increments {
    // Sorted from long to short, without repeats, never empty, all positive.
    steps: Vec<Length>,
}

impl Increments {
    /// Increments of these lengths.
    ///
    /// # Errors
    /// When there is none, or one is shorter than a millimetre.
    pub fn new(steps: impl IntoIterator<Item = Length>) -> Result<Self, IncrementsError> {
        let mut steps: Vec<_> = steps.into_iter().collect();
        if let Some(&short) = steps.iter().find(|&&step| step < Length::MM) {
            return Err(IncrementsError::TooShort(short));
        }
        steps.sort_unstable_by(|a, b| b.cmp(a));
        steps.dedup();
        if steps.is_empty() { Err(IncrementsError::Empty) } else { Ok(Self { steps }) }
    }

    /// Reads increments from texts such as `1/8 yd`, `1/3 yd` or `10 cm`.
    ///
    /// # Errors
    /// When a text is not a length, or as for [`Increments::new`].
    pub fn parse<'a>(
        texts: impl IntoIterator<Item = &'a str>,
        default: Units,
    ) -> Result<Self, IncrementsError> {
        let steps = texts.into_iter().map(|text| parse_length(text, default));
        Self::new(steps.collect::<Result<Vec<_>, _>>().map_err(IncrementsError::Length)?)
    }

    /// Eighths of a yard.
    pub fn eighth_yards() -> Self {
        Self { steps: vec![Ruler::EIGHTH_YARD.step()] }
    }

    /// Thirds and eighths of a yard.
    pub fn third_and_eighth_yards() -> Self {
        Self { steps: vec![Ruler::THIRD_YARD.step(), Ruler::EIGHTH_YARD.step()] }
    }

    /// Ten centimetres.
    pub fn ten_cm() -> Self {
        Self { steps: vec![Ruler::TEN_CM.step()] }
    }

    /// What is usual in a system when nothing is said: eighths of a yard, or 10 cm.
    pub fn usual(system: System) -> Self {
        match system {
            System::Inch => Self::eighth_yards(),
            System::Metric => Self::ten_cm(),
        }
    }

    /// The increments, from long to short.
    pub fn steps(&self) -> &[Length] {
        &self.steps
    }

    /// The least that can be bought that is not less than `length`; zero for what is not positive.
    #[must_use]
    pub fn round_up(&self, length: Length) -> Length {
        if !length.is_positive() {
            return Length::ZERO;
        }
        let up = |step: &Length| Ruler::new(*step, Style::Mm).round(length, Rounding::Up);
        self.steps.iter().map(up).min().unwrap_or(length)
    }

    /// Whether exactly this length can be bought.
    pub fn is_sold(&self, length: Length) -> bool {
        length.is_positive() && self.round_up(length) == length
    }

    /// The increments as words: `1/3 yd or 1/8 yd`.
    pub fn show(&self, system: System) -> String {
        let shown: Vec<_> = self.steps.iter().map(|&step| show_bought(step, system)).collect();
        match shown.split_last() {
            Some((last, before)) if !before.is_empty() => {
                format!("{} or {last}", before.join(", "))
            }
            _ => shown.concat(),
        }
    }
}

/// Why texts are not a set of increments.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum IncrementsError {
    /// There is none.
    Empty,
    /// One is shorter than a millimetre.
    TooShort(Length),
    /// One is not a length.
    Length(LengthError),
}

impl fmt::Display for IncrementsError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Empty => f.write_str(
                "no increment is given; write for example `1/8 yd`, `1/3 yd` or `10 cm`",
            ),
            Self::TooShort(short) => write!(
                f,
                "an increment of {} mm cannot be cut in a shop; write for example `1/8 yd` or `10 cm`",
                short.to_mm()
            ),
            Self::Length(error) => error.fmt(f),
        }
    }
}

impl Error for IncrementsError {}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn rounding_up_to_eighths_and_thirds() {
        // Published roundings to the next 1/8 yd: 29 in is 7/8 yd, 12.5 in is 3/8 yd
        // (scissortailquilting.com, hookedonsewing.com).
        let bought = |increments: &Increments, over, under| {
            show_bought(increments.round_up(Length::inch_frac(over, under)), System::Inch)
        };
        let eighths = Increments::eighth_yards();
        assert_eq!(bought(&eighths, 29, 1), "7/8 yd");
        assert_eq!(bought(&eighths, 25, 2), "3/8 yd");
        // Common practice, no source.
        assert_eq!(bought(&eighths, 26, 1), "3/4 yd");
        assert_eq!(bought(&eighths, 10, 1), "3/8 yd");
        assert_eq!(bought(&eighths, 18, 1), "1/2 yd");
        assert_eq!(bought(&eighths, 27, 2), "3/8 yd");
        let both = Increments::third_and_eighth_yards();
        assert_eq!(bought(&both, 10, 1), "1/3 yd");
        assert_eq!(bought(&both, 13, 1), "3/8 yd");
        assert_eq!(Increments::ten_cm().round_up(Length::mm(901)), Length::mm(1000));
        assert_eq!(eighths.round_up(Length::ZERO), Length::ZERO);
    }

    #[test]
    fn texts_are_read_and_shown() {
        let both = Increments::parse(["1/8 yd", "1/3 yd", "4.5 in"], Units::Inch).unwrap();
        assert_eq!(both, Increments::third_and_eighth_yards());
        assert_eq!(both.show(System::Inch), "1/3 yd or 1/8 yd");
        assert_eq!(Increments::ten_cm().show(System::Metric), "0.1 m");
        assert!(both.is_sold(Length::inch(12)) && !both.is_sold(Length::inch(10)));
    }

    #[test]
    fn nonsense_is_refused_with_what_would_be_right() {
        let error = |texts: &[&str]| {
            Increments::parse(texts.iter().copied(), Units::Inch).unwrap_err().to_string()
        };
        assert_eq!(
            error(&[]),
            "no increment is given; write for example `1/8 yd`, `1/3 yd` or `10 cm`"
        );
        assert_eq!(
            error(&["0 cm"]),
            "an increment of 0 mm cannot be cut in a shop; write for example `1/8 yd` or `10 cm`"
        );
        assert!(error(&["1/8 yrd"]).contains("did you mean `yd`?"));
    }

    proptest! {
        #[test]
        fn the_purchase_is_the_least_that_is_enough(nm in 1_i64..20_000_000_000) {
            let both = Increments::third_and_eighth_yards();
            let bought = both.round_up(Length::nm(nm));
            prop_assert!(bought >= Length::nm(nm) && both.is_sold(bought));
            // One nanometre less would not be sold, and nothing sold lies between.
            for step in both.steps() {
                let below = Length::nm((bought.to_nm() - 1) / step.to_nm() * step.to_nm());
                prop_assert!(below < Length::nm(nm));
            }
        }
    }
}
