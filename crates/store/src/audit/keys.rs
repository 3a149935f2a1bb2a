//! The sections of an audit file and their keys: one table for the reader and for the page that
//! documents it.

use bag::kinds::{Param, Quantity};
use measure::Length;

/// What a key takes.
#[derive(Clone, Copy)]
pub(super) enum Takes {
    /// One value, as in a design file.
    Value(Quantity),
    /// The name of a piece.
    Piece,
    /// The name of a fabric, or a list of names.
    Fabrics,
    /// A list of lengths in which the shop sells cloth.
    Increments,
}

/// A key of a section.
pub(super) struct Key {
    pub(super) key: &'static str,
    pub(super) help: &'static str,
    pub(super) takes: Takes,
    /// What leaving it out means; nothing when it must be there.
    pub(super) absent: Option<&'static str>,
}

impl Key {
    /// The key as a parameter, for the reader of values; none if it takes names or a list.
    pub(super) fn param(&self) -> Option<Param> {
        let Takes::Value(quantity) = self.takes else { return None };
        Some(Param { key: self.key, label: self.key, help: self.help, quantity, grows: None })
    }
}

/// A section of the file.
pub(super) struct Section {
    pub(super) key: &'static str,
    /// Whether it may be there several times, as in `[[piece]]`.
    pub(super) many: bool,
    pub(super) must: bool,
    pub(super) help: &'static str,
    pub(super) keys: &'static [Key],
}

impl Section {
    /// As it is written in the file.
    pub(super) fn label(&self) -> String {
        if self.many { format!("[[{}]]", self.key) } else { format!("[{}]", self.key) }
    }
}

/// The most pieces, and the most fabrics, straps or pockets, of one pattern.
pub(super) const LONGEST_LIST: usize = 60;

/// The most pieces to cut, all counts together.
pub(super) const MOST_PIECES: u32 = 2_000;

const UNSAID: &str = "not judged";

const fn must(key: &'static str, help: &'static str, takes: Takes) -> Key {
    Key { key, help, takes, absent: None }
}

const fn may(key: &'static str, help: &'static str, takes: Takes, absent: &'static str) -> Key {
    Key { key, help, takes, absent: Some(absent) }
}

const fn length(least: Length, most: Length) -> Takes {
    Takes::Value(Quantity::OptionalLength { least, most })
}

/// A side of a piece or of the bag.
const SIDE: Takes = length(Length::mm(5), Length::mm(20_000));
/// A seam allowance or a hem.
const ALLOWANCE: Takes = length(Length::ZERO, Length::mm(300));
const TEXT: Takes = Takes::Value(Quantity::Text { default: "" });

const fn count(least: u32, most: u32) -> Takes {
    Takes::Value(Quantity::Count { least, most, default: least })
}

const fn choice(options: &'static [(&'static str, &'static str)]) -> Takes {
    Takes::Value(Quantity::Choice { options, default: options[0].0 })
}

const FLAG: Takes = Takes::Value(Quantity::Flag { default: false });

const SHRINKAGE: Takes = Takes::Value(Quantity::Percent { most: 2_500, default: 0 });

/// What stands before the first section.
pub(super) const HEAD: &[Key] = &[
    may("title", "What the pattern is called.", TEXT, "no title"),
    may("about", "Where it comes from, for your own memory.", TEXT, "nothing"),
    must(
        "units",
        "What a number without a unit means.",
        choice(&[
            ("inch", "inches; cloth in yards"),
            ("cm", "centimetres; cloth in metres"),
            ("mm", "millimetres; cloth in metres"),
        ]),
    ),
    may(
        "pieces-in-all",
        "How many pieces the pattern says there are to cut, from all fabrics and interfacings \
         together. A piece that is cut from two fabrics counts in both.",
        count(1, 9_999),
        UNSAID,
    ),
];

/// Every section, in the order in which the page tells them.
pub(super) const SECTIONS: &[Section] = &[
    Section {
        key: "fabric",
        many: true,
        must: true,
        help: "A fabric or an interfacing that pieces are cut from. Write `[[fabric]]` once for \
               each.",
        keys: FABRIC,
    },
    Section {
        key: "piece",
        many: true,
        must: true,
        help: "A piece to cut, as the pattern lists it. Write `[[piece]]` once for each. A piece \
               that is sewn together from others is not listed; they are.",
        keys: PIECE,
    },
    Section {
        key: "seams",
        many: false,
        must: false,
        help: "The seam allowances. A piece may have others of its own.",
        keys: SEAMS,
    },
    Section {
        key: "size",
        many: false,
        must: false,
        help: "The finished size that the pattern promises, and how the body is made.",
        keys: SIZE,
    },
    Section {
        key: "strap",
        many: true,
        must: false,
        help: "Straps or handles made of fabric. Write `[[strap]]` once for each kind.",
        keys: STRAP,
    },
    Section {
        key: "pocket",
        many: true,
        must: false,
        help: "A patch pocket. Write `[[pocket]]` once for each kind.",
        keys: POCKET,
    },
    Section {
        key: "shop",
        many: false,
        must: false,
        help: "How cloth is sold, and what is cut off first.",
        keys: SHOP,
    },
];

const FABRIC: &[Key] = &[
    must("name", "What the pattern calls it; pieces refer to it.", TEXT),
    may(
        "width",
        "Width as it is sold, selvedge to selvedge. This or `usable` must be there.",
        length(Length::mm(100), Length::mm(4_000)),
        "as `usable`",
    ),
    may(
        "usable",
        "Width between the selvedges that can be used. Where it is left out, nothing is said to \
         be impossible that would be possible on the whole width.",
        length(Length::mm(100), Length::mm(4_000)),
        "2 in (5 cm) less than `width`",
    ),
    may(
        "yardage",
        "The length that the pattern says is enough.",
        length(Length::mm(10), Length::mm(90_000)),
        UNSAID,
    ),
    may("pieces", "How many pieces the pattern says are cut from it.", count(1, 9_999), UNSAID),
    may("one-way", "Nap or print has one way: no piece is turned upside down.", FLAG, "false"),
    may(
        "turnable",
        "It has no grain that matters, as most interfacing: pieces may lie in any way.",
        FLAG,
        "false",
    ),
    may("shrinks-in-length", "Share lost in length when it is washed first.", SHRINKAGE, "0"),
    may("shrinks-in-width", "Share lost in width when it is washed first.", SHRINKAGE, "0"),
];

const PIECE: &[Key] = &[
    must("name", "What the pattern calls it; the other sections refer to it.", TEXT),
    must("count", "How many are cut, from each fabric named.", count(1, 500)),
    must("width", "Width as cut, seam allowances included.", SIDE),
    must("height", "Height as cut, seam allowances included.", SIDE),
    must(
        "from",
        "The fabric it is cut from, or a list of them: `[\"canvas\", \"interfacing\"]`.",
        Takes::Fabrics,
    ),
    may(
        "grain",
        "How its height lies on the fabric.",
        choice(&[
            ("along", "along the selvedge"),
            ("across", "from selvedge to selvedge, as straps often are"),
            ("free", "either, wherever less is bought"),
        ]),
        "`along`",
    ),
    may(
        "join",
        "Whether it may be joined from shorter strips, and where.",
        choice(&[
            ("none", "it is cut in one"),
            ("centre", "in its middle"),
            ("anywhere", "wherever it falls, all strips sewn end to end first"),
        ]),
        "`none`",
    ),
    may("joins", "The most joins in one.", count(1, 8), "1"),
    may("join-allowance", "The seam allowance of a join.", ALLOWANCE, "`all` of [seams]"),
    may("side", "Its own allowance at the sides.", ALLOWANCE, "as in [seams]"),
    may("base", "Its own allowance at the base.", ALLOWANCE, "as in [seams]"),
    may("rim", "Its own allowance, or hem, at the rim.", ALLOWANCE, "as in [seams]"),
    may("corner", "Its own allowance across cut-out corners.", ALLOWANCE, "as in [seams]"),
];

const SEAMS: &[Key] = &[
    may("all", "The allowance of every seam that is not named below.", ALLOWANCE, "unsaid"),
    may("side", "At the sides.", ALLOWANCE, "as `all`"),
    may("base", "Along the base.", ALLOWANCE, "as `all`"),
    may("rim", "At the rim; all that is turned in, if it is hemmed.", ALLOWANCE, "as `all`"),
    may("corner", "Across corners that are cut out.", ALLOWANCE, "as `side`"),
];

const SIZE: &[Key] = &[
    must("panel", "The piece that the outside is made of.", Takes::Piece),
    may(
        "lining",
        "The piece that the lining is made of; its rim is held against that of the outside.",
        Takes::Piece,
        UNSAID,
    ),
    may(
        "body",
        "How the body is made.",
        choice(&[
            ("front-and-back", "two panels, with side seams and a base seam"),
            ("round", "one piece around the bag, with one side seam and a base seam"),
            ("under-the-base", "one piece down the front and up the back, with side seams"),
        ]),
        "`front-and-back`",
    ),
    may(
        "boxed",
        "Length of the stitching line across each folded corner.",
        SIDE,
        "the claimed depth, unless corners are cut out",
    ),
    may(
        "cut-out",
        "Side of the square that is cut out of each corner, measured from the raw edges. Not \
         together with `boxed`.",
        SIDE,
        "none is cut out",
    ),
    may("width", "Finished width at the base.", SIDE, UNSAID),
    may("top", "Finished width at the top, with the bag laid flat.", SIDE, UNSAID),
    may("height", "Finished height.", SIDE, UNSAID),
    may("depth", "Finished depth.", SIDE, UNSAID),
    may(
        "within",
        "How far a size may be from what the panels give.",
        length(Length::mm(1), Length::mm(100)),
        "1/16 in (2 mm)",
    ),
];

const STRAP: &[Key] = &[
    must("piece", "The piece that straps are made of; its longer side runs along.", Takes::Piece),
    may("straps", "How many straps there are.", count(1, 99), "its count is not judged"),
    may("pieces-each", "From how many pieces each strap is joined.", count(1, 9), "1"),
    may("join-allowance", "The seam allowance of these joins.", ALLOWANCE, "`all` of [seams]"),
    may("length", "Length of each strap, joined, before it is sewn to the bag.", SIDE, UNSAID),
    may(
        "layers",
        "How it is folded.",
        choice(&[
            ("four", "both long edges to the middle, and folded again"),
            ("two", "folded once right sides together, sewn along, and turned"),
        ]),
        "the width is not judged",
    ),
    may(
        "allowance",
        "With two layers: the seam allowance along the strap.",
        ALLOWANCE,
        "`all` of [seams]",
    ),
    may("width", "Finished width.", length(Length::mm(3), Length::mm(500)), UNSAID),
    may(
        "from",
        "Where the ends of the strap lie.",
        choice(&[
            ("base", "level with the raw base edge; the strap runs up the panel"),
            ("rim", "level with the raw upper edge, set into the seam there"),
        ]),
        "free lengths and drop are not judged",
    ),
    may("panel", "The piece that it goes up.", Takes::Piece, "`panel` of [size]"),
    may(
        "above-raw-edge",
        "Length that is free above the raw upper edge of the panel, from leg to leg over the loop.",
        SIDE,
        UNSAID,
    ),
    may(
        "above-rim",
        "Length that is free above the finished rim, from leg to leg over the loop.",
        SIDE,
        UNSAID,
    ),
    may(
        "apart",
        "From the middle of one leg to the middle of the other; needed to judge a drop closely.",
        SIDE,
        "only the most that it can drop is judged",
    ),
    may("drop", "From the finished rim to the strap pulled taut to a point.", SIDE, UNSAID),
];

const POCKET: &[Key] = &[
    must("piece", "The piece that it is made of.", Takes::Piece),
    may("pockets", "How many pockets there are.", count(1, 99), "its count is not judged"),
    may(
        "made",
        "How it is made.",
        choice(&[
            ("two-layers", "two layers sewn right sides together all around, and turned"),
            ("one-layer", "one layer, its edges pressed to the wrong side"),
            ("folded", "one piece folded across its height, sewn right sides together, and turned"),
        ]),
        "`two-layers`",
    ),
    may("allowance", "The seam allowance around it.", ALLOWANCE, "`all` of [seams]"),
    may(
        "hem",
        "With one layer: what is turned in along the upper edge, all of it.",
        ALLOWANCE,
        "as `allowance`",
    ),
    may("width", "Finished width.", SIDE, UNSAID),
    may("height", "Finished height.", SIDE, UNSAID),
];

const SHOP: &[Key] = &[
    may(
        "increments",
        "The lengths in which cloth is sold, as in `[\"1/8 yd\"]`; what is generous is told by it.",
        Takes::Increments,
        "eighths of a yard, or 10 cm",
    ),
    may(
        "squaring",
        "What you cut off first to square up the cut end, of every fabric.",
        ALLOWANCE,
        "0",
    ),
];
