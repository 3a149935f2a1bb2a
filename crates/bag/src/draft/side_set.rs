//! Setting something folded in half into a side seam: a loop, a tab with a ring or a buckle, a
//! label.

use measure::Length;

use super::{Drafter, Face};
use crate::operations::{Attach, FaceSide, Foot, Phrase, Place, Placed};
use crate::pattern::{Chapter, CopyId, MarkShape, Span};

/// Something that is folded in half and caught in a side seam by both its ends.
#[derive(Clone, Debug)]
pub(crate) struct SideSet<'a> {
    /// What; its ends are edges 0 and 2.
    pub what: CopyId,
    /// The face on which it lies.
    pub face: &'a Face,
    /// -1 for the left side, 1 for the right.
    pub sign: i64,
    /// How high above the base its middle lies.
    pub height: Length,
    /// How wide it lies.
    pub width: Length,
    /// The side of the panel that it lies on: the right one, unless it hangs inside a bag without a
    /// lining.
    pub ground: FaceSide,
}

/// The side of a face that has a seam: the one that is wanted, or else the other one; nothing if
/// neither has one.
pub(crate) fn seamed_side(face: &Face, wanted: i64) -> Option<i64> {
    let has = |sign: i64| {
        let side = if sign < 0 { &face.borders.left } else { &face.borders.right };
        !side.is_empty()
    };
    [wanted, -wanted].into_iter().find(|sign| has(*sign))
}

/// How that is told.
#[derive(Clone, Copy, Debug)]
pub(crate) struct SideWords<'a> {
    /// Id of the step.
    pub id: &'a str,
    /// "each cord loop".
    pub what: &'a str,
    /// How its lines are labelled: "cord loop".
    pub mark: &'a str,
    /// Where people go wrong.
    pub mind: &'a str,
}

/// The edge of a face's side at a height, and how far along it, from its start.
pub(crate) fn on_side(
    d: &Drafter<'_>,
    face: &Face,
    sign: i64,
    height: Length,
) -> Option<(CopyId, usize, Length)> {
    let spans = if sign < 0 { &face.borders.left } else { &face.borders.right };
    let first = spans.first()?;
    // The side begins above a rounded or a cut-out corner, and may lean.
    let start = d.piece_of(first.copy).net.point_along(first.edge, first.from);
    let (lie, total) = (face.lies.first()?, spans.iter().map(Span::length).sum::<Length>());
    let up = (start.y - lie.foot.y) * if lie.turned { -1 } else { 1 };
    let over = i128::from((height - up).to_nm()) * i128::from(total.to_nm());
    let under = i128::from((face.height - up).to_nm().max(1));
    let height = Length::nm(i64::try_from(over / under).ok()?);
    if height < Length::ZERO {
        return None;
    }
    let mut below = Length::ZERO;
    for span in spans {
        let end = below + span.length();
        if height <= end {
            let into = height - below;
            let along = if span.from <= span.to { span.from + into } else { span.from - into };
            return Some((span.copy, span.edge, along));
        }
        below = end;
    }
    None
}

/// Marks and places things at the sides; each side must have a seam there.
pub(crate) fn set_in_sides(
    d: &mut Drafter<'_>,
    chapter: Chapter,
    items: &[SideSet<'_>],
    words: SideWords<'_>,
) {
    let mut placed = Vec::new();
    for item in items {
        let face = item.face;
        let Some((on, edge, along)) = on_side(d, face, item.sign, item.height) else { continue };
        let at = d.piece_of(on).net.point_along(edge, along);
        let foot = |end, face_up| Foot { edge: end, at, face_up };
        let feet = vec![foot(0, FaceSide::Right), foot(2, FaceSide::Wrong)];
        let level = vec![(0, on, edge), (2, on, edge)];
        let ground = item.ground;
        placed.push(Placed { level, feet, ground, ..Placed::new(item.what, on, at) });
        for half in [-1, 1] {
            let long = d.piece_of(on).net.edge_length(edge);
            let along = along + item.width.half() * half;
            if along.is_positive() && along < long {
                d.mark_copy(on, words.mark, MarkShape::Notch { edge, along });
            }
        }
    }
    let ground = items.first().map_or(FaceSide::Right, |item| item.ground);
    let how = Phrase::new(format!(
        "Fold {} in half, wrong sides together, and lay it on the {} of its panel between \
         its notches at the side, both raw ends level with the raw edge, the fold toward the middle.",
        words.what,
        ground.words()
    ));
    let mind = (!words.mind.is_empty()).then(|| words.mind.into());
    d.ends(&placed);
    let place = Place { items: placed, how, mind, attach: Attach::baste(d) };
    d.step(chapter, words.id, place);
}
