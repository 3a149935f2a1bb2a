//! Where a part of the finished bag is seen in its picture, and a mark there.

use bag::assembly::Assembly;
use bag::pattern::{CopyId, Pattern};
use kurbo::{Circle, Point, Shape, Vec2};

use super::{Bag, FinishedOptions, usual_view};
use crate::folding::fold;
use crate::line::LineKind;
use crate::scene::{Fill, Scene};
use crate::straps::Strap;
use crate::text::Text;

/// Radius of a mark, in mm on paper, and the size of its lettering.
const MARK: f64 = 3.4;
const LETTERS: f64 = 4.2;

/// Puts a numbered mark on each of these parts that is seen in a picture drawn with the same options:
/// on the panel, pocket or strap that the copy is. Marks do not lie on each other. What is not part of
/// the closed bag has none; how many were put is returned.
pub fn mark(
    scene: &mut Scene,
    pattern: &Pattern,
    options: FinishedOptions,
    parts: &[(CopyId, String)],
) -> usize {
    // Beside a person or a sheet everything is small, and stands elsewhere.
    if scene.layers.is_empty() || options.beside.is_some() || parts.is_empty() {
        return 0;
    }
    let work = Assembly::sew(pattern);
    let view = options.view.unwrap_or_else(|| usual_view(pattern, options.showing));
    let mut bag = Bag::new(&work, fold(pattern), options, view);
    bag.fit(options, Bag::extent);
    let mut put: Vec<Point> = Vec::new();
    for (copy, label) in parts {
        let Some(mut at) = seen(&bag, *copy) else { continue };
        while put.iter().any(|other| (*other - at).hypot2() < (MARK * 2.2) * (MARK * 2.2)) {
            at += Vec2::new(MARK * 2.3, 0.0);
        }
        put.push(at);
        let layer = scene.layer("found");
        layer.shape(Circle::new(at, MARK).to_path(0.05), Fill::Paper, Some(LineKind::Cut));
        layer.text(Text::new(label.as_str(), at).sized(LETTERS));
    }
    put.len()
}

/// The middle of a part as it is seen.
fn seen(bag: &Bag<'_, '_>, copy: CopyId) -> Option<Point> {
    let claims = &bag.pattern().claims;
    let (outer, eye) = (&bag.outer, &bag.eye);
    let strap = claims.handles.iter().find(|it| it.strap == copy || it.fastened.contains(&copy));
    if let Some(strap) = strap {
        return Some(eye.see(Strap::of(outer, eye, strap)?.top()?));
    }
    let pocket = claims.pockets.iter().find(|it| it.copy == copy);
    let (on, at) = match pocket {
        Some(pocket) => {
            let (wide, high) = pocket.size;
            let half = Vec2::new(wide.to_mm() / 2.0, high.to_mm() / 2.0);
            (pocket.on, Some(pocket.at.to_mm() + half))
        }
        None => (copy, None),
    };
    for body in [Some(outer), bag.lining.as_ref()].into_iter().flatten() {
        let facet = match at {
            Some(at) => body.facet_near(on, at),
            None => body.facet_of(on),
        };
        let Some(facet) = facet else { continue };
        let sum = facet.polygon.iter().fold(Vec2::ZERO, |sum, corner| sum + corner.to_vec2());
        let middle = (sum / facet.polygon.len().max(1) as f64).to_point();
        return Some(eye.see(body.place(facet, at.unwrap_or(middle))));
    }
    None
}
