//! Squares from a yard and from a fat quarter, against published charts: so many fit, and not one
//! more. For squares cut parallel to the selvedge the charts are plain grid arithmetic.

use layout::{Item, Problem, Proof, Rotations, Stock, first, verify};
use measure::{Increments, Length};

/// The length that so many squares take, which is proven to be the shortest.
fn length(width: i64, eighths: i64, count: u32) -> Length {
    let side = Length::inch_frac(eighths, 8);
    let squares = vec![Item::rectangle("square", (side, side), count, Rotations::free())];
    let stock = Stock::bolt(Length::inch(width), Increments::eighth_yards());
    let problem = Problem::new(stock, squares);
    let layout = first(&problem).expect("squares fit");
    assert_eq!(verify(&problem, &layout), Ok(()));
    assert_eq!(layout.proof, Proof::Shortest, "{count} squares of {eighths}/8 in");
    layout.length
}

/// Whether exactly so many squares come out of the fabric and not one more.
fn is_right(width: i64, length_in: i64, eighths: i64, count: u32) -> bool {
    let limit = Length::inch(length_in);
    length(width, eighths, count) <= limit && length(width, eighths, count + 1) > limit
}

#[test]
fn squares_from_a_yard_of_44_inches() {
    // quilterscache.com, "Math charts", 2002 (its heading says 42 × 36, the numbers are for 44);
    // sides in eighths of an inch.
    let chart = [
        (8, 1584),
        (12, 696),
        (15, 437),
        (16, 396),
        (20, 238),
        (23, 180),
        (24, 168),
        (28, 120),
        (31, 99),
        (32, 99),
        (36, 72),
        (39, 63),
        (40, 56),
        (44, 48),
        (47, 42),
        (48, 42),
        (52, 30),
        (55, 30),
        (60, 20),
        (63, 20),
        (64, 20),
        (68, 20),
        (71, 16),
        (72, 16),
        (76, 12),
        (80, 12),
        (87, 12),
        (88, 12),
        (92, 9),
        (96, 9),
        (100, 6),
        (103, 6),
    ];
    for (eighths, count) in chart {
        assert!(is_right(44, 36, eighths, count), "{eighths}/8 in: {count}");
    }
    // The same chart's row for 7 in, 35, is wrong: six fit across and five along.
    assert!(!is_right(44, 36, 56, 35));
    assert!(is_right(44, 36, 56, 30));
}

#[test]
fn squares_from_a_fat_quarter() {
    // quilterscache.com, "Math charts", 2002: 18 × 22 in.
    let chart = [
        (16, 99),
        (20, 56),
        (23, 42),
        (24, 42),
        (28, 30),
        (31, 20),
        (32, 20),
        (36, 16),
        (39, 12),
        (40, 12),
        (44, 12),
        (47, 9),
        (48, 9),
        (52, 6),
        (55, 6),
    ];
    for (eighths, count) in chart {
        assert!(is_right(22, 18, eighths, count), "{eighths}/8 in: {count}");
        assert!(is_right(18, 22, eighths, count), "{eighths}/8 in: {count}");
    }
}

#[test]
fn squares_from_a_yard_of_36_and_45_inches() {
    // quiltville.blogspot.com, 2005: whole inches, on 36 and on 45 in.
    let chart = [
        (3, 144, 180),
        (4, 81, 99),
        (5, 49, 63),
        (6, 36, 42),
        (7, 25, 30),
        (9, 16, 20),
        (10, 9, 12),
        (11, 9, 12),
        (13, 4, 6),
        (14, 4, 6),
        (16, 4, 4),
        (17, 4, 4),
        (18, 4, 4),
    ];
    for (inches, narrow, wide) in chart {
        assert!(is_right(36, 36, inches * 8, narrow), "{inches} in on 36: {narrow}");
        assert!(is_right(45, 36, inches * 8, wide), "{inches} in on 45: {wide}");
    }
}
