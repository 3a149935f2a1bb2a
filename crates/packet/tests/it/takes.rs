//! Thread, time and evenings of whole bags.

use bag::kinds::Value;
use bag::{Design, bodies};
use measure::{Length, Units};
use packet::Packet;
use packet::takes::{Pace, Takes, evenings};

use crate::{designs_in, read};

fn takes(packet: &Packet) -> Takes {
    Takes::of(packet, Pace::USUAL)
}

/// A step that tells a stitch length sews rows, and every row goes through something.
#[test]
fn what_is_told_with_a_stitch_is_sewn_with_thread() {
    let mut stitched = 0;
    for (name, text) in designs_in("examples") {
        let packet = packet::build(&read(&name, &text)).packet.expect("an example can be built");
        let pattern = &packet.pattern;
        bag::assembly::Assembly::sew_seeing(pattern, |at, work| {
            let step = &pattern.steps[at];
            let takes = step.operation.takes(work);
            let told = step.operation.record(pattern).iter().any(|(key, _)| key == "stitch");
            let knotted = step.operation.word() == "fasten-end";
            if told && !knotted {
                stitched += 1;
                assert!(!takes.rows.is_empty(), "{name}: {} sews nothing", step.id);
            }
            for row in &takes.rows {
                assert!(!row.layers.is_empty(), "{name}: {} sews through nothing", step.id);
                assert!(row.length.is_positive(), "{name}: {} sews no length", step.id);
                assert!(row.stitch.is_positive() && row.rows > 0, "{name}: {}", step.id);
                // Nothing on a bag is longer than that.
                assert!(row.length < Length::mm(20_000), "{name}: {} {:?}", step.id, row.length);
            }
        });
    }
    assert!(stitched > 100, "only {stitched} steps were looked at");
}

/// Every body: more of it takes more thread and more time, and no less than twice its seams.
#[test]
fn a_larger_bag_takes_more() {
    let mut compared = 0;
    for body in bodies::ALL {
        {
            let design = Design::of(*body, Units::Inch);
            let Some(Value::Length(width)) = design.body.values.get("width").cloned() else {
                continue;
            };
            let mut larger = design.clone();
            larger.body.values.set("width", Value::Length(width + Length::inch(2)));
            let built = [design, larger].map(|design| packet::build(&design).packet);
            let [Some(small), Some(large)] = built else { continue };
            // A body that is made from what it holds is no wider for being asked to.
            if small.finished.width == large.finished.width {
                continue;
            }
            compared += 1;
            let (one, other) = (takes(&small), takes(&large));
            let name = body.name();
            assert!(one.thread() < other.thread(), "{name}: thread");
            assert!(one.spent().seconds() < other.spent().seconds(), "{name}: time");
            let seams: Length = bag::assembly::Assembly::sew(&small.pattern)
                .events
                .iter()
                .filter_map(|(_, event)| match event {
                    bag::assembly::Event::Joined { sides, .. } => Some(sides[0].length()),
                    _ => None,
                })
                .sum();
            assert!(one.thread() > seams * 2, "{name}: a lockstitch takes twice its seam");
        }
    }
    assert!(compared > 10, "only {compared} bodies were compared");
}

/// Evenings hold every step of every example once, and end only where the work can be laid down.
#[test]
fn every_example_fits_into_evenings() {
    for (name, text) in designs_in("examples") {
        let packet = packet::build(&read(&name, &text)).packet.expect("an example can be built");
        let takes = takes(&packet);
        let steps: Vec<(u64, bool)> =
            takes.steps.iter().map(|it| it.seconds()).zip(takes.rests.iter().copied()).collect();
        let room = 3 * 3_600;
        let plan = evenings(&steps, room);
        assert!(plan.iter().all(|evening| !evening.too_long), "{name}: {plan:?}");
        let all: u64 = plan.iter().map(|evening| evening.seconds).sum();
        assert_eq!(all, takes.spent().seconds(), "{name}");
        assert_eq!(plan.len() > 1, all > room, "{name}");
    }
}
