//! Templates true to size: every piece to be cut out of paper and laid on the fabric.
//!
//! Pieces that fit on a sheet are laid on sheets together. A larger one is spread over a grid of
//! sheets that overlap by [`OVERLAP`], with the number of the neighbour at every join; sheets of
//! the grid that the piece does not touch are left out.

mod blocks;
mod clip;
mod gather;
mod grid;
mod maps;
mod square;

use bag::pattern::{Look, Pattern, PieceId};
use kurbo::Rect;
use measure::{Length, PAPER_ROLLS, Sheet, System};

use crate::scene::Scene;
use crate::text::{Text, size};

pub use maps::Map;
pub use square::test_squares;

/// How much two sheets that are joined share, in mm.
pub const OVERLAP: f64 = 10.0;

/// What stays white at every edge of a sheet, because printers do not reach it, in mm. Desktop
/// printers leave 3 to 6.4 mm (common practice, no source).
pub const MARGIN: f64 = 10.0;

/// The longest sheet off a roll, in mm; what a PDF page may measure at most is 14,400 units of
/// 1/72 in (ISO 32000-1, annex C), 5,080 mm.
const LONGEST: f64 = 5_000.0;

/// What templates are printed on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Stock {
    /// Sheets of one size.
    Sheets(&'static Sheet),
    /// A roll of this width, as long as is needed.
    Roll(Length),
}

impl Stock {
    /// The words for it on the command line: sheets that printers and copy shops have, and rolls.
    pub fn words() -> impl Iterator<Item = (&'static str, Self)> {
        let sheets = ["a4", "letter", "a3", "tabloid", "a2", "a1", "a0"]
            .into_iter()
            .filter_map(measure::find_sheet)
            .map(|sheet| (sheet.id, Self::Sheets(sheet)));
        let rolls = ["roll-24", "roll-36", "roll-42"].into_iter().zip(PAPER_ROLLS);
        sheets.chain(rolls.map(|(word, width)| (word, Self::Roll(width))))
    }

    /// The stock of that word.
    pub fn find(word: &str) -> Option<Self> {
        Self::words().find(|(known, _)| *known == word).map(|(_, stock)| stock)
    }

    /// What people call it.
    pub fn title(self) -> String {
        match self {
            Self::Sheets(sheet) => sheet.title.to_owned(),
            Self::Roll(width) => {
                format!("roll paper {} wide", measure::show_length(width, System::Inch))
            }
        }
    }

    /// Width and greatest height of what can be printed on one sheet, in mm.
    fn frame(self) -> (f64, f64) {
        let (width, height) = match self {
            Self::Sheets(sheet) => (sheet.width.to_mm(), sheet.height.to_mm()),
            Self::Roll(width) => (width.to_mm(), LONGEST),
        };
        (width - 2.0 * MARGIN, height - 2.0 * MARGIN)
    }
}

/// How templates are made.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TemplateOptions {
    /// The reader's ruler.
    pub system: System,
    /// What they are printed on.
    pub stock: Stock,
    /// Whether rectangles are drawn, too, and not only listed to be cut by measure.
    pub rectangles: bool,
}

/// One sheet of templates.
#[derive(Clone, Debug, PartialEq)]
pub struct Leaf {
    /// The sheet with everything on it, its box being that of the paper.
    pub scene: Scene,
    /// Its number, from one.
    pub number: usize,
}

/// All templates of a pattern.
#[derive(Clone, Debug, PartialEq)]
pub struct Templates {
    /// The sheets, in order.
    pub leaves: Vec<Leaf>,
    /// How the sheets of each large piece are joined.
    pub maps: Vec<Map>,
    /// Pieces without a template, to be cut by measure.
    pub by_measure: Vec<PieceId>,
}

/// Draws the templates of every piece that is cut, and small guides to mark what recurs.
pub fn draw(pattern: &Pattern, options: TemplateOptions) -> Templates {
    let cut = pattern.piece_ids().filter(|id| pattern.count(*id) > 0);
    let (drawn, by_measure): (Vec<_>, Vec<_>) = cut.partition(|id| {
        let webbing = pattern.material(pattern.piece(*id).material).look == Look::Webbing;
        !webbing && (options.rectangles || !is_rectangle(pattern, *id))
    });
    let mut blocks: Vec<blocks::Block> =
        drawn.iter().map(|id| blocks::piece(pattern, *id, options.system)).collect();
    let frame = options.stock.frame();
    let guided = pattern.piece_ids().filter(|id| pattern.count(*id) > 0);
    blocks.extend(guided.flat_map(|id| blocks::guides(pattern, id, options.system, frame)));
    let (small, large): (Vec<_>, Vec<_>) = blocks.into_iter().partition(|block| block.fits(frame));
    let mut leaves = Leaves::new(options.stock, &pattern.title);
    let maps = large.iter().map(|block| grid::spread(&mut leaves, block)).collect();
    gather::gather(&mut leaves, &small);
    Templates { leaves: leaves.done, maps, by_measure }
}

/// Whether a piece is cut as a rectangle, which a ruler measures out better than paper.
fn is_rectangle(pattern: &Pattern, id: PieceId) -> bool {
    pattern.piece(id).cut().is_ok_and(|cut| cut.is_upright_rectangle())
}

/// Sheets in the making.
struct Leaves<'a> {
    stock: Stock,
    title: &'a str,
    done: Vec<Leaf>,
}

impl<'a> Leaves<'a> {
    fn new(stock: Stock, title: &'a str) -> Self {
        Self { stock, title, done: Vec::new() }
    }

    /// The number that the next sheet gets.
    fn next(&self) -> usize {
        self.done.len() + 1
    }

    /// Adds a sheet: what is drawn on it is measured from the corner of its frame. `height` is how
    /// much of a roll is used.
    fn add(&mut self, mut scene: Scene, height: f64, says: &str) {
        let (width, most) = self.stock.frame();
        let height = match self.stock {
            Stock::Sheets(_) => most,
            Stock::Roll(_) => height.min(most),
        };
        let number = self.next();
        let paper = Rect::new(-MARGIN, -MARGIN, width + MARGIN, height + MARGIN);
        scene.sheet = Some(paper);
        let foot = kurbo::Point::new(width / 2.0, height + MARGIN * 0.45);
        let note = format!("{} – sheet {number} – {says}", self.title);
        scene.layer("foot").text(Text::new(note, foot).sized(size::NOTE));
        scene.id = format!("template-sheet-{number}");
        self.done.push(Leaf { scene, number });
    }
}

#[cfg(test)]
mod tests;
