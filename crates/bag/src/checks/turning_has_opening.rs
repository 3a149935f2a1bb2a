//! Every body that is turned has an opening to turn it through.

use measure::{Length, System};

use super::{Check, Context};
use crate::assembly::{Event, SideOut};
use crate::finding::{Finding, Place};
use crate::operations::Through;
use crate::pattern::{CopyId, Span};

/// Entry in the list.
pub(super) const CHECK: Check = Check {
    name: "turning-has-opening",
    looks_for: "a body that is turned right side out and has no opening, or too small a one",
    why: "it cannot be turned: a seam would have to be ripped open",
    run,
};

fn run(context: &Context<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (step, event) in &context.sewn.events {
        let Event::Turned { body, through, open, before } = event else { continue };
        if *before == SideOut::Flat {
            continue;
        }
        let place = Place::step(context.step_id(*step))
            .of_piece(&context.pattern.copy(*body).name);
        let usable = match through {
            Through::Opening(left_by) => left_open_by(context, left_by, open),
            Through::Rim => open.iter().map(Span::length).sum(),
            Through::End => open.iter().map(Span::length).max().unwrap_or(Length::ZERO),
        };
        if usable == Length::ZERO {
            findings.push(Finding::error(
                CHECK.name,
                place,
                format!("the {} is closed all round when it is turned", named(context, *body)),
                "leave an opening in a seam that is sewn before".to_owned(),
            ));
        } else if usable < least(context) {
            findings.push(Finding::warning(
                CHECK.name,
                place,
                format!(
                    "the {} is turned through an opening of {}, through which a few fingers hardly go",
                    named(context, *body),
                    context.show(usable)
                ),
                format!("leave at least {}", context.show(least(context))),
            ));
        }
    }
    findings
}

/// What a few fingers need: 1 1/2 in (40 mm); common practice, no source.
fn least(context: &Context<'_>) -> Length {
    match context.pattern.units.system() {
        System::Inch => Length::inch_frac(3, 2),
        System::Metric => Length::mm(40),
    }
}

/// Length of the stretches still open that the named step left, on one side of its seam.
fn left_open_by(context: &Context<'_>, left_by: &str, open: &[Span]) -> Length {
    let gaps = context.sewn.events.iter().filter_map(|(index, event)| match event {
        Event::Joined { sides, gaps, .. } if context.step_id(*index) == left_by => {
            Some((sides, gaps))
        }
        _ => None,
    });
    let mut usable = Length::ZERO;
    for (sides, gaps) in gaps {
        let on_side = |span: &&Span| {
            sides[0].spans.iter().any(|s| s.copy == span.copy && s.edge == span.edge)
        };
        let opened: Length = open.iter().filter(on_side).map(Span::length).sum();
        let left: Length = gaps.iter().map(|gap| gap.to - gap.from).sum();
        usable += opened.min(left);
    }
    usable
}

fn named(context: &Context<'_>, body: CopyId) -> String {
    let copies = context.sewn.body_copies(body);
    match copies.len() {
        0 | 1 => context.pattern.copy(body).name.clone(),
        _ => format!("body with the {}", context.pattern.copy(body).name),
    }
}
