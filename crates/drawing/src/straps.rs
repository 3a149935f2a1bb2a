//! Handles in space: how a loop stands up from the rim, hangs down before it or stands out from the
//! back, and how it is seen. Nothing here asks what kind of handle it is; the claim says where its
//! feet are, how long it is, and what it is fastened to.

use bag::operations::{RollStrip, WrapGrip};
use bag::pattern::{CopyId, Grain, HandleClaim, Pattern};
use kurbo::{Affine, Point, Vec2};
use measure::Length;

use crate::body::{Body, Loops};
use crate::line::LineKind;
use crate::scene::{Fill, Layer, closed};
use crate::space::{Eye, Space, length_of};
use crate::texture::{Side, Texture};

/// A strap in front of its panel keeps so far away from it, in mm.
const CLEAR: f64 = 2.0;
/// The share of what holds a strap that is a tab; the rest is its ring.
const TAB: f64 = 0.55;

/// Points along a strap.
#[derive(Clone, Copy, Debug)]
struct Rib {
    /// Both edges of the strap.
    edges: [Space; 2],
    /// How far along the strap, in mm.
    along: f64,
}

/// A strap in space, from foot to foot.
#[derive(Clone, Debug)]
pub(crate) struct Strap {
    ribs: Vec<Rib>,
    /// What is between the bag and the strap at either end, in mm along it: a tab and a ring.
    held_by: f64,
    /// Whether it is on the side of the bag that the eye sees.
    pub(crate) is_near: bool,
    /// Which of its ends hang beside a side of the bag that the eye sees, of a strap that goes from
    /// side to side.
    beside: [bool; 2],
    /// Which of its ends are drawn with it.
    ends: [bool; 2],
}

impl Strap {
    /// The strap of a handle on a body; nothing if its panel is no part of it.
    pub(crate) fn of(body: &Body<'_, '_>, eye: &Eye, handle: &HandleClaim) -> Option<Self> {
        let [first, last] = handle.feet.map(measure::Point::to_mm);
        let middle = body.facet_near(handle.on, first.midpoint(last))?;
        let foot = |at: Point| Some(body.place(body.facet_near(handle.on, at)?, at));
        let (from, to) = (foot(first)?, foot(last)?);
        let out = body.outwards(middle, first.midpoint(last));
        let apart = (to - from).length();
        let way =
            if apart > 1e-6 { (to - from) * (1.0 / apart) } else { Space::new(1.0, 0.0, 0.0) };
        let path = standing_loop(Point::ZERO, Point::new(apart, 0.0), length_shown(handle, apart));
        let half = handle.width.to_mm() / 2.0;
        let (left, right) = sides_of(&path, half);
        let floor = from.z - body.floor();
        let up = Space::new(0.0, 0.0, 1.0);
        let place = |at: Point| -> Space {
            let on = from + way * at.x;
            match body.loops {
                Loops::Down => {
                    // What is longer than the bag is high lies before it on the table.
                    let down = at.y.min(floor.max(0.0));
                    on - up * down + out * (CLEAR + (at.y - down).max(0.0))
                }
                Loops::Hidden | Loops::Up => on + up * at.y,
            }
        };
        let across = way.cross(out);
        let mut along = 0.0;
        let mut ribs = Vec::new();
        for (index, at) in path.iter().enumerate() {
            if index > 0 {
                along += length_of(*at - path[index - 1]);
            }
            let edges = if handle.stands_out {
                let on = from + way * at.x + out * (at.y + CLEAR);
                [on - across * half, on + across * half]
            } else {
                [place(left[index]), place(right[index])]
            };
            ribs.push(Rib { edges, along });
        }
        let held = handle.fastened.first().filter(|_| !handle.stands_out);
        let held_by = held.map_or(0.0, |tab| {
            // Rings that hang below the rim add nothing to the length.
            let folded = body.pattern().piece_of(*tab).net.size().1.half().to_mm();
            (handle.added.to_mm() / 2.0).max(folded / TAB)
        });
        let is_near = eye.faces(out);
        let seen = |at: Point| {
            let side = body.facet_near(handle.on, at)?;
            Some(eye.faces(body.outwards(side, at)))
        };
        let beside = [first, last].map(|at| handle.apart.is_some() && seen(at) == Some(true));
        Some(Self { ribs, held_by, is_near, beside, ends: [true; 2] })
    }

    /// The halves of a far strap that hang before a side which the eye sees.
    pub(crate) fn before_the_sides(&self) -> Vec<Self> {
        let half = self.ribs.len() / 2;
        let halves = [(&self.ribs[..=half], [true, false]), (&self.ribs[half..], [false, true])];
        let far = halves.into_iter().zip(self.beside).filter(|(_, seen)| *seen && !self.is_near);
        far.map(|((ribs, ends), _)| {
            let start = ribs[0].along;
            let from_start = |rib: &Rib| Rib { along: rib.along - start, ..*rib };
            Self { ribs: ribs.iter().map(from_start).collect(), ends, ..self.clone() }
        })
        .collect()
    }

    /// Every corner of it, as it is seen.
    pub(crate) fn seen(&self, eye: &Eye) -> impl Iterator<Item = Point> {
        self.ribs.iter().flat_map(|rib| rib.edges).map(|at| eye.see(at))
    }

    /// The highest point of its middle line.
    pub(crate) fn top(&self) -> Option<Space> {
        let middle = |rib: &Rib| (rib.edges[0] + rib.edges[1]) * 0.5;
        self.ribs.iter().map(middle).max_by(|a, b| a.z.total_cmp(&b.z))
    }

    /// Draws it, far parts first.
    pub(crate) fn paint(
        &self,
        body: &Body<'_, '_>,
        eye: &Eye,
        layer: &mut Layer,
        handle: &HandleClaim,
    ) {
        let long = self.ribs.last().map_or(0.0, |rib| rib.along);
        let strap = lay_of(body, handle.strap);
        if self.held_by > 0.0 {
            let tab = handle.fastened.first().map_or(strap, |tab| lay_of(body, *tab));
            let held = self.held_by;
            let ends =
                [((0.0, held * TAB), held * 0.7), ((long - held * TAB, long), long - held * 0.7)];
            for ((part, ring), _) in ends.into_iter().zip(self.ends).filter(|(_, drawn)| *drawn) {
                self.stretch(eye, layer, part, tab);
                self.ring(eye, layer, ring);
            }
        }
        let [clear, short] = self.ends.map(|drawn| if drawn { self.held_by * 0.8 } else { 0.0 });
        let pattern = body.pattern();
        match filled(pattern, handle) {
            Some(flat) if flat * 2.0 < long => {
                for (from, to) in [(0.0, flat), (long - flat, long)] {
                    self.stretch(eye, layer, (from, to), strap);
                }
                let tube = self.as_wide(ROUND);
                tube.stretch(eye, layer, (flat, long - flat), strap);
                tube.shine(eye, layer, (flat, long - flat));
            }
            _ => self.stretch(eye, layer, (clear, long - short), strap),
        }
        if let Some((grip, size)) = grip_on(pattern, handle.strap) {
            let (wide, half) = (size.0.to_mm() / 2.0, size.1.to_mm() / 2.0);
            let grown = self.as_wide(wide / handle.width.to_mm().max(1.0));
            let ends = ((long / 2.0 - half).max(0.0), (long / 2.0 + half).min(long));
            grown.stretch(eye, layer, ends, lay_of(body, grip));
        }
    }

    /// The same strap wider or narrower by a factor.
    fn as_wide(&self, factor: f64) -> Self {
        let ribs = self.ribs.iter().map(|rib| {
            let middle = (rib.edges[0] + rib.edges[1]) * 0.5;
            Rib { edges: rib.edges.map(|at| middle + (at - middle) * factor), ..*rib }
        });
        Self { ribs: ribs.collect(), ..self.clone() }
    }

    /// A line along a tube that tells that it is round.
    fn shine(&self, eye: &Eye, layer: &mut Layer, (from, to): (f64, f64)) {
        let within = self.ribs.iter().filter(|rib| rib.along > from && rib.along < to);
        let third = |rib: &Rib| eye.see(rib.edges[0] + (rib.edges[1] - rib.edges[0]) * 0.3);
        layer.line(within.map(third).collect::<Vec<_>>(), LineKind::Thin);
    }

    /// The strap at a distance from its beginning.
    fn at(&self, along: f64) -> Option<Rib> {
        let next = self.ribs.iter().position(|rib| rib.along >= along - 1e-9)?;
        let (after, before) = (self.ribs[next], self.ribs[next.saturating_sub(1)]);
        let step = after.along - before.along;
        let share = if step > 1e-9 { (along - before.along) / step } else { 1.0 };
        let edge =
            |side: usize| before.edges[side] + (after.edges[side] - before.edges[side]) * share;
        Some(Rib { edges: [edge(0), edge(1)], along })
    }

    /// The part of the strap between two distances.
    fn stretch(
        &self,
        eye: &Eye,
        layer: &mut Layer,
        (from, to): (f64, f64),
        (texture, along_grain): (Texture, bool),
    ) {
        let within = self.ribs.iter().filter(|rib| rib.along > from + 0.5 && rib.along < to - 0.5);
        let ribs: Vec<Rib> =
            self.at(from).into_iter().chain(within.copied()).chain(self.at(to)).collect();
        let mut parts: Vec<(usize, &[Rib])> = ribs.windows(2).enumerate().collect();
        let deep = |pair: &[Rib]| {
            pair.iter().flat_map(|rib| rib.edges).map(|at| at.dot(eye.into)).sum::<f64>()
        };
        parts.sort_by(|a, b| deep(b.1).total_cmp(&deep(a.1)));
        let last = ribs.len().saturating_sub(2);
        let whole = self.ribs.last().map_or(0.0, |rib| rib.along);
        for (index, pair) in parts {
            let [a, b] = [pair[0], pair[1]].map(|rib| rib.edges.map(|at| eye.see(at)));
            let (start, end) = (a[0].midpoint(a[1]), b[0].midpoint(b[1]));
            let long = (pair[1].along - pair[0].along).max(1e-6) * eye.scale;
            let wide = (pair[0].edges[1] - pair[0].edges[0]).length().max(1e-6) * eye.scale;
            let (along, across) = ((end - start) / long, (a[1] - a[0]) / wide);
            let origin = start - along * pair[0].along * eye.scale;
            let (x, y) = if along_grain { (across, along) } else { (along, across) };
            let lay = Affine::new([x.x, x.y, y.x, y.y, origin.x, origin.y]);
            // A hair of overlap leaves no gap between one part and the next.
            let over = (end - start) / length_of(end - start).max(1e-6) * 0.04;
            let shape = closed([a[0], b[0] + over, b[1] + over, a[1]]);
            layer.shape(shape, Fill::Cloth(texture, lay), None);
            layer.line([a[0], b[0]], LineKind::Edge);
            layer.line([a[1], b[1]], LineKind::Edge);
            // Where a half is cut off from the other the strap goes on.
            if index == 0 && (from > 0.0 || self.ends[0]) {
                layer.line(a, LineKind::Edge);
            }
            if index == last && (to < whole || self.ends[1]) {
                layer.line(b, LineKind::Edge);
            }
        }
    }

    /// A ring of hardware round the strap, its middle at a distance.
    fn ring(&self, eye: &Eye, layer: &mut Layer, along: f64) {
        let half = self.held_by * 0.28;
        let ends = (self.at(along - half), self.at(along + half));
        let (Some(low), Some(high)) = ends else { return };
        let corners = |grow: f64, short: f64| {
            let wider = |rib: Rib, towards: Rib| {
                let middle = (rib.edges[0] + rib.edges[1]) * 0.5;
                let to = (towards.edges[0] + towards.edges[1]) * 0.5;
                rib.edges.map(|at| eye.see(middle + (at - middle) * grow + (to - middle) * short))
            };
            let ([a, b], [d, c]) = (wider(low, high), wider(high, low));
            closed([a, b, c, d])
        };
        let mut ring = corners(1.3, -0.1);
        ring.extend(corners(1.08, 0.16));
        layer.shape(ring, Fill::Paper, Some(LineKind::Edge));
    }
}

/// A tube over a cord is as wide as the cord is thick; lying flat, it is half of once around it.
const ROUND: f64 = 2.0 / std::f64::consts::PI;

/// The grip that is wrapped round a strap: its copy, and its size without what is turned in.
fn grip_on(pattern: &Pattern, strap: CopyId) -> Option<(CopyId, (Length, Length))> {
    pattern.steps.iter().find_map(|step| {
        let wrap = step.as_a::<WrapGrip>()?;
        let index = wrap.straps.iter().position(|it| *it == strap)?;
        let grip = *wrap.grips.get(index)?;
        Some((grip, pattern.piece_of(grip).net.size()))
    })
}

/// How much of each end of a strap that is filled with a cord stays flat above the rim, in mm; nothing
/// for one that is not filled.
fn filled(pattern: &Pattern, handle: &HandleClaim) -> Option<f64> {
    pattern.steps.iter().find_map(|step| {
        let roll = step.as_a::<RollStrip>()?;
        let is_it = roll.strips.contains(&handle.strap) && !roll.filling.is_empty();
        let (wide, high) = pattern.piece_of(handle.strap).cut_size();
        let below = (wide.max(high) - handle.free).half();
        is_it.then(|| (roll.flat - below).max(Length::ZERO).to_mm())
    })
}

/// How long a strap is drawn, in mm: one that stands out from its panel as it is worn, drawn in; its
/// shortest drop tells how far.
fn length_shown(handle: &HandleClaim, apart: f64) -> f64 {
    match handle.shortest.filter(|_| handle.stands_out) {
        Some(drop) => {
            let (drop, half) = (drop.to_mm(), apart / 2.0);
            2.0 * (drop * drop + half * half).sqrt()
        }
        None => handle.free.to_mm(),
    }
}

/// The texture of a strap, and whether its grain runs along it.
fn lay_of(body: &Body<'_, '_>, copy: CopyId) -> (Texture, bool) {
    let piece = body.pattern().piece_of(copy);
    let (wide, high) = piece.net.size();
    let lengthwise = matches!(piece.grain, Grain::Lengthwise | Grain::Free);
    (body.texture(copy, Side::Right), lengthwise == (high >= wide))
}

/// The texture of a strap that lies upright on a panel, and the grain it then has there.
pub(crate) fn upright(body: &Body<'_, '_>, copy: CopyId) -> (Texture, Grain) {
    let (texture, along) = lay_of(body, copy);
    (texture, if along { Grain::Lengthwise } else { Grain::Crosswise })
}

/// The middle line of a handle that stands up between its feet: as long as the handle is free, in
/// the coordinates of the panel. A length too short to reach gives a straight line.
pub(crate) fn standing_loop(left: Point, right: Point, free: f64) -> Vec<Point> {
    const STEPS: u32 = 24;
    let sample = |rise: f64| -> Vec<Point> {
        let (a, b) = (left + Vec2::new(0.0, rise), right + Vec2::new(0.0, rise));
        (0..=STEPS)
            .map(|step| {
                let t = f64::from(step) / f64::from(STEPS);
                let (p, q, r) = (left.lerp(a, t), a.lerp(b, t), b.lerp(right, t));
                p.lerp(q, t).lerp(q.lerp(r, t), t)
            })
            .collect()
    };
    let length =
        |path: &[Point]| path.windows(2).map(|pair| length_of(pair[1] - pair[0])).sum::<f64>();
    // The length grows with the rise, so halving finds it.
    let (mut low, mut high) = (0.0, free.max(1.0) * 2.0);
    for _ in 0..40 {
        let middle = (low + high) / 2.0;
        if length(&sample(middle)) < free {
            low = middle;
        } else {
            high = middle;
        }
    }
    sample(low)
}

/// Both edges of a band of twice `half` along a path.
fn sides_of(path: &[Point], half: f64) -> (Vec<Point>, Vec<Point>) {
    let aside = |index: usize| {
        let before = path[index.saturating_sub(1)];
        let after = path[(index + 1).min(path.len() - 1)];
        let step = after - before;
        Vec2::new(-step.y, step.x) / length_of(step).max(1e-9) * half
    };
    let side = |sign: f64| -> Vec<Point> {
        path.iter().enumerate().map(|(index, at)| *at + aside(index) * sign).collect()
    };
    (side(1.0), side(-1.0))
}

/// A band of twice `half` along a path, as one closed outline.
pub(crate) fn ribbon(path: &[Point], half: f64) -> Vec<Point> {
    let (mut outer, mut inner) = sides_of(path, half);
    inner.reverse();
    outer.extend(inner);
    outer
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_handle_is_as_long_as_it_is_free() {
        let path = standing_loop(Point::new(0.0, 0.0), Point::new(178.0, 0.0), 584.0);
        let length: f64 = path.windows(2).map(|pair| pair[0].distance(pair[1])).sum();
        assert!((length - 584.0).abs() < 0.01, "{length}");
    }
}
