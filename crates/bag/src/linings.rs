//! How the inside is finished: with a lining, or without. Each way is its file and its word here.

use crate::draft::{Ability, Drafter, Plan, Shell};
use crate::kinds::{Kind, Values, kinds};

/// A way of finishing the inside.
pub trait Lining: Kind {
    /// Whether there is a lining to cut.
    fn is_lined(&self) -> bool;
    /// Whether it is sewn on with the zip of a body that closes itself by one; otherwise it is put
    /// into the finished outside.
    fn is_sewn_on_with_zip(&self) -> bool {
        self.is_lined()
    }
    /// What it needs of the rest of the bag; see the table in `draft/compatible.rs`.
    fn needs(&self, _: &Values) -> Vec<Ability> {
        Vec::new()
    }

    /// Says what it needs of the outside, before anything is cut: the rim's allowance, how seams
    /// are made.
    fn prepare(&self, d: &mut Drafter<'_>, values: &Values);
    /// Adds what belongs to the pieces of the bag themselves, when those of the outside and of the
    /// lining are cut and nothing lies on them yet.
    fn ready(&self, _: &mut Drafter<'_>, _: &Values, _: Option<&mut Shell>) {}
    /// Adds its steps, when the outside is sewn.
    fn finish(
        &self,
        d: &mut Drafter<'_>,
        values: &Values,
        plan: &dyn Plan,
        outside: &Shell,
        inside: Option<&Shell>,
    );
}

kinds!(Lining: turned, unlined, dropped, backed, faced);
