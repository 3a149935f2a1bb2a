//! Whatever lies on a panel, as it lies there: pockets and straps.

use bag::assembly::{Assembly, Event};
use bag::operations::{FaceSide, Foot};
use bag::pattern::{CopyId, HandleClaim};
use kurbo::{Affine, Point, Rect};

use super::story::Story;
use super::table::{Lain, outline};
use crate::space::length_of;
use crate::straps::{ribbon, standing_loop};

/// Something that lies on a panel, in the table's coordinates.
pub(super) struct Shape {
    pub(super) what: CopyId,
    /// Closed outlines, lowest first.
    pub(super) outlines: Vec<Vec<Point>>,
    /// How it is laid, for its texture.
    pub(super) lay: Affine,
    pub(super) up: FaceSide,
    /// The box of its stitching line, or of what of it is measured.
    pub(super) true_box: Rect,
    /// The middles of its feet.
    pub(super) feet: Vec<Point>,
    /// Whether it is only the side of something that stands up from the panel.
    pub(super) side: bool,
}

/// What lies on the side of these panels that is up, lowest first.
pub(super) fn shapes(
    story: &Story<'_>,
    work: &Assembly<'_>,
    step: usize,
    lain: &[Lain],
    least: f64,
) -> Vec<Shape> {
    let mut shapes = Vec::new();
    // What was placed face down together with something lies below it.
    let mut events: Vec<&(usize, Event)> =
        story.end().events.iter().filter(|(at, _)| *at <= step).collect();
    events.sort_by_key(|(at, event)| {
        (*at, u8::from(!matches!(event, Event::Placed { face_up: FaceSide::Wrong, .. })))
    });
    for (step_of, event) in events {
        let Event::Placed { what, onto, at, face_up, ground, feet, upside_down } = event else {
            continue;
        };
        // What is laid by its one end first and by its other end later lies as it was laid last.
        let again = work.events.iter().any(|(when, event)| {
            matches!(event, Event::Placed { what: it, .. } if it == what) && when > step_of
        });
        if again {
            continue;
        }
        let Some(host) = lain.iter().find(|it| it.copy == *onto) else { continue };
        // What was pulled through a slit hangs on the other side.
        let side = if work.is_pulled_through(*what) { ground.other() } else { *ground };
        if host.up != side || !work.riders.iter().any(|rider| rider.what == *what) {
            continue;
        }
        let shape = if feet.len() == 2 {
            strap(story, lain, host, *what, feet, *ground)
        } else {
            let net = &work.pattern.piece_of(*what).net;
            let (low, high) = net.bounds();
            let (low, high) = (low.to_mm(), high.to_mm());
            let turn = if *upside_down {
                Affine::new([-1.0, 0.0, 0.0, -1.0, low.x + high.x, low.y + high.y])
            } else {
                Affine::IDENTITY
            };
            // Laid face down, it is mirrored left to right.
            let flip = match face_up {
                FaceSide::Right => Affine::IDENTITY,
                FaceSide::Wrong => Affine::new([-1.0, 0.0, 0.0, 1.0, low.x + high.x, 0.0]),
            };
            let own = Affine::translate(at.to_mm() - low) * turn * flip;
            let lay = host.lay * own;
            let points = outline(work, *what, least, false).into_iter().map(|p| lay * p).collect();
            let true_box =
                host.lay.transform_rect_bbox(own.transform_rect_bbox(Rect::from_points(low, high)));
            Some(Shape {
                what: *what,
                outlines: vec![points],
                lay,
                up: *face_up,
                true_box,
                feet: vec![],
                side: false,
            })
        };
        shapes.extend(shape);
    }
    shapes.extend(story.news(step).flat_map(|event| second_sides(story, work, event, lain)));
    shapes
}

/// The sides of dividers that are stitched to a panel on which they do not lie themselves: each a strip
/// under its rows, and the rest of the divider stands up from it.
fn second_sides(
    story: &Story<'_>,
    work: &Assembly<'_>,
    event: &Event,
    lain: &[Lain],
) -> Vec<Shape> {
    let Event::Stitched { what, onto, lines, .. } = event else { return Vec::new() };
    let Some(host) = lain.iter().find(|it| it.copy == *onto) else { return Vec::new() };
    let mut strips = Vec::new();
    for divider in what {
        let is_one = story.pattern.claims.dividers.iter().any(|claim| claim.copy == *divider);
        let lies = story.end().events.iter().any(|(_, event)| {
            matches!(event, Event::Placed { what, onto: on, .. } if what == divider && on == onto)
        });
        if !is_one || lies || lines.is_empty() {
            continue;
        }
        let ends = lines.iter().flat_map(|line| [line.from.to_mm(), line.to.to_mm()]);
        let rows = super::flat::bounds(ends);
        // Its rows lie as far within its edges as they end below its top.
        let (_, high) = work.pattern.piece_of(*divider).net_size();
        let inset = ((high.to_mm() - rows.height()) / 2.0).max(0.0);
        let strip = rows.inflate(inset, inset);
        let corners = [
            (strip.x0, strip.y0),
            (strip.x1, strip.y0),
            (strip.x1, strip.y1),
            (strip.x0, strip.y1),
        ];
        strips.push(Shape {
            what: *divider,
            outlines: vec![corners.map(|at| host.lay * Point::from(at)).into()],
            lay: host.lay,
            up: FaceSide::Right,
            true_box: host.lay.transform_rect_bbox(strip),
            feet: vec![],
            side: true,
        });
    }
    strips
}

/// A strap with both feet on a panel: its legs, and its loop beyond the rim or hanging down.
fn strap(
    story: &Story<'_>,
    lain: &[Lain],
    host: &Lain,
    what: CopyId,
    feet: &[Foot],
    ground: FaceSide,
) -> Option<Shape> {
    let claim: Option<&HandleClaim> =
        story.pattern.claims.handles.iter().find(|handle| handle.strap == what);
    let on = claim.and_then(|it| lain.iter().find(|lain| lain.copy == it.on));
    let ends: Vec<Point> = feet.iter().map(|foot| host.lay * foot.at.to_mm()).collect();
    let (low, high) = story.pattern.piece_of(what).net.bounds();
    let (wide, tall) = ((high.x - low.x).to_mm(), (high.y - low.y).to_mm());
    let width = claim.map_or_else(|| wide.min(tall), |it| it.width.to_mm());
    let mut path = vec![ends[0]];
    let mut loop_path = vec![];
    if let (Some(claim), Some(on)) = (claim, on) {
        let rim = claim.feet.map(|foot| on.lay * foot.to_mm());
        // The loop goes on beyond the rim, the way the legs run.
        let up = on.lay * Point::new(0.0, 1.0) - on.lay * Point::ZERO;
        // On the wrong side it hangs down into the bag.
        let rises = ground == FaceSide::Right && (rim[0] - ends[0]).dot(up) > 0.0;
        let free = claim.free.to_mm();
        let flat = standing_loop(Point::ZERO, Point::new(length_of(rim[1] - rim[0]), 0.0), free);
        let along = (rim[1] - rim[0]) / length_of(rim[1] - rim[0]).max(1e-9);
        let way = if rises { up } else { up * -1.0 };
        loop_path = flat.iter().map(|p| rim[0] + along * p.x + way * p.y).collect();
    }
    path.extend(loop_path);
    path.push(ends[1]);
    path.dedup_by(|a, b| length_of(*a - *b) < 0.01);
    let true_box = Rect::from_points(ends[0], ends[1]).inflate(width / 2.0, 0.0);
    let lay = host.lay * Affine::new([0.0, 1.0, -1.0, 0.0, 0.0, 0.0]);
    let up = feet[0].face_up;
    Some(Shape {
        what,
        outlines: vec![ribbon(&path, width / 2.0)],
        lay,
        up,
        true_box,
        feet: ends,
        side: false,
    })
}
