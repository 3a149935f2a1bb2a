//! A self-lined patch pocket on the inside.

use measure::{Length, Point};

use super::kit::{BELOW, Ground, HEIGHT, Spot, WIDTH, needs_its_place, wide_enough};
use super::pouch::{Layers, Pouch, the};
use super::{Pocket, numbered, numbered_name, ordinal};
use crate::draft::{Ability, Drafter, Shell};
use crate::kinds::{Kind, Param, Quantity, Values, choice, length, optional};
use crate::operations::{Attach, Beside, Phrase, Topstitch};
use crate::pattern::{Chapter, CopyId, MarkShape};

/// The kind.
pub(super) struct Patch;
/// Its entry in the list.
pub(super) const KIND: Patch = Patch;

impl Kind for Patch {
    fn name(&self) -> &'static str {
        "patch"
    }
    fn title(&self) -> &'static str {
        "Self-lined patch pocket inside"
    }
    fn help(&self) -> &'static str {
        "Two layers sewn right sides together, turned, and stitched to the inside of the bag; \
         nothing raw anywhere. It can be divided for phone, pens and keys."
    }
    fn params(&self) -> &'static [Param] {
        const PARAMS: &[Param] = &[
            choice(
                "on",
                "on",
                "Which side or end of the inside.",
                &[
                    ("back", "the back"),
                    ("front", "the front"),
                    ("both", "front and back"),
                    ("left-side", "the left side, seen from the front, of a bag with a gusset"),
                    ("right-side", "the right side"),
                    ("sides", "both sides"),
                    ("left-end", "the left end, seen from the front, of a bag with ends of their own"),
                    ("right-end", "the right end"),
                    ("ends", "both ends"),
                ],
            ),
            optional("width", "width", WIDTH.help, [Length::mm(50), Length::mm(1_200)]),
            optional("height", "height", HEIGHT.help, [Length::mm(50), Length::mm(1_000)]),
            BELOW,
            Param {
                key: "divisions",
                label: "compartments",
                help: "Into how many equal compartments it is stitched.",
                quantity: Quantity::Count { least: 1, most: 12, default: 1 },
                grows: None,
            },
            length(
                "opening",
                "opening for turning",
                "Left in the pocket's lower edge.",
                [Length::mm(40), Length::mm(300), Length::inch(3), Length::mm(80)],
            ),
        ];
        PARAMS
    }
}

impl Pocket for Patch {
    fn is_inside(&self, _: &Values) -> bool {
        true
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
        let ground = Ground::of(values, true, outside, inside);
        let usual = [[Length::inch_frac(23, 2), Length::mm(290)], [Length::inch_frac(17, 2), Length::mm(210)]];
        let Some(spot) = Spot::of(d, &ground, (values, index), usual) else { return };
        let Spot { width, height, .. } = spot;
        let divisions = i64::from(values.count("divisions"));
        if !wide_enough(d, index, (width, divisions)) {
            return;
        }
        let ordinal = ordinal(d, index);
        let stem = numbered("inside-pocket", ordinal);
        let name = numbered_name("inside pocket", ordinal);
        let pouch = Pouch {
            stem: &stem,
            name: &name,
            size: (width, height),
            radius: None,
            opening: values.length("opening"),
            opens_above: false,
        };
        let layers = layers(d, &ground, &pouch);
        let sewn = pouch.sew(d, &layers);
        let cuts: Vec<Length> = (1..divisions).map(|n| d.snap(width * n / divisions)).collect();
        let fronts: Vec<CopyId> = layers.iter().map(|layers| layers.front).collect();
        for x in &cuts {
            let line = MarkShape::Stitching(Point::new(*x, Length::ZERO), Point::new(*x, height));
            d.mark_copy(fronts[0], "division", line);
        }
        topstitch_top(d, &stem, &name, &layers);
        spot.place(d, &ground, (&stem, &name), &fronts, (Attach::Pin, None));
        spot.stitch(d, &ground, (&stem, &name), &fronts, Some(sewn));
        let how = Phrase::new(format!(
            "Stitch the divisions of {} from the lower edge to the top, so that {divisions} \
             compartments ",
            the(&name, fronts.len())
        ))
        .len(width / divisions)
        .say(" wide result.");
        spot.divide(d, &ground, &stem, &fronts, (&cuts, how));
        let compartments = vec![width / divisions; values.count("divisions") as usize];
        spot.claim(d, &ground, &name, &fronts, (width, compartments));
    }
}

/// The two layers of a pocket on each face.
pub(super) fn layers(d: &mut Drafter<'_>, ground: &Ground<'_>, pouch: &Pouch<'_>) -> Vec<Layers> {
    let piece = pouch.piece(d, ground.role());
    let name = pouch.name;
    let several = ground.faces.len() > 1;
    let pair = |face: &&crate::draft::Face| {
        let word = if several { format!("{} ", face.word) } else { String::new() };
        let front = d.copy(piece, &format!("{word}{name} (front layer)"));
        let back = d.copy(piece, &format!("{word}{name} (back layer)"));
        Layers { front, back }
    };
    ground.faces.iter().map(pair).collect()
}

/// Topstitches the top edges of pouches.
pub(super) fn topstitch_top(d: &mut Drafter<'_>, stem: &str, name: &str, layers: &[Layers]) {
    let topstitch = Topstitch {
        what: format!("the top edge of {}", the(name, layers.len())),
        copies: layers.iter().flat_map(|layers| [layers.front, layers.back]).collect(),
        rows: vec![d.either(Length::inch_frac(1, 4), Length::mm(6))],
        beside: Beside::Edge,
        along: Vec::new(),
        stitch: d.stitch("topstitch"),
        round: false,
    };
    d.step(Chapter::Pockets, &format!("topstitch-{stem}"), topstitch);
}
