//! What a pattern promises of its small parts, of ends, of casings and of its order is checked: each
//! check finds the one slip that is made here.

use std::sync::Arc;

use measure::{Length, Outline, Units};

use super::{drafted, errors};
use crate::bodies;
use crate::checks;
use crate::closures;
use crate::design::{Chosen, Design};
use crate::operations::{Join, Operation, Place};
use crate::pattern::Pattern;

fn of(body: &str, closure: &str) -> Pattern {
    let mut design = Design::of(bodies::find(body).expect("in the list"), Units::Inch);
    let kind = closures::find(closure).expect("in the list");
    design.closure = Chosen::new(kind, design.system());
    let pattern = drafted(&design);
    assert_eq!(errors(&pattern), []);
    pattern
}

/// Changes the first operation of this kind that the change applies to.
fn change<T: Operation + Clone>(pattern: &mut Pattern, edit: impl Fn(&mut T) -> bool) {
    for step in &mut pattern.steps {
        let Some(operation) = step.as_a::<T>() else { continue };
        let mut changed = operation.clone();
        if edit(&mut changed) {
            step.operation = Arc::new(changed);
            return;
        }
    }
    panic!("nothing to change");
}

fn found_by(pattern: &Pattern, check: &str) -> Vec<String> {
    let found = checks::run(pattern).into_iter().filter(|finding| finding.check == check);
    found.map(|finding| finding.message).collect()
}

#[test]
fn a_tie_that_is_cut_shorter_is_found() {
    let mut pattern = of("boxed", "ties");
    let tie = pattern.pieces.iter_mut().find(|piece| piece.id == "tie").expect("ties");
    let (width, height) = tie.net_size();
    tie.net = Outline::rectangle(width, height - Length::mm(10));
    let found = found_by(&pattern, "parts-as-promised");
    assert!(found.iter().any(|message| message.starts_with("the tie is promised")), "{found:?}");
}

#[test]
fn webbing_is_cut_in_the_width_that_it_has() {
    let mut pattern = of("boxed", "ties");
    let tie = pattern.pieces.iter_mut().find(|piece| piece.id == "tie").expect("ties");
    let (width, height) = tie.net_size();
    tie.net = Outline::rectangle(width + Length::mm(4), height);
    let found = found_by(&pattern, "parts-as-promised");
    assert!(found.iter().any(|message| message.starts_with("the tie is cut")), "{found:?}");
}

/// A flap that is sewn on aside of its marks, and one that is sewn on with its lower layer up.
#[test]
fn an_end_lies_where_it_is_promised_and_shows_the_promised_face() {
    let first = |place: &mut Place, edit: &dyn Fn(&mut crate::operations::Foot)| {
        let foot = place.items.iter_mut().find_map(|item| match item.feet.as_mut_slice() {
            [foot] => Some(foot),
            _ => None,
        });
        foot.map(edit).is_some()
    };
    let mut aside = of("boxed", "flap");
    change(&mut aside, |place| first(place, &|foot| foot.at.x += Length::mm(5)));
    assert_eq!(found_by(&aside, "ends-as-promised").len(), 1);
    let mut over = of("boxed", "flap");
    change(&mut over, |place| first(place, &|foot| foot.face_up = foot.face_up.other()));
    assert_eq!(found_by(&over, "ends-as-promised").len(), 1);
}

#[test]
fn a_casing_without_its_cord_is_found() {
    let mut pattern = of("drawstring-bag", "open");
    pattern.steps.retain(|step| step.operation.word() != "drawstring");
    assert_eq!(found_by(&pattern, "casings-threaded").len(), 1);
}

#[test]
fn a_step_that_is_told_again_is_found() {
    let mut pattern = of("round-base", "open");
    let at = pattern.steps.iter().position(|step| step.operation.word() == "clip-edge");
    let mut again = pattern.steps[at.expect("curves are clipped")].clone();
    again.id.push_str("-again");
    pattern.steps.push(again);
    let found = found_by(&pattern, "told-once");
    assert!(found.iter().any(|message| message.starts_with("this step repeats")), "{found:?}");
}

/// The sides of a gusset sewn to the other ends of its base: its long seams would have to jump.
#[test]
fn a_seam_goes_on_only_where_panels_hang_together() {
    let mut pattern = of("gusset-in-parts", "open");
    change(&mut pattern, |join: &mut Join| {
        let [first, second] = join.seams.as_mut_slice() else { return false };
        std::mem::swap(&mut first[1], &mut second[1]);
        true
    });
    let found = found_by(&pattern, "joined-edges-match");
    assert!(found.iter().any(|message| message.contains("do not hang together")), "{found:?}");
}
