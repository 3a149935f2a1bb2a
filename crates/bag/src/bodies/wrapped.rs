//! A bag wrapped from one piece, with one side seam and a base seam, its corners boxed.

use measure::{Length, Outline, Point};

use super::Body;
use super::two_panel_params::{DEPTH, EASE, HEIGHT, HOLDS, SIZE_FINISHED, STANDS, WIDTH};
use crate::design::Role;
use crate::draft::face::{BASE, LEFT, RIGHT, RIM, whole_span};
use crate::draft::{
    Ability, Base, Borders, Drafter, Face, Layer, Lie, NewPiece, PanelSize, Plan, Seam, Shell, TwoPanels,
    base_seam, centred_gap, panel_size, up, wanted,
};
use crate::kinds::{Kind, Param, Values};
use crate::operations::{Corner, Gap};
use crate::pattern::{
    Checkpoint, CopyId, Gauge, Grain, Hinge, HingeLine, MarkShape, Reach, Span,
};

/// The kind.
pub(super) struct Wrapped;
/// Its entry in the list.
pub(super) const KIND: Wrapped = Wrapped;

impl Kind for Wrapped {
    fn name(&self) -> &'static str {
        "wrapped"
    }
    fn title(&self) -> &'static str {
        "Bag wrapped from one piece"
    }
    fn help(&self) -> &'static str {
        "One piece goes round front, side and back: one side seam, one base seam, corners boxed. A \
         print or a stripe runs on round the bag."
    }
    fn params(&self) -> &'static [Param] {
        &[SIZE_FINISHED, WIDTH, HEIGHT, DEPTH, HOLDS, STANDS, EASE]
    }
}

impl Body for Wrapped {
    fn plan(&self, d: &mut Drafter<'_>, values: &Values) -> Option<Box<dyn Plan>> {
        let size = wanted(d, values, values.length("depth"))?;
        let (panel, tip) =
            panel_size(d, (size.width, size.height, size.depth), Length::ZERO);
        let faces = TwoPanels {
            panel,
            tip,
            half_depth: tip,
            contrast: None,
            asked: size.asked,
            holds: size.holds,
        };
        faces.is_possible(d).then(|| Box::new(Wrap { faces }) as Box<dyn Plan>)
    }
}

/// A planned bag: its front and back, laid flat, are those of a bag of two panels, and hang
/// together at one side.
#[derive(Clone, Debug)]
struct Wrap {
    faces: TwoPanels,
}

impl Wrap {
    /// Front and back of a copy that is twice as wide as each: the side seam is at the left of the
    /// front and the right of the back.
    fn two_faces(d: &Drafter<'_>, copy: CopyId, size: PanelSize) -> Vec<Face> {
        let wide = size.base;
        let part = |edge, from, to| Span { copy, edge, from, to };
        let (none, whole) = (Length::ZERO, wide * 2);
        let face = |word, middle, borders| Face {
            copies: vec![copy],
            starts: vec![none],
            lies: vec![Lie { foot: Point::new(middle, none), turned: false }],
            base_width: wide,
            top_width: wide,
            height: size.height,
            ..Face::within(word, borders)
        };
        let front = Borders {
            base: Some(part(BASE, none, wide)),
            right: Vec::new(),
            left: vec![whole_span(d, copy, LEFT).reversed()],
            rim: part(RIM, wide, whole),
        };
        let back = Borders {
            base: Some(part(BASE, wide, whole)),
            right: vec![whole_span(d, copy, RIGHT)],
            left: Vec::new(),
            rim: part(RIM, none, wide),
        };
        vec![face("front", wide.half(), front), face("back", wide + wide.half(), back)]
    }

    /// Marks where the middle of front and back is, the side fold, and the boxing lines.
    fn mark(&self, d: &mut Drafter<'_>, faces: &[Face]) {
        let copy = faces[0].bottom();
        for face in faces {
            let middle = face.lies[0].foot.x;
            let rim = faces[0].base_width * 2 - middle;
            for (label, edge, along) in [("base", BASE, middle), ("rim", RIM, rim)] {
                let label = format!("centre of the {}, {label}", face.word);
                d.mark_copy(copy, &label, MarkShape::Notch { edge, along });
            }
            self.faces.mark_boxing(d, face);
        }
        let side = faces[0].base_width;
        for edge in [BASE, RIM] {
            d.mark_copy(copy, "side fold", MarkShape::Notch { edge, along: side });
        }
    }

    /// How the front is measured: its width from fold to fold, and its height.
    fn gauges(copy: CopyId) -> (Gauge, Gauge) {
        let width = Gauge(vec![Reach::Folded(copy, LEFT, RIGHT, 2)]);
        (width, Gauge(vec![Reach::Across(copy, RIM, BASE)]))
    }
}

impl Plan for Wrap {
    fn shell(&self, d: &mut Drafter<'_>, layer: Layer) -> Shell {
        let (size, id, name, role, copy) = match layer {
            Layer::Outside => {
                (self.faces.panel, "outside-panel", "outside panel", Role::Outside, "outside panel")
            }
            Layer::Lining => {
                let ease = d.design.lining.values.length("ease");
                let size = self.faces.panel.eased(ease);
                (size, "lining-panel", "lining panel", Role::Lining, "lining")
            }
        };
        let of = |key| if layer == Layer::Outside { d.seam_allowance(key) } else { d.allowance(key) };
        let (base, side) = (of("base"), of("side"));
        let rim = d.rim_allowance;
        let piece = d.piece(NewPiece {
            id,
            name,
            role,
            net: Outline::rectangle(size.base * 2, size.height),
            edges: vec![("base", base), ("right side", side), ("rim", rim), ("left side", side)],
            grain: Grain::Lengthwise,
            join: None,
        });
        let copy = d.copy(piece, copy);
        let faces = Self::two_faces(d, copy, size);
        self.mark(d, &faces);
        Shell::of_faces(layer, faces)
    }

    fn sew(&self, d: &mut Drafter<'_>, shell: &Shell, opening: Option<Length>) -> Option<String> {
        let [front, back] = [&shell.faces[0], &shell.faces[1]];
        let copy = front.bottom();
        let sides = vec![[front.left(), back.right()]];
        let mut side = Seam::new("side-seam", "the side seam", sides, d.allowance("side"));
        side.checkpoint = Some(Checkpoint::Measures {
            what: format!("the {}'s top edge", shell.layer.word()),
            gauge: shell.rim_gauge(),
            how: "around",
        });
        let mut base = base_seam(d, shell);
        if let Some(opening) = opening {
            let tip = self.faces.tip;
            let gap = centred_gap(front.base_width - tip * 2, opening);
            let gap = Gap { from: gap.from + tip, to: gap.to + tip };
            let mark = MarkShape::Opening { edge: BASE, from: gap.from, to: gap.to };
            d.mark_copy(copy, "opening", mark);
            base.gap = Some(gap);
        }
        let runs = [side.runs(), base.runs()].concat();
        d.sew(shell.layer, side);
        let left_by = d.sew(shell.layer, base);
        d.finish_seams(shell.layer, "finish-seams", "the side and base seams", runs);
        let at = |side, fold| Corner { fold, ..Corner::of(copy, side, BASE) };
        let corners = vec![
            vec![at(LEFT, None), at(RIGHT, None)],
            vec![at(BASE, Some(front.base_width))],
        ];
        let (width, _) = Self::gauges(copy);
        self.faces.box_at(d, shell, corners, (width, up(front)));
        for face in &shell.faces {
            self.faces.fold(d, face);
        }
        for seam in ["side-seam", "base-seam"] {
            let line = HingeLine::Seam(format!("{}-{seam}", shell.layer.word()));
            d.hinges.push(Hinge { line, degrees: 180.0 });
        }
        opening.map(|_| left_by)
    }

    fn claim(&self, d: &mut Drafter<'_>, outside: &Shell) {
        let copy = outside.faces[0].bottom();
        let TwoPanels { panel, tip, .. } = self.faces;
        (d.claims.width_gauge, d.claims.height_gauge) = Self::gauges(copy);
        d.claims.width = panel.base - tip * 2;
        d.claims.height = panel.height - tip;
        d.claims.depth = tip * 2;
        d.claims.top_width = panel.base;
        d.claims.top_gauge = Gauge(vec![Reach::Half(copy, RIM)]);
        d.claims.asked.clone_from(&self.faces.asked);
        d.claims.holds.clone_from(&self.faces.holds);
    }

    fn base_rise(&self) -> Length {
        self.faces.half_depth
    }

    fn base(&self, d: &Drafter<'_>, outside: &Shell) -> Option<Base> {
        Plan::base(&self.faces, d, outside)
    }

    fn offers(&self) -> Vec<Ability> {
        Ability::of_an_open_bag_but(&[Ability::SideSeams])
    }
}
