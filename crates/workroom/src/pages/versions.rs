//! Versions to go back to, copies, what is shared, and two bags side by side.

use std::collections::BTreeMap;

use bag::Design;
use maud::{Markup, html};

use super::field::option_text;
use super::shell::{Here, capital, counted, hidden, of_bag, shell, way};
use super::{Page, dressed};
use crate::ask::{Answer, Ask};
use crate::keep::Trouble;
use crate::room::{Drawn, Room};

/// The page.
pub(super) fn page(room: &Room, drawn: &Drawn) -> Page {
    let (id, revision) = (drawn.opened.id, drawn.opened.revision);
    let versions = room.keep.versions(id)?;
    let body = html! {
        h1 { (drawn.design.title) ": versions" }
        p.help { "Every change is kept and can be undone. A version is a state to which you give a name, so that you find it again: “as taught in spring”, “before the zip”." }
        form.row method="post" action=(way(id, "versions")) {
            label for="name" { "Keep it as it stands, under the name" }
            input id="name" name="name" required maxlength="200" autocomplete="off";
            button { "Keep" }
        }
        @if versions.is_empty() { div.empty { p { "No version is kept yet." } } }
        @else {
            table {
                thead { tr { th scope="col" { "Version" } th scope="col" { "Kept" } th scope="col" { span.unseen { "What to do with it" } } } }
                tbody { @for version in &versions {
                    tr {
                        th scope="row" { (version.name) }
                        td { (version.made) }
                        td { div.row {
                            form.act method="post" action={ (way(id, "versions")) "/" (version.id) } {
                                (hidden("revision", revision))
                                button aria-label={ "Go back to it: " (version.name) } { "Go back to it" }
                            }
                            a.button href={ "/compare?a=" (id) "&b=" (id) "&version=" (version.id) } aria-label={ "Compare: " (version.name) } { "Compare" }
                        } }
                    }
                } }
            }
        }
        h2 { "Copy, or put away" }
        div.row {
            form.act method="post" action=(way(id, "copy")) { button { "Make a copy" } }
            @if drawn.opened.is_put_away {
                form.act method="post" action=(way(id, "take-out")) { button { "Take it out again" } }
            } @else {
                form.act method="post" action=(way(id, "put-away")) { button { "Put it away" } }
            }
        }
    };
    Ok(Answer::page(of_bag(id, &drawn.design.title, "versions", &body)))
}

/// Keeps a version.
pub(super) fn keep(room: &Room, ask: &Ask, id: i64) -> Page {
    room.keep.keep_version(id, ask.form.text("name"))?;
    Ok(Answer::see(way(id, "versions")))
}

/// Goes back to a version; that is a change like any other, and can be undone.
pub(super) fn go_back(room: &Room, ask: &Ask, id: i64, version: &str) -> Page {
    let version = version.parse().map_err(|_| Trouble::NotThere("version"))?;
    let (name, text) = room.keep.version(id, version)?;
    let seen = ask.form.number("revision").ok_or(Trouble::Changed)?;
    let title = store::read_design("", &text).map_or_else(|_| name.clone(), |d| d.title);
    room.keep.change(id, seen, &title, &text, &format!("back to {name}"))?;
    Ok(Answer::see(way(id, "")))
}

/// Makes a copy.
pub(super) fn copy(room: &Room, id: i64) -> Page {
    let drawn = room.bag(id)?;
    let mut design = drawn.design.clone();
    design.title = format!("{}, copy", design.title).chars().take(200).collect();
    let added = room.keep.add(&design.title, &drawn.text_of(&design), "the copy")?;
    Ok(Answer::see(way(added.id, "")))
}

/// Puts a bag away, or takes it out again.
pub(super) fn put_away(room: &Room, id: i64, away: bool) -> Page {
    room.keep.put_away(id, away)?;
    Ok(Answer::see(if away { "/bags".to_owned() } else { way(id, "") }))
}

/// Throws a bag away that was put away before.
pub(super) fn throw_away(room: &Room, id: i64) -> Page {
    room.keep.throw_away(id)?;
    Ok(Answer::see("/bags?show=put-away"))
}

/// Shares the handout, or no longer.
pub(super) fn share(room: &Room, ask: &Ask, id: i64) -> Page {
    room.keep.share(id, ask.form.text("share") == "yes")?;
    Ok(Answer::see(way(id, "take")))
}

/// Two bags side by side.
pub(super) fn compare(room: &Room, ask: &Ask) -> Page {
    let bags = room.keep.bags(false)?;
    let first = bags.first().map_or(0, |bag| bag.id);
    let a = ask.query.number("a").unwrap_or(first);
    let b = ask.query.number("b").or_else(|| bags.get(1).map(|bag| bag.id)).unwrap_or(first);
    let version = ask.query.number("version");
    let body = html! {
        h1 { "Side by side" }
        form.row method="get" action="/compare" {
            @for (name, label, chosen) in [("a", "One bag", a), ("b", "The other", b)] {
                label for=(name) { (label) }
                select id=(name) name=(name) {
                    @for bag in &bags { option value=(bag.id) selected[bag.id == chosen] { (bag.title) } }
                }
            }
            button { "Show" }
        }
        @if bags.is_empty() { div.empty { p { "There is no bag to compare yet." } p { a.button href="/new" { "A new bag" } } } }
        @else { (side_by_side(room, a, b, version)?) }
    };
    Ok(Answer::page(shell("Side by side", Here::Bags, &body)))
}

/// One of the two: its name, its design, and all that follows.
struct Side {
    name: String,
    design: Design,
    built: packet::Built,
}

fn side(room: &Room, id: i64, version: Option<i64>) -> Result<Side, super::Ended> {
    let drawn = room.bag(id)?;
    let Some(version) = version else {
        let built = packet::Built {
            packet: drawn.packet.clone(),
            findings: drawn.findings.clone(),
            settled: drawn.settled().clone(),
        };
        return Ok(Side { name: drawn.design.title.clone(), design: drawn.design.clone(), built });
    };
    let (name, text) = room.keep.version(id, version)?;
    let design = store::read_design("", &text)
        .map_err(|_| Trouble::NotTaken("that version cannot be read by this program".to_owned()))?;
    let built = packet::build(&design);
    Ok(Side { name: format!("{}, {name}", design.title), design, built })
}

fn side_by_side(room: &Room, a: i64, b: i64, version: Option<i64>) -> Result<Markup, super::Ended> {
    let mut sides = [side(room, a, None)?, side(room, b, version)?];
    if sides[0].name == sides[1].name {
        sides[1].name.push_str(" (2)");
    }
    let system = sides[0].design.system();
    let rows: Vec<_> = sides
        .iter()
        .map(|side| {
            let packet = side.built.packet.as_ref().ok_or("cannot be made".to_owned());
            (vec![side.name.clone()], packet)
        })
        .collect();
    let table = packet::compare(&["Bag"], &rows, system);
    let differences = differences(&sides);
    Ok(html! {
        div.pair {
            @for (index, side) in sides.iter().enumerate() {
                figure {
                    @if let Some(packet) = &side.built.packet { (picture(room, packet, index)?) }
                    @else { p.empty { "As it stands there can be no such bag." } }
                    figcaption { (side.name) ", " (errors(side)) }
                }
            }
        }
        div.scroll role="region" tabindex="0" aria-label="Both in numbers" {
            table {
                caption { "In numbers" }
                tbody {
                    @for (index, heading) in table.headings.iter().enumerate() {
                        tr {
                            th scope="row" { (heading) }
                            @for row in &table.rows { td { (row.get(index).map_or("", String::as_str)) } }
                        }
                    }
                }
            }
        }
        h2 { "What differs in the design" }
        @if differences.is_empty() { p { "Nothing: they are the same." } }
        @else {
            div.scroll role="region" tabindex="0" aria-label="What differs" {
                table {
                    thead { tr { th scope="col" { "Part" } th scope="col" { "Field" } @for side in &sides { th scope="col" { (side.name) } } } }
                    tbody {
                        @for (key, a, b) in &differences {
                            @let (part, field) = named(&sides, key);
                            tr { th scope="row" { (part) } td { (field) } td { (a) } td { (b) } }
                        }
                    }
                }
            }
        }
    })
}

fn picture(room: &Room, packet: &packet::Packet, index: usize) -> Result<Markup, Trouble> {
    let mut scene = paper::finished_scene(packet);
    scene.id = format!("side-{}-{}", index + 1, scene.id);
    Ok(html! { div.paper { (dressed::picture(room, packet, &scene)?) } })
}

fn errors(side: &Side) -> String {
    let errors = side.built.findings.iter().filter(|f| f.severity == bag::Severity::Error).count();
    if errors == 0 { "ready to cut".to_owned() } else { counted(errors, "error") }
}

/// The lines of the design files that differ, in the order of the file: section and key, and either's
/// value. Of what only one of them has, and of two kinds, only what they have in common is told.
fn differences(sides: &[Side; 2]) -> Vec<(String, String, String)> {
    let [a, b] = sides.each_ref().map(|side| lines(&store::write_design(&side.design)));
    let value = |lines: &[(String, String)], path: &str| {
        lines.iter().find(|(known, _)| known == path).map(|(_, value)| value.clone())
    };
    let has = |lines: &[(String, String)], head: &str| {
        lines.iter().any(|(path, _)| head_of(path) == head)
    };
    let mut paths: Vec<&str> = a.iter().map(|(path, _)| path.as_str()).collect();
    for (at, (path, _)) in b.iter().enumerate() {
        if !paths.contains(&path.as_str()) {
            // Behind the line that stands before it there.
            let before =
                at.checked_sub(1).and_then(|at| paths.iter().position(|it| *it == b[at].0));
            paths.insert(before.map_or(paths.len(), |before| before + 1), path);
        }
    }
    let mut differ = Vec::new();
    for path in paths {
        let (mine, other) = (value(&a, path), value(&b, path));
        let head = head_of(path);
        let kind = format!("{head}kind");
        let is_same = has(&a, head) == has(&b, head) && value(&a, &kind) == value(&b, &kind);
        let says_what = path == kind || path.ends_with(".name");
        let in_common = mine.is_some() && other.is_some();
        if mine != other && (is_same || in_common || says_what) {
            let [mine, other] = [(&sides[0], mine), (&sides[1], other)]
                .map(|(side, value)| said(side, path, value));
            differ.push((path.to_owned(), mine, other));
        }
    }
    differ
}

/// What a path begins with, up to its key.
fn head_of(path: &str) -> &str {
    path.rfind('.').map_or("", |dot| &path[..=dot])
}

/// A value in the words of the form: a kind by its title, a word by what it means, a size that is left
/// out by what it comes to.
fn said(side: &Side, path: &str, value: Option<String>) -> String {
    let Some(value) = value else {
        let settled = side.built.settled.get(path);
        return settled.map_or("–".to_owned(), |length| {
            let shown = store::shown_value(&bag::kinds::Value::Length(*length), side.design.units);
            format!("{shown}, as it comes")
        });
    };
    if let Some(section) = path.strip_suffix(".kind") {
        let section = section.split('[').next().unwrap_or(section);
        let kind = crate::change::kinds(section).into_iter().find(|kind| kind.name() == value);
        return kind.map_or(value, |kind| kind.title().to_owned());
    }
    let param = crate::change::at(&side.design, path).map(|(param, _)| param);
    let words = param.map(store::value_words).unwrap_or_default();
    let meaning = words.iter().find(|(word, _)| *word == value);
    meaning.map_or(value.clone(), |(word, meaning)| option_text(word, meaning))
}

/// The part of the bag and the field that a path of the design file means, in the words of the form.
fn named(sides: &[Side; 2], path: &str) -> (String, String) {
    let (section, key) = path.rsplit_once('.').unwrap_or(("the bag", path));
    let part = section.replace('[', " ").replace(']', "").replace('.', ", ");
    let param = sides.iter().find_map(|side| Some(crate::change::at(&side.design, path)?.0.label));
    let field = param.map_or_else(|| key.replace('-', " "), str::to_owned);
    (capital(&part), field)
}

/// The lines of a design file as paths with values; what was changed from edition to edition is left out.
fn lines(text: &str) -> Vec<(String, String)> {
    let (mut section, mut counts, mut lines) = (String::new(), BTreeMap::new(), Vec::new());
    for line in text.lines().map(str::trim) {
        if let Some(name) = line.strip_prefix("[[").and_then(|line| line.strip_suffix("]]")) {
            let count: &mut usize = counts.entry(name).or_default();
            *count += 1;
            section = format!("{name}[{count}].");
        } else if let Some(name) = line.strip_prefix('[').and_then(|l| l.strip_suffix(']')) {
            section = format!("{name}.");
        } else if let Some((key, value)) = line.split_once(" = ").filter(|_| section != "edition.")
        {
            let value = match value.trim_matches('"') {
                "true" => "yes",
                "false" => "no",
                other => other,
            };
            lines.push((format!("{section}{key}"), value.to_owned()));
        }
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_are_known_by_their_section_and_number() {
        let text = "title = \"A\"\n[edition]\nchanges = [\n  \"x = y\",\n]\n[[pocket]]\nwidth = \"8\"\n\
             [[extra]]\nkind = \"tab\"\n[[pocket]]\nlined = true\n";
        let lines: Vec<String> =
            lines(text).into_iter().map(|(path, value)| format!("{path}: {value}")).collect();
        let right =
            ["title: A", "pocket[1].width: 8", "extra[1].kind: tab", "pocket[2].lined: yes"];
        assert_eq!(lines, right);
    }
}
