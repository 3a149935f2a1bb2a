//! Several bags side by side: sizes of one design, options, or both.

use measure::{System, show_bought, show_size, show_volume};

use crate::Packet;

/// A table of bags: the names of its columns, and a row for each bag.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Comparison {
    /// What each column says.
    pub headings: Vec<String>,
    /// One row for each bag, as many cells as headings; empty where a bag has no such thing.
    pub rows: Vec<Vec<String>>,
}

/// Puts bags side by side: finished size, what each holds to the rim, pieces and steps, and what to
/// buy of each material. Each comes with the cells that name it, under `names`; what could not be
/// made has the words that say so.
pub fn compare(
    names: &[&str],
    bags: &[(Vec<String>, Result<&Packet, String>)],
    system: System,
) -> Comparison {
    let materials = materials(bags);
    let own = ["Finished, width × height", "Depth", "Holds", "Pieces", "Steps"];
    let headings = names.iter().copied().chain(own).map(str::to_owned);
    let headings: Vec<String> =
        headings.chain(materials.iter().map(|m| format!("Buy {m}"))).collect();
    let row = |(name, bag): &(Vec<String>, Result<&Packet, String>)| {
        let mut row = name.clone();
        match bag {
            Ok(packet) => row.extend(cells(packet, &materials, system)),
            Err(why) => row.push(why.clone()),
        }
        row.resize(headings.len(), String::new());
        row
    };
    Comparison { rows: bags.iter().map(row).collect(), headings }
}

/// The materials of all bags that are bought by the length, in the order in which they are met.
fn materials(bags: &[(Vec<String>, Result<&Packet, String>)]) -> Vec<String> {
    let mut materials: Vec<String> = Vec::new();
    for packet in bags.iter().filter_map(|(_, bag)| bag.as_ref().ok()) {
        for cut in packet.cuts.iter().filter(|cut| cut.is_bought()) {
            let name = &packet.pattern.material(cut.material).name;
            if !materials.contains(name) {
                materials.push(name.clone());
            }
        }
    }
    materials
}

fn cells(packet: &Packet, materials: &[String], system: System) -> Vec<String> {
    let finished = packet.finished;
    let flat = !finished.depth.is_positive();
    let mut cells = vec![
        show_size(finished.width, finished.height, system),
        if flat { "flat".to_owned() } else { measure::show_length(finished.depth, system) },
        if flat { String::new() } else { show_volume(finished.volume, system) },
        packet.pattern.copies.len().to_string(),
        packet.steps.len().to_string(),
    ];
    cells.extend(materials.iter().map(|name| {
        let of = packet
            .cuts
            .iter()
            .find(|cut| cut.is_bought() && packet.pattern.material(cut.material).name == *name);
        match of.map(|cut| &cut.layout) {
            Some(Some(layout)) => show_bought(layout.bought, system),
            Some(None) => "does not fit".to_owned(),
            None => String::new(),
        }
    }));
    cells
}

impl Comparison {
    /// As comma-separated values (RFC 4180).
    pub fn csv(&self) -> String {
        let mut text = String::new();
        for row in std::iter::once(&self.headings).chain(&self.rows) {
            let cells: Vec<String> = row.iter().map(|cell| quoted(cell)).collect();
            text.push_str(&cells.join(","));
            text.push_str("\r\n");
        }
        text
    }
}

/// A cell with quotes around it where it needs them.
fn quoted(cell: &str) -> String {
    if cell.contains(['"', ',', '\n', '\r']) {
        format!("\"{}\"", cell.replace('"', "\"\""))
    } else {
        cell.to_owned()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use bag::Design;
    use bag::kinds::Value;
    use measure::{Length, Units};

    fn bag(width: i64) -> Packet {
        let body = bag::bodies::find("boxed").expect("it is in the list");
        let mut design = Design::of(body, Units::Inch);
        design.body.values.set("width", Value::Length(Length::inch(width)));
        crate::build(&design).packet.expect("it can be built")
    }

    #[test]
    fn bags_stand_side_by_side_and_a_refused_one_says_why() {
        let (small, large) = (bag(10), bag(16));
        let bags = [
            (vec!["small".to_owned()], Ok(&small)),
            (vec!["large".to_owned()], Ok(&large)),
            (vec!["giant".to_owned()], Err("too wide, by far".to_owned())),
        ];
        let table = compare(&["Size"], &bags, System::Inch);
        assert_eq!(table.rows[0][..3], ["small", "10 × 14 in", "4 in"]);
        assert_eq!(table.rows[2][..3], ["giant", "too wide, by far", ""]);
        assert!(table.rows.iter().all(|row| row.len() == table.headings.len()));
        let csv = table.csv();
        assert!(csv.contains("giant,\"too wide, by far\",,"), "{csv}");
        assert_eq!(csv.matches("\r\n").count(), 4);
    }
}
