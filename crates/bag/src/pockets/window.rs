//! A pocket through which one sees: clear vinyl or mesh.

use measure::{Length, Outline};

use super::kit::{
    BELOW, Ground, HEIGHT, INSIDE, ON_ENDS, Spot, WIDTH, edgestitch, needs_its_place,
};
use super::pouch::the;
use super::{Pocket, numbered, numbered_name, ordinal};
use crate::draft::face::{BASE, LEFT, RIGHT, RIM, whole};
use crate::draft::{Ability, Drafter, Face, NewPiece, Shell, binding_strip};
use crate::kinds::{Kind, Param, Values, choice, length};
use crate::operations::{Attach, Bind, Hem, Phrase, StitchDown, StitchedDown};
use crate::pattern::{
    Chapter, Cloth, CopyId, Form, Grain, Look, Material, MaterialId, PieceId, Run,
};

/// The kind.
pub(super) struct Window;
/// Its entry in the list.
pub(super) const KIND: Window = Window;

impl Kind for Window {
    fn name(&self) -> &'static str {
        "window"
    }
    fn title(&self) -> &'static str {
        "Window pocket of vinyl or mesh"
    }
    fn help(&self) -> &'static str {
        "A patch of clear vinyl or mesh, so that one sees what is in it. Its edges are bound or \
         turned; it is held with clips, sewn with a longer stitch, and never ironed."
    }
    fn params(&self) -> &'static [Param] {
        const PARAMS: &[Param] = &[
            INSIDE,
            ON_ENDS,
            choice(
                "of",
                "of",
                "What it is cut from.",
                &[("vinyl", "clear vinyl"), ("mesh", "mesh")],
            ),
            WIDTH,
            HEIGHT,
            BELOW,
            choice(
                "edges",
                "edges",
                "How its edges are finished.",
                &[
                    ("bound", "all four bound with a strip of fabric"),
                    ("turned", "the top hemmed, the others turned under as it is sewn on"),
                ],
            ),
            length(
                "binding",
                "binding width",
                "Finished width of the binding on each side; strips are cut four times as wide.",
                [Length::mm(6), Length::mm(20), Length::inch_frac(3, 8), Length::mm(10)],
            ),
            length(
                "sold",
                "sold width",
                "Width in which the vinyl or mesh is sold.",
                [Length::mm(200), Length::mm(2_000), Length::inch(54), Length::mm(1_370)],
            ),
        ];
        PARAMS
    }
}

/// A longer stitch than for fabric: every hole stays, and close ones tear like a stamp. 3.5 mm
/// (common practice, no source).
const STITCH: Length = Length::nm(3_500_000);

/// The vinyl or the mesh. Clear vinyl for pockets is about 0.3 mm thick (12 gauge, 0.012 in), a
/// polyester mesh about 0.4 mm; from memory, no source. Neither has a grain that matters.
fn material(d: &mut Drafter<'_>, values: &Values) -> MaterialId {
    let vinyl = values.choice("of") == "vinyl";
    let (id, name, thick) =
        if vinyl { ("clear-vinyl", "clear vinyl", 300) } else { ("mesh", "mesh", 400) };
    let sold = values.length("sold");
    let id = if sold == default_sold(d) { id.to_owned() } else { format!("{id}-{}", sold.to_nm()) };
    d.material(Material {
        id,
        name: name.to_owned(),
        serves: "window pockets".to_owned(),
        form: Form::Fabric(Cloth {
            bought_width: sold,
            usable_width: sold,
            usable_given: true,
            one_way: false,
            turnable: true,
            thickness: Some(Length::nm(thick * 1_000)),
            weight: None,
            shrinks_in_length: 0,
            shrinks_in_width: 0,
        }),
        look: Look::Window,
    })
}

fn default_sold(d: &Drafter<'_>) -> Length {
    d.either(Length::inch(54), Length::mm(1_370))
}

/// What its edges are turned by: the hem at the top, both turns of it, and the others.
fn turns(d: &Drafter<'_>) -> (Length, Length) {
    (d.either(Length::inch_frac(3, 8), Length::mm(10)), super::single::turn_under(d))
}

/// What is cut beyond the finished size: at the top, and at each of the other edges. A bound edge
/// needs none.
fn allowances(d: &Drafter<'_>, bound: bool) -> (Length, Length) {
    let (hem, turn) = turns(d);
    if bound { (Length::ZERO, Length::ZERO) } else { (hem * 2, turn) }
}

impl Pocket for Window {
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
        let usual = [[Length::inch(5), Length::mm(120)], [Length::inch(6), Length::mm(150)]];
        let Some(spot) = Spot::of(d, &ground, (values, index), usual) else { return };
        let Spot { width, height, .. } = spot;
        let ordinal = ordinal(d, index);
        let stem = numbered("window-pocket", ordinal);
        let name = numbered_name("window pocket", ordinal);
        let bound = values.choice("edges") == "bound";
        let material = material(d, values);
        let piece = piece(d, (&stem, &name), &spot, material, bound);
        let copies = ground.copies(d, piece, &name);
        let (top, other) = allowances(d, bound);
        d.part(copies[0], (width + other * 2, height + top + other));
        d.tool("clips or removable tape");
        d.tool("non-stick presser foot");
        if bound {
            bind(d, (&stem, &name), &copies, values.length("binding"));
        } else {
            hem(d, (&stem, &name), &copies);
        }
        let mind = "no pins except within the allowance, and no iron from here on: vinyl and mesh \
                    melt. Press the rest of the bag from the other side, under a cloth.";
        spot.place(d, &ground, (&stem, &name), &copies, (Attach::Clips, Some(mind.into())));
        stitch(d, &ground, &spot, (&stem, &name), &copies, bound);
        spot.claim(d, &ground, &name, &copies, (width, vec![width]));
    }
}

fn piece(
    d: &mut Drafter<'_>,
    (id, name): (&str, &str),
    spot: &Spot,
    material: MaterialId,
    bound: bool,
) -> PieceId {
    let (top, other) = allowances(d, bound);
    let edges =
        vec![("lower edge", other), ("right side", other), ("top edge", top), ("left side", other)];
    let net = Outline::rectangle(spot.width, spot.height);
    d.piece_of_material(
        NewPiece { id, name, role: crate::design::Role::Pocket, net, edges, grain: Grain::Free, join: None },
        material,
    )
}

fn bind(d: &mut Drafter<'_>, (stem, name): (&str, &str), copies: &[CopyId], width: Length) {
    let around = |copy: &CopyId| [BASE, RIGHT, RIM, LEFT].map(|edge| (*copy, edge));
    let edges = copies.iter().flat_map(around);
    let run = Run::round(edges.flat_map(|(copy, edge)| whole(d, copy, edge).spans));
    let id = format!("{stem}-binding");
    binding_strip(d, (&id, &format!("binding strip of the {name}")), width, run.length());
    let bind = Bind {
        what: format!("all four edges of {}", the(name, copies.len())),
        run,
        width,
        bound_with: id,
        stitch: STITCH.max(d.stitch("topstitch")),
    };
    d.step(Chapter::Pockets, &format!("bind-{stem}"), bind);
}

fn hem(d: &mut Drafter<'_>, (stem, name): (&str, &str), copies: &[CopyId]) {
    let (hem, _) = turns(d);
    let hem = Hem {
        what: format!("the top edge of {}", the(name, copies.len())),
        run: Run::open(copies.iter().flat_map(|copy| whole(d, *copy, RIM).spans)),
        first: hem,
        depth: hem,
        tucked: Vec::new(),
        stitch: STITCH.max(d.stitch("topstitch")),
    };
    d.step(Chapter::Pockets, &format!("hem-{stem}"), hem);
}

fn stitch(
    d: &mut Drafter<'_>,
    ground: &Ground<'_>,
    spot: &Spot,
    (stem, name): (&str, &str),
    copies: &[CopyId],
    bound: bool,
) {
    let from_edge = edgestitch(d);
    let which = the(name, copies.len());
    let how = if bound {
        Phrase::new(format!("Edgestitch {which} down through its binding"))
    } else {
        Phrase::new(format!("Turn under the sides and the lower edge of {which} by "))
            .len(turns(d).1)
            .say(" as you go, and edgestitch it down")
    };
    let how = how
        .say(" along one side, the lower edge and the other side, ")
        .len(from_edge)
        .say(" from its edges. Sew to and fro once at both upper corners.");
    let mind = "sew with the longer stitch: close holes tear like a stamp. Lay tissue paper on \
                it if it sticks to the foot.";
    let item = |(face, copy): (&&Face, &CopyId)| StitchedDown {
        what: *copy,
        onto: spot.panel(face),
        lines: spot.three_sides(face, from_edge),
        holds: if bound { Vec::new() } else { vec![BASE, RIGHT, LEFT] },
    };
    let items = ground.faces.iter().zip(copies).map(item).collect();
    let (mind, stitch) = (Some(mind.into()), STITCH.max(d.stitch("topstitch")));
    let down = StitchDown { how, mind, items, closes: None, stitch };
    d.step(ground.chapter(), &format!("stitch-{stem}"), down);
}
