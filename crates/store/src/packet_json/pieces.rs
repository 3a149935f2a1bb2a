//! The pieces of a pattern, as `packet.json` tells them.

use bag::pattern::{
    Grain, InterfacingCut, InterfacingHold, Mark, MarkShape, Pattern, Piece, PieceId, StripPlace,
};
use measure::{Outline, Point};
use serde::Serialize;

use super::material_id;

/// How near the points of a curved outline run to it, in mm.
pub(super) const FLATNESS: f64 = 0.05;

#[derive(Serialize)]
pub(super) struct PieceJson<'a> {
    id: &'a str,
    name: &'a str,
    count: usize,
    material: &'a str,
    cut_width_mm: f64,
    cut_height_mm: f64,
    net_width_mm: f64,
    net_height_mm: f64,
    cut_larger_mm: f64,
    grain: &'static str,
    interfacing: Option<InterfacingJson<'a>>,
    join: Option<JoinJson>,
    edges: Vec<EdgeJson<'a>>,
    cut_outline_mm: Option<Vec<[f64; 2]>>,
    net_outline_mm: Vec<[f64; 2]>,
    marks: Vec<MarkJson<'a>>,
    copies: Vec<CopyJson<'a>>,
}

#[derive(Serialize)]
struct InterfacingJson<'a> {
    material: &'a str,
    held: &'static str,
    width_mm: f64,
    height_mm: f64,
}

#[derive(Serialize)]
struct JoinJson {
    most: u32,
    allowance_mm: f64,
    place: &'static str,
}

#[derive(Serialize)]
struct EdgeJson<'a> {
    name: &'a str,
    length_mm: f64,
    allowance_mm: f64,
}

#[derive(Serialize)]
struct MarkJson<'a> {
    label: &'a str,
    shape: &'static str,
    edge: Option<&'a str>,
    from_mm: Option<f64>,
    to_mm: Option<f64>,
    points_mm: Vec<[f64; 2]>,
}

#[derive(Serialize)]
struct CopyJson<'a> {
    name: &'a str,
    mirrored: bool,
}

/// Every piece that is cut at least once.
pub(super) fn all(pattern: &Pattern) -> Vec<PieceJson<'_>> {
    let ids = pattern.piece_ids().filter(|id| pattern.count(*id) > 0);
    ids.map(|id| piece(pattern, id)).collect()
}

fn piece(pattern: &Pattern, id: PieceId) -> PieceJson<'_> {
    let piece = pattern.piece(id);
    let (cut_width, cut_height) = piece.cut_size();
    let (net_width, net_height) = piece.net_size();
    let copies = pattern.copies_of(id).map(|copy| pattern.copy(copy));
    PieceJson {
        id: &piece.id,
        name: &piece.name,
        count: pattern.count(id),
        material: material_id(pattern, piece.material),
        cut_width_mm: cut_width.to_mm(),
        cut_height_mm: cut_height.to_mm(),
        net_width_mm: net_width.to_mm(),
        net_height_mm: net_height.to_mm(),
        cut_larger_mm: piece.trimmed.to_mm(),
        grain: match piece.grain {
            Grain::Lengthwise => "lengthwise",
            Grain::Crosswise => "crosswise",
            Grain::Free => "free",
        },
        interfacing: interfacing(pattern, piece),
        join: piece.join.map(|join| JoinJson {
            most: join.most,
            allowance_mm: join.allowance.to_mm(),
            place: match join.place {
                StripPlace::Centre => "centre",
                StripPlace::Anywhere => "anywhere",
                StripPlace::NearEnd(_) => "near-an-end",
            },
        }),
        edges: edges(piece),
        cut_outline_mm: piece.cut().ok().map(|cut| outline(&cut)),
        net_outline_mm: outline(&piece.net),
        marks: piece.marks.iter().map(|mark| self::mark(piece, mark)).collect(),
        copies: copies.map(|copy| CopyJson { name: &copy.name, mirrored: copy.mirrored }).collect(),
    }
}

fn interfacing<'a>(pattern: &'a Pattern, piece: &Piece) -> Option<InterfacingJson<'a>> {
    let on = piece.interfacing?;
    let (width, height) = match on.cut {
        InterfacingCut::Full => piece.cut_size(),
        InterfacingCut::Net => piece.net_size(),
    };
    Some(InterfacingJson {
        material: material_id(pattern, on.material),
        held: match on.hold {
            InterfacingHold::Fused => "fused",
            InterfacingHold::Basted => "basted",
            InterfacingHold::Block => "block",
        },
        width_mm: width.to_mm(),
        height_mm: height.to_mm(),
    })
}

fn edges(piece: &Piece) -> Vec<EdgeJson<'_>> {
    let edges = piece.edges.iter().enumerate();
    edges
        .map(|(index, edge)| EdgeJson {
            name: &edge.name,
            length_mm: piece.net.edge_length(index).to_mm(),
            allowance_mm: edge.allowance.to_mm(),
        })
        .collect()
}

fn mark<'a>(piece: &'a Piece, mark: &'a Mark) -> MarkJson<'a> {
    let name = |edge: usize| piece.edges.get(edge).map(|edge| edge.name.as_str());
    let line = |shape, points: &[Point]| MarkJson {
        label: &mark.label,
        shape,
        edge: None,
        from_mm: None,
        to_mm: None,
        points_mm: points.iter().map(point).collect(),
    };
    match mark.shape {
        MarkShape::Notch { edge, along } => {
            let at = Some(along.to_mm());
            MarkJson { edge: name(edge), from_mm: at, to_mm: at, ..line("notch", &[]) }
        }
        MarkShape::Opening { edge, from, to } => {
            let (from_mm, to_mm) = (Some(from.to_mm()), Some(to.to_mm()));
            MarkJson { edge: name(edge), from_mm, to_mm, ..line("opening", &[]) }
        }
        MarkShape::Placement(from, to) => line("placement", &[from, to]),
        MarkShape::Fold(from, to) => line("fold", &[from, to]),
        MarkShape::Stitching(from, to) => line("stitching", &[from, to]),
        MarkShape::BoxAndX(low, high) => line("box-and-x", &[low, high]),
        MarkShape::Dot(at) => line("dot", &[at]),
    }
}

fn outline(outline: &Outline) -> Vec<[f64; 2]> {
    outline.flattened(FLATNESS).iter().map(point).collect()
}

fn point(point: &Point) -> [f64; 2] {
    [point.x.to_mm(), point.y.to_mm()]
}
