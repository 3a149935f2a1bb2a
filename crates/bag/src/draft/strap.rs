//! What handles of every kind have in common: how long, how far apart, where they are fastened.

mod apart;
mod room;

use apart::room_across;
pub use apart::{APART, apart};
use room::clear_of_pockets;
pub(crate) use room::note_before_flap;
pub use room::{refuse_short, warn_on_drop};

use measure::{Length, Point, Rounding};

use super::patches::{Spot, behind_straps};
use super::{Drafter, Face, Shell};
use crate::kinds::{Param, Values, choice, length, optional};
use crate::operations::{
    Attach, BoxAndX, FaceSide, FastenEnd, Fastening, Foot, Line, Phrase, Place, Placed, PressSeam,
    StitchDown, StitchedDown,
};
use crate::pattern::{Chapter, Checkpoint, CopyId, HandleClaim, MarkShape};

/// Parameters that every pair of handles has.
pub const FROM: Param = choice(
    "from",
    "fastened",
    "Where the handles are fastened.",
    &[
        (
            "base",
            "run up over the outside from the base seam, or from a folded base, and stitched down on \
             the way",
        ),
        (
            "rim",
            "set into the seam at the rim; where that is gathered, rolled, folded, turned down or \
             under a flap, stitched on below it",
        ),
    ],
);
/// The wanted drop.
pub const DROP: Param = length(
    "drop",
    "drop",
    "From the rim, or the top of the roll, to the handle pulled taut to a point; 10 in (25 cm) goes \
     over a shoulder. Worked out if `length` is given.",
    [Length::mm(40), Length::mm(800), Length::inch(10), Length::mm(250)],
);
/// The cut length of each strap.
pub const LENGTH: Param = optional(
    "length",
    "handle length",
    "Length to cut each handle; left out, it is worked out from the drop.",
    [Length::mm(150), Length::mm(4_000)],
);
/// Where the stitching down ends.
pub const STOP: Param = length(
    "stop",
    "stitched down to below the rim",
    "How far below the finished rim the stitching down ends, so that the rim can be sewn with the \
     handle out of the way; lower where a casing, a roll, a cuff or a flap comes below that.",
    [Length::mm(20), Length::mm(300), Length::inch_frac(3, 2), Length::mm(40)],
);

/// How the legs of handles stand on their faces.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Legs {
    /// "handle", "grab loop".
    pub word: &'static str,
    /// How they are held.
    pub hold: Hold,
    /// From the middle of one leg to the middle of the other.
    pub apart: Length,
    /// Width of the strap as it lies.
    pub width: Length,
}

/// How a leg is held to its face; lengths go down from the finished rim.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Hold {
    /// Caught in the base seam and stitched down on its way up, as far as this.
    Base(Length),
    /// Set into the rim.
    Rim,
    /// Stitched on, its end turned under: from where it comes free down to its end.
    Panel([Length; 2]),
}

impl Legs {
    /// As the parameters [`FROM`], [`APART`] and [`STOP`] say, on these faces.
    pub fn of(d: &mut Drafter<'_>, values: &Values, width: Length, faces: &[&Face]) -> Self {
        let hold = if values.choice("from") == "base" {
            let stop = values.length("stop").max(free_below(d, faces));
            if faces.iter().all(|face| face.base_edge().is_some()) {
                Hold::Base(stop)
            } else {
                let low = |face: &&Face| face.height - d.base_rise.max(face.corner);
                let end = faces.iter().map(low).min().unwrap_or(stop);
                Hold::Panel([stop, end])
            }
        } else {
            rim_or_panel(d, width, faces)
        };
        Self { word: "handle", hold, apart: apart(d, values, hold, width, faces), width }
    }

    /// Set into the rim; where it does not stand, stitched on below it.
    pub fn at_rim(
        d: &Drafter<'_>,
        word: &'static str,
        apart: Length,
        width: Length,
        faces: &[&Face],
    ) -> Self {
        Self { word, hold: rim_or_panel(d, width, faces), apart, width }
    }

    /// Handles set into the rim like that, as far apart as [`APART`] says.
    pub fn at_rim_as_asked(
        d: &mut Drafter<'_>,
        values: &Values,
        width: Length,
        faces: &[&Face],
    ) -> Self {
        let hold = rim_or_panel(d, width, faces);
        Self { word: "handle", hold, apart: apart(d, values, hold, width, faces), width }
    }

    /// How much of them is stitched down, of legs that run up from the base.
    pub fn held(&self, d: &Drafter<'_>, face: &Face) -> Option<Length> {
        match self.hold {
            Hold::Base(stop) => Some(face.height + d.seam_allowance("base") - stop),
            _ => None,
        }
    }
}

/// The rim, where it stands; on the panel below where it does not, or where a flap lies over it.
pub(crate) fn rim_or_panel(d: &Drafter<'_>, width: Length, faces: &[&Face]) -> Hold {
    let covered = d.rim_covered && faces.iter().any(|face| face.word == "front");
    if d.rim_stands && !covered {
        return Hold::Rim;
    }
    let stop = free_below(d, faces);
    Hold::Panel([stop, stop + box_height(d, width)])
}

/// How far below the rim something may come free: below what a body or a closure keeps of these
/// faces, and 1/4 in (6 mm) more, so that a presser foot passes; nothing where the rim is free.
pub(crate) fn free_below(d: &Drafter<'_>, faces: &[&Face]) -> Length {
    let kept = faces.iter().map(|face| face.kept.max(face.closed)).max();
    let kept = kept.unwrap_or(Length::ZERO);
    if d.rim_stands && !kept.is_positive() {
        return Length::ZERO;
    }
    d.snap_up(kept + d.either(Length::inch_frac(1, 4), Length::mm(6)))
}

/// How high the box is that holds a strap to a panel: one and a half times its width, 1 1/4 in
/// (30 mm) at least (common practice, no source).
pub(crate) fn box_height(d: &Drafter<'_>, width: Length) -> Length {
    d.snap((width * 3).half()).max(d.either(Length::inch_frac(5, 4), Length::mm(30)))
}

/// How much of an end is turned under before it is stitched on (common practice, no source).
pub(crate) fn turned_under(d: &Drafter<'_>) -> Length {
    d.either(Length::inch_frac(1, 2), Length::mm(12))
}

/// What decides how long a handle is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Wanted {
    /// The length to cut, if it is given.
    pub length: Option<Length>,
    /// The drop, if not.
    pub drop: Length,
}

impl Wanted {
    /// As the parameters [`DROP`] and [`LENGTH`] say.
    pub fn of(values: &Values) -> Self {
        Self { length: values.optional("length"), drop: values.length("drop") }
    }
}

/// The lengths of one handle.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct StrapLengths {
    /// Length to cut.
    pub cut: Length,
    /// What each end is cut beyond the stitching line of the rim that holds it: the allowance, and
    /// a tail that stands above the raw edge. Nothing if the rim's seam does not hold the ends.
    pub beyond: Length,
    /// Above the finished rim, from foot to foot.
    pub free: Length,
    /// From the rim to the strap pulled taut to a point.
    pub drop: Length,
}

/// What is below or behind the finished rim, or the top of the roll, at each foot: the whole panel for a strap from the
/// base, the seam allowance or the hem for one set into the rim.
fn below_rim(d: &Drafter<'_>, legs: &Legs, face: &Face) -> Length {
    match (legs.hold, d.rim_hem) {
        (Hold::Base(_), _) => face.top_in_use() + d.seam_allowance("base"),
        (Hold::Panel([_, end]), _) => end - face.rolled + turned_under(d),
        // From the crease at the rim down behind the hem, and up again over it.
        (Hold::Rim, Some(hem)) => hem * 2,
        (Hold::Rim, None) => d.rim_allowance + tail(d),
    }
}

/// What each end of something set into the rim needs behind the finished rim, and whether that is
/// an allowance beyond a stitching line (in a seam) or part of the length (under a hem).
pub(crate) fn behind_rim(d: &Drafter<'_>) -> (Length, bool) {
    match d.rim_hem {
        Some(hem) => (hem * 2, false),
        None => (d.rim_allowance + tail(d), true),
    }
}

/// What each end needs that is held so, beyond where it comes free: see [`behind_rim`]; of one that
/// is stitched on, the height of its box and what is turned under.
pub(crate) fn behind(d: &Drafter<'_>, hold: Hold, width: Length) -> (Length, bool) {
    match hold {
        Hold::Panel(_) => (box_height(d, width) + turned_under(d), false),
        Hold::Rim | Hold::Base(_) => behind_rim(d),
    }
}

/// How far the ends of a handle stand above the raw rim into whose seam they are set, so that they
/// do not pull out of it (common practice, no source).
pub(crate) fn tail(d: &Drafter<'_>) -> Length {
    d.either(Length::inch_frac(5, 8), Length::mm(15))
}

/// Works out how long a strap is cut, and how far it drops. What is worked out from a drop is
/// cut to the next 1/4 in (5 mm), which a person cuts without counting small marks, so that the
/// drop is never less than was asked.
///
/// The free loop of a strap whose legs stand a apart, pulled taut to a point, drops
/// √((free/2)² − (a/2)²) (Pythagoras).
pub fn strap_lengths(
    d: &Drafter<'_>,
    legs: &Legs,
    wanted: Wanted,
    face: &Face,
) -> Option<StrapLengths> {
    let apart = legs.apart;
    let below = below_rim(d, legs, face);
    let cut = if let Some(length) = wanted.length {
        length
    } else {
        let (drop, half) = (wanted.drop.to_mm(), apart.half().to_mm());
        let free = Length::from_mm_f64(2.0 * (drop * drop + half * half).sqrt());
        even_up(d, free + below * 2)
    };
    let free = cut - below * 2;
    let (leg, half) = (free.half().to_mm(), apart.half().to_mm());
    let in_seam = legs.hold == Hold::Rim && d.rim_hem.is_none();
    (leg > half).then(|| StrapLengths {
        cut,
        beyond: if in_seam { below } else { Length::ZERO },
        free,
        drop: Length::from_mm_f64((leg * leg - half * half).sqrt()),
    })
}
/// The next length that a person cuts without counting small marks: quarters of an inch, 5 mm.
pub(crate) fn even_up(d: &Drafter<'_>, length: Length) -> Length {
    d.coarse_ruler().round(length, Rounding::Up)
}

/// Refuses handles that do not fit on their faces.
pub fn check_fit(d: &mut Drafter<'_>, legs: &Legs, face: &Face) -> bool {
    let Legs { hold, apart, width, .. } = *legs;
    let narrowest = room_across(d, hold, face);
    let mut fits = true;
    if apart + width > narrowest {
        let message = format!(
            "legs {} apart and {} wide do not fit on a {} {} wide",
            d.show(apart),
            d.show(width),
            face.word,
            d.show(narrowest)
        );
        let cure =
            format!("set them {} apart or less", d.show((narrowest - width).max(Length::ZERO)));
        d.refuse("handles.apart", message, cure);
        fits = false;
    }
    if apart < width {
        let message =
            format!("legs {} apart and {} wide lie on each other", d.show(apart), d.show(width));
        d.refuse("handles.apart", message, format!("set them at least {} apart", d.show(width)));
        fits = false;
    }
    let (stop, low) = match hold {
        Hold::Rim => return fits,
        Hold::Base(stop) => {
            fits &= clear_of_pockets(d, legs, face);
            (stop, d.base_rise)
        }
        // A box of its own, below which the base begins.
        Hold::Panel([stop, end]) => {
            fits &= clear_of_others(d, legs, face, [stop, end]);
            (stop, d.base_rise.max(face.corner))
        }
    };
    let reach = face.height - stop - low;
    if reach < d.either(Length::inch(1), Length::mm(25)) {
        let message = format!(
            "stitching that ends {} below the rim leaves nothing to stitch down",
            d.show(stop)
        );
        let cure = "let it end nearer to the rim, or make the bag higher, or what comes down over \
                    the outside less deep";
        d.refuse("handles.stop", message, cure.to_owned());
        fits = false;
    }
    if let Some(hem) = d.rim_hem
        && !face.cuff.is_positive()
        && stop <= hem
    {
        let message = format!(
            "stitching that ends {} below the rim would be caught in a hem {} deep",
            d.show(stop),
            d.show(hem)
        );
        let cure = format!("let it end more than {} below the rim", d.show(hem));
        d.refuse("handles.stop", message, cure);
        fits = false;
    }
    fits
}

/// Whether legs that are stitched on lie clear of seams and pockets, and above the base.
fn clear_of_others(
    d: &mut Drafter<'_>,
    legs: &Legs,
    face: &Face,
    [stop, end]: [Length; 2],
) -> bool {
    let room = d.either(Length::inch_frac(1, 4), Length::mm(6));
    let (low, high) = (face.height - end, face.height - stop);
    let on_seam = face.starts.iter().skip(1).any(|at| low - room < *at && *at < high + room);
    if low < d.base_rise.max(face.corner) || on_seam {
        let message = format!(
            "legs stitched on from {} to {} below the rim lie on a seam, or reach under the bag",
            d.show(stop),
            d.show(end)
        );
        let cure = "make the bag higher, or what comes down over the outside less deep";
        d.refuse("handles.kind", message, cure.to_owned());
        return false;
    }
    clear_of_pockets(d, legs, face)
}

/// Places and fastens one strap on each of these faces, and claims it.
pub fn attach(
    d: &mut Drafter<'_>,
    legs: &Legs,
    shell: &Shell,
    faces: &[&Face],
    straps: &[CopyId],
    lengths: StrapLengths,
) {
    note_before_flap(d, legs, faces);
    // Of the first face it has been asked whether they fit.
    for face in faces.iter().skip(1) {
        clear_of_pockets(d, legs, face);
    }
    for (face, strap) in faces.iter().zip(straps) {
        mark(d, legs, face);
        d.run_over_pockets(legs, face);
        let feet = [-1, 1]
            .map(|sign| legs.apart.half() * sign)
            .map(|x| face.on(face.copies.len() - 1, x, face.top_in_use()).1);
        let name = format!("{} {}", face.word, legs.word);
        let plain = HandleClaim::plain(name, *strap, face.top(), feet, legs.width);
        let (free, drop) = (lengths.free, lengths.drop);
        d.claims.handles.push(match legs.hold {
            Hold::Base(_) => HandleClaim { free, drop, from_base: true, ..plain },
            Hold::Rim => HandleClaim { free, drop, ..plain },
            Hold::Panel([stop, end]) => HandleClaim {
                free,
                drop,
                added: -((end - face.rolled) * 2),
                fastened: vec![*strap],
                lies: Some([stop, end].map(|it| it - face.rolled)),
                ..plain
            },
        });
    }
    match legs.hold {
        Hold::Base(stop) => stitch_down(d, legs, stop, faces, straps),
        Hold::Panel(lies) => stitch_on(d, legs, lies, faces, straps),
        Hold::Rim if d.rim_hem.is_some() => under_hem(d, legs, shell, faces, straps),
        Hold::Rim => into_rim(d, legs, faces, straps),
    }
}

/// "a handle … each panel", or "the grab loop … the back panel".
fn each(legs: &Legs, faces: &[&Face]) -> (String, String) {
    match faces {
        [one] => (format!("the {}", legs.word), format!("the {} panel", one.word)),
        _ => (format!("a {}", legs.word), "each panel".to_owned()),
    }
}

fn mark(d: &mut Drafter<'_>, legs: &Legs, face: &Face) {
    let width = legs.width;
    let apart = legs.apart.half();
    let short = d.either(Length::inch(1), Length::mm(25)).min(face.height);
    let (low, high) = match legs.hold {
        Hold::Base(stop) => (Length::ZERO, face.height - stop),
        Hold::Panel([stop, end]) => (face.height - end, face.height - stop),
        Hold::Rim => (face.height - short, face.height),
    };
    for sign in [-1, 1] {
        for edge in [-1, 1] {
            let x = leg_line(d, apart, width, sign, edge);
            for (copy, a, b) in face.line((x, low), (x, high)) {
                // The ends lie on the allowance of the rim, too.
                let at_rim = legs.hold == Hold::Rim && d.rim_hem.is_none();
                let on_allowance = at_rim && copy == face.top();
                let up = if on_allowance { d.rim_allowance } else { Length::ZERO };
                let line = MarkShape::Placement(a, Point::new(b.x, b.y + up));
                d.mark_copy(copy, legs.word, line);
            }
        }
        let inset = from_edge(d);
        let size = match legs.hold {
            Hold::Base(_) => (width - inset * 2, width),
            Hold::Panel(_) => panel_box(d, width),
            Hold::Rim => continue,
        };
        let index = face.starts.iter().rposition(|start| *start <= high).unwrap_or(0);
        let top = if matches!(legs.hold, Hold::Panel(_)) { high - inset } else { high };
        let corner = (apart * sign - size.0.half(), top - size.1);
        let (copy, at) = face.box_on(index, corner, size);
        let far = Point::new(at.x + size.0, at.y + size.1);
        d.mark_copy(copy, "box and X", MarkShape::BoxAndX(at, far));
    }
}

/// Where a line is marked along a leg: its distance from the centre line, to the nearest mark of
/// the ruler; `sign` is the leg's side and `edge` that of the line on it, -1 or 1.
pub(crate) fn leg_line(
    d: &Drafter<'_>,
    apart: Length,
    width: Length,
    sign: i64,
    edge: i64,
) -> Length {
    d.snap(apart + width.half() * (sign * edge)) * sign
}

/// How far from its edges a strap is stitched.
pub(crate) fn from_edge(d: &Drafter<'_>) -> Length {
    d.either(Length::inch_frac(1, 8), Length::mm(3))
}

/// A strap whose two ends stand at a height above the base seam, as far apart as its legs, on the
/// copy of the face with that index.
fn placed(
    face: &Face,
    index: usize,
    strap: CopyId,
    (apart, width, height): (Length, Length, Length),
    level: Vec<(usize, CopyId, usize)>,
) -> Placed {
    let foot = |edge, sign| Foot {
        edge,
        at: face.on(index, apart.half() * sign, height).1,
        face_up: FaceSide::Right,
    };
    let feet = vec![foot(ENDS[0], -1), foot(ENDS[1], 1)];
    let place = (-apart.half() - width.half(), height);
    let (onto, at) = face.box_on(index, place, (apart + width, Length::ZERO));
    Placed { level, feet, ..Placed::new(strap, onto, at) }
}

/// The edges of a strap that are its ends.
const ENDS: [usize; 2] = [0, 2];

/// The box that holds a leg to its panel where it comes free: within its edges.
pub(crate) fn panel_box(d: &Drafter<'_>, width: Length) -> (Length, Length) {
    let inset = from_edge(d);
    (width - inset * 2, box_height(d, width) - inset * 2)
}

/// Turns the ends under and stitches the legs on: with a box and X, and edgestitched below that
/// where they are longer.
fn stitch_on(
    d: &mut Drafter<'_>,
    legs: &Legs,
    [stop, end]: [Length; 2],
    faces: &[&Face],
    straps: &[CopyId],
) {
    let Legs { apart, width, .. } = *legs;
    let stitch = d.stitch("seam");
    // Legs that are edgestitched all the way down spread their load over the panel.
    let (boxed, reach) = (box_height(d, width), end - stop);
    let (long, patched) = (reach > boxed, reach <= boxed * 2);
    if patched {
        let mut spots: Vec<Spot<'_>> = Vec::new();
        for face in faces {
            let low = face.height - stop - boxed;
            spots.extend([-1, 1].map(|sign| (*face, apart.half() * sign, low)));
        }
        behind_straps(d, &spots, (legs.word, width));
    }
    let turn = FastenEnd {
        ends: straps.iter().flat_map(|strap| ENDS.map(|end| (*strap, end))).collect(),
        through: "to the side that will face the bag".to_owned(),
        by: Fastening::Turned(turned_under(d)),
        stitch,
    };
    d.step(Chapter::Handles, "turn-handle-ends", turn);
    let index =
        |face: &Face| face.starts.iter().rposition(|at| *at <= face.height - end).unwrap_or(0);
    let items = faces.iter().zip(straps).map(|(face, strap)| {
        placed(face, index(face), *strap, (apart, width, face.height - end), Vec::new())
    });
    let raw = d.rim_allowance + faces.iter().map(|face| face.cuff).max().unwrap_or(Length::ZERO);
    let (strap, panel) = each(legs, faces);
    let how = Phrase::new(format!(
        "Lay the ends of {strap} on the right side of {panel}, each leg between its lines, the \
         turned end "
    ))
    .len(end + raw)
    .say(" below the raw rim and the loop going up beyond it, the middle of each leg ")
    .len(apart.half())
    .say(" from the centre line.");
    let mind = "see that it is not twisted: lay the whole loop flat and follow one edge with a \
                finger.";
    let place = Place { items: items.collect(), how, mind: Some(mind.into()), attach: Attach::Pin };
    let look = Checkpoint::Look(format!("both ends of {strap} lie equally high."));
    d.step_checked(Chapter::Panels, "place-handles", place, look);
    let inset = from_edge(d);
    let size = panel_box(d, width);
    if long {
        let lines = faces.iter().zip(straps).flat_map(|(face, strap)| {
            let mut lines = Vec::new();
            for sign in [-1, 1] {
                for edge in [-1, 1] {
                    let x = apart.half() * sign + (width.half() - inset) * edge;
                    let (low, high) = (face.height - end + inset, face.height - stop);
                    let line = face.line((x, low), (x, high));
                    lines.extend(line.into_iter().map(|(on, from, to)| (on, Line { from, to })));
                }
                let (low, half) = (face.height - end + inset, width.half() - inset);
                let (from, to) = (apart.half() * sign - half, apart.half() * sign + half);
                let across = face.line((from, low), (to, low));
                lines.extend(across.into_iter().map(|(on, from, to)| (on, Line { from, to })));
            }
            by_panel(*strap, lines)
        });
        let items = lines.collect();
        let how = Phrase::new("Edgestitch each leg, ")
            .len(inset)
            .say(
                " from its edges, up one side and down the other and across its turned end, from \
                  there up to ",
            )
            .len(stop + raw)
            .say(" below the raw rim. Leave the rest of the handle free.");
        let stitch = d.stitch("topstitch");
        let down = StitchDown { how, mind: None, items, closes: None, stitch };
        d.step(Chapter::Panels, "stitch-handles-down", down);
    }
    let boxed = BoxAndX {
        boxes: boxes(faces, straps, apart, size, |face| face.height - stop - inset - size.1),
        where_: Phrase::new(if !patched {
            "on each leg, the upper side of the box "
        } else {
            "on each leg and the patch behind it, the upper side of the box "
        })
        .len(stop + inset + raw)
        .say(" below the raw rim"),
        size,
        stitch,
    };
    d.step(Chapter::Panels, "box-and-x", boxed);
}

fn stitch_down(d: &mut Drafter<'_>, legs: &Legs, stop: Length, faces: &[&Face], straps: &[CopyId]) {
    let Legs { apart, width, .. } = *legs;
    let cuff = faces.iter().map(|face| face.cuff).max().unwrap_or(Length::ZERO);
    let seam_stop = stop + cuff + d.rim_allowance;
    let items = faces.iter().zip(straps).map(|(face, strap)| {
        let base = face.base_edge();
        let level = base.iter().flat_map(|(on, edge)| ENDS.map(|end| (end, *on, *edge))).collect();
        placed(face, 0, *strap, (apart, width, Length::ZERO), level)
    });
    let over_pocket = d.claims.pockets.iter().any(|pocket| !pocket.inside);
    let marked = if over_pocket { "on the pocket and the panel" } else { "on the panel" };
    let how = Phrase::new(format!("Lay a handle on the right side of each panel, each leg between its lines {marked}, its two ends level with the raw base edge, the middle of each leg "))
        .len(apart.half())
        .say(" from the centre line, so that the middles are ")
        .len(apart)
        .say(" apart. The loop goes up beyond the rim; see that the handle is not twisted.");
    let place = Place {
        items: items.collect(),
        how,
        mind: Some("a handle with a twist in it cannot be put right later: lay the whole loop flat and follow one edge with a finger.".into()),
        attach: Attach::baste(d),
    };
    let level = Checkpoint::Look(
        "both legs stand upright and equally far from the centre line, and both loops are equally \
         long when the panels lie on each other."
            .to_owned(),
    );
    d.step_checked(Chapter::Panels, "place-handles", place, level);
    let from_edge = from_edge(d);
    let items = faces.iter().zip(straps).flat_map(|(face, strap)| {
        let mut lines = Vec::new();
        for sign in [-1, 1] {
            for edge in [-1, 1] {
                let x = apart.half() * sign + (width.half() - from_edge) * edge;
                let line = face.line((x, Length::ZERO), (x, face.height - stop));
                lines.extend(line.into_iter().map(|(on, from, to)| (on, Line { from, to })));
            }
        }
        by_panel(*strap, lines)
    });
    let items = items.collect();
    let how = Phrase::new("Edgestitch both sides of each leg, ")
        .len(from_edge)
        .say(" from its edges, from the base up to the mark ")
        .len(seam_stop)
        .say(" below the raw rim, which will be ")
        .len(stop)
        .say(" below the finished rim. Leave the rest of the handle free.");
    let stitch = d.stitch("topstitch");
    let down = StitchDown { how, mind: None, items, closes: None, stitch };
    d.step(Chapter::Panels, "stitch-handles-down", down);
    let boxed = BoxAndX {
        boxes: boxes(faces, straps, apart, (width - from_edge * 2, width), |face| {
            face.height - stop - width
        }),
        where_: Phrase::new("on each leg, the upper side of the box at the mark ")
            .len(seam_stop)
            .say(" below the raw rim"),
        size: (width - from_edge * 2, width),
        stitch: d.stitch("seam"),
    };
    d.step(Chapter::Panels, "box-and-x", boxed);
}

/// Lines that hold one thing, gathered by the panel through which they go.
pub fn by_panel(what: CopyId, lines: Vec<(CopyId, Line)>) -> Vec<StitchedDown> {
    let mut items: Vec<StitchedDown> = Vec::new();
    for (onto, line) in lines {
        match items.iter_mut().find(|item| item.onto == onto) {
            Some(item) => item.lines.push(line),
            None => items.push(StitchedDown { what, onto, lines: vec![line], holds: Vec::new() }),
        }
    }
    items
}

fn into_rim(d: &mut Drafter<'_>, legs: &Legs, faces: &[&Face], straps: &[CopyId]) {
    let Legs { apart, width, .. } = *legs;
    let items = faces.iter().zip(straps).map(|(face, strap)| {
        let index = face.copies.len() - 1;
        let (on, edge) = face.rim_edge();
        let level = ENDS.map(|end| (end, on, edge)).into();
        placed(face, index, *strap, (apart, width, face.height), level)
    });
    let (strap, panel) = each(legs, faces);
    let how = Phrase::new(format!(
        "Lay the ends of {strap} on the right side of {panel}, each standing "
    ))
    .len(tail(d))
    .say(" above the raw rim, the loop hanging down, the middle of each end ")
    .len(apart.half())
    .say(" from the centre line, so that the middles are ")
    .len(apart)
    .say(" apart.");
    let place = Place {
        items: items.collect(),
        how,
        mind: Some("the loop hangs down now and stands up when the bag is turned; see that it is not twisted.".into()),
        attach: Attach::baste(d),
    };
    let look = Checkpoint::Look(if faces.len() > 1 {
        "the two handles are equally long, and their ends equally far from the side seams."
            .to_owned()
    } else {
        format!("both ends of {strap} are equally far from the side seams.")
    });
    d.step_checked(Chapter::Panels, "place-handles", place, look);
}

/// Presses the hem of the rim, so that something can be tucked under it; once.
pub(crate) fn press_hem(d: &mut Drafter<'_>, shell: &Shell) {
    let hem = d.rim_hem.unwrap_or(Length::ZERO);
    if d.free_step_id("press-hem") != "press-hem" {
        return;
    }
    let press = PressSeam {
        what: Phrase::new("the hem of the rim: turn ")
            .len(d.rim_allowance - hem)
            .say(", and then ")
            .len(hem)
            .say(" to the wrong side, all the way round, and press each fold"),
        copies: shell.faces.iter().map(Face::top).collect(),
        mind: None,
    };
    d.step(Chapter::Finish, "press-hem", press);
}

fn under_hem(d: &mut Drafter<'_>, legs: &Legs, shell: &Shell, faces: &[&Face], straps: &[CopyId]) {
    let Legs { apart, width, .. } = *legs;
    let hem = d.rim_hem.unwrap_or(Length::ZERO);
    let items = faces.iter().zip(straps).map(|(face, strap)| {
        let index = face.copies.len() - 1;
        let tucked = placed(face, index, *strap, (apart, width, face.height - hem), Vec::new());
        Placed { ground: FaceSide::Wrong, ..tucked }
    });
    press_hem(d, shell);
    let which = match faces {
        [one] => format!("of the {} on the {}", legs.word, one.word),
        _ => format!("of each {}", legs.word),
    };
    let how = Phrase::new(format!("On the wrong side, push the ends {which} up under the pressed hem as far as the crease at the rim, the loop hanging down into the bag, the middle of each end "))
        .len(apart.half())
        .say(" from the centre line.");
    let place = Place {
        items: items.collect(),
        how,
        mind: Some(
            "the ends must go all the way up to the crease, or the hem will not hold them; see \
             that the loop is not twisted."
                .into(),
        ),
        attach: Attach::Pin,
    };
    d.tucked.extend(straps.iter().flat_map(|strap| ENDS.map(|end| (*strap, end))));
    d.step(Chapter::Finish, "place-handles", place);
    let inset = from_edge(d);
    let across = width - inset * 2;
    let boxed = BoxAndX {
        boxes: boxes(faces, straps, apart, (across, hem - inset * 2), |face| {
            face.height - hem + inset
        }),
        where_: format!(
            "on each leg, within the hem, with the {} folded up so that it stands above the rim",
            legs.word
        )
        .as_str()
        .into(),
        size: (across, hem - inset * 2),
        stitch: d.stitch("seam"),
    };
    d.finally("box-and-x", boxed);
}

/// A box on each leg of each strap, its lower side at the height given, of that width × height.
fn boxes(
    faces: &[&Face],
    straps: &[CopyId],
    apart: Length,
    (across, high): (Length, Length),
    low: impl Fn(&Face) -> Length,
) -> Vec<(CopyId, CopyId, Point)> {
    let mut boxes = Vec::new();
    for (face, strap) in faces.iter().zip(straps) {
        for sign in [-1, 1] {
            let low = low(face);
            let index = face.starts.iter().rposition(|start| *start <= low).unwrap_or(0);
            let corner = (apart.half() * sign - across.half(), low);
            let (onto, at) = face.box_on(index, corner, (across, high));
            boxes.push((*strap, onto, at));
        }
    }
    boxes
}
