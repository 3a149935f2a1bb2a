//! The sections of a design file, one table for the reader, the writer and the guide.

use bag::design::{ALLOWANCES, FABRIC, INTERFACING, SHOP, STITCHING};
use bag::kinds::{Kind, Param, Quantity};
use bag::{bodies, closures, extras, handles, linings, pockets};

/// A section of the file.
pub(crate) struct Section {
    /// Its key, as in `[body]`.
    pub(crate) key: &'static str,
    /// What it is for, one or two sentences.
    pub(crate) help: &'static str,
    /// What stands in it.
    pub(crate) form: Form,
}

/// What stands in a section.
pub(crate) enum Form {
    /// A kind of a list, chosen by `kind`, with the parameters of that kind.
    Kind(fn() -> Vec<&'static dyn Kind>),
    /// The same parameters always.
    Values(&'static [Param]),
    /// A section with these parameters for each part of the bag, as in `[fabric.lining]`.
    ByRole(&'static [Param]),
}

/// Every section, in the order in which a file is written.
pub(crate) const SECTIONS: &[Section] = &[
    Section {
        key: "edition",
        help: "Which edition of your pattern this is. It is printed on every page, so that nobody \
               sews from an old one.",
        form: Form::Values(EDITION),
    },
    Section {
        key: "body",
        help: "The bag itself. This section must be there.",
        form: Form::Kind(|| bodies::ALL.iter().map(|kind| *kind as &dyn Kind).collect()),
    },
    Section {
        key: "pocket",
        help: "A pocket. Write `[[pocket]]` once for each, the outermost first.",
        form: Form::Kind(|| pockets::ALL.iter().map(|kind| *kind as &dyn Kind).collect()),
    },
    Section {
        key: "handles",
        help: "The handles.",
        form: Form::Kind(|| handles::ALL.iter().map(|kind| *kind as &dyn Kind).collect()),
    },
    Section {
        key: "closure",
        help: "How the bag closes.",
        form: Form::Kind(|| closures::ALL.iter().map(|kind| *kind as &dyn Kind).collect()),
    },
    Section {
        key: "lining",
        help: "The lining, or how the inside is finished without one.",
        form: Form::Kind(|| linings::ALL.iter().map(|kind| *kind as &dyn Kind).collect()),
    },
    Section {
        key: "extra",
        help: "What the bag has besides. Write `[[extra]]` once for each.",
        form: Form::Kind(|| extras::ALL.iter().map(|kind| *kind as &dyn Kind).collect()),
    },
    Section {
        key: "allowances",
        help: "Seam allowances, one for each kind of seam.",
        form: Form::Values(ALLOWANCES),
    },
    Section { key: "stitching", help: "Stitch lengths.", form: Form::Values(STITCHING) },
    Section {
        key: "shop",
        help: "How your shop sells fabric, and what is cut off first.",
        form: Form::Values(SHOP),
    },
    Section {
        key: "fabric",
        help: "The fabrics, by the part of the bag that each serves. A part without a fabric of its \
               own takes that of the outside, or of the lining if it lies inside.",
        form: Form::ByRole(FABRIC),
    },
    Section {
        key: "interfacing",
        help: "Interfacings, by the part that each supports. A part without one has none.",
        form: Form::ByRole(INTERFACING),
    },
];

/// What stands before the first section.
pub(crate) const HEAD: &[Param] = &[
    Param {
        key: "title",
        label: "title",
        help: "What the bag is called.",
        quantity: Quantity::Text { default: "" },
        grows: None,
    },
    Param {
        key: "about",
        label: "about",
        help: "A sentence or two for the cover.",
        quantity: Quantity::Text { default: "" },
        grows: None,
    },
    Param {
        key: "units",
        label: "units",
        help: "What a number without a unit means, and the ruler that the bag is drafted on. This \
               key must be there.",
        quantity: Quantity::Choice { options: UNITS, default: "inch" },
        grows: None,
    },
];

const UNITS: &[(&str, &str)] = &[
    ("inch", "inches, drafted to an eighth; fabric is bought in yards"),
    ("cm", "centimetres, drafted to the millimetre; fabric is bought in metres"),
    ("mm", "millimetres, drafted to the millimetre; fabric is bought in metres"),
];

/// The edition; `changes`, a list of texts, stands beside these.
const EDITION: &[Param] = &[
    Param {
        key: "number",
        label: "number",
        help: "Counted from 1.",
        quantity: Quantity::Count { least: 1, most: 999, default: 1 },
        grows: None,
    },
    Param {
        key: "date",
        label: "date",
        help: "The day of this edition, as in \"2026-11-25\".",
        quantity: Quantity::Text { default: "" },
        grows: None,
    },
];

/// The key beside [`EDITION`] that holds a list of texts.
pub(crate) const CHANGES: &str = "changes";

/// The sections of which a file may have several, and what one of them is called.
pub(crate) const LISTS: &[(&str, &str)] = &[("pocket", "pockets"), ("extra", "extras")];

/// The most pockets, extras, and changes of an edition, that a file may list.
pub(crate) const LONGEST_LIST: usize = 24;

/// The section of that key.
pub(crate) fn find(key: &str) -> Option<&'static Section> {
    SECTIONS.iter().find(|section| section.key == key)
}

/// The kinds that a section chooses from; none when it chooses no kind.
pub(crate) fn kinds(section: &Section) -> Vec<&'static dyn Kind> {
    match section.form {
        Form::Kind(kinds) => kinds(),
        Form::Values(_) | Form::ByRole(_) => Vec::new(),
    }
}
