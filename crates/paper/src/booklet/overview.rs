//! The bag at a glance: finished measures, handles, pockets, allowances.

use bag::pattern::{HandleClaim, PocketClaim};
use measure::{Length, show_length, show_size, show_volume};
use packet::Packet;

use super::capital;

/// The measures on the cover: label and value.
pub(super) fn cover_facts(packet: &Packet) -> Vec<[String; 2]> {
    let finished = &packet.finished;
    let show = |length| show_length(length, packet.system);
    let mut facts = vec![
        ["Width at the base".to_owned(), show(finished.width)],
        ["Height".to_owned(), show(finished.height)],
    ];
    if finished.depth.is_positive() {
        facts.push(["Depth".to_owned(), show(finished.depth)]);
        facts.push(["Holds".to_owned(), show_volume(finished.volume, packet.system)]);
    }
    facts
}

/// The table of the overview: what, and how much.
pub(super) fn glance(packet: &Packet) -> Vec<[String; 2]> {
    let pattern = &packet.pattern;
    let finished = &packet.finished;
    let show = |length| show_length(length, packet.system);
    let mut rows = cover_facts(packet);
    if finished.top_width != finished.width {
        rows.push(["Width at the top, laid flat".to_owned(), show(finished.top_width)]);
    }
    let handles = alike(&pattern.claims.handles, |handle| handle_words(handle, packet));
    rows.extend(handles.into_iter().map(|(names, what)| [capital(&names), what]));
    let pockets = alike(&pattern.claims.pockets, |pocket| pocket_words(pocket, packet));
    rows.extend(pockets.into_iter().map(|(names, what)| [capital(&names), what]));
    rows.push(["Seam allowances".to_owned(), allowances(packet)]);
    let pieces: usize = pattern.copies.len();
    rows.push(["Pieces to cut".to_owned(), format!("{pieces}, and their interfacing")]);
    if !pattern.pieces.iter().any(|piece| piece.interfacing.is_some()) {
        rows.pop();
        rows.push(["Pieces to cut".to_owned(), pieces.to_string()]);
    }
    rows.push(["Steps".to_owned(), packet.steps.len().to_string()]);
    rows.extend(super::effort::rows(packet));
    rows
}

/// Things that are described in the same words, under their names together.
fn alike<T: Named>(items: &[T], describe: impl Fn(&T) -> String) -> Vec<(String, String)> {
    let mut groups: Vec<(Vec<&str>, String)> = Vec::new();
    for item in items {
        let words = describe(item);
        match groups.iter_mut().find(|(_, known)| *known == words) {
            Some((names, _)) => names.push(item.name()),
            None => groups.push((vec![item.name()], words)),
        }
    }
    groups.into_iter().map(|(names, words)| (names.join(", "), words)).collect()
}

trait Named {
    fn name(&self) -> &str;
}

impl Named for HandleClaim {
    fn name(&self) -> &str {
        &self.name
    }
}

impl Named for PocketClaim {
    fn name(&self) -> &str {
        &self.name
    }
}

fn handle_words(handle: &HandleClaim, packet: &Packet) -> String {
    let show = |length| show_length(length, packet.system);
    format!(
        "{} wide, {} long above the rim, drop {} when pulled taut",
        show(handle.width),
        show(handle.free),
        show(handle.drop),
    )
}

fn pocket_words(pocket: &PocketClaim, packet: &Packet) -> String {
    let size = show_size(pocket.size.0, pocket.size.1, packet.system);
    let place = if pocket.inside { "inside" } else { "outside" };
    let mut words = format!("{size}, {place}");
    if pocket.true_depth != pocket.size.1 {
        words.push_str(&format!(", {} deep in use", show_length(pocket.true_depth, packet.system)));
    }
    if pocket.compartments.len() > 1 {
        let widths: Vec<String> =
            pocket.compartments.iter().map(|width| show_length(*width, packet.system)).collect();
        words.push_str(&format!(", {} compartments: {}", widths.len(), widths.join(", ")));
    }
    words
}

fn allowances(packet: &Packet) -> String {
    let mut all: Vec<Length> = packet
        .pattern
        .pieces
        .iter()
        .flat_map(|piece| piece.edges.iter().map(|edge| edge.allowance))
        .filter(|allowance| allowance.is_positive())
        .collect();
    all.sort_unstable();
    all.dedup();
    let shown: Vec<String> = all.into_iter().map(|a| show_length(a, packet.system)).collect();
    match shown.as_slice() {
        [] => "none".to_owned(),
        [one] => format!("{one}, included in every size"),
        many => format!("{}, as each step says; included in every size", many.join(", ")),
    }
}
