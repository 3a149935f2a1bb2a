//! A bag that is drawn shut by two cords in a casing along its own rim.

use measure::Length;

use super::Body;
use crate::closures::shared::rectangle;
use crate::draft::cords::{Cords, channel};
use crate::draft::fittings::{length_of, webbing};
use crate::draft::side_set::{SideSet, SideWords, set_in_sides};
use crate::draft::{
    Ability, Base, Drafter, Face, Layer, Mouth, Plan, Seam, Shell, TwoPanels, base_seam, panel_size,
    side_seams,
};
use crate::kinds::{Kind, Param, Values, choice, length, optional};
use crate::operations::{FaceSide, Hem, StitchCasing};
use crate::pattern::{
    Band, Chapter, Checkpoint, ClosureClaim, CopyId, MarkShape, Notion, Run, Span, notion,
};

/// The kind.
pub(super) struct DrawstringBag;
/// Its entry in the list.
pub(super) const KIND: DrawstringBag = DrawstringBag;

impl Kind for DrawstringBag {
    fn name(&self) -> &'static str {
        "drawstring-bag"
    }
    fn title(&self) -> &'static str {
        "Drawstring bag"
    }
    fn help(&self) -> &'static str {
        "Two panels whose hemmed rim is the casing of two cords, pulled from both sides. The side \
         seams stop below the casing, their ends hemmed so that the cords come out; or the cords go \
         on down to loops at the base and are worn over both shoulders. No other closure."
    }
    fn params(&self) -> &'static [Param] {
        const PARAMS: &[Param] = &[
            length(
                "width",
                "width",
                "Width of the finished bag at the base.",
                [Length::mm(60), Length::mm(900), Length::inch(12), Length::mm(300)],
            ).size(),
            length(
                "height",
                "height",
                "Height of the finished bag, from the base to the rim, drawn open.",
                [Length::mm(80), Length::mm(1_200), Length::inch(15), Length::mm(380)],
            ).size(),
            optional(
                "depth",
                "depth",
                "Depth of the base, its corners boxed; left out, the bag is flat.",
                [Length::mm(15), Length::mm(400)],
            ).size(),
            length(
                "cord",
                "cord",
                "Thickness of the cord; the casing is made for it.",
                [Length::mm(3), Length::mm(12), Length::inch_frac(1, 4), Length::mm(6)],
            ),
            length(
                "frill",
                "frill",
                "How far the rim stands above the casing when the bag is drawn shut.",
                [Length::ZERO, Length::mm(120), Length::inch(1), Length::mm(25)],
            ),
            choice(
                "cords",
                "cords",
                "What the ends of the cords do.",
                &[
                    ("knotted", "the ends of each go through a cord stop and are pulled by hand"),
                    ("straps", "they go down to a loop at each side of the base: shoulder straps"),
                ],
            ),
            length(
                "ends",
                "cord ends",
                "With knotted cords: how far each end comes out of the casing when the bag is open; \
                 short for the bag of a child.",
                [Length::mm(40), Length::mm(300), Length::inch(4), Length::mm(100)],
            ),
            length(
                "loops",
                "loops",
                "With straps: width of the webbing of the loops at the base.",
                [Length::mm(15), Length::mm(40), Length::inch(1), Length::mm(25)],
            ),
            length(
                "loops-above",
                "loops above the base",
                "With straps: from the base up to the middle of a loop.",
                [Length::mm(15), Length::mm(200), Length::inch_frac(3, 2), Length::mm(40)],
            ).along(),
        ];
        PARAMS
    }
}

impl Body for DrawstringBag {
    fn usual_handles(&self) -> &'static str {
        "none"
    }

    fn plan(&self, d: &mut Drafter<'_>, values: &Values) -> Option<Box<dyn Plan>> {
        let depth = values.length("depth");
        let (width, height) = (values.length("width"), values.length("height"));
        let (panel, tip) = panel_size(d, (width, height, depth), Length::ZERO);
        let mut asked = vec![("width", width), ("height", height)];
        if depth.is_positive() {
            asked.push(("depth", depth));
        }
        let cord = values.length("cord");
        let frill = values.length("frill");
        let below = frill + channel(d, cord);
        let lined = d.rim_hem.is_none();
        if !lined {
            // The hem at the rim is the casing, and the frill above it.
            let turn = d.rim_allowance - d.rim_hem.unwrap_or(Length::ZERO);
            d.rim_hem = Some(below);
            d.rim_allowance = below + turn.min(below);
        }
        let panels = TwoPanels {
            panel,
            tip,
            half_depth: tip,
            contrast: None,
            asked,
            holds: Vec::new(),
        };
        let loops = (values.choice("cords") == "straps")
            .then(|| (values.length("loops"), values.length("loops-above") + tip));
        let plan = Planned { panels, cord, frill, below, lined, ends: values.length("ends"), loops };
        (plan.panels.is_possible(d) && plan.is_possible(d))
            .then(|| Box::new(plan) as Box<dyn Plan>)
    }
}

/// A planned bag.
#[derive(Clone, Debug)]
struct Planned {
    panels: TwoPanels,
    cord: Length,
    /// From the rim to the upper row of the casing.
    frill: Length,
    /// From the rim to the lower row.
    below: Length,
    lined: bool,
    ends: Length,
    /// Width of the loops at the base, and how high their middle lies above the base of the panel.
    loops: Option<(Length, Length)>,
}

/// The part of a run between two distances along it.
fn part(run: &Run, from: Length, to: Length) -> Run {
    let mut before = Length::ZERO;
    let mut spans: Vec<Span> = Vec::new();
    for span in &run.spans {
        let end = before + span.length();
        let (a, b) = (from.max(before), to.min(end));
        if a < b {
            let at = |distance: Length| {
                let into = distance - before;
                if span.from <= span.to { span.from + into } else { span.from - into }
            };
            spans.push(Span { from: at(a), to: at(b), ..*span });
        }
        before = end;
    }
    Run::open(spans)
}

impl Planned {
    fn is_possible(&self, d: &mut Drafter<'_>) -> bool {
        let least = d.least();
        let high = self.panels.panel.height;
        let mut possible = true;
        if self.lined && self.frill < d.either(Length::inch_frac(1, 2), Length::mm(12)) {
            let message = format!(
                "outside and lining are joined above the casing, and a frill of {} leaves no room \
                 for that seam and its row of stitches",
                d.show(self.frill)
            );
            let cure = format!(
                "make the frill {} or more, or leave out the lining",
                d.show(d.either(Length::inch_frac(1, 2), Length::mm(12)))
            );
            d.refuse("body.frill", message, cure);
            possible = false;
        }
        if self.below + least > high - self.panels.half_depth {
            let message = format!(
                "a casing that reaches {} below the rim leaves less than {} of the bag below it",
                d.show(self.below),
                d.show(least)
            );
            d.refuse("body.height", message, "make the bag higher or the frill lower".to_owned());
            possible = false;
        }
        if let Some((wide, up)) = self.loops {
            let (low, most) = (self.panels.half_depth + wide.half(), high - self.below - wide);
            if up < low + d.seam_allowance("base") || up > most {
                let message = format!(
                    "loops {} wide and {} above the base of the panel lie in its base seam, or \
                     under the casing",
                    d.show(wide),
                    d.show(up)
                );
                let cure = format!(
                    "set them between {} and {} above the base",
                    d.show(low + d.seam_allowance("base") - self.panels.tip),
                    d.show((most - self.panels.tip).max(Length::ZERO))
                );
                d.refuse("body.loops-above", message, cure);
                possible = false;
            }
        }
        possible
    }

    /// Where the sides stay open, up from the base: from the lower row of the casing to the upper
    /// one; of a bag without a lining, to the rim.
    fn open(&self, face: &Face) -> (Length, Length) {
        let low = face.height - self.below;
        (low, if self.lined { face.height - self.frill } else { face.height })
    }

    /// Turns in and stitches the stretches of the sides that stay open.
    fn hem_exits(&self, d: &mut Drafter<'_>, shell: &Shell) {
        let allowance = d.seam_allowance("side");
        let mut spans = Vec::new();
        for face in &shell.faces {
            let (low, high) = self.open(face);
            for side in [face.right(), face.left()] {
                spans.extend(part(&side, low, high).spans);
            }
            for (copy, edge) in face.side_edges().concat() {
                let long = d.piece_of(copy).net.edge_length(edge);
                let down = edge == crate::draft::face::LEFT;
                for at in [low, high] {
                    let along = if down { long - at } else { at };
                    if along.is_positive() && along < long {
                        d.mark_copy(copy, "casing", MarkShape::Notch { edge, along });
                    }
                }
            }
        }
        let first = d.ruler().round(allowance.half(), measure::Rounding::Down);
        let hem = Hem {
            what: "the sides of both panels where the cords come out, between the notches of the casing"
                .to_owned(),
            run: Run::open(spans),
            first,
            depth: allowance - first,
            tucked: Vec::new(),
            stitch: d.stitch("topstitch"),
        };
        d.step(Chapter::Outside, "hem-cord-exits", hem);
    }

    /// The side seams of the outside, which leave the exits of the cords open.
    fn sides(&self, d: &Drafter<'_>, shell: &Shell) -> Seam {
        let mut seam = side_seams(d, shell);
        let (low, high) = self.open(&shell.faces[0]);
        let whole = shell.faces[0].height;
        let mut sides: Vec<[Run; 2]> = seam
            .sides
            .iter()
            .map(|pair| [part(&pair[0], Length::ZERO, low), part(&pair[1], Length::ZERO, low)])
            .collect();
        if self.lined {
            let above = seam.sides.iter();
            sides.extend(above.map(|pair| [part(&pair[0], high, whole), part(&pair[1], high, whole)]));
        }
        seam.sides = sides;
        seam.what = if self.lined { "both side seams, below and above the casing," } else { "both side seams up to the casing" };
        seam.mind = Some(
            "do not sew across the hemmed stretches: the cords come out there. Backstitch at each \
             end of them."
                .to_owned(),
        );
        if !self.lined {
            seam.checkpoint = Some(Checkpoint::Look(
                "front and back hang apart above the casing's lower notches, their edges hemmed."
                    .to_owned(),
            ));
        }
        seam
    }

    fn sew_outside(&self, d: &mut Drafter<'_>, shell: &Shell) {
        self.set_loops(d, shell);
        self.hem_exits(d, shell);
        let sides = self.sides(d, shell);
        let base = base_seam(d, shell);
        let runs = [sides.runs(), base.runs()].concat();
        d.sew(shell.layer, sides);
        d.sew(shell.layer, base);
        d.finish_seams(shell.layer, "finish-seams", "the side and base seams", runs);
    }

    /// Loops of webbing for the cords, caught in the side seams near the base.
    fn set_loops(&self, d: &mut Drafter<'_>, shell: &Shell) {
        let Some((wide, up)) = self.loops else { return };
        let stands = self.stands(d);
        let material =
            webbing(d, "loop-webbing", "webbing for the loops", (Band::Webbing, wide), "the cord loops");
        let seam = d.seam_allowance("side");
        let piece =
            length_of(d, material, ("cord-loop", "cord loop"), (wide, stands * 2), [seam; 2]);
        let face = &shell.faces[1];
        let items: Vec<SideSet<'_>> = [("right", -1), ("left", 1)]
            .into_iter()
            .map(|(side, sign)| {
                let what = d.copy(piece, &format!("{side} cord loop"));
                SideSet { what, face, sign, height: up, width: wide, ground: FaceSide::Right }
            })
            .collect();
        if let Some(first) = items.first() {
            d.part(first.what, (wide, (stands + seam) * 2));
        }
        let words = SideWords {
            id: "place-cord-loops",
            what: "each cord loop",
            mark: "cord loop",
            mind: "the loops carry the load with the cords: sew to and fro over them in the side \
                   seam.",
        };
        set_in_sides(d, Chapter::Panels, &items, words);
    }

    /// How far a loop stands out: enough for two cords.
    fn stands(&self, d: &Drafter<'_>) -> Length {
        d.snap_up(self.cord * 2).max(d.either(Length::inch_frac(3, 4), Length::mm(20)))
    }

    /// Hems the rim of each panel by itself: the hem is the casing.
    fn hem_rim(&self, d: &mut Drafter<'_>, shell: &Shell) {
        let first = d.rim_allowance - self.below;
        let hem = Hem {
            what: "the rim of the front and of the back, each from side to side, as casing".to_owned(),
            run: Run::open(shell.faces.iter().flat_map(|face| face.rim().spans)),
            first,
            depth: self.below,
            tucked: d.tucked.clone(),
            stitch: d.stitch("topstitch"),
        };
        d.step(Chapter::Finish, "hem-rim", hem);
    }
}

impl Plan for Planned {
    fn shell(&self, d: &mut Drafter<'_>, layer: Layer) -> Shell {
        let mut shell = self.panels.shell(d, layer);
        for face in &mut shell.faces {
            (face.drawn, face.kept) = (self.below, self.below);
        }
        shell
    }

    fn sew(&self, d: &mut Drafter<'_>, shell: &Shell, opening: Option<Length>) -> Option<String> {
        if shell.layer == Layer::Lining {
            return self.panels.sew(d, shell, opening);
        }
        self.sew_outside(d, shell);
        if self.panels.tip.is_positive() {
            self.panels.box_corners(d, shell);
        }
        if !self.lined {
            self.hem_rim(d, shell);
        }
        None
    }

    fn close(&self, d: &mut Drafter<'_>, outside: &Shell) {
        let mut copies: Vec<CopyId> = outside.faces.iter().map(Face::top).collect();
        copies.dedup();
        let rows = match (self.lined, self.frill.is_positive()) {
            (true, _) => vec![self.frill, self.below],
            (false, true) => vec![self.frill],
            (false, false) => Vec::new(),
        };
        if !rows.is_empty() {
            let stitch = d.stitch("topstitch");
            let casing = StitchCasing { what: "the bag".to_owned(), copies, rows, stitch };
            d.finally("stitch-casing", casing);
        }
        let (route, through, ends) = match self.loops {
            Some((_, up)) => (
                "the first from the left side round through the casings of front and back and out \
                 where it began, the second in the same way from the right side",
                "the loop at the base of its side, both ends of a cord through one",
                // Down to the loop, and a hand's breadth for the shoulder when the bag is open.
                outside.faces[0].height - self.below - up
                    + d.either(Length::inch(4), Length::mm(100)),
            ),
            None => (
                "the first from the left side round through the casings of front and back and out \
                 where it began, the second in the same way from the right side",
                "the cord stop of its side, both ends of a cord through one",
                self.ends,
            ),
        };
        let cords = Cords {
            cord: self.cord,
            around: outside.rim().length(),
            ends,
            casing: Run::round(outside.faces.iter().flat_map(|face| face.rim().spans)),
            route,
            through,
        };
        let hang = ends.min(outside.faces[0].height - self.below);
        let cords = cords.add(d);
        if self.loops.is_none() {
            d.notion(Notion::of(&notion::CORD_STOP, 2).thick(self.cord));
        }
        // The casing, and the cords that come out of it at both sides.
        let face = &outside.faces[0];
        let wide = face.top_width;
        let casing = (wide, self.below - self.frill);
        let mut shows = vec![rectangle(face, Some(face.top()), (Length::ZERO, self.frill), casing)];
        for (cord, side) in cords.into_iter().zip([-1, 1]) {
            let x = (wide.half() + self.cord) * side;
            shows.push(rectangle(face, Some(cord), (x, self.below), (self.cord, hang)));
        }
        let name = "drawstring".to_owned();
        d.claims.closures.push(ClosureClaim { name, meets: Vec::new(), shows });
    }

    fn claim(&self, d: &mut Drafter<'_>, outside: &Shell) {
        self.panels.claim(d, outside);
    }

    fn base_rise(&self) -> Length {
        self.panels.half_depth
    }

    fn base(&self, d: &Drafter<'_>, outside: &Shell) -> Option<Base> {
        self.panels.base(d, outside)
    }

    fn offers(&self) -> Vec<Ability> {
        use Ability::{OpenMouth, RimAtSides, StandingRim};
        Ability::of_an_open_bag_but(&[StandingRim, RimAtSides, OpenMouth])
    }

    fn mouth(&self) -> Mouth {
        if self.lined { Mouth::Round } else { Mouth::Hemmed }
    }
}

#[cfg(test)]
mod tests {
    use measure::Units;

    use super::*;
    use crate::design::Chosen;
    use crate::kinds::Value;
    use crate::{Design, Severity};

    fn design(lining: &str, cords: &'static str) -> Design {
        let mut design = Design::of(&KIND, Units::Inch);
        let lining = crate::linings::find(lining).unwrap();
        design.lining = Chosen::new(lining, measure::System::Inch);
        assert!(design.body.values.set("cords", Value::Choice(cords)));
        design
    }

    /// With and without a lining, with knotted cords and with straps: it sews without an error.
    #[test]
    fn it_is_sewn_with_every_lining() {
        for lining in crate::linings::ALL {
            for cords in ["knotted", "straps"] {
                for depth in [None, Some(Length::inch(4))] {
                    let mut design = design(lining.name(), cords);
                    let depth = depth.map_or(Value::Absent, Value::Length);
                    assert!(design.body.values.set("depth", depth));
                    let drafted = crate::draft(&design);
                    let pattern = drafted.pattern.unwrap_or_else(|| panic!("{:?}", drafted.findings));
                    let errors: Vec<_> = crate::checks::run(&pattern)
                        .into_iter()
                        .filter(|finding| finding.severity == Severity::Error)
                        .collect();
                    assert!(errors.is_empty(), "{} {cords}: {errors:#?}", lining.name());
                }
            }
        }
    }

    /// A-A-55105's laundry bag, 32 × 24 3/4 in: that is how large the closed bag comes out, whatever
    /// the hem takes; its panels are cut higher by casing, turn and seam.
    #[test]
    fn a_published_laundry_bag() {
        let mut design = design("unlined", "knotted");
        for (key, length) in [
            ("width", Length::inch_frac(99, 4)),
            ("height", Length::inch(32)),
            ("frill", Length::ZERO),
        ] {
            assert!(design.body.values.set(key, Value::Length(length)));
        }
        let pattern = crate::draft(&design).pattern.unwrap();
        let claims = &pattern.claims;
        assert_eq!((claims.width, claims.height), (Length::inch_frac(99, 4), Length::inch(32)));
        // A cord of 1/4 in runs in a casing 5/8 in wide; turned in by 1/2 in first, sewn by 1/2 in.
        let panel = pattern.pieces.iter().find(|piece| piece.id == "outside-panel").unwrap();
        let high = Length::inch(32) + Length::inch_frac(5, 8) + Length::inch(1);
        assert_eq!(panel.cut_size(), (Length::inch_frac(103, 4), high));
    }
}
