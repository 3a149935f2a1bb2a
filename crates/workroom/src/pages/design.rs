//! The page on which a bag is designed: the form, and beside it all that follows from it.

use std::sync::Arc;

use maud::{Markup, html};
use measure::{show_bought, show_length, show_size, show_volume};
use packet::Packet;

use super::field::{Around, Slip, id_of, in_quotes, plain};
use super::parts::{self, Extent, Part, whole_way};
use super::shell::{capital, counted, hidden, of_bag_with, way};
use super::shopping::{Cost, Costs};
use super::{Page, cutting, form, found, pieces, seen};
use crate::ask::{Answer, Ask};
use crate::keep::{Edited, Trouble};
use crate::room::{Drawn, Room};
use crate::{change as changes, mend as mending};
use store::Refused;

/// What is said above the form.
#[derive(Default)]
pub(super) struct Said<'a> {
    /// A sentence.
    pub(super) text: String,
    /// Whether it is a refusal.
    pub(super) refused: bool,
    /// What was typed and not taken.
    pub(super) slip: Option<&'a Slip>,
}

impl<'a> Said<'a> {
    /// That something typed was not taken.
    pub(super) fn not_changed(slip: &'a Slip) -> Self {
        let text = format!("Not changed: {}.", in_quotes(&slip.refused.message));
        Self { text, refused: true, slip: Some(slip) }
    }
}

/// The page as it stands.
pub(super) fn page(room: &Room, ask: &Ask, drawn: &Drawn) -> Page {
    whole(room, ask, drawn, &Said::default(), 200)
}

/// The whole page, or for its own script the parts that may have changed.
fn whole(room: &Room, ask: &Ask, drawn: &Drawn, said: &Said<'_>, status: u16) -> Page {
    let Parts { name, head, form, rest } = parts(room, ask, drawn, said)?;
    let revision = drawn.opened.revision;
    if let Some(has) = &ask.parts {
        let all = name.iter().chain(&head).chain(&form).chain(&rest);
        return Ok(parts::told(status, Some(revision), all, has));
    }
    let welcome = room.keep.setting("welcomed")?.is_none();
    let body = html! {
        @for part in &name { (part) }
        @if welcome {
            form.welcome method="post" action="/welcome" {
                (hidden("to", way(drawn.opened.id, "")))
                p { "This is a bag to try things on: change any measure, and see at once what becomes of the bag, its pieces and the fabric to buy. Everything is kept as you go, and Undo takes back whatever you like. When you are ready, go to “Bags” and begin one of your own." }
                button { "Good, thank you" }
            }
        }
        div.bench data-revision=(revision) {
            @for part in &head { (part) }
            section.form id="form" aria-label="What the bag is like" { @for part in &form { (part) } }
            @for part in &rest { (part) }
        }
    };
    let (id, title) = (drawn.opened.id, &drawn.design.title);
    let more = match Extent::asked(ask) {
        Extent::First => parts::without_script(id, ask),
        Extent::Whole(_) => html! {},
    };
    Ok(Answer::fault(status, of_bag_with(id, title, "", &more, &body)))
}

/// What is on the page: its heading, what is above the form, the form, and what is beside it.
struct Parts {
    name: [Part; 1],
    head: [Part; 2],
    form: Vec<Part>,
    rest: [Part; 4],
}

fn parts(room: &Room, ask: &Ask, drawn: &Drawn, said: &Said<'_>) -> Result<Parts, Trouble> {
    let opened = &drawn.opened;
    let shelf = room.keep.fabrics()?;
    let extent = Extent::asked(ask);
    let around = Around {
        id: opened.id,
        revision: opened.revision,
        units: drawn.design.units,
        findings: &drawn.findings,
        settled: drawn.settled(),
        slip: said.slip,
        to: "change",
        brief: false,
        extent,
        keeps_whole: ask.query.get("whole").is_some(),
    };
    let packet = drawn.packet.as_ref();
    let small = |page: &str, title: &str, inner: &dyn Fn(&Packet) -> Markup| {
        let id = format!("small-{}", title.to_lowercase());
        let is_made = packet.is_none() || extent != Extent::First;
        let element = html! {
            section.small id=(id) aria-label=(title) {
                @if let Some(packet) = packet {
                    h2 { (title) }
                    @if is_made { (inner(packet)) } @else { p { a href=(way(opened.id, page)) { "To the " (title.to_lowercase()) } } }
                }
            }
        };
        if is_made { Part::of(&id, element) } else { Part::unmade(&id, element) }
    };
    let bar = html! { div.bar id="bar" { (bar(drawn, said, "")) } };
    let seen =
        html! { section.seen id="seen" aria-label="The bag" { (seen::view(room, ask, drawn)?) } };
    let found =
        html! { section.found id="found" aria-label="What was found" { (found::list(drawn)) } };
    let glance = html! {
        section.glance id="glance" aria-label="At a glance" {
            @if let Some(packet) = packet { (glance(room, packet)?) }
        }
    };
    Ok(Parts {
        name: [Part::of("called", html! { h1 id="called" { (drawn.design.title) } })],
        head: [Part::of("bar", bar), Part::of("seen", seen)],
        form: form::form(&around, &drawn.design, &shelf),
        rest: [
            Part::of("found", found),
            Part::of("glance", glance),
            small("pieces", "Pieces", &|packet| pieces::small(drawn, packet)),
            small("cutting", "Layouts", &|packet| cutting::small(drawn, packet)),
        ],
    })
}

/// Undo, redo, and what was said last, on the page of the bag with that name.
pub(super) fn bar(drawn: &Drawn, said: &Said<'_>, page: &str) -> Markup {
    let opened = &drawn.opened;
    let text = if said.text.is_empty() { "Everything is kept." } else { &said.text };
    let button = |word: &str, says: &str, what: &Option<String>| {
        let does = what.as_deref().unwrap_or("nothing");
        html! {
            form.act method="post" action=(way(opened.id, word)) {
                (hidden("revision", opened.revision))
                @if !page.is_empty() { (hidden("page", page)) }
                button id=(word) disabled[what.is_none()] title=(does) { (says) }
            }
        }
    };
    html! {
        (button("undo", "Undo", &opened.undo))
        (button("redo", "Redo", &opened.redo))
        p.said.refused[said.refused] role="status" { (text) }
        @if let Some(shown) = &drawn.shown { p.says { "Shown is " strong { (shown.title) } "; the form changes what all sizes share. " a href=(way(opened.id, "sizes")) { "Sizes" } } }
    }
}

/// Sizes and purchases in a table.
fn glance(room: &Room, packet: &Packet) -> Result<Markup, Trouble> {
    let (finished, system) = (packet.finished, packet.system);
    let reckoned = room.reckoned(&room.keep.workshop()?, &[packet])?;
    let costs = Costs::of(&reckoned, packet);
    let price =
        |cost: &Option<Cost>| cost.as_ref().map_or("–".to_owned(), |cost| cost.0.to_string());
    Ok(html! {
        h2 { "At a glance" }
        dl.facts {
            div { dt { "Finished, width × height" } dd { (show_size(finished.width, finished.height, system)) } }
            @if finished.depth.is_positive() {
                div { dt { "Depth" } dd { (show_length(finished.depth, system)) } }
                div { dt { "Holds" } dd { (show_volume(finished.volume, system)) } }
            }
            div { dt { "To cut" } dd { (counted(packet.pattern.copies.len(), "piece")) } }
            div { dt { "To sew" } dd { (counted(packet.steps.len(), "step")) } }
        }
        table {
            caption { "To buy" }
            thead { tr { th scope="col" { "Material" } th scope="col" { "Length" } th scope="col" { "Price" } } }
            tbody {
                @for (cut, cost) in packet.cuts.iter().filter(|cut| cut.is_bought()).zip(&costs.cuts) {
                    tr {
                        th scope="row" { (capital(&cut.title(&packet.pattern))) }
                        td { @match &cut.layout {
                            Some(layout) => (show_bought(layout.bought, system)),
                            None => "does not fit",
                        } }
                        td { (price(cost)) }
                    }
                }
                @for (webbing, cost) in packet.webbing.iter().zip(&costs.webbing) {
                    tr {
                        th scope="row" { (capital(&packet.pattern.material(webbing.material).name)) }
                        td { (show_bought(webbing.bought, system)) }
                        td { (price(cost)) }
                    }
                }
            }
            @if let Some(earns) = &costs.earns {
                tfoot { tr { th scope="row" { "All with a price, notions too" } td {} td { (earns.one.materials) } } }
            }
        }
    })
}

/// The number of the revision that the form was made from.
fn seen_revision(ask: &Ask) -> Result<i64, Trouble> {
    ask.form.number("revision").ok_or(Trouble::Changed)
}

/// One field was changed.
pub(super) fn change(room: &Room, ask: &Ask, id: i64) -> Page {
    let seen = seen_revision(ask)?;
    let drawn = room.bag(id)?;
    let (path, typed) = (ask.form.text("path"), ask.form.text("value"));
    let mut applied = changes::apply(&drawn.design, path, typed);
    if let Ok((design, _)) = &applied
        && design.units != drawn.design.units
        && !drawn.family.is_empty()
    {
        let message = "the sizes of this bag say their measures in its unit".to_owned();
        applied = Err(Refused { message, hint: "take the sizes out first".to_owned() });
    }
    match applied {
        Ok((design, _)) if design == drawn.design => stay(room, ask, &drawn),
        Ok((design, what)) => keep(room, ask, &drawn, seen, &design, &what),
        Err(refused) => {
            let slip = Slip { path: path.to_owned(), typed: typed.to_owned(), refused };
            whole(room, ask, &drawn, &Said::not_changed(&slip), 422)
        }
    }
}

/// Nothing was changed.
fn stay(room: &Room, ask: &Ask, drawn: &Drawn) -> Page {
    if ask.parts.is_some() {
        return whole(room, ask, drawn, &Said::default(), 200);
    }
    Ok(Answer::see(back(ask, drawn.opened.id)))
}

/// Where a browser without the script goes after a change: to the field, if it has the whole page.
fn back(ask: &Ask, id: i64) -> String {
    if ask.query.get("whole").is_none() {
        return way(id, "");
    }
    let path = ask.form.text("path");
    let fold = path.split(['.', '[']).next().unwrap_or_default();
    let fold = if fold.is_empty() { "yes".to_owned() } else { id_of(fold) };
    format!("{}#{}", whole_way(id, &fold), id_of(path))
}

/// Keeps a changed design, and shows what has become of the bag.
fn keep(
    room: &Room,
    ask: &Ask,
    drawn: &Drawn,
    seen: i64,
    design: &bag::Design,
    what: &str,
) -> Page {
    let text = drawn.text_of(design);
    let change = || room.keep.change(drawn.opened.id, seen, &design.title, &text, what);
    // A size that is shown is another design; it is built when it is looked at.
    let kept = if drawn.shown.is_some() { change() } else { room.while_built(design, change) };
    kept_page(room, ask, drawn.opened.id, kept, &format!("Kept: {what}."))
}

/// The page after something was kept, or was not because another window was faster: that of the
/// design, or of its sizes if they were changed.
pub(super) fn kept_page(
    room: &Room,
    ask: &Ask,
    id: i64,
    kept: Result<Edited, Trouble>,
    text: &str,
) -> Page {
    let on_sizes = ask.form.text("page") == "sizes";
    let (said, status) = match kept {
        Ok(_) if ask.parts.is_none() => {
            return Ok(Answer::see(if on_sizes { way(id, "sizes") } else { back(ask, id) }));
        }
        Ok(_) => (Said { text: text.to_owned(), ..Said::default() }, 200),
        Err(trouble @ (Trouble::Changed | Trouble::NothingTo(_))) => {
            let text = format!(
                "{}. The page now shows the bag as it stands.",
                capital(&trouble.to_string())
            );
            (Said { text, refused: true, slip: None }, 409)
        }
        Err(trouble @ (Trouble::Full | Trouble::ReadOnly | Trouble::Busy)) => {
            let text = format!("{}.", capital(&trouble.to_string()));
            (Said { text, refused: true, slip: None }, 507)
        }
        Err(other) => return Err(other.into()),
    };
    let drawn: Arc<Drawn> = room.bag(id)?;
    if on_sizes {
        return super::sizes::whole(room, ask, &drawn, &said, None, status);
    }
    whole(room, ask, &drawn, &said, status)
}

/// Takes the last change back.
pub(super) fn undo(room: &Room, ask: &Ask, id: i64) -> Page {
    let kept = room.keep.undo(id, seen_revision(ask)?);
    went(room, ask, id, kept, "Undone")
}

/// Does again what was undone.
pub(super) fn redo(room: &Room, ask: &Ask, id: i64) -> Page {
    let kept = room.keep.redo(id, seen_revision(ask)?);
    went(room, ask, id, kept, "Done again")
}

fn went(room: &Room, ask: &Ask, id: i64, kept: Result<Edited, Trouble>, verb: &str) -> Page {
    if kept.is_ok() {
        // The title may have gone back, too.
        let drawn = room.bag(id)?;
        room.keep.retitle(id, &drawn.design.title)?;
    }
    kept_page(room, ask, id, kept, &format!("{verb}."))
}

/// Takes a design that was made from this one in the place of it.
pub(super) fn enlarge(room: &Room, ask: &Ask, drawn: &Drawn, design: &bag::Design) -> Page {
    keep(room, ask, drawn, seen_revision(ask)?, design, "as large as the fabric allows")
}

/// Looks for the value that cures a finding, and sets it.
pub(super) fn mend(room: &Room, ask: &Ask, id: i64) -> Page {
    let seen = seen_revision(ask)?;
    let drawn = room.bag(id)?;
    if drawn.opened.revision != seen {
        return kept_page(room, ask, id, Err(Trouble::Changed), "");
    }
    if drawn.shown.is_some() {
        let text = "A size or option is shown: change what it says under “Sizes”, or show the bag as it stands.";
        let said = Said { text: text.to_owned(), refused: true, slip: None };
        return whole(room, ask, &drawn, &said, 422);
    }
    let wanted = ask.form.text("finding");
    let finding = drawn.findings.iter().find(|finding| found::key(finding) == wanted);
    let Some(finding) = finding else {
        let text = "This was gone already. The page now shows the bag as it stands.".to_owned();
        return whole(room, ask, &drawn, &Said { text, refused: true, slip: None }, 409);
    };
    let mended = mending::mend(&drawn.design, finding)
        .and_then(|(path, value)| changes::apply(&drawn.design, &path, &value).ok());
    match mended {
        Some((design, what)) => keep(room, ask, &drawn, seen, &design, &format!("mended, {what}")),
        None => {
            let text = format!(
                "No single value of that field cures it. What the check advises: {}.",
                plain(&finding.cure)
            );
            let said = Said { text, refused: true, slip: None };
            whole(room, ask, &drawn, &said, 422)
        }
    }
}

/// Takes a fabric of the shelf for a part of the bag.
pub(super) fn from_shelf(room: &Room, ask: &Ask, id: i64) -> Page {
    let seen = seen_revision(ask)?;
    let drawn = room.bag(id)?;
    let Some(number) = ask.form.number("fabric") else { return stay(room, ask, &drawn) };
    let fabric = room.keep.fabric(number)?.fabric;
    let role = ask.form.text("role");
    let mut design = drawn.design.clone();
    let one_way = if fabric.one_way { "yes" } else { "no" };
    let width = store::shown_value(&bag::kinds::Value::Length(fabric.width), design.units);
    // The usable width follows from the bought one again.
    let fields = [("usable", ""), ("name", &fabric.name), ("width", &width), ("one-way", one_way)];
    for (key, value) in fields {
        match changes::apply(&design, &format!("fabric.{role}.{key}"), value) {
            Ok((changed, _)) => design = changed,
            Err(refused) => {
                let text = format!("Not changed: {}: {}.", key, refused.message);
                let said = Said { text, refused: true, slip: None };
                return whole(room, ask, &drawn, &said, 422);
            }
        }
    }
    keep(room, ask, &drawn, seen, &design, &format!("{role}: {}", fabric.name))
}
