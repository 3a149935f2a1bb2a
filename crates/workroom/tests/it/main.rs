//! The workroom as a browser meets it: page by page, over a socket, and killed in the middle.

#![allow(missing_docs, reason = "tests")]

mod pages;
mod parts;
mod reckoning;
mod sizes;
mod socket;
