//! What a bag takes and what it earns: time, evenings, thread, mass, price; and the form that says
//! what it is reckoned with.

use maud::{Markup, html};
use packet::Packet;
use packet::earns::{Earns, earns};
use packet::kit::Kit;
use packet::takes::{CLEARING, Takes, spools};
use store::{FormSlip, Typed, Workshop, WorkshopForm};

use super::Page;
use super::field::{page_help, plain};
use super::shell::{capital, hidden, not_yet, of_bag, way};
use super::tables::amounts;
use crate::ask::{Answer, Ask};
use crate::keep::{Trouble, WorkshopRow};
use crate::reckoned::Reckoned;
use crate::room::{Drawn, Room};

/// The names of the fields: key, label, and the unit behind it.
const FIELDS: [(&str, &str, &str); 15] = [
    ("hour", "An hour of work", ""),
    ("overhead", "Overhead", "%"),
    ("each", "Label and packing, each bag", ""),
    ("margin", "Margin", "%"),
    ("retail", "Retail, times wholesale", "×"),
    ("fee", "Fee of shop or market", "%"),
    ("fee-each", "Fee for each sale", ""),
    ("tax", "Tax", "%"),
    ("batch", "Costs of the whole batch", ""),
    ("asks", "The price you ask", ""),
    ("pace", "Your pace", "%"),
    ("stitches", "Speed of your machine", "stitches a minute"),
    ("evening", "An evening of the class", "min"),
    ("clearing", "Setting up and clearing", "min"),
    ("bags", "Bags made at once", ""),
];

/// The most scenarios of the form.
const MOST: usize = 12;

/// What was typed and not taken.
struct Refusal {
    form: WorkshopForm,
    slips: Vec<FormSlip>,
}

/// The page.
pub(super) fn page(room: &Room, drawn: &Drawn) -> Page {
    whole(room, drawn, None, None, 200)
}

/// The form was sent.
pub(super) fn change(room: &Room, ask: &Ask, drawn: &Drawn) -> Page {
    let seen = ask.form.number("revision").ok_or(Trouble::Changed)?;
    let form = typed(ask);
    if let Err(slips) = form.read() {
        return whole(room, drawn, Some(&Refusal { form, slips }), None, 422);
    }
    kept(room, drawn, room.keep.change_workshop(seen, &form.text()))
}

/// Takes the last change of the form back, or makes it again.
pub(super) fn go(room: &Room, ask: &Ask, drawn: &Drawn, back: bool) -> Page {
    let seen = ask.form.number("revision").ok_or(Trouble::Changed)?;
    let went = if back { room.keep.undo_workshop(seen) } else { room.keep.redo_workshop(seen) };
    kept(room, drawn, went)
}

fn kept(room: &Room, drawn: &Drawn, kept: Result<(), Trouble>) -> Page {
    match kept {
        Ok(()) => Ok(Answer::see(format!("{}#rates", way(drawn.opened.id, "reckoning")))),
        Err(trouble @ (Trouble::Changed | Trouble::NothingTo(_))) => {
            let said =
                format!("{}. The page now shows what stands.", capital(&trouble.to_string()));
            whole(room, drawn, None, Some(&said), 409)
        }
        Err(other) => Err(other.into()),
    }
}

/// What the fields of the form say.
fn typed(ask: &Ask) -> WorkshopForm {
    let of = |start: &str| -> Typed {
        let value = |key: &str| ask.form.text(&format!("{start}{key}")).trim().to_owned();
        let values = FIELDS.iter().map(|(key, ..)| ((*key).to_owned(), value(key)));
        values.filter(|(_, value)| !value.is_empty()).collect()
    };
    let scenarios = (0..=MOST).filter_map(|at| {
        let name = ask.form.get(&format!("scenario-{at}-name"))?.trim();
        let leave_out = ask.form.text(&format!("scenario-{at}-without")) == "yes";
        (!name.is_empty() && !leave_out).then(|| (name.to_owned(), of(&format!("scenario-{at}-"))))
    });
    WorkshopForm { top: of(""), scenarios: scenarios.collect() }
}

fn whole(
    room: &Room,
    drawn: &Drawn,
    refusal: Option<&Refusal>,
    said: Option<&str>,
    status: u16,
) -> Page {
    let row = room.keep.workshop()?;
    let reckoned = room.reckoned(&row, &drawn.packets())?;
    let ready = room.best(drawn).filter(|packet| !packet.has_errors());
    let body = html! {
        h1 { (drawn.design.title) ": time and price" }
        @if let Some(said) = said { p.wrong role="alert" { (said) } }
        @if refusal.is_some() { p.wrong role="alert" { "Not kept: " a href="#rates" { "see the marked fields" } ". Nothing was changed." } }
        @match &ready {
            None => { (not_yet(drawn.opened.id, "time and no price")) }
            Some(packet) => { (told(drawn, packet, &reckoned)) }
        }
        (form(drawn, &row, refusal))
    };
    Ok(Answer::fault(status, of_bag(drawn.opened.id, &drawn.design.title, "reckoning", &body)))
}

fn told(drawn: &Drawn, packet: &Packet, reckoned: &Reckoned) -> Markup {
    let takes = Takes::of(packet, reckoned.pace);
    html! {
        div.reckoning {
            div { (time(drawn, packet, &takes, reckoned)) (evenings(drawn, packet, &takes, &reckoned.workshop)) }
            div { (price(packet, reckoned)) (thread(packet, &takes)) (finished(packet, &takes)) }
        }
    }
}

fn time(drawn: &Drawn, packet: &Packet, takes: &Takes, reckoned: &Reckoned) -> Markup {
    let id = drawn.opened.id;
    let spent = takes.spent();
    html! {
        section aria-labelledby="time" {
            h2 id="time" { "Time for one bag" }
            table {
                thead { tr { th scope="col" { "Work" } th.number scope="col" { "Time" } } }
                tbody { @for (what, seconds) in paper::kinds_of_work(spent) {
                    tr { th scope="row" { (capital(what)) } td.number { (paper::show_minutes(seconds)) } }
                } }
                tfoot { tr { th scope="row" { "All together, about" } td.number { (paper::show_time(spent.seconds())) } } }
            }
            p.says { "An estimate. " (reckoned.pace_said()) }
            details {
                summary { "Step by step" }
                table {
                    thead { tr { th scope="col" { "Step" } th.number scope="col" { "Time" } th scope="col" { "Afterwards" } } }
                    tbody { @for ((step, spent), rests) in packet.steps.iter().zip(&takes.steps).zip(&takes.rests) {
                        tr {
                            th scope="row" { a href={ (way(id, "sewing")) "?step=" (step.number) } { (step.number) } " " (super::sewing::begins(&step.text)) }
                            td.number { (paper::show_minutes(spent.seconds())) }
                            td { @if *rests { "can be laid down" } @else { "go on" } }
                        }
                    } }
                }
            }
        }
    }
}

fn evenings(drawn: &Drawn, packet: &Packet, takes: &Takes, workshop: &Workshop) -> Markup {
    let Some(minutes) = workshop.evening else {
        return html! {
            section aria-labelledby="evenings" {
                h2 id="evenings" { "Evenings of the class" }
                p.help { "Say " a href="#evening" { "how long an evening is" } ", and the steps are spread over as few as can be; each ends where the work can be laid down." }
            }
        };
    };
    let clearing = workshop.clearing.unwrap_or(CLEARING);
    let room = u64::from(minutes.saturating_sub(clearing)) * 60;
    let plan = takes.evenings(room);
    html! {
        section aria-labelledby="evenings" {
            h2 id="evenings" { "Evenings of the class" }
            table {
                caption { "Of " (minutes) " min, " (clearing) " of them for setting up and clearing away" }
                thead { tr { th scope="col" { "Evening" } th scope="col" { "Steps" } th scope="col" { "Ends after" } th.number scope="col" { "Time" } } }
                tbody { @for (number, evening) in plan.iter().enumerate() {
                    @let last = packet.steps.get(evening.to - 1);
                    tr {
                        th scope="row" { (number + 1) }
                        td { a href={ (way(drawn.opened.id, "sewing")) "?step=" (evening.from + 1) } { (capital(&paper::steps_of(evening))) } }
                        td {
                            @if let Some(last) = last { (super::sewing::begins(&last.text)) }
                            @if let Some(why) = paper::too_long(evening) { p.care { (capital(why)) "." } }
                        }
                        td.number { (paper::show_time(evening.seconds)) }
                    }
                } }
            }
        }
    }
}

fn thread(packet: &Packet, takes: &Takes) -> Markup {
    let system = packet.system;
    html! {
        section aria-labelledby="thread" {
            h2 id="thread" { "Thread and notions" }
            table {
                thead { tr { th scope="col" { "Thread to match" } th.number scope="col" { "Length" } th scope="col" { "To buy" } } }
                tbody { @for need in &takes.threads {
                    tr {
                        th scope="row" { (capital(&packet.pattern.material(need.matches).name)) }
                        td.number { (paper::show_thread(need.length, system)) }
                        td { (paper::show_spools(spools(need.length, system), system)) }
                    }
                } }
            }
            p.says { (capital(paper::thread_note(takes))) "." }
            @if !packet.pattern.notions.is_empty() {
                ul.plain { @for notion in &packet.pattern.notions { li { (capital(&notion.describe(system))) } } }
            }
        }
    }
}

fn finished(packet: &Packet, takes: &Takes) -> Markup {
    html! {
        section aria-labelledby="finished" {
            h2 id="finished" { "The finished bag" }
            table { tbody { @for row in paper::finished_bag(packet, takes) {
                @if let [what, says] = &row[..] { tr { th scope="row" { (capital(what)) } td { (plain(says)) } } }
            } } }
        }
    }
}

fn price(packet: &Packet, reckoned: &Reckoned) -> Markup {
    let Some(rates) = &reckoned.workshop.rates else {
        return html! {
            section aria-labelledby="price" {
                h2 id="price" { "Price" }
                p.help { "Say below " a href="#hour" { "what an hour of your work is paid" } ", and you see what the bag costs to make, what to sell it for, and how many earn back a stall." }
            }
        };
    };
    let bags = reckoned.workshop.bags.unwrap_or(1);
    let kit = Kit::of(vec![(packet.clone(), bags)], 0, 0);
    let first = (String::new(), earns(&kit, rates, reckoned.pace));
    let others = reckoned.workshop.scenarios.iter();
    let others = others.map(|(name, rates)| (name.clone(), earns(&kit, rates, reckoned.pace)));
    let all: Vec<(String, Earns)> = std::iter::once(first).chain(others).collect();
    let table = paper::earns_table(&all);
    html! {
        section aria-labelledby="price" {
            h2 id="price" { "Price" }
            @for (name, earns) in all.iter().filter(|(_, earns)| earns.one.is_below_cost()) {
                p.wrong role="alert" { strong { "Below cost" @if !name.is_empty() { ", " (name) } ": " } (paper::loses(&earns.one)) "." }
            }
            (amounts(("Price of one bag", &format!("For one bag, made {bags} at once")), &table.headings, &table.rows))
            (super::shopping::materials(reckoned, &all[0].1))
            p.says { "Taxes and fees are what you typed: nothing here knows the rules where you live." }
        }
    }
}

fn form(drawn: &Drawn, row: &WorkshopRow, refusal: Option<&Refusal>) -> Markup {
    let stands;
    let (form, slips) = match refusal {
        Some(refusal) => (&refusal.form, &refusal.slips[..]),
        None => {
            stands = WorkshopForm::of(&row.text);
            (&stands, &[][..])
        }
    };
    let to = way(drawn.opened.id, "reckoning");
    let go = |word: &str, says: &str, can: bool| {
        html! {
            form.act method="post" action={ (to) "/" (word) } {
                (hidden("revision", row.revision))
                button disabled[!can] { (says) }
            }
        }
    };
    let (rates, numbers) = FIELDS.split_at(10);
    html! {
        section.aside.rates id="rates" aria-labelledby="rates-head" {
            h2 id="rates-head" { "What it is reckoned with" }
            p.help { "The same for all your bags. Amounts are written with their currency, as in 18.00 EUR; all in one." }
            div.row { (go("undo", "Undo", row.can_undo)) (go("redo", "Redo", row.can_redo)) a.button href={ (to) "/workshop.toml" } download { "Save as a workshop file" } }
            form.stack method="post" action=(to) {
                (hidden("revision", row.revision))
                fieldset { legend { "Your rates" } div.fields { @for field in rates { (input(None, field, &form.top, slips)) } } }
                fieldset { legend { "Time" } div.fields { @for field in numbers { (input(None, field, &form.top, slips)) } } }
                @for (at, (name, differs)) in form.scenarios.iter().enumerate() {
                    details.fold open[slips.iter().any(|slip| slip.scenario == Some(at))] {
                        summary { "Scenario: " (name) }
                        div.inner { (scenario(at, name, differs, slips)) }
                    }
                }
                @if form.scenarios.len() < MOST {
                    details.fold {
                        summary { "Another scenario, side by side" }
                        div.inner { (scenario(form.scenarios.len(), "", &Typed::new(), slips)) }
                    }
                }
                button.main { "Reckon" }
            }
        }
    }
}

fn scenario(at: usize, name: &str, differs: &Typed, slips: &[FormSlip]) -> Markup {
    let id = format!("scenario-{at}-name");
    let slip = slips.iter().find(|slip| slip.scenario == Some(at) && slip.key.is_empty());
    html! {
        fieldset {
            legend { @if name.is_empty() { "A scenario" } @else { (name) } }
            div.cell {
                label for=(id) { "Its name" }
                input id=(id) name=(id) value=(name) maxlength="60" autocomplete="off" aria-describedby={ "about-" (id) } aria-invalid=[slip.map(|_| "true")];
            }
            p.help id={ "about-" (id) } { "Fill in what differs; the rest stays as above." @if let Some(slip) = slip { " " span.wrong { (said(slip)) } } }
            div.fields { @for field in &FIELDS[..10] { (input(Some(at), field, differs, slips)) } }
            @if !name.is_empty() {
                p { label { input type="checkbox" name={ "scenario-" (at) "-without" } value="yes"; " Leave this scenario out" } }
            }
        }
    }
}

fn said(slip: &FormSlip) -> String {
    format!("{}; {}.", capital(&plain(&slip.refused.message)), plain(&slip.refused.hint))
}

fn input(
    scenario: Option<usize>,
    (key, label, unit): &(&str, &str, &str),
    typed: &Typed,
    slips: &[FormSlip],
) -> Markup {
    let id = match scenario {
        Some(at) => format!("scenario-{at}-{key}"),
        None => (*key).to_owned(),
    };
    let slip = slips.iter().find(|slip| slip.scenario == scenario && slip.key == *key);
    let help = store::workshop_rates()
        .iter()
        .chain(store::workshop_numbers())
        .find(|(known, _)| known == key)
        .map_or("", |(_, help)| help);
    let about = format!("about-{id}");
    let value = typed.get(*key).map_or("", String::as_str);
    html! {
        div.cell {
            label for=(id) { (label) }
            span.measure {
                input id=(id) name=(id) value=(value) maxlength="60" autocomplete="off" spellcheck="false"
                    aria-describedby=(about) aria-invalid=[slip.map(|_| "true")];
                @if !unit.is_empty() { span.unit aria-hidden="true" { (unit) } }
            }
            p.help id=(about) {
                @if scenario.is_none() { (page_help(help)) }
                @if let Some(slip) = slip { " " span.wrong { (said(slip)) } }
            }
        }
    }
}

/// What she reckons with as a workshop file for the command line.
pub(super) fn file(room: &Room, drawn: &Drawn) -> Page {
    let row = room.keep.workshop()?;
    let reckoned = room.reckoned(&row, &drawn.packets())?;
    let text = reckoned.file(&row.text);
    Ok(Answer::download("workshop.toml", "application/toml", text))
}
