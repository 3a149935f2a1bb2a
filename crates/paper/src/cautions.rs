//! Cautions, tools and care: what a teacher says every time. Of cutter, pins and iron they are those
//! of a 4-H safety guide for young sewers ("Duds to Dazzle"); the rest is common practice, no source,
//! unless a line names one.

use bag::pattern::notion;
use bag::pattern::{Chapter, PieceId};
use packet::{Packet, StepText};

/// A caution: the word in front of it, and what it says.
pub type Caution = (&'static str, &'static str);

/// Before the first cut, where a rotary cutter may be used.
const FINGERS: Caution = (
    "Mind your fingers:",
    "a rotary cutter is a bare blade. Cut away from yourself on a mat, keep the fingers of the \
     other hand off the edge of the ruler, leave no pins on the mat, and close the blade every \
     time you put it down. Wrap a used blade before you throw it away. Shears do the job as well.",
);

/// The same, where a step speaks of the cutter itself.
const PINS_AND_BLADES: Caution = (
    "Pins and blades:",
    "leave no pins on the cutting mat, and wrap a used blade before you throw it away.",
);

/// Before the first cut.
const MEASURE: Caution = (
    "Measure before you cut:",
    "square up the cut end, and check one size of the cut list on your own ruler.",
);

/// Before the first cut: what no step says itself.
pub fn cutting(packet: &Packet) -> Vec<Caution> {
    let said = packet.steps.iter().any(|step| says(step, &["rotary cutter"]));
    if said { vec![PINS_AND_BLADES, MEASURE] } else { vec![FINGERS, MEASURE] }
}

/// Whether a step, or what it bids to mind, has one of these words (lower case).
fn says(step: &StepText, words: &[&str]) -> bool {
    let mind = step.mind.as_deref().unwrap_or_default();
    let text = format!("{} {mind}", step.text).to_lowercase();
    words.iter().any(|word| text.contains(word))
}

/// Before the first seam.
pub(crate) const SEWING: [Caution; 1] = [(
    "At the machine:",
    "put in a new needle that suits the cloth, and try stitch and tension on scraps of the same \
     layers. Keep pins in a cushion, never between your lips, and take them out before the needle \
     reaches them. Where many layers meet, go slowly or \
     turn the hand wheel: a needle that strikes a thick seam or a pin can break, and its point can \
     fly. Glasses protect your eyes.",
)];

/// Where the iron is used first.
const PRESSING: Caution = (
    "At the iron:",
    "hot metal and steam burn. Stand it on its heel on something firm, its cord where nobody catches \
     it, and unplug it when you leave it.",
);

/// The same, where no step speaks of trying the heat.
const PRESSING_AND_TRYING: Caution = (
    "At the iron:",
    "hot metal and steam burn. Try the heat on a scrap first. Stand it on its heel on something firm, \
     its cord where nobody catches it, and unplug it when you leave it.",
);

/// Where handles are sewn on.
const HANDLES: Caution = (
    "Handles carry the load:",
    "do not skip a row of stitching or a backstitch here. How much the bag holds depends on cloth, \
     thread and stitches; any figure is an estimate. Try it with a weight low above the floor first.",
);

/// Steps by their chapters, in their order.
pub(crate) fn chapters(packet: &Packet) -> Vec<(Chapter, Vec<&StepText>)> {
    let chunks = packet.steps.chunk_by(|one, next| one.chapter == next.chapter);
    chunks.map(|steps| (steps[0].chapter, steps.iter().collect())).collect()
}

/// The cautions that belong at the head of each chapter, given its steps, in their order.
pub fn by_chapter(chapters: &[(Chapter, Vec<&StepText>)]) -> Vec<Vec<Caution>> {
    let any = |steps: &[&StepText], words: &[&str]| steps.iter().any(|step| says(step, words));
    let tried =
        chapters.iter().any(|(_, steps)| any(steps, &["try it on a scrap", "try the heat"]));
    let mut ironed = false;
    chapters
        .iter()
        .map(|(chapter, steps)| {
            let mut here = Vec::new();
            if !ironed && any(steps, &["press", "fuse", "iron"]) {
                ironed = true;
                here.push(if tried { PRESSING } else { PRESSING_AND_TRYING });
            }
            if *chapter == Chapter::Handles {
                here.push(HANDLES);
            }
            here
        })
        .collect()
}

/// Tools for every bag: the words by which a notion of the pattern names the same, and the tool.
const TOOLS: [(&[&str], &str); 6] = [
    (&["pins", "clips"], "pins or clips"),
    (&["marker", "chalk"], "fabric marker"),
    (&["ruler", "tape measure"], "ruler"),
    (&["shears", "scissors", "rotary"], "shears, or rotary cutter and mat"),
    (&["iron"], "iron"),
    (&["sewing machine"], "sewing machine with a straight stitch"),
];

/// The tools that the steps need and no notion of the pattern names.
pub(crate) fn tools(packet: &Packet) -> Vec<String> {
    let named = |words: &[&str]| {
        // Word by word: an iron is not in "interfacing", nor a pin in "spindle". A tool among the
        // notions has no kind, and is its note.
        let notions = packet.pattern.notions.iter().filter(|it| it.kind == &notion::OTHER);
        notions.map(|it| &it.note).chain(&packet.pattern.tools).any(|notion| {
            let notion = notion.to_lowercase();
            words.iter().any(|word| {
                notion.split([' ', ',']).any(|part| part == *word) || notion.starts_with(word)
            })
        })
    };
    let mut tools: Vec<String> =
        TOOLS.iter().filter(|(words, _)| !named(words)).map(|(_, tool)| (*tool).into()).collect();
    if !named(&["needle"]) {
        tools.push(packet::takes::needles(&packet.pattern));
    }
    if packet.steps.iter().any(|step| says(step, &["push the corner", "push out", "blunt point"])) {
        tools.push("a blunt point to push out corners".to_owned());
    }
    tools
}

/// What may be said of care and use without knowing the cloth: what this bag has.
pub(crate) fn care(packet: &Packet) -> Vec<&'static str> {
    let pattern = &packet.pattern;
    let used = |id: &PieceId| pattern.count(*id) > 0;
    let stiff = pattern.piece_ids().filter(used).any(|id| pattern.piece(id).interfacing.is_some());
    let mut care = vec![if stiff {
        "Wash as the most delicate of your fabrics allows, and dry the bag in shape; interfacing \
         may set its own limit."
    } else {
        "Wash as the most delicate of your fabrics allows, and dry the bag in shape."
    }];
    if !pattern.claims.handles.is_empty() {
        care.push(
            "Look at the ends of the handles now and then, and sew over stitches that have worn.",
        );
    }
    care.push(
        "No load is promised for this bag. If you sell or give it, and above all if it is for a \
         child, follow the rules where you live on strength, cords and labels.",
    );
    care
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A 4-H safety guide for young sewers ("Duds to Dazzle"): the blade closed whenever it does not
    /// cut, away from the body, on a mat, fingers off the edge of the ruler, no pins on the mat, used
    /// blades wrapped; the iron on its heel on a stable surface, its cord out of reach, unplugged;
    /// no pins in the mouth. Each is said where the tool is used.
    #[test]
    fn what_the_tools_ask_is_said_where_they_are_used() {
        let body = bag::bodies::find("boxed").expect("in the list");
        let design = bag::Design::of(body, measure::Units::Inch);
        let packet = packet::build(&design).packet.expect("it can be made");
        let sewing = by_chapter(&chapters(&packet)).into_iter().flatten();
        let all: Vec<Caution> = cutting(&packet).into_iter().chain(SEWING).chain(sewing).collect();
        let told = |words: &[&str]| {
            let in_caution = |word: &str| all.iter().any(|(_, text)| text.contains(word));
            let in_step = |word: &str| packet.steps.iter().any(|step| says(step, &[word]));
            words.iter().all(|word| in_caution(word) || in_step(word))
        };
        for words in [
            ["close the", "away from yourself", "ruler's edge", "no pins on the", "a used blade"],
            ["never between your lips", "on its heel", "something firm", "its cord", "unplug it"],
        ] {
            assert!(told(&words), "{words:?}: {all:?}");
        }
        // A pattern whose steps do not speak of the cutter is told all of it before the first cut.
        let mut silent = packet.clone();
        silent.steps.retain(|step| !says(step, &["rotary cutter"]));
        assert_eq!(cutting(&silent), [FINGERS, MEASURE]);
        let fingers =
            ["close the", "away from yourself", "edge of the ruler", "no pins on the mat"];
        assert!(fingers.iter().all(|word| FINGERS.1.contains(word)));
        assert!(all.contains(&HANDLES));
    }
}
