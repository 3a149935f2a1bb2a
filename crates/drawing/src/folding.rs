//! Folds the panels of a pattern in space, by its hinges: the front stands upright, and every other
//! facet follows across a fold or a seam.
//!
//! Space: x to the right, y to the back, z up, in mm. A facet's frame lays its panel's plane in
//! space; the right side looks along the frame's normal.

mod turned_down;

use std::collections::BTreeSet;

use bag::assembly::{Assembly, Event};
use bag::operations::{Corner, Join, JoinOverZip, Over, SetZip};
use bag::pattern::{CopyId, HingeLine, MarkShape, Pattern, Reach, Run, Step};
use kurbo::Point;
use measure::{Length, Outline};

use crate::facets::{area, facets};
use crate::space::{Frame, Space, length_of};
use turned_down::{beyond_fold, turned_down};

/// A flat part of the finished bag.
#[derive(Clone, Debug)]
pub(crate) struct Facet {
    /// The copy that it is part of.
    pub(crate) copy: CopyId,
    /// Its corners in the copy's coordinates, mm, counter-clockwise.
    pub(crate) polygon: Vec<Point>,
    /// Where its plane lies in space.
    pub(crate) frame: Frame,
    /// What shows of it, when it is turned down over the outside: the copy that lines it, or itself.
    pub(crate) over: Option<CopyId>,
}

impl Facet {
    /// Whether a point of space lies on the facet's boundary, within half a millimetre.
    pub(crate) fn bounds(&self, place: Space) -> bool {
        let from = place - self.frame.origin;
        let flat = Point::new(from.dot(self.frame.right), from.dot(self.frame.up));
        from.dot(self.frame.normal()).abs() < 0.5
            && sides(&self.polygon).any(|(a, b)| lies_on(flat, a, b))
    }
}

/// A bend between two facets.
struct Bend {
    /// The line in the first facet's coordinates.
    here: (Point, Point),
    /// The same line in the second facet's coordinates.
    there: (Point, Point),
    /// Index of the second facet.
    to: usize,
    /// Finished angle, 180 being flat.
    degrees: f64,
    /// Whether it lies along a zip.
    zip: bool,
}

/// The outside of the bag, folded; the front first. Empty when the pattern names no front.
pub(crate) fn fold(pattern: &Pattern) -> Vec<Facet> {
    let work = Assembly::sew(pattern);
    front_copy(pattern).map_or_else(Vec::new, |front| fold_from(&work, front))
}

/// The body of which `front` is the front, folded; the front first. What is not said by a hinge
/// follows from its boxed corners.
pub(crate) fn fold_from(work: &Assembly<'_>, front: CopyId) -> Vec<Facet> {
    let pattern = work.pattern;
    let outside = outside_of(work, front);
    let mut parts: Vec<(CopyId, Vec<Point>)> = Vec::new();
    for copy in &outside {
        parts.extend(cut_up(pattern, work, *copy).into_iter().map(|part| (*copy, part)));
    }
    // Of a panel that is folded at the base, the front is the upper one of two equal facets.
    let size = |index: &usize| area(&parts[*index].1).round();
    let height = |index: &usize| parts[*index].1.iter().map(|corner| corner.y).sum::<f64>();
    let largest = (0..parts.len()).filter(|index| parts[*index].0 == front).max_by(|a, b| {
        let aside = |index: &usize| off_middle(pattern, &parts[*index]).round();
        let off_level = |index: &usize| off_level(pattern, &parts[*index]).round();
        size(a)
            .total_cmp(&size(b))
            .then_with(|| off_level(b).total_cmp(&off_level(a)))
            .then_with(|| height(a).total_cmp(&height(b)))
            .then_with(|| aside(b).total_cmp(&aside(a)))
    });
    let Some(start) = largest else { return Vec::new() };
    let mut frames: Vec<Option<Frame>> = vec![None; parts.len()];
    frames[start] = Some(Frame::upright());
    let mut level = std::collections::VecDeque::from([start]);
    let mut queue = std::collections::VecDeque::new();
    // A zip has a width of its own: it is followed only to what nothing else leads to.
    let mut zips = std::collections::VecDeque::new();
    let mut order = Vec::new();
    while let Some((index, by_zip)) = level
        .pop_front()
        .or_else(|| queue.pop_front())
        .map(|it| (it, false))
        .or_else(|| zips.pop_front().map(|it| (it, true)))
    {
        let Some(frame) = frames[index] else { continue };
        if !by_zip {
            order.push(index);
            zips.push_back(index);
        }
        for bend in bends(pattern, work, &parts, index).into_iter().filter(|it| it.zip == by_zip) {
            if frames[bend.to].is_none() {
                frames[bend.to] = frame.across(bend.here, bend.there, bend.degrees);
                // A panel that is bent round is unrolled along its own folds, which are exact, before
                // its seams are followed. Level seams are, before upright ones: a side that is
                // narrower at the top ends in no upright edge that something might be folded from.
                if parts[bend.to].0 == parts[index].0 {
                    level.push_front(bend.to);
                } else if is_level(&frame, bend.here) {
                    level.push_back(bend.to);
                } else {
                    queue.push_back(bend.to);
                }
            }
        }
    }
    order
        .into_iter()
        .filter_map(|index| {
            let (copy, polygon) = parts[index].clone();
            let over = beyond_fold(work, copy, middle_of(&polygon)).map(|down| down.shows);
            frames[index].map(|frame| Facet { copy, polygon, frame, over })
        })
        .collect()
}

/// Whether a line of a plane lies level in space.
fn is_level(frame: &Frame, (a, b): (Point, Point)) -> bool {
    let along = frame.at(b) - frame.at(a);
    along.z.abs() < along.length() * 0.01
}

/// How far the middle of a facet lies beside the middle of its panel: of a panel that is bent round,
/// the facet in the middle is the front.
fn off_middle(pattern: &Pattern, (copy, polygon): &(CopyId, Vec<Point>)) -> f64 {
    let (low, high) = pattern.piece_of(*copy).net.bounds();
    let middle = (low.x + high.x).half().to_mm();
    let sum: f64 = polygon.iter().map(|corner| corner.x).sum();
    (sum / polygon.len().max(1) as f64 - middle).abs()
}

/// How far it lies above or below that middle: of a barrel, the facet in the middle of the front
/// stands upright.
fn off_level(pattern: &Pattern, (copy, polygon): &(CopyId, Vec<Point>)) -> f64 {
    let (low, high) = pattern.piece_of(*copy).net.bounds();
    (middle_of(polygon).y - (low.y + high.y).half().to_mm()).abs()
}

/// Whether a bag is a barrel that lies on its side: its height and depth are those of its ends.
pub(crate) fn lies_on_side(pattern: &Pattern) -> bool {
    let on = |gauge: &bag::pattern::Gauge| gauge.0.iter().map(Reach::copy).collect::<Vec<_>>();
    let ends = on(&pattern.claims.height_gauge);
    !ends.is_empty() && ends == on(&pattern.claims.depth_gauge)
}

/// The copy on which the bag's height is measured: its front, and of that the part that is largest.
/// The front of a barrel is what its width is measured on.
pub(crate) fn front_copy(pattern: &Pattern) -> Option<CopyId> {
    let claims = &pattern.claims;
    let reaches =
        if lies_on_side(pattern) { &claims.width_gauge.0 } else { &claims.height_gauge.0 };
    reaches.iter().map(Reach::copy).max_by_key(|copy| pattern.piece_of(*copy).net.area())
}

/// Of the panels of a body that lies in the bag, the one that is most like the bag's front: no gusset
/// and no facing.
pub(crate) fn most_like_front(pattern: &Pattern, copies: &[CopyId]) -> Option<CopyId> {
    let (wide, high) = pattern.piece_of(front_copy(pattern)?).net.size();
    copies.iter().copied().min_by_key(|copy| {
        let size = pattern.piece_of(*copy).net.size();
        ((size.0 - wide).abs() + (size.1 - high).abs(), *copy)
    })
}

/// The copies joined with the front, directly or through others, before anything was dropped into
/// anything: the hosts of the outside.
pub(crate) fn outside_of(work: &Assembly<'_>, front: CopyId) -> Vec<CopyId> {
    let mut copies = BTreeSet::from([front]);
    loop {
        let before = copies.len();
        for (step, event) in &work.events {
            match event {
                Event::DroppedIn { .. } => break,
                Event::Joined { sides, .. } if joins_lining(work, *step, sides) => {}
                Event::Joined { sides, .. } => {
                    let met: Vec<CopyId> = sides.iter().flat_map(Run::copies).collect();
                    if met.iter().any(|copy| copies.contains(copy)) {
                        copies.extend(met);
                    }
                }
                _ => {}
            }
        }
        if copies.len() == before {
            return copies.into_iter().collect();
        }
    }
}

/// Whether a seam of a step sews the lining on over a zip, or across the end of one.
pub(crate) fn joins_lining(work: &Assembly<'_>, step: usize, sides: &[Run; 2]) -> bool {
    work.pattern.steps.get(step).is_some_and(|step| {
        step.as_a::<JoinOverZip>().is_some()
            || step.as_a::<Join>().is_some_and(|join| join.across.contains(sides))
    })
}

/// The front of a lining that is sewn on over a zip; nothing if there is none.
pub(crate) fn lining_over_zip(work: &Assembly<'_>) -> Option<CopyId> {
    let join = work.pattern.steps.iter().find_map(Step::as_a::<JoinOverZip>)?;
    let [_, lining] = join.seams.first()?;
    most_like_front(work.pattern, &outside_of(work, *lining.copies().first()?))
}

fn middle_of(polygon: &[Point]) -> Point {
    let sum = polygon.iter().fold(kurbo::Vec2::ZERO, |sum, corner| sum + corner.to_vec2());
    (sum / polygon.len().max(1) as f64).to_point()
}

/// A line in parts that end where it meets others and the outline, so that it crosses none.
fn in_parts(
    (from, to): (Point, Point),
    others: impl Iterator<Item = (Point, Point)>,
) -> Vec<(Point, Point)> {
    let step = to - from;
    let mut stops: Vec<f64> = others
        .filter_map(|(a, b)| {
            let across = step.cross(b - a);
            if across.abs() < 1e-9 {
                return None;
            }
            let on_line = (a - from).cross(b - a) / across;
            let on_other = (a - from).cross(step) / across;
            (-1e-6..=1.0 + 1e-6).contains(&on_other).then_some(on_line)
        })
        .collect();
    stops.sort_by(f64::total_cmp);
    stops.windows(2).map(|pair| (from + step * pair[0], from + step * pair[1])).collect()
}

/// The facets of one copy, without the corners that are boxed away.
fn cut_up(pattern: &Pattern, work: &Assembly<'_>, copy: CopyId) -> Vec<Vec<Point>> {
    let piece = pattern.piece_of(copy);
    let outline = chords(&piece.net);
    let folds = folds_of(pattern, work, copy).into_iter().map(|(a, b, _)| (a, b));
    let boxed: Vec<Point> = boxed_tips(pattern, work, copy);
    let boxing = piece.marks.iter().filter_map(|mark| match mark.shape {
        MarkShape::Stitching(a, b) if !boxed.is_empty() => Some((a.to_mm(), b.to_mm())),
        _ => None,
    });
    let mut lines: Vec<(Point, Point)> = folds.chain(boxing).collect();
    let tops = turned_down(work, copy);
    for top in &tops {
        let others = sides(&outline).chain(lines.iter().copied()).collect::<Vec<_>>();
        lines.extend(in_parts(top.fold, others.into_iter()));
    }
    let mut parts = facets(&outline, &lines);
    // A top that is folded over to the front is drawn before it, as what closes the bag.
    parts.retain(|part| {
        let beyond = beyond_fold(work, copy, middle_of(part));
        beyond.is_none_or(|down| down.over == Over::Outside)
    });
    if !lines.is_empty() {
        parts.retain(|part| !boxed.iter().any(|tip| sides(part).any(|(a, b)| lies_on(*tip, a, b))));
    }
    parts
}

/// An outline as a polygon, its curves cut into the chords that folds of a panel sewn to them follow.
fn chords(net: &Outline) -> Vec<Point> {
    net.edges()
        .iter()
        .flat_map(|edge| {
            let stops = edge.chord_stops();
            let along = stops.into_iter().map(|stop| edge.point_along(stop));
            std::iter::once(edge.start())
                .chain(along)
                .map(measure::Point::to_mm)
                .collect::<Vec<_>>()
        })
        .collect()
}

/// The corners of a copy that were boxed: its own, and where one goes on beyond a panel that is lower
/// than the corner reaches, as a low facing is, the next panel's.
fn boxed_tips(pattern: &Pattern, work: &Assembly<'_>, copy: CopyId) -> Vec<Point> {
    let boxed = work.events.iter().filter_map(|(_, event)| match event {
        Event::Boxed { corners, tip, .. } => Some((corners, *tip)),
        _ => None,
    });
    let corners =
        boxed.flat_map(|(corners, tip)| corners.iter().flatten().map(move |it| (it, tip)));
    let mut tips = Vec::new();
    for (corner, tip) in corners {
        let net = &pattern.piece_of(corner.copy).net;
        let edges = net.edge_count();
        let (at, end) = match corner.fold {
            Some(along) => (net.point_along(corner.side, along), None),
            None if (corner.side + 1) % edges == corner.base => {
                (net.vertex(corner.base), Some(net.vertex(corner.side)))
            }
            None => (net.vertex(corner.side), Some(net.vertex((corner.side + 1) % edges))),
        };
        if corner.copy == copy {
            tips.push(at.to_mm());
        } else if let Some(end) = end
            && corner.half_depth(pattern, tip) > net.edge_length(corner.side)
        {
            tips.extend(beyond_seam(work, (corner.copy, end), copy));
        }
    }
    tips
}

/// Where the end of a seam on one copy lies on another that is sewn to it there.
fn beyond_seam(
    work: &Assembly<'_>,
    (from, end): (CopyId, measure::Point),
    to: CopyId,
) -> Option<Point> {
    let point = |copy: CopyId, edge: usize, along: Length| {
        work.pattern.piece_of(copy).net.point_along(edge, along).to_mm()
    };
    let both = work.glues.iter().flat_map(|glue| [(glue.a, glue.b), (glue.b, glue.a)]);
    let met = both.filter(|(a, b)| a.copy == from && b.copy == to).find_map(|(a, b)| {
        let is_end = |along| length_of(point(from, a.edge, along) - end.to_mm()) < 0.1;
        [(a.from, b.from), (a.to, b.to)]
            .into_iter()
            .find(|(on, _)| is_end(*on))
            .map(|(_, at)| (b, at))
    });
    met.map(|(b, at)| point(to, b.edge, at))
}

/// The bends from one facet to others.
fn bends(
    pattern: &Pattern,
    work: &Assembly<'_>,
    parts: &[(CopyId, Vec<Point>)],
    index: usize,
) -> Vec<Bend> {
    let (copy, polygon) = &parts[index];
    let mut bends = Vec::new();
    for (a, b) in sides(polygon) {
        let same_copy =
            parts.iter().enumerate().filter(|(other, (on, _))| *other != index && on == copy);
        for (to, (_, other)) in same_copy {
            let shared =
                sides(other).any(|(c, d)| length_of(c - b) < 0.1 && length_of(d - a) < 0.1);
            if let Some(degrees) = shared.then(|| fold_angle(pattern, work, *copy, a, b)).flatten()
            {
                bends.push(Bend { here: (a, b), there: (a, b), to, degrees, zip: false });
            }
        }
        for (partner, there, degrees, zip) in across_seams(pattern, work, *copy, (a, b)) {
            let middle = there.0.midpoint(there.1);
            let found = parts.iter().position(|(on, other)| {
                *on == partner && sides(other).any(|(c, d)| lies_on(middle, c, d))
            });
            if let Some(to) = found {
                let here = (a, b);
                let degrees = turned(work, *copy, here, degrees);
                bends.push(Bend { here, there, to, degrees, zip });
            }
        }
    }
    bends
}

/// The angle of a bend seen from the wrong side, where the top is turned down and that is out.
fn turned(work: &Assembly<'_>, copy: CopyId, (a, b): (Point, Point), degrees: f64) -> f64 {
    let beyond = beyond_fold(work, copy, a.midpoint(b)).is_some();
    if beyond { 360.0 - degrees } else { degrees }
}

/// The sides of a polygon, each from corner to corner.
pub(crate) fn sides(polygon: &[Point]) -> impl Iterator<Item = (Point, Point)> + '_ {
    polygon.iter().copied().zip(polygon.iter().skip(1).chain(polygon.first()).copied())
}

pub(crate) fn lies_on(point: Point, a: Point, b: Point) -> bool {
    let (step, from) = (b - a, point - a);
    let length = length_of(step);
    let along = from.dot(step) / length.max(1e-9);
    from.cross(step).abs() / length.max(1e-9) < 0.1 && along > -0.1 && along < length + 0.1
}

/// The angle of the fold that runs along a side, if one does.
fn fold_angle(
    pattern: &Pattern,
    work: &Assembly<'_>,
    copy: CopyId,
    a: Point,
    b: Point,
) -> Option<f64> {
    let lies = |from: Point, to: Point| lies_on(a, from, to) && lies_on(b, from, to);
    if turned_down(work, copy).iter().any(|down| lies(down.fold.0, down.fold.1)) {
        return Some(360.0);
    }
    folds_of(pattern, work, copy)
        .into_iter()
        .find(|(from, to, _)| lies(*from, *to))
        .map(|(.., degrees)| turned(work, copy, (a, b), degrees))
}

/// The folds of a copy, with their angles: those that the pattern names; otherwise those that its
/// boxed corners make, along the base and up to the rim.
fn folds_of(pattern: &Pattern, work: &Assembly<'_>, copy: CopyId) -> Vec<(Point, Point, f64)> {
    let named: Vec<(Point, Point, f64)> = pattern
        .hinges
        .iter()
        .filter_map(|hinge| match &hinge.line {
            HingeLine::Fold(on, a, b) if *on == copy => Some((a.to_mm(), b.to_mm(), hinge.degrees)),
            _ => None,
        })
        .collect();
    if !named.is_empty() {
        return named;
    }
    let net = &pattern.piece_of(copy).net;
    let count = net.edge_count();
    let mut folds = Vec::new();
    let mut feet: Vec<(usize, Point)> = Vec::new();
    for (corner, tip) in boxed_corners(work, copy) {
        let [foot] = boxed_points(pattern, &corner, tip)[..] else { continue };
        let half = corner.half_depth(pattern, tip);
        if half > net.edge_length(corner.side) {
            // Its fold lies on the next panel.
            continue;
        }
        // The other end of the side, and the edge that goes on from there.
        let (top, rim, forward) = if (corner.side + 1) % count == corner.base {
            (net.vertex(corner.side), (corner.side + count - 1) % count, false)
        } else {
            (net.vertex((corner.side + 1) % count), (corner.side + 1) % count, true)
        };
        let long = net.edge_length(rim);
        let at = net.point_along(rim, if forward { half } else { long - half }).to_mm();
        if length_of(at - top.to_mm()) < long.to_mm() {
            folds.push((foot, at, 90.0));
        }
        for (_, other) in feet.iter().filter(|(base, _)| *base == corner.base) {
            folds.push((*other, foot, 90.0));
        }
        feet.push((corner.base, foot));
    }
    folds
}

/// The corners of a copy that were boxed, each with the distance from its tip.
fn boxed_corners(work: &Assembly<'_>, copy: CopyId) -> Vec<(Corner, Length)> {
    let boxed = work.events.iter().filter_map(|(_, event)| match event {
        Event::Boxed { corners, tip, .. } => Some((corners, *tip)),
        _ => None,
    });
    boxed
        .flat_map(|(corners, tip)| corners.iter().flatten().map(move |corner| (*corner, tip)))
        .filter(|(corner, _)| corner.copy == copy)
        .collect()
}

/// Where the line along which a corner is boxed ends within its panel: where front, side and base
/// meet. A corner on a fold has both ends of the line.
pub(crate) fn boxed_points(pattern: &Pattern, corner: &Corner, tip: Length) -> Vec<Point> {
    let net = &pattern.piece_of(corner.copy).net;
    let within = |edge: usize, along: Length, deep: Length| {
        let way = net.edge(edge).direction_along(along);
        let inwards = kurbo::Vec2::new(-way.y, way.x);
        net.point_along(edge, along).to_mm() + inwards * deep.to_mm()
    };
    if let Some(fold) = corner.fold {
        return [fold - tip, fold + tip].map(|along| within(corner.side, along, tip)).to_vec();
    }
    let long = net.edge_length(corner.base);
    let forward = (corner.side + 1) % net.edge_count() == corner.base;
    let along = if forward { tip } else { long - tip };
    vec![within(corner.base, along, corner.half_depth(pattern, tip))]
}

/// Where a side of a facet lies on the copies that it is joined to by seams.
fn across_seams(
    pattern: &Pattern,
    work: &Assembly<'_>,
    copy: CopyId,
    (a, b): (Point, Point),
) -> Vec<(CopyId, (Point, Point), f64, bool)> {
    let mut found = Vec::new();
    for (step, event) in &work.events {
        let sides = match event {
            Event::Joined { sides, .. } => sides,
            Event::DroppedIn { .. } => break,
            _ => continue,
        };
        let id = pattern.steps.get(*step).map_or("", |step| step.id.as_str());
        let step_of = pattern.steps.get(*step);
        let zip = step_of.is_some_and(|step| step.as_a::<SetZip>().is_some());
        let degrees = pattern
            .hinges
            .iter()
            .find(|hinge| matches!(&hinge.line, HingeLine::Seam(seam) if seam == id))
            .map_or_else(|| unnamed_angle(work, sides), |hinge| hinge.degrees);
        for (this, other) in [(&sides[0], &sides[1]), (&sides[1], &sides[0])] {
            let ends =
                (distance_along(pattern, this, copy, a), distance_along(pattern, this, copy, b));
            if let (Some(from), Some(to)) = ends
                && let Some((partner, line)) = stretch_at(pattern, other, from, to)
            {
                found.push((partner, line, degrees, zip));
            }
        }
    }
    found
}

/// The angle at a seam of which no hinge speaks: panels that are joined along more than one edge, and
/// of which no corner is boxed, lie on each other; others go straight on.
fn unnamed_angle(work: &Assembly<'_>, sides: &[Run; 2]) -> f64 {
    let copies: Vec<CopyId> = sides.iter().flat_map(Run::copies).collect();
    if copies.iter().any(|copy| !boxed_corners(work, *copy).is_empty()) {
        return 180.0;
    }
    let edges: BTreeSet<(CopyId, usize)> = work
        .glues
        .iter()
        .filter(|glue| copies.contains(&glue.a.copy) && copies.contains(&glue.b.copy))
        .map(|glue| (glue.a.copy, glue.a.edge))
        .collect();
    if edges.len() > 1 { 0.0 } else { 180.0 }
}

/// How far along a run a point of a copy lies, in mm, if it lies on it.
fn distance_along(pattern: &Pattern, run: &Run, copy: CopyId, point: Point) -> Option<f64> {
    let mut before = 0.0;
    for span in &run.spans {
        if span.copy == copy {
            let edge = pattern.piece_of(copy).net.edge(span.edge);
            let (start, end) =
                (edge.point_along(span.from).to_mm(), edge.point_along(span.to).to_mm());
            if edge.is_straight() {
                if lies_on(point, start, end) {
                    return Some(before + length_of(point - start));
                }
            } else {
                let at = measure::Point::from_mm(point);
                let (low, high) = span.ordered();
                let along = edge.distance_to(at);
                let near = Length::nm(100_000);
                if edge.distance_from(at) <= near && low - near <= along && along <= high + near {
                    return Some(before + (along - span.from).abs().to_mm());
                }
            }
        }
        before += span.length().to_mm();
    }
    None
}

/// The copy, and the line on it, between two distances along a run: on the span that has the middle
/// between them.
fn stretch_at(
    pattern: &Pattern,
    run: &Run,
    from: f64,
    to: f64,
) -> Option<(CopyId, (Point, Point))> {
    let middle = f64::midpoint(from, to);
    let mut before = 0.0;
    for span in &run.spans {
        let length = span.length().to_mm();
        if middle <= before + length {
            let point = |distance: f64| {
                let into = Length::from_mm_f64((distance - before).clamp(0.0, length));
                let at = if span.from <= span.to { span.from + into } else { span.from - into };
                pattern.piece_of(span.copy).net.point_along(span.edge, at).to_mm()
            };
            return Some((span.copy, (point(from), point(to))));
        }
        before += length;
    }
    None
}

/// The lowest and the highest corner of the facets that lie in one plane with the first, measured
/// along its own upward direction from its own origin.
pub(crate) fn reach_of_front(facets: &[Facet]) -> (f64, f64) {
    let Some(front) = facets.first() else { return (0.0, 0.0) };
    let level = |point: Space| (point - front.frame.origin).dot(front.frame.up);
    facets
        .iter()
        .filter(|facet| facet.frame.normal().dot(front.frame.normal()) > 0.999)
        .flat_map(|facet| facet.polygon.iter().map(|corner| level(facet.frame.at(*corner))))
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), z| (low.min(z), high.max(z)))
}

#[cfg(test)]
mod tests {
    use bag::design::Design;
    use bag::kinds::Value;
    use measure::Units;

    use super::*;

    /// Width, depth and height of the box around the folded facets of a bag, in inches.
    fn check(design: &Design, expected: [f64; 3]) {
        near(design, expected, 1e-4);
    }

    fn near(design: &Design, expected: [f64; 3], within: f64) {
        let pattern = bag::draft(design).pattern.unwrap();
        let facets = fold(&pattern);
        let corners: Vec<Space> = facets
            .iter()
            .flat_map(|facet| facet.polygon.iter().map(|corner| facet.frame.at(*corner)))
            .collect();
        let extent = |of: fn(&Space) -> f64| {
            let values = || corners.iter().map(of);
            let (low, high) =
                (values().fold(f64::MAX, f64::min), values().fold(f64::MIN, f64::max));
            (high - low) / 25.4
        };
        let found = [extent(|p| p.x), extent(|p| p.y), extent(|p| p.z)];
        for (found, expected) in found.iter().zip(expected) {
            assert!((found - expected).abs() < within, "{found} for {expected}");
        }
    }

    /// Common practice, no source: panels cut 21 × 17 in, seams of 1/2 in, corners boxed to a depth
    /// of 4 in make a bag of 16 in at the base, 4 in deep and 14 in high; its rim of 40 in around
    /// is the perimeter of the same box (derived), so its sides are upright.
    #[test]
    fn a_boxed_bag_folds_to_the_size_that_it_promises() {
        let mut design = Design::of(bag::bodies::find("boxed").unwrap(), Units::Inch);
        for (key, inches) in [("width", 16), ("height", 14), ("depth", 4)] {
            assert!(design.body.values.set(key, Value::Length(Length::inch(inches))), "{key}");
        }
        let pattern = bag::draft(&design).pattern.unwrap();
        let panel = pattern.pieces.iter().find(|piece| piece.id == "outside-panel").unwrap();
        assert_eq!(panel.cut_size(), (Length::inch(21), Length::inch(17)));
        // Beyond the rim's stitching line nothing is drawn; up to it the bag is 14 in high.
        check(&design, [16.0, 4.0, 14.0]);
        // Front, base and sides: six facets of each panel but the corners, which are boxed away.
        assert_eq!(fold(&pattern).len(), 8);
    }

    fn sized(body: &str, sizes: &[(&str, i64)]) -> Design {
        let mut design = Design::of(bag::bodies::find(body).unwrap(), Units::Inch);
        for (key, inches) in sizes {
            assert!(design.body.values.set(key, Value::Length(Length::inch(*inches))), "{key}");
        }
        design
    }

    /// Front, back and a gusset between them: a box of its finished size; rounding its corners does
    /// not change it.
    #[test]
    fn a_gusset_folds_round_its_panels() {
        for body in ["gusset", "gusset-in-parts"] {
            let square = sized(body, &[("width", 13), ("height", 15), ("depth", 4)]);
            check(&square, [13.0, 4.0, 15.0]);
            let mut round = square;
            assert!(round.body.values.set("corner", Value::Length(Length::inch(3))));
            near(&round, [13.0, 4.0, 15.0], 0.05);
        }
    }

    /// A tube closes round its base: as wide and as deep as that.
    #[test]
    fn a_tube_folds_round_its_base() {
        near(&sized("round-base", &[("width", 10), ("height", 12)]), [10.0, 10.0, 12.0], 0.2);
        let oval = sized("round-base", &[("width", 12), ("height", 9), ("depth", 7)]);
        near(&oval, [12.0, 7.0, 9.0], 0.2);
        let rounded = sized("rounded-base", &[("width", 14), ("height", 9), ("depth", 6)]);
        near(&rounded, [14.0, 6.0, 9.0], 0.1);
    }

    /// A pouch with a zip along its top, 9 × 5 × 4 in, with a zip of number 3, which shows 1/2 in: its
    /// facets close to that box, and between the rims of front and back, level with its top, as much is
    /// left as the zip shows. However its lining is put in; so is that.
    #[test]
    fn a_pouch_folds_round_its_zip() {
        for lining in ["backed", "turned", "faced", "dropped"] {
            let mut design = sized("boxed-pouch", &[("width", 9), ("height", 5), ("depth", 4)]);
            let kind = bag::linings::find(lining).unwrap();
            design.lining = bag::design::Chosen::new(kind, design.system());
            check(&design, [9.0, 4.0, 5.0]);
            let pattern = bag::draft(&design).pattern.unwrap();
            let work = Assembly::sew(&pattern);
            let rims: Vec<[Space; 2]> = fold(&pattern)
                .iter()
                .flat_map(|facet| {
                    let edge = pattern.piece_of(facet.copy).net.edge(2);
                    let (from, to) = (edge.start().to_mm(), edge.end().to_mm());
                    let on = sides(&facet.polygon)
                        .find(|(a, b)| lies_on(*a, from, to) && lies_on(*b, from, to));
                    on.map(|(a, b)| [facet.frame.at(a), facet.frame.at(b)])
                })
                .collect();
            let [[a, b], [c, d]] = rims.as_slice() else { panic!("{lining}: {rims:?}") };
            for (one, other) in [(a, d), (b, c)] {
                assert!(((*one - *other).length() - 12.7).abs() < 1e-6, "{lining}: {rims:?}");
                assert!((one.z - other.z).abs() < 1e-6, "{lining}: {rims:?}");
            }
            assert!(work.sewn.zips.values().all(|shows| *shows == Length::inch_frac(1, 2)));
            if lining == "faced" {
                assert_low_facing_folds(design);
            }
            if lining == "dropped" {
                let front = CopyId(2);
                let facets = fold_from(&work, front);
                let all = facets.iter().flat_map(|it| it.polygon.iter().map(|at| it.frame.at(*at)));
                let deep = all
                    .map(|at| at.y)
                    .fold((f64::MAX, f64::MIN), |(low, high), y| (low.min(y), high.max(y)));
                assert!((deep.1 - deep.0 - 101.6).abs() < 1e-6, "{deep:?}");
            }
        }
    }

    /// The corners of a lining below a facing that is lower than they reach are boxed away, too: it is
    /// as wide, as deep and as high as its box.
    fn assert_low_facing_folds(mut design: Design) {
        assert!(design.lining.values.set("facing", Value::Length(Length::inch(1))));
        let pattern = bag::draft(&design).pattern.unwrap();
        let work = Assembly::sew(&pattern);
        let facets = fold_from(&work, lining_over_zip(&work).unwrap());
        let all = || facets.iter().flat_map(|it| it.polygon.iter().map(|at| it.frame.at(*at)));
        let reach = |of: fn(Space) -> f64| {
            all().map(of).fold(f64::MIN, f64::max) - all().map(of).fold(f64::MAX, f64::min)
        };
        let size = [reach(|at| at.x), reach(|at| at.y), reach(|at| at.z)];
        for (found, inches) in size.into_iter().zip([9.0, 4.0, 5.0]) {
            assert!((found - inches * 25.4).abs() < 1e-6, "{size:?}");
        }
    }

    #[test]
    fn a_flat_bag_stays_flat() {
        let mut design = Design::of(bag::bodies::find("flat").unwrap(), Units::Inch);
        for (key, inches) in [("width", 12), ("height", 15)] {
            assert!(design.body.values.set(key, Value::Length(Length::inch(inches))), "{key}");
        }
        check(&design, [12.0, 0.0, 15.0]);
    }
}
