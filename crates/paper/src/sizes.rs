//! Sizes and options of a design side by side: what each takes, and what it costs.

use measure::System;
use packet::earns::{Rates, earns};
use packet::kit::Kit;
use packet::takes::{Pace, Takes};
use packet::{Comparison, Packet};

use crate::takes::{show_thread, show_time};

/// A row for each size with each option, under its names: finished size, pieces, purchases, thread
/// and time; with rates also what it costs to make and its retail price. What cannot be made has the
/// words that say so.
pub fn sizes_table(
    bags: &[(Vec<String>, Result<&Packet, String>)],
    system: System,
    pace: Pace,
    rates: Option<&Rates>,
) -> Comparison {
    let mut table = packet::compare(&["Size", "Option"], bags, system);
    table.headings.extend(["Thread", "Time"].map(str::to_owned));
    if rates.is_some() {
        table.headings.extend(["Costs", "Retail"].map(str::to_owned));
    }
    for (row, (_, packet)) in table.rows.iter_mut().zip(bags) {
        if let Ok(packet) = packet {
            let takes = Takes::of(packet, pace);
            row.push(show_thread(takes.thread(), system));
            row.push(show_time(takes.spent().seconds()));
            if let Some(rates) = rates {
                let kit = Kit::of(vec![((*packet).clone(), 1)], 0, 0);
                let one = earns(&kit, rates, pace).one;
                row.extend([one.cost.to_string(), one.retail.to_string()]);
            }
        }
        row.resize(table.headings.len(), String::new());
    }
    table
}
