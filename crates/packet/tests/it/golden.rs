//! Everything that the packet of each example says, as text to be read critically: run with
//! `UPDATE_EXPECT=1` to accept a change, and read the difference before you commit it.

use std::fmt::Write as _;

use bag::pattern::{Grain, InterfacingCut, MarkShape, Pattern, Piece};
use expect_test::expect_file;
use layout::Proof;
use measure::{Length, show_bought, show_length, show_number, show_size, show_volume};
use packet::takes::{Pace, Spent, Takes};
use packet::{Cut, Packet};

use crate::{designs_in, packet_of, root};

#[test]
fn the_examples_say_what_was_reviewed() {
    let examples = designs_in("examples");
    assert!(examples.len() >= 4, "there are at least four examples");
    for (name, text) in examples {
        let packet = packet_of(&text);
        let pages = [
            ("pieces", pieces(&packet)),
            ("steps", steps(&packet)),
            ("findings", findings(&packet)),
            ("cloth", cloth(&packet)),
        ];
        let folder = root().join("golden").join(&name);
        if std::env::var_os("UPDATE_EXPECT").is_some() {
            std::fs::create_dir_all(&folder).expect("the folder can be made");
        }
        for (page, text) in pages {
            expect_file![folder.join(format!("{page}.txt"))].assert_eq(&text);
        }
    }
}

/// What the finished bag measures, and every piece with its sizes, allowances and marks.
fn pieces(packet: &Packet) -> String {
    let Packet { pattern, system, finished, .. } = packet;
    let show = |length| show_length(length, *system);
    let mut text = String::new();
    let _ = writeln!(
        text,
        "finished: {} at the base, {} deep, {} flat at the top, {}",
        show_size(finished.width, finished.height, *system),
        show(finished.depth),
        show(finished.top_width),
        show_volume(finished.volume, *system)
    );
    for handle in &pattern.claims.handles {
        let (free, drop) = (show(handle.free), show(handle.drop));
        let _ = writeln!(text, "{}: {} free, drops {drop}", handle.name, free);
    }
    for pocket in &pattern.claims.pockets {
        let widths: Vec<String> =
            pocket.compartments.iter().map(|width| show_number(*width, *system)).collect();
        let (width, height) = pocket.size;
        let _ = writeln!(
            text,
            "{}: {}, {} deep in use, compartments {}",
            pocket.name,
            show_size(width, height, *system),
            show(pocket.true_depth),
            widths.join(" + ")
        );
    }
    for id in pattern.piece_ids() {
        let piece = pattern.piece(id);
        let (width, height) = piece.cut_size();
        let _ = writeln!(
            text,
            "\n{} × {}: cut {}, {}, {}",
            pattern.count(id),
            piece.name,
            show_size(width, height, *system),
            pattern.material(piece.material).name,
            grain(piece)
        );
        let (width, height) = piece.net_size();
        let _ = writeln!(text, "  stitching line {}", show_size(width, height, *system));
        for (index, edge) in piece.edges.iter().enumerate() {
            let length = show(piece.net.edge_length(index));
            let _ = writeln!(text, "  {}: {length}, allowance {}", edge.name, show(edge.allowance));
        }
        if let (Some(on), Some((width, height))) = (piece.interfacing, piece.interfacing_size()) {
            let _ = writeln!(
                text,
                "  {}, {:?}, cut {} ({})",
                pattern.material(on.material).name,
                on.hold,
                show_size(width, height, *system),
                if on.cut == InterfacingCut::Full { "full" } else { "net" }
            );
        }
        for mark in &piece.marks {
            let _ = writeln!(text, "  {}: {}", mark.label, shape(packet, piece, mark.shape));
        }
    }
    let none = |list: &[String]| if list.is_empty() { "none".to_owned() } else { list.join(", ") };
    let notions: Vec<String> = pattern.notions.iter().map(|it| it.describe(*system)).collect();
    let _ = writeln!(text, "\nnotions: {}", none(&notions));
    if !pattern.tools.is_empty() {
        let _ = writeln!(text, "tools: {}", pattern.tools.join(", "));
    }
    text.push_str(&takes(packet));
    text
}

fn grain(piece: &Piece) -> &'static str {
    match piece.grain {
        Grain::Lengthwise => "lengthwise",
        Grain::Crosswise => "crosswise",
        Grain::Free => "either way",
    }
}

/// Points are told as a person measures them: from the lower left corner of the stitching line.
fn shape(packet: &Packet, piece: &Piece, shape: MarkShape) -> String {
    let number = |length: Length| show_number(length, packet.system);
    let point = |at: measure::Point| format!("({}, {})", number(at.x), number(at.y));
    match shape {
        MarkShape::Notch { edge, along } => {
            format!("notch {} along the {}", number(along), piece.edges[edge].name)
        }
        MarkShape::Placement(a, b) => format!("placement {} to {}", point(a), point(b)),
        MarkShape::Fold(a, b) => format!("fold {} to {}", point(a), point(b)),
        MarkShape::Stitching(a, b) => format!("stitching {} to {}", point(a), point(b)),
        MarkShape::BoxAndX(a, b) => format!("box and X {} to {}", point(a), point(b)),
        MarkShape::Opening { edge, from, to } => {
            format!("{} to {} along the {}", number(from), number(to), piece.edges[edge].name)
        }
        MarkShape::Dot(at) => format!("dot {}", point(at)),
    }
}

/// The steps as her class reads them.
fn steps(packet: &Packet) -> String {
    let mut text = String::new();
    let mut chapter = None;
    for step in &packet.steps {
        if chapter != Some(step.chapter) {
            let _ = writeln!(text, "## {}\n", step.chapter.title());
            chapter = Some(step.chapter);
        }
        let _ = writeln!(text, "{}. [{}] {}", step.number, step.id, step.text);
        if let Some(mind) = &step.mind {
            let _ = writeln!(text, "   MIND: {mind}");
        }
        if let Some(checkpoint) = &step.checkpoint {
            let _ = writeln!(text, "   CHECK: {checkpoint}");
        }
        text.push('\n');
    }
    text
}

fn findings(packet: &Packet) -> String {
    let mut text = String::new();
    for finding in &packet.findings {
        let place = &finding.place;
        let place = [&place.parameter, &place.piece, &place.step].into_iter().flatten().next();
        let _ = writeln!(
            text,
            "{} [{}] at {}: {}\n  = {}",
            finding.severity.word(),
            finding.check,
            place.map_or("nowhere", String::as_str),
            finding.message,
            finding.cure
        );
    }
    text
}

/// What lies on which cloth, what is bought and why, and the table of widths.
fn cloth(packet: &Packet) -> String {
    let mut text = String::new();
    for cut in &packet.cuts {
        let _ = writeln!(text, "{}", cut.title(&packet.pattern));
        for item in cut.items() {
            let name = match item.piece {
                packet::LaidPiece::Piece(id) => packet.pattern.piece(id).name.clone(),
                packet::LaidPiece::Interfacing(id) => {
                    format!("{} (interfacing)", packet.pattern.piece(id).name)
                }
                packet::LaidPiece::Block => "block to fuse".to_owned(),
            };
            let size = show_size(item.size.0, item.size.1, packet.system);
            let _ = writeln!(text, "  {} × {name} {size}", item.count);
        }
        laid(&mut text, packet, cut);
        text.push('\n');
    }
    for webbing in &packet.webbing {
        let _ = writeln!(
            text,
            "{}: {} used, buy {}\n",
            packet.pattern.material(webbing.material).name,
            show_length(webbing.used, packet.system),
            show_bought(webbing.bought, packet.system)
        );
    }
    text + &width_table(packet, &packet.pattern)
}

fn laid(text: &mut String, packet: &Packet, cut: &Cut) {
    let (pattern, system) = (&packet.pattern, packet.system);
    let Some(layout) = &cut.layout else { return };
    let _ = writeln!(
        text,
        "  on {} usable: {} used",
        show_length(layout.width, system),
        show_length(layout.length, system)
    );
    let proof = match layout.proof {
        Proof::Shortest => "no layout is shorter".to_owned(),
        Proof::NoShorterPurchase => "no shorter purchase exists".to_owned(),
        Proof::Within(share) => format!("at most {share:?} above the shortest"),
    };
    let _ = writeln!(text, "  {proof}");
    for joined in &layout.joins {
        let lengths: Vec<String> =
            joined.stretches.iter().map(|one| show_number(one.length, system)).collect();
        let _ = writeln!(text, "  strip {} joined from {}", joined.copy + 1, lengths.join(" + "));
    }
    if cut.is_bought() {
        let _ = writeln!(text, "  buy {}", show_bought(layout.bought, system));
        let _ = writeln!(text, "  why: {}", cut.why(pattern, system));
        let narrow = cut.narrow(system).unwrap_or_else(|| "no answer".to_owned());
        let _ = writeln!(text, "  width: {narrow}");
    }
}

fn width_table(packet: &Packet, pattern: &Pattern) -> String {
    let buy = |length: Option<Length>| {
        length.map_or_else(|| "does not fit".to_owned(), |it| show_bought(it, packet.system))
    };
    let names: Vec<&str> =
        packet.widths.fabrics.iter().map(|id| pattern.material(*id).name.as_str()).collect();
    let cloths = pattern.materials.iter().filter(|material| material.cloth().is_some()).count();
    assert_eq!(names.len(), cloths, "each fabric and interfacing has a column");
    let mut text = format!("width | one fabric | {}\n", names.join(" | "));
    for row in &packet.widths.rows {
        let each: Vec<String> = row.each.iter().map(|length| buy(*length)).collect();
        let _ = writeln!(text, "{} | {} | {}", row.label, buy(row.one_fabric), each.join(" | "));
    }
    text
}

/// What it takes: thread by colour, the time of each kind of work, and where it can be laid down.
fn takes(packet: &Packet) -> String {
    let takes = Takes::of(packet, Pace::USUAL);
    let mut text = String::new();
    for need in &takes.threads {
        let name = &packet.pattern.material(need.matches).name;
        let _ = writeln!(text, "thread for the {name}: {:.0} m", need.length.to_mm() / 1_000.0);
    }
    let Spent { cutting, marking, sewing, handling, pressing, by_hand } = takes.spent();
    let spent = [cutting, marking, sewing, handling, pressing, by_hand].map(|it| (it + 30) / 60);
    let _ = writeln!(
        text,
        "minutes: {} cutting, {} marking, {} sewing, {} handling, {} pressing, {} by hand",
        spent[0], spent[1], spent[2], spent[3], spent[4], spent[5]
    );
    let held: Vec<&str> = packet
        .steps
        .iter()
        .zip(&takes.rests)
        .filter(|(_, rests)| !**rests)
        .map(|(step, _)| step.id.as_str())
        .collect();
    if !held.is_empty() {
        let _ = writeln!(text, "not to be laid down after: {}", held.join(", "));
    }
    text
}
