//! Worked examples of the trade for the bodies, from design files through the whole packet; each
//! with its source.

use bag::pattern::Piece;
use measure::{Length, Point, Units, parse_length};
use packet::Packet;

use crate::packet_of;

#[track_caller]
fn inch(text: &str) -> Length {
    parse_length(text, Units::Inch).expect("a length")
}

#[track_caller]
fn piece<'p>(packet: &'p Packet, id: &str) -> &'p Piece {
    packet.pattern.pieces.iter().find(|piece| piece.id == id).expect("there is such a piece")
}

fn size(packet: &Packet) -> [Length; 3] {
    [packet.finished.width, packet.finished.height, packet.finished.depth]
}

fn inches(kind: &str, more: &str) -> Packet {
    packet_of(&format!("units = \"inch\"\n[body]\nkind = \"{kind}\"\n{more}"))
}

/// lazygirldesigns.com tutorial: a flat bag 19 × 16 in (net) with 2 in squares cut out gives 15
/// wide × 14 high × 4 deep.
#[test]
fn squares_of_two_inches_make_a_bag_four_inches_deep() {
    let packet = inches("cut-corners", "size = \"cut\"\nwidth = 20\nheight = 17\ndepth = 4\n");
    assert_eq!(size(&packet), ["15", "14", "4"].map(inch));
}

/// Derived: from the raw edges the square is half the depth when all allowances agree, and more by
/// the difference when that of the corner seam is less: depth 4, seams 1/2, corner seam 1/2 or
/// 1/4, square 2 or 2 1/4.
#[test]
fn the_raw_square_depends_on_the_allowance_of_the_corner() {
    for (corner, square) in [("1/2", "2"), ("1/4", "2 1/4")] {
        let more = format!("width = 16\nheight = 14\ndepth = 4\ncorner = \"{corner}\"\n");
        let packet = inches("cut-corners", &more);
        let cut = piece(&packet, "outside-panel").cut().expect("it can be cut");
        let (low, _) = cut.bounds();
        // The inner corner of the square at the right of the base.
        let (inner, base) = (cut.vertex(2), cut.vertex(1));
        let right: Point = cut.vertex(3);
        assert_eq!(inner.y - low.y, inch(square), "up from the raw base");
        assert_eq!(right.x - inner.x, inch(square), "in from the raw side");
        assert_eq!(base.x, inner.x);
    }
}

/// ktgreendesign.com, "Let's calculate": a bag 13 wide, 4 deep and 12 1/2 high with 1/2 in seams is
/// cut 2w + 2d + 1 = 35 by h + d/2 + 1 = 15 1/2 in; its rim is the girth, 2 (13 + 4) = 34 in.
#[test]
fn a_bag_wrapped_from_one_piece_is_cut_35_by_15_and_a_half() {
    let packet = inches("wrapped", "width = 13\nheight = \"12 1/2\"\ndepth = 4\n");
    assert_eq!(piece(&packet, "outside-panel").cut_size(), (inch("35"), inch("15 1/2")));
    assert_eq!(size(&packet), ["13", "12 1/2", "4"].map(inch));
    let rim = packet.steps.iter().find(|step| step.id == "join-rim").expect("it is lined");
    assert_eq!(rim.checkpoint.as_deref(), Some("The rim now measures 34 in around."));
    // 13 × 12 1/2 × 4 in are 650 cu in, 10.65 L (arithmetic: 1 cu in is 16.387064 ml).
    let litres = packet.finished.volume.to_litres();
    assert!((litres - 10.65).abs() < 0.005, "{litres}");
}
