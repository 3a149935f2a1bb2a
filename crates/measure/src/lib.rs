//! Exact lengths, areas, masses and money; what people write and what rulers show; outlines.

mod length;

pub use length::Length;
