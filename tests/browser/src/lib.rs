//! A workroom in a process of its own, and a real browser that works in it: Chromium, driven through
//! the WebDriver protocol (W3C recommendation, 2018) by way of `fantoccini`.

mod page;
mod served;

pub use page::{Driver, Page, Scheme, block_on};
pub use served::{Workroom, root};
