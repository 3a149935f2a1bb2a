//! How near to the bound kits of many bags are laid: a table to read, a row for each cloth.
//!
//! `cargo bench -p packet --bench kits -- [SECONDS]`: so many seconds for each cloth, 3 if none are
//! given. Times are processor time of this thread where the system tells it.

#![expect(clippy::print_stdout, reason = "its result is a table to read")]

use layout::{Layout, Search, Shape, first, verify};
use packet::Packet;
use packet::kit::{Kit, KitCloth};

#[path = "../../layout/benches/clock/mod.rs"]
mod clock;

use clock::Clock;

/// A design file, and how many bags of it.
type Bags = (&'static str, u32);

/// Bags of three designs, ten of each.
const THREE: [Bags; 3] = [
    (include_str!("../../../examples/workshop-bag.toml"), 10),
    (include_str!("../../../examples/market-day-bag.toml"), 10),
    (include_str!("../../../examples/allotment-bag.toml"), 10),
];

/// Bags of ten designs, three of each.
const TEN: [Bags; 10] = [
    (include_str!("../../../examples/workshop-bag.toml"), 3),
    (include_str!("../../../examples/market-day-bag.toml"), 3),
    (include_str!("../../../examples/allotment-bag.toml"), 3),
    (include_str!("../../../examples/cycle-bag.toml"), 3),
    (include_str!("../../../examples/choir-bag.toml"), 3),
    (include_str!("../../../examples/yarn-bucket.toml"), 3),
    (include_str!("../../../examples/picnic-tote.toml"), 3),
    (include_str!("../../../examples/day-pack.toml"), 3),
    (include_str!("../../../examples/book-bag.toml"), 3),
    (include_str!("../../../examples/garden-bag.toml"), 3),
];

fn kit(bags: &[Bags]) -> Kit {
    let packet = |text: &str| -> Packet {
        let design = store::read_design("example.toml", text).expect("it is understood");
        packet::build(&design).packet.expect("it can be cut")
    };
    Kit::of(bags.iter().map(|(text, count)| (packet(text), *count)).collect(), 0, 0)
}

/// How much longer a layout is than its bound, in percent.
fn gap(layout: &Layout) -> f64 {
    (layout.length.to_mm() / layout.bound.to_mm().max(1.0) - 1.0) * 100.0
}

/// Writes a row; the length of the layout and its bound, in millimetres.
fn row(kit: &Kit, cloth: &KitCloth, seconds: f64) -> (f64, f64) {
    let (bag, material) = cloth.of;
    let name = &kit.bags[bag].packet.pattern.material(material).name;
    let items = || cloth.problem.pieces.iter();
    let count = |some: &dyn Fn(&layout::Item) -> bool| -> u32 {
        items().filter(|item| some(item)).map(|item| item.count * cloth.problem.copies).sum()
    };
    let outlines = count(&|item| matches!(item.shape, Shape::Outline(_)));
    print!("| {name} | {} | {outlines} |", count(&|_| true));
    let clock = Clock::start();
    let at_once = first(&cloth.problem).expect("everything fits");
    print!(" {:.0} | {:.1} |", clock.elapsed().as_secs_f64() * 1000.0, gap(&at_once));
    let clock = Clock::start();
    let mut search = Search::begin(&cloth.problem, 1).expect("it has a first layout");
    while !search.is_done() && clock.elapsed().as_secs_f64() < seconds {
        search.step(4);
    }
    let best = search.best();
    verify(&cloth.problem, best).expect("a layout");
    println!(
        " {:.1} | {:.1} | {:.1} | {:.2} |",
        gap(best),
        best.length.to_mm(),
        best.bound.to_mm(),
        clock.elapsed().as_secs_f64()
    );
    (best.length.to_mm(), best.bound.to_mm())
}

fn main() {
    let words: Vec<String> = std::env::args().skip(1).filter(|word| word != "--bench").collect();
    let seconds = words.first().and_then(|word| word.parse().ok()).unwrap_or(3.0);
    for (title, bags) in [("Three designs", &THREE[..]), ("Ten designs", &TEN[..])] {
        let kit = kit(bags);
        println!("\n{title}, {} bags\n", kit.count());
        println!(
            "| cloth | pieces | outlines | first, ms | above bound, % | then, % | length | bound | s |"
        );
        println!("|---|---|---|---|---|---|---|---|---|");
        let rows = kit.cloths.iter().map(|cloth| row(&kit, cloth, seconds));
        let (length, bound) = rows.fold((0.0, 0.0), |all, row| (all.0 + row.0, all.1 + row.1));
        println!(
            "\nAll cloths together: {:.2} % above their bounds",
            (length / bound - 1.0) * 100.0
        );
    }
}
