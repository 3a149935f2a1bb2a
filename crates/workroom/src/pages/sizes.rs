//! Sizes and options of one bag: all of them side by side, which one is shown, and what they say.

use std::time::Duration;

use bag::draft::Settled;
use bag::kinds::{Param, Value};
use maud::{Markup, html};
use store::{Problem, Refused, Variant, Variants};

use super::Page;
use super::design::{Said, bar, kept_page};
use super::field::{Around, Slip, id_of, plain};
use super::form::{counts, kind};
use super::parts::{self, Extent, Part};
use super::shell::{capital, hidden, of_bag, way};
use crate::ask::{Answer, Ask};
use crate::change;
use crate::differs::{self, List, chosen_kind, differing};
use crate::keep::{Edited, Trouble};
use crate::room::{Drawn, Family, Room};

/// How long one look builds sizes; the page asks again for the rest.
const LOOK: Duration = Duration::from_millis(250);

/// What a size or an option is called.
const NAME: Param = change::text("name", "name", "");

/// What was typed as text and not kept, and why.
type Refusal<'a> = (&'a str, &'a [Refused]);

fn table(room: &Room, drawn: &Drawn, family: &Family) -> Result<packet::Comparison, Trouble> {
    let reckoned = room.reckoned(&room.keep.workshop()?, &drawn.packets())?;
    let name = |name: &Option<String>| name.clone().unwrap_or_else(|| "as it stands".to_owned());
    let members = family.members.iter().zip(&family.built);
    let bags: Vec<_> = members
        .map(|(member, packet)| {
            let names = vec![name(&member.size), name(&member.option)];
            (names, packet.as_deref().map_err(Clone::clone))
        })
        .collect();
    let rates = reckoned.workshop.rates.as_ref();
    Ok(paper::sizes_table(&bags, drawn.design.system(), reckoned.pace, rates))
}

/// The page.
pub(super) fn page(room: &Room, ask: &Ask, drawn: &Drawn) -> Page {
    whole(room, ask, drawn, &Said::default(), None, 200)
}

/// The whole page, or for its own script the parts that may have changed.
pub(super) fn whole(
    room: &Room,
    ask: &Ask,
    drawn: &Drawn,
    said: &Said<'_>,
    refusal: Option<Refusal<'_>>,
    status: u16,
) -> Page {
    let revision = drawn.opened.revision;
    let all = all(room, drawn, said, refusal)?;
    if let Some(has) = &ask.parts {
        return Ok(parts::told(status, Some(revision), &all, has));
    }
    let title = &drawn.design.title;
    let body = html! {
        h1 { (title) ": sizes and options" }
        div.bench.family data-revision=(revision) { @for part in &all { (part) } }
    };
    Ok(Answer::fault(status, of_bag(drawn.opened.id, title, "sizes", &body)))
}

/// All that is on the page.
fn all(
    room: &Room,
    drawn: &Drawn,
    said: &Said<'_>,
    refusal: Option<Refusal<'_>>,
) -> Result<[Part; 3], Trouble> {
    let family = room.family(&drawn.opened, LOOK);
    let variants = Variants::read(&drawn.family);
    let members = html! {
        section id="members" aria-label="Side by side" {
            @match &family {
                Err(problems) => {
                    p.wrong role="alert" { "The sizes do not go with the bag any more as it was changed:" }
                    (told(&problems.iter().map(refused).collect::<Vec<_>>()))
                }
                Ok(family) if family.members.len() == 1 => div.empty { p { "This bag has one size. Add another below and type what differs in it, and they stand here side by side: what to buy, thread, time and price of each." } },
                Ok(family) => (side_by_side(room, drawn, family)?),
            }
        }
    };
    let differs = html! {
        section id="what-differs" aria-label="What differs" {
            @if let Some(variants) = &variants {
                @match &family {
                    Ok(family) => @for list in List::ALL { (fields(drawn, said, list, variants, family)) },
                    Err(_) => @for list in List::ALL { (to_take_out(drawn, list, variants)) },
                }
            }
            (as_text(drawn, refusal, variants.is_none()))
        }
    };
    let bar = html! { div.bar id="bar" { (bar(drawn, said, "sizes")) } };
    Ok([Part::of("bar", bar), Part::of("members", members), Part::of("what-differs", differs)])
}

fn side_by_side(room: &Room, drawn: &Drawn, family: &Family) -> Result<Markup, Trouble> {
    let id = drawn.opened.id;
    let (built, all) = (family.built.len(), family.members.len());
    Ok(html! {
        (matrix(room, drawn, family)?)
        @if family.left() > 0 {
            div.searching data-going="yes" {
                p role="status" { (built) " of " (all) " are reckoned." }
                progress value=(built) max=(all) aria-label="How many are reckoned" {}
                a.button href=(way(id, "sizes")) { "Go on" }
            }
        } @else {
            p { a.button href={ (way(id, "sizes")) "/table.csv" } download { "Save as a table (CSV)" } }
        }
        @if room.keep.workshop()?.text.is_empty() { p.help { "With " a href={ (way(id, "reckoning")) "#rates" } { "your rates" } ", the table says what each costs, too." } }
    })
}

/// What is wrong, without the line, which is one of the whole file.
fn refused(problem: &Problem) -> Refused {
    Refused { message: problem.message.clone(), hint: problem.hint.clone() }
}

fn told(problems: &[Refused]) -> Markup {
    html! { ul { @for problem in problems { li { (capital(&problem.message)) @if !problem.hint.is_empty() { "; " (problem.hint) } "." } } } }
}

fn matrix(room: &Room, drawn: &Drawn, family: &Family) -> Result<Markup, Trouble> {
    let table = table(room, drawn, family)?;
    let opened = &drawn.opened;
    Ok(html! {
        div.scroll role="region" tabindex="0" aria-label="Sizes and options side by side" {
            table {
                thead { tr { @for heading in table.headings.iter().take(2) { th scope="col" { (heading) } } th scope="col" { "Shown" } @for heading in table.headings.iter().skip(2) { th scope="col" { (heading) } } } }
                tbody { @for (row, member) in table.rows.iter().zip(&family.members) {
                    @let shown = match &drawn.shown {
                        None => member.size.is_none() && member.option.is_none(),
                        Some(_) => member.size == opened.size && member.option == opened.option,
                    };
                    tr.chosen[shown] {
                        @for (at, cell) in row.iter().enumerate().take(2) { @if at == 0 { th scope="row" { (cell) } } @else { td { (cell) } } }
                        td { @if shown { strong { "shown" } } @else {
                            form.act method="post" action=(way(opened.id, "show")) {
                                (hidden("revision", opened.revision))
                                (hidden("size", member.size.as_deref().unwrap_or("")))
                                (hidden("option", member.option.as_deref().unwrap_or("")))
                                button aria-label={ "Show " (row[0]) ", " (row[1]) } { "Show it" }
                            }
                        } }
                        @for cell in row.iter().skip(2) { td { (cell) } }
                    }
                } }
            }
        }
        p.help { "The one that is shown is on all pages of this bag: pieces, cutting, sewing, shopping, price, and what you print. The form of the design changes what all share." }
    })
}

/// The form around the fields of this page.
fn around<'a>(drawn: &Drawn, settled: &'a Settled, slip: Option<&'a Slip>) -> Around<'a> {
    Around {
        id: drawn.opened.id,
        revision: drawn.opened.revision,
        units: drawn.design.units,
        findings: &[],
        settled,
        slip,
        to: "sizes",
        brief: true,
        extent: Extent::Whole(""),
        keeps_whole: false,
    }
}

/// The sizes, or the options, each with a field for everything that it says.
fn fields(
    drawn: &Drawn,
    said: &Said<'_>,
    list: List,
    variants: &Variants,
    family: &Family,
) -> Markup {
    let base = &drawn.design;
    let mut settled = Settled::new();
    for at in 1..=list.of(variants).len() {
        for param in lengths(base) {
            if let Some(Value::Length(length)) = base.body.values.get(param.key) {
                settled.insert(format!("{}[{at}].body.{}", list.word(), param.key), *length);
            }
        }
    }
    let around = around(drawn, &settled, said.slip);
    html! {
        section.aside id={ (list.word()) "s" } {
            h2 { (capital(list.word())) "s" }
            p.help { @match list {
                List::Size => "Type what is another size, and nothing where it is as in the bag: that stands there in grey.",
                List::Option => "Another handle, closure or fabric. Every size comes with every option.",
            } }
            @for (at, variant) in list.of(variants).iter().enumerate() {
                (one(&around, list, (at + 1, variant), base, family))
            }
            (add(&around, list))
        }
    }
}

/// The lengths of a size's row: the sizes of the body that count.
fn lengths(design: &bag::Design) -> impl Iterator<Item = &'static Param> {
    let values = &design.body.values;
    let params = bag::Design::params_of("body", design.body.kind).unwrap_or_default().iter();
    let is_size = |key: &str| matches!(values.get(key), Some(Value::Length(_)));
    params.filter(move |param| is_size(param.key) && counts(param, values))
}

/// One size or option.
fn one(
    around: &Around<'_>,
    list: List,
    (number, variant): (usize, &Variant),
    base: &bag::Design,
    family: &Family,
) -> Markup {
    let head = format!("{}[{number}]", list.word());
    let design = list.design(&family.members, &variant.name).unwrap_or(base);
    let lengths: Vec<(String, &Param)> = match list {
        List::Size => lengths(design).map(|it| (format!("body.{}", it.key), it)).collect(),
        List::Option => Vec::new(),
    };
    let others =
        variant.says.iter().filter(|(path, _)| !lengths.iter().any(|(known, _)| known == path));
    let as_in_the_bag = |path: &str, called: &str| {
        around.button(
            &format!("{head}.{path}"),
            "",
            "As in the bag",
            &format!("{}: {called} as in the bag", variant.name),
        )
    };
    html! {
        fieldset.variant {
            legend { (variant.name) }
            div.measures {
                (around.field(&format!("{head}.name"), &NAME, &Value::Text(variant.name.clone())))
                @for (path, param) in &lengths {
                    @let said = change::at(design, path).filter(|_| variant.get(path).is_some());
                    (around.field(&format!("{head}.{path}"), param, said.map_or(&Value::Absent, |said| said.1)))
                }
            }
            @for (path, value) in others {
                div.measures.other {
                    @if let Some((section, chosen)) = path.strip_suffix(".kind").and_then(|it| Some((it, chosen_kind(design, it)?))) {
                        @let called = title(base, path);
                        (kind(around, section, &format!("{head}.{section}"), &called, chosen.name()))
                        (as_in_the_bag(path, &called))
                    } @else if let Some((param, value)) = change::at(design, path) {
                        @let called = title(design, path);
                        (around.labelled(&called, &format!("{head}.{path}"), param, value))
                        (as_in_the_bag(path, &called))
                    } @else {
                        p { (path) " = " (value) }
                        (as_in_the_bag(path, path))
                    }
                }
            }
            div.row {
                (more(around, &head, variant, design))
                (around.button(&format!("{head}.remove"), "", "Take away", &format!("Take away: {}", variant.name)))
            }
        }
    }
}

/// The choice of something else that differs.
fn more(around: &Around<'_>, head: &str, variant: &Variant, design: &bag::Design) -> Markup {
    let path = format!("{head}.differs");
    let id = id_of(&path);
    let inner = html! {
        label for=(id) { "Something else that differs" }
        select id=(id) name="value" {
            @for (title, here) in differing(design) {
                @for (path, label) in here.iter().filter(|(path, _)| variant.get(path).is_none()) {
                    option value=(path) selected[path == "handles.kind"] { (capital(title)) ": " (label) }
                }
            }
        }
        button.add { "Add it" }
    };
    around.change(&path, "field waits", &inner)
}

/// One more of a list.
fn add(around: &Around<'_>, list: List) -> Markup {
    let path = format!("{}.add", list.word());
    let id = id_of(&path);
    let slip = around.slip.filter(|slip| slip.path == path);
    let inner = html! {
        label for=(id) { "One more " (list.word()) }
        input id=(id) name="value" value=(slip.map_or("", |slip| slip.typed.as_str())) maxlength="40" autocomplete="off"
            placeholder=(match list { List::Size => "small", List::Option => "webbing handles" })
            aria-describedby={ "about-" (id) } aria-invalid=[slip.map(|_| "true")];
        button.add { "Add it" }
        div.about id={ "about-" (id) } {
            @if let Some(slip) = slip { p.wrong { (capital(&plain(&slip.refused.message))) "." } } @else { p { "What it is called." } }
        }
    };
    around.change(&path, "field waits", &inner)
}

/// "Handles: kind", as a person calls a path.
fn title(design: &bag::Design, path: &str) -> String {
    let all = differing(design);
    let found = all.iter().find_map(|(title, here)| {
        let (_, label) = here.iter().find(|(known, _)| known == path)?;
        Some(format!("{}: {label}", capital(title)))
    });
    found.unwrap_or_else(|| path.to_owned())
}

/// What sizes and options say that do not go with the bag any more: each can be taken out.
fn to_take_out(drawn: &Drawn, list: List, variants: &Variants) -> Markup {
    let settled = Settled::new();
    let around = around(drawn, &settled, None);
    html! {
        @for (at, variant) in list.of(variants).iter().enumerate() {
            @let head = format!("{}[{}]", list.word(), at + 1);
            fieldset.variant {
                legend { (variant.name) }
                @for (path, value) in &variant.says {
                    div.row { p { (path) " = " (value) } (around.button(&format!("{head}.{path}"), "", "As in the bag", &format!("{}: {path} as in the bag", variant.name))) }
                }
                (around.button(&format!("{head}.remove"), "", "Take away", &format!("Take away: {}", variant.name)))
            }
        }
    }
}

/// All of it as text.
fn as_text(drawn: &Drawn, refusal: Option<Refusal<'_>>, open: bool) -> Markup {
    let text = refusal.map_or(drawn.family.trim(), |(typed, _)| typed);
    html! {
        details.fold id="as-text" open[open || refusal.is_some()] data-wrong=[refusal.map(|_| "yes")] {
            summary { span.name { "As text" } span.says { "as in a design file, with lists of pockets" } }
            div.inner {
                @if let Some((_, problems)) = refusal { p.wrong role="alert" { "Not kept:" } (told(problems)) }
                form.stack.wide method="post" action=(way(drawn.opened.id, "sizes")) {
                    (hidden("revision", drawn.opened.revision))
                    label for="family" { "Each size and option" }
                    textarea id="family" name="family" rows="10" spellcheck="false" aria-describedby="about-family" aria-invalid=[refusal.map(|_| "true")] { "\n" (text) }
                    p.help id="about-family" { "A size begins with [size.NAME], an option with [option.NAME]; below it stands what differs, as in body.width = \"10 in\" or handles.kind = \"webbing\". A list of pockets takes the place of the whole list." }
                    button.main { "Keep" }
                }
            }
        }
    }
}

/// The table for a spreadsheet.
pub(super) fn csv(room: &Room, drawn: &Drawn) -> Page {
    let family = room
        .family(&drawn.opened, Duration::MAX)
        .map_err(|_| Trouble::NotTaken("the sizes cannot be read".to_owned()))?;
    let csv = table(room, drawn, &family)?.csv();
    let name = format!("{} sizes.csv", drawn.design.title);
    Ok(Answer::download(&name, "text/csv; charset=utf-8", csv))
}

/// A field was changed, or what differs was typed as text.
pub(super) fn change(room: &Room, ask: &Ask, drawn: &Drawn) -> Page {
    let seen = ask.form.number("revision").ok_or(Trouble::Changed)?;
    if drawn.opened.revision != seen {
        return kept(room, ask, drawn, Err(Trouble::Changed), "");
    }
    match ask.form.get("family") {
        Some(typed) => text(room, ask, drawn, seen, &typed.replace("\r\n", "\n")),
        None => field(room, ask, drawn, seen),
    }
}

fn field(room: &Room, ask: &Ask, drawn: &Drawn, seen: i64) -> Page {
    let (path, typed) = (ask.form.text("path"), ask.form.text("value"));
    let variants = Variants::read(&drawn.family)
        .ok_or_else(|| Trouble::NotTaken("the sizes cannot be read as fields".to_owned()))?;
    let family = room.family(&drawn.opened, Duration::ZERO);
    let members = family.as_ref().map_or(&[][..], |family| &family.members);
    let changed = differs::apply((&drawn.design, members), &variants, path, typed).and_then(
        |(variants, what)| {
            let text = store::write_family(&drawn.design, &variants.write());
            // What did not go with the bag before may go out line by line.
            match store::read_family("this bag", &text) {
                Err(problems) if family.is_ok() => Err(refused(&problems[0])),
                _ => Ok((text, what)),
            }
        },
    );
    match changed {
        Ok((text, what)) => keep(room, ask, drawn, seen, &text, &what),
        Err(refused) => {
            let slip = Slip { path: path.to_owned(), typed: typed.to_owned(), refused };
            whole(room, ask, drawn, &Said::not_changed(&slip), None, 422)
        }
    }
}

fn text(room: &Room, ask: &Ask, drawn: &Drawn, seen: i64, typed: &str) -> Page {
    let text = store::write_family(&drawn.design, typed);
    let refusal = match store::read_family("this bag", &text) {
        // Only sizes and options may stand there, nothing that changes the bag itself.
        Ok(members)
            if members[0].design == drawn.design && store::family_of(&text) == typed.trim() =>
        {
            return keep(room, ask, drawn, seen, &text, "sizes and options");
        }
        Ok(_) => {
            let message = "something stands outside of [size.NAME] and [option.NAME]".to_owned();
            let hint = "write what differs below one of them".to_owned();
            vec![Refused { message, hint }]
        }
        Err(problems) => problems.iter().map(refused).collect(),
    };
    let said = Said { text: "Not kept.".to_owned(), refused: true, slip: None };
    whole(room, ask, drawn, &said, Some((typed, &refusal)), 422)
}

fn keep(room: &Room, ask: &Ask, drawn: &Drawn, seen: i64, text: &str, what: &str) -> Page {
    if text == drawn.opened.text {
        return kept(
            room,
            ask,
            drawn,
            Ok(Edited { id: drawn.opened.id, revision: seen }),
            "Nothing was changed.",
        );
    }
    let kept_so = room.keep.change(drawn.opened.id, seen, &drawn.design.title, text, what);
    kept(room, ask, drawn, kept_so, &format!("Kept: {what}."))
}

/// The page of the sizes after something was kept or not.
fn kept(room: &Room, ask: &Ask, drawn: &Drawn, kept: Result<Edited, Trouble>, text: &str) -> Page {
    let mut here = ask.clone();
    here.form.set("page", "sizes".to_owned());
    kept_page(room, &here, drawn.opened.id, kept, text)
}

/// Another size or option is shown.
pub(super) fn show(room: &Room, ask: &Ask, id: i64) -> Page {
    let seen = ask.form.number("revision").ok_or(Trouble::Changed)?;
    let chosen = |name: &str| Some(ask.form.text(name)).filter(|it| !it.is_empty());
    room.keep.show(id, seen, chosen("size"), chosen("option"))?;
    Ok(Answer::see(way(id, "sizes")))
}
