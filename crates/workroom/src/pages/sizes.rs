//! Sizes and options of one bag: all of them side by side, which one is shown, and what they say.

use bag::Severity;
use maud::{Markup, html};
use packet::{Built, Packet};
use store::{Problem, Refused};

use super::Page;
use super::shell::{capital, hidden, of_bag, way};
use crate::ask::{Answer, Ask};
use crate::keep::Trouble;
use crate::room::{Drawn, Room};

/// What a size says, to begin with.
const BEGIN: &str = "[size.small]\nbody.width = \"10 in\"\n";

/// The sizes with the packet of each, or why there is none.
type Members = Vec<(store::Member, Result<Packet, String>)>;

fn members(text: &str) -> Result<Members, Vec<Refused>> {
    let members = store::read_family("this bag", text)
        .map_err(|problems| problems.into_iter().map(refusal).collect::<Vec<_>>())?;
    let built = members.into_iter().map(|member| {
        let Built { packet, findings, .. } = packet::build(&member.design);
        let error = findings.into_iter().find(|finding| finding.severity == Severity::Error);
        let packet = match error {
            Some(error) => Err(error.message),
            None => packet.ok_or_else(|| "it cannot be made".to_owned()),
        };
        (member, packet)
    });
    Ok(built.collect())
}

fn table(room: &Room, drawn: &Drawn, members: &Members) -> Result<packet::Comparison, Trouble> {
    let reckoned = room.reckoned(&room.keep.workshop()?, Some(drawn))?;
    let name = |name: &Option<String>| name.clone().unwrap_or_else(|| "as it stands".to_owned());
    let bags: Vec<_> = members
        .iter()
        .map(|(member, packet)| {
            let names = vec![name(&member.size), name(&member.option)];
            (names, packet.as_ref().map_err(Clone::clone))
        })
        .collect();
    let rates = reckoned.workshop.rates.as_ref();
    Ok(paper::sizes_table(&bags, drawn.design.system(), reckoned.pace, rates))
}

/// The page.
pub(super) fn page(room: &Room, drawn: &Drawn) -> Page {
    whole(room, drawn, None)
}

fn whole(room: &Room, drawn: &Drawn, refused: Option<(&str, &[Refused])>) -> Page {
    let id = drawn.opened.id;
    let members = members(&drawn.opened.text);
    let body = html! {
        h1 { (drawn.design.title) ": sizes and options" }
        @match &members {
            Err(problems) => {
                p.wrong role="alert" { "The sizes do not go with the bag any more as it was changed:" }
                (told(problems))
            }
            Ok(members) if members.len() == 1 => div.empty { p { "This bag has one size. Say below what differs in another, and they stand here side by side: what to buy, thread, time and price of each." } },
            Ok(members) => {
                (matrix(room, drawn, members)?)
                p { a.button href={ (way(id, "sizes")) "/table.csv" } download { "Save as a table (CSV)" } }
                @if room.keep.workshop()?.text.is_empty() { p.help { "With " a href={ (way(id, "reckoning")) "#rates" } { "your rates" } ", the table says what each costs, too." } }
            }
        }
        (form(drawn, refused))
    };
    let status = if refused.is_some() { 422 } else { 200 };
    Ok(Answer::fault(status, of_bag(id, &drawn.design.title, "sizes", &body)))
}

/// What is wrong, without the line, which is one of the whole file.
fn refusal(problem: Problem) -> Refused {
    Refused { message: problem.message, hint: problem.hint }
}

fn told(problems: &[Refused]) -> Markup {
    html! { ul { @for problem in problems { li { (capital(&problem.message)) @if !problem.hint.is_empty() { "; " (problem.hint) } "." } } } }
}

fn matrix(room: &Room, drawn: &Drawn, members: &Members) -> Result<Markup, Trouble> {
    let table = table(room, drawn, members)?;
    let opened = &drawn.opened;
    Ok(html! {
        div.scroll role="region" tabindex="0" aria-label="Sizes and options side by side" {
            table {
                thead { tr { @for heading in table.headings.iter().take(2) { th scope="col" { (heading) } } th scope="col" { "Shown" } @for heading in table.headings.iter().skip(2) { th scope="col" { (heading) } } } }
                tbody { @for (row, (member, _)) in table.rows.iter().zip(members) {
                    @let shown = member.size == opened.size && member.option == opened.option;
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

fn form(drawn: &Drawn, refused: Option<(&str, &[Refused])>) -> Markup {
    let kept = drawn.family.trim();
    let text = match refused {
        Some((typed, _)) => typed,
        None if kept.is_empty() => BEGIN,
        None => kept,
    };
    html! {
        section.aside id="what-differs" {
            h2 { "What differs" }
            @if let Some((_, problems)) = refused { p.wrong role="alert" { "Not kept:" } (told(problems)) }
            form.stack.wide method="post" action=(way(drawn.opened.id, "sizes")) {
                (hidden("revision", drawn.opened.revision))
                label for="family" { "Each size and option, as in a design file" }
                textarea id="family" name="family" rows="10" spellcheck="false" aria-describedby="about-family" aria-invalid=[refused.map(|_| "true")] { (text) }
                p.help id="about-family" { "A size begins with [size.NAME], an option with [option.NAME]; below it stands what differs, as in body.width = \"10 in\" or handles.kind = \"webbing\". Every size comes with every option." }
                button.main { "Keep" }
            }
        }
    }
}

/// The table for a spreadsheet.
pub(super) fn csv(room: &Room, drawn: &Drawn) -> Page {
    let members = members(&drawn.opened.text)
        .map_err(|_| Trouble::NotTaken("the sizes cannot be read".to_owned()))?;
    let csv = table(room, drawn, &members)?.csv();
    let name = format!("{} sizes.csv", drawn.design.title);
    Ok(Answer::download(&name, "text/csv; charset=utf-8", csv))
}

/// What differs was typed.
pub(super) fn change(room: &Room, ask: &Ask, drawn: &Drawn) -> Page {
    let seen = ask.form.number("revision").ok_or(Trouble::Changed)?;
    let typed = ask.form.text("family").replace("\r\n", "\n");
    let text = store::write_family(&drawn.design, &typed);
    match store::read_family("this bag", &text) {
        // Only sizes and options may stand there, nothing that changes the bag itself.
        Ok(members)
            if members[0].design == drawn.design && store::family_of(&text) == typed.trim() =>
        {
            room.keep.change(
                drawn.opened.id,
                seen,
                &drawn.design.title,
                &text,
                "sizes and options",
            )?;
            Ok(Answer::see(way(drawn.opened.id, "sizes")))
        }
        Ok(_) => {
            let message = "something stands outside of [size.NAME] and [option.NAME]".to_owned();
            let hint = "write what differs below one of them".to_owned();
            whole(room, drawn, Some((&typed, &[Refused { message, hint }])))
        }
        Err(problems) => {
            let refused: Vec<Refused> = problems.into_iter().map(refusal).collect();
            whole(room, drawn, Some((&typed, &refused)))
        }
    }
}

/// Another size or option is shown.
pub(super) fn show(room: &Room, ask: &Ask, id: i64) -> Page {
    let seen = ask.form.number("revision").ok_or(Trouble::Changed)?;
    let chosen = |name: &str| Some(ask.form.text(name)).filter(|it| !it.is_empty());
    room.keep.show(id, seen, chosen("size"), chosen("option"))?;
    Ok(Answer::see(way(id, "sizes")))
}
