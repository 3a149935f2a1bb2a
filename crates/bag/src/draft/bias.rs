//! Bias strips: the squares that they are cut from.

use measure::{Length, Outline, Rounding, Ruler, System};

use super::{Drafter, NewPiece};
use crate::design::Role;
use crate::operations::CutBias;
use crate::pattern::{Chapter, Grain};

/// A bias strip that a bag needs.
#[derive(Clone, Copy, Debug)]
pub struct BiasStrip {
    /// Id of the piece that it is cut from.
    pub id: &'static str,
    /// What it is for: "binding", "piping".
    pub serves: &'static str,
    /// Its width.
    pub wide: Length,
    /// Its length.
    pub long: Length,
}

/// What is lost along the sides of a square, in all: half an inch at each (published charts of bias
/// yields: from a square of s inches come (s − 1)² / w inches of strip).
pub(super) fn lost(system: System) -> Length {
    match system {
        System::Inch => Length::INCH,
        System::Metric => Length::mm(25),
    }
}

/// How much strip of some width a rectangle gives, what is lost along its sides taken off.
pub fn strip_from((width, height): (Length, Length), strip: Length, system: System) -> Length {
    if !strip.is_positive() {
        return Length::ZERO;
    }
    let [a, b] =
        [width, height].map(|side| i128::from((side - lost(system)).max(Length::ZERO).to_nm()));
    let long = a * b / i128::from(strip.to_nm());
    Length::nm(i64::try_from(long).unwrap_or(i64::MAX))
}

/// Side of the smallest square, on the ruler, that gives so much strip of that width.
fn square_for(long: Length, strip: Length, system: System) -> Length {
    let side = (long.to_mm() * strip.to_mm()).max(0.0).sqrt();
    let ruler = match system {
        System::Inch => Ruler::HALF_INCH,
        System::Metric => Ruler::CM,
    };
    ruler.round(Length::from_mm_f64(side) + lost(system), Rounding::Up)
}

/// Most squares that a strip is cut from.
const MOST: i64 = 8;

impl Drafter<'_> {
    /// Cuts a square of the binding's fabric into a bias strip: as many equal squares as are no wider
    /// than the fabric.
    pub fn cut_bias(&mut self, of: BiasStrip) {
        let material = self.fabric(Role::Binding);
        let usable = self.cloth_width(material);
        let side = |count: i64| square_for(of.long / count, of.wide, self.system);
        let fits = |count: &i64| usable.is_none_or(|usable| side(*count) <= usable);
        let count = (1..=MOST).find(fits).unwrap_or(MOST);
        let side = side(count);
        let name = format!("square for {}", of.serves);
        let square = self.piece(NewPiece {
            id: of.id,
            name: &name,
            role: Role::Binding,
            net: Outline::rectangle(side, side),
            edges: ["lower edge", "right edge", "upper edge", "left edge"]
                .map(|edge| (edge, Length::ZERO))
                .into(),
            grain: Grain::Free,
            join: None,
        });
        self.piece_mut(square).interfacing = None;
        let squares: Vec<_> = (1..=count)
            .map(|number| match count {
                1 => self.copy(square, &name),
                _ => self.copy(square, &format!("{name} {number}")),
            })
            .collect();
        if let Some(first) = squares.first() {
            self.part(*first, (side, side));
        }
        let stitch = self.stitch("seam");
        let cut = CutBias { squares, strip: of.wide, long: of.long, stitch };
        self.step(Chapter::Panels, &format!("cut-{}", of.serves), cut);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn inches(value: Length) -> f64 {
        value.to_inch()
    }

    /// Published charts of bias with a margin of 1/2 in at each side: 60 in of 2 in strips from a
    /// square of 12 in, 72 from 13, 98 (chart 100) from 15.
    #[test]
    fn published_yields_of_bias() {
        for (side, chart, tolerance) in [(12, 60.0, 0.6), (13, 72.0, 0.1), (15, 100.0, 2.1)] {
            let side = Length::inch(side);
            let long = inches(strip_from((side, side), Length::inch(2), System::Inch));
            assert!((long - chart).abs() <= tolerance, "{long} against {chart}");
        }
        for (long, square) in [(60, 12), (72, 13)] {
            let side = square_for(Length::inch(long), Length::inch(2), System::Inch);
            assert_eq!(side, Length::inch(square));
        }
    }

    /// Length times width is area, nothing lost: squares for a length of strip, rounded up to whole
    /// inches by those who published them (quiltingboard.com tutorial 9808; mydecozo.co.uk;
    /// getasquiltingstudio 2018; quiltersquestiontime 2021). Ours are larger by what is lost along
    /// the sides, 1 in, and never by more than one step of the ruler besides.
    #[test]
    fn published_squares_of_continuous_bias_and_what_is_lost() {
        let published: [(f64, f64, f64, i64); 5] = [
            (250.0, 2.0, 22.36, 23),
            (55.0, 2.5, 11.73, 12),
            (100.0, 3.5, 18.71, 19),
            (450.0, 2.25, 31.8, 32),
            (200.0, 2.0, 20.0, 20),
        ];
        for (long, strip, side, whole) in published {
            let [long, strip] = [long, strip].map(|value| Length::from_mm_f64(value * 25.4));
            let ours = square_for(long, strip, System::Inch) - lost(System::Inch);
            let exact = (inches(long) * inches(strip)).sqrt();
            assert!((exact - side).abs() < 0.02, "{exact} against {side}");
            assert!(inches(ours) >= exact - 1e-6 && ours <= Length::inch(whole), "{ours:?}");
            // And back: the square gives the strip.
            let square = ours + lost(System::Inch);
            assert!(strip_from((square, square), strip, System::Inch) >= long);
        }
    }

    /// A square of 22 in and 3 in strips: 157.7 in with 1/4 in lost in all (published); with what we
    /// take off it gives less, and never more than its area.
    #[test]
    fn what_is_given_is_never_more_than_the_area() {
        let (side, strip) = (Length::inch(22), Length::inch(3));
        let ours = inches(strip_from((side, side), strip, System::Inch));
        assert!((ours - 147.0).abs() < 0.01 && ours < 157.7, "{ours}");
        assert_eq!(strip_from((Length::MM, Length::MM), strip, System::Metric), Length::ZERO);
        assert_eq!(strip_from((side, side), Length::ZERO, System::Inch), Length::ZERO);
    }
}
