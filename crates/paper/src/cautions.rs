//! Cautions, tools and care: what a teacher says every time. Common practice, no source, unless a
//! line names one.

use bag::pattern::Chapter;
use packet::StepText;

/// A caution: the word in front of it, and what it says.
pub(crate) type Caution = (&'static str, &'static str);

/// Before the first cut.
pub(crate) const CUTTING: [Caution; 2] = [
    (
        "Mind your fingers:",
        "a rotary cutter is a bare blade. Cut away from yourself on a mat, keep the fingers of the \
         other hand off the edge of the ruler, and close the blade every time you put it down. \
         Shears do the job as well.",
    ),
    (
        "Measure before you cut:",
        "wash and press the fabric first if the bag will ever be washed, square up the cut end, \
         and check one size on your own ruler against this booklet.",
    ),
];

/// Before the first seam.
pub(crate) const SEWING: [Caution; 1] = [(
    "At the machine:",
    "put in a new needle that suits the cloth, and try stitch and tension on scraps of the same \
     layers. Take pins out before the needle reaches them. Where many layers meet, go slowly or \
     turn the hand wheel: a needle that strikes a thick seam or a pin can break, and its point can \
     fly. Glasses protect your eyes.",
)];

/// Where the iron is used first.
const PRESSING: Caution = (
    "At the iron:",
    "hot metal and steam burn. Switch it off when you leave it. Try the heat on a scrap first, and \
     follow what is printed with the interfacing; let fused pieces cool flat before you move them.",
);

/// Where handles are sewn on.
const HANDLES: Caution = (
    "Handles carry the load:",
    "do not skip a row of stitching or a backstitch here. How much the bag holds depends on cloth, \
     thread and stitches; any figure is an estimate. Try it with a weight low above the floor first.",
);

/// The cautions that belong at the head of each chapter, given its steps, in their order.
pub(crate) fn by_chapter(chapters: &[(Chapter, Vec<&StepText>)]) -> Vec<Vec<Caution>> {
    let says = |steps: &[&StepText], words: &[&str]| {
        steps.iter().any(|step| {
            let text = step.text.to_lowercase();
            words.iter().any(|word| text.contains(word))
        })
    };
    let mut ironed = false;
    chapters
        .iter()
        .map(|(chapter, steps)| {
            let mut here = Vec::new();
            if !ironed && says(steps, &["press", "fuse", "iron"]) {
                ironed = true;
                here.push(PRESSING);
            }
            if *chapter == Chapter::Handles {
                here.push(HANDLES);
            }
            here
        })
        .collect()
}

/// Tools for every bag, besides what its pattern asks for.
pub(crate) const TOOLS: [&str; 3] = [
    "sewing machine with a straight stitch",
    "machine needles, new, to suit the cloth (80/12 for quilting cotton, 90/14 to 100/16 for canvas)",
    "a blunt point to push out corners",
];

/// What may be said of care and use without knowing the cloth.
pub(crate) const CARE: [&str; 3] = [
    "Wash as the most delicate of your fabrics allows, and dry the bag in shape; interfacing may \
     set its own limit.",
    "Look at the ends of the handles now and then, and sew over stitches that have worn.",
    "No load is promised for this bag. If you sell or give it, and above all if it is for a child, \
     follow the rules where you live on strength, cords and labels.",
];
