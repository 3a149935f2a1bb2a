//! Gussets and round bases: edges that go round corners and curves, on patterns written by hand.

use super::*;
use crate::operations::{Clip, ClipEdge, Spot};

/// Adds a piece with an allowance of 1/2 in all round, and one copy of it.
fn piece(pattern: &mut Pattern, name: &str, net: Outline, edges: &[&str]) -> CopyId {
    let half = Length::inch_frac(1, 2);
    assert_eq!(net.edge_count(), edges.len());
    pattern.pieces.push(Piece {
        id: name.to_owned(),
        name: name.to_owned(),
        net,
        edges: edges.iter().map(|e| Edge { name: (*e).to_owned(), allowance: half }).collect(),
        ..pattern.pieces[0].clone()
    });
    let piece = PieceId(pattern.pieces.len() - 1);
    pattern.copies.push(Copy { piece, name: name.to_owned(), mirrored: false });
    CopyId(pattern.copies.len() - 1)
}

fn whole(pattern: &Pattern, copy: CopyId, edges: &[usize]) -> Vec<Span> {
    edges.iter().flat_map(|edge| Run::edge(pattern, copy, *edge).spans).collect()
}

fn stitch() -> Length {
    Length::nm(2_500_000)
}

/// How a strip is clipped before it goes round a panel.
enum Clips {
    None,
    Corners,
    Curves,
}

/// Two panels, and a strip of 4 in round the sides and the base of both. With a radius of the base
/// corners, or with square ones.
fn gusset(radius: Option<Length>, clips: &Clips) -> Pattern {
    let mut pattern = panels(0);
    let (net, edges): (Outline, &[&str]) = match radius {
        None => {
            (Outline::rectangle(inch(13), inch(15)), &["base", "right side", "rim", "left side"])
        }
        Some(radius) => (
            Outline::round_bottomed(inch(13), inch(15), radius).unwrap(),
            &["base", "right corner", "right side", "rim", "left side", "left corner"],
        ),
    };
    let round: &[usize] = if radius.is_some() { &[4, 5, 0, 1, 2] } else { &[3, 0, 1] };
    let front = piece(&mut pattern, "front", net.clone(), edges);
    let around: Length = whole(&pattern, front, round).iter().map(Span::length).sum();
    let back = piece(&mut pattern, "back", net, edges);
    let strip = Outline::rectangle(inch(4), around);
    let strip = piece(&mut pattern, "strip", strip, &["end", "right", "other end", "left"]);
    let (side, corner) = (inch(15), radius.unwrap_or(Length::ZERO));
    let (corners, curves) = match clips {
        Clips::None => (Vec::new(), Vec::new()),
        Clips::Corners => {
            let spots = [RIGHT, LEFT]
                .into_iter()
                .flat_map(|edge| [side, around - side].map(|at| Spot { copy: strip, edge, at }));
            (spots.collect(), Vec::new())
        }
        Clips::Curves => {
            let from = side - corner;
            let arc = (around - from * 2 - (inch(13) - corner * 2)).half();
            let rows = [RIGHT, LEFT].into_iter().flat_map(|edge| {
                let span = |from| Span { copy: strip, edge, from, to: from + arc };
                [span(from), span(around - from - arc)].map(|span| Run::open([span]))
            });
            (Vec::new(), rows.collect())
        }
    };
    if !matches!(clips, Clips::None) {
        let clip = ClipEdge {
            what: "the strip".to_owned(),
            corners,
            curves,
            every: Length::inch_frac(1, 2),
            leave: Length::inch_frac(1, 16),
            stitch: stitch(),
        };
        then(&mut pattern, "clip", clip);
    }
    for (id, panel, edge) in [("front-seam", front, LEFT), ("back-seam", back, RIGHT)] {
        // The panel is run down its left side, along the base and up; the strip beside it runs the
        // other way round its own outline.
        let mut along = whole(&pattern, strip, &[edge]);
        if edge == RIGHT {
            // Of the back, seen from its own right side, left and right have changed places.
            let run: Vec<Span> =
                whole(&pattern, panel, round).iter().rev().map(|s| s.reversed()).collect();
            then(&mut pattern, id, seam("the strip", run, along));
        } else {
            along = along.iter().map(|span| span.reversed()).collect();
            let run = whole(&pattern, panel, round);
            then(&mut pattern, id, seam("the strip", run, along));
        }
    }
    pattern
}

#[test]
fn a_strip_round_a_panel_makes_a_bag_with_one_mouth() {
    for (radius, clips) in [(None, Clips::Corners), (Some(inch(2)), Clips::Curves)] {
        let pattern = gusset(radius, &clips);
        let seen: Vec<(i64, usize, bool, SideOut)> = [2, 3]
            .map(|steps| {
                let work = Assembly::sew_first(&pattern, steps);
                let surface = work.surface(CopyId(2));
                let side = work.side_out(CopyId(2));
                (surface.euler(), surface.mouths.len(), surface.orientable, side)
            })
            .into();
        // A panel in a frame of three sides is still a disc; with the other panel, a bag.
        assert_eq!(seen, [(1, 1, true, SideOut::Wrong), (1, 1, true, SideOut::Wrong)]);
        let work = Assembly::sew(&pattern);
        let surface = work.surface(CopyId(0));
        assert_eq!(surface.inside_out, []);
        assert_eq!(surface.copies.len(), 3);
        // The mouth: two rims of 13 in and two ends of the strip, 4 in.
        assert_eq!(surface.mouths[0].around, inch(34));
        assert!(!work.lies_flat(CopyId(0)));
        let errors = messages(&pattern, Severity::Error);
        assert!(
            errors.iter().all(|m| m.starts_with("raw-edges") || m.starts_with("faces-meet")),
            "{errors:?}"
        );
    }
}

/// Net panels of 13 × 15 in take a net strip of 43 in, cut 44 with 1/2 in at the ends; corners of
/// 2 in one of 41.283 in. A panel that is *cut* 13 × 15 in, with 1/2 in at the sides, the base and
/// the top, is 12 × 14 at its lines, and takes 40 (all derived: 2·height + width, less
/// 2·R·(2 − π/2); sewing pages give 43, from cut sizes).
#[test]
fn the_length_of_a_strip_follows_the_stitching_line() {
    let square = gusset(None, &Clips::Corners);
    let strip = square.piece_of(CopyId(2));
    assert_eq!(strip.net_size(), (inch(4), inch(43)));
    assert_eq!(strip.cut_size(), (inch(5), inch(44)));
    let round = gusset(Some(inch(2)), &Clips::Curves);
    let long = round.piece_of(CopyId(2)).net_size().1.to_mm() / 25.4;
    assert!((long - 41.283).abs() < 0.001, "{long}");
    let half = Length::inch_frac(1, 2);
    let cut = Outline::rectangle(inch(13), inch(15));
    let net = cut.offset_evenly(-half).unwrap();
    let around: Length = [3, 0, 1].iter().map(|edge| net.edge_length(*edge)).sum();
    assert_eq!(around, inch(40));
}

#[test]
fn a_strip_that_is_not_clipped_cannot_go_round() {
    let check = |pattern: &Pattern| -> Vec<String> {
        let all = messages(pattern, Severity::Error);
        all.into_iter().filter(|m| m.starts_with("edges-can-spread")).collect()
    };
    for radius in [None, Some(inch(2))] {
        let found = check(&gusset(radius, &Clips::None));
        assert_eq!(found.len(), 2, "{found:?}");
        assert!(found[0].contains("has no clip"), "{found:?}");
    }
    assert_eq!(check(&gusset(None, &Clips::Corners)), [""; 0]);
    assert_eq!(check(&gusset(Some(inch(2)), &Clips::Curves)), [""; 0]);
    // Clips in the wrong place: those of square corners do not serve round ones.
    assert!(!check(&gusset(Some(inch(5)), &Clips::Corners)).is_empty());
}

#[test]
fn clips_come_before_the_seam_and_stop_short_of_the_line() {
    let late = |leave: Length, first: bool| {
        let mut pattern = gusset(None, &Clips::Corners);
        let clip = ClipEdge {
            what: "the strip".to_owned(),
            corners: vec![Spot { copy: CopyId(2), edge: LEFT, at: inch(15) }],
            curves: Vec::new(),
            every: Length::inch_frac(1, 2),
            leave,
            stitch: stitch(),
        };
        if first {
            pattern.steps.clear();
        }
        then(&mut pattern, "clip-again", clip);
        messages(&pattern, Severity::Error)
    };
    let sixteenth = Length::inch_frac(1, 16);
    assert!(late(sixteenth, false).iter().any(|m| m.contains("has been sewn already")));
    assert!(late(Length::ZERO, true).iter().any(|m| m.contains("cut its stitching line")));
    assert!(late(inch(1), true).iter().any(|m| m.contains("would not reach into it")));
    assert!(!late(sixteenth, true).iter().any(|m| m.contains("clip into")));
}

/// A tube of two panels and a round base: the base's circumference is the width of both panels.
fn bucket(clipped: bool, wrong_way: bool) -> Pattern {
    let mut pattern = panels(0);
    let base = Outline::ellipse(inch(6), inch(6)).unwrap();
    let half = base.edge_length(0);
    let panel = Outline::rectangle(half, inch(9));
    let names = ["base", "right side", "rim", "left side"];
    let front = piece(&mut pattern, "front", panel.clone(), &names);
    let back = piece(&mut pattern, "back", panel, &names);
    let base = piece(&mut pattern, "base", base, &["front half", "back half"]);
    let one = |pattern: &Pattern, copy, edge| whole(pattern, copy, &[edge]);
    let back_run = |spans: Vec<Span>| -> Vec<Span> { spans.iter().map(|s| s.reversed()).collect() };
    for (id, a, b) in
        [("right", (front, RIGHT), (back, LEFT)), ("left", (front, LEFT), (back, RIGHT))]
    {
        let (a, b) = (one(&pattern, a.0, a.1), back_run(one(&pattern, b.0, b.1)));
        then(&mut pattern, id, seam("side", a, b));
    }
    if clipped {
        let rows = [front, back].map(|copy| Run::open(one(&pattern, copy, BASE)));
        let clip = ClipEdge {
            what: "the lower edge".to_owned(),
            corners: Vec::new(),
            curves: rows.into(),
            every: Length::inch_frac(1, 2),
            leave: Length::inch_frac(1, 8),
            stitch: stitch(),
        };
        then(&mut pattern, "clip", clip);
    }
    let half_inch = Length::inch_frac(1, 2);
    let tube = Run::round([one(&pattern, front, BASE), one(&pattern, back, BASE)].concat());
    // The front's base edge runs from left to right, the base's front half too; seen from the right
    // side of each, one of the two is run against its outline.
    let (f, b) = (one(&pattern, base, 0), one(&pattern, base, 1));
    let around = if wrong_way {
        Run::round([f, b].concat())
    } else {
        Run::round([back_run(f), back_run(b)].concat())
    };
    let join = Join::plain("the base", vec![[tube, around]], half_inch, stitch());
    then(&mut pattern, "base", join);
    then(
        &mut pattern,
        "notch",
        Clip {
            what: "the round seam".to_owned(),
            copies: vec![base],
            every: half_inch,
            leave: Length::inch_frac(1, 8),
            wedges: true,
        },
    );
    pattern
}

#[test]
fn a_round_base_closes_a_tube() {
    let pattern = bucket(true, false);
    let at = |steps: usize| {
        let work = Assembly::sew_first(&pattern, steps);
        let surface = work.surface(CopyId(0));
        (surface.euler(), surface.mouths.len(), work.side_out(CopyId(0)))
    };
    assert_eq!(at(2), (0, 2, SideOut::Wrong));
    assert_eq!(at(4), (1, 1, SideOut::Wrong));
    let surface = Assembly::sew(&pattern).surface(CopyId(0));
    assert!(surface.orientable && surface.inside_out.is_empty());
    assert_eq!(surface.copies.len(), 3);
    let errors = messages(&pattern, Severity::Error);
    assert!(
        errors.iter().all(|m| m.starts_with("raw-edges") || m.starts_with("faces-meet")),
        "{errors:?}"
    );
    // π·6 in round the mouth, within 0.1 mm.
    let around = surface.mouths[0].around.to_mm();
    assert!((around - std::f64::consts::PI * 152.4).abs() < 0.1, "{around}");
    let unclipped = messages(&bucket(false, false), Severity::Error);
    assert!(unclipped.iter().any(|m| m.starts_with("edges-can-spread")), "{unclipped:?}");
}

#[test]
fn a_base_sewn_in_inside_out_is_found_out() {
    let pattern = bucket(true, true);
    let errors = messages(&pattern, Severity::Error);
    assert!(errors.iter().any(|m| m.starts_with("faces-meet")), "{errors:?}");
}

/// Curved edges match within 0.1 mm, and 0.2 mm are told.
#[test]
fn curved_edges_match_by_length_along_the_seam() {
    let off = |by: i64| {
        let mut pattern = gusset(Some(inch(2)), &Clips::Curves);
        let long = pattern.pieces[3].net.edge_length(RIGHT);
        pattern.pieces[3].net = Outline::rectangle(inch(4), long + Length::nm(by));
        pattern.steps.clear();
        let run = whole(&pattern, CopyId(0), &[4, 5, 0, 1, 2]);
        let along =
            whole(&pattern, CopyId(2), &[LEFT]).iter().map(|s| s.reversed()).collect::<Vec<_>>();
        then(&mut pattern, "seam", seam("the strip", run, along));
        let all = messages(&pattern, Severity::Error);
        all.iter().any(|m| m.starts_with("joined-edges-match"))
    };
    assert!(!off(90_000));
    assert!(off(200_000));
}
