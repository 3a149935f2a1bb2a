//! Measuring what has been sewn so far, from cut pieces: never from what a design asked for.

use std::collections::BTreeMap;

use measure::{Length, Outline, Point};

use super::{CopyId, Pattern};

/// How something is measured: the sum of its reaches.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Gauge(pub Vec<Reach>);

/// One stretch of a measurement.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Reach {
    /// Along an edge, between what has been sewn at its two ends.
    Along(CopyId, usize),
    /// Across a copy, from the middle of one edge's sewn line square to the other's; what is turned
    /// down at either is taken off.
    Across(CopyId, usize, usize),
    /// Across a copy folded into layers of equal width; what is boxed off at the fold is taken
    /// off, and so is what is boxed off where its two edges meet in a seam.
    Folded(CopyId, usize, usize, u32),
    /// Across a copy from left to right, whatever its outline: the box around its sewn lines.
    Wide(CopyId),
    /// The same from bottom to top.
    High(CopyId),
    /// Across a folded copy along its fold, from one edge to the other, between the corners that
    /// are boxed there.
    OnFold(CopyId, usize, usize),
    /// Half of an edge that is sewn into a ring: the ring laid flat.
    Half(CopyId, usize),
    /// From a point of a fold, in the copy's coordinates, square to an edge: what lies beyond the
    /// fold is turned down.
    FromFold(CopyId, Point, usize),
    /// What is boxed off at an edge, square to it: from the edge to the fold of its boxed corners.
    BoxedOff(CopyId, usize),
    /// What a zip along an edge shows between its two seams.
    Zip(CopyId, usize),
}

/// What the steps so far have taken off each copy.
#[derive(Clone, Debug, Default)]
pub struct Sewn {
    /// Allowance sewn or turned at an edge.
    pub taken: BTreeMap<(CopyId, usize), Length>,
    /// Boxed corners, by copy, side edge and base edge.
    pub boxed: BTreeMap<(CopyId, usize, usize), Boxing>,
    /// What a zip along an edge shows between its two seams, where the pattern tells it.
    pub zips: BTreeMap<(CopyId, usize), Length>,
    /// How much of a copy at an edge is turned down, with the top of its bag.
    pub turned_down: BTreeMap<(CopyId, usize), Length>,
    /// Corners boxed where a side edge crosses a fold: copy, side edge, and where on it.
    pub boxed_on_fold: BTreeMap<(CopyId, usize, Length), Length>,
}

/// Where the corner of a panel is boxed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Boxing {
    /// Distance of the line from the tip, along the seams.
    pub tip: Length,
    /// How far from the base edge it crosses the side, where a zip lies beyond that edge.
    pub beside: Option<Length>,
}

impl Boxing {
    /// What the line takes off the side, along it.
    fn along_side(self) -> Length {
        self.beside.unwrap_or(self.tip)
    }
}

impl Gauge {
    /// The measure, in the state of work given. Nothing if a reach names an edge that is not
    /// there.
    pub fn measure(&self, pattern: &Pattern, sewn: &Sewn) -> Option<Length> {
        self.0.iter().map(|reach| reach.measure(pattern, sewn)).sum()
    }
}

impl Gauge {
    /// The last copy that it crosses: for a height, the one at the base.
    pub fn lowest(&self) -> Option<CopyId> {
        self.0.first().map(Reach::copy)
    }
}

impl Sewn {
    /// A copy's outline between the lines that have been sewn, from its cutting line inwards.
    pub fn outline(&self, pattern: &Pattern, copy: CopyId) -> Option<Outline> {
        let piece = pattern.piece_of(copy);
        let cut = piece.cut().ok()?;
        let taken: Vec<Length> = (0..piece.edges.len())
            .map(|edge| -self.taken.get(&(copy, edge)).copied().unwrap_or(Length::ZERO))
            .collect();
        cut.offset(&taken).ok()
    }

    /// How far up from `edge` the boxed corners reach, measured square to it: half the depth that
    /// they give. With corners of different reach, the mean.
    pub fn boxed_off(&self, pattern: &Pattern, copy: CopyId, edge: usize) -> Length {
        let reaches: Vec<Length> = self
            .boxed
            .iter()
            .filter(|((at, a, b), _)| *at == copy && (*a == edge || *b == edge))
            .map(|((_, side, base), boxing)| match boxing.beside {
                Some(beside) if *base == edge => beside,
                Some(_) => boxing.tip,
                None => half_depth(pattern, copy, *side, *base, boxing.tip),
            })
            .collect();
        match reaches.len() {
            0 => Length::ZERO,
            n => reaches.iter().copied().sum::<Length>() / i64::try_from(n).unwrap_or(1),
        }
    }

    /// How much of a copy at an edge is turned down.
    pub fn turned_down_at(&self, copy: CopyId, edge: usize) -> Length {
        self.turned_down.get(&(copy, edge)).copied().unwrap_or(Length::ZERO)
    }

    /// The corners of a copy that are boxed on a fold: how far each reaches along the fold, and
    /// up from it.
    fn boxed_on_folds(&self, copy: CopyId) -> impl Iterator<Item = Length> + '_ {
        let of_copy = move |((at, ..), _): &(&(CopyId, usize, Length), &Length)| *at == copy;
        self.boxed_on_fold.iter().filter(of_copy).map(|(_, tip)| *tip)
    }

    /// What boxing takes off an edge, along it, at both ends together.
    fn boxed_along(&self, copy: CopyId, edge: usize) -> Length {
        self.boxed
            .iter()
            .filter(|((at, a, b), _)| *at == copy && (*a == edge || *b == edge))
            .map(|((_, side, _), it)| if *side == edge { it.along_side() } else { it.tip })
            .sum()
    }
}

/// Half the depth that boxing gives at the corner between two edges: t · tan(θ / 2), θ being the
/// corner's angle at the stitching line (derived; t for a right angle).
pub fn half_depth(pattern: &Pattern, copy: CopyId, a: usize, b: usize, tip: Length) -> Length {
    let net = &pattern.piece_of(copy).net;
    let edges = net.edge_count();
    let vertex = if (a + 1) % edges == b { b } else { a };
    let angle = net.interior_angle(vertex);
    if (angle - std::f64::consts::FRAC_PI_2).abs() < 1e-12 {
        return tip;
    }
    Length::from_mm_f64(tip.to_mm() * libm::tan(angle / 2.0))
}

impl Reach {
    /// The copy on which it is measured.
    pub fn copy(&self) -> CopyId {
        match *self {
            Self::Along(copy, _)
            | Self::Across(copy, ..)
            | Self::Folded(copy, ..)
            | Self::OnFold(copy, ..)
            | Self::Half(copy, _)
            | Self::FromFold(copy, ..)
            | Self::BoxedOff(copy, _)
            | Self::Zip(copy, _)
            | Self::Wide(copy)
            | Self::High(copy) => copy,
        }
    }

    fn measure(&self, pattern: &Pattern, sewn: &Sewn) -> Option<Length> {
        match *self {
            Self::Along(copy, edge) => {
                let outline = sewn.outline(pattern, copy)?;
                (edge < outline.edge_count())
                    .then(|| outline.edge_length(edge) - sewn.boxed_along(copy, edge))
            }
            Self::Across(copy, from, to) => {
                let outline = sewn.outline(pattern, copy)?;
                let reach = across(&outline, from, to)?;
                let boxed = sewn.boxed_off(pattern, copy, from) + sewn.boxed_off(pattern, copy, to);
                let down = sewn.turned_down_at(copy, from) + sewn.turned_down_at(copy, to);
                Some(reach - boxed - down)
            }
            Self::Folded(copy, from, to, layers) => {
                let outline = sewn.outline(pattern, copy)?;
                let boxed = sewn.boxed_on_folds(copy).max().unwrap_or(Length::ZERO);
                let in_seam =
                    sewn.boxed_off(pattern, copy, from) + sewn.boxed_off(pattern, copy, to);
                let across = across(&outline, from, to)? / i64::from(layers.max(1));
                Some(across - boxed - in_seam.half())
            }
            Self::Wide(copy) => Some(sewn.outline(pattern, copy)?.size().0),
            Self::High(copy) => Some(sewn.outline(pattern, copy)?.size().1),
            Self::FromFold(copy, point, to) => {
                let outline = sewn.outline(pattern, copy)?;
                let line = (to < outline.edge_count()).then(|| outline.edge(to))?;
                let reach = square_to(point, line.start(), line.end());
                Some(reach - sewn.boxed_off(pattern, copy, to))
            }
            Self::BoxedOff(copy, edge) => {
                let is = |at: CopyId, side, base| at == copy && (side == edge || base == edge);
                let any = sewn.boxed.keys().any(|(at, side, base)| is(*at, *side, *base));
                any.then(|| sewn.boxed_off(pattern, copy, edge))
            }
            Self::Zip(copy, edge) => sewn.zips.get(&(copy, edge)).copied(),
            Self::Half(copy, edge) => Some(Self::Along(copy, edge).measure(pattern, sewn)?.half()),
            Self::OnFold(copy, from, to) => {
                let outline = sewn.outline(pattern, copy)?;
                let boxed: Length = sewn.boxed_on_folds(copy).sum();
                Some(across(&outline, from, to)? - boxed)
            }
        }
    }
}

/// Distance from the middle of edge `from`, square to the straight line of edge `to`; exact where
/// that edge is upright or level.
fn across(outline: &Outline, from: usize, to: usize) -> Option<Length> {
    if from >= outline.edge_count() || to >= outline.edge_count() {
        return None;
    }
    let middle = outline.edge(from).start().middle(outline.edge(from).end());
    Some(square_to(middle, outline.edge(to).start(), outline.edge(to).end()))
}

/// Distance of a point, square to the line through two others.
fn square_to(point: Point, a: Point, b: Point) -> Length {
    let (mx, my) = (point.x, point.y);
    if a.y == b.y {
        return (my - a.y).abs();
    }
    if a.x == b.x {
        return (mx - a.x).abs();
    }
    let (dx, dy) = ((b.x - a.x).to_mm(), (b.y - a.y).to_mm());
    let cross = dx * (my - a.y).to_mm() - dy * (mx - a.x).to_mm();
    Length::from_mm_f64(cross.abs() / (dx * dx + dy * dy).sqrt())
}
