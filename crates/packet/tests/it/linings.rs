//! Figures of linings. Common practice, no source.

use measure::{Length, Units, parse_length};
use packet::Packet;

use crate::packet_of;

#[track_caller]
fn inch(text: &str) -> Length {
    parse_length(text, Units::Inch).expect("a length")
}

/// A boxed bag 16 × 14 × 4 in without handles, with that lining.
fn bag_with(lining: &str) -> Packet {
    packet_of(&format!(
        "units = \"inch\"\n[body]\nkind = \"boxed\"\n[handles]\nkind = \"none\"\n[lining]\n{lining}\n"
    ))
}

#[track_caller]
fn cut(packet: &Packet, id: &str) -> (Length, Length) {
    let piece = packet.pattern.pieces.iter().find(|piece| piece.id == id);
    piece.expect("there is such a piece").cut_size()
}

#[track_caller]
fn text<'p>(packet: &'p Packet, id: &str) -> &'p str {
    let step = packet.steps.iter().find(|step| step.id == id);
    &step.expect("there is such a step").text
}

/// A lining that is dropped in is cut like the outside, less its ease; both rims are turned in by
/// the same 1/2 in, and nothing is left open in it.
#[test]
fn a_lining_that_is_dropped_in() {
    let packet = bag_with("kind = \"dropped\"\nease = \"1/8\"");
    assert_eq!(cut(&packet, "outside-panel"), (inch("21"), inch("17")));
    assert_eq!(cut(&packet, "lining-panel"), (inch("20 7/8"), inch("16 7/8")));
    let rim = text(&packet, "join-rim");
    assert!(rim.contains("to the wrong side by 1/2 in"), "{rim}");
    assert!(rim.contains("1/4 in smaller around"), "{rim}");
    let opening = packet.steps.iter().any(|step| step.text.contains("for turning"));
    assert!(!opening, "a dropped lining is not turned");
}

/// A backing is cut exactly as its panel, hem and all.
#[test]
fn a_backing_is_cut_as_its_panel() {
    let packet = bag_with("kind = \"backed\"");
    assert_eq!(cut(&packet, "outside-panel"), cut(&packet, "outside-panel-backing"));
    assert_eq!(cut(&packet, "outside-panel"), (inch("21"), inch("18")));
}

/// Of a felled seam sewn with 1/2 in one allowance is trimmed to a shade less than half.
#[test]
fn a_felled_seam_is_trimmed_to_less_than_half() {
    let packet = bag_with("kind = \"unlined\"\nfinish = \"felled\"");
    let fell = text(&packet, "finish-seams");
    assert!(fell.contains("to 3/16 in"), "{fell}");
}
