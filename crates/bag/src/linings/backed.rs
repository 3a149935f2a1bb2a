//! Every panel is backed by lining fabric, and both are sewn as one.

use std::collections::BTreeMap;

use measure::Length;

use super::Lining;
use super::unlined::finish_single;
use crate::design::Role;
use crate::draft::{Drafter, NewPiece, Plan, SeamMake, Shell};
use crate::kinds::{Kind, Param, Values, choice, length};
use crate::operations::{Attach, EdgeFinish, FaceSide, Phrase, Place, Placed};
use crate::pattern::{Chapter, CopyId, PieceId};

/// The kind.
pub(super) struct Backed;
/// Its entry in the list.
pub(super) const KIND: Backed = Backed;

impl Kind for Backed {
    fn name(&self) -> &'static str {
        "backed"
    }
    fn title(&self) -> &'static str {
        "Panels backed with lining, sewn as one"
    }
    fn help(&self) -> &'static str {
        "Each panel is basted to a panel of lining fabric, wrong sides together, or quilted to it with \
         wadding between, and both are sewn as one layer; the seams inside are bound. No second bag, \
         nothing to turn."
    }
    fn params(&self) -> &'static [Param] {
        const PARAMS: &[Param] = &[
            choice(
                "seams",
                "seams inside",
                "How the raw allowances are finished.",
                &[
                    ("bound", "wrapped in binding strips"),
                    ("overcast", "with a zigzag or an overedge stitch"),
                ],
            ),
            length(
                "hem",
                "hem at the rim",
                "Depth of the finished hem.",
                [Length::mm(10), Length::mm(80), Length::inch(1), Length::mm(25)],
            ),
            length(
                "turn",
                "first turn",
                "First turn of the hem.",
                [Length::mm(5), Length::mm(80), Length::inch_frac(1, 2), Length::mm(12)],
            ),
            length(
                "binding",
                "binding width",
                "Finished width of the binding on each side; strips are cut four times as wide.",
                [Length::mm(5), Length::mm(20), Length::inch_frac(3, 8), Length::mm(10)],
            ),
        ];
        PARAMS
    }
}

impl Lining for Backed {
    fn is_lined(&self) -> bool {
        false
    }

    fn prepare(&self, d: &mut Drafter<'_>, values: &Values) {
        d.seam_make = SeamMake::Finished(match values.choice("seams") {
            "overcast" => EdgeFinish::Overcast,
            _ => EdgeFinish::Bound(values.length("binding")),
        });
        d.rim_hem = Some(values.length("hem"));
        d.rim_allowance = values.length("hem") + values.length("turn");
    }

    fn ready(&self, d: &mut Drafter<'_>, _: &Values, _: Option<&mut Shell>) {
        let mut backings: BTreeMap<PieceId, PieceId> = BTreeMap::new();
        let mut items = Vec::new();
        for copy in d.copies_so_far() {
            let (piece, name) = d.copy_of(copy);
            let backing = match backings.get(&piece) {
                Some(backing) => *backing,
                None => backing_of(d, copy),
            };
            backings.insert(piece, backing);
            let back = d.copy(backing, &format!("backing of the {name}"));
            items.push(laid(d, back, copy));
        }
        if d.has_extra("quilting") {
            // It is quilted with them, wadding between.
            d.backings = items;
            return;
        }
        let how = Phrase::new(
            "Lay each panel on its backing, wrong sides together and raw edges level, and smooth \
             both from the middle out. From here on both are treated as one.",
        );
        let mind = "work flat on a table: a backing that is drawn tight makes the panel curl.";
        let place = Place { items, how, mind: Some(mind.into()), attach: Attach::baste(d) };
        d.step(Chapter::Interface, "back-panels", place);
    }

    fn finish(
        &self,
        d: &mut Drafter<'_>,
        _: &Values,
        plan: &dyn Plan,
        outside: &Shell,
        _: Option<&Shell>,
    ) {
        finish_single(d, plan, outside);
    }
}

/// The piece of lining fabric that backs the piece of a copy: of the same shape and allowances.
fn backing_of(d: &mut Drafter<'_>, copy: CopyId) -> PieceId {
    let front = d.piece_of(copy).clone();
    let material = d.fabric(Role::Lining);
    let new = NewPiece {
        id: &format!("{}-backing", front.id),
        name: &format!("{} backing", front.name),
        role: Role::Lining,
        net: front.net,
        edges: front.edges.iter().map(|edge| (edge.name.as_str(), edge.allowance)).collect(),
        grain: front.grain,
        join: front.join,
    };
    d.piece_of_material(new, material)
}

/// The backing on the wrong side of its panel, its own right side up, level all round.
fn laid(d: &Drafter<'_>, back: CopyId, panel: CopyId) -> Placed {
    let net = &d.piece_of(panel).net;
    let level = (0..net.edge_count()).map(|edge| (edge, panel, edge)).collect();
    let (low, _) = net.bounds();
    Placed { ground: FaceSide::Wrong, face_up: FaceSide::Right, level, ..Placed::new(back, panel, low) }
}
