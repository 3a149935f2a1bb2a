//! Pieces that are no rectangles: what holds for every layout of them, and layouts whose shortest
//! length is known.

use layout::{
    Fault, Item, Layout, Placement, Problem, Rotation, Rotations, Search, Shape, Stock, first,
    refine, verify,
};
use measure::{Increments, Length, Outline, Point, Segment};
use proptest::prelude::*;

fn mm(x: i64, y: i64) -> Point {
    Point::new(Length::mm(x), Length::mm(y))
}

/// A disc from four cubic curves.
fn disc(radius: i64) -> Outline {
    let k = radius as f64 * 0.552_284_749_8;
    let r = radius as f64;
    let at = |x: f64, y: f64| Point::new(Length::from_mm_f64(x), Length::from_mm_f64(y));
    let quarters = (0..4).map(|quarter| {
        let turned = |x, y| at(x, y).rotated_quarter(quarter);
        vec![(Segment::Curve(turned(r, k), turned(k, r)), turned(0.0, r))]
    });
    Outline::from_edges(at(r, 0.0), quarters.collect()).expect("a disc")
}

/// A pocket whose opening curves in.
fn scooped(width: i64, height: i64, deep: i64) -> Outline {
    let curve = Segment::Curve(mm(width * 3 / 4, height - deep), mm(width / 4, height - deep));
    let edges = vec![
        vec![(Segment::Line, mm(width, 0))],
        vec![(Segment::Line, mm(width, height))],
        vec![(curve, mm(0, height))],
        vec![(Segment::Line, mm(0, 0))],
    ];
    Outline::from_edges(mm(0, 0), edges).expect("a pocket")
}

fn shape() -> impl Strategy<Value = Shape> {
    let star = prop::array::uniform8(20_i64..150).prop_map(|radius| {
        let ray = [(1, 0), (1, 1), (0, 1), (-1, 1), (-1, 0), (-1, -1), (0, -1), (1, -1)];
        let points = ray.iter().zip(radius).map(|(&(x, y), r)| mm(x * r, y * r));
        Outline::polygon(points).expect("a star")
    });
    let tapered = (40_i64..300, 40_i64..300, 40_i64..400).prop_map(|(base, top, height)| {
        Outline::trapezoid(Length::mm(base), Length::mm(top), Length::mm(height))
    });
    let scooped = (80_i64..250, 80_i64..250, 10_i64..60)
        .prop_map(|(width, height, deep)| scooped(width, height, deep));
    let rectangle = (20_i64..300, 20_i64..300).prop_map(|(width, length)| Shape::Rect {
        width: Length::mm(width),
        length: Length::mm(length),
    });
    prop_oneof![
        star.prop_map(Shape::Outline),
        tapered.prop_map(Shape::Outline),
        scooped.prop_map(Shape::Outline),
        (20_i64..150).prop_map(|radius| Shape::Outline(disc(radius))),
        rectangle,
    ]
}

fn problem() -> impl Strategy<Value = Problem> {
    let rotations = prop_oneof![
        Just(Rotations::one_way()),
        Just(Rotations::along_the_grain()),
        Just(Rotations::across_the_grain()),
        Just(Rotations::free()),
    ];
    let item = (shape(), 1_u32..4, rotations, any::<bool>()).prop_map(
        |(shape, count, rotations, mirror)| {
            let item = Item::new("piece", shape, count, rotations);
            if mirror { item.in_pairs() } else { item }
        },
    );
    let gap = prop_oneof![Just(0_i64), 1_i64..10];
    (400_i64..1200, gap, prop::collection::vec(item, 1..5)).prop_map(|(width, gap, items)| {
        let mut problem = on_bolt(width, items);
        problem.gap = Length::mm(gap);
        problem
    })
}

fn on_bolt(width: i64, items: Vec<Item>) -> Problem {
    Problem::new(Stock::bolt(Length::mm(width), Increments::ten_cm()), items)
}

fn searched(problem: &Problem, rounds: u32) -> Layout {
    let mut search = Search::begin(problem, 1).expect("everything fits");
    search.step(rounds);
    search.best().clone()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 12, ..ProptestConfig::default() })]

    #[test]
    fn every_layout_is_accepted_and_no_refinement_is_worse(problem in problem(), seed in any::<u64>()) {
        let Ok(layout) = first(&problem) else { return Ok(()) };
        prop_assert_eq!(verify(&problem, &layout), Ok(()));
        let refined = refine(&problem, &layout, 60, seed);
        prop_assert_eq!(verify(&problem, &refined), Ok(()));
        prop_assert!(refined.length <= layout.length);
        prop_assert!(layout.bound <= refined.length);
        prop_assert_eq!(&refined, &refine(&problem, &layout, 60, seed));
    }

    #[test]
    fn a_search_does_not_hang_on_how_it_is_divided(problem in problem()) {
        let Ok(mut one) = Search::begin(&problem, 3) else { return Ok(()) };
        let mut other = Search::begin(&problem, 3).unwrap();
        one.step(90);
        for _ in 0..9 {
            other.step(10);
        }
        prop_assert_eq!(one.best(), other.best());
    }

    #[test]
    fn a_piece_that_is_laid_on_another_is_seen(problem in problem(), by in -9_i64..9) {
        let Ok(layout) = first(&problem) else { return Ok(()) };
        // Two alike, almost in the same place, with the middle of the one inside the other.
        for (index, one) in layout.placements.iter().enumerate() {
            let alike = layout.placements.iter().enumerate().find(|(at, other)| {
                *at != index && other.piece == one.piece && other.rotation == one.rotation
                    && other.mirrored == one.mirrored
            });
            if let Some((other, _)) = alike {
                let mut spoilt = layout.clone();
                spoilt.placements[other].x = one.x + Length::mm(by);
                spoilt.placements[other].y = one.y;
                let faults = verify(&problem, &spoilt).unwrap_err();
                let (least, most) = (index.min(other), index.max(other));
                prop_assert!(faults.contains(&Fault::Overlap { one: least, other: most }), "{:?}", faults);
            }
        }
    }

    #[test]
    fn a_layout_that_is_cut_from_whole_cloth_is_not_below_the_bound(
        cuts in prop::collection::vec((0_i64..=100, 0_i64..=100), 1..5),
        height in 50_i64..300,
    ) {
        // Strips of fabric, each cut once aslant: all of them together are the whole fabric.
        let width = 300;
        let items: Vec<Item> = cuts.iter().enumerate().flat_map(|(at, &(low, high))| {
            let (low, high) = (50 + low * 2, 50 + high * 2);
            let left = [mm(0, 0), mm(low, 0), mm(high, height), mm(0, height)];
            let right = [mm(low, 0), mm(width, 0), mm(width, height), mm(high, height)];
            [left, right].map(|corners| {
                let outline = Outline::polygon(corners).unwrap();
                Item::new(format!("{at}"), Shape::Outline(outline), 1, Rotations::one_way())
            })
        }).collect();
        let problem = on_bolt(width, items);
        let whole = Length::mm(height) * i64::try_from(cuts.len()).unwrap();
        let layout = searched(&problem, 100);
        prop_assert!(layout.bound <= whole, "{:?} above {:?}", layout.bound, whole);
    }
}

/// A convex polygon cut in two along a line between two of its corners, or whole millimetres of its
/// level and upright edges; itself when the line runs along an edge.
fn cut_in_two(polygon: &[(i64, i64)], one: usize, other: usize) -> Vec<Vec<(i64, i64)>> {
    let mut rim: Vec<(i64, i64)> = Vec::new();
    for (&a, &b) in polygon.iter().zip(polygon.iter().cycle().skip(1)) {
        rim.push(a);
        let steps =
            if a.0 == b.0 || a.1 == b.1 { (b.0 - a.0).abs() + (b.1 - a.1).abs() } else { 1 };
        let at = |step: i64| (a.0 + (b.0 - a.0) * step / steps, a.1 + (b.1 - a.1) * step / steps);
        rim.extend((1..steps).map(at));
    }
    let (one, other) = (one % rim.len(), other % rim.len());
    let (from, to) = (one.min(other), one.max(other));
    let area = |corners: &[(i64, i64)]| -> i64 {
        let next = corners.iter().cycle().skip(1);
        corners.iter().zip(next).map(|(a, b)| a.0 * b.1 - a.1 * b.0).sum()
    };
    let parts = [rim[from..=to].to_vec(), [&rim[to..], &rim[..=from]].concat()];
    if parts.iter().any(|part| area(part) < 200) {
        return vec![polygon.to_vec()];
    }
    // Only true corners are kept.
    let corners = |part: &Vec<(i64, i64)>| {
        let n = part.len();
        let is_corner = |at: &usize| {
            let (a, b, c) = (part[(at + n - 1) % n], part[*at], part[(at + 1) % n]);
            (b.0 - a.0) * (c.1 - b.1) != (b.1 - a.1) * (c.0 - b.0)
        };
        (0..n).filter(is_corner).map(|at| part[at]).collect()
    };
    parts.iter().map(corners).collect()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 60, ..ProptestConfig::default() })]

    /// Fabric cut up along lines aslant is laid again without waste on its own length, so that no
    /// bound is above that: with pieces left out, with several of each, and where they may be turned.
    #[test]
    fn no_bound_is_above_the_fabric_that_was_cut_up(
        (width, length) in (20_i64..120, 20_i64..200),
        cuts in prop::collection::vec((any::<usize>(), any::<usize>(), any::<usize>()), 1..9),
        dropped in 0_usize..4,
        copies in 1_u32..4,
        rotations in prop_oneof![Just(Rotations::one_way()), Just(Rotations::along_the_grain()),
            Just(Rotations::free())],
    ) {
        let mut parts = vec![vec![(0, 0), (width, 0), (width, length), (0, length)]];
        for (part, one, other) in cuts {
            let part = parts.swap_remove(part % parts.len());
            parts.extend(cut_in_two(&part, one, other));
        }
        parts.truncate(parts.len().saturating_sub(dropped).max(1));
        let items = parts.iter().enumerate().map(|(at, part)| {
            let outline = Outline::polygon(part.iter().map(|&(x, y)| mm(x, y))).expect("a polygon");
            Item::new(format!("{at}"), Shape::Outline(outline), 1, rotations)
        });
        let mut problem = on_bolt(width, items.collect());
        problem.copies = copies;
        // A search begins with all bounds there are.
        let search = Search::begin(&problem, 1).expect("everything fits");
        let known = Length::mm(length) * i64::from(copies);
        prop_assert!(search.best().bound <= known, "{:?} above {known:?}", search.best().bound);
    }
}

/// A pocket of a kit that tapers by 24 mm a side, beside a block that leaves it room only near its
/// narrow end: by hand, of ten blocks and ten pockets none lies beside another block, and pockets
/// two by two for all but 100 mm of them.
#[test]
fn wide_outlines_beside_wide_rectangles_are_bounded() {
    let pocket = Outline::trapezoid(Length::mm(680), Length::mm(729), Length::mm(327));
    let items = |rotations| {
        vec![
            Item::new("pocket", Shape::Outline(pocket.clone()), 10, rotations),
            Item::rectangle("block", (Length::mm(761), Length::mm(710)), 10, rotations),
        ]
    };
    let problem = on_bolt(1473, items(Rotations::along_the_grain()));
    let bound = Search::begin(&problem, 1).expect("everything fits").best().bound;
    // The pocket is 704.5 + 24.5 × y / 327 wide, seen from a selvedge; 712 at 100 mm.
    let by_hand = 710.0 * 10.0 + 5.0 * (327.0 - 7.5 / 24.5 * 327.0);
    assert!((by_hand * 0.99..=by_hand).contains(&bound.to_mm()), "{bound:?}, by hand {by_hand}");
}

#[test]
fn tapered_gussets_lie_head_to_tail() {
    // Four gussets 200 to 100 wide, 400 long, on 650: head to tail 4 × 150 + 50 = 650 across.
    let gusset = Outline::trapezoid(Length::mm(200), Length::mm(100), Length::mm(400));
    let item = |rotations| Item::new("gusset", Shape::Outline(gusset.clone()), 4, rotations);
    let turned = on_bolt(650, vec![item(Rotations::along_the_grain())]);
    let layout = first(&turned).unwrap();
    assert_eq!(layout.length, Length::mm(400));
    assert_eq!(layout.bound, Length::mm(400));
    // All one way they are as wide as their wide ends.
    let one_way = on_bolt(650, vec![item(Rotations::one_way())]);
    assert!(searched(&one_way, 300).length > Length::mm(400));
}

#[test]
fn triangles_from_a_square_lie_as_the_square() {
    let half = Outline::polygon([mm(0, 0), mm(300, 0), mm(0, 300)]).unwrap();
    let item = Item::new("half", Shape::Outline(half), 2, Rotations::along_the_grain());
    let layout = first(&on_bolt(300, vec![item])).unwrap();
    assert_eq!(layout.length, Length::mm(300));
    assert_eq!(layout.bound, Length::mm(300));
}

#[test]
fn a_disc_lies_in_the_corner_that_another_leaves() {
    // Two discs of radius 100 on 300 of width: their middles are 100 apart across and so
    // √(200² − 100²) = 173.2 along; 373.2 in all, where boxes need 400.
    let item = Item::new("base", Shape::Outline(disc(100)), 2, Rotations::one_way());
    let layout = searched(&on_bolt(300, vec![item]), 3000);
    assert!((layout.length.to_mm() - 373.205).abs() < 0.5, "{}", layout.length.to_mm());
    assert!(layout.bound <= layout.length);
}

#[test]
fn the_gap_is_kept_all_round() {
    let item = Item::new("base", Shape::Outline(disc(100)), 2, Rotations::one_way());
    let mut problem = on_bolt(300, vec![item]);
    problem.gap = Length::mm(10);
    let layout = searched(&problem, 3000);
    // √(210² − 100²) = 184.66.
    assert!((layout.length.to_mm() - 384.66).abs() < 2.0, "{}", layout.length.to_mm());
    let mut near = layout.clone();
    for one in &mut near.placements {
        one.y = if one.y == Length::ZERO { one.y } else { one.y - Length::mm(3) };
    }
    let faults = verify(&problem, &near).unwrap_err();
    assert!(faults.contains(&Fault::Overlap { one: 0, other: 1 }), "{faults:?}");
}

#[test]
fn the_true_curve_decides() {
    // Middles 200 apart: the discs touch. Half a millimetre less, and they overlap; a curve from
    // four cubics is off a circle by at most 0.03 % of its radius.
    let item = Item::new("base", Shape::Outline(disc(100)), 2, Rotations::one_way());
    let problem = on_bolt(500, vec![item]);
    let size = (Length::mm(200), Length::mm(200));
    let lay = |across: f64, along: f64| {
        let other = (Length::from_mm_f64(across), Length::from_mm_f64(along));
        let placements = vec![
            Placement::new(0, 0, (Length::ZERO, Length::ZERO), size),
            Placement::new(0, 1, other, size),
        ];
        let layout = Layout::claiming(placements, Vec::new(), Length::mm(500));
        let faults = verify(&problem, &layout).unwrap_err();
        faults.iter().any(|fault| matches!(fault, Fault::Overlap { .. }))
    };
    assert!(!lay(160.1, 120.1), "3-4-5, a hair apart");
    assert!(lay(159.7, 119.7), "3-4-5, a hair too near");
    assert!(lay(0.0, 0.0) && lay(50.0, 50.0));
}

#[test]
fn mirrored_pieces_are_verified_as_they_lie() {
    // A left and a right triangle make a rectangle only when one is turned over.
    let half = Outline::polygon([mm(0, 0), mm(200, 0), mm(0, 100)]).unwrap();
    let item =
        Item::new("half", Shape::Outline(half), 2, Rotations::of([Rotation::None])).in_pairs();
    let problem = on_bolt(400, vec![item]);
    let layout = searched(&problem, 50);
    assert_eq!(verify(&problem, &layout), Ok(()));
    let mut spoilt = layout.clone();
    spoilt.placements[1].mirrored = false;
    assert!(verify(&problem, &spoilt).unwrap_err().contains(&Fault::Mirrored { placement: 1 }));
}

#[test]
fn too_many_outlines_at_once_are_refused() {
    let mut problem =
        on_bolt(1100, vec![Item::new("base", Shape::Outline(disc(50)), 50, Rotations::free())]);
    problem.copies = 41;
    assert!(matches!(first(&problem), Err(layout::NoLayout::Unsolved(_))));
    assert!(!layout::fits(&problem));
}
