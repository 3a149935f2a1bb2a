//! The sides of a gusset as faces of their own, which carry pockets.

use measure::{Length, Outline, Point};

use super::Gusset;
use crate::draft::face::{Borders, Lie, whole_span};
use crate::draft::{Drafter, Face, Layer};
use crate::pattern::{CopyId, Span};

impl Gusset {
    /// Its sides as faces of their own: those of three parts, or both ends of a strip, each up from
    /// where it turns under the base to the rim. The left end of a strip, its first one, stands on its
    /// head while the strip lies flat.
    pub(super) fn sides(
        &self,
        d: &Drafter<'_>,
        layer: Layer,
        gusset: &[CopyId],
        net: &Outline,
    ) -> Vec<Face> {
        let words = left_and_right(layer).map(|at| match at {
            "left" => "left side",
            _ => "right side",
        });
        if let [left, _, right] = *gusset {
            let high = d.piece_of(left).net.bounds().1.y;
            let widths = (self.depth, self.top_depth);
            let side =
                |(word, copy)| Face::of_panels(d, word, &[(copy, Length::ZERO)], widths, high);
            return words.into_iter().zip([left, right]).map(side).collect();
        }
        let strip = gusset[0];
        let long = d.piece_of(strip).net.edge_length(1);
        let [high, ..] = self.stretches(net);
        let span = |edge, from, to| Span { copy: strip, edge, from, to };
        let low = long - high;
        let face = |word, (up, turned), right, left, rim| Face {
            copies: vec![strip],
            starts: vec![Length::ZERO],
            lies: vec![Lie { foot: Point::new(self.depth.half(), up), turned }],
            base_width: self.depth,
            top_width: self.depth,
            height: high,
            ..Face::within(word, Borders { base: None, right: vec![right], left: vec![left], rim })
        };
        let zero = Length::ZERO;
        let [left, right] = [0, 2].map(|end| whole_span(d, strip, end));
        vec![
            face(words[0], (high, true), span(3, low, long), span(1, high, zero), left),
            face(words[1], (low, false), span(1, low, long), span(3, high, zero), right),
        ]
    }
}

/// What is said of the parts of a gusset at the left and at the right of a layer's right side: by where
/// they lie in the bag. Seen from within, the left lies on the right.
pub(super) fn left_and_right(layer: Layer) -> [&'static str; 2] {
    match layer {
        Layer::Outside => ["left", "right"],
        Layer::Lining => ["right", "left"],
    }
}
