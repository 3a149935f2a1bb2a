//! Whether straps come out as long, as wide and as free as the pattern says.

use measure::Length;

use super::judge::{Compared, Judge, counted};
use super::{Body, Feet, Layers, PieceClaim, Seam, StrapClaim};

/// Name of the check on lengths.
const LENGTH: &str = "strap-length";
/// Name of the check on widths.
const WIDTH: &str = "strap-width";
/// Name of the check on what is free above the rim.
const DROP: &str = "strap-drop";

/// Judges every strap.
pub(super) fn judge(j: &mut Judge<'_>) {
    for (index, strap) in j.claims.straps.iter().enumerate() {
        let Some(piece) = j.piece(strap.piece) else { continue };
        let at = At(index + 1);
        let lengths = lengths(j, strap, piece, at);
        width(j, strap, piece, at);
        // Where the claimed length cannot be, the rest is judged by the one it agrees with.
        let by =
            lengths.into_iter().map(|length| (j.trial(|j| free(j, strap, length, at)), length));
        if let Some((_, length)) = by.min_by_key(|(errors, _)| *errors) {
            free(j, strap, length, at);
        }
    }
}

/// Which strap of the file, counted from 1.
#[derive(Clone, Copy)]
struct At(usize);

impl At {
    fn key(self, key: &str) -> String {
        format!("strap[{}].{key}", self.0)
    }
}

/// The length of one strap: the one that its pieces give and the one that is claimed, as far as
/// they are known.
///
/// n pieces of length L, joined with an allowance a, make n·L − 2(n − 1)·a.
fn lengths(j: &mut Judge<'_>, strap: &StrapClaim, piece: &PieceClaim, at: At) -> Vec<Length> {
    let long = piece.width.max(piece.height);
    let joins = i64::from(strap.pieces_each.max(1)) - 1;
    let allowance = strap.join_allowance.filter(|_| joins > 0);
    let found = match (joins, allowance) {
        (0, _) => Some(long),
        (_, Some(allowance)) => Some(long * (joins + 1) - allowance * (joins * 2)),
        (_, None) => None,
    };
    let Some(claimed) = strap.length else { return found.into_iter().collect() };
    let Some(found) = found else {
        j.unsaid(LENGTH, &at.key("length"), "the strap's length", "the allowance of its joins");
        return vec![claimed];
    };
    let taken = allowance.unwrap_or_default() * (joins * 2);
    let by = if joins == 0 {
        format!("`{}` is cut {} long", piece.name, j.show(long))
    } else {
        format!(
            "{} of `{}`, {} long each, lose {} in {}",
            counted(joins.unsigned_abs() + 1, "piece"),
            piece.name,
            j.show(long),
            j.show(taken),
            counted(joins.unsigned_abs(), "join")
        )
    };
    let each = j.up((claimed + taken) / (joins + 1));
    j.compare(Compared {
        check: LENGTH,
        place: &at.key("length"),
        what: "strap length",
        claimed,
        found,
        within: j.hair(),
        by,
        cure: format!("cut `{}` {each} long", piece.name),
    });
    vec![found, claimed]
}

/// Four layers finish a quarter of the strip wide. A strip folded once, sewn with an allowance a
/// and turned finishes half of the strip less a (common practice, no source).
fn width(j: &mut Judge<'_>, strap: &StrapClaim, piece: &PieceClaim, at: At) {
    let (Some(claimed), Some(layers)) = (strap.width, strap.layers) else {
        if strap.width.is_some() {
            j.unsaid(WIDTH, &at.key("width"), "the strap's width", "how many layers it has");
        }
        return;
    };
    let strip = piece.width.min(piece.height);
    let (found, cut, how) = match layers {
        Layers::Four => (strip / 4, claimed * 4, "four layers are a quarter of it".to_owned()),
        Layers::Two(Some(a)) => {
            let how = format!("two layers are half of it less a seam of {}", j.show(a));
            (strip.half() - a, (claimed + a) * 2, how)
        }
        Layers::Two(None) => {
            let wants = "the allowance along the strap";
            j.unsaid(WIDTH, &at.key("width"), "the width of a strap that is turned", wants);
            return;
        }
    };
    j.compare(Compared {
        check: WIDTH,
        place: &at.key("width"),
        what: "finished strap width",
        claimed,
        found,
        within: j.hair().half(),
        by: format!("`{}` is cut {} wide, and {how}", piece.name, j.show(strip)),
        cure: format!("cut `{}` {} wide", piece.name, j.show(cut)),
    });
}

/// Where a strap's ends lie, below the raw upper edge.
struct Legs {
    /// How much of the strap lies below the raw upper edge at each end.
    below: Length,
    /// The allowance at the rim.
    rim: Option<Length>,
    /// In words.
    by: String,
}

fn legs(j: &mut Judge<'_>, strap: &StrapClaim, length: Length, at: At) -> Option<Legs> {
    let claims = [
        ("above-raw-edge", strap.above_raw_edge),
        ("above-rim", strap.above_rim),
        ("drop", strap.drop),
    ];
    let (key, _) = claims.iter().find(|(_, claimed)| claimed.is_some())?;
    let place = at.key(key);
    let long = j.show(length);
    let Some(feet) = strap.feet else {
        j.unsaid(DROP, &place, "the strap's free length", "where its ends lie");
        return None;
    };
    let size = j.claims.size.as_ref();
    let panel = strap.panel.or(size.map(|size| size.panel)).and_then(|index| j.piece(index));
    let Some(panel) = panel else {
        j.unsaid(DROP, &place, "the strap's free length", "which panel it goes up");
        return None;
    };
    let rim = j.claims.seam(panel, Seam::Rim);
    if feet == Feet::Rim {
        let by = format!("a strap {long} long is set level with the raw upper edge");
        return Some(Legs { below: Length::ZERO, rim, by });
    }
    // A panel that runs under the base is as high as half of the piece.
    let under = size.is_some_and(|size| size.body == Body::UnderTheBase);
    let below = if under { panel.height.half() } else { panel.height };
    let by = format!(
        "a strap {long} long goes up `{}`, {} high as cut, from the base and down again",
        panel.name,
        j.show(below)
    );
    Some(Legs { below, rim, by })
}

/// What is free above the raw edge is the strap less both legs; above the finished rim there is
/// an allowance more at each. Pulled taut to a point over legs a apart, a free length f drops
/// √((f/2)² − (a/2)²) (Pythagoras); it can never drop more than f/2.
fn free(j: &mut Judge<'_>, strap: &StrapClaim, length: Length, at: At) {
    let Some(legs) = legs(j, strap, length, at) else { return };
    let above_raw = length - legs.below * 2;
    let within = j.hair() * 2;
    if let Some(claimed) = strap.above_raw_edge {
        let off = claimed - above_raw;
        j.compare(Compared {
            check: DROP,
            place: &at.key("above-raw-edge"),
            what: "free strap length above the raw upper edge",
            claimed,
            found: above_raw,
            within,
            by: legs.by.clone(),
            cure: format!("cut straps {} long", j.show(length + off)),
        });
    }
    if strap.above_rim.is_none() && strap.drop.is_none() {
        return;
    }
    let Some(rim) = legs.rim else {
        let key = if strap.above_rim.is_some() { "above-rim" } else { "drop" };
        let wants = "the allowance or hem at the rim";
        j.unsaid(DROP, &at.key(key), "what is free above the finished rim", wants);
        return;
    };
    // Set into the rim, an allowance at each end lies within the seam; from the base, the rim is
    // turned down by as much and the strap stands up that much longer.
    let free = match strap.feet {
        Some(Feet::Rim) => above_raw - rim * 2,
        _ => above_raw + rim * 2,
    };
    if let Some(claimed) = strap.above_rim {
        let off = claimed - free;
        j.compare(Compared {
            check: DROP,
            place: &at.key("above-rim"),
            what: "free strap length above the finished rim",
            claimed,
            found: free,
            within,
            by: format!("{}, with {} at the rim", legs.by, j.show(rim)),
            cure: format!("cut straps {} long", j.show(length + off)),
        });
    }
    if let Some(claimed) = strap.drop {
        drop(j, strap, claimed, (length, free), &legs.by, at);
    }
}

fn drop(
    j: &mut Judge<'_>,
    strap: &StrapClaim,
    claimed: Length,
    (length, free): (Length, Length),
    by: &str,
    at: At,
) {
    let place = at.key("drop");
    let by = format!("{by}, so {} are free above the rim", j.show(free));
    let half_apart = strap.apart.map(Length::half);
    let (leg, half) = (free.half().to_mm().max(0.0), half_apart.unwrap_or_default().to_mm());
    let found = Length::from_mm_f64((leg * leg - half * half).max(0.0).sqrt());
    // A drop is measured by pulling cloth taut: a quarter of an inch is as near as that gets.
    let within = j.hair() * 4;
    if strap.apart.is_none() {
        let message = format!("{by}; it drops {} at most", j.show(found));
        if claimed <= found + within {
            j.fine(DROP, &place, format!("drop {}, which can be: {message}", j.show(claimed)));
        } else {
            let cure = format!("cut straps longer than {}", j.show(length + claimed * 2 - free));
            let message = format!("the pattern says a drop of {}; {message}", j.show(claimed));
            j.wrong(DROP, &place, message, cure);
        }
        return;
    }
    let wanted = claimed.to_mm();
    let needs = Length::from_mm_f64(2.0 * (wanted * wanted + half * half).sqrt());
    let apart = j.show(half_apart.unwrap_or_default() * 2);
    j.compare(Compared {
        check: DROP,
        place: &place,
        what: "drop",
        claimed,
        found,
        within,
        by: format!("{by}, over legs {apart} apart"),
        cure: format!("cut straps {} long", j.show(length + needs - free)),
    });
}
