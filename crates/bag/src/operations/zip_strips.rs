//! Set a zip between two folded strips.

use measure::Length;

use super::{Hand, Operation, Sewing, Stitching, Takes, Telling, Told, Worded};
use crate::assembly::Assembly;
use crate::pattern::{CopyId, Pattern};
use crate::record::{AtLeastOne, record};

/// Fold strips lengthwise and set a zip between their folds: the panel of a zip along the top of a
/// bag.
#[derive(Clone, Debug)]
pub struct ZipStrips {
    /// The two strips.
    pub strips: Vec<CopyId>,
    /// The tabs that cover the ends of the zip.
    pub tabs: Vec<CopyId>,
    /// Length of the zip as bought, stop to stop.
    pub bought: Length,
    /// Length to which it is shortened, tape ends included.
    pub length: Length,
    /// How much of both ends of a strip is turned in.
    pub turn: Length,
    /// Finished width of a strip.
    pub width: Length,
    /// How far from the teeth its fold lies.
    pub from_teeth: Length,
    /// Stitch length.
    pub stitch: Length,
}

impl Operation for ZipStrips {
    fn tell(&self, t: &Telling<'_>) -> Told {
        let shorten = if self.bought > self.length {
            format!(
                "Shorten the zip from {} to {}: sew across the teeth several times by hand or with a \
                 wide zigzag, and cut it off below. ",
                t.len(self.bought),
                t.len(self.length)
            )
        } else {
            String::new()
        };
        let ends = match self.tabs.as_slice() {
            [] => String::new(),
            tabs => format!(
                "Wrap {} round the ends of the zip, all edges turned in, and edgestitch. ",
                t.names(tabs)
            ),
        };
        Told::new(format!(
            "{shorten}{ends}Turn in {} at both ends of {}, fold each lengthwise, wrong sides \
             together, so that it is {} wide, and press. Lay the folds on the tape of the zip, one \
             on either side, {} from the teeth, both beginning at its upper stop, and edgestitch \
             with the zip foot (stitch length {}); topstitch across the ends of the strips.",
            t.len(self.turn),
            t.names(&self.strips),
            t.len(self.width),
            t.len(self.from_teeth),
            t.stitch(self.stitch),
        ))
        .mind("open the zip halfway before you sew past its slider, and never cut off the end with the slider on the short side.")
    }

    fn takes(&self, work: &Assembly<'_>) -> Takes {
        let mut takes =
            Takes::default().hand(Hand::Shorten, usize::from(self.bought > self.length));
        for strip in &self.strips {
            let (width, height) = work.pattern.piece_of(*strip).net_size();
            let long = Sewing::new(Stitching::Shown, width.max(height), self.stitch);
            let ends = Sewing::new(Stitching::Shown, self.width, self.stitch).times(2);
            takes.rows.extend([long.through(*strip, 2), ends.through(*strip, 4)]);
            takes = takes.press(width.max(height));
        }
        for tab in &self.tabs {
            let wide = work.pattern.piece_of(*tab).net_size().0;
            takes.rows.push(Sewing::new(Stitching::Shown, wide, self.stitch).through(*tab, 4));
        }
        takes
    }

    fn makes(&self, part: CopyId, size: (Length, Length), _: &Pattern) -> (Length, Length) {
        if self.strips.contains(&part) { (size.0 - self.turn * 2, size.1.half()) } else { size }
    }

    fn carry_out(&self, work: &mut Assembly<'_>) {
        for strip in &self.strips {
            work.needs_fresh(*strip, "set a zip to");
            // The two short ends; the long ones lie on each other and are caught at the rim.
            work.fasten_end(*strip, 1);
            work.fasten_end(*strip, 3);
        }
        for tab in &self.tabs {
            work.turn_under(*tab);
        }
    }

    fn copies(&self) -> Vec<CopyId> {
        self.strips.iter().chain(&self.tabs).copied().collect()
    }
}

impl Worded for ZipStrips {
    const WORD: &'static str = "zip-strips";
}

record!(ZipStrips: "Fold strips lengthwise and set a zip between their folds: the second and the fourth edge of each are its ends." {
    strips via AtLeastOne; "The two strips.",
    tabs; "The tabs that cover the ends of the zip.",
    bought; "Length of the zip as bought, stop to stop.",
    length; "Length to which it is shortened.",
    turn; "How much of both ends of a strip is turned in.",
    width; "Finished width of a strip.",
    from_teeth; "How far from the teeth its fold lies.",
    stitch; "Stitch length.",
});
