//! A tall bag for bottles, which dividers keep apart.

use measure::{Length, Rounding, Ruler, System, find_fit};

use super::Body;
use crate::design::{Design, Role};
use crate::draft::face::{LEFT, RIGHT};
use crate::draft::{
    Ability, Drafter, Face, Layer, Plan, Seam, Shell, Strip, TwoPanels, base_seam, panel_size, side_seams,
};
use crate::kinds::{Kind, Param, Quantity, Value, Values, choice, length, optional};
use crate::operations::{
    Attach, CloseGap, Closing, FaceSide, Line, Phrase, Place, Placed, StitchDown, StitchedDown,
};
use crate::pattern::{Chapter, Checkpoint, CopyId, DividerClaim, Hinge, HingeLine, MarkShape};
use crate::pockets::pouch::{Layers, Pouch};

/// The kind.
pub(super) struct BottleCarrier;
/// Its entry in the list.
pub(super) const KIND: BottleCarrier = BottleCarrier;

impl Kind for BottleCarrier {
    fn name(&self) -> &'static str {
        "bottle-carrier"
    }
    fn title(&self) -> &'static str {
        "Bottle carrier"
    }
    fn help(&self) -> &'static str {
        "Boxed and tall, for bottles in a row: between each two stands a divider of two layers, sewn \
         to front and back, so that glass does not meet glass."
    }
    fn params(&self) -> &'static [Param] {
        const SIZE: Param = choice(
            "size",
            "size given as",
            "What decides the size.",
            &[
                ("fits", "the bottles that must go in, see `holds`"),
                ("finished", "`width`, `height` and `depth` of the finished bag"),
            ],
        );
        const BOTTLES: Param = Param {
            key: "bottles",
            label: "bottles",
            help: "How many stand in the row.",
            quantity: Quantity::Count { least: 2, most: 6, default: 3 },
            grows: None,
        };
        const HOLDS: Param = Param {
            key: "holds",
            label: "what must fit",
            help: "What each compartment must hold, from the list of things.",
            quantity: Quantity::Thing { default: "wine-bottle" },
            grows: None,
        };
        const EASE: Param = length(
            "ease",
            "room around it",
            "How much wider and deeper than a bottle each compartment is.",
            [Length::ZERO, Length::mm(60), Length::inch_frac(1, 2), Length::mm(12)],
        );
        const DIVIDER: Param = optional(
            "divider",
            "dividers",
            "How high the dividers are; left out, two thirds of the bag.",
            [Length::mm(60), Length::mm(600)],
        ).along();
        const WIDTH: Param = length(
            "width",
            "width",
            "With `size = \"finished\"`: width of the finished bag.",
            [Length::mm(120), Length::mm(900), Length::inch(12), Length::mm(300)],
        ).size();
        const HEIGHT: Param = length(
            "height",
            "height",
            "With `size = \"finished\"`: height of the finished bag.",
            [Length::mm(100), Length::mm(700), Length::inch(14), Length::mm(350)],
        ).size();
        const DEPTH: Param = length(
            "depth",
            "depth",
            "With `size = \"finished\"`: depth of the finished bag.",
            [Length::mm(50), Length::mm(300), Length::inch(4), Length::mm(100)],
        ).size();
        &[SIZE, BOTTLES, HOLDS, EASE, DIVIDER, WIDTH, HEIGHT, DEPTH]
    }
}

impl Body for BottleCarrier {
    fn plan(&self, d: &mut Drafter<'_>, values: &Values) -> Option<Box<dyn Plan>> {
        let row = Row::plan(d, values)?;
        let size = (row.width, row.height, row.depth);
        let (panel, tip) = panel_size(d, size, Length::ZERO);
        let fits = values.choice("size") == "fits";
        let asked = [("width", row.width), ("height", row.height), ("depth", row.depth)];
        let panels = TwoPanels {
            panel,
            tip,
            half_depth: tip,
            contrast: None,
            asked: if fits { Vec::new() } else { asked.into() },
            holds: vec![values.choice("holds").to_owned()],
        };
        if !panels.is_possible(d) {
            return None;
        }
        Some(Box::new(Carrier { panels, row, lined: d.is_lined() }))
    }

    fn suit(&self, design: &mut Design) {
        // A load of glass hangs from seams at the rim only if it must.
        design.handles.values.set("from", Value::Choice("base"));
    }
}

/// What the bottles need.
#[derive(Clone, Copy, Debug)]
struct Row {
    count: i64,
    width: Length,
    height: Length,
    depth: Length,
    /// Finished height of a divider.
    divider: Length,
}

/// How far each side of a divider is laid along front and back: 1/2 in (12 mm), for two rows of
/// stitches (common practice, no source).
fn flange(d: &Drafter<'_>) -> Length {
    d.either(Length::inch_frac(1, 2), Length::mm(12))
}

/// From the edge of the base up to a divider, so that it does not stand in the boxed corner.
fn above_base(d: &Drafter<'_>) -> Length {
    d.either(Length::inch_frac(1, 4), Length::mm(6))
}

impl Row {
    fn plan(d: &mut Drafter<'_>, values: &Values) -> Option<Self> {
        let id = values.choice("holds");
        let Some(thing) = find_fit(id) else {
            let message = format!("`{id}` is not a thing whose size is known");
            d.refuse("body.holds", message, "choose one of the list in the guide".to_owned());
            return None;
        };
        let count = i64::from(values.count("bottles"));
        let around = thing.width.max(thing.thickness);
        let ruler = match d.system {
            System::Inch => Ruler::QUARTER_INCH,
            System::Metric => Ruler::FIVE_MM,
        };
        let (width, height, depth) = match values.choice("size") {
            "finished" => {
                (values.length("width"), values.length("height"), values.length("depth"))
            }
            _ => {
                let cell = ruler.round(around + values.length("ease"), Rounding::Up);
                // A boxed corner is as deep as twice a mark of the ruler.
                let deep = d.snap_up(cell.half()) * 2;
                (cell * count, ruler.round(thing.height, Rounding::Up), deep)
            }
        };
        let given = values.optional("divider");
        let divider = given.unwrap_or_else(|| ruler.round(height * 2 / 3, Rounding::Down));
        d.settle("body.divider", divider);
        let row = Self { count, width, height, depth, divider };
        row.is_possible(d, around).then_some(row)
    }

    /// Width of a compartment, from divider to divider.
    fn cell(&self) -> Length {
        self.width / self.count
    }

    fn is_possible(&self, d: &mut Drafter<'_>, around: Length) -> bool {
        if self.cell().min(self.depth) < around {
            let message = format!(
                "each of {} compartments is {} wide and {} deep, and what goes in is {} across",
                self.count,
                d.show(self.cell()),
                d.show(self.depth),
                d.show(around)
            );
            let cure = "make the bag wider or deeper, or let it hold fewer bottles";
            d.refuse("body.holds", message, cure.to_owned());
            return false;
        }
        let clear = d.rim_hem.unwrap_or(Length::ZERO) + d.least();
        let most = self.height - above_base(d) - clear;
        if self.divider > most {
            let message = format!(
                "a divider {} high in a bag {} high reaches its rim",
                d.show(self.divider),
                d.show(self.height)
            );
            let cure = format!("make it {} or less", d.show(most.max(Length::ZERO)));
            d.refuse("body.divider", message, cure);
            return false;
        }
        // Until its other side is sewn on, too, a divider lies on the front beside its line.
        let most = (self.cell() - flange(d)) * 2;
        if self.depth > most {
            let message = format!(
                "compartments {} wide and {} deep are so deep that a bottle tips over in them",
                d.show(self.cell()),
                d.show(self.depth)
            );
            let cure = format!("make the bag {} deep or less", d.show(most.max(Length::ZERO)));
            d.refuse("body.depth", message, cure);
            return false;
        }
        true
    }

    /// How far right of the centre line each divider stands, as one looks at the right side of the
    /// front.
    fn stands(&self, d: &Drafter<'_>) -> Vec<Length> {
        let at = |n| d.snap(self.width * n / self.count) - self.width.half();
        (1..self.count).map(at).collect()
    }
}

/// A planned carrier.
#[derive(Clone, Debug)]
struct Carrier {
    panels: TwoPanels,
    row: Row,
    /// Whether the dividers stand in a lining.
    lined: bool,
}

impl Carrier {
    /// Whether the dividers stand in this layer: the innermost one.
    fn holds_dividers(&self, layer: Layer) -> bool {
        self.lined == (layer == Layer::Lining)
    }

    /// Sews one side seam, the dividers onto front and back, and then the rest.
    fn sew_divided(
        &self,
        d: &mut Drafter<'_>,
        shell: &Shell,
        opening: Option<Length>,
    ) -> Option<String> {
        let top = self.panels.half_depth + above_base(d) + self.row.divider;
        let seam = shell.faces.iter().filter_map(|face| face.starts.get(1)).min();
        if let Some(seam) = seam
            && top > *seam
        {
            let over = d.show(top - *seam);
            let message = format!("the dividers reach {over} over the seam below the facing");
            let cure = format!("make them or the facing lower by {over} or more");
            d.refuse("lining.facing", message, cure);
            return None;
        }
        let both = side_seams(d, shell);
        let mut seams = both.sides.clone();
        let (Some(second), Some(first)) = (seams.pop(), seams.pop()) else { return None };
        let allowance = d.allowance("side");
        let first = Seam::new("first-side-seam", "one side seam", vec![first], allowance);
        let mut second = Seam::new("other-side-seam", "the other side seam", vec![second], allowance);
        second.checkpoint = both.checkpoint;
        second.mind = Some("keep the dividers out of the way of this seam and of the base seam.".to_owned());
        let base = match opening {
            Some(opening) => self.panels.base_with_opening(d, shell, opening),
            None => base_seam(d, shell),
        };
        let runs = [first.runs(), second.runs(), base.runs()].concat();
        d.sew(shell.layer, first);
        self.dividers(d, shell);
        d.sew(shell.layer, second);
        let left_by = d.sew(shell.layer, base);
        d.finish_seams(shell.layer, "finish-seams", "the side and base seams", runs);
        self.panels.box_corners(d, shell);
        opening.map(|_| left_by)
    }

    fn dividers(&self, d: &mut Drafter<'_>, shell: &Shell) {
        let [front, back] = [&shell.faces[0], &shell.faces[1]];
        let copies = self.make_dividers(d);
        let flange = flange(d);
        let wide = self.row.depth + flange * 2;
        let low = self.panels.half_depth + above_base(d);
        let ground = if self.lined { FaceSide::Right } else { FaceSide::Wrong };
        let (mut items, mut on_front, mut on_back) = (Vec::new(), Vec::new(), Vec::new());
        for (x, divider) in self.row.stands(d).into_iter().zip(copies) {
            // Its right side along the line on the front, its left side along that on the back, seen
            // from the right sides of both.
            let left = x + flange - wide;
            let laid = front.lay(0, divider, (left, low), (wide, self.row.divider));
            items.push(Placed { ground, ..laid });
            let sides = [(front, x, x, RIGHT), (back, -x, -x - flange, LEFT)];
            for (down, (face, x, from, held)) in [&mut on_front, &mut on_back].into_iter().zip(sides) {
                let lines = self.rows(d, face, (from, low));
                self.mark(d, face, x, low);
                let (what, onto) = (divider, face.bottom());
                down.push(StitchedDown { what, onto, lines, holds: vec![held] });
            }
            d.claims.dividers.push(DividerClaim {
                copy: divider,
                front: front.bottom(),
                back: back.bottom(),
                height: self.row.divider,
            });
        }
        self.step(d, shell, items, [on_front, on_back]);
    }

    /// The two rows of stitches that hold a side of a divider.
    fn rows(&self, d: &Drafter<'_>, face: &Face, (from, low): (Length, Length)) -> Vec<Line> {
        let inset = d.either(Length::inch_frac(1, 8), Length::mm(3));
        let (start, end) = (low + inset, low + self.row.divider - inset);
        let row = |x| Line { from: face.on(0, x, start).1, to: face.on(0, x, end).1 };
        [inset, flange(d) - inset].map(|across| row(from + across)).into()
    }

    fn mark(&self, d: &mut Drafter<'_>, face: &Face, x: Length, low: Length) {
        for (copy, a, b) in face.line((x, low), (x, low + self.row.divider)) {
            d.mark_copy(copy, "divider", MarkShape::Placement(a, b));
        }
    }

    /// Sews each divider of two layers and turns it; gives its first layer.
    fn make_dividers(&self, d: &mut Drafter<'_>) -> Vec<CopyId> {
        let wide = self.row.depth + flange(d) * 2;
        let pouch = Pouch {
            stem: "divider",
            name: "divider",
            size: (wide, self.row.divider),
            radius: None,
            opening: d.either(Length::inch(3), Length::mm(75)),
            opens_above: false,
        };
        let piece = pouch.piece(d, Role::InsidePocket);
        let count = usize::try_from(self.row.count - 1).unwrap_or(1);
        let mut made = Vec::new();
        for n in 1..=count {
            let [front, back] = ["", " (other layer)"].map(|layer| {
                let name = if count == 1 { format!("divider{layer}") } else { format!("divider {n}{layer}") };
                d.copy(piece, &name)
            });
            let suffix = SUFFIXES[(n - 1).min(SUFFIXES.len() - 1)];
            let left_by = pouch.sew(d, Layers { front, back, suffix });
            let allowance = d.allowance("pocket");
            let close = CloseGap { left_by, copy: front, closing: Closing::Machine, allowance };
            d.step(Chapter::Pockets, &format!("close-divider{suffix}"), close);
            made.push(front);
        }
        made
    }

    fn step(
        &self,
        d: &mut Drafter<'_>,
        shell: &Shell,
        items: Vec<Placed>,
        [on_front, on_back]: [Vec<StitchedDown>; 2],
    ) {
        let chapter = d.chapter(shell.layer);
        let layer = if self.lined { "lining" } else { "panel" };
        let many = if self.row.count == 2 { "the divider" } else { "each divider" };
        let how = Phrase::new(format!(
            "Lay {many} on the {} of the front {layer}, upright, one side of it along its line so that ",
            if self.lined { "right side" } else { "wrong side" }
        ))
        .len(flange(d))
        .say(" of it lie beyond the line, its lower edge ")
        .len(above_base(d))
        .say(" above the boxing lines.");
        d.step(chapter, "place-dividers", Place { items, how, mind: None, attach: Attach::Pin });
        let stitch = d.stitch("seam");
        let inset = d.either(Length::inch_frac(1, 8), Length::mm(3));
        let rows = |side: &str| {
            Phrase::new(format!("Stitch that side of {many} down on the {side} {layer} in two rows, "))
                .len(inset)
                .say(" from its edge and as far from its line, backstitching at the top, where it is pulled.")
        };
        let down = StitchDown { how: rows("front"), mind: None, items: on_front, closes: None, stitch };
        d.step(chapter, "stitch-dividers-to-front", down);
        let how = Phrase::new(format!(
            "Fold the {layer} at its side seam, front on back, and lay the other side of {many} along \
             its line on the back in the same way, beginning with the one next to the seam. "
        ))
        .say("Stitch it down in two rows, ")
        .len(inset)
        .say(" from its edge and as far from its line.");
        let mind = Some("the dividers must stand across the bag: the marks on the back are the mirror image of those on the front.".into());
        let down = StitchDown { how, mind, items: on_back, closes: None, stitch };
        let look = Checkpoint::Look(format!(
            "there are {} compartments, each {} wide and {} deep, and the dividers are {} high.",
            self.row.count,
            d.show(self.row.cell()),
            d.show(self.row.depth),
            d.show(self.row.divider)
        ));
        d.step_checked(chapter, "stitch-dividers-to-back", down, look);
    }
}

/// What the step ids of the dividers end in.
const SUFFIXES: [&str; 5] = ["", "-2", "-3", "-4", "-5"];

impl Plan for Carrier {
    fn shell(&self, d: &mut Drafter<'_>, layer: Layer) -> Shell {
        let mut shell = self.panels.shell(d, layer);
        if self.holds_dividers(layer) {
            let top = self.panels.half_depth + above_base(d) + self.row.divider;
            for x in self.row.stands(d) {
                let strip = |x: Length| Strip { across: (x, x + flange(d)), top };
                shell.faces[0].sewn.push(strip(x));
                shell.faces[1].sewn.push(strip(-x - flange(d)));
            }
        }
        shell
    }

    fn sew(&self, d: &mut Drafter<'_>, shell: &Shell, opening: Option<Length>) -> Option<String> {
        if self.holds_dividers(shell.layer) {
            self.sew_divided(d, shell, opening)
        } else {
            self.panels.sew(d, shell, opening)
        }
    }

    fn claim(&self, d: &mut Drafter<'_>, outside: &Shell) {
        self.panels.claim(d, outside);
        if self.lined {
            return;
        }
        // The side seams are sewn one after the other.
        let both = HingeLine::Seam("outside-side-seams".to_owned());
        d.hinges.retain(|hinge| hinge.line != both);
        for seam in ["outside-first-side-seam", "outside-other-side-seam"] {
            d.hinges.push(Hinge { line: HingeLine::Seam(seam.to_owned()), degrees: 180.0 });
        }
    }

    fn base_rise(&self) -> Length {
        self.panels.base_rise()
    }

    fn offers(&self) -> Vec<Ability> {
        Ability::of_an_open_bag()
    }
}

#[cfg(test)]
mod tests {
    use measure::Units;

    use super::*;
    use crate::checks;
    use crate::design::Chosen;
    use crate::finding::Severity;
    use crate::linings;

    fn drafted(units: Units, lining: &str, more: &[(&'static str, Value)]) -> crate::Pattern {
        let mut design = Design::of(&KIND, units);
        design.lining = Chosen::new(linings::find(lining).unwrap(), design.system());
        for (key, value) in more {
            assert!(design.body.values.set(key, value.clone()), "{key}");
        }
        crate::draft(&design).pattern.expect("it can be drafted")
    }

    /// Three wine bottles 82 mm across with 12 mm of room: compartments of 95 mm, a bag 285 mm wide,
    /// 96 mm deep and 320 mm high, dividers of two thirds, 210 mm (arithmetic, on marks of 5 mm; the
    /// bottle from the list of things).
    #[test]
    fn compartments_follow_the_bottle() {
        for lining in ["turned", "dropped", "unlined", "backed"] {
            let pattern = drafted(Units::Mm, lining, &[]);
            let worst = checks::run(&pattern).into_iter().filter(|f| f.severity > Severity::Note);
            assert_eq!(worst.collect::<Vec<_>>(), [], "{lining}");
            let claims = &pattern.claims;
            assert_eq!([claims.width, claims.height], [285, 320].map(Length::mm));
            // A boxing line lies on a mark of the ruler: 48 mm from the tip.
            assert_eq!(claims.depth, Length::mm(96), "{lining}");
            let divider = pattern.pieces.iter().find(|piece| piece.id == "divider").unwrap();
            assert_eq!(divider.net_size(), (Length::mm(96 + 24), Length::mm(210)));
            let copies = pattern.copies.iter().filter(|copy| copy.name.starts_with("divider"));
            assert_eq!(copies.count(), 4, "two dividers of two layers");
        }
    }

    #[test]
    fn a_bottle_that_is_wider_than_its_compartment_is_refused() {
        let mut design = Design::of(&KIND, Units::Mm);
        let size = [("width", 200), ("height", 350), ("depth", 90)];
        design.body.values.set("size", Value::Choice("finished"));
        for (key, mm) in size {
            design.body.values.set(key, Value::Length(Length::mm(mm)));
        }
        let drafted = crate::draft(&design);
        assert!(drafted.pattern.is_none());
        assert_eq!(drafted.findings[0].place.parameter.as_deref(), Some("body.holds"));
    }

    #[test]
    fn each_divider_is_sewn_to_front_and_back() {
        let pattern = drafted(Units::Inch, "turned", &[("bottles", Value::Count(4))]);
        let work = crate::assembly::Assembly::sew(&pattern);
        for copy in pattern.copy_ids().filter(|it| {
            let name = &pattern.copy(*it).name;
            name.starts_with("divider") && !name.ends_with("layer)")
        }) {
            let hosts: Vec<_> = work.riders.iter().filter(|r| r.what == copy).map(|r| r.onto).collect();
            assert_eq!(hosts.len(), 2, "{}", pattern.copy(copy).name);
        }
    }
}
