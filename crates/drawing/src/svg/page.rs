//! Many pictures on one page of HTML, in few bytes: a texture is a repeating pattern that is said
//! once, lines are styled by their class, and what two pictures share is drawn once.
//!
//! A file by itself has its strokes written out (see [`crate::texture`]); on a page, which only
//! browsers read, patterns come out the same and take a tenth of the room.

use std::collections::BTreeMap;

use kurbo::{Affine, BezPath};

use super::{HUNDREDTHS, dashes, escape, lettering, number, number_to, path_to, put};
use crate::line::LineKind;
use crate::scene::{Fill, Item, Layer, Scene};
use crate::text::FAMILY;
use crate::texture::{Texture, Tile};

/// What the pictures of a page have in common.
#[derive(Debug, Default)]
pub struct Page {
    /// The tile of each texture and family, by its name.
    tiles: BTreeMap<String, Tile>,
    /// How tiles are laid, by tile and transform; the value is the number in the id.
    laid: BTreeMap<(String, String), usize>,
}

impl Page {
    /// A page without pictures.
    pub fn new() -> Self {
        Self::default()
    }

    /// The `svg` element of a scene. Layers that are also in `like`, an element of which has been
    /// written to this page already, are used from there.
    pub fn element(&mut self, scene: &Scene, like: Option<&Scene>) -> String {
        let bounds = scene.bounds();
        let id = escape(&scene.id);
        let mut out = String::new();
        put(
            &mut out,
            format_args!(
                "<svg width=\"{w}mm\" height=\"{h}mm\" viewBox=\"{x} {y} {w} {h}\" role=\"img\" \
                 aria-labelledby=\"{id}-title {id}-desc\">\
                 <title id=\"{id}-title\">{title}</title><desc id=\"{id}-desc\">{desc}</desc>\n",
                w = hundredth(bounds.width()),
                h = hundredth(bounds.height()),
                x = hundredth(bounds.x0),
                y = hundredth(bounds.y0),
                title = escape(&scene.title),
                desc = escape(&scene.description),
            ),
        );
        for layer in &scene.layers {
            let known = like.filter(|like| like.layers.contains(layer));
            match known {
                Some(like) => put(
                    &mut out,
                    format_args!("<use href=\"#{}-{}\"/>\n", escape(&like.id), escape(&layer.name)),
                ),
                None => self.layer(&mut out, &id, layer),
            }
        }
        out.push_str("</svg>\n");
        out
    }

    fn layer(&mut self, out: &mut String, id: &str, layer: &Layer) {
        put(out, format_args!("<g id=\"{id}-{}\">\n", escape(&layer.name)));
        for item in &layer.items {
            match item {
                Item::Shape { path, fill, line } => self.shape(out, path, *fill, *line),
                Item::Text(text) => lettering(out, text),
            }
        }
        out.push_str("</g>\n");
    }

    fn shape(&mut self, out: &mut String, path: &BezPath, fill: Fill, line: Option<LineKind>) {
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
                plain(&format!("cloth-{}", texture.name()), out);
                let rings = crate::scene::rings(path);
                if texture.is_drawn(to_paper) && !rings.is_empty() {
                    for id in self.lay(texture, to_paper) {
                        put(out, format_args!("<path d=\"{data}\" fill=\"url(#{id})\"/>\n"));
                    }
                }
            }
        }
        if line.is_some() {
            plain(&lined, out);
        }
    }

    /// The ids of the patterns that lay a texture so. Where it begins does not matter, only how it
    /// is turned and foreshortened.
    fn lay(&mut self, texture: Texture, to_paper: Affine) -> Vec<String> {
        let [a, b, c, d, ..] = to_paper.as_coeffs();
        let linear = Affine::new([a, b, c, d, 0.0, 0.0]);
        let mut ids = Vec::new();
        for (index, tile) in texture.tiles().into_iter().enumerate() {
            let name = format!("{}-{index}", texture.name());
            let turned = (linear * tile.turn).as_coeffs();
            let matrix: Vec<String> =
                turned[..4].iter().map(|value| number_to(*value, 2)).collect();
            self.tiles.entry(name.clone()).or_insert(tile);
            let next = self.laid.len();
            let number = *self.laid.entry((name, matrix.join(" "))).or_insert(next);
            ids.push(format!("lay{number}"));
        }
        ids
    }

    /// What the pictures of the page refer to; it belongs into the page, in sight of no one but not
    /// hidden by `display: none`, which would take the patterns away.
    pub fn shared(&self) -> String {
        let mut out = String::from(
            "<svg width=\"0\" height=\"0\" style=\"position:absolute\" aria-hidden=\"true\"><defs>\n",
        );
        for (name, tile) in &self.tiles {
            put(
                &mut out,
                format_args!(
                    "<pattern id=\"tile-{name}\" patternUnits=\"userSpaceOnUse\" width=\"{}\" \
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
                    tile.ink,
                    number(tile.width)
                ),
            );
        }
        for ((name, matrix), number) in &self.laid {
            put(
                &mut out,
                format_args!(
                    "<pattern id=\"lay{number}\" href=\"#tile-{name}\" \
                     patternTransform=\"matrix({matrix} 0 0)\"/>\n"
                ),
            );
        }
        out.push_str("</defs></svg>\n");
        out
    }

    /// How lines, fills and letters of the pictures look, as a style sheet.
    pub fn style() -> String {
        let mut out = format!(
            "svg{{fill:none;stroke-linejoin:round;font-family:{FAMILY}}}\n\
             svg text{{fill:#000}}\n.paper{{fill:#fff}}\n.ink{{fill:#000}}\n"
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

fn hundredth(value: f64) -> String {
    number_to(value, HUNDREDTHS)
}

#[cfg(test)]
mod tests {
    use kurbo::Point;

    use super::*;
    use crate::scene::closed;
    use crate::text::Text;
    use crate::texture::{Cloth, Side};

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
}
