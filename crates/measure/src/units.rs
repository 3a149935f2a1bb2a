//! The two systems a person measures in, and what a number without a unit means.

use std::fmt;

use crate::Length;

/// What a person measures with: inches and yards, or millimetres and metres.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum System {
    /// Inches with fractions; cloth in yards.
    Inch,
    /// Millimetres; cloth in metres.
    Metric,
}

impl System {
    /// The other one of the two.
    #[must_use]
    pub const fn other(self) -> Self {
        match self {
            Self::Inch => Self::Metric,
            Self::Metric => Self::Inch,
        }
    }

    /// Its name in design files and on the command line: `inch` or `metric`.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Inch => "inch",
            Self::Metric => "metric",
        }
    }
}

impl fmt::Display for System {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}

/// The unit that a number without one is taken in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Units {
    /// Inches.
    Inch,
    /// Centimetres.
    Cm,
    /// Millimetres.
    Mm,
}

impl Units {
    /// All of them, in the order in which they are offered.
    pub const ALL: [Self; 3] = [Self::Inch, Self::Cm, Self::Mm];

    /// The system this unit belongs to.
    pub const fn system(self) -> System {
        match self {
            Self::Inch => System::Inch,
            Self::Cm | Self::Mm => System::Metric,
        }
    }

    /// One of this unit.
    pub const fn length(self) -> Length {
        match self {
            Self::Inch => Length::INCH,
            Self::Cm => Length::mm(10),
            Self::Mm => Length::MM,
        }
    }

    /// How the unit is written after a number: `in`, `cm` or `mm`.
    pub const fn symbol(self) -> &'static str {
        match self {
            Self::Inch => "in",
            Self::Cm => "cm",
            Self::Mm => "mm",
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_unit_knows_its_system_and_its_length() {
        // The international inch is 25.4 mm (GNU units 2.22).
        let nm: Vec<_> = Units::ALL.iter().map(|units| units.length().to_nm()).collect();
        assert_eq!(nm, [25_400_000, 10_000_000, 1_000_000]);
        let systems: Vec<_> = Units::ALL.iter().map(|units| units.system().name()).collect();
        assert_eq!(systems, ["inch", "metric", "metric"]);
        assert_eq!(System::Inch.other().other(), System::Inch);
    }
}
