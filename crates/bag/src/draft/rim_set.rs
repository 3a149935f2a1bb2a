//! Setting the ends of something into the rim: tabs, loops, ties. In a lined bag the seam at the
//! rim catches them; in an unlined one they lie under its hem. Where the rim does not stand they are
//! stitched on below it.

use measure::{Length, Point};

use super::patches::behind_straps;
use super::strap::{Hold, from_edge, leg_line, panel_box, press_hem, tail, turned_under};
use super::{Drafter, Face, Shell};
use crate::operations::{
    Attach, BoxAndX, FaceSide, FastenEnd, Fastening, Foot, Line, Phrase, Place, Placed, StitchDown,
    StitchedDown,
};
use crate::pattern::{Chapter, CopyId, MarkShape};

/// Something whose ends are set into the rim.
#[derive(Clone, Debug)]
pub(crate) struct RimSet {
    /// What.
    pub what: CopyId,
    /// Index of the face.
    pub face: usize,
    /// Each end: its edge, how far right of the centre line its middle lies, which face is up.
    pub ends: Vec<(usize, Length, FaceSide)>,
    /// How wide it lies.
    pub width: Length,
}

/// How that is told.
#[derive(Clone, Copy, Debug)]
pub(crate) struct RimWords<'a> {
    /// Stem of the step's id: "place-ring-tabs".
    pub id: &'a str,
    /// "each ring tab".
    pub what: &'a str,
    /// How its lines are labelled: "ring tab".
    pub mark: &'a str,
    /// How the rest of it lies meanwhile: "the ring hanging down".
    pub lies: &'a str,
    /// Where people go wrong.
    pub mind: &'a str,
}

/// Marks, places and fastens things at the rim, or on the panel below it.
pub(crate) fn set(
    d: &mut Drafter<'_>,
    shell: &Shell,
    items: &[RimSet],
    (hold, words): (Hold, RimWords<'_>),
) {
    match hold {
        Hold::Panel(lies) => on_panel(d, shell, items, lies, words),
        Hold::Rim | Hold::Base(_) => set_in_rim(d, shell, items, words),
    }
}

/// Marks, places and fastens things at the rim.
pub(crate) fn set_in_rim(
    d: &mut Drafter<'_>,
    shell: &Shell,
    items: &[RimSet],
    words: RimWords<'_>,
) {
    for item in items {
        mark(d, shell, item, words.mark);
    }
    if d.rim_hem.is_some() {
        under_hem(d, shell, items, words);
    } else {
        into_seam(d, shell, items, words);
    }
}

fn mark(d: &mut Drafter<'_>, shell: &Shell, item: &RimSet, label: &str) {
    let face = &shell.faces[item.face];
    let low = face.height - d.either(Length::inch(1), Length::mm(25)).min(face.height);
    for (_, x, _) in &item.ends {
        for edge in [-1, 1] {
            let sign = if *x < Length::ZERO { -1 } else { 1 };
            let at = leg_line(d, x.abs(), item.width, sign, edge * sign);
            for (copy, a, b) in face.line((at, low), (at, face.height)) {
                d.mark_copy(copy, label, MarkShape::Placement(a, b));
            }
        }
    }
}

fn placed(shell: &Shell, item: &RimSet, height: Length) -> Placed {
    let face = &shell.faces[item.face];
    let index = face.copies.len() - 1;
    let foot = |(edge, x, face_up): &(usize, Length, FaceSide)| Foot {
        edge: *edge,
        at: face.on(index, *x, height).1,
        face_up: *face_up,
    };
    let x = item.ends.first().map_or(Length::ZERO, |end| end.1);
    let place = (x - item.width.half(), height);
    let (onto, at) = face.box_on(index, place, (item.width, Length::ZERO));
    let feet = item.ends.iter().map(foot).collect();
    Placed { feet, ..Placed::new(item.what, onto, at) }
}

fn into_seam(d: &mut Drafter<'_>, shell: &Shell, items: &[RimSet], words: RimWords<'_>) {
    let placed = items.iter().map(|item| {
        let face = &shell.faces[item.face];
        let (on, edge) = face.rim_edge();
        let level = item.ends.iter().map(|(end, ..)| (*end, on, edge)).collect();
        Placed { level, ..placed(shell, item, face.height) }
    });
    let how = Phrase::new(format!(
        "Lay {} on the right side of its panel, between its lines, {}, the raw ends standing ",
        words.what, words.lies
    ))
    .len(tail(d))
    .say(" above the raw rim.");
    let items: Vec<Placed> = placed.collect();
    d.ends(&items);
    let place = Place {
        items,
        how,
        mind: (!words.mind.is_empty()).then(|| words.mind.into()),
        attach: Attach::baste(d),
    };
    let id = d.free_step_id(words.id);
    d.step(Chapter::Panels, &id, place);
}

/// Turns the ends under and stitches them on below the rim, pointing up.
fn on_panel(
    d: &mut Drafter<'_>,
    shell: &Shell,
    items: &[RimSet],
    [stop, end]: [Length; 2],
    words: RimWords<'_>,
) {
    let turn = FastenEnd {
        ends: items
            .iter()
            .flat_map(|item| item.ends.iter().map(|(edge, ..)| (item.what, *edge)))
            .collect(),
        through: "to the side that will face the bag".to_owned(),
        by: Fastening::Turned(turned_under(d)),
        stitch: d.stitch("seam"),
    };
    let id = d.free_step_id(&words.id.replace("place-", "turn-under-"));
    d.step(Chapter::Panels, &id, turn);
    let width = items.iter().map(|item| item.width).min().unwrap_or(Length::ZERO);
    let boxed = panel_box(d, width).0 >= from_edge(d) * 2;
    if boxed {
        let spot = |item: &RimSet| {
            let face = &shell.faces[item.face];
            let x = item.ends.first().map_or(Length::ZERO, |end| end.1);
            (face, x, face.height - end)
        };
        let spots: Vec<_> = items.iter().map(spot).collect();
        behind_straps(d, &spots, (words.mark, width));
    }
    let index =
        |face: &Face| face.starts.iter().rposition(|at| *at <= face.height - end).unwrap_or(0);
    let mut places = Vec::new();
    let mut cuff = Length::ZERO;
    for item in items {
        let face = &shell.faces[item.face];
        cuff = cuff.max(face.cuff);
        let x = item.ends.first().map_or(Length::ZERO, |end| end.1);
        let (low, high) = (face.height - end, face.height - stop);
        for side in [-1, 1] {
            let sign = if x < Length::ZERO { -1 } else { 1 };
            let at = leg_line(d, x.abs(), item.width, sign, side * sign);
            for (copy, a, b) in face.line((at, low), (at, high)) {
                d.mark_copy(copy, words.mark, MarkShape::Placement(a, b));
            }
        }
        let foot = |(edge, x, face_up): &(usize, Length, FaceSide)| Foot {
            edge: *edge,
            at: face.on(index(face), *x, low).1,
            face_up: *face_up,
        };
        let corner = (x - item.width.half(), low);
        let (onto, at) = face.box_on(index(face), corner, (item.width, Length::ZERO));
        let feet = item.ends.iter().map(foot).collect();
        let corners = [(-1, low), (1, high)]
            .map(|(side, up)| face.on(index(face), x + item.width.half() * side, up).1);
        let name = d.copy_of(item.what).1;
        d.laid.push((onto, corners, name));
        places.push(Placed { feet, ..Placed::new(item.what, onto, at) });
    }
    let raw = d.rim_allowance + cuff;
    let how = Phrase::new(format!(
        "Lay {} on the right side of its panel, between its lines, its turned end ",
        words.what
    ))
    .len(end + raw)
    .say(" below the raw rim and the rest pointing up.");
    d.ends(&places);
    let place = Place { items: places, how, mind: None, attach: Attach::Pin };
    let id = d.free_step_id(words.id);
    d.step(Chapter::Panels, &id, place);
    let (inset, size) = (from_edge(d), panel_box(d, width));
    let id = d.free_step_id(&words.id.replace("place-", "hold-"));
    let x = |item: &RimSet| item.ends.first().map_or(Length::ZERO, |end| end.1);
    let stitch = d.stitch("seam");
    if boxed {
        let boxes = items.iter().map(|item| {
            let face = &shell.faces[item.face];
            let low = (x(item) - size.0.half(), face.height - end + inset);
            let (onto, at) = face.box_on(index(face), low, size);
            (item.what, onto, at)
        });
        let boxes = boxes.collect();
        let where_ = "over its turned end and the patch behind it".into();
        d.step(Chapter::Panels, &id, BoxAndX { boxes, where_, size, stitch });
        return;
    }
    let down = items.iter().map(|item| {
        let face = &shell.faces[item.face];
        let (half, index) = (item.width.half(), index(face));
        let lines = [face.height - end + inset, face.height - stop - inset].map(|height| {
            let at = |x| face.on(index, x, height).1;
            Line { from: at(x(item) - half), to: at(x(item) + half) }
        });
        let onto = face.copies[index];
        StitchedDown { what: item.what, onto, lines: lines.into(), holds: Vec::new() }
    });
    let how = Phrase::new(format!(
        "Stitch across {} twice, near its turned end and where it comes free.",
        words.what
    ));
    let items = down.collect();
    d.step(Chapter::Panels, &id, StitchDown { how, mind: None, items, closes: None, stitch });
}

fn under_hem(d: &mut Drafter<'_>, shell: &Shell, items: &[RimSet], words: RimWords<'_>) {
    let hem = d.rim_hem.unwrap_or(Length::ZERO);
    press_hem(d, shell);
    let placed = items.iter().map(|item| {
        let face = &shell.faces[item.face];
        Placed { ground: FaceSide::Wrong, ..placed(shell, item, face.height - hem) }
    });
    let how = Phrase::new(format!(
        "On the wrong side, push the raw ends of {} up under the pressed hem as far as the crease \
         at the rim, between the lines, {}.",
        words.what, words.lies
    ));
    let laid: Vec<Placed> = placed.collect();
    d.ends(&laid);
    let place = Place {
        items: laid,
        how,
        mind: Some(
            "the ends must go all the way up to the crease, or the hem will not hold them.".into(),
        ),
        attach: Attach::Pin,
    };
    d.tucked.extend(items.iter().flat_map(|item| {
        item.ends.iter().map(|(edge, ..)| (item.what, *edge)).collect::<Vec<_>>()
    }));
    let id = d.free_step_id(words.id);
    d.step(Chapter::Finish, &id, place);
    hold_under_hem(d, shell, items, (hem, words));
}

/// Sews through the hem and what lies under it: a box and X where it is wide enough, two rows
/// across a cord.
fn hold_under_hem(
    d: &mut Drafter<'_>,
    shell: &Shell,
    items: &[RimSet],
    (hem, words): (Length, RimWords<'_>),
) {
    let inset = from_edge(d);
    let width = items.iter().map(|item| item.width).min().unwrap_or(Length::ZERO);
    let across = width - inset * 2;
    let low = |item: &RimSet| shell.faces[item.face].height - hem + inset;
    let legs = |item: &RimSet| {
        let mut legs: Vec<Length> = item.ends.iter().map(|end| end.1).collect();
        legs.dedup();
        legs
    };
    let id = d.free_step_id(&words.id.replace("place-", "hold-"));
    if across >= inset * 2 {
        let mut boxes: Vec<(CopyId, CopyId, Point)> = Vec::new();
        for item in items {
            let face = &shell.faces[item.face];
            let index = face.copies.len() - 1;
            for x in legs(item) {
                let size = (across, hem - inset * 2);
                let (onto, at) = face.box_on(index, (x - across.half(), low(item)), size);
                boxes.push((item.what, onto, at));
            }
        }
        let where_ =
            format!("within the hem, {} folded up so that it stands above the rim", words.what);
        let size = (across, hem - inset * 2);
        let stitch = d.stitch("seam");
        d.finally(&id, BoxAndX { boxes, where_: where_.as_str().into(), size, stitch });
        return;
    }
    let lines = items.iter().map(|item| {
        let face = &shell.faces[item.face];
        let (half, index) = (item.width.half(), face.copies.len() - 1);
        let lines = legs(item).into_iter().flat_map(|x| {
            [low(item), face.height - inset].map(|height| {
                let at = |x| face.on(index, x, height).1;
                Line { from: at(x - half), to: at(x + half) }
            })
        });
        let (what, onto) = (item.what, face.top());
        StitchedDown { what, onto, lines: lines.collect(), holds: Vec::new() }
    });
    let how = Phrase::new(format!(
        "Fold {} up so that it stands above the rim, and stitch across its ends twice, close to \
         both edges of the hem.",
        words.what
    ));
    let stitch = d.stitch("seam");
    let down = StitchDown { how, mind: None, items: lines.collect(), closes: None, stitch };
    d.finally(&id, down);
}
