//! A mouth that is drawn in by a cord in a casing: how high the casing is, and the folds below it.

use bag::operations::ThreadDrawstring;
use kurbo::{Point, Vec2};

use super::Bag;
use crate::body::Body;
use crate::folding::Facet;
use crate::line::LineKind;
use crate::scene::Scene;

/// About how far apart the folds are, in mm of cloth.
const APART: f64 = 22.0;
/// How far each fold runs down, in turn, in parts of where the cloth is drawn in.
const LONG: [f64; 4] = [0.85, 0.5, 0.7, 0.38];

/// The height of the casing in which a cord runs, where nothing else closes over it: the lowest band
/// across a panel that is seen of the closure.
pub(super) fn casing(body: &Body<'_, '_>) -> Option<f64> {
    let pattern = body.pattern();
    let is_threaded = pattern.steps.iter().any(|step| step.as_a::<ThreadDrawstring>().is_some());
    let [closure] = &pattern.claims.closures[..] else { return None };
    if !is_threaded {
        return None;
    }
    let bands = closure.shows.iter().filter_map(|shown| {
        let all = || shown.outline.iter().map(|at| at.to_mm());
        let low = all()
            .fold(Point::new(f64::MAX, f64::MAX), |a, b| Point::new(a.x.min(b.x), a.y.min(b.y)));
        let high = all()
            .fold(Point::new(f64::MIN, f64::MIN), |a, b| Point::new(a.x.max(b.x), a.y.max(b.y)));
        let is_band = high.x - low.x > 2.0 * (high.y - low.y);
        let facet = body.facet_near(shown.on, low.midpoint(high)).filter(|_| is_band)?;
        Some(facet.frame.at(low.midpoint(high)).z)
    });
    bands.min_by(f64::total_cmp)
}

/// The folds into which the cord draws the panels that are seen.
pub(super) fn folds(bag: &Bag<'_, '_>, scene: &mut Scene, near: &[&Facet]) {
    let Some([from, casing]) = bag.outer.drawn_in() else { return };
    for facet in near {
        let Some((left, right)) = across(facet, casing - 1.0) else { continue };
        let count = (left.distance(right) / APART).floor();
        if count < 1.0 {
            continue;
        }
        let upwards = Vec2::new(facet.frame.right.z, facet.frame.up.z);
        let upwards = upwards / upwards.length().max(1e-6);
        let (mut at, mut index) = (0.5, 0);
        while at < count {
            let top = left.lerp(right, at / count);
            let long = (casing - from) * LONG[index % LONG.len()];
            let down = top - upwards * long;
            let line = bag.outer.seen_line(&bag.eye, facet, top, down);
            scene.layer("folds").line(line, LineKind::Thin);
            (at, index) = (at + 1.0, index + 1);
        }
    }
}

/// Where a facet is crossed at a height, from side to side.
fn across(facet: &Facet, height: f64) -> Option<(Point, Point)> {
    let over = |at: Point| facet.frame.at(at).z - height;
    let corners = &facet.polygon;
    let mut crossings = corners.iter().enumerate().filter_map(|(index, a)| {
        let b = corners[(index + 1) % corners.len()];
        let (from, to) = (over(*a), over(b));
        ((from < 0.0) != (to < 0.0)).then(|| a.lerp(b, from / (from - to)))
    });
    Some((crossings.next()?, crossings.next()?))
}

#[cfg(test)]
mod tests {
    use bag::assembly::Assembly;
    use bag::design::{Chosen, Design};
    use measure::{System, Units};

    use super::*;
    use crate::folding::fold;

    fn sewn(body: &str, closure: Option<&str>) -> Option<bag::Pattern> {
        let mut design = Design::of(bag::bodies::find(body)?, Units::Mm);
        if let Some(closure) = closure {
            design.closure = Chosen::new(bag::closures::find(closure)?, System::Metric);
        }
        bag::draft(&design).pattern
    }

    /// At its casing a bag is a third as wide as below, and no part of it comes out wider than it is.
    #[test]
    fn a_mouth_with_a_cord_is_drawn_in() {
        for (name, closure) in [
            ("boxed", Some("drawstring")),
            ("round-base", Some("drawstring")),
            ("drawstring-bag", None),
        ] {
            let pattern = sewn(name, closure).expect(name);
            let work = Assembly::sew(&pattern);
            let mut body = Body::new(&work, fold(&pattern));
            let wide = |body: &Body<'_, '_>, low: f64, high: f64| {
                let corners =
                    body.facets.iter().flat_map(|facet| body.spread(facet, &facet.polygon));
                let xs = corners.filter(|at| at.z > low && at.z < high).map(|at| at.x);
                let (least, most) = xs.fold((f64::MAX, f64::MIN), |(a, b), x| (a.min(x), b.max(x)));
                most - least
            };
            let before = wide(&body, f64::MIN, f64::MAX);
            let casing = casing(&body).expect(name);
            body.gather(casing);
            let neck = wide(&body, casing - 0.5, casing + 0.5);
            assert!((0.3..0.38).contains(&(neck / before)), "{name}: {neck} of {before}");
            assert!(wide(&body, f64::MIN, f64::MAX) < before + 0.5, "{name}");
        }
    }

    #[test]
    fn what_has_no_cord_or_closes_over_it_is_not() {
        for (name, closure) in [("boxed", Some("zip")), ("backpack", None), ("roll-top", None)] {
            let pattern = sewn(name, closure).expect(name);
            let work = Assembly::sew(&pattern);
            assert_eq!(casing(&Body::new(&work, fold(&pattern))), None, "{name}");
        }
    }
}
