//! Exact lengths, areas, masses and money; what people write and what rulers show; outlines.

mod length;
mod parse;
mod units;

pub use length::Length;
pub use parse::{LengthError, parse_length};
pub use units::{System, Units};
