//! The workroom: the page in the browser on which she designs, served from her own computer.
//!
//! [`keep`] holds what she makes, [`change`] makes one change of a design, [`pages`] are plain
//! functions from what a browser asks to an answer, and [`run`] serves them. Only this crate knows
//! the database and the web.

pub mod ask;
pub mod change;
mod class;
pub mod differs;
pub mod improve;
pub mod keep;
pub mod mend;
pub mod pages;
pub mod photo;
mod reckoned;
pub mod room;
mod serve;
mod sum;

pub use serve::{Settings, run};
