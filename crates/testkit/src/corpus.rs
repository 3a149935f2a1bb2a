//! Correct patterns to try things on: every example, and combinations of kinds with measures drawn
//! at random.

use std::fs;
use std::path::PathBuf;

use anyhow::{Context, Result, ensure};
use bag::design::{Chosen, INTERFACING};
use bag::kinds::{Value, Values};
use bag::{Design, Pattern, Role, bodies, closures, handles, linings, pockets};
use measure::{Length, System, Units};

use crate::Rng;

/// A correct pattern with a name to find it by.
#[derive(Clone, Debug)]
pub struct Sample {
    /// The example's file name, or the number of the combination.
    pub name: String,
    /// The pattern.
    pub pattern: Pattern,
}

/// The folder of the repository.
pub fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../..")
}

/// The patterns of all examples, in order of their names.
///
/// # Errors
/// When the folder cannot be read, or an example is not understood or refused.
pub fn examples() -> Result<Vec<Sample>> {
    let folder = root().join("examples");
    let mut paths: Vec<PathBuf> = fs::read_dir(&folder)
        .with_context(|| format!("cannot read {}", folder.display()))?
        .map(|entry| entry.map(|entry| entry.path()))
        .collect::<std::io::Result<_>>()?;
    paths.retain(|path| path.extension().is_some_and(|ending| ending == "toml"));
    paths.sort();
    let mut samples = Vec::new();
    for path in paths {
        let name = path.file_stem().unwrap_or_default().to_string_lossy().into_owned();
        let text = fs::read_to_string(&path)?;
        let design = store::read_design(&format!("{name}.toml"), &text)
            .map_err(|problems| anyhow::anyhow!("{name}: {problems:?}"))?;
        let pattern = bag::draft(&design).pattern.with_context(|| format!("{name} is refused"))?;
        samples.push(Sample { name, pattern });
    }
    ensure!(!samples.is_empty(), "there are no examples");
    Ok(samples)
}

/// Combinations of kinds with measures drawn at random: as many as asked, the same for the same
/// seed. What is refused when it is drafted is drawn again.
pub fn combinations(count: usize, seed: u64) -> Vec<Sample> {
    let mut rng = Rng::new(seed);
    let mut samples = Vec::new();
    let mut drawn = 0;
    while samples.len() < count && drawn < count * 20 {
        let design = combination(&mut rng, drawn);
        drawn += 1;
        // Pockets drawn at random may lie over each other, or behind the legs of a handle.
        let clear = |pattern: &Pattern| {
            !bag::checks::run(pattern).iter().any(|finding| finding.check == "pockets-clear")
        };
        if let Some(pattern) = bag::draft(&design).pattern.filter(clear) {
            samples.push(Sample { name: format!("combination {drawn}"), pattern });
        }
    }
    samples
}

/// One design; the number walks through the kinds, so that each comes with each.
fn combination(rng: &mut Rng, number: usize) -> Design {
    let units = if number.is_multiple_of(2) { Units::Inch } else { Units::Mm };
    let system = units.system();
    let mut at = number / 2;
    let mut next = |of: usize| {
        let index = at % of.max(1);
        at /= of.max(1);
        index
    };
    let mut design = Design::of(bodies::ALL[next(bodies::ALL.len())], units);
    design.lining = Chosen::new(linings::ALL[next(linings::ALL.len())], system);
    design.handles = Chosen::new(handles::ALL[next(handles::ALL.len())], system);
    design.handles.values.set("from", Value::Choice(["base", "rim"][next(2)]));
    design.lining.values.set("finish", Value::Choice(["overcast", "bound", "french"][next(3)]));
    design.closure = Chosen::new(closures::ALL[next(closures::ALL.len())], system);
    for _ in 0..rng.below(3) {
        let kind = pockets::ALL[rng.below(pockets::ALL.len())];
        let mut pocket = Chosen::new(kind, system);
        pocket.values.set("on", Value::Choice(["front", "back", "both"][rng.below(3)]));
        pocket.values.set("top", Value::Choice(["hem", "lined"][rng.below(2)]));
        pocket.values.set("divisions", Value::Count(1 + u32::from(rng.flip())));
        design.pockets.push(pocket);
    }
    measures(rng, &mut design, system);
    fabrics(rng, &mut design, system);
    design
}

/// Measures on the ruler, in the range in which people sew bags.
fn measures(rng: &mut Rng, design: &mut Design, system: System) {
    let mut length = |inches: (i64, i64)| match system {
        System::Inch => Length::inch_frac(rng.between(inches.0 * 4, inches.1 * 4), 4),
        System::Metric => Length::mm(rng.between(inches.0 * 25, inches.1 * 25)),
    };
    let (width, height, depth) = (length((13, 19)), length((13, 18)), length((2, 5)));
    let (taper, drop, apart) = (length((0, 3)), length((9, 12)), length((5, 7)));
    let (side, rim) = (length((0, 1)), length((0, 1)));
    let values = &mut design.body.values;
    values.set("width", Value::Length(width));
    values.set("height", Value::Length(height));
    values.set("depth", Value::Length(depth));
    if rng.below(3) == 0 {
        values.set("taper", Value::Length(taper));
    }
    if rng.below(3) == 0 {
        let quarter = height / 4;
        let base = match system {
            System::Inch => Length::inch_frac(quarter.to_nm() / Length::inch_frac(1, 4).to_nm(), 4),
            System::Metric => Length::mm(quarter.to_nm() / Length::MM.to_nm()),
        };
        values.set("contrast-base", Value::Length(base));
    }
    design.handles.values.set("drop", Value::Length(drop));
    design.handles.values.set("apart", Value::Length(apart));
    let usual = match system {
        System::Inch => Length::inch_frac(3, 8),
        System::Metric => Length::mm(10),
    };
    design.allowances.set("side", Value::Length(side.max(usual)));
    design.allowances.set("rim", Value::Length(rim.max(usual)));
}

/// Wide fabrics, so that every piece fits on them, some measured and some stiffened.
fn fabrics(rng: &mut Rng, design: &mut Design, system: System) {
    let thick = rng.flip();
    for fabric in design.fabrics.values_mut() {
        fabric.set("width", Value::Length(Length::inch(60)));
        fabric.set("one-way", Value::Flag(rng.flip()));
        if thick {
            fabric.set("thickness", Value::Length(Length::nm(600_000)));
        }
    }
    let own = design.fabrics[&Role::Outside].clone();
    design.fabrics.insert(Role::Handle, own);
    if rng.flip() {
        let held = Value::Choice(["fused", "basted", "block"][rng.below(3)]);
        let cut = Value::Choice(["full", "net"][rng.below(2)]);
        let mut interfacing = Values::defaults(INTERFACING, system);
        interfacing.set("held", held);
        interfacing.set("cut", cut);
        interfacing.set("width", Value::Length(Length::inch(60)));
        interfacing.set("name", Value::Text("interfacing".to_owned()));
        if thick {
            interfacing.set("thickness", Value::Length(Length::nm(1_200_000)));
        }
        let role = [Role::Outside, Role::Lining][rng.below(2)];
        design.interfacings.insert(role, interfacing);
    }
}
