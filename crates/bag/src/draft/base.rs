//! The base of a bag that lies flat: where things stand on it, and what lies in it.

use measure::{Length, Point};

use super::Shell;
use crate::pattern::CopyId;

/// The finished base.
#[derive(Clone, Debug)]
pub struct Base {
    /// Width × depth.
    pub size: (Length, Length),
    /// Its outline.
    pub shape: BaseShape,
    /// The piece of its own that it is, and its middle there.
    pub piece: Option<BasePiece>,
}

/// The outline of a base.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BaseShape {
    /// A rectangle.
    Square,
    /// A rectangle with rounded corners, by their radius.
    Rounded(Length),
    /// A circle or an ellipse.
    Oval,
}

/// A piece of its own as base, or the stretch of a gusset.
#[derive(Clone, Copy, Debug)]
pub struct BasePiece {
    /// The copy.
    pub copy: CopyId,
    /// The middle of the base, in its coordinates.
    pub middle: Point,
    /// Whether the width of the base runs along the copy's height.
    pub upright: bool,
}

impl Base {
    /// A place on the base, `x` to the right and `y` to the back of its middle. Without a piece of
    /// its own it consists of the lower parts of front and back.
    pub fn at(&self, shell: &Shell, x: Length, y: Length) -> (CopyId, Point) {
        if let Some(piece) = self.piece {
            let (dx, dy) = if piece.upright { (y, x) } else { (x, -y) };
            return (piece.copy, Point::new(piece.middle.x + dx, piece.middle.y + dy));
        }
        let [front, back] = [&shell.faces[0], &shell.faces[shell.faces.len() - 1]];
        if y < Length::ZERO { front.on(0, x, -y) } else { back.on(0, -x, y) }
    }

    /// The place of something near a corner, `inset` from both edges of a rectangle; where the
    /// corner is rounded off, as far from its curve.
    pub fn corner(&self, inset: Length) -> (Length, Length) {
        let (x, y) = (self.size.0.half() - inset, self.size.1.half() - inset);
        let diagonal = std::f64::consts::FRAC_1_SQRT_2;
        let part = |length: Length, share: f64| Length::from_mm_f64(length.to_mm() * share);
        match self.shape {
            BaseShape::Rounded(radius) if radius > inset => {
                let more = part(radius - inset, 1.0 - diagonal);
                (x - more, y - more)
            }
            BaseShape::Oval => (part(x, diagonal), part(y, diagonal)),
            BaseShape::Square | BaseShape::Rounded(_) => (x, y),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// On a circle of radius r the middle of a foot at an inset i lies r − i from the centre.
    #[test]
    fn feet_stay_within_a_round_base() {
        let (size, inset) = (Length::mm(200), Length::mm(25));
        for shape in [BaseShape::Oval, BaseShape::Rounded(Length::mm(100))] {
            let (x, y) = Base { size: (size, size), shape, piece: None }.corner(inset);
            let from_centre = x.to_mm().powi(2) + y.to_mm().powi(2);
            assert!((from_centre.sqrt() - 75.0).abs() < 0.001, "{shape:?}");
        }
    }
}
