//! Folded fabric, and prints that have to match.

use layout::{
    Fault, Item, Layout, NoLayout, Problem, Rotation, Rotations, Search, Shape, Stock, first,
    refine, verify,
};
use measure::{Increments, Length, Outline, Point};
use proptest::prelude::*;

fn mm(x: i64, y: i64) -> Point {
    Point::new(Length::mm(x), Length::mm(y))
}

fn bolt(width: i64, is_folded: bool, print: (i64, i64)) -> Stock {
    let mut stock = Stock::bolt(Length::mm(width), Increments::ten_cm());
    if let Stock::Bolt { fold, repeat, .. } = &mut stock {
        *fold = is_folded;
        *repeat = (Length::mm(print.0), Length::mm(print.1));
    }
    stock
}

fn folded(width: i64, items: Vec<Item>) -> Problem {
    Problem::new(bolt(width, true, (0, 0)), items)
}

fn rect(name: &str, size: (i64, i64), count: u32) -> Item {
    let size = (Length::mm(size.0), Length::mm(size.1));
    Item::rectangle(name, size, count, Rotations::along_the_grain())
}

fn on_fold(item: Item) -> Item {
    let mut item = item;
    item.on_fold = true;
    item
}

fn grouped(item: Item, group: &str) -> Item {
    let mut item = item;
    item.group = Some(group.to_owned());
    item
}

fn searched(problem: &Problem, rounds: u32) -> Layout {
    let mut search = Search::begin(problem, 1).expect("everything fits");
    search.step(rounds);
    search.best().clone()
}

/// A triangle that is no mirror image of itself.
fn wedge(width: i64, length: i64) -> Shape {
    Shape::Outline(Outline::polygon([mm(0, 0), mm(width, 0), mm(0, length)]).expect("a triangle"))
}

#[test]
fn pieces_come_in_pairs_from_two_layers() {
    // Common practice, no source: two panels 500 wide from 1100 folded need one panel's length.
    let layout = searched(&folded(1100, vec![rect("panel", (500, 400), 2)]), 50);
    assert_eq!(layout.length, Length::mm(400));
    let xs: Vec<i64> = layout.placements.iter().map(|one| one.x.to_nm() / 1_000_000).collect();
    assert_eq!(xs.iter().sum::<i64>(), 1100 - 500, "mirrored about the fold: {xs:?}");
}

#[test]
fn a_piece_on_the_fold_is_cut_whole() {
    let problem =
        folded(1100, vec![on_fold(rect("back", (800, 500), 1)), rect("side", (120, 500), 2)]);
    let layout = searched(&problem, 50);
    // Half the back on the fold, 400; a side beside it, 120, on 550.
    assert_eq!(layout.length, Length::mm(500));
    assert_eq!(layout.placements[0].x, Length::mm(150));
    let mut spoilt = layout.clone();
    spoilt.placements[0].x += Length::mm(1);
    let faults = verify(&problem, &spoilt).unwrap_err();
    assert!(faults.contains(&Fault::Fold { placement: 0 }), "{faults:?}");
}

#[test]
fn what_lies_on_the_fold_must_be_its_own_mirror_image() {
    let shape = wedge(300, 200);
    let item = on_fold(Item::new("flap", shape, 1, Rotations::along_the_grain()));
    let Err(NoLayout::Nonsense(what)) = first(&folded(1100, vec![item])) else { panic!("laid") };
    assert!(what.starts_with("flap: it cannot lie on the fold"), "{what}");
}

#[test]
fn a_piece_that_is_not_mirrored_comes_with_a_spare() {
    // Two alike, not a left and a right: what lies beneath is the wrong way round, so each is laid
    // by itself and nothing else may be cut from the layer beneath it.
    let item = Item::new("wedge", wedge(500, 300), 2, Rotations::of([Rotation::None]));
    let alike = folded(1040, vec![item.clone()]);
    let layout = searched(&alike, 100);
    assert!(layout.length > Length::mm(300), "{}", layout.length.to_mm());
    let pairs = searched(&folded(1040, vec![item.in_pairs()]), 100);
    assert_eq!(pairs.length, Length::mm(300));
}

#[test]
fn an_odd_piece_takes_both_layers() {
    let problem = folded(1000, vec![rect("pocket", (400, 200), 3)]);
    let layout = searched(&problem, 100);
    assert_eq!(layout.placements.len(), 3);
    // A pair of 400 and half of the third, 200, do not fit on 500 side by side.
    assert_eq!(layout.length, Length::mm(400));
    let mut spoilt = layout.clone();
    let pair = layout.placements.iter().position(|one| one.copy == 1).unwrap();
    spoilt.placements[pair].y = Length::mm(700);
    assert!(verify(&problem, &spoilt).is_err());
}

#[test]
fn matching_pieces_lie_at_the_same_place_of_the_print() {
    let items = vec![
        grouped(rect("front", (400, 380), 1), "front"),
        grouped(rect("pocket", (200, 180), 1), "front"),
        rect("back", (400, 380), 1),
    ];
    let problem = Problem::new(bolt(1100, false, (320, 320)), items);
    let layout = searched(&problem, 200);
    assert_eq!(verify(&problem, &layout), Ok(()));
    let [front, pocket] = [0, 1].map(|at| layout.placements[at]);
    assert_eq!((front.x - pocket.x).to_nm() % Length::mm(320).to_nm(), 0);
    assert_eq!((front.y - pocket.y).to_nm() % Length::mm(320).to_nm(), 0);
    let mut spoilt = layout.clone();
    spoilt.placements[1].x += Length::mm(1);
    let faults = verify(&problem, &spoilt).unwrap_err();
    assert!(faults.contains(&Fault::Match { one: 0, other: 1 }), "{faults:?}");
}

#[test]
fn a_print_on_folded_fabric_is_refused() {
    let item = grouped(rect("front", (400, 380), 2), "front");
    let problem = Problem::new(bolt(1100, true, (320, 320)), vec![item]);
    assert!(matches!(first(&problem), Err(NoLayout::Unsolved(_))));
}

fn item() -> impl Strategy<Value = Item> {
    let size = (20_i64..300, 20_i64..300);
    let shape =
        prop_oneof![
            size.clone().prop_map(|(width, length)| Shape::Rect {
                width: Length::mm(width),
                length: Length::mm(length)
            }),
            size.clone().prop_map(|(width, length)| wedge(width, length)),
            (size, 20_i64..200).prop_map(|((base, top), height)| Shape::Outline(
                Outline::trapezoid(Length::mm(base), Length::mm(top), Length::mm(height))
            )),
        ];
    let rotations = prop_oneof![
        Just(Rotations::one_way()),
        Just(Rotations::along_the_grain()),
        Just(Rotations::across_the_grain()),
        Just(Rotations::free()),
    ];
    (shape, 1_u32..5, rotations, any::<bool>()).prop_map(|(shape, count, rotations, mirror)| {
        let item = Item::new("piece", shape, count, rotations);
        if mirror { item.in_pairs() } else { item }
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, ..ProptestConfig::default() })]

    #[test]
    fn every_layout_on_folded_fabric_is_accepted(
        items in prop::collection::vec(item(), 1..5),
        width in 800_i64..1500,
        odd in 0_i64..2,
        gap in 0_i64..8,
        seed in any::<u64>(),
    ) {
        let mut problem = folded(width, items);
        if let Stock::Bolt { width, .. } = &mut problem.stock {
            *width += Length::nm(odd);
        }
        problem.gap = Length::mm(gap);
        let Ok(layout) = first(&problem) else { return Ok(()) };
        prop_assert_eq!(verify(&problem, &layout), Ok(()));
        let refined = refine(&problem, &layout, 120, seed);
        prop_assert_eq!(verify(&problem, &refined), Ok(()));
        prop_assert!(refined.length <= layout.length && layout.bound <= refined.length);
        // Moved off its mirror image by a millimetre, every piece is told of, unless it has none.
        for (index, one) in layout.placements.iter().enumerate() {
            let has_partner = layout.placements.iter().enumerate().any(|(at, other)| {
                at != index && other.piece == one.piece && other.y == one.y
                    && (layout.width - one.x - one.width - other.x).to_nm().abs() <= 1
            });
            if has_partner {
                let mut spoilt = layout.clone();
                spoilt.placements[index].y += Length::mm(1);
                prop_assert!(verify(&problem, &spoilt).is_err());
            }
        }
    }

    #[test]
    fn every_layout_on_a_print_is_accepted(
        items in prop::collection::vec((item(), 0_u8..3), 1..6),
        width in 500_i64..1500,
        print in (0_i64..400, 0_i64..400),
        seed in any::<u64>(),
    ) {
        let items = items.into_iter().map(|(item, group)| match group {
            0 => item,
            group => grouped(item, if group == 1 { "one" } else { "other" }),
        });
        let problem = Problem::new(bolt(width, false, print), items.collect());
        let Ok(layout) = first(&problem) else { return Ok(()) };
        prop_assert_eq!(verify(&problem, &layout), Ok(()));
        let refined = refine(&problem, &layout, 120, seed);
        prop_assert_eq!(verify(&problem, &refined), Ok(()));
        prop_assert!(refined.length <= layout.length && layout.bound <= refined.length);
        for (index, one) in layout.placements.iter().enumerate() {
            let group = problem.pieces[one.piece].group.as_deref();
            let others = layout.placements.iter().filter(|other| {
                group.is_some() && problem.pieces[other.piece].group.as_deref() == group
            });
            if others.count() > 1 && print.0 > 1 {
                let mut spoilt = layout.clone();
                spoilt.placements[index].x += Length::mm(1);
                let faults = verify(&problem, &spoilt).unwrap_err();
                let is_told = faults.iter().any(|fault| matches!(fault, Fault::Match { .. }));
                prop_assert!(is_told, "{:?}", faults);
            }
        }
    }
}
