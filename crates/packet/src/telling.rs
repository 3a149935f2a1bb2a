//! The steps in words.

use bag::assembly::{Assembly, Pierced};
use bag::operations::{Telling, sentence};
use bag::pattern::{Chapter, Checkpoint};
use measure::{Length, System, show_length, show_number, show_size};

/// A step in words.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StepText {
    /// Stable word.
    pub id: String,
    /// Counted from 1.
    pub number: usize,
    /// The chapter that it belongs to.
    pub chapter: Chapter,
    /// What to do.
    pub text: String,
    /// Where people go wrong.
    pub mind: Option<String>,
    /// What can be measured or seen when it is done.
    pub checkpoint: Option<String>,
}

/// Tells every step, with the measures of its checkpoint taken from the work.
pub(crate) fn tell(work: &Assembly<'_>, system: System) -> Vec<StepText> {
    let telling = Telling { pattern: work.pattern, system };
    work.pattern
        .steps
        .iter()
        .enumerate()
        .map(|(index, step)| {
            let told = step.operation.tell(&telling);
            let measured = work.measured.get(&index).map_or(&[][..], Vec::as_slice);
            StepText {
                id: step.id.clone(),
                number: index + 1,
                chapter: step.chapter,
                text: told.text,
                mind: minded(&telling, told.mind, work.pierced(index)),
                checkpoint: step.checkpoint.as_ref().and_then(|c| checkpoint(c, measured, system)),
            }
        })
        .collect()
}

/// Where people go wrong, and what the rows go through that lies out of sight.
fn minded(telling: &Telling<'_>, mind: Option<String>, pierced: Vec<Pierced>) -> Option<String> {
    let through = |it: Pierced| {
        let [others, panel] = [&it.others, &vec![it.onto]].map(|copies| telling.names(copies));
        let side = it.side.words();
        sentence(&format!("these rows go through {others} on the {side} of {panel}, too."))
    };
    let sentences: Vec<String> = mind
        .map(|mind| sentence(&mind))
        .into_iter()
        .chain(pierced.into_iter().map(through))
        .collect();
    (!sentences.is_empty()).then(|| sentences.join(" "))
}

fn checkpoint(checkpoint: &Checkpoint, measured: &[Length], system: System) -> Option<String> {
    match (checkpoint, measured) {
        (Checkpoint::Measures { what, how, .. }, [length]) => {
            Some(sentence(&format!("{what} now measures {} {how}.", show_length(*length, system))))
        }
        (Checkpoint::Size { what, .. }, [width, height]) => Some(sentence(&format!(
            "{what} now measures {} (width × height).",
            show_size(*width, *height, system)
        ))),
        (Checkpoint::Size { what, .. }, [width, height, depth]) => Some(sentence(&format!(
            "{what} now measures {} × {} (width × height × depth).",
            show_number(*width, system),
            show_size(*height, *depth, system)
        ))),
        (Checkpoint::Look(look), _) => Some(sentence(look)),
        _ => None,
    }
}
