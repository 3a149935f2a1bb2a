//! Exact lengths, areas, masses and money; what people write and what rulers show; outlines.

mod area;
mod corner;
mod edge;
mod increments;
mod length;
mod number;
mod offset;
mod outline;
mod parse;
mod point;
mod ruler;
mod show;
mod simple;
mod units;

pub use area::{Area, show_area};
pub use edge::{Edge, Segment};
pub use increments::{Increments, IncrementsError};
pub use length::Length;
pub use offset::OffsetError;
pub use outline::{Outline, OutlineError};
pub use parse::{LengthError, parse_length};
pub use point::Point;
pub use ruler::{Rounding, Ruler};
pub use show::{Style, cutting_ruler, show_both, show_bought, show_length, show_number, show_size};
pub use units::{System, Units};
