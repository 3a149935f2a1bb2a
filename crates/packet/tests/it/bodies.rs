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

/// The gusset of a bag: its length at the stitching line, in inches, and how long it is cut.
#[track_caller]
fn gusset(more: &str) -> (f64, Length) {
    let packet = inches("gusset", &format!("height = 15\nwidth = 13\ndepth = 4\n{more}"));
    let strip = piece(&packet, "gusset");
    let long = |(wide, high): (Length, Length)| wide.max(high);
    (long(strip.net_size()).to_inch(), long(strip.cut_size()))
}

/// Panels of 13 × 15 in at the stitching line need a gusset of 15 + 13 + 15 = 43 in, cut 44 with 1/2 in
/// at both ends (peschelpress.com gives 43). Corners rounded by 2 in save 2 · 2 · (2 − π/2) in, which
/// leaves 41.283 (derived). Panels that are *cut* 13 × 15, with 1/2 in at the sides, the base and the
/// top, are 12 × 14 at the line and need 40 (derived: 14 + 12 + 14).
#[test]
fn a_gusset_is_as_long_as_the_way_round_its_panel() {
    assert_eq!(gusset(""), (43.0, inch("44")));
    let (round, _) = gusset("corner = 2\n");
    assert!((round - 41.283).abs() < 0.001, "{round}");
    assert_eq!(gusset("size = \"cut\"\n"), (40.0, inch("41")));
}

/// projectsbyjane.blogspot.com (2010): a base with corners of 2 in and short straight sides of 1/2 in
/// whose way round is 20 in has long straight sides of 3 1/4 in (with π = 22/7, rounded); exactly
/// (20 − 4π − 1) / 2 = 3.2168. The tube above it is as wide, lying flat in two halves of 10 in.
#[test]
fn a_tube_goes_round_a_rounded_base() {
    let packet =
        inches("rounded-base", "width = 7.2168\nheight = 9\ndepth = \"4 1/2\"\ncorner = 2\n");
    let base = &piece(&packet, "outside-base").net;
    assert!((base.perimeter().to_inch() - 20.0).abs() < 0.001, "{}", base.perimeter().to_inch());
    let half = piece(&packet, "outside-panel").net_size().0.to_inch();
    assert!((half - 10.0).abs() < 0.004, "{half}");
}

/// π·d at the stitching line (sew4home.com, on circles: 12 in give 37.7 in, 9 1/2 in about 30 in); the
/// disc is cut larger by both allowances.
#[test]
fn a_tube_goes_round_a_round_base() {
    for (across, around) in [("12", 37.70), ("9 1/2", 29.85)] {
        let packet = inches("round-base", &format!("width = \"{across}\"\nheight = 10\n"));
        let tube = piece(&packet, "outside-panel").net_size().0.to_inch() * 2.0;
        assert!((tube - around).abs() < 0.006, "{tube} for {around}");
        let cut = piece(&packet, "outside-base").cut_size();
        for cut in [cut.0, cut.1] {
            assert!((cut - inch(across) - inch("1")).abs() < Length::nm(20_000), "{cut:?}");
        }
    }
}

/// A-A-55105's laundry bag is 32 × 24 3/4 in when it is finished: closed, without a frill above its
/// casing; and 13 × 12 1/2 × 4 in, 14 × 15 × 6 in hold 10.65 and 20.6 L, of which only the second has
/// the 15 L of California's Public Resources Code 42281.
#[test]
fn published_sizes_come_out_as_they_were_asked() {
    let packet = inches(
        "drawstring-bag",
        "width = \"24 3/4\"\nheight = 32\nfrill = 0\n[lining]\nkind = \"unlined\"\n",
    );
    assert_eq!(size(&packet)[..2], ["24 3/4", "32"].map(inch));
    for (width, height, depth, litres) in [("13", "12 1/2", "4", 10.65), ("14", "15", "6", 20.65)] {
        let more = format!("width = \"{width}\"\nheight = \"{height}\"\ndepth = {depth}\n");
        let holds = inches("boxed", &more).finished.volume.to_litres();
        assert!((holds - litres).abs() < 0.005, "{holds}");
        assert_eq!(holds >= 15.0, litres >= 15.0);
    }
}
