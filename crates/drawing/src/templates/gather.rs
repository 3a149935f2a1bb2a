//! Pieces that fit on a sheet, laid on sheets together.

use kurbo::{Affine, Point};
use layout::{Item as Laid, Problem, Rotations, Stock as Bolt};
use measure::{Increments, Length};

use super::Leaves;
use super::blocks::Block;
use crate::scene::Scene;

/// Lays the blocks on as few sheets as come out at once: the largest first, each sheet filled with
/// whatever still fits.
pub(super) fn gather(leaves: &mut Leaves<'_>, blocks: &[Block]) {
    let mut left: Vec<&Block> = blocks.iter().collect();
    left.sort_by(|a, b| b.room.area().total_cmp(&a.room.area()));
    while !left.is_empty() {
        let mut on: Vec<&Block> = Vec::new();
        let mut laid = None;
        let mut rest = Vec::new();
        for block in left {
            on.push(block);
            match lay(&on, leaves.stock.frame()) {
                Some(placed) => laid = Some(placed),
                None => rest.extend(on.pop()),
            }
        }
        let Some((places, height)) = laid else { return };
        leaf(leaves, &on, &places, height);
        left = rest;
    }
}

/// Where each block's upper left corner comes, and whether it is turned.
type Places = Vec<(Point, bool)>;

/// Lays blocks on one sheet; nothing if they do not all fit. Also says how far down they reach.
fn lay(blocks: &[&Block], (width, height): (f64, f64)) -> Option<(Places, f64)> {
    let up = |mm: f64| Length::mm(Length::from_mm_f64(mm.ceil()).to_nm() / Length::MM.to_nm());
    let items = blocks.iter().enumerate().map(|(index, block)| {
        let size = (up(block.room.width()), up(block.room.height()));
        Laid::rectangle(index.to_string(), size, 1, Rotations::free())
    });
    let increments = Increments::new(vec![Length::MM]).ok()?;
    let bolt = Bolt::bolt(Length::from_mm_f64(width), increments);
    let problem = Problem::new(bolt, items.collect());
    let layout = layout::first(&problem).ok()?;
    if layout.length.to_mm() > height {
        return None;
    }
    let mut places = vec![(Point::ZERO, false); blocks.len()];
    for placement in &layout.placements {
        let turned = placement.width != up(blocks[placement.piece].room.width());
        places[placement.piece] = (Point::new(placement.x.to_mm(), placement.y.to_mm()), turned);
    }
    Some((places, layout.length.to_mm()))
}

fn leaf(leaves: &mut Leaves<'_>, blocks: &[&Block], places: &[(Point, bool)], height: f64) {
    let names: Vec<&str> = blocks.iter().map(|block| block.title.as_str()).collect();
    let names = names.join(", ");
    let mut scene = Scene::new(
        "",
        names.clone(),
        format!("Sheet {} of the templates, true to size: {names}.", leaves.next()),
    );
    for (block, (corner, turned)) in blocks.iter().zip(places) {
        let turned = turned.then(|| block.turned());
        let block = turned.as_ref().unwrap_or(block);
        let by = Affine::translate(*corner - block.room.origin());
        block.draw(&mut scene, block.room.inflate(1.0, 1.0), by);
    }
    leaves.add(scene, height, &shortened(&names));
}

/// Names that fit into the margin.
fn shortened(names: &str) -> String {
    const MOST: usize = 60;
    if names.chars().count() <= MOST {
        return names.to_owned();
    }
    let kept: String = names.chars().take(MOST).collect();
    let kept = kept.rsplit_once(',').map_or(kept.as_str(), |(before, _)| before);
    format!("{kept} …")
}
