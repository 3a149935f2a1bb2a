//! The pages: each a plain function from what is asked to an answer.

mod cells;
mod cutting;
mod design;
mod dressed;
mod fabrics;
mod field;
mod files;
mod form;
mod found;
mod kit;
mod largest;
mod list;
mod log;
mod parts;
mod pieces;
mod prices;
mod reckoning;
mod safe;
mod seen;
mod sewing;
mod shell;
mod shopping;
mod sizes;
mod tables;
mod take;
mod templates;
mod versions;

use std::sync::Arc;

use crate::ask::{Answer, Ask, Verb};
use crate::keep::Trouble;
use crate::room::{Drawn, NotShown, Room};

pub(crate) use prices::{old_after, price_shown};
pub(crate) use shell::{fault_page, head};

/// How a page ends that cannot be shown as asked.
pub(crate) enum Ended {
    /// What is kept says no.
    Trouble(Trouble),
    /// Whatever else, as an answer.
    Answer(Box<Answer>),
}

impl From<Trouble> for Ended {
    fn from(trouble: Trouble) -> Self {
        Self::Trouble(trouble)
    }
}

impl From<NotShown> for Ended {
    fn from(not: NotShown) -> Self {
        match not {
            NotShown::Trouble(trouble) => Self::Trouble(trouble),
            NotShown::Unread(opened, problems) => {
                Self::Answer(Box::new(shell::unread_page(&opened, &problems)))
            }
        }
    }
}

/// A file of the look, for the class's pages.
pub(crate) fn look_of(file: &str) -> Answer {
    shell::look(file).unwrap_or_else(|_| Answer::fault(404, fault_page("there is no such file")))
}

/// The handout of a bag, for the class.
pub(crate) fn handout_of(room: &Room, id: i64) -> Result<Answer, Trouble> {
    let not_there = || Trouble::NotThere("handout");
    let drawn = room.bag(id).map_err(|_| not_there())?;
    let packet =
        drawn.packet.as_ref().filter(|packet| !packet.has_errors()).ok_or_else(not_there)?;
    let page = room.handout(&drawn, || take::handout(&drawn, packet))?;
    let policy = Some(take::handout_policy());
    Ok(Answer { policy, ..Answer::of("text/html; charset=utf-8", page.as_bytes().to_vec()) })
}

type Page = Result<Answer, Ended>;

/// Answers what a browser asks.
pub fn answer(room: &Room, ask: &Ask) -> Answer {
    match route(room, ask) {
        Ok(answer) => answer,
        Err(Ended::Answer(answer)) => *answer,
        Err(Ended::Trouble(trouble)) => {
            let status = match trouble {
                Trouble::NotThere(_) => 404,
                Trouble::Changed | Trouble::NothingTo(_) => 409,
                Trouble::NotTaken(_) | Trouble::Foreign | Trouble::Newer { .. } => 422,
                Trouble::Full | Trouble::ReadOnly => 507,
                Trouble::Folder(..) | Trouble::Busy | Trouble::Broken(_) => 500,
            };
            Answer::fault(status, fault_page(&trouble.to_string()))
        }
    }
}

fn route(room: &Room, ask: &Ask) -> Page {
    use Verb::{Get, Post};
    let path: Vec<&str> = ask.path.iter().map(String::as_str).collect();
    match (ask.verb, path.as_slice()) {
        (Get, []) => list::first(room),
        (Get, ["bags"]) => list::bags(room, ask),
        (Get, ["new"]) => list::new_page(),
        (Post, ["new"]) => list::make_new(room, ask),
        (Post, ["import"]) => list::import(room, ask),
        (Get, ["body", kind]) => list::body_picture(kind),
        (Get, ["kit"]) => kit::page(room, ask),
        (Get, ["kit", file]) => kit::file(room, ask, file),
        (Get, ["compare"]) => versions::compare(room, ask),
        (Get, ["fabrics"]) => fabrics::shelf(room, ask),
        (Post, ["fabrics"]) => fabrics::add(room, ask),
        (Get, ["prices"]) => prices::list(room, ask),
        (Post, ["prices"]) => prices::note(room, ask),
        (Post, ["prices", "old"]) => prices::set_old(room, ask),
        (Post, ["prices", id, "strike"]) => prices::strike(room, id, true),
        (Post, ["prices", id, "put-back"]) => prices::strike(room, id, false),
        (Get, ["log"]) => log::list(room, ask),
        (Post, ["log"]) => log::add(room, ask),
        (Post, ["log", id, "strike"]) => log::strike(room, id, true),
        (Post, ["log", id, "put-back"]) => log::strike(room, id, false),
        (Get, ["safe"]) => safe::page(room, None),
        (Get, ["safe", "backup"]) => safe::backup(room),
        (Post, ["safe", "restore"]) => safe::restore(room, ask),
        (Post, ["welcome"]) => list::welcomed(room, ask),
        (Get, ["look", file]) => shell::look(file),
        (_, ["bag", id, rest @ ..]) => {
            let id = id.parse().map_err(|_| Trouble::NotThere("bag"))?;
            bag(room, ask, id, rest)
        }
        (_, ["fabrics", id, rest @ ..]) => {
            let id = id.parse().map_err(|_| Trouble::NotThere("fabric"))?;
            match (ask.verb, rest) {
                (Get, []) => fabrics::one(room, id, None),
                (Post, []) => fabrics::change(room, ask, id),
                (Post, ["price"]) => fabrics::price(room, ask, id),
                (Post, ["remove"]) => fabrics::remove(room, id),
                (Get, ["photo"]) => fabrics::photo(room, id),
                (Post, ["photo"]) => fabrics::keep_photo(room, ask, id),
                (Post, ["photo", "remove"]) => fabrics::drop_photo(room, id),
                _ => no_page(),
            }
        }
        _ => no_page(),
    }
}

fn no_page() -> Page {
    Err(Trouble::NotThere("page").into())
}

fn bag(room: &Room, ask: &Ask, id: i64, rest: &[&str]) -> Page {
    use Verb::{Get, Post};
    match (ask.verb, rest) {
        (Post, ["change"]) => return design::change(room, ask, id),
        (Post, ["undo"]) => return design::undo(room, ask, id),
        (Post, ["redo"]) => return design::redo(room, ask, id),
        (Post, ["mend"]) => return design::mend(room, ask, id),
        (Post, ["shelf"]) => return design::from_shelf(room, ask, id),
        (Get, ["design.toml"]) => return take::toml(room, id),
        (Post, ["copy"]) => return versions::copy(room, id),
        (Post, ["put-away"]) => return versions::put_away(room, id, true),
        (Post, ["take-out"]) => return versions::put_away(room, id, false),
        (Post, ["throw-away"]) => return versions::throw_away(room, id),
        (Post, ["versions"]) => return versions::keep(room, ask, id),
        (Post, ["versions", version]) => return versions::go_back(room, ask, id, version),
        (Post, ["show"]) => return sizes::show(room, ask, id),
        (Post, ["share"]) => return versions::share(room, ask, id),
        _ => {}
    }
    let drawn: Arc<Drawn> = room.bag(id)?;
    match (ask.verb, rest) {
        (Get, []) => design::page(room, ask, &drawn),
        (Get, ["seen"]) => seen::turned(room, ask, &drawn),
        (Get, ["cover.svg"]) => seen::cover(room, &drawn),
        (Get, ["pieces"]) => pieces::page(room, ask, &drawn),
        (Get, ["cutting"]) => cutting::page(room, ask, &drawn),
        (Post, ["cutting", "improve"]) => cutting::improve(room, &drawn),
        (Post, ["cutting", "stop"]) => cutting::stop(room, &drawn),
        (Post, ["cutting", "cut"]) => cutting::cut(room, ask, &drawn),
        (Get, ["largest"]) => largest::page(room, ask, &drawn),
        (Post, ["largest"]) => largest::take(room, ask, &drawn),
        (Get, ["sewing"]) => sewing::page(room, ask, &drawn),
        (Get, ["shopping"]) => shopping::page(room, &drawn),
        (Get, ["reckoning"]) => reckoning::page(room, &drawn),
        (Post, ["reckoning"]) => reckoning::change(room, ask, &drawn),
        (Post, ["reckoning", "undo"]) => reckoning::go(room, ask, &drawn, true),
        (Post, ["reckoning", "redo"]) => reckoning::go(room, ask, &drawn, false),
        (Get, ["reckoning", "workshop.toml"]) => reckoning::file(room, &drawn),
        (Get, ["sizes"]) => sizes::page(room, ask, &drawn),
        (Post, ["sizes"]) => sizes::change(room, ask, &drawn),
        (Get, ["sizes", "table.csv"]) => sizes::csv(room, &drawn),
        (Get, ["templates"]) => templates::page(room, ask, &drawn),
        (Get, ["templates", sheet]) => templates::sheet(ask, &drawn, sheet),
        (Get, ["take"]) => take::page(room, &drawn),
        (Get, ["take", file]) => take::file(room, ask, &drawn, file),
        (Get, ["versions"]) => versions::page(room, &drawn),
        _ => no_page(),
    }
}
