//! Everything that is printed: the booklet, the templates and the lists. The only user of the typesetter.

mod booklet;
mod cautions;
mod earns;
mod fonts;
mod glossary;
mod handout;
mod kit;
mod legible;
mod lists;
mod pictures;
mod png;
mod sizes;
mod tag;
mod takes;
mod templates;
mod typeset;

pub use booklet::{Options, PaperSize, booklet, booklet_for_both};
pub use cautions::{
    Caution, by_chapter as cautions_by_chapter, cutting as cautions_before_cutting,
};
pub use earns::{earns_table, earns_text, loses};
pub use handout::handout;
pub use kit::{
    KitCosts, KitList, counters, counters_text, kit, kit_costs, kit_labels, kit_list,
    kit_price_text, kit_shopping_text,
};
pub use lists::{columns, cut_list_text, notions_and_tools, shopping_text};
pub use pictures::{finished_scene, finished_views, layout_scenes, piece_scenes, remnant_scenes};
pub use png::png;
pub use sizes::sizes_table;
pub use tag::{Tag, WASHES, tag_text};
pub use takes::{
    finished_bag, kinds_of_work, show_minutes, show_spools, show_thread, show_time, steps_of,
    takes_text, thread_lines, thread_note, too_long,
};
pub use templates::templates;
pub use typeset::PaperError;
