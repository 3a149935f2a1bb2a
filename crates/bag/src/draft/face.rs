//! A shell is one layer of the bag; a face is one of its sides while it is still flat.

use std::f64::consts::PI;

use measure::{Length, Outline, Point, Segment, arc_between};

use super::Drafter;
use crate::operations::Placed;
use crate::pattern::{CopyId, Gauge, Reach, Run, Span};

/// Edges of a plain panel, in the outline's order.
pub(crate) const BASE: usize = 0;
/// Right side edge.
pub(crate) const RIGHT: usize = 1;
/// Rim edge.
pub(crate) const RIM: usize = 2;
/// Left side edge.
pub(crate) const LEFT: usize = 3;

/// Which layer of the bag.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Layer {
    /// What is seen from outside.
    Outside,
    /// The lining.
    Lining,
}

/// One layer of the bag.
#[derive(Clone, Debug)]
pub struct Shell {
    /// Which.
    pub layer: Layer,
    /// Its faces that carry pockets and handles: front, back.
    pub faces: Vec<Face>,
    /// Its ends, left and right, where they are pieces of their own that lie flat: they carry pockets.
    pub ends: Vec<Face>,
    /// The sides of its gusset, left and right as the bag stands, up from where that turns under the
    /// base: they carry pockets.
    pub sides: Vec<Face>,
    /// Its rim, each stretch in the direction of its outline: along the front from right to left,
    /// then whatever stands at its left, the back, and whatever stands at its right; gussets
    /// included. Outside and lining are listed alike, each seen from its own right side.
    pub rim: Vec<Span>,
}

/// One side of the bag while it is flat: one panel, several joined one above the other, or a part
/// of a panel that goes on around a fold. Seen from its right side, the rim up; a place on it is
/// told by its distance from the centre line, to the right, and its height above the base.
#[derive(Clone, Debug)]
pub struct Face {
    /// "front" or "back".
    pub word: &'static str,
    /// Its copies, from the base up.
    pub copies: Vec<CopyId>,
    /// Where each copy begins, above the base of the face, at the stitching line.
    pub starts: Vec<Length>,
    /// How each copy lies in the face.
    pub lies: Vec<Lie>,
    /// Net width at the base; with rounded corners, that of the square around them.
    pub base_width: Length,
    /// Net width at the rim.
    pub top_width: Length,
    /// Net height.
    pub height: Length,
    /// Net radius of the corners at the base; zero where they are square.
    pub corner: Length,
    /// Whether it is a circle, whose radius that is: it closes in towards its top, too.
    pub circle: bool,
    /// Side of the square that is cut out of each corner at the base; zero where none is.
    pub cut_out: Length,
    /// How much of it goes on beyond its height, and is turned down at last.
    pub cuff: Length,
    /// How much of it, below its height, is covered by what is turned down.
    pub covered: Length,
    /// How far below its height it is gathered, rolled, folded or covered when the body is closed:
    /// nothing is fastened to it there.
    pub kept: Length,
    /// How much of that is rolled away, so that it hangs nowhere below the top of the closed bag.
    pub rolled: Length,
    /// How far below its height it bends round the edge of a top; zero where it has none.
    pub bends: Length,
    /// How far below its height a casing of the body lies, which gathers it.
    pub drawn: Length,
    /// How far below its height a closure lies on it.
    pub closed: Length,
    /// Where things inside the bag are stitched to it, through every layer of the shell.
    pub sewn: Vec<Strip>,
    /// What it is sewn to others by.
    pub borders: Borders,
}

/// An upright strip of a face in which something inside the bag is stitched to it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Strip {
    /// Its left and its right edge, as distances to the right of the centre line.
    pub across: (Length, Length),
    /// How far up it goes above the base of the face.
    pub top: Length,
}

/// How a copy lies in a face.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Lie {
    /// Where the centre line of the face begins on the copy, in the copy's coordinates.
    pub foot: Point,
    /// Whether the copy stands on its head there: the back of a panel that is folded at the base.
    pub turned: bool,
}

/// The seams around a face; where there is none, the panel goes on around a fold.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Borders {
    /// At the base, from left to right; with rounded corners, the straight part.
    pub base: Option<Span>,
    /// Up the right side, from the base; empty where there is no seam.
    pub right: Vec<Span>,
    /// Up the left side, from the base; empty where there is no seam.
    pub left: Vec<Span>,
    /// Along the rim, from right to left.
    pub rim: Span,
}

/// The part of a face below a height, as a piece that lies on it level with its raw edges.
#[derive(Clone, Debug)]
pub struct Lower {
    /// Its stitching line: the base first.
    pub net: Outline,
    /// Name of each edge.
    pub names: Vec<&'static str>,
    /// Its right side, its top edge and its left side.
    pub sides: [usize; 3],
    /// Edges of the face that each of its edges lies level with; the right and the left side may
    /// lie on several panels.
    pub level: Vec<(usize, CopyId, usize)>,
}

impl Lie {
    /// A place of the face in the copy's coordinates: so far to the right of the centre line, and
    /// so far above where the copy begins.
    fn at(self, x: Length, up: Length) -> Point {
        let sign = if self.turned { -1 } else { 1 };
        Point::new(self.foot.x + x * sign, self.foot.y + up * sign)
    }
}

impl Face {
    /// A face of nothing yet within these borders, with square corners, of which nothing is cut out,
    /// turned down, kept or covered.
    pub(crate) fn within(word: &'static str, borders: Borders) -> Self {
        let none = Length::ZERO;
        Self {
            word,
            copies: Vec::new(),
            starts: Vec::new(),
            lies: Vec::new(),
            base_width: none,
            top_width: none,
            height: none,
            corner: none,
            circle: false,
            cut_out: none,
            cuff: none,
            covered: none,
            kept: none,
            bends: none,
            rolled: none,
            drawn: none,
            closed: none,
            sewn: Vec::new(),
            borders,
        }
    }

    /// A face of panels with square corners, one above the other from the base up, each with the
    /// edges base, right side, rim, left side and sewn at all of them: copies, and where each
    /// begins; width at the base and at the rim; height.
    pub fn of_panels(
        d: &Drafter<'_>,
        word: &'static str,
        panels: &[(CopyId, Length)],
        (base_width, top_width): (Length, Length),
        height: Length,
    ) -> Self {
        let copies: Vec<CopyId> = panels.iter().map(|(copy, _)| *copy).collect();
        let [bottom, top] = [copies[0], copies[copies.len() - 1]];
        let edge = |copy: CopyId, edge| whole_span(d, copy, edge);
        // A trapezoid's origin is the lower left corner of its box.
        let foot = |copy: &CopyId| {
            let (low, high) = d.piece_of(*copy).net.bounds();
            Lie { foot: Point::new((high.x - low.x).half(), Length::ZERO), turned: false }
        };
        let borders = Borders {
            base: Some(edge(bottom, BASE)),
            right: copies.iter().map(|copy| edge(*copy, RIGHT)).collect(),
            left: copies.iter().map(|copy| edge(*copy, LEFT).reversed()).collect(),
            rim: edge(top, RIM),
        };
        Self {
            starts: panels.iter().map(|(_, start)| *start).collect(),
            lies: copies.iter().map(foot).collect(),
            base_width,
            top_width,
            height,
            copies,
            ..Self::within(word, borders)
        }
    }

    /// How high the top of the closed bag is, from which handles are measured: its rim, or the top of
    /// the roll into which that goes.
    pub fn top_in_use(&self) -> Length {
        self.height - self.rolled
    }

    /// The copy that reaches up to the rim.
    pub fn top(&self) -> CopyId {
        self.copies[self.copies.len() - 1]
    }

    /// The copy that reaches down to the base.
    pub fn bottom(&self) -> CopyId {
        self.copies[0]
    }

    /// Net width at a height above the base, corners included.
    pub fn width_at(&self, height: Length) -> Length {
        // Above cut-out corners the sides begin where those end.
        let (up, high) = (height - self.cut_out, self.height - self.cut_out);
        if up < Length::ZERO {
            return self.base_width - self.cut_out * 2;
        }
        let part = i128::from((self.top_width - self.base_width).to_nm()) * i128::from(up.to_nm())
            / i128::from(high.to_nm().max(1));
        let square = self.base_width + Length::nm(i64::try_from(part).unwrap_or(0));
        // A circle is as wide above its middle as below it.
        let height = if self.circle { height.min(self.height - height) } else { height };
        if height >= self.corner {
            return square;
        }
        let (radius, up) = (self.corner.to_mm(), (self.corner - height).to_mm());
        let lost = radius - (radius * radius - up * up).max(0.0).sqrt();
        square - Length::from_mm_f64(lost) * 2
    }

    /// How wide something may be that is centred on it and begins at that height: as wide as the face,
    /// or as what is stitched to it from within leaves free.
    pub fn room_across(&self, height: Length) -> Length {
        let beside = |strip: &Strip| {
            let (left, right) = strip.across;
            if left.is_positive() { left } else { (-right).max(Length::ZERO) }
        };
        let strips = self.sewn.iter().filter(|strip| strip.top > height).map(|it| beside(it) * 2);
        strips.fold(self.width_at(height), Length::min)
    }

    /// How wide something may be between two heights that stays so far from what is beside it.
    pub fn room_between(&self, [low, high]: [Length; 2], clear: Length) -> Length {
        if !self.circle {
            // It may be narrower at the base, in rounded corners, or at the top.
            return self.width_at(low).min(self.width_at(high)) - clear * 2;
        }
        let (radius, middle) = ((self.corner - clear).to_mm(), self.corner);
        let half = [low, high].map(|at| {
            let off = (at - middle).to_mm();
            (radius * radius - off * off).max(0.0).sqrt()
        });
        Length::from_mm_f64(half[0].min(half[1])) * 2
    }

    /// How high above its base it begins at a distance from the centre line: more than nothing beside
    /// the straight part of its base, in rounded corners and in a circle.
    pub fn floor_at(&self, x: Length) -> Length {
        let into = x.abs() - (self.base_width.half() - self.corner);
        if !self.corner.is_positive() || !into.is_positive() {
            return Length::ZERO;
        }
        let (radius, into) = (self.corner.to_mm(), into.min(self.corner).to_mm());
        Length::from_mm_f64(radius - (radius * radius - into * into).max(0.0).sqrt())
    }

    /// How wide the box is of what lies on it below a height, level with its edges.
    pub fn box_below(&self, height: Length) -> Length {
        if self.circle && height < self.corner {
            return self.width_at(height);
        }
        self.base_width.max(self.width_at(height))
    }

    /// The copy at a height above the base, and the point on it, `x` being the distance from the
    /// centre line to the right.
    pub fn at(&self, x: Length, height: Length) -> (CopyId, Point) {
        let index = self.starts.iter().rposition(|start| *start <= height).unwrap_or(0);
        self.on(index, x, height)
    }

    /// The same, in the coordinates of the copy with that index.
    pub fn on(&self, index: usize, x: Length, height: Length) -> (CopyId, Point) {
        (self.copies[index], self.lies[index].at(x, height - self.starts[index]))
    }

    /// Where the lower left corner of a box comes, in the coordinates of the copy with that index:
    /// its lower side in the face begins at this place, and it is so large. On a copy that stands
    /// on its head that is the box's upper right corner.
    pub fn box_on(
        &self,
        index: usize,
        (x, height): (Length, Length),
        size: (Length, Length),
    ) -> (CopyId, Point) {
        if self.lies[index].turned {
            self.on(index, x + size.0, height + size.1)
        } else {
            self.on(index, x, height)
        }
    }

    /// A copy laid on the copy with that index: upright as one looks at the face, its lower side
    /// beginning at this place, and it is so large. On the half of a panel that stands on its head
    /// below a fold, and at that end of a strip, it does, too.
    pub fn lay(
        &self,
        index: usize,
        what: CopyId,
        place: (Length, Length),
        size: (Length, Length),
    ) -> Placed {
        let (onto, at) = self.box_on(index, place, size);
        Placed { upside_down: self.lies[index].turned, ..Placed::new(what, onto, at) }
    }

    /// The edge that is sewn in the base seam, if there is one: what is caught there can be laid
    /// level with it.
    pub fn base_edge(&self) -> Option<(CopyId, usize)> {
        self.borders.base.map(|span| (span.copy, span.edge))
    }

    /// The edge that is sewn, or hemmed, at the rim.
    pub fn rim_edge(&self) -> (CopyId, usize) {
        (self.borders.rim.copy, self.borders.rim.edge)
    }

    /// The edges at the right and at the left that are sewn in side seams, from the base up; none
    /// where the panel goes on around a fold.
    pub fn side_edges(&self) -> [Vec<(CopyId, usize)>; 2] {
        let edges = |spans: &[Span]| spans.iter().map(|span| (span.copy, span.edge)).collect();
        [edges(&self.borders.right), edges(&self.borders.left)]
    }

    /// The part of it below a height that is more than the side of a cut-out corner, or the radius of
    /// a rounded one, and so wide there.
    pub fn below(&self, height: Length, top: Length) -> Lower {
        let [right, left] = self.side_edges();
        let base = self.base_edge();
        let cut = self.cut_out;
        if let Some(lower) = self.below_in_circle(height).or_else(|| self.below_round(height)) {
            return lower;
        }
        if !cut.is_positive() {
            let sides = [RIGHT, RIM, LEFT];
            let mut level: Vec<_> = base.into_iter().map(|(on, edge)| (BASE, on, edge)).collect();
            level.extend(right.into_iter().map(|(on, edge)| (RIGHT, on, edge)));
            level.extend(left.into_iter().map(|(on, edge)| (LEFT, on, edge)));
            let net = Outline::trapezoid(self.base_width, top, height);
            let names = vec!["base", "right side", "top edge", "left side"];
            return Lower { net, names, sides, level };
        }
        // The panel's own edges, in the same order: base, corner, side, top, side, corner.
        let names = vec![
            "base",
            "right corner, upright",
            "right corner, level",
            "right side",
            "top edge",
            "left side",
            "left corner, level",
            "left corner, upright",
        ];
        let sides = [3, 4, 5];
        // A side may go on above, on a facing, whose edges have other numbers.
        let along = |own: usize, hosts: Vec<(CopyId, usize)>| {
            hosts.into_iter().map(move |(on, edge)| (own, on, edge))
        };
        let level: Vec<_> = along(BASE, base.into_iter().collect())
            .chain(along(sides[0], right))
            .chain(along(sides[2], left))
            .chain(self.corner_edges().into_iter().map(|(on, edge)| (edge, on, edge)))
            .collect();
        let middle = self.base_width.max(top).half();
        let right = [
            (self.base_width.half() - cut, Length::ZERO),
            (self.base_width.half() - cut, cut),
            (self.base_width.half(), cut),
            (top.half(), height),
        ];
        let at = |sign: i64| move |(x, y): &(Length, Length)| Point::new(middle + *x * sign, *y);
        let mut points: Vec<Point> =
            right.iter().map(at(1)).chain(right.iter().rev().map(at(-1))).collect();
        points.rotate_right(1);
        let net = Outline::polygon(points)
            .unwrap_or_else(|_| Outline::trapezoid(self.base_width, top, height));
        Lower { net, names, sides, level }
    }

    /// The same of a circle: an arc below, and a chord above.
    fn below_in_circle(&self, height: Length) -> Option<Lower> {
        if !self.circle {
            return None;
        }
        let radius = self.corner;
        let (middle, half) = (self.box_below(height).half(), self.width_at(height).half());
        // From the left end of the chord down and up again to its right end.
        let angle = libm::asin((height - radius).to_mm() / radius.to_mm());
        let centre = Point::new(middle, radius);
        let mut arc = arc_between(centre, radius, PI - angle, PI * 2.0 + angle).1;
        let start = Point::new(middle - half, height);
        arc.last_mut()?.1 = Point::new(middle + half, height);
        let chord = vec![(Segment::Line, start)];
        let net = Outline::from_edges(start, vec![arc, chord]).ok()?;
        let host = self.bottom();
        // The edge of a circle that is not its base seam lies over a zip, above all of this.
        Some(Lower {
            net,
            names: vec!["lower edge", "top edge"],
            sides: [0, 1, 0],
            level: vec![(BASE, host, BASE)],
        })
    }

    /// The same with the rounded corners of its lowest copy, whose sides stand upright.
    fn below_round(&self, height: Length) -> Option<Lower> {
        if !self.corner.is_positive() {
            return None;
        }
        // The panel's own edges, in the same order: base, corner, side, top, side, corner.
        let net = Outline::round_bottomed(self.base_width, height, self.corner).ok()?;
        let names =
            vec!["base", "right corner", "right side", "top edge", "left side", "left corner"];
        let sides = [2, 3, 4];
        let [right, left] = self.side_edges();
        let along = |own: usize, hosts: Vec<(CopyId, usize)>| {
            hosts.into_iter().map(move |(on, edge)| (own, on, edge))
        };
        let level = along(BASE, self.base_edge().into_iter().collect())
            .chain(along(sides[0], right))
            .chain(along(sides[2], left))
            .chain([1, 5].map(|edge| (edge, self.bottom(), edge)))
            .collect();
        Some(Lower { net, names, sides, level })
    }

    /// The edges of cut-out corners: those of the lowest copy beside its base and its sides.
    fn corner_edges(&self) -> Vec<(CopyId, usize)> {
        let copy = self.bottom();
        if self.cut_out.is_positive() {
            [1, 2, 6, 7].map(|edge| (copy, edge)).into()
        } else {
            Vec::new()
        }
    }

    /// A line in the face, as one piece for each copy that it crosses.
    pub fn line(
        &self,
        from: (Length, Length),
        to: (Length, Length),
    ) -> Vec<(CopyId, Point, Point)> {
        let mut parts = Vec::new();
        for index in 0..self.copies.len() {
            let low = self.starts[index];
            let high = self.starts.get(index + 1).copied().unwrap_or(self.height);
            if let Some((a, b)) = between(from, to, low, high) {
                let (copy, start) = self.on(index, a.0, a.1);
                parts.push((copy, start, self.on(index, b.0, b.1).1));
            }
        }
        parts
    }

    /// The base edge, from left to right; nothing where there is no seam.
    pub fn base(&self) -> Run {
        Run::open(self.borders.base)
    }

    /// The rim, from right to left.
    pub fn rim(&self) -> Run {
        Run::open([self.borders.rim])
    }

    /// The right side, from the base up.
    pub fn right(&self) -> Run {
        Run::open(self.borders.right.clone())
    }

    /// The left side, from the base up.
    pub fn left(&self) -> Run {
        Run::open(self.borders.left.clone())
    }
}

impl Shell {
    /// The two ends of a gusset of one strip at the rim, each as a face of its own as high as its
    /// front: at the left, and at the right; nothing if there is no such gusset.
    pub(crate) fn gusset_ends(&self, d: &Drafter<'_>) -> Option<Self> {
        let [front, left, _, right] = self.rim.as_slice() else { return None };
        let on_face = |copy: CopyId| self.faces.iter().any(|face| face.copies.contains(&copy));
        if left.copy != right.copy || on_face(left.copy) || !on_face(front.copy) {
            return None;
        }
        let net = &d.piece_of(left.copy).net;
        let height = self.faces[0].height.min(net.edge_length((left.edge + 1) % 4).half());
        let end = |word, span: &Span| {
            let (a, b) = (net.edge(span.edge).start(), net.edge(span.edge).end());
            // The left end is the lower edge of the strip, which stands on its head there.
            let turned = a.x < b.x;
            let middle = a.middle(b);
            let up = if turned { height } else { -height };
            Face {
                copies: vec![span.copy],
                starts: vec![Length::ZERO],
                lies: vec![Lie { foot: Point::new(middle.x, middle.y + up), turned }],
                base_width: span.length(),
                top_width: span.length(),
                height,
                ..Face::within(
                    word,
                    Borders { base: None, right: Vec::new(), left: Vec::new(), rim: *span },
                )
            }
        };
        let faces = vec![end("left side", left), end("right side", right)];
        let none = Vec::new;
        Some(Self { layer: self.layer, faces, ends: none(), sides: none(), rim: self.rim.clone() })
    }

    /// A shell whose rim is that of its faces, one after the other.
    pub fn of_faces(layer: Layer, faces: Vec<Face>) -> Self {
        let rim = faces.iter().map(|face| face.borders.rim).collect();
        Self { layer, faces, ends: Vec::new(), sides: Vec::new(), rim }
    }

    /// The whole rim, in the round.
    pub fn rim(&self) -> Run {
        Run::round(self.rim.clone())
    }

    /// The same rim, run the other way round, its first stretch first.
    pub fn rim_reversed(&self) -> Run {
        let mut spans: Vec<Span> = self.rim.iter().rev().map(|span| span.reversed()).collect();
        spans.rotate_right(1.min(self.rim.len()));
        Run::round(spans)
    }

    /// How the rim is measured in the round.
    pub fn rim_gauge(&self) -> Gauge {
        let mut reaches: Vec<Reach> = Vec::new();
        for span in &self.rim {
            let reach = Reach::Along(span.copy, span.edge);
            if !reaches.contains(&reach) {
                reaches.push(reach);
            }
        }
        Gauge(reaches)
    }
}

/// The whole of one edge of a copy, in the outline's direction.
pub(crate) fn whole(d: &Drafter<'_>, copy: CopyId, edge: usize) -> Run {
    Run::open([whole_span(d, copy, edge)])
}

/// The same as a span.
pub(crate) fn whole_span(d: &Drafter<'_>, copy: CopyId, edge: usize) -> Span {
    let to = d.piece_of(copy).net.edge_length(edge);
    Span { copy, edge, from: Length::ZERO, to }
}

type Spot = (Length, Length);

/// The part of a line between two heights, keeping its direction.
fn between(from: Spot, to: Spot, low: Length, high: Length) -> Option<(Spot, Spot)> {
    if from.1 == to.1 {
        let inside = low <= from.1 && (from.1 < high || (from.1 == high && low < high));
        return inside.then_some((from, to));
    }
    let rising = from.1 < to.1;
    let (bottom, top) = if rising { (from, to) } else { (to, from) };
    let (start, end) = (bottom.1.max(low), top.1.min(high));
    if start >= end {
        return None;
    }
    let at = |height: Length| {
        let over = i128::from((top.0 - bottom.0).to_nm()) * i128::from((height - bottom.1).to_nm());
        let part = over / i128::from((top.1 - bottom.1).to_nm());
        (bottom.0 + Length::nm(i64::try_from(part).unwrap_or(0)), height)
    };
    let (a, b) = (at(start), at(end));
    Some(if rising { (a, b) } else { (b, a) })
}
