//! The sewing log: how long sessions took, and the pace that is learnt from them.

use maud::{Markup, html};
use packet::takes::Pace;

use super::Page;
use super::cells::{Cells, Slips};
use super::shell::{Here, hidden, shell};
use crate::ask::{Answer, Ask};
use crate::keep::{Session, SessionRow, Trouble, read_day};
use crate::room::Room;

/// The log.
pub(super) fn list(room: &Room, ask: &Ask) -> Page {
    page(room, ask.query.number("bag"), None, &Slips::new())
}

fn page(room: &Room, bag: Option<i64>, ask: Option<&Ask>, slips: &Slips) -> Page {
    let bags = room.keep.bags(false)?;
    let bag = bag.or_else(|| bags.first().map(|bag| bag.id));
    let workshop = room.keep.workshop()?;
    let reckoned = room.reckoned(&workshop, &[])?;
    let rows = room.keep.sessions()?;
    let body = html! {
        h1 { "Sewing log" }
        p.help { "How long your bags took. Your pace is learnt from it, and counts in the times, evenings and prices of every bag." }
        p { strong { (reckoned.pace_said()) } }
        @if rows.is_empty() { div.empty { p { "Nothing is logged yet. Sew with a clock beside you, and note here which steps you did and how long they took." } } }
        @else { (table(room, &rows, Pace::at(reckoned.workshop.stitches))) }
        section.aside id="log" {
            h2 { "Log a session" }
            @if bags.is_empty() { p.empty { "There is no bag yet that could have been sewn." } }
            @else {
                form.row method="get" action="/log" {
                    label for="which" { "Bag" }
                    select id="which" name="bag" { @for it in &bags { option value=(it.id) selected[bag == Some(it.id)] { (it.title) } } }
                    button { "Take this one" }
                }
                @if let Some(bag) = bag { (form(room, bag, ask, slips)?) }
            }
        }
    };
    let status = if slips.is_empty() { 200 } else { 422 };
    Ok(Answer::fault(status, shell("Sewing log", Here::Log, &body)))
}

fn table(room: &Room, rows: &[SessionRow], usual: Pace) -> Markup {
    html! {
        div.scroll role="region" tabindex="0" aria-label="All sessions" {
            table {
                thead { tr { th scope="col" { "Day" } th scope="col" { "Bag" } th scope="col" { "Steps" } th.number scope="col" { "Bags" } th.number scope="col" { "Took" } th.number scope="col" { "Usually" } th scope="col" { span.unseen { "Change" } } } }
                tbody { @for row in rows {
                    @let it = &row.session;
                    @let (word, says) = if row.is_struck { ("put-back", "Put back") } else { ("strike", "Strike out") };
                    tr.older[row.is_struck] {
                        th.day scope="row" { (it.day) }
                        td { (it.title) @if row.is_struck { " " span.says { "struck out" } } }
                        td { @match (&it.from, &it.to) {
                            (None, None) => "all",
                            (from, to) => { (from.as_deref().unwrap_or("the first")) " to " (to.as_deref().unwrap_or("the last")) }
                        } }
                        td.number { (it.bags) }
                        td.number { (paper::show_minutes(it.seconds)) }
                        td.number { @match room.told(row, usual) { Some(seconds) => (paper::show_minutes(seconds)), None => "cannot be counted" } }
                        td { form.act method="post" action={ "/log/" (row.id) "/" (word) } { button aria-label={ (says) ": " (it.title) ", " (it.day) } { (says) } } }
                    }
                } }
            }
        }
    }
}

fn form(room: &Room, bag: i64, ask: Option<&Ask>, slips: &Slips) -> Result<Markup, super::Ended> {
    let drawn = room.bag(bag)?;
    let today = room.keep.today()?;
    let Some(packet) = &drawn.packet else {
        return Ok(
            html! { p.care { "This bag cannot be made as it stands, so it has no steps." } },
        );
    };
    let cells = Cells { ask, slips };
    let steps = |name: &'static str, usual: &str| {
        let chosen = cells.typed(name, usual);
        html! {
            select id=(name) name=(name) aria-describedby={ "about-" (name) } aria-invalid=[cells.invalid(name)] {
                @for step in &packet.steps {
                    option value=(step.id) selected[chosen == step.id] { (step.number) " " (super::sewing::begins(&step.text)) }
                }
            }
        }
    };
    let (first, last) = (packet.steps.first(), packet.steps.last());
    let id_of = |step: Option<&packet::StepText>| step.map_or("", |step| &step.id).to_owned();
    Ok(html! {
        @if !slips.is_empty() { p.wrong role="alert" { "Not logged: see the marked fields." } }
        form.stack.wide method="post" action="/log" {
            (hidden("bag", bag))
            div.fields {
                (cells.cell("from", "From step", "", &steps("from", &id_of(first))))
                (cells.cell("to", "To step", "That one, too.", &steps("to", &id_of(last))))
                (cells.cell("took", "It took", "As in 5 h 20 min, or 45 min.", &html! { input id="took" name="took" value=(cells.typed("took", "")) required maxlength="40" autocomplete="off" aria-describedby="about-took" aria-invalid=[cells.invalid("took")]; }))
                (cells.cell("bags", "Bags", "So many at once.", &html! { input type="number" id="bags" name="bags" min="1" max="500" value=(cells.typed("bags", "1")) required aria-describedby="about-bags" aria-invalid=[cells.invalid("bags")]; }))
                (cells.cell("day", "Day", "", &html! { input type="date" id="day" name="day" value=(cells.typed("day", &today)) required aria-describedby="about-day" aria-invalid=[cells.invalid("day")]; }))
            }
            button.main { "Log it" }
        }
    })
}

/// Logs a session.
pub(super) fn add(room: &Room, ask: &Ask) -> Page {
    let bag = ask.form.number("bag").ok_or(Trouble::NotThere("bag"))?;
    let drawn = room.bag(bag)?;
    let packet = drawn.packet.as_ref().ok_or(Trouble::NotThere("bag with steps"))?;
    let mut slips = Slips::new();
    let mut at = |name: &'static str| {
        let found = packet.steps.iter().position(|step| step.id == ask.form.text(name));
        if found.is_none() {
            slips.insert(name, "choose a step".to_owned());
        }
        found.unwrap_or(0)
    };
    let (from, to) = (at("from"), at("to"));
    if slips.is_empty() && to < from {
        slips.insert("to", "the last step comes before the first".to_owned());
    }
    let took = store::read_time(ask.form.text("took"));
    if took.is_none() {
        slips.insert("took", "this is no time; write 5 h 20 min, or 45 min".to_owned());
    }
    let bags = ask.form.number("bags").and_then(|bags| u32::try_from(bags).ok());
    let bags = bags.filter(|bags| (1..=500).contains(bags));
    if bags.is_none() {
        slips.insert("bags", "write a whole number from 1 to 500".to_owned());
    }
    let day = ask.form.text("day");
    if read_day(day).is_none() {
        slips.insert("day", "the day is written as 2026-11-25".to_owned());
    }
    let (Some(seconds), Some(bags), true) = (took, bags, slips.is_empty()) else {
        return page(room, Some(bag), Some(ask), &slips);
    };
    let id = |at: usize, whole: bool| (!whole).then(|| packet.steps[at].id.clone());
    room.keep.log_session(&Session {
        bag,
        title: drawn.showing().title.clone(),
        text: store::write_design(drawn.showing()),
        from: id(from, from == 0),
        to: id(to, to + 1 == packet.steps.len()),
        bags,
        seconds,
        day: day.to_owned(),
    })?;
    Ok(Answer::see("/log"))
}

/// Strikes a session out, or puts it back.
pub(super) fn strike(room: &Room, id: &str, struck: bool) -> Page {
    let id = id.parse().map_err(|_| Trouble::NotThere("session"))?;
    room.keep.strike_session(id, struck)?;
    Ok(Answer::see("/log"))
}
