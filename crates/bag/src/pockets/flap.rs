//! A patch pocket under a flap.

use measure::{Length, Point};

use super::kit::{BELOW, Ground, Keys, ON, SIDE, Spot, needs_its_place, refuse, settle, usual_below};
use super::patch::{layers, topstitch_top};
use super::pouch::{Layers, Pouch, the};
use super::{Pocket, numbered, numbered_name, ordinal};
use crate::draft::{Ability, Drafter, Face, Shell};
use crate::kinds::{Kind, Param, Values, choice, length, optional};
use crate::operations::{
    AttachHardware, Attach, Beside, Fasten, Line, Phrase, StitchDown, StitchedDown, Topstitch,
};
use crate::pattern::{Chapter, CopyId, MarkShape, Notion, notion};

/// The kind.
pub(super) struct Flap;
/// Its entry in the list.
pub(super) const KIND: Flap = Flap;

impl Kind for Flap {
    fn name(&self) -> &'static str {
        "flap"
    }
    fn title(&self) -> &'static str {
        "Patch pocket with flap"
    }
    fn help(&self) -> &'static str {
        "A self-lined patch with a flap of two layers above it, a little wider than the pocket, \
         stitched on with two rows. Nothing falls out, and rain stays out."
    }
    fn params(&self) -> &'static [Param] {
        const PARAMS: &[Param] = &[
            SIDE,
            ON,
            optional(
                "width",
                "width",
                "Finished width of the pocket; the flap is a little wider. Left out, what is usual, or \
                 as wide as the panel allows.",
                [Length::mm(60), Length::mm(1_000)],
            ).along(),
            optional(
                "height",
                "height",
                "Finished height of the pocket, without the flap; left out, what is usual, or as high \
                 as the panel allows.",
                [Length::mm(60), Length::mm(800)],
            ).along(),
            BELOW,
            length(
                "flap",
                "flap",
                "How far the flap hangs down from where it is stitched on.",
                [Length::mm(40), Length::mm(300), Length::inch(2), Length::mm(50)],
            ).along(),
            choice(
                "corners",
                "corners of the flap",
                "Shape of its two lower corners.",
                &[("square", "square"), ("rounded", "rounded")],
            ),
            choice(
                "held",
                "flap held by",
                "What keeps the flap shut.",
                &[
                    ("snap", "a magnetic snap"),
                    ("button", "a button and a buttonhole"),
                    ("hook-and-loop", "hook and loop tape"),
                    ("nothing", "its own weight"),
                ],
            ),
            length(
                "opening",
                "opening for turning",
                "Left in the pocket's lower edge and in the flap's top edge.",
                [Length::mm(40), Length::mm(300), Length::inch_frac(5, 2), Length::mm(60)],
            ),
        ];
        PARAMS
    }
}

/// The measures of one, worked out.
#[derive(Clone, Copy, Debug)]
struct Measures {
    pocket: Spot,
    flap: Spot,
    /// From the flap's stitching line down to the pocket's top edge.
    gap: Length,
}

impl Measures {
    /// The flap is 1/4 in (6 mm) wider than the pocket, so that it covers it, and sewn on 1/2 in
    /// (12 mm) above, so that the hand gets in under it (common practice, no source).
    fn of(d: &Drafter<'_>, ground: &Ground<'_>, values: &Values) -> Self {
        let flap = values.length("flap");
        let gap = d.either(Length::inch_frac(1, 2), Length::mm(12));
        let wider = d.either(Length::inch_frac(1, 4), Length::mm(6));
        // Both together, as they lie.
        let usual = Spot {
            width: d.either(Length::inch(5), Length::mm(120)) + wider,
            height: d.either(Length::inch(6), Length::mm(150)) + gap,
            below: usual_below(d),
        };
        let asked = [
            values.optional("width").map(|width| width + wider),
            values.optional("height").map(|height| height + gap),
            values.optional("below"),
        ];
        let Spot { width, height, below } = Spot::fitted(d, ground, asked, usual);
        let (width, height) = (width - wider, height - gap);
        Self {
            pocket: Spot { width, height, below: below + gap },
            flap: Spot { width: width + wider, height: flap, below },
            gap,
        }
    }

    fn fits(&self, d: &mut Drafter<'_>, ground: &Ground<'_>, index: usize) -> bool {
        let whole = Spot {
            height: self.pocket.height + self.gap,
            ..self.flap
        };
        let mut fits =
            whole.fits(d, ground, index, Keys { width: "width", height: "height" });
        if self.flap.height > self.pocket.height {
            let message = format!(
                "a flap {} deep hangs down below a pocket {} high",
                d.show(self.flap.height),
                d.show(self.pocket.height)
            );
            let cure = format!("make it {} or less", d.show(self.pocket.height));
            refuse(d, index, "flap", message, cure);
            fits = false;
        }
        fits
    }
}

impl Pocket for Flap {
    fn is_inside(&self, values: &Values) -> bool {
        values.choice("side") == "inside"
    }

    fn needs(&self, values: &Values) -> Vec<Ability> {
        needs_its_place(values)
    }

    fn build(
        &self,
        d: &mut Drafter<'_>,
        values: &Values,
        index: usize,
        outside: &Shell,
        inside: Option<&Shell>,
    ) {
        let ground = Ground::of(values, self.is_inside(values), outside, inside);
        let measures = Measures::of(d, &ground, values);
        let Spot { width, height, .. } = measures.pocket;
        let below = measures.flap.below;
        settle(d, index, [("width", width), ("height", height), ("below", below)]);
        if !measures.fits(d, &ground, index) {
            return;
        }
        let ordinal = ordinal(d, index);
        let [stem, flap_stem] =
            ["flap-pocket", "pocket-flap"].map(|stem| numbered(stem, ordinal));
        let [name, flap_name] =
            ["flap pocket", "pocket flap"].map(|name| numbered_name(name, ordinal));
        let Measures { pocket, flap, .. } = measures;
        let opening = values.length("opening");
        let pouch = Pouch {
            stem: &stem,
            name: &name,
            size: (pocket.width, pocket.height),
            radius: None,
            opening,
            opens_above: false,
        };
        // As round as its depth and width allow with a straight stretch left between.
        let radius = d.snap((flap.height / 2).min(flap.width / 4));
        let lid = Pouch {
            stem: &flap_stem,
            name: &flap_name,
            size: (flap.width, flap.height),
            radius: (values.choice("corners") == "rounded").then_some(radius),
            opening,
            opens_above: true,
        };
        let pockets = layers(d, &ground, &pouch);
        let lids = layers(d, &ground, &lid);
        fasten_below(d, values, &measures, (&stem, &name), (&pockets, &lids));
        let sewn = pouch.sew(d, &pockets);
        let lid_sewn = lid.sew(d, &lids);
        topstitch_top(d, &stem, &name, &pockets);
        let [_, rim, _] = lid.sides();
        topstitch_flap(d, (&flap_stem, &flap_name), &lids, rim);
        buttonholes(d, values, &measures, &flap_stem, &lids);
        let fronts: Vec<CopyId> = pockets.iter().map(|layers| layers.front).collect();
        let tops: Vec<CopyId> = lids.iter().map(|layers| layers.front).collect();
        pocket.place(d, &ground, (&stem, &name), &fronts, (Attach::Pin, None));
        pocket.stitch(d, &ground, (&stem, &name), &fronts, Some(sewn));
        flap.place(d, &ground, (&flap_stem, &flap_name), &tops, (Attach::Pin, None));
        stitch_flap(d, &ground, &measures, (&flap_stem, &lid), &tops, lid_sewn);
        let open = (pocket.width, vec![pocket.width]);
        pocket.claim(d, &ground, &name, &fronts, open);
    }
}

/// How far above the flap's lower edge the middle of its fastening lies.
fn inset(d: &Drafter<'_>) -> Length {
    d.either(Length::inch_frac(3, 4), Length::mm(20))
}

/// Where the fastening comes on a layer of the flap, and where on the front of the pocket.
fn points(d: &Drafter<'_>, measures: &Measures) -> (Point, Point) {
    let Measures { pocket, flap, gap } = measures;
    let up = pocket.height + *gap - flap.height + inset(d);
    (Point::new(flap.width.half(), inset(d)), Point::new(pocket.width.half(), up))
}

/// Diameter of the button: 3/4 in (20 mm).
fn button(d: &Drafter<'_>) -> Length {
    d.either(Length::inch_frac(3, 4), Length::mm(20))
}

/// What is fastened to single layers, before they are sewn to each other.
fn fasten_below(
    d: &mut Drafter<'_>,
    values: &Values,
    measures: &Measures,
    (stem, name): (&str, &str),
    (pockets, lids): (&[Layers], &[Layers]),
) {
    let (on_flap, on_pocket) = points(d, measures);
    let each = |layers: &[Layers], back: bool, at: Point| -> Vec<(CopyId, Point)> {
        layers.iter().map(|l| (if back { l.back } else { l.front }, at)).collect()
    };
    let fronts = each(pockets, false, on_pocket);
    let backs = each(lids, true, on_flap);
    let count = pockets.len();
    let held = values.choice("held");
    if held == "nothing" {
        return;
    }
    d.mark_copy(fronts[0].0, "fastening", MarkShape::Dot(on_pocket));
    d.mark_copy(backs[0].0, "fastening", MarkShape::Dot(on_flap));
    let step = |part: &str| format!("fasten-{stem}-{part}");
    match held {
        "snap" => {
            let square = d.show(d.either(Length::inch_frac(3, 2), Length::mm(40)));
            let backing = format!("a square of stiff interfacing, {square} each way,");
            let size = d.either(Length::inch_frac(3, 4), Length::mm(18));
            let snaps = Notion::of(&notion::MAGNETIC_SNAP, count).wide(size);
            d.notion(snaps.serving(&format!("the {name}")));
            let snap = |half: &str, at: Vec<(CopyId, Point)>| AttachHardware {
                what: format!("the {half} half of the magnetic snap"),
                at,
                backing: backing.clone(),
            };
            d.step(Chapter::Pockets, &step("snap"), snap("thicker", fronts));
            d.step(Chapter::Pockets, &step("flap-snap"), snap("thinner", backs));
        }
        "button" => {
            let buttons = Notion::of(&notion::BUTTON, count).wide(button(d));
            d.notion(buttons.serving(&format!("the {name}")));
            let how = Phrase::new(format!(
                "Sew the button to the front layer of the {name} at its mark, with a shank of \
                 thread as high as the flap is thick, and a small button or a scrap of fabric \
                 behind it."
            ));
            let mind = Some("the layer behind stays free: the stitches would show inside.".into());
            d.step(Chapter::Pockets, &step("button"), Fasten { how, mind, at: fronts });
        }
        _ => {
            let wide = d.either(Length::inch_frac(3, 4), Length::mm(20));
            let long = d.snap(measures.pocket.width.half());
            let tape = Notion::of(&notion::HOOK_AND_LOOP, count).wide(wide).long(long);
            d.notion(tape.serving(&format!("the {name}")));
            let sew = |half: &str, name: &str, at: Vec<(CopyId, Point)>| Fasten {
                how: Phrase::new(format!("Cut the {half} tape "))
                    .len(long)
                    .say(format!(
                        " long, round its corners, lay it level on the {name}, its middle on the \
                         mark, and edgestitch it all round."
                    )),
                mind: None,
                at,
            };
            let loops = sew("loop", &format!("front layer of the {name}"), fronts);
            let hooks = Fasten {
                mind: Some("the hooks go on the flap, so that they do not scratch the hand.".into()),
                ..sew("hook", "back layer of the flap", backs)
            };
            d.step(Chapter::Pockets, &step("loop-tape"), loops);
            d.step(Chapter::Pockets, &step("hook-tape"), hooks);
        }
    }
}

/// The buttonholes, through both layers of each flap. A buttonhole is as long as the button is wide
/// and thick: 1/8 in (3 mm) more than its diameter (common practice, no source).
fn buttonholes(
    d: &mut Drafter<'_>,
    values: &Values,
    measures: &Measures,
    stem: &str,
    lids: &[Layers],
) {
    if values.choice("held") != "button" {
        return;
    }
    let (at, _) = points(d, measures);
    let long = button(d) + d.either(Length::inch_frac(1, 8), Length::mm(3));
    let how = Phrase::new("Sew a buttonhole ")
        .len(long)
        .say(" long through both layers of the flap, upright, its middle at the mark, and cut it \
              open from both ends to the middle.");
    let mind = Some("try it on two layers of scrap with the button first.".into());
    let layers = lids.iter().flat_map(|l| [(l.front, at), (l.back, at)]).collect();
    d.step(Chapter::Pockets, &format!("buttonhole-{stem}"), Fasten { how, mind, at: layers });
}

fn topstitch_flap(d: &mut Drafter<'_>, (stem, name): (&str, &str), lids: &[Layers], rim: usize) {
    let topstitch = Topstitch {
        what: format!("the sides and the lower edge of {}", the(name, lids.len())),
        copies: lids.iter().flat_map(|layers| [layers.front, layers.back]).collect(),
        rows: vec![d.either(Length::inch_frac(1, 4), Length::mm(6))],
        beside: Beside::Edge,
        along: lids.iter().map(|layers| d.all_but(layers.front, rim)).collect(),
        stitch: d.stitch("topstitch"),
        round: false,
    };
    d.step(Chapter::Pockets, &format!("topstitch-{stem}"), topstitch);
}

/// Stitches each flap on along its top edge, with two rows; this closes its opening.
fn stitch_flap(
    d: &mut Drafter<'_>,
    ground: &Ground<'_>,
    measures: &Measures,
    (stem, lid): (&str, &Pouch<'_>),
    tops: &[CopyId],
    sewn: String,
) {
    let rows = [
        d.either(Length::inch_frac(1, 8), Length::mm(3)),
        d.either(Length::inch_frac(3, 8), Length::mm(10)),
    ];
    let [_, rim, _] = lid.sides();
    let how = Phrase::new(format!("Stitch {} on along its top edge, ", the("flap", tops.len())))
        .len(rows[0])
        .say(" and ")
        .len(rows[1])
        .say(" from the edge; this closes its opening.");
    let item = |(face, copy): (&&Face, &CopyId)| {
        let line = |row: Length| {
            let up = measures.flap.height - row;
            let [from, to] =
                [Length::ZERO, measures.flap.width].map(|x| measures.flap.on(face, (x, up)));
            Line { from, to }
        };
        let (what, onto) = (*copy, measures.flap.panel(face));
        StitchedDown { what, onto, lines: rows.map(line).into(), holds: vec![rim] }
    };
    let down = StitchDown {
        how,
        mind: Some("the pocket below must stay open: sew on the flap and the ground only.".into()),
        items: ground.faces.iter().zip(tops).map(item).collect(),
        closes: Some(sewn),
        stitch: d.stitch("topstitch"),
    };
    d.step(ground.chapter(), &format!("stitch-{stem}"), down);
}
