//! Zips as they are bought: in the lengths that shops keep, to be shortened, or by the length.

use measure::{Length, System};

use super::Drafter;
use crate::operations::CutZip;
use crate::pattern::{Chapter, Notion, notion};

/// Lengths in which zips are sold, in inches and in centimetres (from memory, no source).
const INCHES: [i64; 18] = [4, 5, 6, 7, 8, 9, 10, 12, 14, 16, 18, 20, 22, 24, 26, 30, 36, 40];
const CENTIMETRES: [i64; 19] =
    [10, 12, 15, 18, 20, 22, 25, 30, 35, 40, 45, 50, 55, 60, 65, 70, 75, 80, 100];

/// Width of the tape of a zip with teeth so wide: 25 mm of a number 3, 31 mm of a number 5, 46 mm of
/// a number 10 (from memory: makers give 24–25, 30–33 and 45–50).
pub(crate) fn tape(teeth: Length) -> Length {
    Length::mm(16) + teeth * 3
}

/// Width of the tape of a zip of a pocket, with teeth of a number 3.
pub(crate) fn pocket_tape(d: &Drafter<'_>) -> Length {
    d.either(Length::INCH, tape(Length::mm(3)))
}

/// A zip as it is bought.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum BoughtZip {
    /// With stops at both ends, so long between them; what is more than needed is cut off.
    Closed(Length),
    /// Cut so long from zip that is sold by the length, with a slider put on.
    ByLength(Length),
}

impl BoughtZip {
    /// For a zip that must be so long: the shortest on sale that is no shorter, or, beyond the
    /// longest, so much of it by the length.
    pub(crate) fn of(system: System, needed: Length) -> Self {
        let (lengths, unit): (&[i64], Length) = match system {
            System::Inch => (&INCHES, Length::INCH),
            System::Metric => (&CENTIMETRES, Length::mm(10)),
        };
        let sold = lengths.iter().map(|count| unit * *count).find(|length| *length >= needed);
        sold.map_or(Self::ByLength(needed), Self::Closed)
    }

    /// How long it is before it is shortened.
    pub(crate) fn length(self) -> Length {
        match self {
            Self::Closed(length) | Self::ByLength(length) => length,
        }
    }

    /// One of it on the list of what to buy, closed ones told by the width of the teeth.
    pub(crate) fn notion(self, teeth: Length) -> Notion {
        match self {
            Self::Closed(length) => Notion::of(&notion::ZIP, 1).long(length).wide(teeth),
            Self::ByLength(_) => self.for_pockets(1, tape(teeth)),
        }
    }

    /// So many of it on the list, all told by the width of the tape.
    pub(crate) fn for_pockets(self, count: usize, tape: Length) -> Notion {
        let kind = match self {
            Self::Closed(_) => &notion::ZIP_ON_TAPE,
            Self::ByLength(_) => &notion::ZIP_BY_LENGTH,
        };
        Notion::of(kind, count).long(self.length()).wide(tape)
    }

    /// Cuts so many of it, and puts their sliders on, if they are bought by the length.
    pub(crate) fn prepare(
        self,
        d: &mut Drafter<'_>,
        (chapter, id): (Chapter, &str),
        what: &str,
        count: usize,
    ) {
        if let Self::ByLength(length) = self {
            let count = u32::try_from(count).unwrap_or(u32::MAX);
            d.step(chapter, id, CutZip { what: what.to_owned(), count, length });
        }
    }
}
