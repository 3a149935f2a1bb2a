//! How much skill and time a bag asks for, told from what its steps do.
//!
//! Both are estimates. The skill is that of the hardest thing to be done (common practice, no source),
//! and what that is stands beside it; the time is counted from the steps, `packet::takes`.

use bag::assembly::{Assembly, Event};
use bag::pattern::Run;
use packet::Packet;
use packet::takes::{Pace, Takes};

/// What has to be mastered, from easy to hard: its level and its words.
fn techniques(work: &Assembly<'_>) -> Vec<(u8, &'static str)> {
    let mut found = Vec::new();
    let mut add = |level: u8, words: &'static str| {
        if !found.contains(&(level, words)) {
            found.push((level, words));
        }
    };
    let curved = |run: &Run| {
        run.spans.iter().any(|it| !work.pattern.piece_of(it.copy).net.edge(it.edge).is_straight())
    };
    for (_, event) in &work.events {
        match event {
            Event::Joined { sides, .. } => {
                add(0, "straight seams");
                if sides[0].closed {
                    add(1, "seams in the round");
                }
                if sides.iter().any(curved) {
                    add(2, "curved seams");
                }
            }
            Event::Boxed { .. } => add(1, "boxed corners"),
            Event::DroppedIn { .. } => add(1, "a lining"),
            Event::Clipped { corners, .. } if !corners.is_empty() => {
                add(2, "seams that turn a corner");
            }
            _ => {}
        }
    }
    if !work.slits.is_empty() {
        add(2, "openings cut into a panel");
    }
    if work.pattern.tools.iter().any(|tool| tool.contains("zip foot")) {
        add(2, "zips");
    }
    found.sort_by_key(|(level, _)| *level);
    found
}

/// Rows for the table at a glance: skill and time.
pub(super) fn rows(packet: &Packet) -> Vec<[String; 2]> {
    let work = Assembly::sew(&packet.pattern);
    let techniques = techniques(&work);
    let level = techniques.iter().map(|(level, _)| *level).max().unwrap_or(0);
    let who = match level {
        0 => "a first bag",
        1 => "for someone who has sewn a straight seam or two",
        _ => "for someone who has sewn a bag before",
    };
    let words: Vec<&str> = techniques.iter().map(|(_, words)| *words).collect();
    let skill =
        if words.is_empty() { who.to_owned() } else { format!("{who}: {}", words.join(", ")) };
    let minutes = Takes::of(packet, Pace::USUAL).spent().seconds() / 60;
    vec![
        ["Skill".to_owned(), skill],
        [
            "Time".to_owned(),
            format!("about {}, cutting included; twice that for a first bag", hours(minutes)),
        ],
    ]
}

/// "3 hours", "2 1/2 hours": to the nearest half hour.
fn hours(minutes: u64) -> String {
    let halves = (minutes + 15) / 30;
    match (halves / 2, halves % 2) {
        (0, _) => "half an hour".to_owned(),
        (1, 0) => "1 hour".to_owned(),
        (whole, 0) => format!("{whole} hours"),
        (whole, _) => format!("{whole} 1/2 hours"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn time_is_told_in_half_hours() {
        let cases = [(10, "half an hour"), (50, "1 hour"), (80, "1 1/2 hours"), (175, "3 hours")];
        for (minutes, words) in cases {
            assert_eq!(hours(minutes), words);
        }
    }

    #[test]
    fn what_is_harder_asks_for_more() {
        let rows = |body: &str| {
            let kind = bag::bodies::find(body).expect("it is in the list");
            let design = bag::Design::of(kind, measure::Units::Inch);
            rows(&packet::build(&design).packet.expect("it can be made"))
        };
        let (flat, round) = (rows("flat"), rows("round-base"));
        assert!(
            !flat[0][1].contains("curved") && round[0][1].contains("curved seams"),
            "{round:?}"
        );
        assert!(round[0][1].starts_with("for someone who has sewn a bag before"), "{round:?}");
    }
}
