//! `bagwright draw`.

use std::fs;

use crate::table::Table;

#[test]
fn each_kind_of_picture_is_drawn() {
    let table = Table::new().example("market-day-bag");
    let cases: [(&str, &[&str]); 8] = [
        ("bag.svg", &[]),
        ("back.svg", &["--turn", "180", "--hanging"]),
        ("open.svg", &["--what", "open", "--sheet"]),
        ("inside.svg", &["--what", "inside"]),
        ("person.svg", &["--person", "5 ft 6 in"]),
        ("piece.svg", &["--what", "piece", "--which", "handle"]),
        ("layout.svg", &["--what", "layout", "--which", "1"]),
        ("step.svg", &["--what", "step", "--which", "3"]),
    ];
    let mut seen: Vec<String> = Vec::new();
    for (name, options) in cases {
        let mut call = vec!["draw", "market-day-bag.toml", "-o", name];
        call.extend(options);
        table.run(&call).exits(0).prints(name);
        let text = fs::read_to_string(table.at(name)).expect("it was written");
        assert!(text.contains("<svg") && text.len() > 2000, "{name}");
        assert!(!seen.contains(&text), "{name} looks like another picture");
        seen.push(text);
    }
}

#[test]
fn a_png_has_the_width_that_was_asked_for() {
    let table = Table::new().example("market-day-bag");
    table.run(&["draw", "market-day-bag.toml", "-o", "bag.png", "--pixels", "640"]).exits(0);
    let bytes = fs::read(table.at("bag.png")).expect("it was written");
    // PNG specification, 11.2.2: width and height follow the word IHDR.
    assert_eq!(&bytes[1..4], b"PNG");
    assert_eq!(u32::from_be_bytes([bytes[16], bytes[17], bytes[18], bytes[19]]), 640);
}

/// A picture can be read by whomever a file of this folder can be read by.
#[cfg(unix)]
#[test]
fn a_picture_is_as_open_to_others_as_any_file() {
    use std::os::unix::fs::PermissionsExt;
    let table = Table::new().example("thread-pouch");
    table.run(&["draw", "thread-pouch.toml", "-o", "bag.svg"]).exits(0);
    let mode = |name| fs::metadata(table.at(name)).expect("it is there").permissions().mode();
    assert_eq!(mode("bag.svg"), mode("thread-pouch.toml"));
}

#[test]
fn what_cannot_be_drawn_is_said() {
    let table = Table::new().example("market-day-bag");
    let cases: [(&[&str], &str); 5] = [
        (&["-o", "bag.jpg"], "ends in .svg or .png"),
        (&["-o", "bag.svg", "--what", "piece"], "say which piece with --which"),
        (&["-o", "bag.svg", "--what", "piece", "--which", "hat"], "there is no piece `hat`"),
        (&["-o", "bag.svg", "--what", "step", "--which", "0"], "there is no step `0`"),
        (&["-o", "bag.svg", "--person", "3 m"], "between 50 cm and 250 cm"),
    ];
    for (options, words) in cases {
        let mut call = vec!["draw", "market-day-bag.toml"];
        call.extend(options);
        table.run(&call).exits(2).tells(words).prints_nothing();
        assert!(!table.at("bag.svg").exists() && !table.at("bag.jpg").exists());
    }
}
