//! What lies on the panels of the finished bag: pockets and whatever else was placed on them, slits
//! with their zips, and the stitches that are seen.

use bag::assembly::Event;
use bag::operations::{FaceSide, SetZip, ZipInto};
use bag::pattern::{CopyId, Pattern, PocketClaim, Run};
use kurbo::{Point, Vec2};
use measure::Outline;

use super::Bag;
use crate::body::Body;
use crate::facets::{area, common, within};
use crate::folding::{Facet, fold, sides};
use crate::line::LineKind;
use crate::scene::{Fill, Layer, closed};
use crate::space::{Eye, length_of};
use crate::texture::{Side, Texture};

/// How high a slit with a zip is drawn, in mm of cloth.
const SLIT: f64 = 10.0;
/// The row of stitches below the opening of a pocket, in mm on paper.
const HEM: f64 = 1.5;

/// The area of inside pockets on the side that is far from an eye at `turn`, in mm².
pub(super) fn area_inside(pattern: &Pattern, turn: f64) -> f64 {
    // The far side of the lining is the far side of the outside: a copy's name and place say which
    // only through the fold, so the fold is asked.
    let work = bag::assembly::Assembly::sew(pattern);
    let facets = super::lining_front(&work)
        .map_or_else(|| fold(pattern), |front| crate::folding::fold_from(&work, front));
    let lined = super::is_lined(pattern);
    let eye = Eye::new(turn, 20.0, 1.0);
    let mut sum = 0.0;
    for pocket in pattern.claims.pockets.iter().filter(|pocket| pocket.inside) {
        let Some(facet) = facet_under(&facets, pocket) else { continue };
        // A lining is folded as a bag of its own and then stood in the outside as in a mirror.
        let mut normal = facet.frame.normal();
        if lined {
            normal.x = -normal.x;
        }
        if !eye.faces(normal) {
            sum += pocket.size.0.to_mm() * pocket.size.1.to_mm();
        }
    }
    sum
}

/// The facet on which most of a pocket lies: a panel whose corners are boxed has several.
fn facet_under<'f>(facets: &'f [Facet], pocket: &PocketClaim) -> Option<&'f Facet> {
    let (low, size) = (pocket.at.to_mm(), pocket.size);
    let (x1, y1) = (low.x + size.0.to_mm(), low.y + size.1.to_mm());
    let outline = [low, Point::new(x1, low.y), Point::new(x1, y1), Point::new(low.x, y1)];
    let on = facets.iter().filter(|facet| facet.copy == pocket.on);
    let under = |facet: &Facet| area(&common(&outline, &facet.polygon)).abs();
    on.max_by(|a, b| under(a).total_cmp(&under(b)))
}

/// The area of outside pockets on the side that an eye at `turn` sees, and one before the front does
/// not, in mm².
pub(super) fn area_outside(pattern: &Pattern, turn: f64) -> f64 {
    let facets = fold(pattern);
    let eye = Eye::new(turn, 0.0, 1.0);
    let seen = |pocket: &&PocketClaim| {
        let facet = facet_under(&facets, pocket);
        !pocket.inside && facet.is_some_and(|it| eye.faces(it.frame.normal()))
    };
    let pockets = pattern.claims.pockets.iter().filter(seen);
    pockets.map(|pocket| pocket.size.0.to_mm() * pocket.size.1.to_mm()).sum()
}

/// Whatever lies on the outer side of a facet.
pub(super) fn on_outside(bag: &Bag<'_, '_>, layer: &mut Layer, facet: &Facet) {
    let on = On { bag, body: &bag.outer, up: FaceSide::Right, inside: false };
    on.draw(layer, facet);
}

/// Whatever lies on the inner side of a facet.
pub(super) fn on_inside(
    bag: &Bag<'_, '_>,
    body: &Body<'_, '_>,
    up: FaceSide,
    layer: &mut Layer,
    facet: &Facet,
) {
    On { bag, body, up, inside: true }.draw(layer, facet);
}

/// How wide a panel is at a height, in mm.
fn wide_at(net: &Outline, height: f64) -> f64 {
    let corners: Vec<Point> = net.flattened(0.5).into_iter().map(measure::Point::to_mm).collect();
    let across = sides(&corners).filter(|(a, b)| (a.y <= height) != (b.y <= height));
    let at = across.map(|(a, b)| a.lerp(b, (height - a.y) / (b.y - a.y)).x);
    let (least, most) = at.fold((f64::MAX, f64::MIN), |(a, b), x| (a.min(x), b.max(x)));
    (most - least).max(0.0)
}

/// A side of a body on which things lie.
struct On<'b, 'w, 'p> {
    bag: &'b Bag<'w, 'p>,
    body: &'b Body<'w, 'p>,
    /// The side of its panels that is seen.
    up: FaceSide,
    inside: bool,
}

impl On<'_, '_, '_> {
    fn eye(&self) -> &Eye {
        &self.bag.eye
    }

    fn draw(&self, layer: &mut Layer, facet: &Facet) {
        let claims = &self.bag.pattern().claims;
        let faced = |copy: CopyId| self.body.work.slits.iter().any(|it| it.faced_by == Some(copy));
        for pocket in claims.pockets.iter().filter(|it| it.inside == self.inside) {
            // The bag behind a slit is not seen.
            if !faced(pocket.copy) {
                self.pocket(layer, facet, pocket);
            }
        }
        self.others(layer, facet);
        self.slits(layer, facet);
        self.zips(layer, facet);
        self.stitches(layer, facet);
    }

    /// The part of a pocket that lies on a facet.
    fn pocket(&self, layer: &mut Layer, facet: &Facet, pocket: &PocketClaim) {
        let Some(shift) = self.body.continues(facet, pocket.on) else { return };
        let net = &self.bag.pattern().piece_of(pocket.on).net;
        let (low, high) = net.bounds();
        let (width, height) = pocket.size;
        let at = pocket.at.to_mm();
        // A pocket that is held in both side seams follows their slant: the facet cuts it.
        let middle = at.y + height.to_mm() / 2.0;
        let full = width.to_mm() * 10.0 >= wide_at(net, middle) * 9.0;
        let (x0, x1) = if full {
            (low.x.to_mm() - 1.0, high.x.to_mm() + 1.0)
        } else {
            (at.x, at.x + width.to_mm())
        };
        let (y0, y1) = (at.y, at.y + height.to_mm());
        let corners = [(x0, y0), (x1, y0), (x1, y1), (x0, y1)].map(|c| Point::from(c) + shift);
        let polygon = common(&corners, &facet.polygon);
        if self.patch(layer, facet, pocket.copy, Side::Right, &polygon) {
            // On the end of a strip that stands on its head its opening lies there, too.
            let riders = &self.body.work.riders;
            let turned = riders.iter().any(|it| it.what == pocket.copy && it.upside_down);
            self.hem(layer, facet, &polygon, if turned { -1.0 } else { 1.0 });
        }
    }

    /// A piece of cloth on a facet; whether there was anything to draw.
    fn patch(
        &self,
        layer: &mut Layer,
        facet: &Facet,
        what: CopyId,
        side: Side,
        polygon: &[Point],
    ) -> bool {
        if polygon.len() < 3 || area(polygon) < 1.0 {
            return false;
        }
        let grain = self.bag.pattern().piece_of(what).grain;
        let texture = self.body.texture(what, side);
        let fill = Fill::Cloth(texture, self.body.lay(self.eye(), facet, grain));
        layer.shape(closed(self.body.seen(self.eye(), facet, polygon)), fill, None);
        for (index, a) in polygon.iter().enumerate() {
            let b = polygon[(index + 1) % polygon.len()];
            // What runs on over a seam shows no line there.
            if !self.body.runs_on(facet, a.midpoint(b)) {
                layer.line(self.body.seen_line(self.eye(), facet, *a, b), LineKind::Edge);
            }
        }
        true
    }

    /// A row of stitching below the opening, which lies where `up` points to: 1 or -1.
    fn hem(&self, layer: &mut Layer, facet: &Facet, polygon: &[Point], up: f64) {
        let top = polygon.iter().map(|p| p.y * up).fold(f64::NEG_INFINITY, f64::max);
        let mut ends: Vec<Point> =
            polygon.iter().copied().filter(|p| (p.y * up - top).abs() < 0.1).collect();
        if ends.len() < 2 || self.body.runs_on(facet, ends[0].midpoint(ends[1])) {
            return;
        }
        ends.sort_by(|a, b| a.x.total_cmp(&b.x));
        let down = Vec2::new(0.0, up * HEM / self.eye().scale);
        let (first, last) = (ends[0] - down, ends[ends.len() - 1] - down);
        if length_of(last - first) * self.eye().scale > 2.0 {
            layer.line(self.body.seen_line(self.eye(), facet, first, last), LineKind::Sewn);
        }
    }

    /// What was placed and is no pocket, no handle and no closure: a flap, a label, a band.
    fn others(&self, layer: &mut Layer, facet: &Facet) {
        let pattern = self.bag.pattern();
        let claims = &pattern.claims;
        let known: Vec<CopyId> = claims
            .pockets
            .iter()
            .map(|it| it.copy)
            .chain(claims.handles.iter().flat_map(|it| it.holders().into_iter().chain([it.strap])))
            .chain(claims.closures.iter().flat_map(|it| it.shows.iter().filter_map(|it| it.of)))
            .chain(self.dividers())
            .collect();
        for (_, event) in &self.body.work.events {
            let Event::Placed { what, onto, at, face_up, ground, feet, upside_down } = event else {
                continue;
            };
            let piece = pattern.piece_of(*what);
            let webbing = pattern.material(piece.material).look == bag::pattern::Look::Webbing;
            // The lining of a pocket lies behind it, its wrong side up.
            let is_behind = *face_up == FaceSide::Wrong
                && claims.pockets.iter().any(|it| self.body.work.is_one_body(it.copy, *what));
            let is_told = known.contains(what) || is_behind;
            if *ground != self.up || !feet.is_empty() || is_told || webbing {
                continue;
            }
            let Some(shift) = self.body.continues(facet, *onto) else { continue };
            let (low, high) = piece.net.bounds();
            let (low, high) = (low.to_mm(), high.to_mm());
            let corners = [low, Point::new(high.x, low.y), high, Point::new(low.x, high.y)];
            let by = at.to_mm() - low + shift;
            let polygon = common(&corners.map(|corner| corner + by), &facet.polygon);
            let side = if (*face_up == FaceSide::Right) != *upside_down {
                Side::Right
            } else {
                Side::Wrong
            };
            self.patch(layer, facet, *what, side, &polygon);
        }
    }

    /// Every layer of the dividers, which stand and do not lie.
    fn dividers(&self) -> Vec<CopyId> {
        let dividers = self.bag.pattern().claims.dividers.iter();
        dividers.flat_map(|claim| self.body.work.body_copies(claim.copy)).collect()
    }

    /// Slits, each with a zip in it.
    fn slits(&self, layer: &mut Layer, facet: &Facet) {
        for slit in self.body.work.slits.iter().filter(|it| it.faced_by.is_some()) {
            let Some(shift) = self.body.continues(facet, slit.copy) else { continue };
            let (a, b) = (slit.from.to_mm() + shift, slit.to.to_mm() + shift);
            let half = Vec2::new(0.0, SLIT / 2.0);
            self.tape(layer, facet, [a - half, b - half, b + half, a + half]);
        }
    }

    /// Zips between two parts of a pocket that lie on a panel.
    fn zips(&self, layer: &mut Layer, facet: &Facet) {
        let pattern = self.bag.pattern();
        for step in &pattern.steps {
            let Some(zip) = step.as_a::<SetZip>() else { continue };
            let ZipInto::Edges(sides, _) = &zip.into else { continue };
            let ends = |run: &Run| {
                let span = run.spans.first()?;
                let lies = self.body.work.events.iter().find_map(|(_, event)| match event {
                    Event::Placed { what, onto, at, ground, .. }
                        if *what == span.copy && *ground == self.up =>
                    {
                        Some((*onto, at.to_mm()))
                    }
                    _ => None,
                });
                let (onto, at) = lies?;
                let shift = self.body.continues(facet, onto)?;
                let net = &pattern.piece_of(span.copy).net;
                let by = at - net.bounds().0.to_mm() + shift;
                Some([span.from, span.to].map(|it| net.point_along(span.edge, it).to_mm() + by))
            };
            // Both are sewn in one direction.
            if let (Some([a, b]), Some([d, c])) = (ends(&sides[0]), ends(&sides[1])) {
                self.tape(layer, facet, [a, b, c, d]);
            }
        }
    }

    /// The tape of a zip on a facet, its chain in the middle.
    fn tape(&self, layer: &mut Layer, facet: &Facet, [a, b, c, d]: [Point; 4]) {
        let frame = common(&[a, b, c, d], &facet.polygon);
        if frame.len() < 3 || area(&frame).abs() < 1.0 {
            return;
        }
        let texture = Texture::right(crate::texture::Cloth::Webbing);
        let lay = self.body.lay(self.eye(), facet, bag::pattern::Grain::Crosswise);
        let shape = closed(self.body.seen(self.eye(), facet, &frame));
        layer.shape(shape, Fill::Cloth(texture, lay), Some(LineKind::Edge));
        let (from, to) = (a.midpoint(d), b.midpoint(c));
        if let Some((from, to)) = within(&facet.polygon, from, to) {
            layer.line(self.body.seen_line(self.eye(), facet, from, to), LineKind::Edge);
        }
    }

    /// The stitches that were sewn through a panel and stay in sight.
    fn stitches(&self, layer: &mut Layer, facet: &Facet) {
        for (_, event) in &self.body.work.events {
            let Event::Stitched { onto, lines, .. } = event else { continue };
            let Some(shift) = self.body.continues(facet, *onto) else { continue };
            for line in lines {
                let (a, b) = (line.from.to_mm() + shift, line.to.to_mm() + shift);
                let Some((a, b)) = within(&facet.polygon, a, b) else { continue };
                if length_of(b - a) * self.eye().scale > 1.5 {
                    layer.line(self.body.seen_line(self.eye(), facet, a, b), LineKind::Sewn);
                }
            }
        }
    }
}
