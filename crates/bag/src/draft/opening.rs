//! Openings for turning.

use measure::Length;

use crate::operations::Gap;

/// An opening of the given length in the middle of a seam; no longer than leaves a quarter of the
/// seam closed at either end.
pub fn centred_gap(seam: Length, opening: Length) -> Gap {
    let opening = opening.min(seam.half());
    let from = (seam - opening).half();
    Gap { from, to: from + opening }
}
