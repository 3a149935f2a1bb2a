//! The numbers of `measure` against GNU units (2.22, Debian's package `units`), which holds its
//! own definitions of every unit. Run by `cargo xtask outside`.

#![allow(clippy::print_stdout, reason = "a comparison says how much it compared")]

use std::process::Command;

use measure::{Length, Units, parse_length};

/// The number that GNU units prints for `from` expressed in `to`.
fn gnu_units(from: &str, to: &str) -> f64 {
    let output = Command::new("units")
        .args(["--terse", "--digits", "15", from, to])
        .output()
        .expect("`units` is missing; run `cargo xtask setup`");
    let text = String::from_utf8_lossy(&output.stdout);
    let number = text.trim().parse();
    number.unwrap_or_else(|_| panic!("`units '{from}' '{to}'` printed {text:?}"))
}

/// Asserts that `length` is `expression` to the nearest nanometre.
#[track_caller]
fn assert_agrees(length: Length, expression: &str) {
    let expected = gnu_units(expression, "nm");
    let nm = length.to_nm();
    // Lengths here are below 2^53 nm, where an f64 still counts single nanometres; the half
    // nanometre is the rounding that `measure` promises.
    assert!((nm as f64 - expected).abs() <= 0.5, "{expression}: {nm} nm, but GNU units {expected}");
}

#[test]
fn every_unit_is_as_long_as_gnu_units_says() {
    let words = [
        ("m", "m"),
        ("metre", "metre"),
        ("yd", "yard"),
        ("yards", "yard"),
        ("ft", "ft"),
        ("'", "foot"),
        ("in", "inch"),
        ("\"", "inch"),
        ("inches", "inch"),
        ("cm", "cm"),
        ("mm", "mm"),
    ];
    for (word, unit) in words {
        for number in ["1", "0.375", "2.54", "17", "99"] {
            let text = format!("{number} {word}");
            let length = parse_length(&text, Units::Mm).expect("it is a length");
            assert_agrees(length, &format!("{number} {unit}"));
        }
    }
}

#[test]
fn a_number_alone_is_in_the_unit_of_the_design() {
    for units in Units::ALL {
        let length = parse_length("7.25", units).expect("it is a length");
        assert_agrees(length, &format!("7.25 {}", units.symbol()));
        assert_agrees(units.length(), units.symbol());
    }
}

#[test]
fn fractions_and_compounds_are_exact() {
    let cases = [
        ("4 1/2 in", "4.5 inch"),
        ("1⅞ yd", "(15|8) yard"),
        ("2/3 yd", "(2|3) yard"),
        ("5' 2\"", "5 ft + 2 inch"),
        ("1 yd 4 in", "1 yard + 4 inch"),
        ("11,4 cm", "11.4 cm"),
    ];
    for (text, expression) in cases {
        let length = parse_length(text, Units::Inch).expect("it is a length");
        assert_agrees(length, expression);
    }
    for sixty_fourths in 1..=64 {
        let text = format!("{sixty_fourths}/64 in");
        let length = parse_length(&text, Units::Inch).expect("it is a length");
        assert_agrees(length, &format!("({sixty_fourths}|64) inch"));
        assert_eq!(length, Length::inch_frac(sixty_fourths, 64));
    }
}
