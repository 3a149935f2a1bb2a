//! What has to be bought, and what it would be on other widths.

use bag::pattern::MaterialId;
use measure::{Length, show_bought, show_length};
use packet::{Cut, Packet, show_bolt, show_needed, show_there_is};
use serde_json::{Value, json};

use super::{capital, sentence};
use crate::lists::bought;

/// Each material that is bought, with its numbers and why.
pub(super) fn materials(packet: &Packet) -> Vec<Value> {
    let pattern = &packet.pattern;
    let show = |length| show_length(length, packet.system);
    let mut all: Vec<Value> = packet
        .cuts
        .iter()
        .filter(|cut| cut.is_bought())
        .map(|cut| {
            let material = pattern.material(cut.material);
            let mut facts = Vec::new();
            if let Some(cloth) = material.cloth() {
                facts.push(["On the bolt".to_owned(), format!("{} wide", show_bolt(cloth.bought_width, packet.system))]);
                facts.push(["Usable width".to_owned(), show(cloth.usable_width)]);
            }
            let used = |layout: &layout::Layout| show_needed(layout.length, packet.system);
            let buy = |layout: &layout::Layout| bought(layout.bought, packet.system);
            let none = || "does not fit".to_owned();
            facts.push(["Used".to_owned(), cut.layout.as_ref().map_or_else(none, used)]);
            facts.push(["Buy".to_owned(), cut.layout.as_ref().map_or_else(none, buy)]);
            let why = sentence(&cut.why(pattern, packet.system));
            let narrow = cut.narrow(packet.system).map(|narrow| sentence(&narrow));
            let shrinks = cut.shrinkage_note().map(sentence);
            let certificate = cut.certificate().map(|proof| sentence(&proof));
            let why: Vec<String> = std::iter::once(why)
                .chain(certificate)
                .chain(washed_width(cut, packet))
                .chain(shrinks)
                .chain(narrow)
                .collect();
            json!({ "name": capital(&material.name), "serves": material.serves, "facts": facts, "why": why })
        })
        .collect();
    for webbing in &packet.webbing {
        let material = pattern.material(webbing.material);
        all.push(json!({
            "name": capital(&material.name),
            "serves": material.serves,
            "facts": [
                ["Used", show(webbing.used)],
                ["Buy", bought(webbing.bought, packet.system)],
            ],
            "why": [],
        }));
    }
    all
}

/// The width that washing leaves, where it takes some.
fn washed_width(cut: &Cut, packet: &Packet) -> Option<String> {
    let layout = cut.layout.as_ref()?;
    let width = show_there_is(layout.width, packet.system);
    (cut.sheet.problem.shrinkage.crosswise > 0)
        .then(|| format!("{width} of the width are usable after washing."))
}

/// What to buy at the usual widths.
pub(super) fn widths(packet: &Packet) -> Vec<Value> {
    let table = &packet.widths;
    if table.rows.is_empty() || table.fabrics.is_empty() {
        return Vec::new();
    }
    let cell = |length: Option<Length>| {
        length.map_or("–".to_owned(), |length| show_bought(length, packet.system))
    };
    let labels: Vec<&str> = table.rows.iter().map(|row| row.label.as_str()).collect();
    let each: Vec<Value> = table
        .fabrics
        .iter()
        .enumerate()
        .map(|(index, id)| {
            let cells: Vec<String> =
                table.rows.iter().map(|row| cell(row.each.get(index).copied().flatten())).collect();
            json!({ "name": capital(&packet.pattern.material(*id).name), "cells": cells })
        })
        .collect();
    let one: Vec<String> = table.rows.iter().map(|row| cell(row.one_fabric)).collect();
    let note =
        |lacks: bool| if lacks { "– : some piece does not fit on this width." } else { "" };
    let each_note = note(table.rows.iter().flat_map(|row| &row.each).any(Option::is_none));
    let one_note = note(table.rows.iter().any(|row| row.one_fabric.is_none()));
    let mut tables = vec![
        json!({ "title": "A cloth for each part", "columns": labels, "rows": each, "note": each_note }),
    ];
    let is_stiff = |id: &&MaterialId| packet.pattern.material(**id).is_interfacing();
    let stiff = table.fabrics.iter().filter(is_stiff).count();
    if table.fabrics.len() - stiff > 1 {
        let name = if stiff > 0 { "Everything but interfacing" } else { "Everything" };
        let rows = [json!({ "name": name, "cells": one })];
        tables.push(json!({
            "title": "One fabric for everything",
            "columns": labels,
            "rows": rows,
            "note": one_note,
        }));
    }
    tables
}
