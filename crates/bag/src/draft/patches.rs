//! Patches of fabric behind places that carry: at the rim, and behind straps that are stitched on.

use measure::{Length, Outline, Point};

use super::strap::{box_height, from_edge};
use super::{Drafter, Face, NewPiece, Shell};
use crate::design::Role;
use crate::operations::{Attach, FaceSide, Line, Phrase, Place, Placed, StitchDown, StitchedDown};
use crate::pattern::{Chapter, Grain};

/// Sews a patch behind each of these places at the rim, on the wrong side. An unlined bag has its
/// hem there, which is three layers by itself.
pub(crate) fn patches(d: &mut Drafter<'_>, shell: &Shell, at: &[(usize, Length)], width: Length) {
    if d.rim_hem.is_some() || at.is_empty() {
        return;
    }
    let size = width + d.either(Length::inch(1), Length::mm(25));
    let spot = |(face, x): &(usize, Length)| {
        let face = &shell.faces[*face];
        (face, *x, face.height - size)
    };
    let spots: Vec<Spot<'_>> = at.iter().map(spot).collect();
    let how = Phrase::new(
        "Lay each patch on the wrong side of its panel, behind the place that will carry, its top \
         edge level with the raw rim.",
    );
    let rim = d.rim_allowance;
    sew(d, &spots, "patch", ((size, size), rim), how);
}

/// How far a patch reaches beyond what is stitched on before it, and how far what carries stays clear
/// of seams: 1/4 in (6 mm).
fn beyond(d: &Drafter<'_>) -> Length {
    d.either(Length::inch_frac(1, 4), Length::mm(6))
}

/// Sews a patch behind each strap of that name and width which is stitched on to a panel: its face,
/// its distance right of the centre line, and how high its turned end lies. By the place, not by the
/// load: away from seams one layer of cloth carries alone, and what it holds before it tears along the
/// stitches is known of no cloth here; `handle-load` reckons with stitches only (common practice, no
/// source).
pub(crate) fn behind_straps(
    d: &mut Drafter<'_>,
    straps: &[Spot<'_>],
    (what, width): (&str, Length),
) {
    let more = beyond(d);
    let size = (width + more * 2, box_height(d, width) + more * 2);
    let spots: Vec<Spot<'_>> =
        straps.iter().map(|(face, x, low)| (*face, *x, *low - more)).collect();
    let Some((face, x, low)) = spots.first() else { return };
    let below = face.height + d.rim_allowance + face.cuff - *low - size.1;
    let how = Phrase::new(
        "Lay each patch on the wrong side of its panel, behind the place that will carry, its upper \
         edge ",
    )
    .len(below)
    .say(" below the raw rim and its middle ");
    let how = if *x == Length::ZERO {
        how.say("on the centre line.")
    } else {
        how.len(x.abs()).say(" from the centre line.")
    };
    sew(d, &spots, &format!("{what} patch"), (size, Length::ZERO), how);
}

/// Where a patch lies: its face, its middle right of the centre line, and how high its lower edge is.
pub(crate) type Spot<'a> = (&'a Face, Length, Length);

/// Cuts, places and sews patches of that name and one size, with an allowance at their top edge.
fn sew(
    d: &mut Drafter<'_>,
    spots: &[Spot<'_>],
    name: &str,
    (size, top): ((Length, Length), Length),
    how: Phrase,
) {
    let none = Length::ZERO;
    let piece = d.piece(NewPiece {
        id: &name.replace(' ', "-"),
        name,
        role: Role::Handle,
        net: Outline::rectangle(size.0, size.1),
        edges: vec![
            ("lower edge", none),
            ("right side", none),
            ("top edge", top),
            ("left side", none),
        ],
        grain: Grain::Free,
        join: None,
    });
    let (mut items, mut down) = (Vec::new(), Vec::new());
    let inset = from_edge(d);
    for (face, x, low) in spots {
        let side = if *x < none { "left" } else { "right" };
        let side = if *x == none { "middle" } else { side };
        let called = format!("{} {side} {name}", face.word);
        let same = |made: &&StitchedDown| d.copy_of(made.what).1.starts_with(&called);
        // Several on one side, as of pairs of ties, are numbered.
        let called = match down.iter().filter(same).count() {
            0 => called,
            more => format!("{called} {}", more + 1),
        };
        let copy = d.copy(piece, &called);
        d.part(copy, (size.0, size.1 + top));
        let index = face.starts.iter().rposition(|start| start <= low).unwrap_or(0);
        let laid = face.lay(index, copy, (*x - size.0.half(), *low), size);
        let (onto, corner) = (laid.onto, laid.at);
        items.push(Placed { ground: FaceSide::Wrong, ..laid });
        let at = |dx, dy| Point::new(corner.x + dx, corner.y + dy);
        let far = (size.0 - inset, size.1 - inset);
        let corners = [at(inset, inset), at(far.0, inset), at(far.0, far.1), at(inset, far.1)];
        let lines = (0..4).map(|n| Line { from: corners[n], to: corners[(n + 1) % 4] }).collect();
        down.push(StitchedDown { what: copy, onto, lines, holds: vec![0, 1, 2, 3] });
    }
    let place = Place { items, how, mind: None, attach: Attach::Pin };
    let id = d.free_step_id("place-patches");
    d.comes_first(&id);
    d.step(Chapter::Panels, &id, place);
    let how = Phrase::new("Zigzag or stitch round each patch, ").len(inset).say(" from its edges.");
    let stitch = d.stitch("seam");
    let stitched = StitchDown { how, mind: None, items: down, closes: None, stitch };
    let id = d.free_step_id("stitch-patches");
    d.comes_first(&id);
    d.step(Chapter::Panels, &id, stitched);
}
