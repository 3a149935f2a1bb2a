//! The largest bag of a shape from the fabric that there is.

use bag::Design;
use bag::design::Role;
use maud::{Markup, html};
use measure::show_length;
use packet::largest::{Given, Grow, Largest, NoLargest, largest, sizes};
use packet::{show_needed, show_there_is};

use super::shell::{capital, hidden, of_bag, way};
use super::{Page, design};
use crate::ask::{Answer, Ask};
use crate::keep::Trouble;
use crate::room::{Drawn, Room};

/// A fabric of the design, and how much of it she says that there is.
struct Asked {
    role: Role,
    name: String,
    /// What is typed; what lies on the shelf, before anything is.
    typed: String,
}

/// The fabrics of the design, each with what there is of it.
fn asked(room: &Room, ask: &Ask, drawn: &Drawn) -> Result<Vec<Asked>, Trouble> {
    let system = drawn.design.system();
    let mut all = Vec::new();
    for (role, values) in &drawn.design.fabrics {
        let name = values.text("name");
        let field = format!("fabric-{}", role.key());
        let typed = match ask.form.get(&field).or_else(|| ask.query.get(&field)) {
            Some(typed) => typed.trim().to_owned(),
            None => room.on_shelf(name)?.map_or_else(String::new, |row| {
                let (length, width) = (row.fabric.length, row.fabric.width);
                format!("{} of {}", show_length(length, system), show_length(width, system))
            }),
        };
        all.push(Asked { role: *role, name: name.to_owned(), typed });
    }
    Ok(all)
}

fn only(ask: &Ask, design: &Design) -> Option<&'static str> {
    let word = ask.form.get("only").or_else(|| ask.query.get("only"))?;
    sizes(design).into_iter().map(|size| size.key).find(|key| *key == word)
}

/// The answer, or why there is none.
fn find(design: &Design, asked: &[Asked], only: Option<&str>) -> Result<Largest, String> {
    let mut given = Vec::new();
    for fabric in asked.iter().filter(|it| !it.typed.is_empty()) {
        let read = Given::parse(&fabric.typed, design.units)
            .map_err(|why| format!("{}: {why}", fabric.role.title()))?;
        given.push(Given { role: fabric.role, ..read });
    }
    if given.is_empty() {
        return Err("say of one fabric at least how much there is".to_owned());
    }
    largest(design, &given, only.map_or(Grow::Alike, Grow::Alone)).map_err(|no| match no {
        NoLargest::Errors(_) => {
            "the bag cannot be made at its own size: see what was found in the design".to_owned()
        }
        other => other.to_string(),
    })
}

/// The page: the question, and the answer once it is asked.
pub(super) fn page(room: &Room, ask: &Ask, drawn: &Drawn) -> Page {
    let id = drawn.opened.id;
    let (fabrics, only) = (asked(room, ask, drawn)?, only(ask, &drawn.design));
    let answer = ask.query.get("look").map(|_| find(&drawn.design, &fabrics, only));
    let status = if matches!(answer, Some(Err(_))) { 422 } else { 200 };
    let body = html! {
        h1 { (drawn.design.title) ": the largest from what there is" }
        p.help { "Say how much there is, and the largest bag of this shape is looked for, to the ruler’s step, with a proof where there is one. Handles, closure and seam allowances keep their measures." }
        form.stack method="get" action=(way(id, "largest")) {
            (hidden("look", "yes"))
            @for fabric in &fabrics {
                @let field = format!("fabric-{}", fabric.role.key());
                div.pairs {
                    label for=(field) { (capital(fabric.role.title())) ": " (fabric.name) }
                    input id=(field) name=(field) value=(fabric.typed) maxlength="80" autocomplete="off"
                        placeholder="1 yd of 54 in";
                }
            }
            p.help { "A length of a width: “1 yd of 54 in”, “80 cm of 140 cm”; a piece, width × length: “22 x 18 in”; or “fat quarter”. Left empty, there is enough of it." }
            div.pairs {
                label for="only" { "What grows" }
                select id="only" name="only" {
                    option value="" { "the whole bag, in proportion" }
                    @for size in sizes(&drawn.design) { option value=(size.key) selected[only == Some(size.key)] { "the " (size.label) " alone" } }
                }
            }
            button.main { "Find the largest" }
        }
        @match &answer {
            Some(Err(why)) => p.wrong role="alert" { (capital(why)) "." },
            Some(Ok(found)) => (told(drawn, &fabrics, only, found)),
            None => {}
        }
    };
    Ok(Answer::fault(status, of_bag(id, &drawn.design.title, "cutting", &body)))
}

fn told(drawn: &Drawn, fabrics: &[Asked], only: Option<&str>, found: &Largest) -> Markup {
    let system = drawn.design.system();
    let now = drawn.packet.as_ref().map(|packet| &packet.pattern.claims);
    let claims = &found.pattern.claims;
    let rows = [
        ("Width", claims.width, now.map(|it| it.width)),
        ("Height", claims.height, now.map(|it| it.height)),
        ("Depth", claims.depth, now.map(|it| it.depth)),
    ];
    let given = fabrics.iter().filter(|it| !it.typed.is_empty());
    html! {
        h2 { "As large as it goes" }
        table {
            thead { tr { th scope="col" { "Finished" } th scope="col" { "Largest" } th scope="col" { "Now" } } }
            tbody { @for (word, length, now) in rows.iter().filter(|(_, length, _)| length.is_positive()) {
                tr {
                    th scope="row" { (word) }
                    td { strong { (show_length(*length, system)) } }
                    td { @match now { Some(now) => (show_length(*now, system)), None => "–" } }
                }
            } }
        }
        ul { @for (fabric, (sheet, layout)) in given.zip(&found.laid) {
            @if let layout::Stock::Bolt { .. } = &sheet.problem.stock {
                li { (capital(fabric.role.title())) ": takes " (show_needed(layout.needed, system)) " of the " (show_there_is(layout.bought, system)) " there are." }
            }
        } }
        p { (found.certainty(system)) }
        form.row method="post" action=(way(drawn.opened.id, "largest")) {
            (hidden("revision", drawn.opened.revision))
            (hidden("only", only.unwrap_or_default()))
            @for fabric in fabrics { (hidden(&format!("fabric-{}", fabric.role.key()), &fabric.typed)) }
            button.main { "Make the bag this large" }
        }
        p.help { "It can be undone, as every change can." }
    }
}

/// Makes the bag as large as it goes.
pub(super) fn take(room: &Room, ask: &Ask, drawn: &Drawn) -> Page {
    let (fabrics, only) = (asked(room, ask, drawn)?, only(ask, &drawn.design));
    match find(&drawn.design, &fabrics, only) {
        Ok(found) => design::enlarge(room, ask, drawn, &found.design),
        Err(why) => Err(Trouble::NotTaken(why).into()),
    }
}
