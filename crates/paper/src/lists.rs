//! The cut list and the shopping list, as rows for the booklet and as plain text for the phone or
//! the pin board.

use bag::pattern::{Grain, InterfacingCut, InterfacingHold, Pattern, PieceId};
use drawing::strips::{Strip, strips};
use measure::{Length, System, show_bought, show_length, show_size};
use packet::takes::{Pace, Takes};
use packet::{Cut, LaidPiece, Packet, show_asked_for};

use crate::cautions::tools;
use crate::takes::thread_lines;

/// What is cut from one material.
pub(crate) struct CutGroup {
    pub(crate) material: String,
    pub(crate) rows: Vec<CutRow>,
}

/// One line of the cut list.
pub(crate) struct CutRow {
    pub(crate) name: String,
    pub(crate) count: u32,
    pub(crate) size: String,
    pub(crate) grain: &'static str,
    pub(crate) note: String,
}

/// The cut list, in the order of the packet's layouts, webbing last.
pub(crate) fn cut_groups(packet: &Packet) -> Vec<CutGroup> {
    let pattern = &packet.pattern;
    let mut groups: Vec<CutGroup> = packet
        .cuts
        .iter()
        .map(|cut| CutGroup { material: cut.title(pattern), rows: rows(packet, cut) })
        .collect();
    for webbing in &packet.webbing {
        let rows = pattern
            .piece_ids()
            .filter(|id| pattern.piece(*id).material == webbing.material && pattern.count(*id) > 0)
            .map(|id| CutRow {
                name: pattern.piece(id).name.clone(),
                count: u32::try_from(pattern.count(id)).unwrap_or(u32::MAX),
                size: format!(
                    "{} long",
                    show_length(pattern.piece(id).cut_size().1, packet.system)
                ),
                grain: "",
                note: copies_note(pattern, id),
            })
            .collect();
        groups.push(CutGroup { material: pattern.material(webbing.material).name.clone(), rows });
    }
    groups
}

fn rows(packet: &Packet, cut: &Cut) -> Vec<CutRow> {
    let pattern = &packet.pattern;
    let size = |(width, height)| show_size(width, height, packet.system);
    let mut rows = Vec::new();
    for (index, item) in cut.items().into_iter().enumerate() {
        let (name, grain, mut notes) = match item.piece {
            LaidPiece::Piece(id) => {
                let piece = pattern.piece(id);
                let notes = vec![copies_note(pattern, id), interfacing_note(pattern, id)];
                (piece.name.clone(), grain(piece.grain), notes)
            }
            LaidPiece::Interfacing(id) => {
                let piece = pattern.piece(id);
                (format!("for the {}", piece.name), grain(piece.grain), Vec::new())
            }
            LaidPiece::Block => ("block to fuse".to_owned(), "lengthwise", Vec::new()),
        };
        let row = |name, count, measures, notes: Vec<String>| CutRow {
            name,
            count,
            size: size(measures),
            grain,
            note: notes.join("; "),
        };
        let strips = cut_strips(cut, index);
        if let Some((first, others)) = strips.split_first() {
            // What the knife cuts; what they are joined to stands under the first of them.
            notes.push(joins_note(packet, cut, index, size(item.size)));
            notes.retain(|note| !note.is_empty());
            rows.push(row(first.name.clone(), first.count, first.size, notes));
            let other = |strip: &Strip| row(strip.name.clone(), strip.count, strip.size, vec![]);
            rows.extend(others.iter().map(other));
        } else {
            notes.retain(|note| !note.is_empty());
            rows.push(row(name, item.count, item.size, notes));
        }
    }
    rows
}

/// The strips that are cut for a piece; none when it is cut whole.
fn cut_strips(cut: &Cut, piece: usize) -> Vec<Strip> {
    cut.layout.as_ref().map_or_else(Vec::new, |layout| strips(&cut.sheet.problem, layout, piece))
}

/// How a piece lies, in the words of the cut list: where its height runs.
const fn grain(grain: Grain) -> &'static str {
    match grain {
        Grain::Lengthwise => "height along",
        Grain::Crosswise => "height across",
        Grain::Free => "either way",
    }
}

/// What the copies of a piece are called, where that differs from the piece.
fn copies_note(pattern: &Pattern, id: PieceId) -> String {
    let piece = &pattern.piece(id).name;
    let mut names: Vec<&str> = Vec::new();
    for copy in pattern.copies_of(id) {
        let name = pattern.copy(copy).name.as_str();
        if name != piece && !names.contains(&name) {
            names.push(name);
        }
    }
    names.join(", ")
}

fn interfacing_note(pattern: &Pattern, id: PieceId) -> String {
    let Some(on) = pattern.piece(id).interfacing else { return String::new() };
    let name = &pattern.material(on.material).name;
    let how = match on.hold {
        InterfacingHold::Fused => "fused",
        InterfacingHold::Basted => "basted in",
        InterfacingHold::Block => "fused before cutting",
    };
    let size = match (on.hold, on.cut) {
        (InterfacingHold::Block, _) | (_, InterfacingCut::Full) => "",
        (_, InterfacingCut::Net) => ", without seam allowance",
    };
    format!("with {name}, {how}{size}")
}

/// What the strips of one piece are joined to, and from which lengths each is made.
fn joins_note(packet: &Packet, cut: &Cut, piece: usize, whole: String) -> String {
    let (Some(layout), Some(item)) = (&cut.layout, cut.items().get(piece).copied()) else {
        return String::new();
    };
    let mut makes: Vec<String> = Vec::new();
    for joined in layout.joins.iter().filter(|joined| joined.piece == piece) {
        let lengths: Vec<String> = joined
            .stretches
            .iter()
            .map(|stretch| show_length(stretch.length, packet.system))
            .collect();
        let make = lengths.join(" + ");
        if !makes.contains(&make) {
            makes.push(make);
        }
    }
    let each = if item.count > 1 { "each " } else { "" };
    let made = if makes.is_empty() {
        String::new()
    } else {
        format!(", {each}joined from {}", makes.join(", or "))
    };
    format!("for {} of {whole}{made}", item.count)
}

/// A purchase as the shop says it, with inches beside yards.
pub(crate) fn bought(length: Length, system: System) -> String {
    let shop = show_bought(length, system);
    if system == System::Metric || shop.ends_with(" in") {
        shop
    } else {
        format!("{shop} ({})", show_length(length, system))
    }
}

/// The cut list as plain text: one line for each piece, in columns, under each material.
pub fn cut_list_text(packet: &Packet) -> String {
    let mut text = heading(packet, "cut list");
    text.push_str("Sizes are width × height and include seam allowances.\n");
    if packet.has_errors() {
        text.push_str("NOT READY TO CUT: see the findings.\n");
    }
    for group in cut_groups(packet) {
        text.push_str(&format!("\n{}\n", group.material));
        let rows: Vec<Vec<String>> = group
            .rows
            .into_iter()
            .map(|row| {
                let count = format!("{} ×", row.count);
                vec!["[ ]".to_owned(), count, row.name, row.size, row.grain.to_owned(), row.note]
            })
            .collect();
        text.push_str(&columns(&rows));
    }
    text
}

/// The shopping list as plain text: what to buy of each material, and why, then the small things.
pub fn shopping_text(packet: &Packet) -> String {
    let pattern = &packet.pattern;
    let mut text = heading(packet, "shopping list");
    if packet.has_errors() {
        text.push_str("NOT READY TO CUT: see the findings.\n");
    }
    for cut in packet.cuts.iter().filter(|cut| cut.is_bought()) {
        let material = pattern.material(cut.material);
        let buy = cut
            .layout
            .as_ref()
            .map_or("does not fit".to_owned(), |layout| bought(layout.bought, packet.system));
        let asked_for = show_asked_for(material, packet.system);
        text.push_str(&format!("\n[ ] {asked_for}: {buy}\n"));
        if !material.serves.is_empty() {
            text.push_str(&format!("    for {}\n", material.serves));
        }
        text.push_str(&format!("    {}\n", cut.why(pattern, packet.system)));
        if let Some(proof) = cut.certificate() {
            text.push_str(&format!("    {proof}\n"));
        }
        if let Some(note) = cut.shrinkage_note() {
            text.push_str(&format!("    {note}\n"));
        }
        if let Some(narrow) = cut.narrow(packet.system) {
            text.push_str(&format!("    {narrow}\n"));
        }
    }
    for webbing in &packet.webbing {
        text.push_str(&format!(
            "\n[ ] {}: {}\n    {} are used\n",
            pattern.material(webbing.material).name,
            bought(webbing.bought, packet.system),
            show_length(webbing.used, packet.system),
        ));
    }
    text.push_str("\nNotions and tools\n");
    for thing in notions_and_tools(packet) {
        text.push_str(&format!("[ ] {thing}\n"));
    }
    text
}

/// Thread by its colour, what the pattern asks for besides cloth, and what every bag needs.
pub fn notions_and_tools(packet: &Packet) -> Vec<String> {
    let threads = Takes::of(packet, Pace::USUAL).threads;
    let notions = packet.pattern.notions.iter().map(|notion| notion.describe(packet.system));
    let own = notions.chain(packet.pattern.tools.iter().cloned());
    thread_lines(packet, &threads, 1).into_iter().chain(own).chain(tools(packet)).collect()
}

fn heading(packet: &Packet, what: &str) -> String {
    let edition = &packet.pattern.edition;
    let date = if edition.date.is_empty() { String::new() } else { format!(", {}", edition.date) };
    format!("{}: {what}\nEdition {}{date}\n", packet.pattern.title, edition.number)
}

/// A row of a table: what it is, and a cell for each.
pub(crate) fn row<T>(what: &str, all: &[T], cell: impl Fn(&T) -> String) -> Vec<String> {
    std::iter::once(what.to_owned()).chain(all.iter().map(cell)).collect()
}

/// Rows in aligned columns; a column that is empty throughout is left out. Numbers are short, so
/// everything is set to the left.
pub fn columns(rows: &[Vec<String>]) -> String {
    let count = rows.iter().map(Vec::len).max().unwrap_or(0);
    let widths: Vec<usize> = (0..count)
        .map(|column| {
            rows.iter().filter_map(|row| row.get(column)).map(|cell| cell.chars().count()).max()
        })
        .map(|width| width.unwrap_or(0))
        .collect();
    let mut text = String::new();
    for row in rows {
        let mut line = String::new();
        for (cell, width) in row.iter().zip(&widths).filter(|(_, width)| **width > 0) {
            line.push_str(cell);
            line.extend(std::iter::repeat_n(' ', width + 2 - cell.chars().count()));
        }
        text.push_str(line.trim_end());
        text.push('\n');
    }
    text
}

#[cfg(test)]
mod tests {
    use expect_test::{Expect, expect};
    use measure::Units;

    use super::*;

    fn check(units: Units, list: fn(&Packet) -> String, expected: Expect) {
        let design = bag::Design::of(bag::bodies::ALL[0], units);
        expected.assert_eq(&list(&packet::build(&design).packet.unwrap()));
    }

    #[test]
    fn a_cut_list() {
        check(
            Units::Inch,
            cut_list_text,
            expect![[r#"
                Bag with boxed corners: cut list
                Edition 1
                Sizes are width × height and include seam allowances.

                outside fabric
                [ ]  2 ×  outside panel        21 × 17 in         height along   front panel, back panel
                [ ]  2 ×  handle, long strip   4 1/2 × 42 in      height across  front handle, back handle; for 2 of 4 1/2 × 54 1/4 in, each joined from 42 in + 13 1/4 in
                [ ]  2 ×  handle, short strip  4 1/2 × 13 1/4 in  height across

                lining fabric
                [ ]  2 ×  lining panel  21 × 17 in  height along  front lining, back lining
            "#]],
        );
        check(
            Units::Mm,
            cut_list_text,
            expect![[r#"
                Bag with boxed corners: cut list
                Edition 1
                Sizes are width × height and include seam allowances.

                outside fabric
                [ ]  2 ×  outside panel        524 × 434 mm   height along   front panel, back panel
                [ ]  2 ×  handle, long strip   100 × 1050 mm  height across  front handle, back handle; for 2 of 100 × 1380 mm, each joined from 1050 mm + 354 mm
                [ ]  2 ×  handle, short strip  100 × 354 mm   height across

                lining fabric
                [ ]  2 ×  lining panel  524 × 434 mm  height along  front lining, back lining
            "#]],
        );
    }

    #[test]
    fn a_shopping_list() {
        check(
            Units::Inch,
            shopping_text,
            expect![[r#"
                Bag with boxed corners: shopping list
                Edition 1

                [ ] outside fabric, 44 in wide: 7/8 yd (31 1/2 in)
                    for outside, handles
                    the pieces take 30 1/2 in and 1 in for squaring up the cut end make 31 1/2 in; sold by the 1/8 yd, that is 7/8 yd (31 1/2 in)
                    shortest possible: no layout of these pieces is shorter
                    shrinkage is not counted; ask in the shop, and buy more if the bag will be washed
                    serves down to 42 in of usable width; on cloth just narrower buy 1 1/4 yd; below 39 3/4 in some piece does not fit

                [ ] lining fabric, 44 in wide: 1/2 yd (18 in)
                    for lining
                    the pieces take 17 in and 1 in for squaring up the cut end make 18 in; sold by the 1/8 yd, that is 1/2 yd (18 in)
                    shortest possible: no layout of these pieces is shorter
                    shrinkage is not counted; ask in the shop, and buy more if the bag will be washed
                    serves down to 42 in of usable width; on cloth just narrower buy 1 yd; below 21 in some piece does not fit

                Notions and tools
                [ ] thread to match the outside fabric: about 70 yd, 1 spool of 150 yd
                [ ] thread to match the lining fabric: about 9 yd, 1 spool of 150 yd
                [ ] pins or clips
                [ ] fabric marker
                [ ] ruler
                [ ] shears, or rotary cutter and mat
                [ ] iron
                [ ] sewing machine with a straight stitch
                [ ] machine needles, new, to suit the cloth (80/12 for quilting cotton, 90/14 to 100/16 for canvas)
                [ ] a blunt point to push out corners
            "#]],
        );
        check(
            Units::Mm,
            shopping_text,
            expect![[r#"
                Bag with boxed corners: shopping list
                Edition 1

                [ ] outside fabric, 110 cm wide: 0.8 m
                    for outside, handles
                    the pieces take 734 mm and 25 mm for squaring up the cut end make 759 mm; sold by the 10 cm, that is 0.8 m
                    shortest possible: no layout of these pieces is shorter
                    shrinkage is not counted; ask in the shop, and buy more if the bag will be washed
                    serves down to 1048 mm of usable width; on cloth just narrower buy 1.1 m; below 1010 mm some piece does not fit

                [ ] lining fabric, 110 cm wide: 0.5 m
                    for lining
                    the pieces take 434 mm and 25 mm for squaring up the cut end make 459 mm; sold by the 10 cm, that is 0.5 m
                    shortest possible: no layout of these pieces is shorter
                    shrinkage is not counted; ask in the shop, and buy more if the bag will be washed
                    serves down to 1048 mm of usable width; on cloth just narrower buy 0.9 m; below 524 mm some piece does not fit

                Notions and tools
                [ ] thread to match the outside fabric: about 65 m, 1 spool of 100 m
                [ ] thread to match the lining fabric: about 8 m, 1 spool of 100 m
                [ ] pins or clips
                [ ] fabric marker
                [ ] ruler
                [ ] shears, or rotary cutter and mat
                [ ] iron
                [ ] sewing machine with a straight stitch
                [ ] machine needles, new, to suit the cloth (80/12 for quilting cotton, 90/14 to 100/16 for canvas)
                [ ] a blunt point to push out corners
            "#]],
        );
    }

    #[test]
    fn columns_line_up_and_empty_ones_go() {
        let rows = [["2 ×", "front", "", "21 in"], ["10 ×", "a", "", "1 in"]]
            .map(|row| row.map(str::to_owned).to_vec());
        assert_eq!(columns(&rows), "2 ×   front  21 in\n10 ×  a      1 in\n");
    }
}
