//! What a person wants: the chosen kinds with their values, the fabrics, allowances and shop.

mod redraft;

use std::collections::BTreeMap;

use measure::{Length, System, Units};

use crate::kinds::{Kind, Param, Quantity, Values, choice, length, optional};
use crate::{bodies, closures, extras, handles, linings, pockets};

/// One design, complete: every value is set, ranges have been checked by whoever read it.
#[derive(Clone, Debug, PartialEq)]
pub struct Design {
    /// What the bag is called.
    pub title: String,
    /// One or two sentences for the cover; may be empty.
    pub about: String,
    /// What an unlabelled number means, and so the ruler that the bag is drafted on.
    pub units: Units,
    /// Which edition of the pattern this is.
    pub edition: Edition,
    /// The body.
    pub body: Chosen,
    /// The pockets, outermost first.
    pub pockets: Vec<Chosen>,
    /// The handles.
    pub handles: Chosen,
    /// The closure.
    pub closure: Chosen,
    /// The lining, or how the inside is finished without one.
    pub lining: Chosen,
    /// What it has besides, in the order in which they are made.
    pub extras: Vec<Chosen>,
    /// Seam allowances, see [`ALLOWANCES`].
    pub allowances: Values,
    /// Stitch lengths, see [`STITCHING`].
    pub stitching: Values,
    /// How the shop sells, see [`SHOP`].
    pub shop: Values,
    /// Fabric by the part that it serves, see [`FABRIC`]; a part without its own uses
    /// [`Role::fallback`].
    pub fabrics: BTreeMap<Role, Values>,
    /// Interfacing by the part that it serves, see [`INTERFACING`].
    pub interfacings: BTreeMap<Role, Values>,
}

/// Which edition of a pattern, as the maker gives it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Edition {
    /// Counted from 1.
    pub number: u32,
    /// Year-month-day, as the maker wrote it; may be empty.
    pub date: String,
    /// What has changed since the last edition.
    pub changes: Vec<String>,
}

/// A kind chosen from its list, with its values.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Chosen {
    /// Name of the kind.
    pub kind: &'static str,
    /// A value for each of its parameters.
    pub values: Values,
}

impl Chosen {
    /// A kind with every parameter at its default.
    pub fn new<K: Kind + ?Sized>(kind: &K, system: System) -> Self {
        Self { kind: kind.name(), values: Values::defaults(kind.params(), system) }
    }
}

/// Which part of the bag a fabric or an interfacing serves.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Role {
    /// The outside of the body.
    Outside,
    /// A contrast base.
    Base,
    /// Pockets on the outside.
    Pocket,
    /// Handles made of fabric.
    Handle,
    /// The lining.
    Lining,
    /// A cuff that is turned down over the outside.
    Cuff,
    /// Pockets on the inside.
    InsidePocket,
    /// Binding strips.
    Binding,
}

impl Role {
    /// All of them, in the order of a shopping list.
    pub const ALL: [Self; 8] = [
        Self::Outside,
        Self::Base,
        Self::Pocket,
        Self::Handle,
        Self::Lining,
        Self::Cuff,
        Self::InsidePocket,
        Self::Binding,
    ];

    /// The key in a design file.
    pub const fn key(self) -> &'static str {
        match self {
            Self::Outside => "outside",
            Self::Base => "base",
            Self::Pocket => "pocket",
            Self::Handle => "handle",
            Self::Lining => "lining",
            Self::Cuff => "cuff",
            Self::InsidePocket => "inside-pocket",
            Self::Binding => "binding",
        }
    }

    /// What a person calls it.
    pub const fn title(self) -> &'static str {
        match self {
            Self::Outside => "outside",
            Self::Base => "contrast base",
            Self::Pocket => "outside pockets",
            Self::Handle => "handles",
            Self::Lining => "lining",
            Self::Cuff => "cuff",
            Self::InsidePocket => "inside pockets",
            Self::Binding => "binding",
        }
    }

    /// The part whose fabric it shares when it has none of its own.
    pub const fn fallback(self) -> Self {
        match self {
            Self::Outside | Self::Base | Self::Pocket | Self::Handle => Self::Outside,
            Self::Lining | Self::Cuff | Self::InsidePocket | Self::Binding => Self::Lining,
        }
    }
}

const NONE: Length = Length::ZERO;

/// Seam allowances, one for each kind of seam.
pub const ALLOWANCES: &[Param] = &[
    allowance("side", "side seams", "Seam allowance of the side seams.", (1, 2), 12),
    allowance("base", "base seam", "Seam allowance of the base seam.", (1, 2), 12),
    allowance("rim", "rim", "Seam allowance where outside and lining meet.", (1, 2), 12),
    allowance("contrast", "contrast base", "Seam allowance above a contrast base.", (1, 2), 12),
    allowance("pocket", "pockets", "Seam allowance around lined pockets.", (1, 4), 7),
    allowance("join", "handle joins", "Seam allowance where strips are joined.", (1, 2), 12),
];

const fn allowance(
    key: &'static str,
    label: &'static str,
    help: &'static str,
    (numerator, denominator): (i64, i64),
    mm: i64,
) -> Param {
    let range = [Length::mm(3), Length::mm(40)];
    let default = Length::inch_frac(numerator, denominator);
    length(key, label, help, [range[0], range[1], default, Length::mm(mm)])
}

/// Stitch lengths.
pub const STITCHING: &[Param] = &[
    stitch("seam", "seams", "Stitch length of seams.", 2_500),
    stitch("topstitch", "topstitching", "Stitch length of topstitching and edgestitching.", 3_000),
    stitch("baste", "basting", "Stitch length of basting.", 5_000),
    choice(
        "thread",
        "thread",
        "Polyester thread by its weight in grams per 1000 m (Tex), as on the spool.",
        &[
            ("tex-35", "all-purpose"),
            ("tex-24", "fine"),
            ("tex-45", "strong"),
            ("tex-50", "stronger"),
            ("tex-70", "heavy: the heaviest that domestic machines usually take"),
        ],
    ),
];

const fn stitch(key: &'static str, label: &'static str, help: &'static str, um: i64) -> Param {
    let usual = Length::nm(um * 1_000);
    length(key, label, help, [Length::mm(1), Length::mm(7), usual, usual])
}

/// How the shop sells, and what is cut off first.
pub const SHOP: &[Param] = &[
    choice(
        "increments",
        "sold in",
        "The steps in which the shop sells fabric; any multiple of any of them may be bought.",
        &[
            ("usual", "eighths of a yard for an inch design, 10 cm for a metric one"),
            ("eighths", "eighths of a yard"),
            ("thirds", "thirds of a yard"),
            ("eighths-and-thirds", "eighths and thirds of a yard"),
            ("quarters", "quarters of a yard"),
            ("halves", "half yards"),
            ("10-cm", "steps of 10 cm"),
            ("5-cm", "steps of 5 cm"),
            ("25-cm", "steps of 25 cm"),
        ],
    ),
    length(
        "squaring",
        "squaring up",
        "Extra length, for cutting the end straight across the grain.",
        [NONE, Length::mm(300), Length::INCH, Length::mm(25)],
    ),
    length(
        "gap",
        "gap between pieces",
        "Room left between pieces on the fabric; nothing for a rotary cutter.",
        [NONE, Length::mm(50), NONE, NONE],
    ),
    choice(
        "cutting",
        "how it is cut",
        "In any order, or strips across the whole width first, as with a rotary cutter and ruler.",
        &[
            ("free", "in any order, along the outlines"),
            (
                "strips-first",
                "strips across the width, then cross cuts, then each piece is trimmed",
            ),
        ],
    ),
    length(
        "longest-cut",
        "longest cut",
        "With strips first: no cut is longer than this, the ruler. Wider fabric is folded for it.",
        [Length::mm(100), Length::mm(3_000), Length::inch(24), Length::mm(600)],
    ),
];

/// How heavy a cloth is for its area.
const WEIGHT: Param = Param {
    key: "weight",
    label: "weight",
    help: "How heavy it is for its area, as the shop tells it; with it the bag is weighed.",
    quantity: Quantity::Weight,
    grows: None,
};

/// A fabric.
pub const FABRIC: &[Param] = &[
    Param {
        key: "name",
        label: "name",
        help: "What you call this fabric on the shopping list.",
        quantity: Quantity::Text { default: "" },
        grows: None,
    },
    length(
        "width",
        "bought width",
        "Width as it is sold, selvedge to selvedge.",
        [Length::mm(200), Length::mm(3_500), Length::inch(44), Length::mm(1_100)],
    ),
    optional(
        "usable",
        "usable width",
        "Width between the selvedges that can be used; 2 in (5 cm) less than bought if left out.",
        [Length::mm(150), Length::mm(3_500)],
    ),
    Param {
        key: "one-way",
        label: "one-way print or nap",
        help: "Pieces may not be turned upside down.",
        quantity: Quantity::Flag { default: false },
        grows: None,
    },
    Param {
        key: "turnable",
        label: "may be turned across the grain",
        help: "Pieces may lie along or across the fabric, wherever less is bought.",
        quantity: Quantity::Flag { default: false },
        grows: None,
    },
    optional(
        "thickness",
        "thickness",
        "Thickness of one layer: measure ten layers pressed flat, and divide by ten.",
        [Length::nm(50_000), Length::mm(15)],
    ),
    WEIGHT,
    shrinkage("shrinks-in-length", "shrinks in length", "Share lost in length at the first wash."),
    shrinkage("shrinks-in-width", "shrinks in width", "Share lost in width at the first wash."),
];

const fn shrinkage(key: &'static str, label: &'static str, help: &'static str) -> Param {
    Param { key, label, help, quantity: Quantity::Percent { most: 2_500, default: 0 }, grows: None }
}

/// An interfacing.
pub const INTERFACING: &[Param] = &[
    Param {
        key: "name",
        label: "name",
        help: "What you call this interfacing on the shopping list.",
        quantity: Quantity::Text { default: "" },
        grows: None,
    },
    choice(
        "held",
        "held by",
        "How it is held to the fabric.",
        &[
            ("fused", "ironed on"),
            ("basted", "basted within the seam allowance"),
            ("block", "fused to a length of fabric before the pieces are cut from both at once"),
        ],
    ),
    choice(
        "cut",
        "cut",
        "With or without seam allowance (a block is cut with the fabric).",
        &[
            ("full", "to the cut size, seam allowance included"),
            ("net", "to the stitching line, without seam allowance, so that seams stay thin"),
        ],
    ),
    length(
        "width",
        "bought width",
        "Width as it is sold; often narrower than fabric.",
        [Length::mm(200), Length::mm(3_500), Length::inch(20), Length::mm(900)],
    ),
    optional(
        "usable",
        "usable width",
        "Width that can be used; all of it if left out, as interfacing has no selvedge.",
        [Length::mm(150), Length::mm(3_500)],
    ),
    optional(
        "thickness",
        "thickness",
        "Thickness of one layer: measure ten layers pressed flat, and divide by ten.",
        [Length::nm(50_000), Length::mm(15)],
    ),
    WEIGHT,
    Param {
        key: "turnable",
        label: "may be turned",
        help: "Pieces may lie along or across it; non-wovens have no grain.",
        quantity: Quantity::Flag { default: true },
        grows: None,
    },
];

impl Design {
    /// The smallest complete design of a body: default everything, outside and lining fabric.
    pub fn of(body: &dyn bodies::Body, units: Units) -> Self {
        let system = units.system();
        let fabric = |name: &str| {
            Values::defaults(FABRIC, system)
                .with("name", crate::kinds::Value::Text(name.to_owned()))
        };
        let mut design = Self {
            title: body.title().to_owned(),
            about: String::new(),
            units,
            edition: Edition { number: 1, ..Edition::default() },
            body: Chosen::new(body, system),
            pockets: Vec::new(),
            handles: Chosen::new(
                handles::find(body.usual_handles()).unwrap_or(handles::ALL[0]),
                system,
            ),
            closure: Chosen::new(closures::ALL[0], system),
            lining: Chosen::new(
                linings::find(body.usual_lining()).unwrap_or(linings::ALL[0]),
                system,
            ),
            extras: Vec::new(),
            allowances: Values::defaults(ALLOWANCES, system),
            stitching: Values::defaults(STITCHING, system),
            shop: Values::defaults(SHOP, system),
            fabrics: [
                (Role::Outside, fabric("outside fabric")),
                (Role::Lining, fabric("lining fabric")),
            ]
            .into(),
            interfacings: BTreeMap::new(),
        };
        body.suit(&mut design);
        design
    }

    /// The parameter list of a chosen kind in this design, by section word.
    pub fn params_of(section: &str, kind: &str) -> Option<&'static [Param]> {
        match section {
            "body" => bodies::find(kind).map(Kind::params),
            "pocket" => pockets::find(kind).map(Kind::params),
            "handles" => handles::find(kind).map(Kind::params),
            "closure" => closures::find(kind).map(Kind::params),
            "lining" => linings::find(kind).map(Kind::params),
            "extra" => extras::find(kind).map(Kind::params),
            _ => None,
        }
    }

    /// The ruler that the bag is drafted on.
    pub fn system(&self) -> System {
        self.units.system()
    }
}
