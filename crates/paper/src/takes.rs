//! What a bag takes, in words: thread, time, mass, and the plan of the evenings.

use measure::{Length, Mass, System, show_length, show_mass, show_size, show_volume};
use packet::Packet;
use packet::takes::{Evening, Spent, Spools, Takes, ThreadNeed, spools};

use crate::lists::columns;

/// "40 m", "120 yd": a length of thread, rounded up.
pub fn show_thread(length: Length, system: System) -> String {
    let (unit, word) = match system {
        System::Metric => (Length::mm(1_000), "m"),
        System::Inch => (Length::YARD, "yd"),
    };
    let whole = (length.to_nm() + unit.to_nm() - 1) / unit.to_nm();
    // No estimate is better than to the nearest five.
    let shown = if whole > 20 { (whole + 4) / 5 * 5 } else { whole };
    format!("{shown} {word}")
}

/// "1 spool of 250 m".
pub fn show_spools(spools: Spools, system: System) -> String {
    let plural = if spools.count == 1 { "" } else { "s" };
    format!("{} spool{plural} of {}", spools.count, show_thread(spools.each, system))
}

/// "2 h 35 min", "40 min": rounded up to five minutes.
pub fn show_time(seconds: u64) -> String {
    hours(seconds.div_ceil(300) * 5)
}

fn hours(minutes: u64) -> String {
    match (minutes / 60, minutes % 60) {
        (0, rest) => format!("{rest} min"),
        (hours, 0) => format!("{hours} h"),
        (hours, rest) => format!("{hours} h {rest} min"),
    }
}

/// Each thread as a line of a shopping list: "thread to match the linen canvas: about 85 m, 1 spool
/// of 100 m".
pub fn thread_lines(packet: &Packet, threads: &[ThreadNeed], bags: u32) -> Vec<String> {
    let system = packet.system;
    let line = |need: &ThreadNeed| {
        let length = need.length * i64::from(bags);
        format!(
            "thread to match the {}: about {}, {}",
            packet.pattern.material(need.matches).name,
            show_thread(length, system),
            show_spools(spools(length, system), system)
        )
    };
    threads.iter().map(line).collect()
}

/// How thick the layers were taken to be.
pub fn thread_note(takes: &Takes) -> &'static str {
    if takes.measured {
        "by the lockstitch formula, from the thickness that you measured, 15 % for waste"
    } else {
        "by the lockstitch formula, with usual thicknesses where none was measured, 15 % for waste"
    }
}

/// What the bag weighs, in one sentence; nothing if no weight of any cloth is known.
pub(crate) fn mass_line(packet: &Packet, takes: &Takes) -> Option<String> {
    let known = packet
        .pattern
        .materials
        .iter()
        .any(|material| material.cloth().is_some_and(|cloth| cloth.weight.is_some()));
    if !known {
        return None;
    }
    let mut line = format!("about {}", show_mass(takes.mass.known, packet.system));
    if takes.mass.usual.to_mg() > 0 {
        let usual = show_mass(takes.mass.usual, packet.system);
        line.push_str(&format!(", of which {usual} of webbing and notions by their usual weights"));
    }
    if !takes.mass.unknown.is_empty() {
        line.push_str(&format!("; without {} (no weight is given)", takes.mass.unknown.join(", ")));
    }
    Some(line)
}

/// Each kind of work that there is, with its seconds.
pub fn kinds_of_work(spent: Spent) -> Vec<(&'static str, u64)> {
    let kinds = [
        ("cutting", spent.cutting),
        ("marking", spent.marking),
        ("the machine running", spent.sewing),
        ("pinning, and laying under the foot", spent.handling),
        ("pressing and fusing", spent.pressing),
        ("trimming, turning, by hand", spent.by_hand),
    ];
    kinds.into_iter().filter(|(_, seconds)| *seconds > 0).collect()
}

/// "12 min", "1 h 41 min": to the nearest minute.
pub fn show_minutes(seconds: u64) -> String {
    hours((seconds + 30) / 60)
}

/// What it takes, as plain text.
pub fn takes_text(
    packet: &Packet,
    takes: &Takes,
    bags: u32,
    evenings: Option<(u64, &[Evening])>,
) -> String {
    let mut text = format!("{}: what it takes\n", packet.pattern.title);
    let spent = takes.spent();
    text.push_str("\nTime for one bag (an estimate)\n");
    let row = |(what, seconds): (&str, u64)| vec![what.to_owned(), show_minutes(seconds)];
    let mut rows: Vec<_> = kinds_of_work(spent).into_iter().map(row).collect();
    rows.push(vec!["all together, about".to_owned(), show_time(spent.seconds())]);
    text.push_str(&columns(&rows));
    let of = if bags == 1 { String::new() } else { format!(" for {bags} bags") };
    text.push_str(&format!("\nThread{of}\n"));
    for line in thread_lines(packet, &takes.threads, bags) {
        text.push_str(&format!("{line}\n"));
    }
    text.push_str(&format!("({})\n", thread_note(takes)));
    text.push_str(&format!("\nThe finished bag\n{}", columns(&finished_bag(packet, takes))));
    if let Some((room, plan)) = evenings {
        text.push_str(&evenings_text(packet, room, plan));
    }
    text
}

/// Size, capacity and mass of the finished bag: what it is, and its words.
pub fn finished_bag(packet: &Packet, takes: &Takes) -> Vec<Vec<String>> {
    let (finished, system) = (packet.finished, packet.system);
    let mut rows = Vec::new();
    let mut row = |what: &str, says: String| rows.push(vec![what.to_owned(), says]);
    let size = show_size(finished.width, finished.height, system);
    if finished.depth.is_positive() {
        row("size", format!("{size}, {} deep", show_length(finished.depth, system)));
        row("holds", format!("{} to the rim", show_volume(finished.volume, system)));
    } else {
        row("size", format!("{size}, flat"));
    }
    let things: Vec<&str> = finished.things().map(|thing| thing.title).collect();
    if !things.is_empty() {
        row("goes in", things.join(", "));
    }
    row(
        "weighs",
        mass_line(packet, takes)
            .unwrap_or_else(|| "not known: give each fabric its `weight`".to_owned()),
    );
    if let Some(load) = finished.load {
        let made_for = show_load(load.made_for(), system);
        let holds = if load.suffices() { "hold" } else { "do not hold" };
        row(
            "carries",
            format!(
                "made for {made_for} in use; by an estimate the stitches of its handles {holds} {} \
                 times that, and its cloth may give first: try it with a load before you trust it",
                bag::checks::Load::FACTOR
            ),
        );
    }
    rows
}

/// "10 kg", "22 lb": what a bag carries is known no better.
fn show_load(mass: Mass, system: System) -> String {
    match system {
        System::Inch => format!("{:.0} lb", mass.to_ounces() / 16.0),
        System::Metric => format!("{:.0} kg", mass.to_grams() / 1e3),
    }
}

fn evenings_text(packet: &Packet, room: u64, plan: &[Evening]) -> String {
    let mut text = format!("\nEvenings with {} for work\n", show_time(room));
    for (number, evening) in plan.iter().enumerate() {
        let last = packet.steps.get(evening.to - 1).map_or("", |step| step.id.as_str());
        let long = too_long(evening).map(|why| format!("; {why}")).unwrap_or_default();
        text.push_str(&format!(
            "{}. {}, as far as `{last}`: {}{long}\n",
            number + 1,
            steps_of(evening),
            show_time(evening.seconds)
        ));
    }
    text
}

/// "steps 3 to 8".
pub fn steps_of(evening: &Evening) -> String {
    match (evening.from + 1, evening.to) {
        (from, to) if from == to => format!("step {from}"),
        (from, to) => format!("steps {from} to {to}"),
    }
}

/// Why an evening takes longer than there is, if it does.
pub fn too_long(evening: &Evening) -> Option<&'static str> {
    match (evening.too_long, evening.to - evening.from) {
        (false, _) => None,
        (true, 1) => Some("one step that is longer than the evening: go on with it at the next"),
        (true, _) => Some("longer than the evening, as it cannot be laid down in between"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn times_and_threads_in_words() {
        let times = [(10, "5 min"), (300, "5 min"), (3_600, "1 h"), (9_001, "2 h 35 min")];
        for (seconds, words) in times {
            assert_eq!(show_time(seconds), words);
        }
        let exact = [(29, "0 min"), (30, "1 min"), (3_599, "1 h"), (6_060, "1 h 41 min")];
        assert_eq!(exact.map(|(seconds, _)| show_minutes(seconds)), exact.map(|it| it.1));
        assert_eq!(show_thread(Length::mm(12_001), System::Metric), "13 m");
        assert_eq!(show_thread(Length::mm(82_001), System::Metric), "85 m");
        assert_eq!(show_thread(Length::YARD * 250, System::Inch), "250 yd");
    }

    /// 22 lb are 9.979 kg, the load of a grocery bag in California Public Resources Code 42281; a bag
    /// without handles is made to carry nothing by them.
    #[test]
    fn what_a_bag_carries() {
        let said = |handles: &str, units| {
            let body = bag::bodies::find("boxed").expect("in the list");
            let mut design = bag::Design::of(body, units);
            let kind = bag::handles::find(handles).expect("in the list");
            design.handles = bag::Chosen::new(kind, design.system());
            let packet = packet::build(&design).packet.expect("it can be made");
            let takes = Takes::of(&packet, packet::takes::Pace::USUAL);
            let rows = finished_bag(&packet, &takes);
            rows.into_iter().find(|row| row[0] == "carries").map(|row| row[1].clone())
        };
        let inch = said("webbing", measure::Units::Inch).expect("it has handles");
        assert!(inch.starts_with("made for 22 lb in use; "), "{inch}");
        assert!(inch.contains("the stitches of its handles hold 3 times that"), "{inch}");
        let metric = said("webbing", measure::Units::Mm).expect("it has handles");
        assert!(metric.starts_with("made for 10 kg in use; "), "{metric}");
        assert_eq!(said("none", measure::Units::Inch), None);
    }
}
