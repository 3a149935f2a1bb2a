//! A band of the outside's fabric along the rim of a lining. It is cut off the lining's pieces
//! wherever they reach the rim, so that it serves every body: panels, wrapped ones, gussets.

use measure::{Length, Outline};

use super::face::{BASE, LEFT, RIGHT, RIM, whole, whole_span};
use super::{Drafter, Lie, NewPiece, Shell};
use crate::design::Role;
use crate::operations::{Beside, Join, Press, Topstitch};
use crate::pattern::{Chapter, CopyId, Grain, MarkShape, PieceId, Run, Span};

/// A facing, by its finished height, the allowance of the seam below it, and how far beside that
/// seam the lining is stitched to its allowances.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Band {
    /// From the rim down to the seam.
    pub height: Length,
    /// On either side of that seam.
    pub allowance: Length,
    /// From that seam to the row that holds its allowances.
    pub stitched: Length,
}

/// An edge of a lining's copy at the rim, and the facing that takes its place there.
#[derive(Clone, Copy, Debug)]
struct Faced {
    copy: CopyId,
    edge: usize,
    facing: CopyId,
}

/// How much shorter the neighbour after an edge becomes when the piece is cut lower there.
#[derive(Clone, Copy, Debug)]
struct Lost {
    edge: usize,
    after: Length,
}

/// The step that joins facings and lining.
pub(crate) const JOIN_FACINGS: &str = "join-facings";

/// Cuts the lining lower, adds facings above it, and joins them. Nothing, with the reason told, if
/// the lining is too low for that.
pub(crate) fn face_the_rim(d: &mut Drafter<'_>, shell: &mut Shell, band: Band) {
    if !is_possible(d, shell, band) {
        return;
    }
    let mut rim: Vec<(CopyId, usize)> = Vec::new();
    for span in &shell.rim {
        if !rim.contains(&(span.copy, span.edge)) {
            rim.push((span.copy, span.edge));
        }
    }
    let mut pieces: Vec<(PieceId, Vec<Lost>)> = Vec::new();
    for (copy, _) in &rim {
        let (piece, _) = d.copy_of(*copy);
        if pieces.iter().any(|(known, _)| *known == piece) {
            continue;
        }
        let mut edges: Vec<usize> = rim
            .iter()
            .filter(|(copy, _)| d.copy_of(*copy).0 == piece)
            .map(|(_, edge)| *edge)
            .collect();
        edges.sort_unstable();
        edges.dedup();
        let leans = !shell.faces.iter().any(|face| face.top() == *copy);
        let Some(lost) = cut_lower(d, piece, &edges, (band, leans)) else {
            let message = "a facing needs sides that run straight down from the rim".to_owned();
            d.refuse("lining.kind", message, "choose a lining without a facing".to_owned());
            return;
        };
        pieces.push((piece, lost));
    }
    let faced = cut_facings(d, shell, &rim, band);
    for face in shell.faces.iter_mut().chain(&mut shell.sides) {
        let (top, edge) = face.rim_edge();
        let Some(on) = faced.iter().find(|it| (it.copy, it.edge) == (top, edge)) else { continue };
        for (spans, side) in [(&mut face.borders.right, RIGHT), (&mut face.borders.left, LEFT)] {
            if spans.is_empty() {
                continue;
            }
            for span in spans.iter_mut() {
                *span = shortened(d, *span, &pieces);
            }
            let above = whole_span(d, on.facing, side);
            spans.push(if side == LEFT { above.reversed() } else { above });
        }
        let index = face.copies.len() - 1;
        let (_, foot) = face.on(index, Length::ZERO, face.height + face.cuff);
        let (low, high) = d.piece_of(on.facing).net.bounds();
        let old = d.piece_of(top).net.edge(edge);
        // How far the centre line of the face lies from the middle of that edge.
        let off = (foot.x - old.start().middle(old.end()).x)
            * if face.lies[index].turned { -1 } else { 1 };
        let foot = measure::Point::new((low.x + high.x).half() + off, Length::ZERO);
        // Beside the panels the side of a gusset leans, and its facing is less high upright.
        face.starts.push(face.height + face.cuff - (high.y - low.y));
        face.copies.push(on.facing);
        face.lies.push(Lie { foot, turned: false });
        face.borders.rim = moved(face.borders.rim, &faced);
    }
    for span in &mut shell.rim {
        *span = moved(*span, &faced);
    }
    join(d, &faced, band);
}

/// A span of the rim, on the facing that has come in its place.
fn moved(span: Span, faced: &[Faced]) -> Span {
    match faced.iter().find(|it| (it.copy, it.edge) == (span.copy, span.edge)) {
        Some(it) => Span { copy: it.facing, edge: RIM, ..span },
        None => span,
    }
}

/// A span along a side, after that side has become shorter at the rim, where it may begin.
fn shortened(d: &Drafter<'_>, span: Span, pieces: &[(PieceId, Vec<Lost>)]) -> Span {
    let (piece, _) = d.copy_of(span.copy);
    let net = &d.piece_of(span.copy).net;
    let (count, long) = (net.edge_count(), net.edge_length(span.edge));
    let lost = pieces.iter().filter(|(known, _)| *known == piece).flat_map(|(_, lost)| lost);
    let mut begins = lost.filter(|it| (it.edge + 1) % count == span.edge);
    let off = begins.next().map_or(Length::ZERO, |it| it.after);
    let at = |along: Length| (along - off).clamp(Length::ZERO, long);
    Span { from: at(span.from), to: at(span.to), ..span }
}

fn is_possible(d: &mut Drafter<'_>, shell: &Shell, band: Band) -> bool {
    let least = d.least();
    for face in &shell.faces {
        let room = face.height + face.cuff - d.base_rise.max(face.corner) - least;
        if band.height > room {
            let message = format!(
                "a facing {} high leaves less than {} of the lining below it, down to the base",
                d.show(band.height),
                d.show(least)
            );
            let cure = format!("make it {} or less", d.show(room.max(Length::ZERO)));
            d.refuse("lining.facing", message, cure);
            return false;
        }
    }
    true
}

/// Cuts a piece of the lining lower at its rim; what that takes off its other edges.
fn cut_lower(
    d: &mut Drafter<'_>,
    piece: PieceId,
    edges: &[usize],
    (band, leans): (Band, bool),
) -> Option<Vec<Lost>> {
    let old = d.piece_mut(piece).net.clone();
    let count = old.edge_count();
    let mut net = old.clone();
    let mut lost = Vec::new();
    for edge in edges {
        let after = (edge + 1) % count;
        let was = net.edge_length(after);
        net = net.cut_back(*edge, upright(&old, *edge, (band.height, leans)))?;
        lost.push(Lost { edge: *edge, after: was - net.edge_length(after) });
    }
    let piece = d.piece_mut(piece);
    for edge in edges {
        piece.edges[*edge].allowance = band.allowance;
    }
    for mark in &mut piece.marks {
        if let MarkShape::Notch { edge, along } = &mut mark.shape {
            if edges.contains(edge) {
                let (was, now) = (old.edge_length(*edge), net.edge_length(*edge));
                *along = scaled(*along, now, was);
            }
            // An edge is measured from its start, where it may have begun at the rim.
            for it in lost.iter().filter(|it| (it.edge + 1) % count == *edge) {
                *along = (*along - it.after).max(Length::ZERO);
            }
            *along = (*along).min(net.edge_length(*edge));
        }
    }
    piece.net = net;
    Some(lost)
}

/// How far a band reaches square to an edge. Where the side of a gusset leans, less than its height
/// on the panel beside it, so that the seams of the facings meet.
fn upright(net: &Outline, edge: usize, (height, leans): (Length, bool)) -> Length {
    let lean = (net.interior_angle(edge) - std::f64::consts::FRAC_PI_2).abs();
    if !leans || lean < 1e-9 {
        return height;
    }
    Length::from_mm_f64(height.to_mm() * libm::cos(lean))
}

fn scaled(at: Length, numerator: Length, denominator: Length) -> Length {
    let over = i128::from(at.to_nm()) * i128::from(numerator.to_nm());
    Length::nm(i64::try_from(over / i128::from(denominator.to_nm().max(1))).unwrap_or(0))
}

/// Cuts a facing for each stretch of the rim, of the shape of what the lining has lost.
fn cut_facings(
    d: &mut Drafter<'_>,
    shell: &Shell,
    rim: &[(CopyId, usize)],
    band: Band,
) -> Vec<Faced> {
    let side = d.allowance("side");
    let mut pieces: Vec<(Outline, PieceId)> = Vec::new();
    let mut faced: Vec<Faced> = Vec::new();
    for (copy, edge) in rim {
        let of: Vec<_> =
            shell.faces.iter().filter(|face| face.rim_edge() == (*copy, *edge)).collect();
        let spans = shell.rim.iter().filter(|span| (span.copy, span.edge) == (*copy, *edge));
        let top: Length = spans.map(Span::length).sum();
        let net = &d.piece_of(*copy).net;
        let high = upright(net, *edge, (band.height, of.is_empty()));
        let outline = Outline::trapezoid(net.edge_length(*edge), top, high);
        let noun = if of.is_empty() { "gusset facing" } else { "facing" };
        // The sides of a gusset are sewn with the allowance of the base.
        let side = if of.is_empty() { d.allowance("base") } else { side_of(d, *copy, *edge, side) };
        let word = match of.as_slice() {
            [face] => format!("{} ", face.word),
            // What stands at the left of the lining, seen from within, lies at the right of the bag.
            [] if faced.iter().any(|it| d.copy_of(it.facing).1 == "right gusset facing") => {
                "left ".to_owned()
            }
            [] => "right ".to_owned(),
            _ => String::new(),
        };
        let known = pieces.iter().find(|(other, _)| *other == outline).map(|(_, piece)| *piece);
        let piece = known.unwrap_or_else(|| {
            let id = noun.replace(' ', "-");
            let id = if pieces.iter().any(|(_, it)| d.piece_mut(*it).id == id) {
                format!("{id}-2")
            } else {
                id
            };
            d.piece(NewPiece {
                id: &id,
                name: noun,
                role: Role::Outside,
                net: outline.clone(),
                edges: vec![
                    ("lower edge", band.allowance),
                    ("right side", side),
                    ("rim", d.rim_allowance),
                    ("left side", side),
                ],
                grain: Grain::Lengthwise,
                join: None,
            })
        });
        if known.is_none() {
            pieces.push((outline, piece));
        }
        let facing = d.copy(piece, &format!("{word}{noun}"));
        mark(d, (*copy, *edge), facing);
        faced.push(Faced { copy: *copy, edge: *edge, facing });
    }
    faced
}

/// The allowance of the edge beside a rim, which a facing carries on.
fn side_of(d: &Drafter<'_>, copy: CopyId, edge: usize, usual: Length) -> Length {
    let piece = d.piece_of(copy);
    piece.edges.get((edge + 1) % piece.edges.len()).map_or(usual, |side| side.allowance)
}

/// The notches along the lining's upper edge, on both edges of the facing above it.
fn mark(d: &mut Drafter<'_>, (copy, edge): (CopyId, usize), facing: CopyId) {
    let piece = d.piece_of(copy);
    let long = piece.net.edge_length(edge);
    let notches: Vec<(String, Length)> = piece
        .marks
        .iter()
        .filter_map(|mark| match mark.shape {
            MarkShape::Notch { edge: at, along } if at == edge => Some((mark.label.clone(), along)),
            _ => None,
        })
        .collect();
    for (label, along) in notches {
        let rim = d.piece_of(facing).net.edge_length(RIM);
        let at_rim = scaled(along, rim, long);
        d.mark_copy(facing, &label, MarkShape::Notch { edge: RIM, along: at_rim });
        d.mark_copy(facing, &label, MarkShape::Notch { edge: BASE, along: long - along });
    }
}

/// Joins each facing to the lining below it while both lie flat.
fn join(d: &mut Drafter<'_>, faced: &[Faced], band: Band) {
    let seams: Vec<[Run; 2]> = faced
        .iter()
        .map(|it| [whole(d, it.copy, it.edge), whole(d, it.facing, BASE).reversed()])
        .collect();
    let what = "each facing to its lining";
    let mut join = Join::plain(what, seams, band.allowance, d.stitch("seam"));
    join.press = Press::Toward("the lining".to_owned());
    d.step(Chapter::Panels, JOIN_FACINGS, join);
    let mut copies: Vec<CopyId> = faced.iter().map(|it| it.copy).collect();
    copies.dedup();
    let topstitch = Topstitch {
        what: "the lining below each facing, through the allowances".to_owned(),
        copies,
        rows: vec![band.stitched],
        beside: Beside::Seam,
        along: Vec::new(),
        stitch: d.stitch("topstitch"),
        round: false,
    };
    d.step(Chapter::Panels, "topstitch-facings", topstitch);
}
