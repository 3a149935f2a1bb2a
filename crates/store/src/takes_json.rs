//! What a bag takes, for other programs.

use packet::Packet;
use packet::takes::{Evening, Spent, Takes, spools};
use serde::Serialize;

#[derive(Serialize)]
struct TakesJson<'a> {
    format: &'static str,
    title: &'a str,
    bags: u32,
    /// Seconds for one bag, by what they are spent on.
    seconds: SpentJson,
    steps: Vec<StepJson<'a>>,
    thread: Vec<ThreadJson<'a>>,
    /// Whether the thickness of every layer was measured.
    thickness_measured: bool,
    mass_g: f64,
    /// The part of it that rests on what such webbing and notions usually weigh.
    mass_by_usual_weights_g: f64,
    /// Materials and notions of unknown weight.
    not_weighed: &'a [String],
    volume_l: f64,
    holds: Vec<&'static str>,
    /// What it is made to carry; none for a bag without handles.
    made_for_kg: Option<f64>,
    evenings: Vec<EveningJson<'a>>,
}

#[derive(Serialize)]
struct SpentJson {
    cutting: u64,
    marking: u64,
    sewing: u64,
    handling: u64,
    pressing: u64,
    by_hand: u64,
    all: u64,
}

#[derive(Serialize)]
struct StepJson<'a> {
    id: &'a str,
    seconds: u64,
    rests: bool,
}

#[derive(Serialize)]
struct ThreadJson<'a> {
    matches: &'a str,
    /// For all bags.
    length_mm: f64,
    spools: i64,
    spool_mm: f64,
}

#[derive(Serialize)]
struct EveningJson<'a> {
    first: &'a str,
    last: &'a str,
    seconds: u64,
    too_long: bool,
}

impl SpentJson {
    const fn of(spent: Spent) -> Self {
        let Spent { cutting, marking, sewing, handling, pressing, by_hand } = spent;
        let all = spent.seconds();
        Self { cutting, marking, sewing, handling, pressing, by_hand, all }
    }
}

/// What it takes as JSON: time of each step, thread, mass, what goes in, and the evenings.
pub fn takes_json(packet: &Packet, takes: &Takes, bags: u32, evenings: &[Evening]) -> String {
    let id = |at: usize| packet.steps.get(at).map_or("", |step| step.id.as_str());
    let steps = takes.steps.iter().zip(&takes.rests).enumerate();
    crate::json::pretty(&TakesJson {
        format: "bagwright takes",
        title: &packet.pattern.title,
        bags,
        seconds: SpentJson::of(takes.spent()),
        steps: steps
            .map(|(at, (spent, rests))| StepJson {
                id: id(at),
                seconds: spent.seconds(),
                rests: *rests,
            })
            .collect(),
        thread: takes
            .threads
            .iter()
            .map(|need| {
                let length = need.length * i64::from(bags);
                let spools = spools(length, packet.system);
                ThreadJson {
                    matches: &packet.pattern.material(need.matches).name,
                    length_mm: length.to_mm(),
                    spools: spools.count,
                    spool_mm: spools.each.to_mm(),
                }
            })
            .collect(),
        thickness_measured: takes.measured,
        mass_g: takes.mass.known.to_grams(),
        mass_by_usual_weights_g: takes.mass.usual.to_grams(),
        not_weighed: &takes.mass.unknown,
        volume_l: packet.finished.volume.to_litres(),
        holds: packet.finished.things().map(|thing| thing.id).collect(),
        made_for_kg: packet.finished.load.map(|load| load.made_for().to_grams() / 1e3),
        evenings: evenings
            .iter()
            .map(|evening| EveningJson {
                first: id(evening.from),
                last: id(evening.to - 1),
                seconds: evening.seconds,
                too_long: evening.too_long,
            })
            .collect(),
    })
}
