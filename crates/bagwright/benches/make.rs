//! How long the booklet takes, and the whole program from a design file to a finished folder, for
//! the largest example. `make` is measured as a process: start, reading, layouts, drawings, PDF.

use std::hint::black_box;
use std::path::Path;
use std::process::Command;

use criterion::{Criterion, criterion_group, criterion_main};
use drawing::templates::{Stock, TemplateOptions};

/// The example with the most pieces and steps.
const LARGEST: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../../examples/workshop-bag.toml");

fn run(arguments: &[&str]) {
    let output = Command::new(env!("CARGO_BIN_EXE_bagwright")).args(arguments).output();
    let output = output.expect("the program starts");
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
}

fn make(folder: &Path, rounds: &str) {
    let folder = folder.to_string_lossy();
    run(&["make", LARGEST, "-o", &folder, "--replace", "--rounds", rounds]);
}

fn benches(criterion: &mut Criterion) {
    let text = std::fs::read_to_string(LARGEST).expect("the example is there");
    let design = store::read_design("workshop-bag.toml", &text).expect("it is understood");
    let packet = packet::build(&design).packet.expect("it can be cut");
    criterion.bench_function("booklet, largest example", |bencher| {
        bencher.iter(|| paper::booklet(black_box(&packet), paper::Options::default()));
    });
    let options = TemplateOptions {
        system: packet.system,
        stock: Stock::find("a4").expect("it is in the list"),
        rectangles: true,
    };
    criterion.bench_function("templates of all pieces on A4, largest example", |bencher| {
        bencher.iter(|| paper::templates(black_box(&packet), options, false));
    });
    criterion.bench_function("pictures of all steps, largest example", |bencher| {
        bencher.iter(|| drawing::steps::draw_all(black_box(&packet.pattern), packet.system));
    });
    criterion.bench_function("the finished bag, largest example", |bencher| {
        bencher.iter(|| paper::finished_scene(black_box(&packet)));
    });
    criterion.bench_function("bagwright check, process", |bencher| {
        bencher.iter(|| run(&["check", LARGEST]));
    });
    let folder = tempfile::TempDir::new().expect("a folder can be made");
    let place = folder.path().join("packet");
    criterion.bench_function("bagwright make --rounds 0, process", |bencher| {
        bencher.iter(|| make(&place, "0"));
    });
    criterion.bench_function("bagwright make (200 rounds), process", |bencher| {
        bencher.iter(|| make(&place, "200"));
    });
}

criterion_group! {
    name = all;
    config = Criterion::default().sample_size(10);
    targets = benches
}
criterion_main!(all);
