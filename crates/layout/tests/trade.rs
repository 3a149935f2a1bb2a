//! First layouts of bag parts against what is bought for them in the trade.
//! Common practice, no source, unless a source is named.

use expect_test::{Expect, expect};
use layout::{
    Fault, Item, Join, JoinAngle, JoinPlace, Layout, Problem, Proof, Rotations, Shape, Shrinkage,
    Stock, first, narrowest, refine, verify,
};
use measure::{Increments, Length, Outline, System, show_bought};

const EIGHTH: Length = Length::inch_frac(1, 8);

fn rectangle(name: &str, width: i64, length: i64, count: u32, rotations: Rotations) -> Item {
    Item::rectangle(name, (Length::inch(width), Length::inch(length)), count, rotations)
}

fn on(width: Length, pieces: Vec<Item>) -> Problem {
    Problem::new(Stock::bolt(width, Increments::eighth_yards()), pieces)
}

fn linings() -> Vec<Item> {
    let grain = Rotations::along_the_grain();
    vec![rectangle("lining", 21, 17, 2, grain), rectangle("inside pocket", 12, 9, 2, grain)]
}

fn straps(place: JoinPlace) -> Vec<Item> {
    let size = (Length::inch(56), Length::inch_frac(9, 2));
    let join =
        Join { most: 1, allowance: Length::inch_frac(1, 2), angle: JoinAngle::Straight, place };
    vec![Item::rectangle("strap", size, 2, Rotations::one_way()).joined(join)]
}

/// The layout, accepted by the verifier.
fn laid(problem: &Problem) -> Layout {
    let layout = first(problem).expect("everything fits");
    assert_eq!(verify(problem, &layout), Ok(()));
    layout
}

fn bought(layout: &Layout) -> String {
    show_bought(layout.bought, System::Inch)
}

#[test]
fn two_linings_and_their_pockets_take_three_quarters_of_a_yard() {
    let problem = on(Length::inch(42), linings());
    let layout = laid(&problem);
    assert_eq!(layout.length, Length::inch(26));
    assert_eq!(bought(&layout), "3/4 yd");
    assert_eq!(layout.proof, Proof::Shortest);
    // Next to the pockets, 18 × 9 in are left over (above them only the inch to 27 in).
    let rest = layout.remnant.unwrap();
    assert_eq!((rest.width, rest.length), (Length::inch(18), Length::inch(10)));
}

#[test]
fn linings_on_fabric_a_shade_too_narrow_take_a_yard() {
    let layout = laid(&on(Length::inch(42) - EIGHTH, linings()));
    assert_eq!((layout.length, bought(&layout).as_str()), (Length::inch(34), "1 yd"));
    assert_eq!(layout.proof, Proof::Shortest);
    let wide = on(Length::inch(44), linings());
    let answer = laid(&wide).narrowest(&wide, EIGHTH);
    assert_eq!(answer.width, Length::inch(42));
    assert_eq!(answer.below, Some(Length::YARD));
    assert!(answer.is_proven);
}

#[test]
fn two_full_width_pockets() {
    let pockets = vec![rectangle("pocket", 21, 10, 2, Rotations::one_way())];
    let mut problem = on(Length::inch(42), pockets);
    let layout = laid(&problem);
    assert_eq!((layout.length, bought(&layout).as_str()), (Length::inch(10), "3/8 yd"));
    let increments = Increments::third_and_eighth_yards();
    problem.stock = Stock::bolt(Length::inch(42), increments);
    assert_eq!(bought(&laid(&problem)), "1/3 yd");
}

#[test]
fn straps_joined_at_the_centre_take_four_strips() {
    let layout = laid(&on(Length::inch(42), straps(JoinPlace::Centre)));
    assert_eq!((layout.placements.len(), layout.length), (4, Length::inch(18)));
    assert_eq!(bought(&layout), "1/2 yd");
    assert_eq!(layout.bought, layout.length);
    assert_eq!(layout.proof, Proof::Shortest);
}

#[test]
fn straps_joined_anywhere_take_three_strips() {
    let layout = laid(&on(Length::inch(42), straps(JoinPlace::Anywhere)));
    assert_eq!((layout.placements.len(), layout.length), (3, Length::inch_frac(27, 2)));
    assert_eq!(bought(&layout), "3/8 yd");
    assert_eq!(layout.proof, Proof::Shortest);
    assert!(layout.is_one_long_strip(0));
    // On 36 in, a second strap from the rest of the first would have two joins: each takes two
    // strips of its own, 36 and 21 in, which end to end would be an inch too short.
    let layout = laid(&on(Length::inch(36), straps(JoinPlace::Anywhere)));
    assert_eq!((layout.placements.len(), layout.length), (4, Length::inch(18)));
    assert!(!layout.is_one_long_strip(0));
}

/// Binding from straight strips across the fabric, 2 in lost on each for joining: 220 in round a quilt
/// of 50 × 60 from 40 in take 220 / 38 = 5.79, six strips; 184 in round one of 46 × 46 from 42 in
/// take 184 / 40 = 4.6, five, which at 2 1/2 in are 12 1/2 in of fabric (castillejacotton 2013;
/// sylviasquiltdepot).
#[test]
fn published_strips_of_straight_binding() {
    for (long, usable, strips) in [(220, 40, 6), (184, 42, 5)] {
        let size = (Length::inch(long), Length::inch_frac(5, 2));
        let (allowance, place) = (Length::INCH, JoinPlace::Anywhere);
        let join = Join { most: 40, allowance, angle: JoinAngle::Straight, place };
        let binding = Item::rectangle("binding", size, 1, Rotations::one_way()).joined(join);
        let layout = laid(&on(Length::inch(usable), vec![binding]));
        let rows: std::collections::BTreeSet<_> =
            layout.placements.iter().map(|placed| placed.y).collect();
        assert_eq!(rows.len(), strips);
        assert_eq!(layout.length, Length::inch_frac(5 * i64::try_from(strips).unwrap(), 2));
        assert_eq!(layout.proof, Proof::Shortest);
    }
}

#[test]
fn straps_joined_where_they_are_stitched_down_take_three_strips() {
    let layout = laid(&on(Length::inch(42), straps(JoinPlace::WithinEnd(Length::inch(15)))));
    assert_eq!(layout.length, Length::inch_frac(27, 2));
    assert_eq!(bought(&layout), "3/8 yd");
    // The two short parts come from one strip.
    let short: Vec<_> =
        layout.placements.iter().filter(|one| one.width == Length::inch(15)).collect();
    assert_eq!(short.len(), 2);
    assert_eq!(short[0].y, short[1].y);
}

#[test]
fn straps_that_may_lie_along_the_fabric_are_still_joined_when_that_buys_less() {
    let mut pieces = straps(JoinPlace::Centre);
    pieces[0].rotations = Rotations::free();
    let layout = laid(&on(Length::inch(42), pieces));
    assert_eq!(bought(&layout), "1/2 yd");
    // Along the fabric only, nothing is longer than the fabric is wide, and nothing is joined.
    let mut pieces = straps(JoinPlace::Centre);
    pieces[0].rotations = Rotations::one_way_across();
    let layout = laid(&on(Length::inch(42), pieces));
    assert!(layout.joins.is_empty());
    assert_eq!(layout.length, Length::inch(56));
}

#[test]
fn interfacing_by_its_own_width() {
    let pieces = |rotations| {
        vec![rectangle("panel", 21, 17, 2, rotations), rectangle("pocket", 21, 10, 2, rotations)]
    };
    let wide = laid(&on(Length::inch(21), pieces(Rotations::along_the_grain())));
    assert_eq!((wide.length, wide.proof), (Length::inch(54), Proof::Shortest));
    let narrow = laid(&on(Length::inch(20), pieces(Rotations::free())));
    assert_eq!((narrow.length, narrow.proof), (Length::inch(63), Proof::Shortest));
    let check = |problem: &Problem, expect: Expect| {
        expect.assert_eq(&first(problem).unwrap_err().to_string());
    };
    check(
        &on(Length::inch(20), pieces(Rotations::along_the_grain())),
        expect![[r#"
            panel (21 × 17 in) does not fit across 20 in of usable fabric; allow it to be turned, or allow one join in each, wherever it falls, or take fabric with at least 21 in of usable width
            pocket (21 × 10 in) does not fit across 20 in of usable fabric; allow it to be turned, or allow one join in each, wherever it falls, or take fabric with at least 21 in of usable width"#]],
    );
}

#[test]
fn a_strip_with_too_few_joins_is_refused_with_what_would_help() {
    let mut pieces = straps(JoinPlace::WithinEnd(Length::inch(6)));
    pieces[0].rotations = Rotations::one_way();
    let error = first(&on(Length::inch(42), pieces)).unwrap_err();
    expect!["strap (56 × 4 1/2 in) does not fit across 42 in of usable fabric; allow it to be turned, or allow one join in each, wherever it falls, or take fabric with at least 56 in of usable width"]
        .assert_eq(&error.to_string());
}

#[test]
fn what_is_bought_shrinks_before_it_is_cut() {
    // wanted / (1 - s): 95 cm at 5 % take a metre, 20 in at 10 % take 22.22 in and not 22.
    let buys = |lengthwise, wanted| {
        let shrinkage = Shrinkage { lengthwise, crosswise: 0 };
        shrinkage.before_washing(wanted)
    };
    assert_eq!(buys(50_000, Length::mm(950)), Length::mm(1000));
    let twenty = buys(100_000, Length::inch(20));
    assert!(twenty > Length::inch_frac(22 * 64 + 14, 64), "{twenty:?}");
    assert!(twenty < Length::inch_frac(22 * 64 + 15, 64), "{twenty:?}");
    // With an inch for squaring up: (26 + 1) / 0.9 = 30 in, so 7/8 yd.
    let mut problem = on(Length::inch(42), linings());
    problem.squaring = Length::INCH;
    problem.shrinkage = Shrinkage { lengthwise: 100_000, crosswise: 0 };
    let layout = laid(&problem);
    assert_eq!((layout.needed, bought(&layout).as_str()), (Length::inch(30), "7/8 yd"));
    // Fabric that loses 5 % across is too narrow for two linings side by side.
    problem.shrinkage = Shrinkage { lengthwise: 0, crosswise: 50_000 };
    let layout = laid(&problem);
    assert_eq!((layout.length, layout.width), (Length::inch(34), Length::inch_frac(399, 10)));
    let mut washed = on(Length::inch(50), linings());
    let answer = laid(&washed).narrowest(&washed, EIGHTH);
    assert_eq!(answer.width, Length::inch(42));
    washed.shrinkage = problem.shrinkage;
    // 42 / 0.95 = 44.21 in.
    let answer = laid(&washed).narrowest(&washed, EIGHTH);
    assert_eq!(answer.width, Length::inch_frac(44 * 8 + 2, 8));
}

#[test]
fn the_narrowest_width_for_joined_straps() {
    let problem = on(Length::inch(42), straps(JoinPlace::Anywhere));
    let answer = laid(&problem).narrowest(&problem, EIGHTH);
    // Three strips give 3 w - 2 in for 112 in: w is 38 in.
    assert_eq!(answer.width, Length::inch(38));
    assert_eq!(answer.below, Some(Length::inch(18)));
    assert!(answer.is_proven);
    assert_eq!(narrowest(&problem, Length::inch_frac(27, 2), EIGHTH), Some(answer));
    assert_eq!(narrowest(&problem, Length::inch(9), EIGHTH), None);
    let problem = on(Length::inch(42), straps(JoinPlace::Centre));
    let answer = laid(&problem).narrowest(&problem, EIGHTH);
    assert_eq!((answer.width, answer.below), (Length::inch_frac(57, 2), None));
}

#[test]
fn a_class_kit_and_a_gap_for_scissors() {
    let mut problem = on(Length::inch(43), linings());
    problem.copies = 10;
    problem.gap = Length::inch_frac(1, 2);
    let layout = laid(&problem);
    assert_eq!(layout.placements.len(), 40);
    // Ten rows of two linings and seven of three pockets, half an inch between rows.
    assert_eq!(layout.length, Length::inch(10 * 17 + 7 * 9) + Length::inch_frac(16, 2));
    let refined = refine(&problem, &layout, 50, 1);
    assert!(refined.length <= layout.length);
}

#[test]
fn mirrored_pairs_turn_every_second_piece_over() {
    let pieces = vec![rectangle("side", 10, 12, 4, Rotations::one_way()).in_pairs()];
    let layout = laid(&on(Length::inch(42), pieces));
    assert_eq!(layout.placements.iter().filter(|one| one.mirrored).count(), 2);
}

#[test]
fn the_verifier_knows_the_rules_of_joins_and_gaps() {
    // A layout under one rule, held against another.
    let judged = |laid_as: JoinPlace, change: &dyn Fn(&mut Problem)| {
        let mut problem = on(Length::inch(42), straps(laid_as));
        let layout = laid(&problem);
        change(&mut problem);
        verify(&problem, &layout).err().unwrap_or_default()
    };
    let place = |problem: &mut Problem, place: JoinPlace| {
        problem.pieces[0].join.iter_mut().for_each(|join| join.place = place);
    };
    let wrong = [Fault::Join { piece: 0, copy: 0 }, Fault::Join { piece: 0, copy: 1 }];
    let hidden = JoinPlace::WithinEnd(Length::inch(15));
    assert_eq!(judged(JoinPlace::Centre, &|problem| place(problem, hidden)), wrong);
    assert_eq!(judged(JoinPlace::Anywhere, &|problem| place(problem, JoinPlace::Centre)), wrong);
    // The seam lies 14 1/2 in from the end.
    let short = JoinPlace::WithinEnd(Length::inch(14));
    assert_eq!(judged(hidden, &|problem| place(problem, short)), wrong);
    assert_eq!(judged(hidden, &|problem| place(problem, JoinPlace::Anywhere)), []);
    let allowance = |problem: &mut Problem| {
        problem.pieces[0].join.iter_mut().for_each(|join| join.allowance += Length::nm(1));
    };
    assert_eq!(judged(JoinPlace::Anywhere, &allowance), wrong);
    let unjoined = [Fault::NotJoinable { piece: 0 }];
    assert_eq!(judged(JoinPlace::Centre, &|problem| problem.pieces[0].join = None), unjoined);

    let mut problem = on(Length::inch(44), linings());
    let layout = laid(&problem);
    assert_eq!(verify(&problem, &layout), Ok(()));
    problem.gap = Length::nm(1);
    let faults = verify(&problem, &layout).unwrap_err();
    assert!(faults.iter().all(|fault| matches!(fault, Fault::Overlap { .. })), "{faults:?}");
}

#[test]
fn an_outline_is_laid_by_its_box() {
    let (base, top, height) = (Length::inch(16), Length::inch(20), Length::inch(14));
    let shape = Shape::Outline(Outline::trapezoid(base, top, height));
    let panel = Item::new("panel", shape, 4, Rotations::along_the_grain());
    let layout = laid(&on(Length::inch(42), vec![panel]));
    assert_eq!((layout.length, layout.proof), (Length::inch(28), Proof::Shortest));
    assert!(layout.placements.iter().all(|one| one.width == top && one.length == height));
}

#[test]
fn nonsense_is_refused() {
    let check = |change: &dyn Fn(&mut Problem), expect: Expect| {
        let mut problem = on(Length::inch(42), linings());
        change(&mut problem);
        expect.assert_eq(&first(&problem).unwrap_err().to_string());
    };
    check(&|problem| problem.copies = 0, expect!["at least one set of pieces must be cut"]);
    check(
        &|problem| problem.gap = -Length::MM,
        expect!["the gap between pieces cannot be negative or above 1 km"],
    );
    check(
        &|problem| problem.pieces[1] = rectangle("inside pocket", 0, 9, 2, Rotations::free()),
        expect!["inside pocket: its width and length must be more than nothing and at most 1 km"],
    );
    check(
        &|problem| problem.pieces[0].rotations = Rotations::of([]),
        expect!["lining: it may lie in no way at all; allow at least one rotation"],
    );
    check(
        &|problem| problem.shrinkage.lengthwise = 1_000_000,
        expect!["shrinkage above 50 % is not taken; check the number"],
    );
    check(
        &|problem| problem.pieces[0].count = u32::MAX,
        expect!["more than 20000 pieces at once; lay fewer sets at a time"],
    );
}
