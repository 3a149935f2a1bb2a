//! Exact lengths, areas, masses and money; what people write and what rulers show; outlines.

mod area;
mod corner;
mod edge;
mod fits;
mod increments;
mod length;
mod mass;
mod money;
mod number;
mod offset;
mod outline;
mod parse;
mod point;
mod quantity;
mod rounded;
mod ruler;
mod sheets;
mod show;
mod simple;
mod units;
mod volume;

pub use area::{Area, show_area};
pub use edge::{Edge, Segment};
pub use fits::{FRAME_HEIGHT, FRAME_WIDTH, Fit, find_fit, fits, screen};
pub use increments::{Increments, IncrementsError};
pub use length::Length;
pub use mass::{Mass, MassPerArea, show_mass, show_mass_per_area};
pub use money::{Currency, Money};
pub use offset::OffsetError;
pub use outline::{Outline, OutlineError};
pub use parse::{LengthError, parse_length};
pub use point::Point;
pub use quantity::QuantityError;
pub use rounded::{arc, arc_between};
pub use ruler::{Rounding, Ruler};
pub use sheets::{
    BOUGHT_WIDTHS, BoughtWidth, PAPER_ROLLS, SHEETS, Sheet, bought_widths, find_sheet,
};
pub use show::{Style, cutting_ruler, show_both, show_bought, show_length, show_number, show_size};
pub use units::{System, Units};
pub use volume::{Volume, show_volume};
