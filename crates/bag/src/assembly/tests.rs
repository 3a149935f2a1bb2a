//! The assembly on patterns small enough to work out by hand.

use std::sync::Arc;

use measure::{Increments, Length, Outline, Point, System, Units};

use super::{Assembly, Edging, Event, Reachable, SideOut, report};
use crate::checks;
use crate::finding::Severity;
use crate::operations::{
    AttachHardware, Bind, BoxCorner, CloseGap, Closing, Corner, FoldPanel, Gap, Hem, Join, Meeting,
    Operation, Quilt, SetZip, Slit, ThreadDrawstring, Through, Turn, ZipInto,
};
use crate::pattern::{
    Chapter, Claims, Cloth, Copy, CopyId, Edge, Form, Grain, Look, Material, MaterialId, Pattern,
    Piece, PieceId, Run, Shop, Span, Step, Thread,
};

mod curves;

const BASE: usize = 0;
const RIGHT: usize = 1;
const RIM: usize = 2;
const LEFT: usize = 3;

fn inch(inches: i64) -> Length {
    Length::inch(inches)
}

/// Panels of 10 × 20 in with 1/2 in allowance all round, and nothing to do yet.
fn panels(count: usize) -> Pattern {
    let half = Length::inch_frac(1, 2);
    let edges = ["base", "right side", "rim", "left side"];
    let cloth = Cloth {
        bought_width: inch(44),
        usable_width: inch(42),
        usable_given: true,
        one_way: false,
        turnable: false,
        thickness: None,
        weight: None,
        shrinks_in_length: 0,
        shrinks_in_width: 0,
    };
    Pattern {
        title: "test".to_owned(),
        about: String::new(),
        units: Units::Inch,
        edition: crate::Edition::default(),
        materials: vec![Material {
            id: "fabric".to_owned(),
            name: "fabric".to_owned(),
            serves: "outside".to_owned(),
            form: Form::Fabric(cloth),
            look: Look::Outside,
        }],
        pieces: vec![Piece {
            id: "panel".to_owned(),
            name: "panel".to_owned(),
            material: MaterialId(0),
            net: Outline::rectangle(inch(10), inch(20)),
            edges: edges.map(|name| Edge { name: name.to_owned(), allowance: half }).into(),
            grain: Grain::Lengthwise,
            interfacing: None,
            marks: Vec::new(),
            join: None,
            trimmed: Length::ZERO,
        }],
        copies: (0..count)
            .map(|n| Copy { piece: PieceId(0), name: format!("panel {n}"), mirrored: false })
            .collect(),
        steps: Vec::new(),
        claims: Claims::default(),
        hinges: Vec::new(),
        notions: Vec::new(),
        tools: Vec::new(),
        shop: Shop {
            increments: Increments::usual(System::Inch),
            squaring: Length::ZERO,
            gap: Length::ZERO,
            strips_first: None,
        },
        thread: Thread { tex: 35, strength_mn: 11_100 },
    }
}

fn then(pattern: &mut Pattern, id: &str, operation: impl Operation + 'static) {
    pattern.steps.push(Step {
        id: id.to_owned(),
        chapter: Chapter::Outside,
        operation: Arc::new(operation),
        checkpoint: None,
    });
}

fn edge(copy: usize, edge: usize) -> Span {
    let to = if edge.is_multiple_of(2) { inch(10) } else { inch(20) };
    Span { copy: CopyId(copy), edge, from: Length::ZERO, to }
}

fn seam(what: &str, a: impl IntoIterator<Item = Span>, b: impl IntoIterator<Item = Span>) -> Join {
    let half = Length::inch_frac(1, 2);
    let sides = [Run::open(a), Run::open(b)];
    Join::plain(what, vec![sides], half, Length::nm(2_500_000))
}

fn messages(pattern: &Pattern, severity: Severity) -> Vec<String> {
    let mut all: Vec<String> = checks::run(pattern)
        .into_iter()
        .filter(|finding| {
            finding.severity == severity && !["finished-size", "prepared"].contains(&finding.check)
        })
        .map(|finding| format!("{}: {}", finding.check, finding.message))
        .collect();
    all.dedup();
    all
}

/// Both sides of two panels, front and back.
fn tube(pattern: &mut Pattern) {
    then(pattern, "right", seam("side", [edge(0, RIGHT)], [edge(1, LEFT).reversed()]));
    then(pattern, "left", seam("side", [edge(0, LEFT)], [edge(1, RIGHT).reversed()]));
}

#[test]
fn a_panel_is_a_disc_a_tube_an_annulus_and_a_bag_a_disc_again() {
    let mut pattern = panels(2);
    tube(&mut pattern);
    then(&mut pattern, "base", seam("base", [edge(0, BASE)], [edge(1, BASE).reversed()]));
    let euler: Vec<(i64, usize, SideOut)> = (0..=3)
        .map(|steps| {
            let work = Assembly::sew_first(&pattern, steps);
            let surface = work.surface(CopyId(0));
            (surface.euler(), surface.mouths.len(), work.side_out(CopyId(0)))
        })
        .collect();
    assert_eq!(
        euler,
        [
            (1, 1, SideOut::Flat),
            (1, 1, SideOut::Flat),
            (0, 2, SideOut::Wrong),
            (1, 1, SideOut::Wrong),
        ]
    );
    let work = Assembly::sew(&pattern);
    assert_eq!(work.surface(CopyId(0)).mouths[0].around, inch(20));
}

#[test]
fn a_seam_sewn_the_wrong_way_round_makes_a_one_sided_surface() {
    let mut pattern = panels(1);
    then(&mut pattern, "twisted", seam("side", [edge(0, RIGHT)], [edge(0, LEFT)]));
    let surface = Assembly::sew(&pattern).surface(CopyId(0));
    assert!(!surface.orientable);
    // A Möbius band: characteristic 0, one mouth.
    assert_eq!((surface.euler(), surface.mouths.len()), (0, 1));
    assert!(messages(&pattern, Severity::Error).iter().any(|m| m.contains("one-sided")));
}

/// One panel, folded in the middle of its sides, sewn up and boxed on the fold: derived, the
/// folded height of 10 in less half the depth, the width less the depth.
#[test]
fn a_folded_panel_is_boxed_on_its_fold() {
    let mut pattern = panels(1);
    let fold = FoldPanel {
        copy: CopyId(0),
        from: Point::new(Length::ZERO, inch(10)),
        to: Point::new(inch(10), inch(10)),
        meet: Meeting::RightSides,
        press: false,
    };
    then(&mut pattern, "fold", fold);
    for (id, side) in [("right", RIGHT), ("left", LEFT)] {
        let low = Span { copy: CopyId(0), edge: side, from: inch(10), to: Length::ZERO };
        let high = Span { copy: CopyId(0), edge: side, from: inch(10), to: inch(20) };
        then(&mut pattern, id, seam("side", [low], [high]));
    }
    let corner = |side| Corner { fold: Some(inch(10)), ..Corner::of(CopyId(0), side, side) };
    let boxing = BoxCorner {
        what: "the bag".to_owned(),
        corners: vec![vec![corner(LEFT)], vec![corner(RIGHT)]],
        tip: inch(2),
        depth: inch(4),
        leave: Length::inch_frac(3, 8),
        stitch: Length::nm(2_500_000),
        finish: None,
    };
    then(&mut pattern, "box", boxing);
    let work = Assembly::sew(&pattern);
    let surface = work.surface(CopyId(0));
    assert_eq!((surface.euler(), surface.mouths.len(), surface.orientable), (1, 1, true));
    let height = crate::pattern::Reach::Folded(CopyId(0), RIM, BASE, 2);
    let width = crate::pattern::Reach::OnFold(CopyId(0), LEFT, RIGHT);
    let measure = |reach| crate::pattern::Gauge(vec![reach]).measure(&pattern, &work.sewn);
    // The raw rims are 1/2 in beyond the net outline at both ends.
    assert_eq!(measure(height), Some(Length::inch_frac(17, 2)));
    assert_eq!(measure(width), Some(inch(6)));
    let all = messages(&pattern, Severity::Error);
    assert!(
        all.iter().all(|m| m.starts_with("raw-edges") || m.starts_with("faces-meet")),
        "{all:?}"
    );
}

#[test]
fn boxing_on_a_fold_waits_for_the_side_seam() {
    let mut pattern = panels(1);
    let corner = Corner { fold: Some(inch(10)), ..Corner::of(CopyId(0), LEFT, LEFT) };
    let boxing = BoxCorner {
        what: "the bag".to_owned(),
        corners: vec![vec![corner]],
        tip: inch(2),
        depth: inch(4),
        leave: Length::inch_frac(3, 8),
        stitch: Length::nm(2_500_000),
        finish: None,
    };
    then(&mut pattern, "box", boxing);
    let all = messages(&pattern, Severity::Error);
    assert!(all.iter().any(|m| m.contains("boxed before its side")), "{all:?}");
}

#[test]
fn a_closed_body_is_a_sphere_and_its_gap_a_mouth() {
    let mut pattern = panels(2);
    let all = |copy| [BASE, RIGHT, RIM, LEFT].map(|e| edge(copy, e));
    let back = [BASE, LEFT, RIM, RIGHT].map(|e| edge(1, e).reversed());
    let mut round = seam("all round", all(0), back);
    round.gaps = vec![Gap { from: inch(3), to: inch(7) }];
    then(&mut pattern, "round", round);
    let turn = Turn {
        what: "the pocket".to_owned(),
        bodies: vec![CopyId(0)],
        through: Through::Opening("round".to_owned()),
        then: String::new(),
    };
    then(&mut pattern, "turn", turn);
    let close = CloseGap {
        left_by: "round".to_owned(),
        copies: vec![CopyId(0)],
        closing: Closing::Hand,
        allowance: Length::inch_frac(1, 2),
    };
    then(&mut pattern, "close", close);
    let seen: Vec<(i64, usize, SideOut)> = (1..=3)
        .map(|steps| {
            let work = Assembly::sew_first(&pattern, steps);
            let surface = work.surface(CopyId(0));
            (surface.euler(), surface.mouths.len(), work.side_out(CopyId(0)))
        })
        .collect();
    assert_eq!(seen, [(1, 1, SideOut::Wrong), (1, 1, SideOut::Right), (2, 0, SideOut::Right)]);
    assert_eq!(messages(&pattern, Severity::Error), [""; 0]);
}

/// Two pockets alike, sewn in one step: an opening for each, turned and closed each.
#[test]
fn parts_that_are_sewn_alike_have_an_opening_each() {
    let pockets = |each_open: bool, turned: &[usize]| {
        let mut pattern = panels(4);
        let all = |copy| [BASE, RIGHT, RIM, LEFT].map(|e| edge(copy, e));
        let back = |copy| [BASE, LEFT, RIM, RIGHT].map(|e| edge(copy, e).reversed());
        let mut round = seam("all round", all(0), back(1));
        round.seams.extend(seam("", all(2), back(3)).seams);
        round.gaps = vec![Gap { from: inch(3), to: inch(7) }];
        round.each_open = each_open;
        then(&mut pattern, "round", round);
        let turn = Turn {
            what: "each pocket".to_owned(),
            bodies: turned.iter().copied().map(CopyId).collect(),
            through: Through::Opening("round".to_owned()),
            then: String::new(),
        };
        then(&mut pattern, "turn", turn);
        let close = CloseGap {
            left_by: "round".to_owned(),
            copies: vec![CopyId(0), CopyId(2)],
            closing: Closing::Machine,
            allowance: Length::inch_frac(1, 2),
        };
        then(&mut pattern, "close", close);
        pattern
    };
    let right = pockets(true, &[0, 2]);
    assert_eq!(messages(&right, Severity::Error), [""; 0]);
    let work = Assembly::sew(&right);
    for copy in [CopyId(0), CopyId(2)] {
        let surface = work.surface(copy);
        assert_eq!(
            (surface.euler(), surface.mouths.len(), work.side_out(copy)),
            (2, 0, SideOut::Right)
        );
    }
    // Four openings' sides of 4 in each are closed in two rows of 4 in.
    let before_closing = Assembly::sew_first(&right, 2);
    let rows = right.steps[2].operation.takes(&before_closing).rows;
    assert_eq!(rows.iter().map(|row| row.length).collect::<Vec<_>>(), [inch(4); 2]);
    assert_eq!(
        messages(&pockets(false, &[0, 2]), Severity::Error),
        ["turning-has-opening: the body with the panel 2 is closed all round when it is turned"]
    );
    assert_eq!(
        messages(&pockets(true, &[0]), Severity::Error),
        [
            "faces-meet: the body with the panel 2 ends wrong side out",
            "openings-closed: the opening is closed while the wrong side is out"
        ]
    );
}

#[test]
fn an_edge_is_not_sewn_twice() {
    let mut pattern = panels(3);
    then(&mut pattern, "first", seam("side", [edge(0, RIGHT)], [edge(1, LEFT).reversed()]));
    then(&mut pattern, "again", seam("side", [edge(0, RIGHT)], [edge(2, LEFT).reversed()]));
    let work = Assembly::sew(&pattern);
    assert!(!work.is_one_body(CopyId(0), CopyId(2)));
    assert!(matches!(work.events[1], (1, Event::Impossible { .. })));
}

#[test]
fn hardware_goes_on_while_the_panel_lies_flat_or_near_the_mouth() {
    let reach = |sewn: bool, high: i64| {
        let mut pattern = panels(2);
        if sewn {
            tube(&mut pattern);
            then(&mut pattern, "base", seam("base", [edge(0, BASE)], [edge(1, BASE).reversed()]));
        }
        let snap = AttachHardware {
            what: "a magnetic snap".to_owned(),
            at: vec![(CopyId(0), Point::new(inch(5), inch(high)))],
            backing: "a scrap of interfacing".to_owned(),
        };
        then(&mut pattern, "snap", snap);
        let work = Assembly::sew(&pattern);
        work.events.iter().find_map(|(_, event)| match event {
            Event::Stitched { reach, .. } => Some(*reach),
            _ => None,
        })
    };
    assert_eq!(reach(false, 4), Some(Reachable::Flat));
    assert_eq!(reach(true, 18), Some(Reachable::NearMouth));
    assert_eq!(reach(true, 4), Some(Reachable::Buried));
}

#[test]
fn a_slit_is_a_mouth_until_a_zip_holds_it_and_stays_one_that_can_be_opened() {
    let mut pattern = panels(1);
    let slit = Slit {
        copy: CopyId(0),
        from: Point::new(inch(2), inch(12)),
        to: Point::new(inch(8), inch(12)),
    };
    then(&mut pattern, "slit", slit);
    let surface = Assembly::sew(&pattern).surface(CopyId(0));
    assert_eq!((surface.euler(), surface.mouths.len(), surface.slits), (0, 1, 1));
    assert!(
        messages(&pattern, Severity::Error)
            .iter()
            .any(|m| m.contains("stays raw") && m.contains("slit"))
    );
    let zip = SetZip {
        what: "the zip".to_owned(),
        length: inch(7),
        shows: None,
        into: ZipInto::Slit(CopyId(0)),
        from_teeth: Length::inch_frac(1, 8),
        stitch: Length::nm(2_500_000),
    };
    then(&mut pattern, "zip", zip);
    assert!(!messages(&pattern, Severity::Error).iter().any(|m| m.contains("slit")));
}

#[test]
fn a_zip_between_two_rims_is_a_mouth_to_turn_through() {
    let mut pattern = panels(2);
    let zip = SetZip {
        what: "the zip".to_owned(),
        length: inch(10),
        shows: None,
        into: ZipInto::Edges(
            [Run::open([edge(0, RIM)]), Run::open([edge(1, RIM).reversed()])],
            Length::inch_frac(1, 2),
        ),
        from_teeth: Length::inch_frac(1, 8),
        stitch: Length::nm(2_500_000),
    };
    then(&mut pattern, "zip", zip);
    tube(&mut pattern);
    then(&mut pattern, "base", seam("base", [edge(0, BASE)], [edge(1, BASE).reversed()]));
    let work = Assembly::sew(&pattern);
    let surface = work.surface(CopyId(0));
    assert_eq!((surface.euler(), surface.mouths.len()), (1, 1));
    assert_eq!(surface.mouths[0].edgings, [Edging::Zipped(0)]);
}

#[test]
fn a_cord_needs_a_casing_longer_than_which_it_is() {
    let cord = |hem: bool, length: i64| {
        let mut pattern = panels(2);
        tube(&mut pattern);
        let rim = Run::round([edge(0, RIM), edge(1, RIM)]);
        if hem {
            let hem = Hem {
                what: "the rim".to_owned(),
                run: rim.clone(),
                first: Length::inch_frac(1, 4),
                depth: Length::inch_frac(1, 4),
                tucked: Vec::new(),
                stitch: Length::nm(2_500_000),
            };
            then(&mut pattern, "hem", hem);
        }
        let thread = ThreadDrawstring {
            what: "a cord".to_owned(),
            route: String::new(),
            casing: rim,
            length: inch(length),
        };
        then(&mut pattern, "thread", thread);
        messages(&pattern, Severity::Error)
            .into_iter()
            .filter(|m| m.contains("casing"))
            .collect::<Vec<_>>()
    };
    assert_eq!(cord(true, 30), [""; 0]);
    assert_eq!(cord(true, 15).len(), 1);
    assert_eq!(cord(false, 30).len(), 1);
}

#[test]
fn a_bound_edge_loses_nothing_and_is_not_raw() {
    let mut pattern = panels(1);
    let run = Run::round([BASE, RIGHT, RIM, LEFT].map(|e| edge(0, e)));
    let bind = Bind {
        what: "the edge".to_owned(),
        run,
        width: Length::inch_frac(3, 8),
        bound_with: "binding".to_owned(),
        stitch: Length::nm(2_500_000),
    };
    then(&mut pattern, "bind", bind);
    assert_eq!(messages(&pattern, Severity::Error), [""; 0]);
}

#[test]
fn quilting_comes_before_the_first_seam() {
    let mut pattern = panels(2);
    then(&mut pattern, "right", seam("side", [edge(0, RIGHT)], [edge(1, LEFT).reversed()]));
    let quilt = Quilt {
        copies: vec![CopyId(0)],
        layers: "wadding".to_owned(),
        behind: Vec::new(),
        rows: inch(1),
        larger: inch(1),
        stitch: Length::mm(3),
    };
    then(&mut pattern, "quilt", quilt);
    let all = messages(&pattern, Severity::Error);
    assert!(all.iter().any(|m| m.contains("too late to quilt")), "{all:?}");
}

#[test]
fn the_report_tells_the_state_of_every_edge() {
    let mut pattern = panels(2);
    then(&mut pattern, "right", seam("side", [edge(0, RIGHT)], [edge(1, LEFT).reversed()]));
    let text = report(&Assembly::sew(&pattern), System::Inch);
    expect_test::expect![[r#"
        body of panel 0, panel 1: flat
          mouth 80 in around: raw
          panel 0
            base: 10 in raw
            right side: 20 in sewn by right
            rim: 10 in raw
            left side: 20 in raw
          panel 1
            base: 10 in raw
            right side: 20 in raw
            rim: 10 in raw
            left side: 20 in sewn by right
          as a surface: 2 panels, 7 edges, 6 points; Euler characteristic 1; two-sided; 1 mouth
    "#]]
    .assert_eq(&text);
}
