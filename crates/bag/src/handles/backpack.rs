//! A pair of shoulder straps on the back, with adjusters.

use measure::{Length, Outline};

use super::Handles;
use crate::design::Role;
use crate::draft::fittings::{
    HARDWARE, NAME, WEIGHT, WIDTH, end_fold, handle_webbing, hardware_goes, length_of,
    stands_within,
};
use crate::draft::patches::{behind_straps, patches};
use crate::draft::rim_set::{RimSet, RimWords, set_in_rim};
use crate::draft::strap::{behind_rim, box_height, even_up, free_below, from_edge};
use crate::draft::{Drafter, Face, NewPiece, Shell};
use crate::kinds::{Kind, Param, Values, choice, length};
use crate::operations::{
    Attach, BoxAndX, FaceSide, FastenEnd, Fastening, Foot, Phrase, Place, Placed, ThreadStrap,
    WrapGrip,
};
use crate::pattern::{Chapter, CopyId, Grain, HandleClaim, MarkShape, Notion, notion};

/// The kind.
pub(super) struct Backpack;
/// Its entry in the list.
pub(super) const KIND: Backpack = Backpack;

impl Kind for Backpack {
    fn name(&self) -> &'static str {
        "backpack"
    }
    fn title(&self) -> &'static str {
        "Backpack straps with adjusters"
    }
    fn help(&self) -> &'static str {
        "Two shoulder straps on the back: webbing from the rim, or from the back below it, to an adjuster, padded over the \
         shoulder, and webbing from the adjuster to the base seam, by which they are made longer and shorter. \
         Where the base is a fold, that is stitched to the back just above it."
    }
    fn params(&self) -> &'static [Param] {
        const PARAMS: &[Param] = &[
            length(
                "longest",
                "longest",
                "From the rim over the shoulder to the base, let out; 36 in (90 cm) for most adults.",
                [Length::mm(250), Length::mm(1_500), Length::inch(36), Length::mm(900)],
            ),
            length(
                "shortest",
                "shortest",
                "The same, drawn in.",
                [Length::mm(150), Length::mm(1_300), Length::inch(26), Length::mm(650)],
            ),
            length(
                "pad",
                "pad length",
                "Finished length of the padded part.",
                [Length::mm(80), Length::mm(700), Length::inch(16), Length::mm(400)],
            ),
            length(
                "pad-width",
                "pad width",
                "Finished width of the padded part; it must be wider than the webbing.",
                [Length::mm(25), Length::mm(120), Length::inch_frac(5, 2), Length::mm(60)],
            ),
            length(
                "apart",
                "straps apart",
                "From the middle of one strap to the middle of the other, at the rim.",
                [Length::mm(30), Length::mm(400), Length::inch(4), Length::mm(100)],
            ),
            length(
                "inset",
                "anchors from the corners",
                "From the end of the finished base to the middle of an anchor.",
                [Length::mm(10), Length::mm(200), Length::inch_frac(3, 2), Length::mm(40)],
            ),
            choice(
                "top",
                "upper ends",
                "Where the straps are fastened above.",
                &[
                    ("rim", "in the rim; to the back where the rim is gathered, rolled or covered"),
                    ("back", "stitched to the back, below the rim"),
                ],
            ),
            length(
                "below",
                "stitched below the rim",
                "Of straps that are stitched to the back: from the rim down to the lower end of their \
                 stitching; lower where a casing, a roll or a flap comes below that.",
                [Length::mm(40), Length::mm(300), Length::inch(5), Length::mm(125)],
            ),
            WIDTH,
            HARDWARE,
            NAME,
            WEIGHT,
        ];
        PARAMS
    }
}

/// The numbers of one strap.
#[derive(Clone, Copy, Debug)]
struct Lengths {
    /// Webbing from the rim to the adjuster, as it lies.
    upper: Length,
    /// Webbing from the base seam to its hemmed end, as it lies.
    lower: Length,
    /// Let out: from the base seam to the adjuster.
    out: Length,
    /// Drawn in: the same.
    drawn: Length,
}

/// How far below the rim straps that are stitched to the back end.
fn below(d: &Drafter<'_>, values: &Values, outside: &Shell) -> Length {
    let back = &outside.faces[outside.faces.len() - 1];
    let free = free_below(d, &[back]);
    let least = if free.is_positive() {
        free + box_height(d, values.length("width"))
    } else {
        Length::ZERO
    };
    values.length("below").max(least)
}

/// How high the lower ends of straps lie that are stitched to the back, because the base is a fold and
/// no seam: 1/4 in (6 mm) above where the back begins; nothing where a seam holds them.
fn lower_end(d: &Drafter<'_>, width: Length, outside: &Shell) -> Option<Length> {
    let back = &outside.faces[outside.faces.len() - 1];
    let room = d.either(Length::inch_frac(1, 4), Length::mm(6));
    // On a mark of the ruler, from which the place is measured; the box ends on one, too.
    let low = d.snap_up(d.base_rise.max(back.corner) + room);
    (back.base_edge().is_none() && width.is_positive()).then_some(low)
}

/// How one pair of ends that is stitched to the back is told.
struct Words {
    /// "shoulder strap", "anchor".
    what: &'static str,
    /// How the steps end: "place-straps".
    steps: &'static str,
    /// How they are laid.
    how: Phrase,
    /// What to mind.
    mind: Option<Phrase>,
}

/// Stitches hemmed ends to the back, so far left and right of its centre line and so high, with a
/// patch behind and a box and X on each; the rest of the straps goes up.
fn stitch_on(
    d: &mut Drafter<'_>,
    back: &Face,
    (x, low): (Length, Length),
    (straps, width): (&[CopyId], Length),
    words: Words,
) {
    let Words { what, steps, how, mind } = words;
    let index = back.starts.iter().rposition(|start| *start <= low).unwrap_or(0);
    behind_straps(d, &[(back, -x, low), (back, x, low)], (what, width));
    let (mut items, mut boxes) = (Vec::new(), Vec::new());
    let inset = from_edge(d);
    let size = (width - inset * 2, box_height(d, width) - inset * 2);
    for (x, strap) in [-x, x].into_iter().zip(straps) {
        let (onto, at) = back.on(index, x, low);
        let feet = vec![Foot { edge: 0, at, face_up: FaceSide::Right }];
        // It points up toward the rim, also on the half of a panel that stands on its head.
        let long = d.piece_of(*strap).net_size().1;
        let (_, corner) = back.box_on(index, (x - width.half(), low), (width, long));
        let upside_down = back.lies[index].turned;
        items.push(Placed { feet, upside_down, ..Placed::new(*strap, onto, corner) });
        let (_, corner) = back.box_on(index, (x - size.0.half(), low + inset), size);
        boxes.push((*strap, onto, corner));
        for edge in [-1, 1] {
            let at = d.snap(x + width.half() * edge);
            for (on, a, b) in back.line((at, low), (at, low + box_height(d, width))) {
                d.mark_copy(on, what, MarkShape::Placement(a, b));
            }
        }
    }
    d.ends(&items);
    let place = Place { items, how, mind, attach: Attach::Pin };
    d.step(Chapter::Panels, &format!("place-{steps}"), place);
    let where_ = "over the hemmed end, through the back and the patch behind it".into();
    let stitch = d.stitch("seam");
    d.step(Chapter::Panels, &format!("stitch-{steps}"), BoxAndX { boxes, where_, size, stitch });
}

/// The two turns of a hemmed end, each.
fn under(d: &Drafter<'_>) -> Length {
    d.either(Length::inch_frac(1, 2), Length::mm(12))
}

/// What stays beyond the adjuster to pull at when the strap is let out, and the least between an
/// adjuster and what is before it: a hand's grip and two fingers (common practice, no source).
fn grip(d: &Drafter<'_>) -> [Length; 2] {
    [d.either(Length::inch(4), Length::mm(100)), d.either(Length::inch(2), Length::mm(50))]
}

impl Handles for Backpack {
    fn build(&self, d: &mut Drafter<'_>, values: &Values, outside: &Shell) {
        let width = values.length("width");
        let hardware = values.optional("hardware").unwrap_or(width);
        let index = outside.faces.len() - 1;
        let half = values.length("apart").half();
        let at = [(index, -half), (index, half)];
        if !hardware_goes(d, "handles.hardware", hardware, width)
            || !stands_within(d, outside, ("handles.apart", "a strap"), &at, values.length("pad-width"))
            || !self.fits(d, values, outside)
            || !self.anchors_fit(d, values, outside)
        {
            return;
        }
        let Some(lengths) = self.lengths(d, values) else { return };
        let on_back = values.choice("top") == "back" || !d.rim_stands;
        if on_back {
            if self.fits_on_back(d, values, outside) {
                let uppers = self.uppers(d, values, lengths, (hardware, true));
                self.stitch_to_back(d, values, outside, &uppers);
                self.finish(d, values, outside, &uppers, lengths, hardware);
            }
            return;
        }
        let uppers = self.uppers(d, values, lengths, (hardware, false));
        patches(d, outside, &at, width);
        let items: Vec<RimSet> = at
            .iter()
            .zip(&uppers)
            .map(|((face, x), strap)| RimSet {
                what: *strap,
                face: *face,
                ends: vec![(0, *x, FaceSide::Wrong)],
                width,
            })
            .collect();
        let words = RimWords {
            id: "place-straps",
            what: "each shoulder strap",
            mark: "shoulder strap",
            lies: "its pad facing the panel and its adjuster hanging down",
            mind: "pin the straps together in the middle of the back, away from every seam.",
        };
        set_in_rim(d, outside, &items, words);
        self.finish(d, values, outside, &uppers, lengths, hardware);
    }
}

impl Backpack {
    /// The lower parts, what is promised, and how both are put together.
    fn finish(
        &self,
        d: &mut Drafter<'_>,
        values: &Values,
        outside: &Shell,
        uppers: &[CopyId],
        lengths: Lengths,
        hardware: Length,
    ) {
        let lowers = self.lowers(d, values, outside, lengths);
        self.claim(d, values, outside, (uppers, &lowers), lengths);
        let held = lower_end(d, values.length("width"), outside);
        self.thread(d, (uppers, &lowers), lengths, held.is_none());
        d.notion(Notion::of(&notion::ADJUSTER, 2).wide(hardware));
    }

    /// Whether straps that are stitched to the back have room there.
    fn fits_on_back(&self, d: &mut Drafter<'_>, values: &Values, outside: &Shell) -> bool {
        let (width, below) = (values.length("width"), below(d, values, outside));
        let back = &outside.faces[outside.faces.len() - 1];
        let half = values.length("apart").half();
        let (low, high) = (back.height - below, back.height - below + box_height(d, width));
        let room = d.either(Length::inch_frac(1, 4), Length::mm(6));
        let hem = d.rim_hem.unwrap_or(Length::ZERO);
        let seam = back.starts.iter().skip(1).any(|at| low - room < *at && *at < high + room);
        if low < d.base_rise.max(back.corner) + room || high > back.height - hem - room || seam {
            let message = format!(
                "straps stitched to the back down to {} below the rim lie under its hem, on a seam, \
                 or reach the base",
                d.show(below)
            );
            let cure = format!(
                "set them between {} and {} below the rim, clear of every seam",
                d.show(hem + room + box_height(d, width)),
                d.show((back.height - d.base_rise.max(back.corner) - room).max(Length::ZERO))
            );
            d.refuse("handles.below", message, cure);
            return false;
        }
        for x in [-half, half] {
            let around = [(x - width.half(), low), (x + width.half(), high)];
            if let Some(pocket) = d.pocket_closed_by(back, around, false) {
                let message = format!("the straps would be stitched through the {pocket}");
                let cure = "set them higher or lower, or the pocket elsewhere".to_owned();
                d.refuse("handles.below", message, cure);
                return false;
            }
        }
        true
    }

    /// Stitches the upper ends to the back, the straps pointing up over the rim.
    fn stitch_to_back(
        &self,
        d: &mut Drafter<'_>,
        values: &Values,
        outside: &Shell,
        uppers: &[CopyId],
    ) {
        let (width, below) = (values.length("width"), below(d, values, outside));
        let back = &outside.faces[outside.faces.len() - 1];
        let half = values.length("apart").half();
        let turn = under(d);
        let hem = FastenEnd {
            ends: uppers.iter().map(|strap| (*strap, 0)).collect(),
            through: "to the side that will face the bag".to_owned(),
            by: Fastening::Hemmed(turn),
            stitch: d.stitch("seam"),
        };
        d.step(Chapter::Handles, "hem-shoulder-webbing", hem);
        let how = Phrase::new(
            "Lay a strap at each mark on the right side of the back, its hemmed end ",
        )
        .len(below + back.cuff + d.rim_allowance)
        .say(" below the raw rim and the rest pointing up over it, the middles ")
        .len(half * 2)
        .say(" apart.");
        let words = Words { what: "shoulder strap", steps: "straps", how, mind: None };
        stitch_on(d, back, (half, back.height - below), (uppers, width), words);
    }

    /// How far from the centre line the anchors lie.
    fn anchor(&self, d: &Drafter<'_>, values: &Values, outside: &Shell) -> Length {
        let back = &outside.faces[outside.faces.len() - 1];
        back.base_width.half() - back.corner.max(d.base_rise) - values.length("inset")
    }

    /// Whether anchors that are stitched to the back above a folded base have room there, below what
    /// is stitched on above them and beside pockets.
    fn anchors_fit(&self, d: &mut Drafter<'_>, values: &Values, outside: &Shell) -> bool {
        let width = values.length("width");
        let Some(low) = lower_end(d, width, outside) else { return true };
        let back = &outside.faces[outside.faces.len() - 1];
        let high = low + box_height(d, width);
        let room = d.either(Length::inch_frac(1, 4), Length::mm(6));
        let on_back = values.choice("top") == "back" || !d.rim_stands;
        let kept = if on_back {
            below(d, values, outside)
        } else {
            free_below(d, &[back]).max(d.rim_hem.unwrap_or(Length::ZERO))
        };
        if high + room * 2 > back.height - kept {
            let message = format!(
                "the base is a fold, so that the lower ends of the straps are stitched to the back \
                 above it: they come free {} below the rim, where the back is not free",
                d.show(back.height - high)
            );
            let cure = "make the bag higher, or set the straps nearer to the rim".to_owned();
            d.refuse(if on_back { "handles.below" } else { "handles.width" }, message, cure);
            return false;
        }
        let x = self.anchor(d, values, outside);
        for x in [-x, x] {
            let around = [(x - width.half(), low), (x + width.half(), high)];
            if let Some(pocket) = d.pocket_closed_by(back, around, false) {
                let message = format!(
                    "the lower ends of the straps would be stitched through the {pocket}, and close it"
                );
                let cure = "set the anchors nearer to the corners, or the pocket higher, or make it \
                            narrower";
                d.refuse("handles.inset", message, cure.to_owned());
                return false;
            }
        }
        true
    }

    fn fits(&self, d: &mut Drafter<'_>, values: &Values, outside: &Shell) -> bool {
        let (width, pad) = (values.length("width"), values.length("pad-width"));
        let x = self.anchor(d, values, outside);
        let seam = d.seam_allowance("base");
        let mut fits = true;
        if values.length("inset") < width.half() + seam || x < width.half() + seam {
            let message = format!(
                "anchors {} from the ends of the base do not fit there: they are {} wide",
                d.show(values.length("inset")),
                d.show(width)
            );
            let cure = format!(
                "set them {} or more from the ends, and apart from each other",
                d.show(width.half() + seam)
            );
            d.refuse("handles.inset", message, cure);
            fits = false;
        }
        if pad < width + d.either(Length::inch_frac(1, 2), Length::mm(12)) {
            let message = format!(
                "a pad {} wide does not show beside webbing {} wide",
                d.show(pad),
                d.show(width)
            );
            d.refuse("handles.pad-width", message, "make the pad wider".to_owned());
            fits = false;
        }
        if values.length("apart") < pad {
            let message = format!(
                "straps {} apart lie on each other: their pads are {} wide",
                d.show(values.length("apart")),
                d.show(pad)
            );
            d.refuse("handles.apart", message, format!("set them {} apart or more", d.show(pad)));
            fits = false;
        }
        fits
    }

    /// The pad, and two fingers of webbing above and below it, make the upper part; the lower part
    /// is what is left of the longest, with a grip beyond the adjuster.
    fn lengths(&self, d: &mut Drafter<'_>, values: &Values) -> Option<Lengths> {
        let (longest, shortest) = (values.length("longest"), values.length("shortest"));
        let [grip, fingers] = grip(d);
        let upper = values.length("pad") + fingers;
        let (out, drawn) = (longest - upper, shortest - upper);
        if drawn < fingers || longest < shortest {
            let message = format!(
                "with a pad of {} the strap cannot be drawn in to {}: the adjuster would reach the \
                 base",
                d.show(values.length("pad")),
                d.show(shortest)
            );
            let cure = format!(
                "ask for a shortest of {} or more and a longest that is longer, or a shorter pad",
                d.show(upper + fingers)
            );
            d.refuse("handles.shortest", message, cure);
            return None;
        }
        let lower = even_up(d, out + grip);
        Some(Lengths { upper, lower, out: lower - grip, drawn })
    }

    /// The upper parts: webbing with a pad sewn round it, and the adjuster at its end.
    fn uppers(
        &self,
        d: &mut Drafter<'_>,
        values: &Values,
        lengths: Lengths,
        (hardware, on_back): (Length, bool),
    ) -> Vec<CopyId> {
        let (width, pad) = (values.length("width"), values.length("pad"));
        let (behind, in_seam) = behind_rim(d);
        let fold = end_fold(d);
        let net = lengths.upper + fold.turn + fold.back;
        let (net, end) = match (on_back, in_seam) {
            // From where it comes free of its stitching.
            (true, _) => (net + box_height(d, width) + under(d) * 2, Length::ZERO),
            (false, true) => (net, behind),
            (false, false) => (net + behind, Length::ZERO),
        };
        let material = handle_webbing(d, values);
        let names = ("upper-webbing", "shoulder webbing");
        let piece = length_of(d, material, names, (width, net), [end, Length::ZERO]);
        let sides = ["left", "right"];
        let straps: Vec<CopyId> =
            sides.iter().map(|side| d.copy(piece, &format!("{side} shoulder webbing"))).collect();
        let allowance = d.either(Length::inch_frac(1, 2), Length::mm(12));
        let cloth = d.piece(NewPiece {
            id: "shoulder-pad",
            name: "shoulder pad",
            role: Role::Handle,
            net: Outline::rectangle(values.length("pad-width") * 2, pad),
            edges: ["end", "side", "other end", "other side"].map(|edge| (edge, allowance)).into(),
            grain: Grain::Free,
            join: None,
        });
        let pads: Vec<CopyId> =
            sides.iter().map(|side| d.copy(cloth, &format!("{side} shoulder pad"))).collect();
        let cut = allowance * 2;
        d.part(pads[0], (values.length("pad-width") * 2 + cut, pad + cut));
        let how = Phrase::new("On each shoulder pad press ")
            .len(allowance)
            .say(" of all four edges to the wrong side. Lay padding ")
            .len(values.length("pad-width"))
            .say(" wide and ")
            .len(pad)
            .say(
                " long on one half, fold the other half over it, and edgestitch all round. Lay the \
                 webbing along its middle, the pad beginning at the finished rim, and stitch along \
                 both edges of the webbing, to and fro at both ends of the pad",
            );
        let stitch = d.stitch("topstitch");
        let wrap = WrapGrip { grips: pads, straps: straps.clone(), how, stitch };
        d.step(Chapter::Handles, "wrap-pads", wrap);
        let padding = Notion::of(&notion::WADDING, 2).wide(values.length("pad-width")).long(pad);
        // Common practice, no source.
        let thick = d.either(Length::inch_frac(1, 4), Length::mm(6));
        d.notion(padding.thick(thick).serving("the shoulder pads"));
        let held = if on_back { box_height(d, width) } else { behind };
        d.part(straps[0], (width, lengths.upper + held));
        let fasten = FastenEnd {
            ends: straps.iter().map(|strap| (*strap, 2)).collect(),
            through: format!("the upper bar of an adjuster for webbing {} wide", d.show(hardware)),
            by: Fastening::Folded(fold),
            stitch: d.stitch("seam"),
        };
        d.step(Chapter::Handles, "fasten-adjusters", fasten);
        straps
    }

    /// The lower parts: webbing caught in the base seam, or stitched to the back above a folded base,
    /// its other end hemmed.
    fn lowers(
        &self,
        d: &mut Drafter<'_>,
        values: &Values,
        outside: &Shell,
        lengths: Lengths,
    ) -> Vec<CopyId> {
        let width = values.length("width");
        let back = &outside.faces[outside.faces.len() - 1];
        let x = self.anchor(d, values, outside);
        let turn = under(d);
        let material = handle_webbing(d, values);
        let names = ("lower-webbing", "lower webbing");
        let stitched = lower_end(d, width, outside);
        // What is behind the place where it comes free.
        let (seam, held) = match stitched {
            None => (d.seam_allowance("base"), Length::ZERO),
            Some(_) => (Length::ZERO, box_height(d, width)),
        };
        let own = if stitched.is_some() { held + turn * 2 } else { Length::ZERO };
        let net = lengths.lower + turn * 2 + own;
        let piece = length_of(d, material, names, (width, net), [seam, Length::ZERO]);
        let copies: Vec<CopyId> = ["left", "right"]
            .iter()
            .map(|side| d.copy(piece, &format!("{side} lower webbing")))
            .collect();
        d.part(copies[0], (width, lengths.lower + seam + held));
        let ends: &[usize] = if stitched.is_some() { &[0, 2] } else { &[2] };
        let hem = FastenEnd {
            ends: copies.iter().flat_map(|copy| ends.iter().map(|end| (*copy, *end))).collect(),
            through: "to the side that will face the bag".to_owned(),
            by: Fastening::Hemmed(turn),
            stitch: d.stitch("seam"),
        };
        d.step(Chapter::Handles, "hem-lower-webbing", hem);
        let mind = Some("fold the rest into a small parcel and pin it to the middle of the back, away from every seam.".into());
        if let Some(low) = stitched {
            let how = Phrase::new(
                "Lay a lower webbing at each anchor mark on the right side of the back, one hemmed \
                 end ",
            )
            .len(low)
            .say(" above the fold of the base and the rest going up over the panel, the middle of each end ")
            .len(x)
            .say(" from the centre line.");
            let words = Words { what: "anchor", steps: "anchors", how, mind };
            stitch_on(d, back, (x, low), (&copies, width), words);
            return copies;
        }
        let mut items = Vec::new();
        for (copy, x) in copies.iter().zip([-x, x]) {
            let (onto, at) = back.on(0, x, Length::ZERO);
            let level = back.base_edge().map(|(on, edge)| (0, on, edge)).into_iter().collect();
            let feet = vec![Foot { edge: 0, at, face_up: FaceSide::Right }];
            let corner = back.on(0, x - width.half(), Length::ZERO).1;
            items.push(Placed { level, feet, ..Placed::new(*copy, onto, corner) });
            for edge in [-1, 1] {
                let at = d.snap(x + width.half() * edge);
                let high = d.either(Length::inch(1), Length::mm(25)).min(back.height);
                for (on, a, b) in back.line((at, Length::ZERO), (at, high)) {
                    d.mark_copy(on, "anchor", MarkShape::Placement(a, b));
                }
            }
        }
        d.ends(&items);
        let how = Phrase::new(
            "Lay a lower webbing at each anchor mark on the right side of the back, its raw end \
             level with the raw base edge, the rest going up over the panel, the middle of each end ",
        )
        .len(x)
        .say(" from the centre line.");
        let place = Place { items, how, mind, attach: Attach::baste(d) };
        d.step(Chapter::Panels, "place-anchors", place);
        copies
    }

    fn claim(
        &self,
        d: &mut Drafter<'_>,
        values: &Values,
        outside: &Shell,
        (uppers, lowers): (&[CopyId], &[CopyId]),
        lengths: Lengths,
    ) {
        let back = &outside.faces[outside.faces.len() - 1];
        let (half, x) = (values.length("apart").half(), self.anchor(d, values, outside));
        let on_back = values.choice("top") == "back" || !d.rim_stands;
        let width = values.length("width");
        // Of straps on the back: what is stitched down, and where they come free.
        let (behind, height) = if on_back {
            (box_height(d, width), back.height - below(d, values, outside) + box_height(d, width))
        } else {
            (behind_rim(d).0, back.height)
        };
        let top = back.copies.len() - 1;
        let anchored =
            lower_end(d, width, outside).map_or(Length::ZERO, |low| low + box_height(d, width));
        for (index, (side, sign)) in [("left", -1), ("right", 1)].into_iter().enumerate() {
            let feet = [
                back.on(top, half * sign, height).1,
                back.on(top, x * sign, anchored).1,
            ];
            let free = lengths.upper + lengths.out;
            let apart = feet[0].distance(feet[1]).half().to_mm();
            let drop = |free: Length| {
                let leg = free.half().to_mm();
                Length::from_mm_f64((leg * leg - apart * apart).max(0.0).sqrt())
            };
            let name = format!("{side} shoulder strap");
            d.claims.handles.push(HandleClaim {
                free,
                drop: drop(free),
                fastened: vec![uppers[index], lowers[index]],
                added: lengths.out - behind,
                shortest: Some(drop(lengths.upper + lengths.drawn)),
                stands_out: true,
                ..HandleClaim::plain(name, uppers[index], back.top(), feet, values.length("width"))
            });
        }
    }

    fn thread(
        &self,
        d: &mut Drafter<'_>,
        (uppers, lowers): (&[CopyId], &[CopyId]),
        lengths: Lengths,
        in_seam: bool,
    ) {
        let how = Phrase::new(
            "Bring each lower webbing up through the lower slot of the adjuster of its side, over \
             the middle bar and down through the other slot. The straps can then be worn from ",
        )
        .len(lengths.upper + lengths.drawn)
        .say(" to ")
        .len(lengths.upper + lengths.out)
        .say(if in_seam {
            " long, from the rim to the base."
        } else {
            " long, from the rim to where they are stitched on above the base."
        });
        let mind = Some("hang the bag up by each strap with a load in it before anybody wears it; the webbing must not slip.".into());
        let straps = uppers.iter().chain(lowers).copied().collect();
        d.finally("thread-adjusters", ThreadStrap { straps, how, mind });
    }
}
