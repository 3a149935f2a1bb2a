//! Yardage at the usual bought widths, for one fabric and for a fabric for each part, with the
//! interfacing.

use bag::draft::usual_usable;
use bag::pattern::{Cloth, MaterialId, Pattern};
use measure::{Length, System, bought_widths};

use crate::cut::{Cut, fabric_sheet, interfacing_sheet};
use crate::problems::{Sheet, bolt};

/// What to buy at each width.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct WidthTable {
    /// The fabrics, then the interfacings, in the order of the columns.
    pub fabrics: Vec<MaterialId>,
    /// A row for each bought width.
    pub rows: Vec<WidthRow>,
}

/// What to buy at one width; none where a piece does not fit.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WidthRow {
    /// As the shop says it: "44/45 in".
    pub label: String,
    /// Selvedge to selvedge.
    pub bought: Length,
    /// If everything but the interfacing is cut from one fabric.
    pub one_fabric: Option<Length>,
    /// For each fabric and interfacing of the pattern.
    pub each: Vec<Option<Length>>,
}

/// Lays out every fabric at every usual width.
pub(crate) fn widths(pattern: &Pattern, cuts: &[Cut], system: System) -> WidthTable {
    let cloths = |interfacing: bool| -> Vec<(MaterialId, &Cloth)> {
        let is_used =
            |id: &MaterialId| cuts.iter().any(|cut| cut.is_bought() && cut.material == *id);
        (0..pattern.materials.len())
            .map(MaterialId)
            .filter(|id| pattern.material(*id).is_interfacing() == interfacing && is_used(id))
            .filter_map(|id| Some((id, pattern.material(id).cloth()?)))
            .collect()
    };
    let (fabrics, stiff) = (cloths(false), cloths(true));
    let blocks: Vec<Cut> = cuts.iter().filter(|cut| !cut.is_bought()).cloned().collect();
    let rows = bought_widths(system).map(|width| {
        let usable = usual_usable(width.width, system);
        let sheet = |id, cloth| fabric_sheet(pattern, id, cloth, usable, &blocks);
        let sheets: Vec<Sheet> = fabrics.iter().map(|(id, cloth)| sheet(*id, *cloth)).collect();
        let stiff = stiff
            .iter()
            .map(|(id, cloth)| buy(&interfacing_sheet(pattern, *id, cloth, usable, &blocks)));
        WidthRow {
            label: width.title.to_owned(),
            bought: width.width,
            one_fabric: together(pattern, &fabrics, &sheets, usable),
            each: sheets.iter().map(buy).chain(stiff).collect(),
        }
    });
    let rows = rows.collect();
    WidthTable { fabrics: fabrics.iter().chain(&stiff).map(|(id, _)| *id).collect(), rows }
}

fn buy(sheet: &Sheet) -> Option<Length> {
    layout::first(&sheet.problem).ok().map(|layout| layout.bought)
}

/// Everything from one fabric: it shrinks as the one that shrinks most.
fn together(
    pattern: &Pattern,
    fabrics: &[(MaterialId, &Cloth)],
    sheets: &[Sheet],
    usable: Length,
) -> Option<Length> {
    let mut cloth = (*fabrics.first()?.1).clone();
    for (_, other) in fabrics {
        cloth.shrinks_in_length = cloth.shrinks_in_length.max(other.shrinks_in_length);
        cloth.shrinks_in_width = cloth.shrinks_in_width.max(other.shrinks_in_width);
    }
    let items = sheets.iter().flat_map(|sheet| sheet.problem.pieces.clone()).collect();
    layout::first(&bolt(pattern, &cloth, usable, items)).ok().map(|layout| layout.bought)
}
