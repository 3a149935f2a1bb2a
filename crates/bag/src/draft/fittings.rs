//! What handles and closures of several kinds share: webbing, hardware and its sizes, tabs with
//! rings, and what is laid behind a place that carries a load.

use measure::{Length, Outline, Point};

use super::patches::patches;
use super::rim_set::{RimSet, RimWords, set};
use super::strap::{Hold, behind};
use super::{Drafter, NewPiece, Shell};
use crate::design::Role;
use crate::finding::{Finding, Place as FindingPlace};
use crate::kinds::{Param, Quantity, Values, choice, length, optional};
use crate::operations::{FaceSide, FoldTab, Place};
use crate::pattern::{Band, Chapter, CopyId, Form, Grain, HandleClaim, Look, Material, MaterialId};

/// Width of a webbing.
pub(crate) const WIDTH: Param = length(
    "width",
    "webbing width",
    "Width of the webbing as sold; 25 mm (1 in), 30 mm (1 1/4 in) and 38 mm (1 1/2 in) are usual.",
    [Length::mm(10), Length::mm(80), Length::inch(1), Length::mm(25)],
);
/// What a webbing is called.
pub(crate) const NAME: Param = Param {
    key: "name",
    label: "name",
    help: "What you call this webbing on the shopping list.",
    quantity: Quantity::Text { default: "webbing" },
    grows: None,
};
/// How heavy a webbing is.
pub(crate) const WEIGHT: Param = Param {
    key: "weight",
    label: "weight",
    help: "How heavy the webbing is, as in `30 g per linear metre at 25 mm`; a usual weight if left \
           out.",
    quantity: Quantity::Weight,
    grows: None,
};
/// The width that rings and sliders are sold for.
pub(crate) const HARDWARE: Param = optional(
    "hardware",
    "hardware is for",
    "Width of webbing that rings and sliders are sold for; the webbing's own if left out.",
    [Length::mm(8), Length::mm(90)],
);
/// What it is made to carry.
pub(crate) const CARRIES: Param = choice(
    "carries",
    "made to carry",
    "The load decides what is laid behind the places that are pulled.",
    &[
        ("everyday", "shopping or books, 10 kg (22 lb)"),
        ("light", "a phone and a purse, 3 kg (7 lb)"),
        ("heavy", "tools or bottles, 20 kg (44 lb)"),
    ],
);

/// The load in kilograms.
pub(crate) fn carried(values: &Values) -> u32 {
    match values.choice("carries") {
        "light" => 3,
        "heavy" => 20,
        _ => 10,
    }
}

/// A webbing, tape or cord, by its id.
pub(crate) fn webbing(
    d: &mut Drafter<'_>,
    id: &str,
    name: &str,
    (band, width): (Band, Length),
    serves: &str,
) -> MaterialId {
    add(d, (id, name), Form::Webbing { width, band, weight: None }, serves)
}

fn add(d: &mut Drafter<'_>, (id, name): (&str, &str), form: Form, serves: &str) -> MaterialId {
    d.material(Material {
        id: id.to_owned(),
        name: name.to_owned(),
        serves: serves.to_owned(),
        form,
        look: Look::Webbing,
    })
}

/// The webbing of the parameters [`WIDTH`], [`NAME`] and [`WEIGHT`].
pub(crate) fn handle_webbing(d: &mut Drafter<'_>, values: &Values) -> MaterialId {
    let name = match values.text("name") {
        "" => "webbing",
        name => name,
    };
    let (width, weight) = (values.length("width"), values.weight("weight"));
    add(d, ("webbing", name), Form::Webbing { width, band: Band::Webbing, weight }, "handles")
}

/// A length of webbing: its id and name, net length, and the allowance at each end.
pub(crate) fn length_of(
    d: &mut Drafter<'_>,
    material: MaterialId,
    (id, name): (&str, &str),
    (width, net): (Length, Length),
    [end, other]: [Length; 2],
) -> crate::pattern::PieceId {
    let none = Length::ZERO;
    let new = NewPiece {
        id,
        name,
        role: Role::Handle,
        net: Outline::rectangle(width, net),
        edges: vec![("end", end), ("side", none), ("other end", other), ("other side", none)],
        grain: Grain::Lengthwise,
        join: None,
    };
    d.piece_of_material(new, material)
}

/// How much a ring or a slider may differ from the webbing that runs through it: 25 mm against 1 in
/// goes (common practice, no source).
const GOES: Length = Length::MM;

/// Whether rings and sliders go with the webbing; warns where they only just do, and refuses what
/// the webbing does not pass.
pub(crate) fn hardware_goes(
    d: &mut Drafter<'_>,
    parameter: &str,
    hardware: Length,
    width: Length,
) -> bool {
    d.settle(parameter, hardware);
    let off = hardware - width;
    let [sold, wide] = [hardware, width].map(|length| exactly(d, length));
    if -off > GOES {
        let message = format!("webbing {wide} wide does not go through hardware for {sold}");
        d.refuse(parameter, message, format!("take hardware for {wide}, or narrower webbing"));
        return false;
    }
    let (message, cure) = if off > GOES {
        (
            format!(
                "webbing {wide} wide slips together in hardware for {sold}, and a slider does not hold it"
            ),
            format!("take hardware for {wide}"),
        )
    } else if off != Length::ZERO {
        (
            format!(
                "hardware for {sold} goes with webbing {wide} wide, which is not quite the same"
            ),
            "try one before you buy them all".to_owned(),
        )
    } else {
        return true;
    };
    d.find(Finding::warning("hardware-goes", FindingPlace::parameter(parameter), message, cure));
    true
}

/// A width as it is sold: 25 mm and 1 in are not told apart on a ruler.
fn exactly(d: &Drafter<'_>, length: Length) -> String {
    let sixteenth = measure::Ruler::SIXTEENTH_INCH;
    if sixteenth.is_on(length)
        || d.system == measure::System::Inch && !measure::Ruler::MM.is_on(length)
    {
        sixteenth.show(sixteenth.round(length, measure::Rounding::Nearest))
    } else {
        measure::Ruler::MM.show(measure::Ruler::MM.round(length, measure::Rounding::Nearest))
    }
}

/// How far a ring stands between the two loops that hang in it: about three quarters of the width
/// that it is made for (common practice, no source).
pub(crate) fn ring_height(d: &Drafter<'_>, hardware: Length) -> Length {
    d.snap(hardware * 3 / 4)
}

/// Tabs with rings at the rim.
#[derive(Clone, Copy, Debug)]
pub(crate) struct RingTabs<'a> {
    /// Of which webbing.
    pub material: MaterialId,
    /// Width of the webbing.
    pub width: Length,
    /// How far a tab stands above the rim.
    pub stands: Length,
    /// "a ring for 1 in".
    pub over: &'a str,
    /// Where the tabs are: index of the face, and how far right of its centre line.
    pub at: &'a [(usize, Length)],
    /// Whether patches are sewn behind them.
    pub patched: bool,
    /// How they are held.
    pub hold: Hold,
}

/// Cuts the tabs, folds them over their rings and sets them into the rim.
pub(crate) fn ring_tabs(d: &mut Drafter<'_>, shell: &Shell, tabs: RingTabs<'_>) -> Vec<CopyId> {
    let (behind, in_seam) = behind(d, tabs.hold, tabs.width);
    let (net, allowance) = if in_seam {
        (tabs.stands * 2, behind)
    } else {
        ((tabs.stands + behind) * 2, Length::ZERO)
    };
    let names = ("ring-tab", "ring tab");
    let piece = length_of(d, tabs.material, names, (tabs.width, net), [allowance; 2]);
    let copies: Vec<CopyId> = tabs
        .at
        .iter()
        .map(|(face, x)| {
            let side = match x {
                x if *x < Length::ZERO => "left ",
                x if *x > Length::ZERO => "right ",
                _ => "",
            };
            d.copy(piece, &format!("{} {side}ring tab", shell.faces[*face].word))
        })
        .collect();
    d.part(copies[0], (tabs.width, tabs.stands + behind));
    let stitch = d.stitch("seam");
    let fold = FoldTab { tabs: copies.clone(), over: tabs.over.to_owned(), stitch };
    d.step(Chapter::Handles, "fold-ring-tabs", fold);
    if tabs.patched && tabs.hold == Hold::Rim {
        patches(d, shell, tabs.at, tabs.width);
    }
    let items: Vec<RimSet> = tabs
        .at
        .iter()
        .zip(&copies)
        .map(|((face, x), copy)| RimSet {
            what: *copy,
            face: *face,
            ends: vec![(0, *x, FaceSide::Right), (2, *x, FaceSide::Wrong)],
            width: tabs.width,
        })
        .collect();
    let words = RimWords {
        id: "place-ring-tabs",
        what: "each ring tab",
        mark: "ring tab",
        lies: "its ring hanging down",
        mind: "the ring hangs down now and stands up when the bag is turned.",
    };
    set(d, shell, &items, (tabs.hold, words));
    copies
}

/// Whether things of that width stand within the rims of their faces.
pub(crate) fn stands_within(
    d: &mut Drafter<'_>,
    shell: &Shell,
    (parameter, what): (&str, &str),
    at: &[(usize, Length)],
    width: Length,
) -> bool {
    let margin = d.either(Length::inch_frac(1, 4), Length::mm(6));
    for (face, x) in at {
        let face = &shell.faces[*face];
        let most = face.top_width.half() - width.half() - margin;
        if x.abs() > most {
            let message = format!(
                "{what} {} wide and {} from the centre line does not fit on a rim {} wide",
                d.show(width),
                d.show(x.abs()),
                d.show(face.top_width)
            );
            let most = d.show(most.max(Length::ZERO));
            d.refuse(parameter, message, format!("set it {most} or less from the centre line"));
            return false;
        }
    }
    true
}

/// The two turns at the end of a strap that is folded over hardware (common practice, no source).
pub(crate) fn end_fold(d: &Drafter<'_>) -> crate::operations::EndFold {
    crate::operations::EndFold {
        turn: d.either(Length::inch_frac(1, 2), Length::mm(12)),
        back: d.either(Length::inch_frac(5, 4), Length::mm(30)),
    }
}

impl Drafter<'_> {
    /// The name of a pocket of that face within so much of a place on it, if there is one.
    pub(crate) fn pocket_at(
        &self,
        face: &super::Face,
        (x, height): (Length, Length),
        around: Length,
    ) -> Option<String> {
        let claims = self.claims.pockets.iter();
        let hit = claims.filter(|claim| face.copies.contains(&claim.on)).find(|claim| {
            let Some(index) = face.copies.iter().position(|copy| *copy == claim.on) else {
                return false;
            };
            let (_, point) = face.on(index, x, height);
            let (low, size) = (claim.at, claim.size);
            // A pocket that is held in both side seams may be narrower at its foot.
            reaches(point, around, [low, Point::new(low.x + size.0, low.y + size.1)])
        });
        hit.map(|claim| claim.name.clone())
    }

    /// The name of a pocket of that face that stitches would close which go through the panel in a box:
    /// from its lower left to its upper right corner, as one looks at the face. A pocket that is sewn
    /// on later is none; nor, if that is asked, one that is held in the seams, which they divide.
    pub(crate) fn pocket_closed_by(
        &self,
        face: &super::Face,
        [low, high]: [(Length, Length); 2],
        may_divide: bool,
    ) -> Option<String> {
        // What the eye forgives, at every side of the box.
        const EVEN: Length = Length::mm(2);
        let held = |pocket: CopyId| {
            let places = self.steps().iter().filter_map(|step| step.as_a::<Place>());
            let mut items = places.flat_map(|place| &place.items);
            items.any(|item| item.what == pocket && !item.level.is_empty())
        };
        let hit = self.claims.pockets.iter().find(|claim| {
            let Some(index) = face.copies.iter().position(|copy| *copy == claim.on) else {
                return false;
            };
            let [(_, a), (_, b)] = [low, high].map(|(x, height)| face.on(index, x, height));
            let (to_x, to_y) = (claim.at.x + claim.size.0, claim.at.y + claim.size.1);
            let meets = a.x.max(b.x) - EVEN > claim.at.x
                && a.x.min(b.x) + EVEN < to_x
                && a.y.max(b.y) - EVEN > claim.at.y
                && a.y.min(b.y) + EVEN < to_y;
            meets && !self.late.contains(&claim.copy) && !(may_divide && held(claim.copy))
        });
        hit.map(|claim| claim.name.clone())
    }
}

/// Whether so much around a point reaches into a box between two corners.
pub(super) fn reaches(point: Point, around: Length, [a, b]: [Point; 2]) -> bool {
    let near = |at: Length, a: Length, b: Length| at + around > a.min(b) && at - around < a.max(b);
    near(point.x, a.x, b.x) && near(point.y, a.y, b.y)
}

impl Drafter<'_> {
    /// Something laid down on a face within so much of a place on it: a handle or a pocket.
    pub(crate) fn taken_at(
        &self,
        face: &super::Face,
        (x, height): (Length, Length),
        around: Length,
    ) -> Option<String> {
        let legs = self.claims.handles.iter().find(|handle| {
            let near = |foot: &Point| {
                let Some(index) = face.copies.iter().position(|copy| *copy == handle.on) else {
                    return false;
                };
                let (_, point) = face.on(index, x, height);
                let beside = (point.x - foot.x).abs() >= around + handle.width.half();
                let level = handle.lies.is_none_or(|[stop, end]| {
                    let below = face.height - height;
                    let [stop, end] = [stop, end].map(|it| it + face.rolled);
                    below + around > stop && below - around < end
                });
                !beside && level
            };
            !handle.is_in_rim() && handle.feet.iter().any(near)
        });
        let handle = legs.map(|handle| handle.name.clone());
        let laid = self.laid.iter().find(|(on, [a, b], _)| {
            let Some(index) = face.copies.iter().position(|copy| copy == on) else { return false };
            let (_, point) = face.on(index, x, height);
            reaches(point, around, [*a, *b])
        });
        let handle = handle.or_else(|| laid.map(|(.., name)| name.clone()));
        handle.or_else(|| self.pocket_at(face, (x, height), around))
    }

    /// A handle that comes free on that face within so much of a place at its rim, and above so
    /// much below it.
    pub(crate) fn handle_at_rim(
        &self,
        face: &super::Face,
        (x, lower): (Length, Length),
        around: Length,
    ) -> Option<String> {
        let index = face.copies.len() - 1;
        let (top, point) = face.on(index, x, face.height);
        let near = |foot: &Point, width: Length| (foot.x - point.x).abs() < around + width.half();
        // Straps that are stitched on, and cords, come free below the rim.
        let free = |handle: &HandleClaim| {
            let below = handle.lies.map_or((-handle.added).half(), |[stop, _]| stop);
            (below + face.rolled).max(Length::ZERO)
        };
        let handles = self.claims.handles.iter().filter(|it| it.on == top && free(it) <= lower);
        let mut hit =
            handles.filter(|handle| handle.feet.iter().any(|foot| near(foot, handle.width)));
        hit.next().map(|handle| handle.name.clone())
    }
}
