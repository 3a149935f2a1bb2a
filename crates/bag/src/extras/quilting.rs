//! The outside is quilted on wadding before anything is sewn to it.

use std::collections::BTreeMap;

use measure::Length;

use super::{Bag, Extra, is_first};
use crate::draft::{Drafter, NewPiece};
use crate::design::Role;
use crate::finding::{Finding, Place};
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
        let backings = std::mem::take(&mut d.backings);
        for backing in &backings {
            let (piece, _) = d.copy_of(backing.what);
            d.piece_mut(piece).trimmed = larger;
        }
        let layers = if backings.is_empty() {
            name.to_owned()
        } else {
            format!("{name} and the backing")
        };
        if backings.is_empty() && bag.inside.is_none() {
            let message = "a bag without a lining shows the wadding inside, and it wears and sheds \
                           there"
                .to_owned();
            let cure = "choose panels backed with lining, which are quilted with it, or a lining";
            let place = Place::parameter(&format!("extra[{}].kind", index + 1));
            d.find(Finding::warning("wadding-covered", place, message, cure.to_owned()));
        }
        behind.extend(backings);
        let quilt = Quilt {
            copies: bag.panels.to_vec(),
            layers,
            rows: values.length("rows"),
            larger,
            behind,
            stitch: d.stitch("topstitch"),
        };
        d.step(Chapter::Interface, "quilt", quilt);
    }
}

#[cfg(test)]
mod tests {
    use measure::Units;

    use super::*;
    use crate::design::{Chosen, Design};
    use crate::finding::Severity;
    use crate::pattern::Pattern;
    use crate::{bodies, checks, extras, linings};

    fn quilted(body: &str, lining: &str) -> (Pattern, Vec<Finding>) {
        let mut design = Design::of(bodies::find(body).unwrap(), Units::Inch);
        design.lining = Chosen::new(linings::find(lining).unwrap(), design.system());
        design.extras = vec![Chosen::new(extras::find("quilting").unwrap(), design.system())];
        let drafted = crate::draft(&design);
        let pattern = drafted.pattern.expect("it can be drafted");
        let mut found = checks::run(&pattern);
        found.extend(drafted.findings);
        (pattern, found)
    }

    /// With backed panels three layers are quilted as one, all of them cut larger by the same and
    /// trimmed together (common practice, no source: cut the layers larger, quilt, trim to size); and
    /// nothing is basted on afterwards.
    #[test]
    fn backing_wadding_and_fabric_are_quilted_as_one() {
        for body in ["boxed", "boxed-pouch", "duffel", "gusset"] {
            let (pattern, found) = quilted(body, "backed");
            assert!(found.iter().all(|f| f.severity != Severity::Error), "{body}: {found:#?}");
            assert!(found.iter().all(|f| f.check != "wadding-covered"), "{body}");
            let quilt = pattern.steps.iter().find_map(|step| step.as_a::<Quilt>()).unwrap();
            for copy in &quilt.copies {
                let behind: Vec<_> =
                    quilt.behind.iter().filter(|layer| layer.onto == *copy).collect();
                assert_eq!(behind.len(), 2, "{body}: wadding, and behind it the backing");
                for layer in behind {
                    let [a, b] = [*copy, layer.what].map(|copy| pattern.piece_of(copy));
                    assert_eq!((a.trimmed, a.cut_size()), (b.trimmed, b.cut_size()), "{body}");
                    assert!(a.trimmed.is_positive());
                }
            }
            assert!(pattern.steps.iter().all(|step| step.id != "back-panels"));
        }
    }

    /// A bag of one layer shows its wadding inside: it is told. With a lining nothing shows.
    #[test]
    fn bare_wadding_is_warned_of() {
        for (lining, bare) in [("unlined", true), ("backed", false), ("turned", false)] {
            let (_, found) = quilted("boxed", lining);
            let told = found.iter().any(|f| f.check == "wadding-covered");
            assert_eq!(told, bare, "{lining}: {found:#?}");
        }
    }
}
