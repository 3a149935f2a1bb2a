//! Whether patch pockets finish as the pattern says.

use measure::Length;

use super::judge::{Compared, Judge};
use super::{PieceClaim, PocketClaim, PocketMake};

/// Name of the check.
const CHECK: &str = "pocket-size";

/// Judges the finished size of each pocket.
///
/// Sewn or pressed all around with an allowance a, a pocket finishes W − 2a wide and H − 2a high;
/// a hem along the upper edge takes its own depth there. A piece that is folded across its height
/// finishes H/2 − a high (common practice, no source).
pub(super) fn judge(j: &mut Judge<'_>) {
    for (index, pocket) in j.claims.pockets.iter().enumerate() {
        let Some(piece) = j.piece(pocket.piece) else { continue };
        if pocket.width.is_none() && pocket.height.is_none() {
            continue;
        }
        let at = |key: &str| format!("pocket[{}].{key}", index + 1);
        let Some(allowance) = pocket.allowance else {
            let place = if pocket.width.is_some() { at("width") } else { at("height") };
            j.unsaid(CHECK, &place, "the pocket's finished size", "its seam allowance");
            continue;
        };
        let [top, sides] = [pocket.hem.unwrap_or(allowance), allowance * 2];
        let by = by(j, pocket, piece, allowance);
        let is_folded = pocket.make == PocketMake::Folded;
        let high = if is_folded {
            piece.height.half() - allowance
        } else {
            piece.height - allowance - top
        };
        let within = j.hair();
        if let Some(claimed) = pocket.width {
            let cure = format!("cut it {} wide", j.show(claimed + sides));
            j.compare(Compared {
                check: CHECK,
                place: &at("width"),
                what: "finished pocket width",
                claimed,
                found: piece.width - sides,
                within,
                by: by.clone(),
                cure,
            });
        }
        if let Some(claimed) = pocket.height {
            let cut = if is_folded { (claimed + allowance) * 2 } else { claimed + allowance + top };
            let cure = format!("cut it {} high", j.show(cut));
            j.compare(Compared {
                check: CHECK,
                place: &at("height"),
                what: "finished pocket height",
                claimed,
                found: high,
                within,
                by,
                cure,
            });
        }
    }
}

fn by(j: &Judge<'_>, pocket: &PocketClaim, piece: &PieceClaim, allowance: Length) -> String {
    let PieceClaim { name, width, height, .. } = piece;
    let size = format!("`{name}` is cut {}", measure::show_size(*width, *height, j.system));
    let seams = j.show(allowance);
    match (pocket.make, pocket.hem) {
        (PocketMake::TwoLayers, _) => {
            format!("{size}, two layers sewn around with {seams}")
        }
        (PocketMake::Folded, _) => {
            format!("{size}, folded across its height and sewn around with {seams}")
        }
        (PocketMake::OneLayer, Some(hem)) => {
            format!("{size}, {seams} turned in and {} at the top", j.show(hem))
        }
        (PocketMake::OneLayer, None) => format!("{size}, {seams} turned in all around"),
    }
}
