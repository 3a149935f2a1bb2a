//! The outside is quilted on wadding before anything is sewn to it.

use std::collections::BTreeMap;

use measure::Length;

use super::{Bag, Extra, is_first};
use crate::draft::{Drafter, NewPiece};
use crate::design::Role;
use crate::kinds::{Kind, Param, Quantity, Values, length};
use crate::operations::{FaceSide, Placed, Quilt};
use crate::pattern::{Chapter, Cloth, Form, Look, Material, PieceId};

/// The kind.
pub(super) struct Quilting;
/// Its entry in the list.
pub(super) const KIND: Quilting = Quilting;

impl Kind for Quilting {
    fn name(&self) -> &'static str {
        "quilting"
    }
    fn title(&self) -> &'static str {
        "Quilted outside"
    }
    fn help(&self) -> &'static str {
        "Every panel of the outside is laid on wadding and quilted in parallel rows while it is still \
         flat. Quilting draws the layers in, so both are cut larger and trimmed to size afterwards."
    }
    fn params(&self) -> &'static [Param] {
        const PARAMS: &[Param] = &[
            length(
                "rows",
                "rows",
                "How far apart the rows of stitches lie.",
                [Length::mm(6), Length::mm(150), Length::inch(1), Length::mm(25)],
            ),
            length(
                "larger",
                "cut larger by",
                "How much larger the layers are cut at each edge, before they are quilted.",
                [Length::mm(3), Length::mm(50), Length::inch_frac(1, 2), Length::mm(12)],
            ),
            length(
                "width",
                "width of the wadding",
                "Width of the wadding as it is sold.",
                [Length::mm(300), Length::mm(3_000), Length::inch(90), Length::mm(1_500)],
            ),
            Param {
                key: "name",
                label: "name",
                help: "What you call the wadding on the shopping list.",
                quantity: Quantity::Text { default: "cotton wadding" },
                grows: None,
            },
        ];
        PARAMS
    }
}

impl Extra for Quilting {
    fn build(&self, d: &mut Drafter<'_>, values: &Values, index: usize, bag: Bag<'_>) {
        if !is_first(d, index, "a quilted outside") {
            return;
        }
        let width = values.length("width");
        let name = match values.text("name") {
            "" => "wadding",
            name => name,
        };
        let wadding = d.material(Material {
            id: "wadding".to_owned(),
            name: name.to_owned(),
            serves: "the quilted outside".to_owned(),
            form: Form::Fabric(Cloth {
                bought_width: width,
                usable_width: width,
                usable_given: true,
                one_way: false,
                thickness: None,
                weight: None,
                turnable: true,
                shrinks_in_length: 0,
                shrinks_in_width: 0,
            }),
            look: Look::Interfacing,
        });
        let larger = values.length("larger");
        let mut waddings: BTreeMap<PieceId, PieceId> = BTreeMap::new();
        let mut behind = Vec::new();
        for panel in bag.panels {
            let (piece, name) = d.copy_of(*panel);
            let under = match waddings.get(&piece) {
                Some(under) => *under,
                None => {
                    let front = d.piece_of(*panel).clone();
                    let new = NewPiece {
                        id: &format!("{}-wadding", front.id),
                        name: &format!("{} wadding", front.name),
                        role: Role::Outside,
                        net: front.net,
                        edges: front.edges.iter().map(|e| (e.name.as_str(), e.allowance)).collect(),
                        grain: front.grain,
                        join: front.join,
                    };
                    d.piece_of_material(new, wadding)
                }
            };
            waddings.insert(piece, under);
            for piece in [piece, under] {
                d.piece_mut(piece).trimmed = larger;
            }
            let copy = d.copy(under, &format!("wadding of the {name}"));
            let net = &d.piece_of(*panel).net;
            let level = (0..net.edge_count()).map(|edge| (edge, *panel, edge)).collect();
            let (low, _) = net.bounds();
            behind.push(Placed {
                ground: FaceSide::Wrong,
                face_up: FaceSide::Right,
                level,
                ..Placed::new(copy, *panel, low)
            });
        }
        let quilt = Quilt {
            copies: bag.panels.to_vec(),
            layers: name.to_owned(),
            rows: values.length("rows"),
            larger,
            behind,
            stitch: d.stitch("topstitch"),
        };
        d.step(Chapter::Interface, "quilt", quilt);
    }
}
