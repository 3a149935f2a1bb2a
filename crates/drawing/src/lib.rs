//! Pictures: one small scene type, what is drawn with it, and its writer (SVG).
//!
//! A scene is measured in millimetres *on paper*, y downwards. What is drawn (a piece, a layout,
//! the finished bag) is brought to paper by a stated scale, so that line widths and lettering keep
//! their size whatever the scale is. Fabrics and lines are told apart by texture and by kind of
//! line, never by colour alone, so that a black-and-white copy says the same.

mod body;
mod cut_lines;
pub mod dress;
pub mod dxf;
mod facets;
pub mod finished;
mod folding;
pub mod key;
pub mod layouts;
mod leaning;
pub mod line;
pub mod marks;
pub mod notes;
pub mod pieces;
pub mod scale;
pub mod scene;
mod space;
pub mod steps;
mod straps;
pub mod strips;
pub mod svg;
mod tape;
pub mod templates;
pub mod text;
pub mod texture;

pub use dress::Dress;
pub use line::LineKind;
pub use scale::Scale;
pub use scene::{Fill, Item, Scene};
pub use text::{Anchor, Text, Weight};
pub use texture::{Cloth, Side, Texture};
