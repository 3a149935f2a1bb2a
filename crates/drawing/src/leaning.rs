//! Bags that are narrower at the top than at the base: front and back lean towards each other, and their
//! sides with them.

use crate::folding::Facet;
use crate::space::Space;

/// The corners of a facet at its top, if that is the top of the body.
fn at_top(facet: &Facet, high: Space) -> Vec<Space> {
    let all = facet.polygon.iter().map(|at| facet.frame.at(*at));
    // A side that leans is as high along its seams as the front is upright.
    all.filter(|at| at.z > high.z - (high.z.abs() * 0.03 + 1.0)).collect()
}

/// Whether a facet was folded from the back, so that its top keeps to that.
fn hangs_on_back(facet: &Facet, high: Space) -> bool {
    let top = at_top(facet, high);
    !top.is_empty() && top.iter().all(|at| at.y > high.y - 1.0)
}

/// How far front and back lean towards each other: the sine of their angle to the upright. Sides that
/// are narrower at the top than the base is deep draw them together.
pub(crate) fn lean_of(facets: &[Facet], low: Space, high: Space) -> f64 {
    let deep = high.y - low.y;
    let is_side = |facet: &&Facet| facet.frame.normal().x.abs() > 0.99;
    let width_at_top = |facet: &Facet| {
        let top = at_top(facet, high);
        let reach = top.iter().fold((f64::MAX, f64::MIN), |(a, b), at| (a.min(at.y), b.max(at.y)));
        (top.len() > 1).then_some(reach)
    };
    // A side in two halves is as wide as both.
    let reaches: Vec<(f64, f64)> = facets.iter().filter(is_side).filter_map(width_at_top).collect();
    let least = reaches.iter().map(|it| it.0).fold(f64::MAX, f64::min);
    let most = reaches.iter().map(|it| it.1).fold(f64::MIN, f64::max);
    let front_to_back = facets.iter().any(|it| hangs_on_back(it, high));
    if reaches.is_empty() || deep < 5.0 || !front_to_back || least > low.y + 1.0 {
        return 0.0;
    }
    let lean = (deep - (most - least)) / 2.0;
    if lean.abs() > 0.5 { lean / (high.z - low.z).max(lean.abs()) } else { 0.0 }
}

/// Where a point comes to lie when front and back lean: turned about the edge of the base, with the
/// sides that were folded from either. A base stays where it lies.
pub(crate) fn leaning(facet: &Facet, at: Space, lean: f64, (low, high): (Space, Space)) -> Space {
    if facet.frame.normal().z.abs() > 0.5 {
        return at;
    }
    let corners = || facet.polygon.iter().map(|corner| facet.frame.at(*corner).y);
    let before = corners().filter(|y| *y < low.y + 1.0).count() > 1;
    let behind = corners().filter(|y| *y > high.y - 1.0).count() > 1;
    let (edge, sin) = if behind && !before { (high.y, -lean) } else { (low.y, lean) };
    let cos = (1.0 - sin * sin).sqrt();
    let (y, z) = (at.y - edge, at.z - low.z);
    Space::new(at.x, edge + y * cos + z * sin, low.z - y * sin + z * cos)
}

#[cfg(test)]
mod tests {
    use bag::assembly::Assembly;
    use bag::design::{Chosen, Design};
    use bag::kinds::Value;
    use bag::pattern::CopyId;
    use measure::{Length, Units};

    use super::*;
    use crate::body::Body;
    use crate::folding::{fold_from, front_copy, most_like_front, outside_of};

    /// Pythagoras: panels 340 mm high that come 30 mm nearer to the middle at the top stand
    /// √(340² − 30²) = 338.7 mm high, 140 mm apart below and 80 above; the sides meet them at every
    /// corner. So does a lining below a facing.
    #[test]
    fn a_bag_narrower_at_the_top_leans_and_stays_closed() {
        for lining in ["turned", "faced"] {
            let mut design = Design::of(bag::bodies::find("gusset-in-parts").unwrap(), Units::Cm);
            for (key, mm) in [("width", 360), ("height", 340), ("depth", 140), ("taper", 60)] {
                assert!(design.body.values.set(key, Value::Length(Length::mm(mm))));
            }
            let system = design.system();
            design.lining = Chosen::new(bag::linings::find(lining).unwrap(), system);
            assert!(design.lining.values.set("ease", Value::Length(Length::ZERO)));
            let pattern = bag::draft(&design).pattern.unwrap();
            let work = Assembly::sew(&pattern);
            let outer = front_copy(&pattern).unwrap();
            let outside = outside_of(&work, outer);
            let all: Vec<CopyId> = pattern.copy_ids().collect();
            let within: Vec<CopyId> =
                all.into_iter().filter(|copy| !outside.contains(copy)).collect();
            let inner = most_like_front(&pattern, &within).unwrap();
            for front in [outer, inner] {
                let body = Body::new(&work, fold_from(&work, front));
                let corners = |facet: &Facet| {
                    let places = facet.polygon.iter().map(|at| body.place(facet, *at));
                    places.collect::<Vec<_>>()
                };
                let is_side = |facet: &&Facet| facet.frame.normal().x.abs() > 0.99;
                let (sides, others): (Vec<&Facet>, Vec<&Facet>) =
                    body.facets.iter().partition(is_side);
                assert!(sides.len() > 1, "{lining}");
                let others: Vec<Space> = others.into_iter().flat_map(corners).collect();
                for at in sides.into_iter().flat_map(corners) {
                    let near = others.iter().map(|it| (*it - at).length()).fold(f64::MAX, f64::min);
                    assert!(near < 1.0, "{lining}: {at:?} is {near} mm off");
                }
                let top = others.iter().map(|at| at.z).fold(f64::MIN, f64::max);
                let low = others.iter().map(|at| at.z).fold(f64::MAX, f64::min);
                assert!((top - low - 338.7).abs() < 0.5, "{lining}: {}", top - low);
                let deep = |is: &dyn Fn(f64) -> bool| {
                    let ys = || others.iter().filter(|at| is(at.z)).map(|at| at.y);
                    ys().fold(f64::MIN, f64::max) - ys().fold(f64::MAX, f64::min)
                };
                assert!((deep(&|z| z > top - 1.0) - 80.0).abs() < 1.0, "{lining}");
                assert!((deep(&|z| z < low + 1.0) - 140.0).abs() < 1.0, "{lining}");
            }
        }
    }
}
