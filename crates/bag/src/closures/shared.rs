//! What closures of several kinds share: where a half lies on a face, and what is claimed of it.

use measure::{Length, Point};

use crate::draft::{Ability, Drafter, Face, Shell};
use crate::kinds::{Param, length, optional};
use crate::pattern::{CopyId, Half, Shown};

/// From the rim to the middle of a snap.
pub(super) const BELOW: Param = optional(
    "below",
    "below the rim",
    "From the finished rim down to the middle of its halves; left out, just below the rim, where \
     nothing else lies.",
    [Length::mm(12), Length::mm(200)],
);
/// Width of a snap.
pub(super) const DIAMETER: Param = length(
    "diameter",
    "snap",
    "Width of the snap; 14 mm (1/2 in) and 18 mm (3/4 in) are usual.",
    [Length::mm(8), Length::mm(30), Length::inch_frac(3, 4), Length::mm(18)],
);

/// How far below the rim of these faces something lies that is asked for so far below the rim:
/// where a casing gathers it, so far below that.
pub(super) fn below_casing(below: Length, faces: [&Face; 2]) -> Length {
    below + faces.map(|face| face.drawn).into_iter().max().unwrap_or(Length::ZERO)
}

/// What every closure needs that lies within the mouth of a bag, below its rim.
pub(super) fn within_the_mouth() -> Vec<Ability> {
    vec![Ability::MouthWithin]
}

/// What a half must stay clear of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Clear {
    /// Pockets: a half on the lining.
    Pockets,
    /// Pockets and the legs of handles: a half on the outside.
    Everything,
}

/// The place below the rim nearest to the usual one that is free, in steps of 1/8 in (3 mm); the usual
/// one if none is, so that it can be said why.
pub(super) fn nearest(
    d: &Drafter<'_>,
    usual: Length,
    most: Length,
    free: impl Fn(Length) -> bool,
) -> Length {
    let step = d.either(Length::inch_frac(1, 8), Length::mm(3));
    let near = (0..).map(|n| step * n).take_while(|off| *off <= most);
    near.flat_map(|off| [usual - off, usual + off])
        .find(|below| below.is_positive() && free(*below))
        .unwrap_or(usual)
}

/// A half at a place of a face; refuses what lies on a seam, beside the panel, or on something else.
pub(super) fn half_on(
    d: &mut Drafter<'_>,
    face: &Face,
    (x, below): (Length, Length),
    radius: Length,
    clear: Clear,
) -> Option<Half> {
    if let Some((message, cure)) = amiss(d, face, (x, below), radius, clear) {
        d.refuse("closure.below", message, cure);
        return None;
    }
    Some(half_at(d, face, (x, below)))
}

/// What is wrong with a half at that place, and the cure.
pub(super) fn amiss(
    d: &Drafter<'_>,
    face: &Face,
    (x, below): (Length, Length),
    radius: Length,
    clear: Clear,
) -> Option<(String, String)> {
    let height = face.height - below;
    let room = d.either(Length::inch_frac(1, 8), Length::mm(3));
    let lowest = height - radius - room;
    if lowest <= d.base_rise.max(face.corner)
        || x.abs() + radius + room > face.width_at(lowest.max(Length::ZERO)).half()
    {
        let message =
            format!("a half {} below the rim lies beside the {}", d.show(below), face.word);
        let most =
            (face.height - d.base_rise.max(face.corner) - radius - room * 2).max(Length::ZERO);
        let cure =
            format!("set it {} or less below the rim, and nearer to the centre", d.show(most));
        return Some((message, cure));
    }
    if below < radius + room {
        let message = format!(
            "a half {} wide hangs over the rim when its middle is {} below it",
            d.show(radius * 2),
            d.show(below)
        );
        let cure = format!("set it at least {} below the rim", d.show(radius + room));
        return Some((message, cure));
    }
    let on_seam = face.starts.iter().skip(1).any(|start| (*start - height).abs() < radius + room);
    if on_seam {
        let message =
            format!("a half {} below the rim lies on a seam of the {}", d.show(below), face.word);
        return Some((message, "set it higher or lower".to_owned()));
    }
    let taken = match clear {
        Clear::Pockets => d.pocket_at(face, (x, height), radius + room),
        Clear::Everything => d.taken_at(face, (x, height), radius + room),
    };
    taken.map(|taken| {
        let message = format!("a half {} below the rim lies on the {taken}", d.show(below));
        (message, "set it higher or lower, or make room for it".to_owned())
    })
}

/// A half that a pocket at that place of the front holds, as far from its edges as one on the panel.
pub(super) fn on_pocket(
    d: &Drafter<'_>,
    face: &Face,
    (x, below): (Length, Length),
    radius: Length,
) -> Option<Half> {
    let room = d.either(Length::inch_frac(1, 8), Length::mm(3));
    d.half_on_pocket(face, (x, face.height - below), radius + room)
}

/// The half at a place of a face.
pub(super) fn half_at(d: &Drafter<'_>, face: &Face, (x, below): (Length, Length)) -> Half {
    let (on, at) = face.at(x, face.height - below);
    let index = face.copies.iter().position(|copy| *copy == on).unwrap_or(0);
    let (top, rim) = face.rim_edge();
    if on == top {
        return Half { on, at, edge: rim, spent: Length::ZERO };
    }
    // On a lower copy: its upper edge lies as far below the rim as the next one begins.
    let start = face.starts.get(index + 1).copied().unwrap_or(face.height);
    let net = &d.piece_of(on).net;
    let upper = |edge: &usize| {
        let (a, b) = (net.edge(*edge).start(), net.edge(*edge).end());
        let up = face.on(index, Length::ZERO, start).1.y;
        ((a.y + b.y).half() - up).abs()
    };
    let edge = (0..net.edge_count()).min_by_key(upper).unwrap_or(0);
    Half { on, at, edge, spent: start - face.height }
}

/// The front and the back of a shell.
pub(super) fn front_and_back(shell: &Shell) -> Option<[&Face; 2]> {
    match shell.faces.as_slice() {
        [front, .., back] => Some([front, back]),
        _ => None,
    }
}

/// A rectangle before a face, hanging from so far below its rim.
pub(crate) fn rectangle(
    face: &Face,
    of: Option<CopyId>,
    (x, below): (Length, Length),
    (width, height): (Length, Length),
) -> Shown {
    let top = face.height - below;
    let index = face.copies.len() - 1;
    let half = width.half();
    let corner = |x, y| face.on(index, x, y).1;
    let outline = vec![
        corner(x - half, top - height),
        corner(x + half, top - height),
        corner(x + half, top),
        corner(x - half, top),
    ];
    Shown { on: face.top(), of, outline }
}

/// Something round before a face.
pub(super) fn round(face: &Face, (x, below): (Length, Length), diameter: Length) -> Shown {
    const CORNERS: u8 = 16;
    let index = face.copies.len() - 1;
    let middle = face.on(index, x, face.height - below).1;
    let radius = diameter.half().to_mm();
    let corner = |n: u8| {
        let turn = std::f64::consts::TAU * f64::from(n) / f64::from(CORNERS);
        Point::new(
            middle.x + Length::from_mm_f64(radius * libm::cos(turn)),
            middle.y + Length::from_mm_f64(radius * libm::sin(turn)),
        )
    };
    Shown { on: face.top(), of: None, outline: (0..CORNERS).map(corner).collect() }
}
