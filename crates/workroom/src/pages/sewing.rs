//! The steps, one at a time, with their pictures.

use bag::pattern::Chapter;
use drawing::svg;
use maud::{Markup, PreEscaped, html};
use packet::{Packet, StepText};

use super::Page;
use super::shell::{not_yet, of_bag, way};
use crate::ask::{Answer, Ask};
use crate::room::{Drawn, Room};

/// The page.
pub(super) fn page(_: &Room, ask: &Ask, drawn: &Drawn) -> Page {
    let id = drawn.opened.id;
    let body = match drawn.packet.as_ref().filter(|packet| !packet.steps.is_empty()) {
        None => html! { h1 { (drawn.design.title) } (not_yet(id, "step")) },
        Some(packet) => {
            let number = ask.query.number("step").and_then(|number| usize::try_from(number).ok());
            let number = number.unwrap_or(1).clamp(1, packet.steps.len());
            steps(drawn, packet, number)
        }
    };
    Ok(Answer::page(of_bag(id, &drawn.design.title, "sewing", &body)))
}

/// Steps of one chapter.
fn chapters(packet: &Packet) -> Vec<(Chapter, Vec<&StepText>)> {
    let mut chapters: Vec<(Chapter, Vec<&StepText>)> = Vec::new();
    for step in &packet.steps {
        match chapters.last_mut() {
            Some((chapter, steps)) if *chapter == step.chapter => steps.push(step),
            _ => chapters.push((step.chapter, vec![step])),
        }
    }
    chapters
}

/// How a step begins: its first clause, for the list of all.
pub(super) fn begins(text: &str) -> &str {
    let mut ends = text.match_indices([',', '.', ':', ';']).map(|(at, _)| at);
    // A point within a number ends nothing.
    let end =
        ends.find(|at| *at > 20 && text[*at..].chars().nth(1).is_none_or(char::is_whitespace));
    end.and_then(|end| text.get(..end)).unwrap_or(text)
}

fn steps(drawn: &Drawn, packet: &Packet, number: usize) -> Markup {
    let id = drawn.opened.id;
    let step = &packet.steps[number - 1];
    let chapters = chapters(packet);
    let cautions = paper::cautions_by_chapter(&chapters);
    let here = chapters.iter().position(|(_, steps)| steps.iter().any(|s| s.number == number));
    let picture =
        drawing::steps::draw_all(&packet.pattern, packet.system).into_iter().nth(number - 1);
    let to = |number: usize| format!("{}?step={number}", way(id, "sewing"));
    let last = packet.steps.len();
    html! {
        h1 { (drawn.design.title) ": sewing" }
        div.stepping {
            @if number > 1 { a.button rel="prev" id="before" href=(to(number - 1)) { "← Before" } }
            p { "Step " strong { (number) } " of " (last) }
            @if number < last { a.button.main rel="next" id="next" href=(to(number + 1)) { "Next →" } }
        }
        article.step aria-labelledby="step-says" {
            p.chapter { (step.chapter.title()) }
            p.big id="step-says" { (step.text) }
            @if let Some(scene) = picture { div.paper { (PreEscaped(svg::element(&scene))) } }
            @if let Some(mind) = &step.mind { p.caution { strong { "Mind: " } (mind) } }
            @if let Some(check) = &step.checkpoint { p.good { strong { "Check: " } (check) } }
            @if let Some(here) = here {
                @for (head, text) in &cautions[here] { p.caution { strong { (head) } " " (text) } }
            }
        }
        nav.all-steps aria-label="All steps" {
            @for (chapter, steps) in &chapters {
                h2 { (chapter.title()) }
                ol {
                    @for step in steps {
                        li value=(step.number) { a href=(to(step.number)) aria-current=[(step.number == number).then_some("step")] { (begins(&step.text)) } }
                    }
                }
            }
        }
    }
}
