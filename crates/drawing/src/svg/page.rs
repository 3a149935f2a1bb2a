//! Many pictures on one page of HTML, in few bytes: a texture is a repeating pattern that is said
//! once, lines are styled by their class, and what two pictures share is drawn once.
//!
//! A file by itself has its strokes written out (see [`crate::texture`]); on a page, which only
//! browsers read, patterns come out the same and take a tenth of the room.

use std::collections::BTreeMap;

use kurbo::{Affine, BezPath};

use super::{HUNDREDTHS, dashes, escape, lettering, number, number_to, path_to, put};
use crate::dress::{Dress, Repeat};
use crate::line::LineKind;
use crate::scene::{Fill, Item, Layer, Scene};
use crate::text::FAMILY;
use crate::texture::{Cloth, Side, Texture, Tile};

/// What the pictures of a page have in common.
#[derive(Debug, Default)]
pub struct Page {
    /// What the ids begin with, so that several of these can stand on one page.
    prefix: String,
    /// Cloths that look as they are.
    dresses: BTreeMap<Cloth, Dress>,
    /// The tile of each texture and family, by its name.
    tiles: BTreeMap<String, Tile>,
    /// The tile of each print, by its name.
    prints: BTreeMap<String, Repeat>,
    /// How tiles are laid, by tile and transform; the value is the number in the id.
    laid: BTreeMap<(String, String), usize>,
}

impl Page {
    /// A page without pictures.
    pub fn new() -> Self {
        Self::default()
    }

    /// A part of a page without pictures, in which these cloths look as they are. Its ids begin with
    /// `prefix`.
    pub fn dressed(prefix: &str, dresses: BTreeMap<Cloth, Dress>) -> Self {
        Self { prefix: format!("{}-", escape(prefix)), dresses, ..Self::default() }
    }

    /// The `svg` element of a scene. Layers that are also in `like`, an element of which has been
    /// written to this page already, are used from there.
    pub fn element(&mut self, scene: &Scene, like: Option<&Scene>) -> String {
        let id = escape(&scene.id);
        let mut out = opened(scene, "");
        for layer in &scene.layers {
            let known = like.filter(|like| like.layers.contains(layer));
            match known {
                Some(like) => put(
                    &mut out,
                    format_args!("<use href=\"#{}-{}\"/>\n", escape(&like.id), escape(&layer.name)),
                ),
                None => self.layer(&mut out, &id, layer, scene.scale),
            }
        }
        out.push_str("</svg>\n");
        out
    }

    /// The `svg` element of the only picture, which brings along what it refers to.
    pub fn picture(self, scene: &Scene) -> String {
        self.alone(scene, "", "")
    }

    /// The same as a file.
    pub fn file(self, scene: &Scene) -> String {
        let style = format!("<style>{}</style>\n", Self::style());
        self.alone(scene, " xmlns=\"http://www.w3.org/2000/svg\"", &style)
    }

    fn alone(mut self, scene: &Scene, attributes: &str, style: &str) -> String {
        let id = escape(&scene.id);
        let mut out = opened(scene, attributes);
        for layer in &scene.layers {
            self.layer(&mut out, &id, layer, scene.scale);
        }
        put(&mut out, format_args!("{}{style}</svg>\n", self.defs()));
        out
    }

    fn layer(&mut self, out: &mut String, id: &str, layer: &Layer, scale: f64) {
        put(out, format_args!("<g id=\"{id}-{}\">\n", escape(&layer.name)));
        // Lines of one kind that follow each other are one element: a browser has less to lay out.
        let kind = |item: &Item| match item {
            Item::Shape { fill: Fill::None, line: Some(line), .. } => Some(*line),
            _ => None,
        };
        for run in layer.items.chunk_by(|a, b| kind(a).is_some() && kind(a) == kind(b)) {
            match run {
                [Item::Text(text)] => lettering(out, text),
                [Item::Shape { path, fill, line }] => {
                    self.shape(out, path, (*fill, scale), *line);
                }
                lines => {
                    let mut whole = BezPath::new();
                    for item in lines {
                        if let Item::Shape { path, .. } = item {
                            whole.extend(path.iter());
                        }
                    }
                    self.shape(out, &whole, (Fill::None, scale), lines.first().and_then(kind));
                }
            }
        }
        out.push_str("</g>\n");
    }

    /// A shape, its fill in a picture of this scale.
    fn shape(
        &mut self,
        out: &mut String,
        path: &BezPath,
        (fill, scale): (Fill, f64),
        line: Option<LineKind>,
    ) {
        let data = path_to(path, HUNDREDTHS);
        let plain = |class: &str, out: &mut String| {
            put(out, format_args!("<path class=\"{class}\" d=\"{data}\"/>\n"));
        };
        let lined = line.map(|kind| format!("line-{}", kind.name())).unwrap_or_default();
        match fill {
            Fill::None => {}
            // The line is drawn over the whole fill, so both are one element.
            Fill::Paper => return plain(&format!("paper {lined}"), out),
            Fill::Ink => return plain(&format!("ink {lined}"), out),
            Fill::Cloth(texture, to_paper) => {
                match self.dress(texture) {
                    None => plain(&format!("cloth-{}", texture.name()), out),
                    Some(dress) => put(
                        out,
                        format_args!(
                            "<path class=\"cloth\" d=\"{data}\" fill=\"{}\"/>\n",
                            escape(&dress.ground)
                        ),
                    ),
                }
                let rings = crate::scene::rings(path);
                if texture.is_drawn(to_paper) && !rings.is_empty() {
                    for id in self.lay(texture, to_paper, scale) {
                        put(out, format_args!("<path d=\"{data}\" fill=\"url(#{id})\"/>\n"));
                    }
                }
            }
        }
        if line.is_some() {
            plain(&lined, out);
        }
    }

    /// How the right side of a cloth looks, if it looks as it is.
    fn dress(&self, texture: Texture) -> Option<&Dress> {
        (texture.side == Side::Right).then(|| self.dresses.get(&texture.cloth)).flatten()
    }

    /// The ids of the patterns that lay a texture so. Where it begins does not matter, only how it
    /// is turned and foreshortened, and in a print how large it is.
    fn lay(&mut self, texture: Texture, to_paper: Affine, scale: f64) -> Vec<String> {
        let [a, b, c, d, ..] = to_paper.as_coeffs();
        let linear = Affine::new([a, b, c, d, 0.0, 0.0]);
        if let Some(repeat) = self.dress(texture).and_then(Dress::repeat) {
            let name = format!("print-{}", texture.name());
            self.prints.entry(name.clone()).or_insert(repeat);
            return vec![self.laid(name, linear * Affine::scale(scale), 4)];
        }
        let ink = self.dress(texture).map(|dress| dress.figure.clone());
        let mut ids = Vec::new();
        for (index, mut tile) in texture.tiles().into_iter().enumerate() {
            let name = format!("{}-{index}", texture.name());
            let turned = linear * tile.turn;
            if let Some(ink) = &ink {
                tile.ink.clone_from(ink);
            }
            self.tiles.entry(name.clone()).or_insert(tile);
            ids.push(self.laid(name, turned, 2));
        }
        ids
    }

    /// The id of a tile laid so, its transform to so many decimals.
    fn laid(&mut self, tile: String, lie: Affine, decimals: usize) -> String {
        let matrix: Vec<String> =
            lie.as_coeffs()[..4].iter().map(|value| number_to(*value, decimals)).collect();
        let next = self.laid.len();
        let number = *self.laid.entry((tile, matrix.join(" "))).or_insert(next);
        format!("{}lay{number}", self.prefix)
    }

    /// What the pictures of the page refer to; it belongs into the page, in sight of no one but not
    /// hidden by `display: none`, which would take the patterns away.
    pub fn shared(&self) -> String {
        format!(
            "<svg class=\"shared\" width=\"0\" height=\"0\" aria-hidden=\"true\">{}</svg>\n",
            self.defs()
        )
    }

    /// The tiles, and how they are laid.
    fn defs(&self) -> String {
        let mut out = String::from("<defs>\n");
        let prefix = &self.prefix;
        for (name, tile) in &self.tiles {
            put(
                &mut out,
                format_args!(
                    "<pattern id=\"{prefix}tile-{name}\" patternUnits=\"userSpaceOnUse\" width=\"{}\" \
                     height=\"{}\"><path d=\"",
                    number(tile.size.0),
                    number(tile.size.1)
                ),
            );
            for (from, to) in &tile.lines {
                put(
                    &mut out,
                    format_args!(
                        "M{} {}L{} {}",
                        number(from.x),
                        number(from.y),
                        number(to.x),
                        number(to.y)
                    ),
                );
            }
            put(
                &mut out,
                format_args!(
                    "\" fill=\"none\" stroke=\"{}\" stroke-width=\"{}\" \
                     stroke-linecap=\"round\"/></pattern>\n",
                    escape(&tile.ink),
                    number(tile.width)
                ),
            );
        }
        for (name, Repeat { width, height, content }) in &self.prints {
            put(
                &mut out,
                format_args!(
                    "<pattern id=\"{prefix}tile-{name}\" patternUnits=\"userSpaceOnUse\" width=\"{}\" \
                     height=\"{}\">{content}</pattern>\n",
                    number(*width),
                    number(*height)
                ),
            );
        }
        for ((name, matrix), number) in &self.laid {
            put(
                &mut out,
                format_args!(
                    "<pattern id=\"{prefix}lay{number}\" href=\"#{prefix}tile-{name}\" \
                     patternTransform=\"matrix({matrix} 0 0)\"/>\n"
                ),
            );
        }
        out.push_str("</defs>\n");
        out
    }

    /// How lines, fills and letters of the pictures look, as a style sheet.
    pub fn style() -> String {
        let mut out = format!(
            ".drawing{{fill:none;stroke-linejoin:round;font-family:{FAMILY}}}\n\
             .drawing text{{fill:#000}}\n.drawing .paper{{fill:#fff}}\n.ink{{fill:#000}}\n\
             .cloth{{fill-rule:evenodd}}\n.shared{{position:absolute}}\n"
        );
        for kind in LineKind::ALL {
            put(
                &mut out,
                format_args!(
                    ".line-{}{{stroke:#000;stroke-width:{}{}}}\n",
                    kind.name(),
                    number(kind.width()),
                    match dashes(kind) {
                        Some(lengths) => format!(";stroke-dasharray:{lengths}"),
                        None => String::new(),
                    }
                ),
            );
        }
        for texture in Texture::every() {
            let (name, ground) = (texture.name(), texture.ground());
            put(&mut out, format_args!(".cloth-{name}{{fill:{ground};fill-rule:evenodd}}\n"));
        }
        out
    }
}

/// The head of an `svg` element, with its title and description.
fn opened(scene: &Scene, attributes: &str) -> String {
    let bounds = scene.bounds();
    let id = escape(&scene.id);
    format!(
        "<svg class=\"drawing\"{attributes} width=\"{w}mm\" height=\"{h}mm\" \
         viewBox=\"{x} {y} {w} {h}\" role=\"img\" aria-labelledby=\"{id}-title {id}-desc\">\
         <title id=\"{id}-title\">{title}</title><desc id=\"{id}-desc\">{desc}</desc>\n",
        w = hundredth(bounds.width()),
        h = hundredth(bounds.height()),
        x = hundredth(bounds.x0),
        y = hundredth(bounds.y0),
        title = escape(&scene.title),
        desc = escape(&scene.description),
    )
}

fn hundredth(value: f64) -> String {
    number_to(value, HUNDREDTHS)
}

#[cfg(test)]
mod tests {
    use kurbo::Point;

    use super::*;
    use crate::dress::{Motif, Print};
    use crate::scene::closed;
    use crate::text::Text;

    fn square(id: &str, words: &str) -> Scene {
        let mut scene = Scene::new(id, "A square", "A square of cloth with words on it.");
        let corners = [(0.0, 0.0), (30.0, 0.0), (30.0, 30.0), (0.0, 30.0)].map(Point::from);
        for (cloth, turn) in [(Cloth::Outside, 0.0), (Cloth::Contrast, 1.0), (Cloth::Outside, 0.0)]
        {
            let fill = Fill::Cloth(Texture { cloth, side: Side::Right }, Affine::rotate(turn));
            scene.layer("work").shape(closed(corners), fill, Some(LineKind::Edge));
        }
        scene.layer("words").text(Text::new(words, Point::new(15.0, 15.0)));
        scene
    }

    #[test]
    fn lines_of_one_kind_that_follow_each_other_are_one_element() {
        let mut scene = Scene::new("it", "Lines", "Some lines.");
        let kinds = [LineKind::Edge, LineKind::Edge, LineKind::Cut, LineKind::Edge];
        for (x, kind) in [0.0, 1.0, 2.0, 3.0].into_iter().zip(kinds) {
            let mut path = BezPath::new();
            path.move_to((x, 0.0));
            path.line_to((x, 10.0));
            scene.layer("work").shape(path, Fill::None, Some(kind));
        }
        let picture = Page::new().picture(&scene);
        let joined =
            "<path class=\"line-edge\" d=\"M0 0L0 10M1 0L1 10\"/>\n<path class=\"line-cut\"";
        assert!(picture.contains(joined), "{picture}");
        assert_eq!(picture.matches("<path").count(), 3, "{picture}");
    }

    #[test]
    fn what_two_pictures_share_is_drawn_once() {
        let mut page = Page::new();
        let (first, second) = (square("one", "4 in"), square("two", "10 cm"));
        let one = page.element(&first, None);
        let two = page.element(&second, Some(&first));
        assert!(one.contains("<g id=\"one-work\">") && one.contains("4 in"));
        assert!(two.contains("<use href=\"#one-work\"/>") && two.contains("10 cm"));
        assert!(!two.contains("<path"), "{two}");
        // One way to lay the outside; two families of the contrast: three patterns, three tiles.
        let shared = page.shared();
        assert_eq!(shared.matches("patternTransform").count(), 3, "{shared}");
        assert_eq!(shared.matches("<pattern id=\"tile-").count(), 3, "{shared}");
        for number in 0..3 {
            assert!(one.contains(&format!("url(#lay{number})")));
        }
    }

    #[test]
    fn a_cloth_that_looks_as_it_is_is_drawn_to_the_scale_of_the_picture() {
        let stripes = Print { motif: Motif::Stripes, across: 20.0, along: 30.0 };
        let dress =
            |print| Dress { ground: "#102030".to_owned(), figure: "#ffeedd".to_owned(), print };
        let mut scene = square("one", "4 in");
        scene.scale = 0.25;
        let mut page = Page::dressed(
            "one",
            BTreeMap::from([
                (Cloth::Outside, dress(Some(stripes))),
                (Cloth::Contrast, dress(None)),
            ]),
        );
        let picture = page.element(&scene, None);
        assert_eq!(picture.matches("fill=\"#102030\"").count(), 3);
        let shared = page.shared();
        assert!(shared.contains("<pattern id=\"one-tile-print-outside\" patternUnits=\"userSpaceOnUse\" width=\"20\" height=\"30\">"), "{shared}");
        assert!(shared.contains("patternTransform=\"matrix(0.25 0 0 0.25 0 0)\""), "{shared}");
        // A plain one keeps its strokes, in its own colour.
        assert!(shared.contains("stroke=\"#ffeedd\"") && !shared.contains("tile-print-contrast"));
    }

    #[test]
    fn a_file_brings_along_what_it_refers_to() {
        let (picture, file) =
            (Page::new().picture(&square("one", "4 in")), Page::new().file(&square("one", "4 in")));
        for (alone, number) in
            [&picture, &file].into_iter().flat_map(|it| [0, 1, 2].map(|n| (it, n)))
        {
            assert!(alone.contains(&format!("url(#lay{number})")));
            assert!(alone.contains(&format!("<pattern id=\"lay{number}\"")));
        }
        assert!(!picture.contains("<style>") && !picture.contains("xmlns"));
        assert!(file.contains(".line-edge{") && file.ends_with("</svg>\n"));
    }
}
