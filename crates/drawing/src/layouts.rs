//! A cutting layout to scale: the fabric with its selvedges, every piece with its name and size,
//! what is left over, and how much is used and bought.

use kurbo::{Affine, Point, Rect, Vec2};
use layout::{CutLine, Layout, Placement, Problem, Shape, Stock};
use measure::{Length, Rounding, Ruler, System, show_bought, show_length, show_size};

use crate::cut_lines;
use crate::line::LineKind;
use crate::marks;
use crate::scale::Scale;
use crate::scene::{Fill, Layer, Scene, closed};
use crate::strips;
use crate::text::{Anchor, Text, size};
use crate::texture::{Cloth, Texture};

/// What is drawn, and for whom.
#[derive(Clone, Copy, Debug)]
pub struct LayoutOptions<'a> {
    /// Lower-case words joined by hyphens, for the picture's id.
    pub id: &'a str,
    /// What the fabric is called.
    pub fabric: &'a str,
    /// What the fabric is.
    pub cloth: Cloth,
    /// Whether its nap or print has one way.
    pub one_way: bool,
    /// What the pieces lie on.
    pub on: On,
    /// The reader's ruler.
    pub system: System,
    /// Room on paper, width × height in mm, without dimensions and captions.
    pub room: (f64, f64),
}

/// What pieces lie on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum On {
    /// Fabric off the bolt, from selvedge to selvedge.
    Bolt,
    /// A block that is fused before cutting: cut from fabric, so it has no selvedges and is not
    /// bought.
    Block,
    /// This one of the problem's remnants: only what lies on it is drawn.
    Remnant(usize),
}

/// Width of the strip that stands for a selvedge, in mm on paper.
const SELVEDGE: f64 = 2.4;

/// The picture of a layout, and the scale that it came to.
pub fn draw(problem: &Problem, layout: &Layout, options: LayoutOptions<'_>) -> (Scene, Scale) {
    let layout = &part_of(problem, layout, options.on);
    let bed = Bed::new(problem, layout, options);
    let count = layout.placements.len();
    let fabric = options.fabric;
    let scale = bed.scale.say();
    let used = bed.up(layout.length);
    let description = if options.on == On::Bolt {
        let bought = show_bought(layout.bought, options.system);
        let width = bed.show(bed.at_least(layout.width));
        format!(
            "{count} pieces on {fabric}, {width} of usable width; {used} used, {bought} bought, \
             {scale}."
        )
    } else {
        let what = if options.on == On::Block { "block" } else { "remnant" };
        let (width, length) = (bed.show(bed.width), bed.up(bed.length));
        format!("{count} pieces on a {what} of {fabric}, {width} wide and {length} long, {scale}.")
    };
    let mut scene = Scene::new(
        format!("layout-{}", options.id),
        format!("Cutting layout: {fabric}"),
        description,
    );
    bed.fabric(&mut scene, problem);
    bed.fold_and_print(&mut scene, problem, layout);
    let mut legend = Vec::new();
    for placement in &layout.placements {
        bed.piece(&mut scene, (problem, layout), placement, &mut legend);
    }
    bed.left_over(&mut scene, layout);
    if !layout.cuts.is_empty() {
        let cuts: Vec<_> = layout.cuts.iter().map(|cut| bed.line(cut)).collect();
        cut_lines::draw(&mut scene, &cuts);
    }
    let notes = bed.sizes(&mut scene, problem, layout);
    bed.legend(&mut scene, notes, &legend);
    (scene, bed.scale)
}

/// A layout, or what lies on the one remnant that is drawn.
fn part_of(problem: &Problem, layout: &Layout, on: On) -> Layout {
    let mut part = layout.clone();
    if let On::Remnant(stock) = on {
        part.placements.retain(|one| one.stock == stock);
        part.cuts.retain(|cut| cut.part.stock == stock);
        part.remnant =
            remnant(problem, on).and_then(|shape| layout::largest_free(shape, &part.placements));
    }
    part
}

/// The remnant that is drawn.
fn remnant(problem: &Problem, on: On) -> Option<&Shape> {
    match (&problem.stock, on) {
        (Stock::Remnants(shapes), On::Remnant(stock)) => shapes.get(stock),
        _ => None,
    }
}

/// Fabric spread out on paper.
struct Bed<'a> {
    options: LayoutOptions<'a>,
    scale: Scale,
    /// Whether its length runs across the page; else it runs up the page.
    lying: bool,
    width: Length,
    /// Length as drawn: what is bought, washed and squared up.
    length: Length,
}

impl<'a> Bed<'a> {
    fn new(problem: &Problem, layout: &Layout, options: LayoutOptions<'a>) -> Self {
        let placements = layout.placements.iter();
        let covered = placements.map(|p| p.x + p.width).max().unwrap_or(layout.width);
        let washed = problem.shrinkage.after_washing(layout.bought);
        let bought = (washed - problem.squaring).max(layout.length);
        let (width, length) = match options.on {
            On::Bolt => (layout.width, bought),
            On::Block => (covered, layout.length),
            On::Remnant(_) => {
                remnant(problem, options.on).map_or((covered, layout.length), Shape::size)
            }
        };
        let lying = Scale::fitting(length, width, options.room);
        let standing = Scale::fitting(width, length, options.room);
        // One way up the page, so that what is lettered stands as the print does; else whichever
        // is larger.
        let lying_down = !options.one_way && lying < standing;
        let scale = if lying_down { lying } else { standing };
        Self { options, scale, lying: lying_down, width, length }
    }

    /// From the fabric (across its width, along its length) to paper; lying, a quarter turn.
    fn at(&self, across: Length, along: Length) -> Point {
        let (across, along) = (self.scale.of(across), self.scale.of(along));
        if self.lying { Point::new(-along, -across) } else { Point::new(across, -along) }
    }

    /// A cut, from its beginning to its end.
    fn line(&self, cut: &CutLine) -> (Point, Point) {
        (self.at(cut.from.0, cut.from.1), self.at(cut.to.0, cut.to.1))
    }

    fn rect(&self, (x, y): (Length, Length), (width, length): (Length, Length)) -> Rect {
        Rect::from_points(self.at(x, y), self.at(x + width, y + length))
    }

    fn whole(&self) -> Rect {
        self.rect((Length::ZERO, Length::ZERO), (self.width, self.length))
    }

    fn show(&self, length: Length) -> String {
        show_length(length, self.options.system)
    }

    fn ruler(&self) -> Ruler {
        match self.options.system {
            System::Inch => Ruler::EIGHTH_INCH,
            System::Metric => Ruler::MM,
        }
    }

    /// A width that there is, never overstated: down to 1/8 in or 1 mm.
    fn at_least(&self, length: Length) -> Length {
        self.ruler().round(length, Rounding::Down)
    }

    /// A length that is needed, never understated: up to 1/8 in or 1 mm.
    fn up(&self, length: Length) -> String {
        self.show(self.ruler().round(length, Rounding::Up))
    }

    /// Lays texture space (y along the fabric's length) on paper.
    fn lay(&self) -> Affine {
        if self.lying { Affine::new([0.0, -1.0, 1.0, 0.0, 0.0, 0.0]) } else { Affine::IDENTITY }
    }

    /// A path on the fabric, on paper.
    fn path(&self, on_fabric: kurbo::BezPath) -> kurbo::BezPath {
        let lie = if self.lying {
            Affine::new([0.0, 1.0, -1.0, 0.0, 0.0, 0.0])
        } else {
            Affine::IDENTITY
        };
        self.scale.affine() * lie * on_fabric
    }

    fn fabric(&self, scene: &mut Scene, problem: &Problem) {
        let whole = self.whole();
        let layer = scene.layer("fabric");
        let fill = Fill::Cloth(Texture::right(Cloth::Waste), self.lay());
        let edge = match remnant(problem, self.options.on) {
            Some(Shape::Outline(outline)) => self.path(outline.to_path()),
            _ => polygon(whole),
        };
        layer.shape(edge, fill, Some(LineKind::Edge));
        if self.options.on != On::Bolt {
            return;
        }
        // The selvedges lie outside the usable width, each a thick double line.
        for out in [SELVEDGE * 0.4, SELVEDGE] {
            let lines = if self.lying {
                [whole.y0 - out, whole.y1 + out]
                    .map(|y| [Point::new(whole.x0, y), Point::new(whole.x1, y)])
            } else {
                [whole.x0 - out, whole.x1 + out]
                    .map(|x| [Point::new(x, whole.y0), Point::new(x, whole.y1)])
            };
            for ends in lines {
                layer.line(ends, LineKind::Selvedge);
            }
        }
    }

    /// The fold of folded fabric, drawn opened out, and the grid of a print, which begins at the
    /// first piece that has to match.
    fn fold_and_print(&self, scene: &mut Scene, problem: &Problem, layout: &Layout) {
        let Stock::Bolt { fold, repeat, .. } = &problem.stock else { return };
        let none = Length::ZERO;
        if *fold && self.options.on == On::Bolt {
            let middle = layout.width.half();
            let ends = [self.at(middle, none), self.at(middle, self.length)];
            scene.layer("fold").line(ends, LineKind::Fold);
        }
        let across = problem.shrinkage.width_after_washing(repeat.0);
        let along = problem.shrinkage.after_washing(repeat.1);
        let is_matched = |one: &&Placement| {
            problem.pieces.get(one.piece).is_some_and(|item| item.group.is_some())
        };
        let Some(first) = layout.placements.iter().find(is_matched) else { return };
        // A repeat finer than this on paper would be a tint, not a grid.
        let lines = |start: Length, every: Length, end: Length| -> Vec<Length> {
            if self.scale.of(every) < 2.0 {
                return Vec::new();
            }
            let first = Length::nm(start.to_nm().rem_euclid(every.to_nm()));
            std::iter::successors(Some(first), |at| Some(*at + every))
                .take_while(|at| *at <= end)
                .collect()
        };
        let layer = scene.layer("print");
        for x in lines(first.x, across, self.width) {
            layer.line([self.at(x, none), self.at(x, self.length)], LineKind::Thin);
        }
        for y in lines(first.y, along, self.length) {
            layer.line([self.at(none, y), self.at(self.width, y)], LineKind::Thin);
        }
    }

    fn piece(
        &self,
        scene: &mut Scene,
        (problem, layout): (&Problem, &Layout),
        placement: &Placement,
        legend: &mut Vec<String>,
    ) {
        let Some(item) = problem.pieces.get(placement.piece) else { return };
        let frame = self.rect((placement.x, placement.y), (placement.width, placement.length));
        let path = match &item.shape {
            Shape::Outline(outline) => {
                let mut turned = outline.clone();
                if placement.mirrored {
                    turned = turned.mirrored();
                }
                turned = turned.rotated_quarter(i32::from(placement.rotation.quarters()));
                let (low, _) = turned.bounds();
                let to = measure::Point::new(placement.x - low.x, placement.y - low.y);
                self.path(turned.translated(to).to_path())
            }
            Shape::Rect { .. } => polygon(frame),
        };
        let fill = Fill::Cloth(Texture::right(self.options.cloth), self.lay());
        scene.layer("pieces").shape(path, fill, Some(LineKind::Cut));
        // The size is given as the piece is cut, and read along its own width.
        let (width, length) = strips::cut_size(placement);
        let size = show_size(width, length, self.options.system);
        let name = strips::name(problem, layout, placement);
        let turned = placement.rotation.is_crosswise() != self.lying;
        let layer = scene.layer("names");
        if !label(layer, frame, (&name, &size), turned) {
            let entry = format!("{name}, {size}");
            let number = legend.iter().position(|known| *known == entry).unwrap_or_else(|| {
                legend.push(entry);
                legend.len() - 1
            });
            layer
                .text(Text::new((number + 1).to_string(), frame.center()).sized(size::NOTE).bold());
        }
    }

    fn left_over(&self, scene: &mut Scene, layout: &Layout) {
        let Some(left) = layout.remnant.filter(|_| self.options.on != On::Block) else { return };
        let frame = self.rect((left.x, left.y), (left.width, left.length));
        if frame.width() < 8.0 || frame.height() < 8.0 {
            return;
        }
        let (width, length) = (self.at_least(left.width), self.at_least(left.length));
        let size = show_size(width, length, self.options.system);
        label(scene.layer("left-over"), frame, ("left over", &size), self.lying);
    }

    /// Draws the dimensions; returns what has to be said below the picture.
    fn sizes(&self, scene: &mut Scene, problem: &Problem, layout: &Layout) -> Vec<String> {
        let layer = scene.layer("sizes");
        let mut notes = Vec::new();
        if self.options.on != On::Bolt {
            self.along(layer, self.length, 0, &self.show(self.length));
            self.across(layer, &self.show(self.width));
        } else {
            // A text longer than what it measures would run into the next dimension.
            let fits = |text: &str, length: Length| {
                Text::new(text, Point::ZERO).width() <= self.scale.of(length)
            };
            let used = format!("used {}", self.up(layout.length));
            if fits(&used, layout.length) {
                self.along(layer, layout.length, 0, &used);
            } else {
                notes.push(used);
            }
            let whole = self.show(self.at_least(self.length));
            if fits(&whole, self.length) {
                self.along(layer, self.length, 1, &whole);
            }
            notes.push(self.whole_length(problem, layout));
            let width = self.show(self.at_least(layout.width));
            let washed = if problem.shrinkage.crosswise > 0 { " after washing" } else { "" };
            let width = format!("{width} usable{washed}");
            if fits(&width, layout.width) {
                self.across(layer, &width);
            } else {
                notes.push(width);
            }
        }
        self.grain(scene.layer("grain"));
        notes
    }

    /// What the drawn length is, and what was bought for it.
    fn whole_length(&self, problem: &Problem, layout: &Layout) -> String {
        let bought = bought_text(layout.bought, self.options.system);
        let done = match (problem.shrinkage.lengthwise > 0, problem.squaring.is_positive()) {
            (false, false) => return format!("bought {bought}"),
            (false, true) => "squared up",
            (true, false) => "washed",
            (true, true) => "washed and squared up",
        };
        format!("{} left when {done}, of {bought} bought", self.show(self.at_least(self.length)))
    }

    /// A dimension along the fabric, from its beginning; `row` counts outwards from the fabric.
    fn along(&self, layer: &mut Layer, length: Length, row: u32, text: &str) {
        let whole = self.whole();
        let out = SELVEDGE + 6.0 + marks::DIMENSION_PITCH * f64::from(row);
        let end = self.at(Length::ZERO, length);
        if self.lying {
            let corner = |x: f64| Point::new(x, whole.y0 - SELVEDGE);
            marks::dimension_across(layer, corner(end.x), corner(whole.x1), whole.y0 - out, text);
        } else {
            let corner = |y: f64| Point::new(whole.x1 + SELVEDGE, y);
            marks::dimension_down(layer, corner(end.y), corner(whole.y1), whole.x1 + out, text);
        }
    }

    /// The dimension across the fabric.
    fn across(&self, layer: &mut Layer, text: &str) {
        let whole = self.whole();
        let corner = Point::new(whole.x0, whole.y0);
        if self.lying {
            let bottom = Point::new(whole.x0, whole.y1);
            marks::dimension_down(layer, corner, bottom, whole.x0 - 6.0, text);
        } else {
            let right = Point::new(whole.x1, whole.y0);
            marks::dimension_across(layer, corner, right, whole.y0 - 6.0, text);
        }
    }

    /// The grain arrow and the word for the selvedge, beside the fabric.
    fn grain(&self, layer: &mut Layer) {
        let whole = self.whole();
        let (along, extent) = if self.lying {
            (Vec2::new(-1.0, 0.0), whole.width())
        } else {
            (Vec2::new(0.0, -1.0), whole.height())
        };
        let word = if self.options.one_way { "one way" } else { "grain" };
        let length = 18.0_f64.min(extent * 0.5);
        // A block has no selvedge; its arrow begins at the corner.
        let edge = if self.options.on == On::Bolt { "selvedge" } else { "" };
        let selvedge = Text::new(edge, Point::ZERO).sized(size::NOTE);
        let grain = Text::new(word, Point::ZERO).sized(size::NOTE);
        if self.lying {
            let y = whole.y1 + SELVEDGE + 3.4;
            layer.text(Text {
                at: Point::new(whole.x0, y),
                anchor: Anchor::Start,
                ..selvedge.clone()
            });
            let start = whole.x0 + selvedge.width() + 6.0;
            self.arrow(layer, Point::new(start + length / 2.0, y), along, length);
            let at = Point::new(start + length + 2.0, y);
            layer.text(Text { at, anchor: Anchor::Start, ..grain });
        } else {
            let x = whole.x0 - SELVEDGE - 3.4;
            let upright = |text: Text, y: f64| Text {
                at: Point::new(x, y),
                anchor: Anchor::Start,
                turn: -90.0,
                ..text
            };
            let start = whole.y1 - selvedge.width() - 6.0;
            layer.text(upright(selvedge, whole.y1));
            self.arrow(layer, Point::new(x, start - length / 2.0), along, length);
            layer.text(upright(grain, start - length - 2.0));
        }
    }

    fn arrow(&self, layer: &mut Layer, middle: Point, along: Vec2, length: f64) {
        if self.options.one_way {
            marks::one_way(layer, middle, along, length);
        } else {
            marks::grain(layer, middle, along, length);
        }
    }

    /// Notes on the lengths, and names of pieces too small to be named where they lie.
    fn legend(&self, scene: &mut Scene, notes: Vec<String>, legend: &[String]) {
        let names = legend.iter().enumerate();
        let names = names.map(|(index, entry)| format!("{} – {entry}", index + 1));
        let bounds = scene.bounds();
        let mut y = bounds.y1 + 2.0;
        for line in notes.into_iter().chain(names) {
            let text = Text::new(line, Point::new(bounds.x0 + 2.0, y));
            scene.layer("legend").text(text.sized(size::NOTE).anchored(Anchor::Start));
            y += 4.6;
        }
    }
}

/// A bought length as the shop sells it, with inches where it is in yards.
fn bought_text(bought: Length, system: System) -> String {
    let shop = show_bought(bought, system);
    let ruler = show_length(bought, system);
    if shop.ends_with("in") || system == System::Metric {
        shop
    } else {
        format!("{shop} ({ruler})")
    }
}

fn polygon(rect: Rect) -> kurbo::BezPath {
    closed([
        Point::new(rect.x0, rect.y0),
        Point::new(rect.x1, rect.y0),
        Point::new(rect.x1, rect.y1),
        Point::new(rect.x0, rect.y1),
    ])
}

/// Writes a name and a size into a frame: on two lines or one, level or turned, whatever fits;
/// `turned` is tried first where it is said, so that a width reads along the width. Says whether
/// anything did.
fn label(layer: &mut Layer, frame: Rect, (name, size): (&str, &str), turned: bool) -> bool {
    const LINE: f64 = 4.6;
    let name = || Text::new(name, Point::ZERO).sized(size::LABEL).bold().plated();
    let size = || Text::new(size, Point::ZERO).sized(size::NOTE).plated();
    let centre = frame.center();
    let widest = name().width().max(size().width()) + 2.0;
    let in_line = name().width() + size().width() + 4.0;
    let turns = if turned { [-90.0, 0.0] } else { [0.0, -90.0] };
    for turn in turns {
        let (room, depth) = if turn == 0.0 {
            (frame.width(), frame.height())
        } else {
            (frame.height(), frame.width())
        };
        let (along, down) = if turn == 0.0 {
            (Vec2::new(1.0, 0.0), Vec2::new(0.0, 1.0))
        } else {
            (Vec2::new(0.0, -1.0), Vec2::new(1.0, 0.0))
        };
        if widest <= room && depth >= 2.0 * LINE + 1.0 {
            layer.text(Text { at: centre - down * (LINE / 2.0), turn, ..name() });
            layer.text(Text { at: centre + down * (LINE / 2.0), turn, ..size() });
            return true;
        }
        if in_line <= room && depth >= LINE {
            let start = centre - along * (in_line / 2.0 - 1.0);
            layer.text(Text { at: start, turn, anchor: Anchor::Start, ..name() });
            let start = start + along * (name().width() + 2.0);
            layer.text(Text { at: start, turn, anchor: Anchor::Start, ..size() });
            return true;
        }
    }
    false
}

#[cfg(test)]
mod tests {
    use kurbo::Shape as _;
    use layout::{Item, Rotations, Stock};
    use measure::Increments;

    use super::*;
    use crate::scene::Item as Drawn;

    /// Two linings 21 × 17 in and two pockets 12 × 9 in on 42 in, grain kept.
    fn lining() -> (Problem, Layout) {
        let inch = Length::inch;
        let item = |name: &str, width, length| {
            Item::rectangle(name, (inch(width), inch(length)), 2, Rotations::along_the_grain())
        };
        let stock = Stock::bolt(inch(42), Increments::eighth_yards());
        let problem = Problem::new(stock, vec![item("lining", 21, 17), item("pocket", 12, 9)]);
        let layout = layout::first(&problem).unwrap();
        (problem, layout)
    }

    fn options(room: (f64, f64)) -> LayoutOptions<'static> {
        LayoutOptions {
            id: "lining",
            fabric: "calico",
            cloth: Cloth::Lining,
            one_way: false,
            on: On::Bolt,
            system: System::Inch,
            room,
        }
    }

    /// Common practice, no source: 26 in used, so 3/4 yd in eighths.
    #[test]
    fn a_layout_says_what_is_used_and_bought() {
        let (problem, layout) = lining();
        let (scene, _) = draw(&problem, &layout, options((130.0, 110.0)));
        let texts: Vec<&str> = scene.texts().map(|text| text.content.as_str()).collect();
        for expected in ["used 26 in", "bought 3/4 yd (27 in)", "42 in usable", "21 × 17 in"] {
            assert!(texts.contains(&expected), "{expected}: {texts:?}");
        }
        assert_eq!(scene.overlapping_texts(), []);
    }

    #[test]
    fn pieces_are_drawn_to_scale_and_do_not_overlap() {
        let (problem, layout) = lining();
        for room in [(130.0, 110.0), (60.0, 60.0), (200.0, 90.0)] {
            let (scene, scale) = draw(&problem, &layout, options(room));
            let layer = scene.layers.iter().find(|layer| layer.name == "pieces").unwrap();
            let frames: Vec<Rect> = layer
                .items
                .iter()
                .filter_map(|item| match item {
                    Drawn::Shape { path, .. } => Some(path.bounding_box()),
                    Drawn::Text(_) => None,
                })
                .collect();
            assert_eq!(frames.len(), 4);
            let mut areas: Vec<f64> = frames.iter().map(Rect::area).collect();
            areas.sort_by(f64::total_cmp);
            let square = |w: i64, h: i64| scale.of(Length::inch(w)) * scale.of(Length::inch(h));
            assert!((areas[0] - square(12, 9)).abs() < 1e-6, "{areas:?}");
            assert!((areas[3] - square(21, 17)).abs() < 1e-6, "{areas:?}");
            for (index, a) in frames.iter().enumerate() {
                for b in &frames[index + 1..] {
                    assert!(a.intersect(*b).area() < 1e-6, "{a:?} {b:?}");
                }
            }
        }
    }

    #[test]
    fn cuts_are_drawn_and_numbered_and_cover_no_lettering() {
        let (mut problem, _) = lining();
        problem.cutting = layout::Cutting::StripsFirst { longest_cut: None };
        let layout = layout::first(&problem).expect("it fits");
        assert!(layout.cuts.len() >= 4, "{:?}", layout.cuts);
        for room in [(130.0, 110.0), (60.0, 60.0), (200.0, 90.0)] {
            let (scene, _) = draw(&problem, &layout, options(room));
            assert_eq!(scene.overlapping_texts(), []);
            let of = |name: &str| {
                let layer = scene.layers.iter().find(|layer| layer.name == name);
                layer.map_or(&[][..], |layer| &layer.items)
            };
            assert_eq!(of("cuts").len(), layout.cuts.len());
            let numbers = of("cut-numbers").iter().filter_map(|item| match item {
                Drawn::Text(text) => Some(text.content.as_str()),
                Drawn::Shape { .. } => None,
            });
            assert!(numbers.clone().count() >= 3, "{:?}", numbers.collect::<Vec<_>>());
        }
    }

    #[test]
    fn a_fold_and_a_print_are_drawn() {
        let lines = |scene: &Scene, name: &str| {
            let layer = scene.layers.iter().find(|layer| layer.name == name);
            layer.map_or(0, |layer| layer.items.len())
        };
        let (mut problem, _) = lining();
        if let Stock::Bolt { fold, .. } = &mut problem.stock {
            *fold = true;
        }
        let (scene, _) = draw(&problem, &layout::first(&problem).unwrap(), options((130.0, 110.0)));
        assert_eq!((lines(&scene, "fold"), lines(&scene, "print")), (1, 0));
        if let Stock::Bolt { fold, repeat, .. } = &mut problem.stock {
            (*fold, *repeat) = (false, (Length::inch(12), Length::ZERO));
        }
        problem.pieces[0].group = Some("print".to_owned());
        let (scene, _) = draw(&problem, &layout::first(&problem).unwrap(), options((130.0, 110.0)));
        // Every 12 in on 42 in.
        assert!((3..=4).contains(&lines(&scene, "print")) && lines(&scene, "fold") == 0);
    }

    #[test]
    fn names_that_do_not_fit_are_numbered_below() {
        let (problem, layout) = lining();
        let (scene, _) = draw(&problem, &layout, options((20.0, 20.0)));
        let texts: Vec<&str> = scene.texts().map(|text| text.content.as_str()).collect();
        assert!(texts.iter().any(|text| text.ends_with("– pocket, 12 × 9 in")), "{texts:?}");
        assert_eq!(scene.overlapping_texts(), []);
    }
}
