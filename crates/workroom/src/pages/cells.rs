//! The cells of a form: each a control with its label, its help, and the slip that stands at it.

use std::collections::BTreeMap;

use maud::{Markup, html};

use super::shell::capital;
use crate::ask::Ask;

/// What is wrong with each field, by its name.
pub(super) type Slips = BTreeMap<&'static str, String>;

/// The cells of one form, with what was typed into it if it was sent and not taken.
#[derive(Clone, Copy)]
pub(super) struct Cells<'a> {
    pub(super) ask: Option<&'a Ask>,
    pub(super) slips: &'a Slips,
}

impl Cells<'_> {
    /// What was typed into a field; what is usual there, if nothing was.
    pub(super) fn typed(&self, name: &str, usual: &str) -> String {
        self.ask.map_or(usual, |ask| ask.form.text(name)).to_owned()
    }

    /// The value of `aria-invalid` of a field at which a slip stands.
    pub(super) fn invalid(&self, id: &str) -> Option<&'static str> {
        self.slips.get(id).map(|_| "true")
    }

    /// A control in its cell; it is described by `about-` and its id.
    pub(super) fn cell(&self, id: &str, label: &str, help: &str, control: &Markup) -> Markup {
        html! {
            div.cell {
                label for=(id) { (label) }
                (control)
                p.help id={ "about-" (id) } { (help) @if let Some(slip) = self.slips.get(id) { " " span.wrong { (capital(slip)) "." } } }
            }
        }
    }
}
