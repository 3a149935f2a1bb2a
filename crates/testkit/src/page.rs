//! The page `docs/faults.md`.

use crate::Table;

/// The page for a table that was measured with this seed.
pub fn page(table: &Table, seed: u64) -> String {
    let slips = table.slips(20);
    let slips = if slips.is_empty() { "Nothing.\n".to_owned() } else { slips };
    format!(
        "# Seeded faults\n\n\
         Written by `cargo xtask faults --write` (seed {seed}); do not edit. Each kind of fault is \
         put at random places into {} correct patterns: every example, and combinations of all \
         kinds of bags with random measures. A fault is *caught* if the checks find an error in \
         the pattern that the correct one does not have (or, where the table says so, a warning: \
         the bag can be sewn, but disappoints). It is caught *at its place* if a finding names \
         the step, piece or promise at fault, or the step in which it shows at the latest.\n\n\
         {}\n\
         ## Harmless, and why\n\n\
         Decided by these rules when a fault is seeded, never by whether it is caught.\n\n\
         {}\n\
         ## What slips through\n\n\
         {slips}\n\
         ```text\n{}\n```\n",
        table.patterns,
        table.markdown(),
        table.rules(),
        table.last_line()
    )
}
