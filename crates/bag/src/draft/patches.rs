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
    let (wide, kept) = within_sides(d, &spots, (size, size), width);
    let moved = kept.iter().zip(&spots).find(|(kept, spot)| kept.1 != spot.1);
    let how = match moved {
        Some(((face, x, low), _)) => how
            .say(" Where it would reach into a side seam, move it toward the middle, so that its side lies ")
            .len(between_seams(face, *low, size).half() - x.abs() - wide.half())
            .say(" from the seam line."),
        None => how,
    };
    sew(d, &kept, "patch", ((wide, size), rim), how);
}

/// How wide a face is where something so high lies on it, which begins at that height.
fn between_seams(face: &Face, low: Length, high: Length) -> Length {
    let low = low.clamp(Length::ZERO, face.height);
    face.room_between([low, (low + high).min(face.height)], Length::ZERO)
}

/// The places of patches of that size behind what is so wide, moved toward the middle of their face
/// where a patch would reach into a side seam: its side stays 1/8 in (3 mm) clear of it, so that the
/// seam can be pressed open, or as near as what it lies behind. And how wide they may be: of a pair
/// none reaches over the middle of the face. A face that goes on round a fold has no seam there.
fn within_sides<'a>(
    d: &Drafter<'_>,
    spots: &[Spot<'a>],
    size: (Length, Length),
    behind: Length,
) -> (Length, Vec<Spot<'a>>) {
    // How far from the centre line it may reach; nothing if it does not reach so far.
    let reach = |(face, x, low): &Spot<'_>| {
        let [right, left] = face.side_edges();
        let seam = if *x < Length::ZERO { left } else { right };
        let room = between_seams(face, *low, size.1).half();
        let most = (room - from_edge(d)).max(room.min(x.abs() + behind.half()));
        (!seam.is_empty() && x.abs() + size.0.half() > most).then_some(most)
    };
    let mut wide = size.0;
    for (spot, reach) in spots.iter().filter_map(|spot| Some((spot, reach(spot)?))) {
        let paired = spot.1.abs() * 2 >= behind;
        let most = if paired { reach } else { reach * 2 };
        if most.is_positive() {
            wide = wide.min(most);
        }
    }
    let kept = spots.iter().map(|spot| {
        let (face, x, low) = *spot;
        let Some(most) = reach(spot).map(|reach| (reach - wide.half()).max(Length::ZERO)) else {
            return *spot;
        };
        (face, x.clamp(-most, most), low)
    });
    (wide, kept.collect())
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
    let (wide, spots) = within_sides(d, &spots, size, width);
    let size = (wide, size.1);
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

#[cfg(test)]
mod tests {
    use measure::{System, Units};

    use super::*;
    use crate::design::{Chosen, Design};
    use crate::kinds::Value;
    use crate::{bodies, checks, handles, linings};

    /// Legs as near the side as they may stand. A patch, which would reach beyond them into the seam,
    /// keeps out of it, and still lies behind all of the leg; on a narrow panel it is narrower.
    #[test]
    fn a_patch_stays_out_of_the_side_seams() {
        let (mut made, mut near) = (0, 0);
        let ways =
            [("rim", "flat"), ("rim", "gusset"), ("base", "folded-base"), ("rim", "messenger")];
        for (from, body) in ways {
            for (wide, system) in
                [(300, System::Metric), (130, System::Metric), (300, System::Inch)]
            {
                for lining in ["turned", "unlined"] {
                    let units = if system == System::Metric { Units::Mm } else { Units::Inch };
                    let mut design = Design::of(bodies::find(body).unwrap(), units);
                    design.lining = Chosen::new(linings::find(lining).unwrap(), system);
                    let width = Value::Length(Length::mm(wide));
                    assert!(design.body.values.set("width", width));
                    design.handles = Chosen::new(handles::find("webbing").unwrap(), system);
                    assert!(design.handles.values.set("from", Value::Choice(from)));
                    let leg = Length::mm(25);
                    assert!(design.handles.values.set("width", Value::Length(leg)));
                    // As far apart as is not refused.
                    let fits = (40..300).rev().map(Length::mm).find_map(|apart| {
                        design.handles.values.set("apart", Value::Length(apart));
                        crate::draft(&design).pattern.map(|pattern| (apart, pattern))
                    });
                    let Some((apart, pattern)) = fits else { continue };
                    let bad = checks::run(&pattern);
                    let bad = bad.iter().filter(|it| it.severity == crate::Severity::Error);
                    assert_eq!(bad.count(), 0, "{body}, {from}, {wide}, {lining}");
                    for step in &pattern.steps {
                        let Some(place) = step.as_a::<Place>() else { continue };
                        for item in &place.items {
                            let patch = pattern.piece_of(item.what);
                            if !patch.name.ends_with("patch") {
                                continue;
                            }
                            let of = patch.net_size().0;
                            let panel = pattern.piece_of(item.onto).net_size().0;
                            let left = if item.upside_down { item.at.x - of } else { item.at.x };
                            let right = left + of;
                            let say = format!(
                                "{body}, {from}, {wide}, {lining}: {left:?}, {right:?}, {panel:?}, {apart:?}"
                            );
                            assert!(left >= Length::ZERO && right <= panel, "{say}");
                            near += u32::from(left.min(panel - right) < Length::mm(25));
                            let (low, high) = (left - panel.half(), right - panel.half());
                            let covers = |x: Length| low <= x && x <= high;
                            let side = if low + high < Length::ZERO { -1 } else { 1 };
                            let middle = apart.half() * side;
                            assert!(
                                covers(middle - leg.half()) && covers(middle + leg.half()),
                                "{say}"
                            );
                            made += 1;
                        }
                    }
                }
            }
        }
        assert!(made > 12 && near > 6, "{made}, {near}");
    }
}
