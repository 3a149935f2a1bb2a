//! Each kind of slip, and its correct twin. Common practice, no source, unless a source is named.

use bag::Severity;
use bag::pattern::{Grain, StripJoin, StripPlace};
use expect_test::{Expect, expect};
use measure::{Length, System, Units};
use proptest::prelude::*;

use super::*;

fn inch(inches: i64) -> Length {
    Length::inch(inches)
}

fn eighths(count: i64) -> Length {
    Length::inch_frac(count, 8)
}

fn fabric(name: &str, usable: Length) -> FabricClaim {
    FabricClaim::new(name, usable + inch(2), Some(usable), usable)
}

fn piece(name: &str, count: u32, width: Length, height: Length) -> PieceClaim {
    PieceClaim {
        name: name.to_owned(),
        count,
        width,
        height,
        from: vec![0],
        grain: Grain::Lengthwise,
        join: None,
        seams: Seams::default(),
    }
}

fn pattern(pieces: Vec<PieceClaim>) -> Claims {
    let mut claims = Claims::new("Handout", Units::Inch);
    claims.fabrics.push(fabric("cotton", inch(42)));
    claims.pieces = pieces;
    claims
}

fn said(audit: &Audit) -> String {
    let mut lines = Vec::new();
    for finding in &audit.findings {
        let place = finding.place.parameter.as_deref().unwrap_or("nowhere");
        lines.push(format!(
            "{} {} {place}: {}\n  = {}",
            finding.severity.word(),
            finding.check,
            finding.message,
            finding.cure
        ));
    }
    for fine in &audit.fine {
        let place = fine.place.parameter.as_deref().unwrap_or("nowhere");
        lines.push(format!("fine {} {place}: {}", fine.check, fine.message));
    }
    lines.join("\n")
}

/// What is said of a pattern, in full.
#[track_caller]
fn check(claims: &Claims, expected: Expect) -> Audit {
    let audit = audit(claims);
    expected.assert_eq(&said(&audit));
    for laid in &audit.laid {
        if let Some(layout) = &laid.layout {
            assert_eq!(layout::verify(&laid.problem, layout), Ok(()), "{}", laid.fabric);
        }
    }
    audit
}

/// The checks that found an error, in order.
fn wrong(claims: &Claims) -> Vec<&'static str> {
    let audit = audit(claims);
    let errors = audit.findings.iter().filter(|finding| finding.severity == Severity::Error);
    errors.map(|finding| finding.check).collect()
}

fn linings() -> Vec<PieceClaim> {
    vec![piece("lining", 2, inch(21), inch(17)), piece("inside pocket", 2, inch(12), inch(9))]
}

#[test]
fn two_linings_and_their_pockets_take_three_quarters_of_a_yard_and_not_five_eighths() {
    let mut claims = pattern(linings());
    claims.fabrics[0].yardage = Some(eighths(27 * 8));
    let audit = check(
        &claims,
        expect![
            "fine yardage fabric[1].yardage: 3/4 yd of cotton is enough: 4 pieces take 26 in of 27 in (shortest possible)"
        ],
    );
    assert!(audit.is_clean());
    claims.fabrics[0].yardage = Some(Length::inch_frac(45, 2));
    let audit = check(
        &claims,
        expect![[r#"
        error yardage fabric[1].yardage: 5/8 yd of cotton is too short by 3 1/2 in: it gives 22 1/2 in, and its pieces take 26 in at least
          = buy 3/4 yd, as the layout shows (26 in used, shortest possible)"#]],
    );
    assert!(!audit.is_clean());
    // A yard is a quarter too generous, which is worth a note and no more.
    claims.fabrics[0].yardage = Some(Length::YARD);
    let audit = check(
        &claims,
        expect![[r#"
        note yardage fabric[1].yardage: 1 yd of cotton is generous by 1/4 yd: 3/4 yd would do
          = buy 3/4 yd, as the layout shows; or keep 1/4 yd to spare
        fine yardage fabric[1].yardage: 1 yd of cotton is enough: 4 pieces take 26 in of 36 in (shortest possible)"#]],
    );
    assert!(audit.is_clean());
    assert_eq!(audit.count(Severity::Note), 1);
}

fn straps(place: StripPlace, yardage: Length) -> Claims {
    let mut strap = piece("strap", 2, Length::inch_frac(9, 2), inch(56));
    strap.grain = Grain::Crosswise;
    strap.join = Some(StripJoin { most: 1, allowance: Length::inch_frac(1, 2), place });
    let mut claims = pattern(vec![strap]);
    claims.fabrics[0].yardage = Some(yardage);
    claims
}

#[test]
fn straps_joined_at_the_centre_take_half_a_yard_and_anywhere_three_eighths() {
    let [half, three_eighths, quarter] = [inch(18), Length::inch_frac(27, 2), inch(9)];
    assert!(wrong(&straps(StripPlace::Centre, half)).is_empty());
    assert!(wrong(&straps(StripPlace::Anywhere, three_eighths)).is_empty());
    check(
        &straps(StripPlace::Centre, three_eighths),
        expect![[r#"
            error yardage fabric[1].yardage: 3/8 yd of cotton is too short by 4 1/2 in: it gives 13 1/2 in, and its pieces take 18 in at least; of 2 listed `strap`, 1 comes out
              = buy 1/2 yd, as the layout shows (18 in used, shortest possible)"#]],
    );
    check(
        &straps(StripPlace::Anywhere, quarter),
        expect![[r#"
            error yardage fabric[1].yardage: 1/4 yd of cotton is too short by 4 1/2 in: it gives 9 in, and its pieces take 13 1/2 in at least; of 2 listed `strap`, 1 comes out
              = buy 3/8 yd, as the layout shows (13 1/2 in used, shortest possible)"#]],
    );
}

#[test]
fn strips_that_do_not_come_out_are_counted() {
    // Four strips 4 1/2 × 28 1/2 across 42 in: 3/8 yd gives three.
    let mut strip = piece("strap strip", 4, Length::inch_frac(9, 2), Length::inch_frac(57, 2));
    strip.grain = Grain::Crosswise;
    let mut claims = pattern(vec![strip]);
    claims.fabrics[0].yardage = Some(Length::inch_frac(27, 2));
    check(
        &claims,
        expect![[r#"
        error yardage fabric[1].yardage: 3/8 yd of cotton is too short by 4 1/2 in: it gives 13 1/2 in, and its pieces take 18 in at least; of 4 listed `strap strip`, 3 come out
          = buy 1/2 yd, as the layout shows (18 in used, shortest possible)"#]],
    );
    claims.fabrics[0].yardage = Some(inch(18));
    assert!(wrong(&claims).is_empty());
}

#[test]
fn thirty_squares_of_seven_inches_come_out_of_a_yard_and_not_thirty_five() {
    // quilterscache.com, "Math charts" (2002), prints 35 squares of 7 in from 44 × 36 in; the
    // chart's 30 for 6 1/2 in and 56 for 5 in are right.
    let squares = |count, side| {
        let mut claims = pattern(vec![piece("square", count, side, side)]);
        claims.fabrics[0] = fabric("cotton", inch(44));
        claims.fabrics[0].yardage = Some(Length::YARD);
        claims
    };
    check(
        &squares(35, inch(7)),
        expect![[r#"
        error yardage fabric[1].yardage: 1 yd of cotton is too short by 6 in: it gives 36 in, and its pieces take 42 in at least; of 35 listed `square`, 30 come out
          = buy 1 1/4 yd, as the layout shows (42 in used, shortest possible)"#]],
    );
    assert!(wrong(&squares(30, inch(7))).is_empty());
    assert!(wrong(&squares(30, Length::inch_frac(13, 2))).is_empty());
    assert!(wrong(&squares(56, inch(5))).is_empty());
    assert_eq!(wrong(&squares(57, inch(5))), ["yardage"]);
}

#[test]
fn what_is_not_proven_is_only_doubted() {
    // 21 in across twice need all of 42 in. Sold as 44 in wide, with 2 in assumed for the
    // selvedges, 1/4 in more each may still fit; on 42 in for certain it may not.
    let mut claims = pattern(vec![piece("panel", 2, Length::inch_frac(85, 4), inch(17))]);
    claims.fabrics[0].yardage = Some(inch(18));
    assert_eq!(wrong(&claims), ["yardage"]);
    claims.fabrics[0].usable_given = false;
    let audit = check(
        &claims,
        expect![[r#"
            warning yardage fabric[1].yardage: no layout was found that fits on 1/2 yd of cotton: it gives 18 in, and the shortest found takes 34 in on 42 in of usable width, which is assumed; 17 in at least is proven; of 2 listed `panel`, 1 for certain and 2 at most come out
              = buy 1 yd, as the layout shows (34 in used, shortest possible)"#]],
    );
    assert!(audit.is_clean());
    assert_eq!(audit.count(Severity::Warning), 1);
}

#[test]
fn what_is_lost_in_washing_and_squaring_up_counts() {
    let mut claims = pattern(linings());
    claims.fabrics[0].yardage = Some(inch(27));
    claims.squaring = inch(1);
    assert!(wrong(&claims).is_empty());
    claims.squaring = inch(2);
    assert_eq!(wrong(&claims), ["yardage"]);
    claims.squaring = Length::ZERO;
    claims.fabrics[0].shrinks_in_length = 50_000;
    check(
        &claims,
        expect![[r#"
        error yardage fabric[1].yardage: 3/4 yd of cotton is too short by 3/8 in: it gives 25 5/8 in after washing, and its pieces take 26 in at least
          = buy 7/8 yd, as the layout shows (26 in used, shortest possible)"#]],
    );
}

#[test]
fn a_piece_wider_than_the_fabric_is_refused() {
    let mut strap = piece("strap", 2, inch(4), inch(56));
    strap.grain = Grain::Crosswise;
    let mut claims = pattern(vec![strap]);
    check(
        &claims,
        expect![[r#"
        error fits-the-fabric piece[1]: `strap` (4 × 56 in) needs 56 in across cotton, which has 42 in of usable width
          = take cotton with 56 in of usable width, or lay it the other way on the grain, or join it once"#]],
    );
    claims.pieces[0].height = inch(42);
    assert!(wrong(&claims).is_empty());
    // On cloth sold 44 in wide, 43 in may just fit; 45 in cannot.
    claims.fabrics[0].usable_given = false;
    claims.pieces[0].height = inch(43);
    let audit = audit(&claims);
    assert!(audit.is_clean());
    assert_eq!((audit.findings[0].check, audit.count(Severity::Warning)), ("fits-the-fabric", 1));
    claims.pieces[0].height = inch(45);
    assert_eq!(wrong(&claims), ["fits-the-fabric"]);
}

#[test]
fn pieces_are_counted_in_all_and_of_each_fabric() {
    let mut claims = pattern(linings());
    claims.pieces_in_all = Some(4);
    claims.fabrics[0].pieces = Some(4);
    assert!(wrong(&claims).is_empty());
    claims.pieces_in_all = Some(5);
    claims.fabrics[0].pieces = Some(3);
    check(
        &claims,
        expect![[r#"
        error piece-count pieces-in-all: the pattern says 5 pieces in all, and 4 are listed
          = look for 1 piece missing from the list, or a count that is too small
        error piece-count fabric[1].pieces: the pattern says 3 pieces of cotton, and 4 are listed
          = look for 1 piece too many on the list, or a count that is too large"#]],
    );
    // Interfacing is cut once more from each.
    claims.fabrics.push(fabric("interfacing", inch(21)));
    claims.pieces[0].from.push(1);
    claims.pieces_in_all = Some(6);
    claims.fabrics[0].pieces = None;
    claims.fabrics[1].pieces = Some(2);
    assert!(wrong(&claims).is_empty());
}

/// Panels 21 × 17 in with 1/2 in seams, boxed to 4 in.
fn boxed() -> Claims {
    let mut claims = pattern(vec![piece("outside panel", 2, inch(21), inch(17))]);
    claims.seams = Seams::all(Length::inch_frac(1, 2));
    claims.size = Some(SizeClaim {
        panel: 0,
        lining: None,
        body: Body::FrontAndBack,
        corners: Some(Corners::Boxed(inch(4))),
        width: Some(inch(16)),
        top: Some(inch(20)),
        height: Some(inch(14)),
        depth: Some(inch(4)),
        within: Length::inch_frac(1, 16),
    });
    claims
}

fn size(claims: &mut Claims) -> &mut SizeClaim {
    claims.size.as_mut().expect("a size is claimed")
}

#[test]
fn boxed_panels_give_their_size() {
    let mut claims = boxed();
    check(
        &claims,
        expect![[r#"
            fine piece-count piece[1].count: 2 of `outside panel` for the outside
            fine finished-size size.depth: depth 4 in: its corners are boxed with a line of 4 in
            fine finished-size size.top: finished width at the top (laid flat) 20 in: `outside panel` is cut 21 in wide, less two allowances of 1/2 in
            fine finished-size size.width: finished width at the base 16 in: `outside panel` is cut 21 in wide, less two allowances of 1/2 in, less 4 in of depth
            fine finished-size size.height: finished height 14 in: `outside panel` is cut 17 in high, less 1/2 in at the base and at the rim, less half of 4 in of depth"#]],
    );
    // One slip is told once, whichever it is: the claimed depth, or the line across the corners.
    for change in [
        |size: &mut SizeClaim| size.width = Some(inch(17)),
        |size: &mut SizeClaim| size.top = Some(inch(21)),
        |size: &mut SizeClaim| size.height = Some(inch(16)),
        |size: &mut SizeClaim| size.depth = Some(inch(5)),
        |size: &mut SizeClaim| size.corners = Some(Corners::Boxed(inch(3))),
    ] {
        let mut other = claims.clone();
        change(size(&mut other));
        assert_eq!(wrong(&other), ["finished-size"]);
    }
    size(&mut claims).height = Some(inch(16));
    check(
        &claims,
        expect![[r#"
            error finished-size size.height: the pattern says a finished height of 16 in; `outside panel` is cut 17 in high, less 1/2 in at the base and at the rim, less half of 4 in of depth: that gives 14 in
              = cut `outside panel` 19 in high
            fine piece-count piece[1].count: 2 of `outside panel` for the outside
            fine finished-size size.depth: depth 4 in: its corners are boxed with a line of 4 in
            fine finished-size size.top: finished width at the top (laid flat) 20 in: `outside panel` is cut 21 in wide, less two allowances of 1/2 in
            fine finished-size size.width: finished width at the base 16 in: `outside panel` is cut 21 in wide, less two allowances of 1/2 in, less 4 in of depth"#]],
    );
}

#[test]
fn squares_cut_out_of_a_flat_bag_give_its_size() {
    // lazygirldesigns.com: a flat bag 19 × 16 in with 2 in cut out of its corners finishes
    // 15 × 14 × 4 in. Without allowances, and with 1/2 in everywhere.
    for (allowance, width, height) in
        [(Length::ZERO, inch(19), inch(16)), (Length::inch_frac(1, 2), inch(20), inch(17))]
    {
        let mut claims = boxed();
        claims.seams = Seams::all(allowance);
        (claims.pieces[0].width, claims.pieces[0].height) = (width, height);
        let size = size(&mut claims);
        size.corners = Some(Corners::CutOut(inch(2)));
        (size.width, size.top) = (Some(inch(15)), Some(inch(19)));
        (size.height, size.depth) = (Some(inch(14)), Some(inch(4)));
        assert!(wrong(&claims).is_empty(), "{}", said(&audit(&claims)));
    }
}

#[test]
fn squares_by_the_wrong_rule_are_found() {
    // A published rule takes √(4.5²/2) = 3.18 in of square for a line of 4 1/2 in; half the line,
    // 2 1/4 in, is right.
    let mut claims = boxed();
    claims.pieces[0].height = Length::inch_frac(69, 4);
    let flat = size(&mut claims);
    flat.corners = Some(Corners::CutOut(Length::inch_frac(318, 100)));
    flat.depth = Some(Length::inch_frac(9, 2));
    flat.width = Some(Length::inch_frac(31, 2));
    check(
        &claims,
        expect![[r#"
            error finished-size size.depth: the pattern says a depth of 4 1/2 in; squares of 3 3/16 in are cut out of its corners, which also makes the base 1 7/8 in narrower and the bag 15/16 in lower: that gives 6 3/8 in
              = cut out squares of 2 1/4 in
            fine piece-count piece[1].count: 2 of `outside panel` for the outside
            fine corners-match size.cut-out: both edges of a cut-out corner are 5 3/8 in long
            fine finished-size size.top: finished width at the top (laid flat) 20 in: `outside panel` is cut 21 in wide, less two allowances of 1/2 in
            fine finished-size size.width: finished width at the base 15 1/2 in: `outside panel` is cut 21 in wide, less two allowances of 1/2 in, less 4 1/2 in of depth
            fine finished-size size.height: finished height 14 in: `outside panel` is cut 17 1/4 in high, less 1/2 in at the base and at the rim, less half of 4 1/2 in of depth"#]],
    );
    size(&mut claims).corners = Some(Corners::CutOut(Length::inch_frac(9, 4)));
    assert!(wrong(&claims).is_empty());
    // Allowances that differ need a rectangle.
    claims.seams.base = Some(Length::inch_frac(3, 4));
    claims.pieces[0].height += Length::inch_frac(1, 4);
    assert_eq!(wrong(&claims), ["corners-match"]);
}

#[test]
fn a_piece_that_runs_round_gives_its_size() {
    // ktgreendesign.com, "Let's calculate": 13 wide, 4 deep, 12 1/2 high with 1/2 in seams is
    // cut 35 × 15 1/2 in.
    let mut claims = boxed();
    claims.pieces = vec![piece("bag", 1, inch(35), Length::inch_frac(31, 2))];
    let round = size(&mut claims);
    (round.body, round.corners) = (Body::Round, None);
    (round.width, round.top) = (Some(inch(13)), Some(inch(17)));
    (round.height, round.depth) = (Some(Length::inch_frac(25, 2)), Some(inch(4)));
    assert!(wrong(&claims).is_empty(), "{}", said(&audit(&claims)));
    claims.pieces[0].width = inch(34);
    check(
        &claims,
        expect![[r#"
            error finished-size size.top: the pattern says a finished width at the top (laid flat) of 17 in; `bag` is cut 34 in wide, less two allowances of 1/2 in and halved, as it runs round: that gives 16 1/2 in
              = cut `bag` 35 in wide
            error finished-size size.width: the pattern says a finished width at the base of 13 in; `bag` is cut 34 in wide, less two allowances of 1/2 in and halved, as it runs round, less 4 in of depth: that gives 12 1/2 in
              = cut `bag` 35 in wide
            fine piece-count piece[1].count: 1 of `bag` for the outside
            fine finished-size size.height: finished height 12 1/2 in: `bag` is cut 15 1/2 in high, less 1/2 in at the base and at the rim, less half of 4 in of depth"#]],
    );
}

#[test]
fn a_piece_that_runs_under_the_base_gives_its_size() {
    // 15 × 33 in with 1/2 in at the sides and 1 in hems: 14 wide flat, 15 1/2 high; with corners
    // boxed to 3 in, 11 in at the base and 14 in high.
    let mut claims = boxed();
    claims.pieces = vec![piece("bag", 1, inch(15), inch(33))];
    claims.seams.rim = Some(inch(1));
    let under = size(&mut claims);
    (under.body, under.corners) = (Body::UnderTheBase, Some(Corners::Boxed(inch(3))));
    (under.width, under.top) = (Some(inch(11)), Some(inch(14)));
    (under.height, under.depth) = (Some(inch(14)), Some(inch(3)));
    assert!(wrong(&claims).is_empty(), "{}", said(&audit(&claims)));
    size(&mut claims).height = Some(inch(15));
    check(
        &claims,
        expect![[r#"
            error finished-size size.height: the pattern says a finished height of 15 in; `bag` is cut 33 in high, less 1 in at each rim and halved, less half of 3 in of depth: that gives 14 in
              = cut `bag` 35 in high
            fine piece-count piece[1].count: 1 of `bag` for the outside
            fine finished-size size.depth: depth 3 in: its corners are boxed with a line of 3 in
            fine finished-size size.top: finished width at the top (laid flat) 14 in: `bag` is cut 15 in wide, less two allowances of 1/2 in
            fine finished-size size.width: finished width at the base 11 in: `bag` is cut 15 in wide, less two allowances of 1/2 in, less 3 in of depth"#]],
    );
}

#[test]
fn a_size_without_allowances_is_doubted() {
    let mut claims = boxed();
    claims.seams = Seams::default();
    let audit = check(
        &claims,
        expect![[r#"
            warning finished-size size.top: the finished width cannot be judged: the pattern does not say the allowance of the side seams
              = say the allowance of the side seams
            warning finished-size size.width: the finished width cannot be judged: the pattern does not say the allowance of the side seams
              = say the allowance of the side seams
            warning finished-size size.height: the finished height cannot be judged: the pattern does not say the allowance or hem at the rim
              = say the allowance or hem at the rim
            fine piece-count piece[1].count: 2 of `outside panel` for the outside
            fine finished-size size.depth: depth 4 in: its corners are boxed with a line of 4 in"#]],
    );
    assert!(audit.is_clean());
}

#[test]
fn a_piece_has_its_own_allowances_before_those_of_the_pattern() {
    let mut claims = boxed();
    claims.pieces[0].seams.rim = Some(inch(1));
    claims.pieces[0].height = Length::inch_frac(35, 2);
    assert!(wrong(&claims).is_empty());
}

#[test]
fn rims_that_differ_are_found() {
    let mut claims = boxed();
    claims.pieces.push(piece("lining panel", 2, inch(21), inch(17)));
    size(&mut claims).lining = Some(1);
    assert!(wrong(&claims).is_empty());
    claims.pieces[1].width = inch(20);
    check(
        &claims,
        expect![[r#"
            error rims-match size.lining: the rim of the outside is 40 in round and that of the lining 38 in, 2 in shorter: `outside panel` is cut 21 × 17 in and `lining panel` 20 × 17 in
              = cut `lining panel` 1 in wider
            fine piece-count piece[1].count: 2 of `outside panel` for the outside
            fine piece-count piece[2].count: 2 of `lining panel` for the lining
            fine finished-size size.depth: depth 4 in: its corners are boxed with a line of 4 in
            fine finished-size size.top: finished width at the top (laid flat) 20 in: `outside panel` is cut 21 in wide, less two allowances of 1/2 in
            fine finished-size size.width: finished width at the base 16 in: `outside panel` is cut 21 in wide, less two allowances of 1/2 in, less 4 in of depth
            fine finished-size size.height: finished height 14 in: `outside panel` is cut 17 in high, less 1/2 in at the base and at the rim, less half of 4 in of depth"#]],
    );
    // A quarter of an inch in forty can be eased.
    claims.pieces[1].width = eighths(21 * 8 - 1);
    let eased = audit(&claims);
    assert!(eased.is_clean());
    assert_eq!(eased.count(Severity::Warning), 1);
}

#[test]
fn one_panel_too_few_cannot_be_sewn_and_one_too_many_is_doubted() {
    let mut claims = boxed();
    claims.pieces[0].count = 1;
    assert_eq!(wrong(&claims), ["piece-count"]);
    claims.pieces[0].count = 3;
    let audit = audit(&claims);
    assert!(audit.is_clean());
    assert_eq!(audit.count(Severity::Warning), 1);
}

/// Boxed panels with straps of 56 in from the base, from strips of 4 1/2 in.
fn strapped() -> Claims {
    let mut claims = boxed();
    let half = Length::inch_frac(1, 2);
    claims.pieces.push(piece("strap", 4, Length::inch_frac(9, 2), Length::inch_frac(57, 2)));
    claims.straps.push(StrapClaim {
        straps: Some(2),
        pieces_each: 2,
        join_allowance: Some(half),
        length: Some(inch(56)),
        layers: Some(Layers::Four),
        width: Some(eighths(9)),
        feet: Some(Feet::Base),
        above_raw_edge: Some(inch(22)),
        above_rim: Some(inch(23)),
        apart: Some(inch(7)),
        drop: Some(inch(11)),
        ..StrapClaim::of(1)
    });
    claims
}

#[test]
fn straps_come_out_as_long_as_wide_and_as_free_as_said() {
    check(
        &strapped(),
        expect![[r#"
            fine piece-count piece[1].count: 2 of `outside panel` for the outside
            fine piece-count piece[2].count: 4 of `strap` for 2 straps of 2 pieces each
            fine finished-size size.depth: depth 4 in: its corners are boxed with a line of 4 in
            fine finished-size size.top: finished width at the top (laid flat) 20 in: `outside panel` is cut 21 in wide, less two allowances of 1/2 in
            fine finished-size size.width: finished width at the base 16 in: `outside panel` is cut 21 in wide, less two allowances of 1/2 in, less 4 in of depth
            fine finished-size size.height: finished height 14 in: `outside panel` is cut 17 in high, less 1/2 in at the base and at the rim, less half of 4 in of depth
            fine strap-length strap[1].length: strap length 56 in: 2 pieces of `strap`, 28 1/2 in long each, lose 1 in in 1 join
            fine strap-width strap[1].width: finished strap width 1 1/8 in: `strap` is cut 4 1/2 in wide, and four layers are a quarter of it
            fine strap-drop strap[1].above-raw-edge: free strap length above the raw upper edge 22 in: a strap 56 in long goes up `outside panel`, 17 in high as cut, from the base and down again
            fine strap-drop strap[1].above-rim: free strap length above the finished rim 23 in: a strap 56 in long goes up `outside panel`, 17 in high as cut, from the base and down again, with 1/2 in at the rim
            fine strap-drop strap[1].drop: drop 11 in (exactly 10 15/16 in): a strap 56 in long goes up `outside panel`, 17 in high as cut, from the base and down again, so 23 in are free above the rim, over legs 7 in apart"#]],
    );
    type Change = fn(&mut StrapClaim);
    let changes: [(&str, Change); 6] = [
        ("piece-count", |strap| strap.straps = Some(3)),
        ("strap-length", |strap| strap.pieces_each = 1),
        ("strap-width", |strap| strap.width = Some(eighths(12))),
        ("strap-drop", |strap| strap.above_raw_edge = Some(inch(24))),
        ("strap-drop", |strap| strap.above_rim = Some(inch(22))),
        ("strap-drop", |strap| strap.drop = Some(inch(10))),
    ];
    for (kind, change) in changes {
        let mut claims = strapped();
        change(&mut claims.straps[0]);
        assert!(wrong(&claims).contains(&kind), "{kind}: {}", said(&audit(&claims)));
    }
    let mut claims = strapped();
    claims.straps[0].length = Some(inch(57));
    claims.straps[0].layers = Some(Layers::Two(Some(Length::inch_frac(1, 4))));
    claims.straps[0].apart = None;
    claims.straps[0].drop = Some(inch(13));
    check(
        &claims,
        expect![[r#"
            error strap-length strap[1].length: the pattern says a strap length of 57 in; 2 pieces of `strap`, 28 1/2 in long each, lose 1 in in 1 join: that gives 56 in
              = cut `strap` 29 in long
            error strap-width strap[1].width: the pattern says a finished strap width of 1 1/8 in; `strap` is cut 4 1/2 in wide, and two layers are half of it less a seam of 1/4 in: that gives 2 in
              = cut `strap` 2 3/4 in wide
            error strap-drop strap[1].drop: the pattern says a drop of 13 in; a strap 56 in long goes up `outside panel`, 17 in high as cut, from the base and down again, so 23 in are free above the rim; it drops 11 1/2 in at most
              = cut straps longer than 59 in
            fine piece-count piece[1].count: 2 of `outside panel` for the outside
            fine piece-count piece[2].count: 4 of `strap` for 2 straps of 2 pieces each
            fine finished-size size.depth: depth 4 in: its corners are boxed with a line of 4 in
            fine finished-size size.top: finished width at the top (laid flat) 20 in: `outside panel` is cut 21 in wide, less two allowances of 1/2 in
            fine finished-size size.width: finished width at the base 16 in: `outside panel` is cut 21 in wide, less two allowances of 1/2 in, less 4 in of depth
            fine finished-size size.height: finished height 14 in: `outside panel` is cut 17 in high, less 1/2 in at the base and at the rim, less half of 4 in of depth
            fine strap-drop strap[1].above-raw-edge: free strap length above the raw upper edge 22 in: a strap 56 in long goes up `outside panel`, 17 in high as cut, from the base and down again
            fine strap-drop strap[1].above-rim: free strap length above the finished rim 23 in: a strap 56 in long goes up `outside panel`, 17 in high as cut, from the base and down again, with 1/2 in at the rim"#]],
    );
}

#[test]
fn a_strap_set_into_the_rim_loses_an_allowance_at_each_end() {
    let mut claims = boxed();
    claims.pieces.push(piece("strap", 2, inch(4), inch(24)));
    claims.straps.push(StrapClaim {
        straps: Some(2),
        layers: Some(Layers::Two(Some(Length::inch_frac(1, 4)))),
        width: Some(Length::inch_frac(7, 4)),
        feet: Some(Feet::Rim),
        above_rim: Some(inch(23)),
        ..StrapClaim::of(1)
    });
    assert!(wrong(&claims).is_empty(), "{}", said(&audit(&claims)));
    claims.straps[0].above_rim = Some(inch(24));
    assert_eq!(wrong(&claims), ["strap-drop"]);
}

#[test]
fn pockets_finish_as_said() {
    // 12 × 9 in, two layers sewn around with 1/4 in, finish 11 1/2 × 8 1/2 in.
    let mut claims = pattern(vec![piece("pocket", 2, inch(12), inch(9))]);
    claims.pockets.push(PocketClaim {
        piece: 0,
        pockets: Some(1),
        make: PocketMake::TwoLayers,
        allowance: Some(Length::inch_frac(1, 4)),
        hem: None,
        width: Some(Length::inch_frac(23, 2)),
        height: Some(Length::inch_frac(17, 2)),
    });
    check(
        &claims,
        expect![[r#"
            fine piece-count piece[1].count: 2 of `pocket` for 1 pocket of 2 layers each
            fine pocket-size pocket[1].width: finished pocket width 11 1/2 in: `pocket` is cut 12 × 9 in, two layers sewn around with 1/4 in
            fine pocket-size pocket[1].height: finished pocket height 8 1/2 in: `pocket` is cut 12 × 9 in, two layers sewn around with 1/4 in"#]],
    );
    claims.pockets[0].width = Some(inch(12));
    check(
        &claims,
        expect![[r#"
            error pocket-size pocket[1].width: the pattern says a finished pocket width of 12 in; `pocket` is cut 12 × 9 in, two layers sewn around with 1/4 in: that gives 11 1/2 in
              = cut it 12 1/2 in wide
            fine piece-count piece[1].count: 2 of `pocket` for 1 pocket of 2 layers each
            fine pocket-size pocket[1].height: finished pocket height 8 1/2 in: `pocket` is cut 12 × 9 in, two layers sewn around with 1/4 in"#]],
    );
    // One layer with 1/2 in turned in and a hem of 1 in; and one piece folded.
    claims.pockets[0] = PocketClaim {
        make: PocketMake::OneLayer,
        pockets: Some(2),
        allowance: Some(Length::inch_frac(1, 2)),
        hem: Some(inch(1)),
        width: Some(inch(11)),
        height: Some(Length::inch_frac(15, 2)),
        ..claims.pockets[0].clone()
    };
    assert!(wrong(&claims).is_empty(), "{}", said(&audit(&claims)));
    claims.pieces[0].height = inch(18);
    claims.pockets[0] = PocketClaim {
        make: PocketMake::Folded,
        hem: None,
        height: Some(Length::inch_frac(17, 2)),
        ..claims.pockets[0].clone()
    };
    assert!(wrong(&claims).is_empty(), "{}", said(&audit(&claims)));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    /// What a layout shows to be enough is never refused, and what the bound rules out always is.
    #[test]
    fn yardage_is_judged_by_layout_and_bound(
        sizes in proptest::collection::vec((1_i64..30, 1_i64..30, 1_u32..5, 0..3_u8), 1..5),
        squaring in 0_i64..2,
        shrinks in 0_u32..2,
    ) {
        let grains = [Grain::Lengthwise, Grain::Crosswise, Grain::Free];
        let pieces = sizes.iter().map(|(width, height, count, grain)| PieceClaim {
            grain: grains[usize::from(*grain)],
            ..piece("piece", *count, inch(*width), inch(*height))
        });
        let mut claims = pattern(pieces.collect());
        claims.squaring = inch(squaring);
        claims.fabrics[0].shrinks_in_length = shrinks * 50_000;
        let laid = audit(&claims).laid.remove(0);
        let layout = laid.layout.expect("everything fits");
        claims.fabrics[0].yardage = Some(layout.needed);
        let enough = audit(&claims);
        prop_assert!(enough.findings.iter().all(|f| f.severity == Severity::Note));
        prop_assert_eq!(enough.fine.len(), 1);
        let least = laid.problem.shrinkage.before_washing(layout.bound + claims.squaring);
        claims.fabrics[0].yardage = Some(least - Length::nm(1));
        prop_assert_eq!(wrong(&claims), ["yardage"]);
        if layout.bound < layout.length {
            claims.fabrics[0].yardage = Some(least);
            prop_assert!(wrong(&claims).is_empty());
        }
    }

    /// Panels cut by the cure give what was claimed.
    #[test]
    fn the_cure_cures(
        (width, height, depth) in (40_i64..160, 40_i64..160, 0_i64..40),
        (side, base, rim) in (1_i64..8, 1_i64..8, 1_i64..16),
        body in 0..3_usize,
    ) {
        let mut claims = boxed();
        claims.fabrics[0] = fabric("cotton", inch(150));
        let [width, height, depth] = [width, height, depth].map(eighths);
        claims.seams = Seams {
            side: Some(eighths(side)),
            base: Some(eighths(base)),
            rim: Some(eighths(rim)),
            corner: None,
        };
        let body = [Body::FrontAndBack, Body::Round, Body::UnderTheBase][body];
        claims.pieces[0].count = body.pieces();
        let claimed = size(&mut claims);
        (claimed.body, claimed.corners) = (body, None);
        (claimed.width, claimed.height) = (Some(width), Some(height));
        (claimed.depth, claimed.top) = (Some(depth), Some(width + depth));
        claims.pieces[0].width = inch(99);
        claims.pieces[0].height = inch(99);
        for (place, is_width) in [("size.width", true), ("size.height", false)] {
            let audit = audit(&claims);
            let wrong = |f: &&Finding| f.place.parameter.as_deref() == Some(place);
            let finding = audit.findings.iter().find(wrong).expect("it cannot be");
            let cure = finding.cure.strip_prefix("cut `outside panel` ").expect("it says how");
            let cut = cure.trim_end_matches(" wide").trim_end_matches(" high");
            let cut = measure::parse_length(cut, Units::Inch).expect("it is a length");
            let panel = &mut claims.pieces[0];
            *(if is_width { &mut panel.width } else { &mut panel.height }) = cut;
        }
        prop_assert!(wrong(&claims).is_empty(), "{}", said(&audit(&claims)));
    }
}

#[test]
fn the_reader_has_another_ruler() {
    let mut claims = boxed();
    size(&mut claims).height = Some(inch(16));
    let audit = audit_for(&claims, System::Metric);
    assert!(audit.findings[0].message.contains("406 mm"), "{}", said(&audit));
    assert!(!said(&audit).contains(" in "), "{}", said(&audit));
}

#[test]
fn nothing_claimed_is_nothing_judged() {
    let audit = audit(&Claims::new("Empty", Units::Cm));
    assert!(audit.findings.is_empty() && audit.fine.is_empty() && audit.laid.is_empty());
    // An index into nowhere counts as unsaid.
    let mut claims = boxed();
    claims.pieces.clear();
    claims.straps.push(StrapClaim::of(9));
    assert!(audit_for(&claims, System::Inch).is_clean());
}
