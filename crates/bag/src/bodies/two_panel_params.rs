//! Parameters that every bag of two panels has.

use measure::Length;

use crate::kinds::{Param, Quantity, choice, length, optional};

/// How the size is given.
pub(super) const SIZE: Param = choice(
    "size",
    "size given as",
    "What width and height mean.",
    &[
        ("finished", "the finished bag: width at the base, height up the front"),
        ("cut", "a panel as it is cut, seam allowances included"),
        ("fits", "worked out from what must fit inside, see `holds`"),
    ],
);
/// How the size is given, of a body that is not drafted from its cut pieces.
pub(super) const SIZE_FINISHED: Param = choice(
    "size",
    "size given as",
    "What width and height mean.",
    &[
        ("finished", "the finished bag: width at the base, height up the front"),
        ("fits", "worked out from what must fit inside, see `holds`"),
    ],
);
/// Width.
pub(super) const WIDTH: Param = length(
    "width",
    "width",
    "Width of the finished bag at the base, or of a cut panel.",
    [Length::mm(60), Length::mm(1_500), Length::inch(16), Length::mm(400)],
)
.size();
/// Height.
pub(super) const HEIGHT: Param = length(
    "height",
    "height",
    "Height of the finished front, from the base to the rim, or of a cut panel.",
    [Length::mm(60), Length::mm(1_500), Length::inch(14), Length::mm(360)],
)
.size();
/// Depth.
pub(super) const DEPTH: Param = length(
    "depth",
    "depth",
    "Depth of the finished base.",
    [Length::mm(15), Length::mm(600), Length::inch(4), Length::mm(100)],
)
.size();
/// Taper.
pub(super) const TAPER: Param = length(
    "taper",
    "wider at the top by",
    "How much wider a panel is at the top than at the base, both sides together.",
    [Length::ZERO, Length::mm(600), Length::ZERO, Length::ZERO],
)
.along();
/// Contrast base.
pub(super) const CONTRAST: Param = optional(
    "contrast-base",
    "contrast base",
    "How high a base of another fabric stands on the front; left out, there is none.",
    [Length::mm(20), Length::mm(1_000)],
)
.along();
/// What must fit.
pub(super) const HOLDS: Param = Param {
    key: "holds",
    label: "what must fit",
    help: "With `size = \"fits\"`: what the bag must hold, from the list of things.",
    quantity: Quantity::Thing { default: "a4-paper" },
    grows: None,
};
/// How it stands.
pub(super) const STANDS: Param = choice(
    "stands",
    "it stands",
    "With `size = \"fits\"`: how the thing goes in.",
    &[("upright", "as its size is written, width × height"), ("sideways", "turned by a quarter")],
);
/// Room around it.
pub(super) const EASE: Param = length(
    "ease",
    "room around it",
    "With `size = \"fits\"`: how much wider and higher than the thing the bag is.",
    [Length::ZERO, Length::mm(200), Length::inch(1), Length::mm(30)],
);
