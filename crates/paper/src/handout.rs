//! The handout: one HTML file for a phone or a tablet beside the machine. It holds everything that
//! it shows, asks nothing of any other place, and keeps ticks in the reader's own browser.

use bag::operations::sentence as capital;
use bag::pattern::Chapter;
use drawing::Scene;
use drawing::svg::Page;
use maud::{DOCTYPE, Markup, PreEscaped, html};
use measure::System;
use packet::{Packet, StepText};

use crate::booklet::edition;
use crate::cautions::{self, Caution};
use crate::glossary;
use crate::lists::{cut_groups, notions_and_tools};
use crate::pictures::{finished_scene, finished_views};

const STYLE: &str = include_str!("handout.css");
const SCRIPT: &str = include_str!("handout.js");

/// What the page may load: what it brings itself, and nothing else.
const POLICY: &str = "default-src 'none'; style-src 'unsafe-inline'; script-src 'unsafe-inline'; base-uri 'none'; \
     form-action 'none'";

/// The handout of a bag that is read on either ruler. `own` is the packet on its own ruler, `other`
/// the same pieces converted to the other one.
pub fn handout(own: &Packet, other: &Packet) -> String {
    let both = [own, other];
    let title = own.pattern.title.as_str();
    let name = format!("{title}, {}", edition(own));
    let mut drawn = Page::new();
    let cover = pictures(both.map(|packet| Some(finished_scene(packet))), both, &mut drawn);
    let views = views(both, &mut drawn);
    let steps = steps(both, &mut drawn);
    let looks = Page::style();
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta http-equiv="Content-Security-Policy" content=(POLICY);
                title { (title) }
                style { (PreEscaped(&looks)) (PreEscaped(STYLE)) }
            }
            body data-name=(name) data-ruler=(word(own.system)) {
                a.skip href="#steps" { "To the steps" }
                (bar(own.system))
                header {
                    h1 { (title) }
                    p { (edition(own)) }
                    @if !own.pattern.about.is_empty() { p { (own.pattern.about) } }
                    @for (packet, cover) in both.into_iter().zip(&cover) {
                        div.picture data-for=(word(packet.system)) { (cover) }
                    }
                    (views)
                }
                main {
                    (needs(both))
                    (cut_list(both))
                    (steps)
                    (words(own))
                }
                footer {
                    p { "Sizes are width × height." }
                    p { button id="again" type="button" { "Take all ticks away" } }
                }
                (PreEscaped(drawn.shared()))
                script { (PreEscaped(SCRIPT)) }
            }
        }
    };
    page.into_string()
}

/// The word for a ruler in the page.
const fn word(system: System) -> &'static str {
    match system {
        System::Inch => "inch",
        System::Metric => "metric",
    }
}

/// The same picture for both rulers. Each has a name of its own on the page, and what does not depend
/// on the ruler is drawn once.
fn pictures(scenes: [Option<Scene>; 2], both: [&Packet; 2], drawn: &mut Page) -> [Markup; 2] {
    let mut named = scenes;
    for (scene, packet) in named.iter_mut().zip(both) {
        if let Some(scene) = scene {
            scene.id = format!("{}-{}", word(packet.system), scene.id);
        }
    }
    let [own, other] = named;
    let mut element = |scene: &Option<Scene>, like: Option<&Scene>| {
        PreEscaped(scene.as_ref().map_or_else(String::new, |it| drawn.element(it, like)))
    };
    [element(&own, None), element(&other, own.as_ref())]
}

/// Further sides of the finished bag: from behind, open, inside, carried.
fn views(both: [&Packet; 2], drawn: &mut Page) -> Markup {
    let [own, other] = both.map(finished_views);
    let mut figures = Vec::new();
    for ((words, scene), (other_words, other_scene)) in own.into_iter().zip(other) {
        let drawn = pictures([Some(scene), Some(other_scene)], both, drawn);
        figures.push(([words, other_words], drawn));
    }
    html! {
        div.views {
            @for (words, drawn) in &figures {
                @for ((packet, words), drawn) in both.iter().zip(words).zip(drawn) {
                    figure.picture data-for=(word(packet.system)) {
                        (drawn)
                        figcaption { (capital(words)) }
                    }
                }
            }
        }
    }
}

/// What stays in sight: progress, the ruler, the way on.
fn bar(own: System) -> Markup {
    html! {
        div.bar role="region" aria-label="Progress and ruler" {
            div {
                span id="progress" role="status" { "" }
                button id="next" type="button" { "Next step" }
                fieldset.choice {
                    legend { "Ruler" }
                    @for (system, name) in [(System::Inch, "inch"), (System::Metric, "mm")] {
                        label {
                            input type="radio" name="ruler" value=(word(system))
                                checked[system == own];
                            (name)
                        }
                    }
                }
            }
        }
    }
}

fn needs(both: [&Packet; 2]) -> Markup {
    html! {
        h2 { "What you need" }
        ul { @for item in notions_and_tools(both[0]) { li { (capital(&item)) } } }
    }
}

fn cut_list(both: [&Packet; 2]) -> Markup {
    html! {
        h2 { "What is cut" }
        @for caution in cautions::cutting(both[0]) { (caution_note(&caution)) }
        @for packet in both {
            div data-for=(word(packet.system)) {
                @for group in cut_groups(packet) {
                    div.scroll role="region" tabindex="0" aria-label=(format!("cut from {}", group.material)) {
                        table {
                            caption { strong { (capital(&group.material)) } }
                            thead { tr {
                                th scope="col" { "Piece" }
                                th scope="col" { "Cut" }
                                th scope="col" { "Size" }
                            } }
                            tbody {
                                @for row in &group.rows {
                                    tr {
                                        th scope="row" { (capital(&row.name)) }
                                        td { (row.count) }
                                        td { (row.size) }
                                    }
                                }
                            }
                        }
                    }
                }
            }
        }
    }
}

fn caution_note((head, text): &Caution) -> Markup {
    html! { p.note { strong { (head) } " " (text) } }
}

/// Steps of one chapter, as indices.
fn chapters(packet: &Packet) -> Vec<(Chapter, Vec<usize>)> {
    let mut chapters: Vec<(Chapter, Vec<usize>)> = Vec::new();
    for (index, step) in packet.steps.iter().enumerate() {
        match chapters.last_mut() {
            Some((chapter, steps)) if *chapter == step.chapter => steps.push(index),
            _ => chapters.push((step.chapter, vec![index])),
        }
    }
    chapters
}

fn steps(both: [&Packet; 2], drawn: &mut Page) -> Markup {
    let own = both[0];
    let chapters = chapters(own);
    let of: Vec<(Chapter, Vec<&StepText>)> = chapters
        .iter()
        .map(|(chapter, steps)| (*chapter, steps.iter().map(|at| &own.steps[*at]).collect()))
        .collect();
    let cautions = cautions::by_chapter(&of);
    let scenes = both.map(|packet| drawing::steps::draw_all(&packet.pattern, packet.system));
    let shown: Vec<[Markup; 2]> = (0..own.steps.len())
        .map(|at| pictures(scenes.each_ref().map(|all| all.get(at).cloned()), both, drawn))
        .collect();
    html! {
        div id="steps" tabindex="-1" {
            @for ((chapter, steps), cautions) in chapters.iter().zip(&cautions) {
                h2 { (chapter.title()) }
                @for caution in cautions { (caution_note(caution)) }
                ol.steps {
                    @for at in steps { (step(both, *at, &shown[*at])) }
                }
            }
        }
    }
}

fn step(both: [&Packet; 2], at: usize, pictures: &[Markup; 2]) -> Markup {
    let own = &both[0].steps[at];
    let id = format!("step-{}", own.id);
    html! {
        li {
            div.step {
                input type="checkbox" id=(id) value=(own.id);
                label for=(id) {
                    span.number { (own.number) ". " }
                    @for packet in both {
                        @if let Some(step) = packet.steps.get(at) {
                            span data-for=(word(packet.system)) { (step.text) }
                        }
                    }
                }
            }
            @for (packet, picture) in both.into_iter().zip(pictures) {
                @if let Some(step) = packet.steps.get(at) {
                    div data-for=(word(packet.system)) {
                        div.picture { (picture) }
                        @if let Some(mind) = &step.mind {
                            p.note { strong { "Mind:" } " " (mind) }
                        }
                        @if let Some(check) = &step.checkpoint {
                            p.note { strong { "Check:" } " " (check) }
                        }
                    }
                }
            }
        }
    }
}

/// The words that the steps use.
fn words(packet: &Packet) -> Markup {
    let mut said = String::new();
    for step in &packet.steps {
        for text in [Some(&step.text), step.mind.as_ref(), step.checkpoint.as_ref()] {
            said.push_str(text.map_or("", String::as_str));
            said.push('\n');
        }
    }
    html! {
        h2 { "Words used" }
        dl {
            @for (term, meaning) in glossary::used_in(&said) {
                dt { (term) }
                dd { (capital(meaning)) "." }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use bag::Design;
    use measure::Units;
    use packet::Reading;

    use super::*;

    fn page() -> (Packet, String) {
        let mut design = Design::of(bag::bodies::ALL[0], Units::Inch);
        design.title = "Bag <for> \"tests\" & more".to_owned();
        let own = packet::build(&design).packet.expect("it can be built");
        let other = packet::build_for(&design, System::Metric, Reading::Converted);
        let page = handout(&own, &other.packet.expect("it can be built"));
        (own, page)
    }

    #[test]
    fn every_step_is_there_once_with_a_box_to_tick_and_both_rulers() {
        let (packet, page) = page();
        for step in &packet.steps {
            let tick = format!("id=\"step-{0}\" value=\"{0}\"", step.id);
            assert_eq!(page.matches(&tick).count(), 1, "{tick}");
        }
        assert!(page.contains("4 in") && page.contains("102 mm"));
    }

    /// Nothing is asked of another place: no address but the names of SVG's and XML's own forms.
    #[test]
    fn it_asks_nothing_of_any_other_place() {
        let (_, page) = page();
        let foreign: Vec<&str> = page
            .match_indices("http")
            .map(|(at, _)| &page[at..(at + 30).min(page.len())])
            .filter(|text| {
                !text.starts_with("http://www.w3.org/") && !text.starts_with("http-equiv")
            })
            .collect();
        assert!(foreign.is_empty(), "{foreign:?}");
        assert!(!page.contains("@import"));
        let elsewhere = |(at, _): &(usize, &str)| !page[*at..].starts_with("url(#");
        assert_eq!(page.match_indices("url(").filter(elsewhere).count(), 0);
    }

    /// What a picture refers to is on the page.
    #[test]
    fn every_reference_leads_somewhere() {
        let (_, page) = page();
        for mark in ["url(#", "href=\"#"] {
            for (at, _) in page.match_indices(mark) {
                let rest = &page[at + mark.len()..];
                let id = rest.split([')', '"']).next().unwrap();
                assert!(page.contains(&format!("id=\"{id}\"")), "{id}");
            }
        }
    }

    #[test]
    fn what_a_design_says_is_text_and_never_a_command() {
        let (_, page) = page();
        assert!(page.contains("Bag &lt;for&gt; &quot;tests&quot; &amp; more"));
        assert!(!page.contains("<for>"));
    }

    /// Names within a page are unique, as HTML asks.
    #[test]
    fn every_id_is_there_once() {
        let (_, page) = page();
        let mut ids: Vec<&str> = page
            .split(" id=\"")
            .skip(1)
            .filter_map(|rest| rest.split_once('"').map(|(id, _)| id))
            .collect();
        let count = ids.len();
        ids.sort_unstable();
        ids.dedup();
        assert_eq!(ids.len(), count);
    }
}
