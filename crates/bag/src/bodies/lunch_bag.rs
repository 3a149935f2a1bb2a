//! A boxed bag whose top is folded over to the front and held there.

use measure::{Length, Outline, Point};

use super::Body;
use super::two_panel_params::{DEPTH, SIZE_FINISHED, STANDS};
use crate::design::{Design, Role};
use crate::draft::face::{BASE, RIM};
use crate::draft::fittings::webbing;
use crate::draft::strap::from_edge;
use crate::draft::{
    Ability, Drafter, Face, Layer, NewPiece, Plan, Shell, TwoPanels, panel_size, wanted,
};
use crate::kinds::{Kind, Param, Quantity, Value, Values, choice, length};
use crate::operations::{
    Attach, AttachHardware, Line, Over, Phrase, Place, StitchDown, StitchedDown, TurnDown,
};
use crate::pattern::{
    Band, Chapter, ClosureClaim, Gauge, Grain, Half, MarkShape, Notion, Reach, Run, Shown,
    notion,
};

/// The kind.
pub(super) struct LunchBag;
/// Its entry in the list.
pub(super) const KIND: LunchBag = LunchBag;

impl Kind for LunchBag {
    fn name(&self) -> &'static str {
        "lunch-bag"
    }
    fn title(&self) -> &'static str {
        "Lunch bag with a fold-over top"
    }
    fn help(&self) -> &'static str {
        "Boxed, its top folded over to the front, once or rolled several times, and held by hook and \
         loop tape or snaps. With room for padding, which keeps cool or warm."
    }
    fn params(&self) -> &'static [Param] {
        const WIDTH: Param = length(
            "width",
            "width",
            "Width of the finished bag.",
            [Length::mm(80), Length::mm(600), Length::inch(9), Length::mm(230)],
        ).size();
        const HEIGHT: Param = length(
            "height",
            "height",
            "Height in use: from the base to where the top folds.",
            [Length::mm(80), Length::mm(700), Length::inch(10), Length::mm(250)],
        ).size();
        const FOLD: Param = length(
            "fold",
            "fold",
            "How far down the folded top comes over the front; of a rolled one, the height of a turn.",
            [Length::mm(40), Length::mm(300), Length::inch(3), Length::mm(75)],
        ).along();
        const TURNS: Param = Param {
            key: "turns",
            label: "turns",
            help: "How often the top is folded over: once, or rolled.",
            quantity: Quantity::Count { least: 1, most: 3, default: 1 },
            grows: None,
        };
        const BY: Param = choice(
            "by",
            "closes by",
            "What holds the folded top to the front.",
            &[
                ("hook-and-loop", "hook and loop tape"),
                ("magnetic-snap", "a magnetic snap in the middle"),
                ("press-stud", "a press stud in the middle"),
            ],
        );
        const TAPE: Param = length(
            "tape",
            "tape length",
            "Length of the hook and loop tape.",
            [Length::mm(30), Length::mm(400), Length::inch(4), Length::mm(100)],
        );
        const PADDING: Param = length(
            "padding",
            "padding",
            "Thickness of the padding between outside and lining. With `size = \"fits\"` the bag is made \
             larger by it all round; sew it in as interfacing.",
            [Length::ZERO, Length::mm(15), Length::inch_frac(1, 8), Length::mm(3)],
        );
        const HOLDS: Param = Param {
            key: "holds",
            label: "what must fit",
            help: "With `size = \"fits\"`: what the bag must hold, from the list of things.",
            quantity: Quantity::Thing { default: "lunch-box-sixth" },
            grows: None,
        };
        const EASE: Param = length(
            "ease",
            "room around it",
            "With `size = \"fits\"`: how much wider and higher than the thing the bag is.",
            [Length::ZERO, Length::mm(200), Length::inch_frac(3, 4), Length::mm(20)],
        );
        &[
            SIZE_FINISHED,
            WIDTH,
            HEIGHT,
            DEPTH,
            FOLD,
            TURNS,
            BY,
            TAPE,
            PADDING,
            HOLDS,
            STANDS,
            EASE,
        ]
    }
}

impl Body for LunchBag {
    fn plan(&self, d: &mut Drafter<'_>, values: &Values) -> Option<Box<dyn Plan>> {
        let mut size = wanted(d, values, values.length("depth"))?;
        let padding = d.snap_up(values.length("padding"));
        if values.choice("size") == "fits" {
            size.width += padding * 2;
            size.depth += padding * 2;
            size.height += padding;
        }
        let fold = values.length("fold");
        let top = fold * i64::from(values.count("turns"));
        let held = Held::of(values, d);
        let least = d.either(Length::inch(1), Length::mm(25));
        if fold + least > size.height {
            let message = format!(
                "a top that comes {} down a front {} high reaches under the bag",
                d.show(fold),
                d.show(size.height)
            );
            let most = (size.height - least).max(Length::ZERO);
            d.refuse("body.fold", message, format!("make it {} or less", d.show(most)));
            return None;
        }
        if held.long + held.high > size.width {
            let message = format!(
                "a tape {} long does not fit on a front {} wide",
                d.show(held.long),
                d.show(size.width)
            );
            let most = (size.width - held.high).max(Length::ZERO);
            d.refuse("body.tape", message, format!("make it {} or shorter", d.show(most)));
            return None;
        }
        let high = size.height + top;
        let (panel, tip) = panel_size(d, (size.width, high, size.depth), Length::ZERO);
        let panels = TwoPanels {
            panel,
            tip,
            half_depth: tip,
            contrast: None,
            asked: size.asked,
            holds: size.holds,
        };
        let turns = values.count("turns");
        let possible = panels.is_possible(d);
        let bag = FoldOver { panels, top, fold, turns, held, width: size.width };
        possible.then(|| Box::new(bag) as Box<dyn Plan>)
    }

    fn usual_handles(&self) -> &'static str {
        "none"
    }

    fn suit(&self, design: &mut Design) {
        design.lining.values.set("opening", Value::Length(match design.system() {
            measure::System::Inch => Length::inch(4),
            measure::System::Metric => Length::mm(100),
        }));
    }
}

/// What holds the folded top.
#[derive(Clone, Copy, Debug)]
struct Held {
    /// The snap or stud; none for tape, which is a material.
    kind: Option<&'static notion::NotionKind>,
    what: &'static str,
    /// Length of the tape, or width of the snap.
    long: Length,
    /// Width of the tape or of the snap.
    high: Length,
}

impl Held {
    fn of(values: &Values, d: &Drafter<'_>) -> Self {
        let snap = d.either(Length::inch_frac(3, 4), Length::mm(18));
        let tape = d.either(Length::inch_frac(3, 4), Length::mm(20));
        match values.choice("by") {
            "magnetic-snap" => Self {
                kind: Some(&notion::MAGNETIC_SNAP),
                what: notion::MAGNETIC_SNAP.one,
                long: snap,
                high: snap,
            },
            "press-stud" => Self {
                kind: Some(&notion::PRESS_STUD),
                what: notion::PRESS_STUD.one,
                long: snap,
                high: snap,
            },
            _ => Self {
                kind: None,
                what: "hook and loop tape",
                long: values.length("tape"),
                high: tape,
            },
        }
    }
}

/// A planned bag: panels that are higher by what is folded over.
#[derive(Clone, Debug)]
struct FoldOver {
    panels: TwoPanels,
    /// How much of the panels stands above the fold.
    top: Length,
    /// How far the folded top comes down.
    fold: Length,
    turns: u32,
    held: Held,
    width: Length,
}

impl FoldOver {
    /// The same shell with faces that reach up to the raw rim.
    fn up_to_the_rim(&self, shell: &Shell) -> Shell {
        let mut shell = shell.clone();
        for face in &mut shell.faces {
            face.height += self.top;
            (face.cuff, face.covered) = (Length::ZERO, Length::ZERO);
        }
        shell
    }

    /// How far above and below the fold the middle of each half lies: near the lower edge of what is
    /// folded over.
    fn apart(&self, d: &Drafter<'_>) -> Length {
        let margin = d.either(Length::inch_frac(1, 2), Length::mm(12));
        d.snap((self.fold - margin - self.held.high.half()).max(self.fold.half()))
    }

    /// Fastens both halves to the front, while it lies flat.
    fn fasten(&self, d: &mut Drafter<'_>, front: &Face) {
        let apart = self.apart(d);
        let (on, rim) = front.rim_edge();
        let spots = [apart, -apart].map(|up| front.on(0, Length::ZERO, front.height + up).1);
        if self.held.kind.is_none() {
            self.tapes(d, front, apart);
        } else {
            let what = self.held.what;
            for (label, at) in [("upper half", spots[0]), ("lower half", spots[1])] {
                d.mark_copy(on, &format!("{what}, {label}"), MarkShape::Dot(at));
            }
            let attach = AttachHardware {
                what: format!("one half of the {what} at either mark of the front"),
                at: spots.map(|at| (on, at)).into(),
                backing: "a square of firm interfacing, three times as wide as it,".to_owned(),
            };
            let id = d.free_step_id("attach-snap");
            d.step(Chapter::Panels, &id, attach);
            if let Some(kind) = self.held.kind {
                d.notion(Notion::of(kind, 1).wide(self.held.high));
            }
            d.notion(Notion::of(&notion::SCRAP, 2).serving(&format!("the {what}")));
        }
        let half = |at| Half { on, at, edge: rim, spent: Length::ZERO };
        d.claims.closures.push(ClosureClaim {
            name: format!("folded top with {}", self.held.what),
            meets: vec![[half(spots[0]), half(spots[1])]],
            shows: Vec::new(),
        });
    }

    fn tapes(&self, d: &mut Drafter<'_>, front: &Face, apart: Length) {
        let Held { long, high, .. } = self.held;
        let inset = from_edge(d).min(high / 4);
        let (mut items, mut down) = (Vec::new(), Vec::new());
        // Beside strips that close the mouth within.
        let within = d.free_step_id("place-strips") != "place-strips";
        let [of, word] = if within { ["top-", "upper "] } else { [""; 2] };
        for (sort, up) in [("hook", apart), ("loop", -apart)] {
            let id = format!("{of}{sort}-tape");
            let name = format!("{word}{sort} strip");
            let material =
                webbing(d, &id, &format!("{sort} tape"), (Band::HookOrLoop, high), "the closure");
            let none = Length::ZERO;
            let names = ["lower edge", "right end", "upper edge", "left end"];
            let new = NewPiece {
                id: &format!("{of}{sort}-strip"),
                name: &name,
                role: Role::Handle,
                net: Outline::rectangle(long, high),
                edges: names.map(|name| (name, none)).into(),
                grain: Grain::Crosswise,
                join: None,
            };
            let piece = d.piece_of_material(new, material);
            let copy = d.copy(piece, &name);
            d.part(copy, (long, high));
            let low = front.height + up - high.half();
            let laid = front.lay(0, copy, (-long.half(), low), (long, high));
            let at = |x, y| Point::new(laid.at.x + x, laid.at.y + y);
            let spots = [
                at(inset, inset),
                at(long - inset, inset),
                at(long - inset, high - inset),
                at(inset, high - inset),
            ];
            let lines = (0..4).map(|n| Line { from: spots[n], to: spots[(n + 1) % 4] }).collect();
            let onto = laid.onto;
            down.push(StitchedDown { what: copy, onto, lines, holds: vec![0, 1, 2, 3] });
            let [left, right] =
                [-long.half(), long.half()].map(|x| front.on(0, x, low + high).1);
            d.mark_copy(onto, &name, MarkShape::Placement(left, right));
            items.push(laid);
        }
        let raw = self.top + d.rim_allowance;
        let how = Phrase::new(
            "Lay both strips on the right side of the front, centred: the hook strip with its upper \
             edge ",
        )
        .len(raw - apart - high.half())
        .say(" below the raw rim, the loop strip with its upper edge ")
        .len(raw + apart - high.half())
        .say(" below it.");
        let mind = Some("both lie on the same side of the front: the fold lies halfway between them.".into());
        let id = d.free_step_id("place-strips");
        d.step(Chapter::Panels, &id, Place { items, how, mind, attach: Attach::Pin });
        let how = Phrase::new("Stitch each strip down all round, ").len(inset).say(" from its edges.");
        let stitch = d.stitch("topstitch");
        let mind = Some("round the corners of the strips a little with scissors first: sharp corners lift and scratch.".into());
        let down = StitchDown { how, mind, items: down, closes: None, stitch };
        let id = d.free_step_id("stitch-strips");
        d.step(Chapter::Panels, &id, down);
    }

    /// What is seen of the folded top before the front: as wide as the bag.
    fn shown(&self, front: &Face, back: &Face) -> Shown {
        let half = self.width.half();
        let at = |x, down: Length| front.on(0, x, front.height - down).1;
        let none = Length::ZERO;
        let outline = vec![at(-half, self.fold), at(half, self.fold), at(half, none), at(-half, none)];
        Shown { on: front.top(), of: Some(back.top()), outline }
    }
}

impl Plan for FoldOver {
    fn shell(&self, d: &mut Drafter<'_>, layer: Layer) -> Shell {
        let mut shell = self.panels.shell(d, layer);
        for face in &mut shell.faces {
            face.height -= self.top;
            face.cuff = self.top;
            if face.word == "front" {
                face.covered = self.fold;
                face.kept = self.fold;
            }
        }
        shell
    }

    fn ready_mouth(&self, d: &mut Drafter<'_>, outside: &Shell, _: Option<&Shell>) {
        self.fasten(d, &outside.faces[0]);
    }

    fn sew(&self, d: &mut Drafter<'_>, shell: &Shell, opening: Option<Length>) -> Option<String> {
        self.panels.sew(d, &self.up_to_the_rim(shell), opening)
    }

    fn claim(&self, d: &mut Drafter<'_>, outside: &Shell) {
        self.panels.claim(d, &self.up_to_the_rim(outside));
        d.claims.height -= self.top;
        d.claims.height_gauge = Gauge(vec![Reach::Across(outside.faces[0].bottom(), RIM, BASE)]);
        let shown = self.shown(&outside.faces[0], &outside.faces[1]);
        if let Some(closure) = d.claims.closures.last_mut() {
            closure.shows.push(shown);
        }
        let how = Phrase::new(
            "Fold the sides in between front and back at the top, so that both rims lie on each other, ",
        );
        let how = if self.turns == 1 {
            how.say("and fold the top over to the front by ").len(self.fold)
        } else {
            how.say(format!("and roll the top down to the front {} times by ", self.turns))
                .len(self.fold)
        };
        let how = how.say(format!(
            "; crease the fold where the bag is to be high enough, and close the {}.",
            self.held.what
        ));
        let turn = TurnDown {
            rim: Run::round(outside.rim.clone()),
            depth: self.top,
            over: Over::Front,
            how,
            mind: None,
        };
        d.finally("fold-top-over", turn);
    }

    fn base_rise(&self) -> Length {
        self.panels.base_rise()
    }

    fn offers(&self) -> Vec<Ability> {
        // A zip in the rim itself is folded over with it.
        use Ability::{DepthAtRim, RimAtSides, StandingRim};
        Ability::of_an_open_bag_but(&[StandingRim, RimAtSides, DepthAtRim])
    }
}

#[cfg(test)]
mod tests {
    use measure::Units;

    use super::*;
    use crate::checks;

    fn bag(more: &[(&'static str, Value)]) -> crate::Pattern {
        let mut design = Design::of(&KIND, Units::Inch);
        for (key, value) in more {
            assert!(design.body.values.set(key, value.clone()), "{key}");
        }
        crate::draft(&design).pattern.expect("it can be drafted")
    }

    /// Arithmetic: 9 × 10 × 4 in with a top of 3 in folded once: panels 9 + 4 + 1 wide and
    /// 10 + 2 + 3 + 1 = 16 in high; the strips lie as far above the fold as below it.
    #[test]
    fn the_height_in_use_ends_at_the_fold() {
        for by in ["hook-and-loop", "magnetic-snap", "press-stud"] {
            let pattern = bag(&[("by", Value::Choice(by))]);
            assert_eq!(checks::run(&pattern), [], "{by}");
            assert_eq!(pattern.pieces[0].cut_size(), (Length::inch(14), Length::inch(16)));
            assert_eq!(pattern.claims.height, Length::inch(10));
            let [one, other] = pattern.claims.closures[0].meets[0];
            assert_eq!((one.at.y + other.at.y).half(), Length::inch(12), "the fold, boxed 2 in up");
        }
    }

    /// Rolled twice it needs twice as much above the fold.
    #[test]
    fn a_rolled_top_is_longer() {
        let pattern = bag(&[("turns", Value::Count(2))]);
        assert_eq!(checks::run(&pattern), []);
        assert_eq!(pattern.pieces[0].cut_size().1, Length::inch(19));
    }

    /// A lunch box 176 × 100 × 162 mm with 20 mm of room and 3 mm of padding all round: at least
    /// 202 × 123 × 188 mm (arithmetic), of which the room is on marks of 1 cm.
    #[test]
    fn padding_takes_room_of_its_own() {
        let mut design = Design::of(&KIND, Units::Mm);
        assert!(design.body.values.set("size", Value::Choice("fits")));
        let pattern = crate::draft(&design).pattern.expect("it can be drafted");
        assert_eq!(checks::run(&pattern), []);
        let claims = &pattern.claims;
        let size = [claims.width, claims.height, claims.depth].map(Length::to_mm);
        assert_eq!(size, [206.0, 123.0, 196.0]);
    }
}
