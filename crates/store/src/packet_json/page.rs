//! The page on `packet.json`: every field of the format, in one table.

use super::VERSION;

/// A field: where it is, what it holds, what that means. `[]` stands for each item of a list.
pub(super) type Field = (&'static str, &'static str, &'static str);

const TEXT: &str = "text";
const MM: &str = "mm";
const MM_NULL: &str = "mm or null";
const TEXT_NULL: &str = "text or null";
const YES_NO: &str = "true or false";
const COUNT: &str = "whole number";
const LIST: &str = "list";
const OBJECT: &str = "object";
const POINTS: &str = "list of [x, y] in mm";

/// Every field there is.
#[rustfmt::skip]
pub(super) const FIELDS: &[Field] = &[
    ("format", TEXT, "Always `bagwright packet`."),
    ("version", COUNT, "The version of this format. It is counted up when a field changes its meaning or goes; a new field alone does not change it."),
    ("title", TEXT, "What the bag is called."),
    ("about", TEXT, "A sentence or two; may be empty."),
    ("edition", OBJECT, "Which edition of the pattern this is."),
    ("edition.number", COUNT, "Counted from 1."),
    ("edition.date", TEXT, "As the maker gives it; may be empty."),
    ("edition.changes", "list of texts", "What has changed since the last edition."),
    ("drafted_in", TEXT, "The units on whose ruler the bag is drafted: `inch`, `cm` or `mm`."),
    ("read_in", TEXT, "The ruler that texts in this file are for: `inch` or `metric`."),
    ("reading", TEXT, "How the measures came to that ruler: `own`, `redrafted` or `converted`."),
    ("ready_to_cut", YES_NO, "False when a finding is an error."),
    ("finished", OBJECT, "What the finished bag measures, computed back from the cut pieces."),
    ("finished.width_mm", MM, "Width at the base."),
    ("finished.height_mm", MM, "Height up the front."),
    ("finished.depth_mm", MM, "Depth of the base; 0 for a flat bag."),
    ("finished.top_width_mm", MM, "Width at the top, laid flat."),
    ("finished.volume_l", "litres", "What it holds up to the rim; 0 for a flat bag."),
    ("materials", LIST, "Fabrics, interfacings and webbing."),
    ("materials[].id", TEXT, "A stable word by which the rest of the file refers to it."),
    ("materials[].name", TEXT, "What a person calls it."),
    ("materials[].serves", TEXT, "The parts of the bag that it serves."),
    ("materials[].form", TEXT, "`fabric`, `interfacing` or `webbing`."),
    ("materials[].bought_width_mm", MM, "Width as it is sold."),
    ("materials[].usable_width_mm", MM, "Width that can be used."),
    ("materials[].one_way", YES_NO, "Pieces may not be turned upside down."),
    ("materials[].turnable", YES_NO, "Pieces may lie across the grain."),
    ("materials[].shrinks_in_length_percent", "percent", "Share lost in length at the first wash."),
    ("materials[].shrinks_in_width_percent", "percent", "Share lost in width at the first wash."),
    ("pieces", LIST, "What is cut, each shape once."),
    ("pieces[].id", TEXT, "A stable word."),
    ("pieces[].name", TEXT, "What a person calls it."),
    ("pieces[].count", COUNT, "How many are cut."),
    ("pieces[].material", TEXT, "Id of its material."),
    ("pieces[].cut_width_mm", MM, "Width as it is cut, allowances included."),
    ("pieces[].cut_height_mm", MM, "Height as it is cut."),
    ("pieces[].net_width_mm", MM, "Width between the stitching lines."),
    ("pieces[].net_height_mm", MM, "Height between the stitching lines."),
    ("pieces[].cut_larger_mm", MM, "How much larger it is cut at each edge, to be trimmed to its cut size when it is quilted; 0 for most."),
    ("pieces[].grain", TEXT, "How its height lies on the fabric: `lengthwise`, `crosswise` or `free`."),
    ("pieces[].interfacing", "object or null", "Its interfacing."),
    ("pieces[].interfacing.material", TEXT, "Id of the interfacing."),
    ("pieces[].interfacing.held", TEXT, "`fused`, `basted`, or `block` (fused to the fabric before cutting)."),
    ("pieces[].interfacing.width_mm", MM, "Width to which it is cut."),
    ("pieces[].interfacing.height_mm", MM, "Height to which it is cut."),
    ("pieces[].join", "object or null", "A strip that may be made of several lengths."),
    ("pieces[].join.most", COUNT, "Most joins in one strip."),
    ("pieces[].join.allowance_mm", MM, "Seam allowance on each side of a join."),
    ("pieces[].join.place", TEXT, "Where it may lie: `centre`, `anywhere` or `near-an-end`."),
    ("pieces[].edges", LIST, "Its edges, counter-clockwise, seen from the right side."),
    ("pieces[].edges[].name", TEXT, "What a person calls the edge."),
    ("pieces[].edges[].length_mm", MM, "Length along the stitching line."),
    ("pieces[].edges[].allowance_mm", MM, "Seam or hem allowance outside it."),
    ("pieces[].cut_outline_mm", "list of [x, y] in mm, or null", "The cutting line, y upwards; curves run within 0.05 mm. Null where the allowances allow no such line."),
    ("pieces[].net_outline_mm", POINTS, "The stitching line."),
    ("pieces[].marks", LIST, "What is marked on it."),
    ("pieces[].marks[].label", TEXT, "What a person calls the mark."),
    ("pieces[].marks[].shape", TEXT, "`notch`, `opening`, `placement`, `fold`, `stitching`, `box-and-x` or `dot`."),
    ("pieces[].marks[].edge", TEXT_NULL, "For a notch or an opening: the edge."),
    ("pieces[].marks[].from_mm", MM_NULL, "For a notch or an opening: from the start of the edge, along the stitching line."),
    ("pieces[].marks[].to_mm", MM_NULL, "Its end, measured likewise."),
    ("pieces[].marks[].points_mm", POINTS, "For other marks: both ends of a line, two corners of a box, or a point."),
    ("pieces[].copies", LIST, "Each single one."),
    ("pieces[].copies[].name", TEXT, "What a person calls it."),
    ("pieces[].copies[].mirrored", YES_NO, "Cut as the mirror image."),
    ("yardage", LIST, "What to buy of each material."),
    ("yardage[].material", TEXT, "Id of the material."),
    ("yardage[].bought_width_mm", MM, "Width as it is sold."),
    ("yardage[].usable_width_mm", MM, "Width that can be used."),
    ("yardage[].used_mm", MM_NULL, "Length that the pieces take; null when they do not fit."),
    ("yardage[].squaring_mm", MM, "Length added for squaring up the cut end."),
    ("yardage[].needed_mm", MM_NULL, "Length used and squared up, before shrinking."),
    ("yardage[].bought_mm", MM_NULL, "That, rounded up to what the shop sells."),
    ("yardage[].why", TEXT, "The sum in words."),
    ("yardage[].proof", TEXT_NULL, "How good the purchase is proven to be, in words; of cloth cut in strips first, among layouts in strips."),
    ("yardage[].serves_down_to_mm", MM_NULL, "The narrowest usable width at which this purchase still serves."),
    ("yardage[].below_that_mm", MM_NULL, "What to buy just below that width; null when the pieces do not fit there."),
    ("widths", LIST, "What to buy at each usual width."),
    ("widths[].label", TEXT, "The width as a shop says it."),
    ("widths[].bought_width_mm", MM, "Width as it is sold."),
    ("widths[].one_fabric_mm", MM_NULL, "Length to buy if everything is cut from one fabric; null when a piece does not fit."),
    ("widths[].each", LIST, "Length to buy of each fabric and interfacing."),
    ("widths[].each[].material", TEXT, "Id of the fabric or interfacing."),
    ("widths[].each[].bought_mm", MM_NULL, "Length to buy; null when a piece does not fit."),
    ("layouts", LIST, "Where the pieces lie. x runs across the width from one selvedge, y along the length."),
    ("layouts[].material", TEXT, "Id of the cloth."),
    ("layouts[].fused_to", TEXT_NULL, "For a block of cloth that is fused before it is cut: id of the interfacing."),
    ("layouts[].width_mm", MM, "Width that the pieces lie on."),
    ("layouts[].length_mm", MM, "Length used."),
    ("layouts[].bound_mm", MM, "Proven: no layout is shorter."),
    ("layouts[].proof", TEXT, "`shortest`: no layout is shorter; `no-shorter-purchase`: no shorter length that the shop sells is enough; `within`: neither is proven."),
    ("layouts[].gap_percent", "percent", "How much longer than the bound the layout is, rounded up."),
    ("layouts[].placements", LIST, "One for each piece, or for each strip of a joined piece."),
    ("layouts[].placements[].piece", TEXT, "Name of the piece."),
    ("layouts[].placements[].is_interfacing", YES_NO, "It is the interfacing of that piece."),
    ("layouts[].placements[].copy", COUNT, "Which copy, counted from 0."),
    ("layouts[].placements[].part", COUNT, "Which strip of a joined piece, counted from 0 over all copies."),
    ("layouts[].placements[].turned_degrees", COUNT, "Turned counter-clockwise by 0, 90, 180 or 270."),
    ("layouts[].placements[].mirrored", YES_NO, "Turned over before it is turned."),
    ("layouts[].placements[].x_mm", MM, "Lower left corner of the box, across the width."),
    ("layouts[].placements[].y_mm", MM, "Lower left corner of the box, along the length."),
    ("layouts[].placements[].width_mm", MM, "Size of the box across the width."),
    ("layouts[].placements[].length_mm", MM, "Size of the box along the length."),
    ("layouts[].joins", LIST, "Strips that are made of several lengths."),
    ("layouts[].joins[].piece", TEXT, "Name of the piece."),
    ("layouts[].joins[].copy", COUNT, "Which copy, counted from 0."),
    ("layouts[].joins[].stretches", LIST, "From end to end."),
    ("layouts[].joins[].stretches[].part", COUNT, "The strip that it is cut from."),
    ("layouts[].joins[].stretches[].from_mm", MM, "Where on that strip it begins."),
    ("layouts[].joins[].stretches[].length_mm", MM, "How long it is as cut."),
    ("layouts[].cuts", LIST, "Where cloth is cut in strips first, the cuts in order; else none."),
    ("layouts[].cuts[].number", COUNT, "As on the drawing, from 1."),
    ("layouts[].cuts[].kind", TEXT, "`divide`, `strip`, `cross` or `trim`."),
    ("layouts[].cuts[].x_mm", MM, "Lower left corner of the part that is cut, across the width."),
    ("layouts[].cuts[].y_mm", MM, "Lower left corner of that part, along the length."),
    ("layouts[].cuts[].width_mm", MM, "Size of that part across the width."),
    ("layouts[].cuts[].length_mm", MM, "Size of that part along the length."),
    ("layouts[].cuts[].from_x_mm", MM, "Where the cut begins, across the width."),
    ("layouts[].cuts[].from_y_mm", MM, "Where the cut begins, along the length."),
    ("layouts[].cuts[].to_x_mm", MM, "Where it ends, across the width."),
    ("layouts[].cuts[].to_y_mm", MM, "Where it ends, along the length."),
    ("layouts[].cuts[].layers", COUNT, "Through how many layers of folded cloth."),
    ("layouts[].cuts[].on_table_mm", MM, "How long it is on the table, where the cloth lies in layers."),
    ("layouts[].cuts[].finishes", LIST, "The pieces that are cut out with it."),
    ("layouts[].cuts[].finishes[].piece", TEXT, "Name of the piece."),
    ("layouts[].cuts[].finishes[].is_interfacing", YES_NO, "It is the interfacing of that piece."),
    ("layouts[].cuts[].finishes[].copy", COUNT, "Which copy, counted from 0."),
    ("layouts[].cuts[].finishes[].part", COUNT, "Which strip of a joined piece, counted from 0 over all copies."),
    ("layouts[].cutting_order", LIST, "The cuts in words, several that are alike in one line."),
    ("layouts[].remnant", "object or null", "The largest rectangle left over."),
    ("layouts[].remnant.x_mm", MM, "Its lower left corner, across the width."),
    ("layouts[].remnant.y_mm", MM, "Its lower left corner, along the length."),
    ("layouts[].remnant.width_mm", MM, "Its size across the width."),
    ("layouts[].remnant.length_mm", MM, "Its size along the length."),
    ("notions", LIST, "Small things that are used up besides."),
    ("notions[].text", TEXT, "As it stands on the list."),
    ("notions[].kind", TEXT, "What it is, a stable word as in a pattern file; `other` if no word is known for it."),
    ("notions[].count", COUNT, "How many, or in how many pieces."),
    ("notions[].width_mm", MM_NULL, "Its width, or that of the webbing or hole that it is for."),
    ("notions[].length_mm", MM_NULL, "How long one is."),
    ("notions[].thickness_mm", MM_NULL, "How thick it is, or the cord that it is for."),
    ("notions[].serves", TEXT, "The part of the bag that it is for; may be empty."),
    ("notions[].mass_g", "grams or null", "What all of it weighs; null if nobody knows."),
    ("notions[].mass_from", TEXT, "`given` if it was weighed, or where the usual weight comes from."),
    ("tools", "list of texts", "Tools beyond those of every bag."),
    ("thread", LIST, "Thread by its colour: needle and bobbin, with waste. An estimate."),
    ("thread[].material", TEXT, "The id of the material that it matches."),
    ("thread[].length_mm", MM, "How much."),
    ("steps", LIST, "What is done, in order."),
    ("steps[].id", TEXT, "A stable word."),
    ("steps[].chapter", TEXT, "The part of the work that it belongs to."),
    ("steps[].text", TEXT, "What to do."),
    ("steps[].caution", TEXT_NULL, "Where people go wrong."),
    ("steps[].checkpoint", TEXT_NULL, "What can be measured or seen when it is done."),
    ("steps[].seconds", "whole number", "How long it takes somebody who has sewn some bags. An estimate."),
    ("findings", LIST, "What the checks found, errors first."),
    ("findings[].severity", TEXT, "`error`, `warning` or `note`."),
    ("findings[].check", TEXT, "Name of the check."),
    ("findings[].place", OBJECT, "Where; what does not apply is null."),
    ("findings[].place.step", TEXT_NULL, "Id of the step."),
    ("findings[].place.piece", TEXT_NULL, "Name of the piece."),
    ("findings[].place.edge", TEXT_NULL, "Name of the edge."),
    ("findings[].place.at_mm", MM_NULL, "Distance from the start of the edge, along the stitching line."),
    ("findings[].parameter", TEXT_NULL, "The parameter of the design to change, such as `body.depth` or `pocket[1].height`."),
    ("findings[].message", TEXT, "What is wrong, with both numbers."),
    ("findings[].cure", TEXT, "What to change."),
];

/// The text of `docs/packet-json.md`.
pub fn packet_page() -> String {
    let mut page = format!(
        "\
# packet.json

`bagwright make` writes everything that it knows about a bag into `packet.json`, for other programs. This page
is written by `cargo xtask docs` from the program itself, and describes version {VERSION}.

- Every length ends in `_mm` and is in millimetres, exact to a millionth.
- Every key is always there; what does not apply is `null`.
- `[]` stands for each item of a list.

| field | holds | meaning |
|---|---|---|
"
    );
    for (path, holds, meaning) in FIELDS {
        page.push_str(&format!("| `{path}` | {holds} | {meaning} |\n"));
    }
    page
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;
    use crate::packet_json;
    use bag::{Chosen, Design, Role, bodies};
    use measure::Units;
    use serde_json::Value;

    /// Adds the path of every field below `value`, and checks that each is documented as holding
    /// what it holds.
    fn collect(path: &str, value: &Value, found: &mut BTreeSet<String>) {
        match value {
            Value::Object(fields) => {
                for (key, value) in fields {
                    let path = if path.is_empty() { key.clone() } else { format!("{path}.{key}") };
                    assert_holds(&path, value);
                    found.insert(path.clone());
                    collect(&path, value, found);
                }
            }
            Value::Array(items) if !items.iter().any(Value::is_array) => {
                for item in items {
                    collect(&format!("{path}[]"), item, found);
                }
            }
            _ => {}
        }
    }

    fn assert_holds(path: &str, value: &Value) {
        let field = FIELDS.iter().find(|(known, ..)| *known == path);
        let Some((_, holds, _)) = field else { panic!("`{path}` is not documented") };
        let fits = match value {
            Value::Null => holds.ends_with("or null"),
            Value::String(_) => holds.starts_with("text"),
            Value::Bool(_) => *holds == YES_NO,
            Value::Number(number) if number.is_f64() => {
                ["mm", "litres", "percent", "grams"].iter().any(|unit| holds.starts_with(unit))
            }
            Value::Number(_) => *holds == COUNT,
            Value::Array(_) => holds.starts_with("list"),
            Value::Object(_) => holds.starts_with("object"),
        };
        assert!(fits, "`{path}` is said to hold {holds}, but holds {value}");
        let is_length = holds.starts_with("mm") || holds.contains("in mm");
        assert_eq!(is_length, path.ends_with("_mm"), "{path}");
    }

    /// Designs that together have everything that a packet can have.
    fn packets() -> Vec<packet::Packet> {
        let mut packets = Vec::new();
        for (body, units) in bodies::ALL.iter().flat_map(|body| Units::ALL.map(|u| (body, u))) {
            for handles in bag::handles::ALL {
                let mut design = Design::of(*body, units);
                let system = design.system();
                design.handles = Chosen::new(*handles, system);
                for pocket in bag::pockets::ALL {
                    design.pockets.push(Chosen::new(*pocket, system));
                    // Not every pocket goes with every handle.
                    if bag::draft(&design).pattern.is_none() {
                        design.pockets.pop();
                    }
                }
                let interfacing = bag::kinds::Values::defaults(bag::design::INTERFACING, system);
                design.interfacings.insert(Role::Outside, interfacing);
                packets.extend(packet::build(&design).packet);
            }
        }
        let mut in_strips = Design::of(bodies::ALL[0], Units::Inch);
        let in_order = bag::kinds::Value::Choice("strips-first");
        assert!(in_strips.shop.set("cutting", in_order), "the shop says how it is cut");
        packets.extend(packet::build(&in_strips).packet);
        packets
    }

    #[test]
    fn every_field_is_documented_and_every_documented_field_is_there() {
        let packets = packets();
        assert!(!packets.is_empty());
        let mut found = BTreeSet::new();
        for packet in &packets {
            let mut packet = packet.clone();
            packet.findings.push(bag::Finding::note(
                "a-check",
                bag::Place::parameter("body.width"),
                "a message".to_owned(),
                "a cure".to_owned(),
            ));
            let json: Value = serde_json::from_str(&packet_json(&packet)).expect("it is JSON");
            collect("", &json, &mut found);
        }
        let documented: BTreeSet<String> =
            FIELDS.iter().map(|(path, ..)| (*path).to_owned()).collect();
        let missing: Vec<&String> = documented.difference(&found).collect();
        assert_eq!(missing, Vec::<&String>::new(), "documented, but in no packet");
        assert_eq!(FIELDS.len(), documented.len(), "a field is documented twice");
    }

    #[test]
    fn the_same_packet_gives_the_same_bytes() {
        for packet in packets() {
            assert_eq!(packet_json(&packet), packet_json(&packet.clone()));
        }
    }
}
