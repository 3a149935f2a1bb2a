//! Remnants with an outline, and outlines on remnants: layouts that are known to exist, and what
//! holds for every layout.

use layout::{Fault, Fit, Item, Layout, Problem, Rotations, Search, Shape, Stock, first, verify};
use measure::{Length, Outline, Point, Segment};
use proptest::prelude::*;

fn mm(x: i64, y: i64) -> Point {
    Point::new(Length::mm(x), Length::mm(y))
}

fn polygon(corners: &[(i64, i64)]) -> Shape {
    let points = corners.iter().map(|&(x, y)| mm(x, y));
    Shape::Outline(Outline::polygon(points).expect("a polygon"))
}

fn rectangle(width: i64, length: i64) -> Shape {
    Shape::Rect { width: Length::mm(width), length: Length::mm(length) }
}

fn disc(radius: i64) -> Shape {
    let r = radius as f64;
    let k = r * 0.552_284_749_8;
    let at = |x: f64, y: f64| Point::new(Length::from_mm_f64(x), Length::from_mm_f64(y));
    let quarters = (0..4).map(|quarter| {
        let turned = |x, y| at(x, y).rotated_quarter(quarter);
        vec![(Segment::Curve(turned(r, k), turned(k, r)), turned(0.0, r))]
    });
    Shape::Outline(Outline::from_edges(at(r, 0.0), quarters.collect()).expect("a disc"))
}

fn searched(problem: &Problem, rounds: u32) -> Layout {
    let mut search = Search::begin(problem, 1).expect("remnants always have a layout");
    search.step(rounds);
    assert_eq!(verify(problem, search.best()), Ok(()));
    search.best().clone()
}

fn fit(layout: &Layout) -> &Fit {
    layout.fit.as_ref().expect("on remnants")
}

#[test]
fn what_was_cut_out_fits_back_in() {
    // A yard of which a piece was cut out of a corner, cut up without waste.
    let ell = polygon(&[(0, 0), (900, 0), (900, 300), (400, 300), (400, 700), (0, 700)]);
    let fixed = Rotations::along_the_grain();
    let item = |name: &str, shape, count| Item::new(name, shape, count, fixed);
    let pieces = vec![
        item("panel", rectangle(500, 300), 1),
        item("tall", rectangle(400, 400), 1),
        item("square", rectangle(200, 300), 2),
    ];
    let problem = Problem::new(Stock::Remnants(vec![ell]), pieces);
    let layout = searched(&problem, 4000);
    assert_eq!(fit(&layout), &Fit::default().proven());
    assert_eq!(layout.remnant, None);
}

/// So that a test reads well.
trait Proven {
    fn proven(self) -> Self;
}

impl Proven for Fit {
    fn proven(mut self) -> Self {
        self.is_proven = true;
        self
    }
}

#[test]
fn a_round_base_needs_the_corner_that_a_triangle_does_not_have() {
    let triangle = polygon(&[(0, 0), (600, 0), (0, 600)]);
    let base = |radius| vec![Item::new("base", disc(radius), 1, Rotations::free())];
    // The circle within a right triangle with legs of 600 has the radius 600·(1 − √½) = 175.7 mm.
    let problem = Problem::new(Stock::Remnants(vec![triangle.clone()]), base(175));
    assert!(fit(&searched(&problem, 2000)).left_over.is_empty());
    let problem = Problem::new(Stock::Remnants(vec![triangle]), base(176));
    let layout = searched(&problem, 500);
    assert_eq!(fit(&layout).left_over, [(0, 0)]);
    // Nothing there proves it: neither area nor box.
    assert!(!fit(&layout).is_proven);
}

#[test]
fn as_few_remnants_as_are_needed() {
    let gusset = polygon(&[(0, 0), (200, 0), (150, 300), (50, 300)]);
    let pieces = vec![Item::new("gusset", gusset, 4, Rotations::along_the_grain())];
    let trapezium = polygon(&[(0, 0), (760, 0), (700, 310), (0, 310)]);
    let stock = Stock::Remnants(vec![rectangle(210, 310), trapezium, rectangle(220, 320)]);
    let layout = searched(&Problem::new(stock, pieces), 4000);
    assert!(fit(&layout).left_over.is_empty());
    let mut used: Vec<_> = layout.placements.iter().map(|one| one.stock).collect();
    used.dedup();
    assert_eq!(used, [1]);
    let rest = layout.remnant.expect("two remnants are left whole");
    assert_eq!((rest.stock, rest.width, rest.length), (2, Length::mm(220), Length::mm(320)));
}

#[test]
fn a_curved_scrap_holds_pieces_up_to_its_edge() {
    let square = vec![Item::new("square", rectangle(141, 141), 1, Rotations::free())];
    let problem = Problem::new(Stock::Remnants(vec![disc(100)]), square);
    let layout = searched(&problem, 500);
    // Its half diagonal is 99.7 mm.
    assert!(fit(&layout).left_over.is_empty());
    let square = vec![Item::new("square", rectangle(142, 142), 1, Rotations::free())];
    let problem = Problem::new(Stock::Remnants(vec![disc(100)]), square);
    assert!(!fit(&searched(&problem, 100)).left_over.is_empty());
}

#[test]
fn joined_strips_and_pairs_come_from_scraps() {
    let join = layout::Join {
        most: 1,
        allowance: Length::mm(10),
        angle: layout::JoinAngle::Straight,
        place: layout::JoinPlace::Centre,
    };
    let strap = Item::new("strap", rectangle(1000, 80), 1, Rotations::one_way()).joined(join);
    let wedge = polygon(&[(0, 0), (200, 0), (80, 260)]);
    let sides = Item::new("side", wedge, 2, Rotations::one_way()).in_pairs();
    let stock = Stock::Remnants(vec![
        polygon(&[(0, 0), (520, 0), (560, 170), (0, 170)]),
        polygon(&[(0, 0), (430, 0), (430, 270), (10, 270)]),
    ]);
    let layout = searched(&Problem::new(stock, vec![strap, sides]), 4000);
    assert!(fit(&layout).left_over.is_empty(), "{:?}", fit(&layout));
    assert_eq!(layout.joins.len(), 1);
    let mirrored: Vec<_> =
        layout.placements.iter().filter(|one| one.piece == 1).map(|one| one.mirrored).collect();
    assert_eq!(mirrored, [false, true]);
}

#[test]
fn a_strip_too_long_for_its_joins_is_left_over() {
    let join = layout::Join {
        most: 1,
        allowance: Length::mm(10),
        angle: layout::JoinAngle::Straight,
        place: layout::JoinPlace::Anywhere,
    };
    let strap = Item::new("strap", rectangle(3000, 80), 2, Rotations::one_way()).joined(join);
    for stock in [rectangle(600, 500), polygon(&[(0, 0), (600, 0), (600, 500)])] {
        let problem = Problem::new(Stock::Remnants(vec![stock]), vec![strap.clone()]);
        let layout = searched(&problem, 10);
        assert_eq!(fit(&layout).left_over, [(0, 0), (0, 1)]);
        assert!(fit(&layout).is_proven);
    }
}

fn shape() -> impl Strategy<Value = Shape> {
    let star = prop::array::uniform8(20_i64..150).prop_map(|radius| {
        let ray = [(1, 0), (1, 1), (0, 1), (-1, 1), (-1, 0), (-1, -1), (0, -1), (1, -1)];
        let points = ray.iter().zip(radius).map(|(&(x, y), r)| mm(x * r, y * r));
        Shape::Outline(Outline::polygon(points).expect("a star"))
    });
    prop_oneof![
        star,
        (20_i64..100).prop_map(disc),
        (20_i64..200, 20_i64..200).prop_map(|(width, length)| rectangle(width, length)),
    ]
}

fn remnant() -> impl Strategy<Value = Shape> {
    let star = prop::array::uniform8(100_i64..400).prop_map(|radius| {
        let ray = [(1, 0), (1, 1), (0, 1), (-1, 1), (-1, 0), (-1, -1), (0, -1), (1, -1)];
        let points = ray.iter().zip(radius).map(|(&(x, y), r)| mm(x * r, y * r));
        Shape::Outline(Outline::polygon(points).expect("a star"))
    });
    prop_oneof![
        3 => star,
        1 => (100_i64..300).prop_map(disc),
        1 => (100_i64..500, 100_i64..500).prop_map(|(width, length)| rectangle(width, length)),
    ]
}

fn problem() -> impl Strategy<Value = Problem> {
    let rotations = prop_oneof![
        Just(Rotations::one_way()),
        Just(Rotations::along_the_grain()),
        Just(Rotations::free()),
    ];
    let item = (shape(), 1_u32..4, rotations, any::<bool>()).prop_map(
        |(shape, count, rotations, mirror)| {
            let item = Item::new("piece", shape, count, rotations);
            if mirror { item.in_pairs() } else { item }
        },
    );
    let gap = prop_oneof![Just(0_i64), 1_i64..10];
    let items = prop::collection::vec(item, 1..4);
    (prop::collection::vec(remnant(), 1..4), gap, items).prop_map(|(remnants, gap, items)| {
        let mut problem = Problem::new(Stock::Remnants(remnants), items);
        problem.gap = Length::mm(gap);
        problem
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 6, ..ProptestConfig::default() })]

    #[test]
    fn every_layout_is_accepted_and_no_search_makes_it_worse(problem in problem(), seed in any::<u64>()) {
        let layout = first(&problem).expect("there is always a layout");
        prop_assert_eq!(verify(&problem, &layout), Ok(()));
        let mut search = Search::from_layout(&problem, &layout, seed).expect("its own layout");
        search.step(150);
        prop_assert_eq!(verify(&problem, search.best()), Ok(()));
        let lost = |layout: &Layout| fit(layout).left_over.len();
        prop_assert!(lost(&layout) > 0 || lost(search.best()) == 0);
        let mut other = Search::from_layout(&problem, &layout, seed).unwrap();
        for _ in 0..15 {
            other.step(10);
        }
        prop_assert_eq!(search.best(), other.best());
    }

    #[test]
    fn a_piece_beyond_the_edge_is_seen(problem in problem(), by in 400_i64..900) {
        let mut layout = first(&problem).unwrap();
        let Some(one) = layout.placements.first_mut() else { return Ok(()) };
        one.x += Length::mm(by * 2);
        let faults = verify(&problem, &layout).expect_err("it lies beside the remnant");
        let off = Fault::OffFabric { placement: 0 };
        prop_assert!(faults.contains(&off));
    }
}
