//! A bag whose top is rolled down and held by buckles.

use measure::{Length, Outline, Point};

use super::Body;
use crate::closures::shared::rectangle;
use crate::design::Role;
use crate::draft::face::BASE;
use crate::draft::fittings::{hardware_goes, length_of, webbing};
use crate::draft::side_set::{SideSet, SideWords, set_in_sides};
use crate::draft::strap::from_edge;
use crate::draft::{
    Ability, Base, Drafter, Layer, NewPiece, Plan, Shell, TwoPanels, panel_size,
};
use crate::kinds::{Kind, Param, Quantity, Values, choice, length, optional};
use crate::operations::{
    Attach, EdgeFinish, FaceSide, FastenEnd, Fastening, FinishEdges, FoldTab, Line, Phrase, Place,
    Placed, StitchDown, StitchedDown, ThreadStrap,
};
use crate::pattern::{
    Band, Chapter, ClosureClaim, CopyId, Gauge, Grain, MarkShape, MaterialId, Notion, Reach,
    Run, Span, notion,
};

/// The kind.
pub(super) struct RollTop;
/// Its entry in the list.
pub(super) const KIND: RollTop = RollTop;

impl Kind for RollTop {
    fn name(&self) -> &'static str {
        "roll-top"
    }
    fn title(&self) -> &'static str {
        "Roll-top bag"
    }
    fn help(&self) -> &'static str {
        "A tall bag whose rim is stiffened, rolled down a few times over whatever is in it, and held \
         by buckles at both ends of the roll. It is cut higher by what the roll takes."
    }
    fn params(&self) -> &'static [Param] {
        const PARAMS: &[Param] = &[
            length(
                "width",
                "width",
                "Width of the finished bag at the base.",
                [Length::mm(100), Length::mm(700), Length::inch(12), Length::mm(300)],
            ).size(),
            length(
                "height",
                "height in use",
                "Height of the front when the top is rolled down: from the base to the top of the roll.",
                [Length::mm(100), Length::mm(900), Length::inch(15), Length::mm(380)],
            ).size(),
            optional(
                "depth",
                "depth",
                "Depth of the base, its corners boxed; left out, the bag is flat.",
                [Length::mm(15), Length::mm(300)],
            ).size(),
            Param {
                key: "rolls",
                label: "rolls",
                help: "How many times the top is rolled down; three keep rain out.",
                quantity: Quantity::Count { least: 1, most: 6, default: 3 },
                grows: None,
            },
            length(
                "roll",
                "height of a roll",
                "How much one roll takes; the stiffening of the rim is as high.",
                [Length::mm(15), Length::mm(80), Length::inch_frac(5, 4), Length::mm(30)],
            ).along(),
            choice(
                "closes",
                "held by",
                "Where the ends of the roll are held.",
                &[
                    ("sides", "each clips to a strap that comes up its side"),
                    ("itself", "they clip to each other above the roll, which makes a handle"),
                ],
            ),
            length(
                "webbing",
                "webbing width",
                "Width of the webbing at the buckles.",
                [Length::mm(10), Length::mm(50), Length::inch(1), Length::mm(25)],
            ),
            optional(
                "hardware",
                "buckles are for",
                "Width of webbing that the buckles are sold for; the webbing's own if left out.",
                [Length::mm(8), Length::mm(90)],
            ),
        ];
        PARAMS
    }
}

impl Body for RollTop {
    fn usual_handles(&self) -> &'static str {
        "none"
    }

    fn plan(&self, d: &mut Drafter<'_>, values: &Values) -> Option<Box<dyn Plan>> {
        let (width, height) = (values.length("width"), values.length("height"));
        let (depth, roll) = (values.length("depth"), values.length("roll"));
        let takes = roll * i64::from(values.count("rolls"));
        let (panel, tip) = panel_size(d, (width, height + takes, depth), Length::ZERO);
        let mut asked = vec![("width", width), ("height", height)];
        if depth.is_positive() {
            asked.push(("depth", depth));
        }
        // A hem covers the stiffening.
        if let Some(hem) = d.rim_hem {
            let turn = d.rim_allowance - hem;
            let covers = d.snap_up(roll + from_edge(d) * 2);
            d.rim_hem = Some(covers);
            d.rim_allowance = covers + turn.min(covers);
        }
        let panels =
            TwoPanels { panel, tip, half_depth: tip, contrast: None, asked, holds: Vec::new() };
        let webbing = values.length("webbing");
        let plan = Rolled {
            panels,
            roll,
            takes,
            rolls: values.count("rolls"),
            webbing,
            to_sides: values.choice("closes") == "sides",
        };
        let hardware = values.optional("hardware").unwrap_or(webbing);
        let possible = plan.panels.is_possible(d)
            && hardware_goes(d, "body.hardware", hardware, webbing)
            && plan.is_possible(d);
        possible.then(|| Box::new(plan) as Box<dyn Plan>)
    }
}

/// A planned bag.
#[derive(Clone, Debug)]
struct Rolled {
    panels: TwoPanels,
    /// Height of one roll.
    roll: Length,
    /// What all of them take.
    takes: Length,
    rolls: u32,
    webbing: Length,
    to_sides: bool,
}

impl Rolled {
    fn is_possible(&self, d: &mut Drafter<'_>) -> bool {
        if self.webbing > self.roll {
            let message = format!(
                "webbing {} wide stands beyond a roll {} high",
                d.show(self.webbing),
                d.show(self.roll)
            );
            let cure = format!("make the roll {} or more", d.show(self.webbing));
            d.refuse("body.roll", message, cure);
            return false;
        }
        let low = self.panels.half_depth + d.seam_allowance("base") + self.webbing.half();
        let hem = d.rim_hem.unwrap_or(Length::ZERO);
        if self.to_sides && (self.anchor() < low || self.anchor() + self.webbing > self.in_use() - hem)
        {
            let message = format!(
                "straps that come up the sides of a bag {} high have no room above its base",
                d.show(self.in_use() - self.panels.half_depth)
            );
            let cure = "make the bag higher, or let the ends clip to each other".to_owned();
            d.refuse("body.closes", message, cure);
            return false;
        }
        true
    }

    /// How high above the base of the panel the top of the roll comes.
    fn in_use(&self) -> Length {
        self.panels.panel.height - self.takes
    }

    /// How high the straps at the sides are caught: at a third of the height in use.
    fn anchor(&self) -> Length {
        let low = self.panels.half_depth;
        low + (self.in_use() - low) / 3
    }

    fn buckle_webbing(&self, d: &mut Drafter<'_>) -> MaterialId {
        webbing(
            d,
            "buckle-webbing",
            "webbing for the buckles",
            (Band::Webbing, self.webbing),
            "the closure",
        )
    }

    /// Strips of webbing behind the rim of both panels.
    fn stiffen(&self, d: &mut Drafter<'_>, shell: &Shell) {
        let inset = from_edge(d);
        let clear = d.either(Length::inch_frac(1, 2), Length::mm(12));
        let long = d.ruler().round(self.panels.panel.top - clear * 2, measure::Rounding::Down);
        let material =
            webbing(
                d,
                "stiffening",
                "firm webbing to stiffen the rim",
                (Band::Webbing, self.roll),
                "the rim",
            );
        // It lies along the rim, on its side.
        let piece = d.piece_of_material(
            NewPiece {
                id: "stiffening",
                name: "stiffening",
                role: Role::Handle,
                net: Outline::rectangle(long, self.roll),
                edges: ["lower edge", "end", "upper edge", "other end"]
                    .map(|edge| (edge, Length::ZERO))
                    .into(),
                grain: Grain::Crosswise,
                join: None,
            },
            material,
        );
        let (mut items, mut down, mut ends) = (Vec::new(), Vec::new(), Vec::new());
        for face in &shell.faces {
            let copy = d.copy(piece, &format!("{} stiffening", face.word));
            if items.is_empty() {
                d.part(copy, (long, self.roll));
            }
            let index = face.copies.len() - 1;
            let low = face.height - self.roll - inset;
            let (onto, corner) = face.box_on(index, (-long.half(), low), (long, self.roll));
            items.push(Placed { ground: FaceSide::Wrong, ..Placed::new(copy, onto, corner) });
            let at = |up: Length| Line {
                from: Point::new(corner.x, corner.y + up),
                to: Point::new(corner.x + long, corner.y + up),
            };
            let lines = vec![at(inset), at(self.roll - inset)];
            down.push(StitchedDown { what: copy, onto, lines, holds: vec![0, 2] });
            for edge in [1, 3] {
                let to = d.piece_of(copy).net.edge_length(edge);
                ends.push(Run::open([Span { copy, edge, from: Length::ZERO, to }]));
            }
        }
        let finish = FinishEdges {
            what: "both cut ends of each stiffening, or seal them with a flame,".to_owned(),
            runs: ends,
            how: EdgeFinish::Overcast,
            bound_with: None,
            together: false,
        };
        d.step(Chapter::Panels, "finish-stiffening", finish);
        let how = Phrase::new(
            "On the wrong side of the front and of the back lay a stiffening along the rim, centred, \
             its upper edge ",
        )
        .len(inset + d.rim_allowance)
        .say(" below the raw rim and parallel to it.");
        let mind = Some("its ends stay clear of the side seams, which could not be sewn through it.".into());
        let place = Place { items, how, mind, attach: Attach::Clips };
        d.step(Chapter::Panels, "place-stiffening", place);
        let how = Phrase::new("Stitch along both long edges of each stiffening, ")
            .len(inset)
            .say(" from them.");
        let stitch = d.stitch("topstitch");
        let stitched = StitchDown { how, mind: None, items: down, closes: None, stitch };
        d.step(Chapter::Panels, "stitch-stiffening", stitched);
        for at in 1..=self.rolls {
            let up = shell.faces[0].height - self.roll * i64::from(at);
            let half = self.panels.panel.top.half();
            for (copy, a, b) in shell.faces[0].line((-half, up), (half, up)) {
                d.mark_copy(copy, "roll line", MarkShape::Placement(a, b));
            }
        }
    }

    /// Tabs with half a buckle at both ends of the rim; and straps with the other half that come up
    /// the sides.
    fn buckles(&self, d: &mut Drafter<'_>, shell: &Shell) {
        let material = self.buckle_webbing(d);
        let seam = d.seam_allowance("side");
        let stands = d.snap_up(self.webbing * 3 / 2);
        let names = ("buckle-tab", "buckle tab");
        let piece = length_of(d, material, names, (self.webbing, stands * 2), [seam; 2]);
        let face = &shell.faces[1];
        let (plug, socket) = ("the plug of a side-release buckle", "the socket of a side-release buckle");
        let hem = d.rim_hem.unwrap_or(Length::ZERO);
        let up = face.height - self.roll.half().max(self.webbing.half() + from_edge(d)).min(hem.max(self.roll));
        let mut items = Vec::new();
        let mut tabs = [Vec::new(), Vec::new()];
        for (index, (side, sign)) in [("right", -1), ("left", 1)].into_iter().enumerate() {
            let what = d.copy(piece, &format!("{side} buckle tab"));
            let half = if self.to_sides { 0 } else { index };
            tabs[half].push(what);
            items.push(SideSet { what, face, sign, height: up, width: self.webbing, ground: FaceSide::Right });
        }
        if let Some(first) = items.first() {
            d.part(first.what, (self.webbing, stands + seam));
        }
        let [plugs, sockets] = tabs;
        let stitch = d.stitch("seam");
        for (id, tabs, over) in
            [("fold-plug-tabs", plugs, plug), ("fold-socket-tabs", sockets, socket)]
        {
            if !tabs.is_empty() {
                let fold = FoldTab { tabs, over: over.to_owned(), stitch };
                d.step(Chapter::Handles, id, fold);
            }
        }
        let words = SideWords {
            id: "place-buckle-tabs",
            what: "each buckle tab",
            mark: "buckle tab",
            mind: "sew to and fro over the tabs when the side seams are sewn: they are pulled at \
                   whenever the bag is closed.",
        };
        set_in_sides(d, Chapter::Panels, &items, words);
        let pairs = if self.to_sides { 2 } else { 1 };
        d.notion(Notion::of(&notion::BUCKLE, pairs).wide(self.webbing));
        if self.to_sides {
            self.side_straps(d, shell, material);
        }
    }

    fn side_straps(&self, d: &mut Drafter<'_>, shell: &Shell, material: MaterialId) {
        let seam = d.seam_allowance("side");
        let turn = d.either(Length::inch_frac(1, 2), Length::mm(12));
        // From the anchor up to the roll, and a hand's breadth to pull at.
        let grip = d.either(Length::inch(4), Length::mm(100));
        let free = d.snap_up(self.in_use() - self.anchor() + grip);
        let net = free + turn * 2;
        let names = ("side-strap", "side strap");
        let piece = length_of(d, material, names, (self.webbing, net), [seam, Length::ZERO]);
        let face = &shell.faces[1];
        let mut placed = Vec::new();
        for (side, sign) in [("right", -1), ("left", 1)] {
            let copy = d.copy(piece, &format!("{side} side strap"));
            let at = crate::draft::side_set::on_side(d, face, sign, self.anchor());
            let Some((on, edge, along)) = at else { continue };
            let point = d.piece_of(on).net.point_along(edge, along);
            let feet =
                vec![crate::operations::Foot { edge: 0, at: point, face_up: FaceSide::Right }];
            placed.push(Placed { level: vec![(0, on, edge)], feet, ..Placed::new(copy, on, point) });
            for half in [-1, 1] {
                let long = d.piece_of(on).net.edge_length(edge);
                let along = along + self.webbing.half() * half;
                if along.is_positive() && along < long {
                    d.mark_copy(on, "side strap", MarkShape::Notch { edge, along });
                }
            }
        }
        d.ends(&placed);
        let copies: Vec<CopyId> = placed.iter().map(|item| item.what).collect();
        if let Some(first) = copies.first() {
            d.part(*first, (self.webbing, free + seam));
        }
        let hem = FastenEnd {
            ends: copies.iter().map(|copy| (*copy, 2)).collect(),
            through: "to the same side".to_owned(),
            by: Fastening::Hemmed(turn),
            stitch: d.stitch("seam"),
        };
        d.step(Chapter::Handles, "hem-side-straps", hem);
        let how = Phrase::new(
            "Lay a side strap on the right side of the back at each side, between its notches, its \
             raw end level with the raw edge, the rest across the panel.",
        );
        let mind = Some("fold the rest into a small parcel and pin it to the middle of the back, away from every seam.".into());
        let place = Place { items: placed, how, mind, attach: Attach::baste(d) };
        d.step(Chapter::Panels, "place-side-straps", place);
        let how = Phrase::new(
            "Bring each side strap up through the socket of a side-release buckle, over its middle \
             bar and down again. Roll the top down, clip both ends of the roll to the sides, and pull \
             the straps tight.",
        );
        let mind = Some("pack less than goes in: a roll that is turned only once opens by itself.".into());
        d.finally("thread-side-straps", ThreadStrap { straps: copies, how, mind });
    }
}

impl Plan for Rolled {
    fn shell(&self, d: &mut Drafter<'_>, layer: Layer) -> Shell {
        let mut shell = self.panels.shell(d, layer);
        for face in &mut shell.faces {
            // The roll itself lies before the front.
            let before = if face.word == "front" { self.roll } else { Length::ZERO };
            (face.rolled, face.kept) = (self.takes, self.takes + before);
        }
        shell
    }

    fn ready_mouth(&self, d: &mut Drafter<'_>, outside: &Shell, _: Option<&Shell>) {
        self.stiffen(d, outside);
        self.buckles(d, outside);
    }

    fn sew(&self, d: &mut Drafter<'_>, shell: &Shell, opening: Option<Length>) -> Option<String> {
        self.panels.sew(d, shell, opening)
    }

    fn claim(&self, d: &mut Drafter<'_>, outside: &Shell) {
        self.panels.claim(d, outside);
        let face = &outside.faces[0];
        let (on, point) = face.on(0, Length::ZERO, face.height - self.takes);
        d.claims.height = self.in_use() - self.panels.half_depth;
        d.claims.height_gauge = Gauge(vec![Reach::FromFold(on, point, BASE)]);
        // Unrolled, with a line at each roll.
        let shows = (0..i64::from(self.rolls))
            .map(|at| {
                let size = (face.top_width - self.panels.tip * 2, self.roll);
                rectangle(face, Some(face.top()), (Length::ZERO, self.roll * at), size)
            })
            .collect();
        d.claims.closures.push(ClosureClaim { name: "roll-top".to_owned(), meets: Vec::new(), shows });
    }

    fn base_rise(&self) -> Length {
        self.panels.half_depth
    }

    fn base(&self, d: &Drafter<'_>, outside: &Shell) -> Option<Base> {
        self.panels.base(d, outside)
    }

    fn offers(&self) -> Vec<Ability> {
        // A zip in the rim itself is rolled up with it.
        use Ability::{DepthAtRim, RimAtSides, StandingRim};
        Ability::of_an_open_bag_but(&[StandingRim, RimAtSides, DepthAtRim])
    }
}

#[cfg(test)]
mod tests {
    use measure::Units;

    use super::*;
    use crate::design::Chosen;
    use crate::kinds::Value;
    use crate::{Design, Severity};

    /// Handles are measured from the top of the roll (derived): legs 7 in apart that drop 10 in need
    /// 2 · √(10² + 3 1/2²) = 21.19 in above it, and from there down to the base seam and its allowance
    /// as much as the panel is high in use, twice; cut to the next 1/4 in.
    #[test]
    fn handles_are_measured_from_the_top_of_the_roll() {
        let mut design = Design::of(&KIND, Units::Inch);
        let webbing = crate::handles::find("webbing").unwrap();
        design.handles = Chosen::new(webbing, design.system());
        for (key, to) in [("drop", Length::inch(10)), ("apart", Length::inch(7))] {
            assert!(design.handles.values.set(key, Value::Length(to)));
        }
        assert!(design.handles.values.set("from", Value::Choice("base")));
        let pattern = crate::draft(&design).pattern.unwrap();
        let found = crate::checks::run(&pattern);
        assert!(found.iter().all(|f| f.severity == Severity::Note), "{found:#?}");
        let claims = &pattern.claims;
        let panel = claims.height + claims.depth.half() + Length::inch_frac(1, 2);
        let strap = pattern.pieces.iter().find(|piece| piece.id == "handle").unwrap();
        let needed = panel.to_inch() * 2.0 + 2.0 * (100.0_f64 + 12.25).sqrt();
        let cut = strap.cut_size().1.to_inch();
        assert!((needed..needed + 0.25).contains(&cut), "{cut} for {needed}");
        let drop = claims.handles[0].drop.to_inch();
        assert!((10.0..10.2).contains(&drop), "{drop}");
    }

    /// Derived: rolled three times by 1 1/4 in, a bag 15 in high in use stands 18 3/4 in high before
    /// it is rolled; with seams of 1/2 in its panels are cut 19 3/4 in high.
    #[test]
    fn the_roll_is_cut_on_above_the_height_in_use() {
        let design = Design::of(&KIND, Units::Inch);
        let pattern = crate::draft(&design).pattern.unwrap();
        assert_eq!(pattern.claims.height, Length::inch(15));
        let panel = pattern.pieces.iter().find(|piece| piece.id == "outside-panel").unwrap();
        assert_eq!(panel.cut_size().1, Length::inch_frac(79, 4));
    }

    /// With and without a lining, both ways of closing, flat and boxed.
    #[test]
    fn it_is_sewn_with_every_lining() {
        for lining in crate::linings::ALL {
            for closes in ["sides", "itself"] {
                for depth in [Value::Absent, Value::Length(Length::mm(100))] {
                    let mut design = Design::of(&KIND, Units::Mm);
                    design.lining = Chosen::new(*lining, measure::System::Metric);
                    assert!(design.body.values.set("closes", Value::Choice(closes)));
                    assert!(design.body.values.set("depth", depth));
                    let drafted = crate::draft(&design);
                    let pattern = drafted.pattern.unwrap_or_else(|| panic!("{:?}", drafted.findings));
                    let errors: Vec<_> = crate::checks::run(&pattern)
                        .into_iter()
                        .filter(|finding| finding.severity == Severity::Error)
                        .collect();
                    assert!(errors.is_empty(), "{} {closes}: {errors:#?}", lining.name());
                }
            }
        }
    }
}
