//! What a picture of a step shows beyond what the work itself records.
//!
//! Most of a picture follows from the assembly: what lies where, which edges were joined, hemmed or
//! left open, what was placed, stitched through, boxed, turned or dropped in. An operation adds what
//! leaves no trace there: rows beside an edge, snips, folds, tools, and how the layers lie when they
//! are seen from the side. One that adds nothing still has a picture.

use measure::{Length, Point};

use super::{Line, Press};
use crate::pattern::{CopyId, InterfacingCut, MaterialId, Pattern, Run};

/// What an operation adds to the picture of its step.
#[derive(Clone, Debug, Default)]
pub struct Shown {
    /// How the work lies.
    pub lies: Lies,
    /// Rows of stitches, or a cord, beside edges and seams.
    pub rows: Vec<Row>,
    /// Short cuts, in the coordinates of their copy.
    pub snips: Vec<(CopyId, Line)>,
    /// Distances on a copy, in its coordinates, that the picture can point at.
    pub across: Vec<(CopyId, Line)>,
    /// Folds, in the coordinates of their copy; what lies below the line is folded up.
    pub folds: Vec<(CopyId, Line)>,
    /// Places where something is fastened.
    pub spots: Vec<(CopyId, Point)>,
    /// A second layer that is laid on the wrong side of each copy.
    pub laid: Option<(MaterialId, InterfacingCut)>,
    /// What it is done with.
    pub tools: Vec<Tool>,
    /// The layers as seen from the side, one stage after the other.
    pub stages: Vec<Stage>,
    /// The lengths that the sentence names; the picture shows those that it can point at.
    pub measures: Vec<Length>,
}

/// How the work lies for a step.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub enum Lies {
    /// As the step before left it.
    #[default]
    AsItIs,
    /// Flat, its wrong side up.
    WrongSideUp,
    /// Everything that is cut, side by side.
    CutOut,
    /// The pieces, side by side, with their marks.
    Marked,
    /// The pieces as they are first cut, side by side, quilted in rows so far apart, and the line to
    /// which they are trimmed.
    Quilted(Length),
    /// A block of fabric, wrong side up, with a block of interfacing on it.
    Block(MaterialId, MaterialId),
}

/// A row beside an edge or a seam.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Row {
    /// What it runs beside.
    pub beside: Along,
    /// How far from it.
    pub from: Length,
    /// What it is.
    pub kind: RowKind,
}

/// What a row runs beside.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Along {
    /// The raw edges of a run, as cut.
    Raw(Run),
    /// The finished edge of some copies of which this is said: "the top edge of the pocket".
    Finished(Vec<CopyId>, String),
    /// The seam by which these copies are joined to others.
    Seam(Vec<CopyId>),
    /// The mouth of the bag that these copies are part of, all the way round.
    Mouth(Vec<CopyId>),
}

/// What a row is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RowKind {
    /// Stitched.
    Stitch,
    /// Basted.
    Baste,
    /// Overcast, over the raw edge.
    Overcast,
    /// Wrapped in a binding.
    Binding,
    /// A cord in a casing.
    Cord,
}

/// What a step is done with, where a picture can show it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Tool {
    /// An iron.
    Iron,
    /// Scissors.
    Scissors,
    /// Pins.
    Pins,
    /// A needle for hand stitches.
    Needle,
}

/// Layers as they would be seen from the cut end.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Stage {
    /// One or two words: "fold", "press open".
    pub says: String,
    /// The layers, lowest first.
    pub layers: Vec<Layered>,
    /// Stitches: how far from the left, and through which levels, lower first.
    pub stitches: Vec<(Length, i32, i32)>,
    /// Distances to show: from, to, and above which level.
    pub measures: Vec<(Length, Length, i32)>,
}

/// One layer, bent or straight.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Layered {
    /// Along the layer: how far from the left, and on which level it lies there.
    pub path: Vec<(Length, i32)>,
    /// Whether its right side is on the left hand of one who walks along the path (above, for a path
    /// that runs to the right).
    pub right_on_left: bool,
}

impl Stage {
    /// A stage without layers.
    pub fn new(says: &str) -> Self {
        Self { says: says.to_owned(), layers: vec![], stitches: vec![], measures: vec![] }
    }

    /// With a layer whose right side is above where its path runs to the right.
    #[must_use]
    pub fn layer(mut self, path: &[(Length, i32)]) -> Self {
        self.layers.push(Layered { path: path.to_vec(), right_on_left: true });
        self
    }

    /// With a layer whose right side is below where its path runs to the right.
    #[must_use]
    pub fn under(mut self, path: &[(Length, i32)]) -> Self {
        self.layers.push(Layered { path: path.to_vec(), right_on_left: false });
        self
    }

    /// With stitches through some levels.
    #[must_use]
    pub fn stitch(mut self, at: Length, low: i32, high: i32) -> Self {
        self.stitches.push((at, low, high));
        self
    }

    /// With a measure above a level.
    #[must_use]
    pub fn measure(mut self, from: Length, to: Length, level: i32) -> Self {
        self.measures.push((from, to, level));
        self
    }
}

impl Press {
    /// The seam, sewn and then pressed, as seen from its end; nothing when it is left for later.
    pub(crate) fn stages(&self, allowance: Length) -> Vec<Stage> {
        let (a, out) = (allowance, allowance * 4);
        let zero = Length::ZERO;
        let sewn = Stage::new("sewn")
            .layer(&[(zero, 0), (out, 0)])
            .under(&[(zero, 1), (out, 1)])
            .stitch(out - a, 0, 1)
            .measure(out - a, out, 1);
        let pressed = match self {
            Self::Open => Stage::new("pressed open")
                .under(&[(zero, 0), (out, 0), (out, 1), (out - a, 1)])
                .under(&[(out + a, 1), (out, 1), (out, 0), (out * 2, 0)])
                .stitch(out, 0, 1),
            Self::Toward(_) => Stage::new("pressed to one side")
                .under(&[(zero, 0), (out, 0), (out, 1), (out - a, 1)])
                .under(&[(out - a, 2), (out + a / 4, 2), (out + a / 4, 0), (out * 2, 0)])
                .stitch(out, 0, 2),
            Self::Flat | Self::Not => return Vec::new(),
        };
        vec![sewn, pressed]
    }
}

/// A strip sewn on, and folded over the edges to the other side.
pub(crate) fn binding_stages(width: Length) -> Vec<Stage> {
    let (zero, out) = (Length::ZERO, width * 5);
    let sewn = Stage::new("sew the strip on")
        .layer(&[(zero, 0), (out, 0)])
        .under(&[(out - width * 3, 1), (out, 1)])
        .stitch(out - width, 0, 1)
        .measure(out - width, out, 1);
    let over = Stage::new("fold it over, edgestitch")
        .layer(&[(zero, 1), (out, 1)])
        .under(&[
            (out, 2),
            (out - width, 2),
            (out - width, 3),
            (out + width / 4, 3),
            (out + width / 4, 0),
            (out - width * 5 / 4, 0),
            (out - width * 5 / 4, -1),
            (out - width / 4, -1),
        ])
        .stitch(out - width * 9 / 8, -1, 1);
    vec![sewn, over]
}

/// Snips across the allowance at every corner of a copy's stitching line, so far from the corner.
pub(crate) fn across_corners(pattern: &Pattern, copy: CopyId, leave: Length) -> Vec<Line> {
    let piece = pattern.piece_of(copy);
    let net = &piece.net;
    let count = net.edge_count();
    let allowance = |edge: usize| piece.edges.get(edge).map_or(Length::ZERO, |it| it.allowance);
    (0..count)
        .filter_map(|index| {
            let before = (index + count - 1) % count;
            let tip = net.vertex(index).to_mm();
            let into = net.edge(before).direction_along(net.edge_length(before));
            let out = net.edge(index).direction_along(Length::ZERO);
            // Away from the corner, between the two edges; the snip lies square to it.
            let away = (into.x - out.x, into.y - out.y);
            let long = (away.0 * away.0 + away.1 * away.1).sqrt();
            if long < 0.2 || !allowance(index).is_positive() {
                return None;
            }
            let away = (away.0 / long, away.1 / long);
            let reach = allowance(index).max(allowance(before)).to_mm();
            let (x, y) = (tip.x + away.0 * leave.to_mm(), tip.y + away.1 * leave.to_mm());
            let at = |side: f64| {
                let (dx, dy) = (-away.1 * side, away.0 * side);
                Point::new(Length::from_mm_f64(x + dx), Length::from_mm_f64(y + dy))
            };
            Some(Line { from: at(-reach), to: at(reach) })
        })
        .collect()
}
