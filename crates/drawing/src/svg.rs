//! Writes a scene as SVG: true to size (width and height in mm, user unit 1 mm), the same bytes for
//! the same scene, every layer a named group, with a title and a description.

mod page;

use std::fmt::Write as _;

use kurbo::{BezPath, PathEl, Point, Rect};

use crate::line::LineKind;
use crate::scene::{Fill, Item, Scene, rings};
use crate::text::{CAP_HEIGHT, FAMILY, Text, Weight};
use crate::texture::Texture;

pub use page::Page;

/// Decimals of a coordinate in a file: micrometres.
const THOUSANDTHS: usize = 3;
/// Decimals of a coordinate on a page that is looked at.
const HUNDREDTHS: usize = 2;

/// A complete SVG file.
pub fn file(scene: &Scene) -> String {
    format!("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n{}", element(scene))
}

/// The `svg` element alone, to be set into a page of HTML.
pub fn element(scene: &Scene) -> String {
    let Rect { x0, y0, .. } = scene.bounds();
    let (width, height) = (scene.bounds().width(), scene.bounds().height());
    let id = escape(&scene.id);
    let mut out = String::new();
    put(
        &mut out,
        format_args!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{w}mm\" height=\"{h}mm\" \
             viewBox=\"{x} {y} {w} {h}\" role=\"img\" aria-labelledby=\"{id}-title {id}-desc\" \
             font-family=\"{FAMILY}\" fill=\"none\" stroke-linejoin=\"round\">\n\
             <title id=\"{id}-title\">{title}</title>\n<desc id=\"{id}-desc\">{desc}</desc>\n",
            w = number(width),
            h = number(height),
            x = number(x0),
            y = number(y0),
            title = escape(&scene.title),
            desc = escape(&scene.description),
        ),
    );
    for layer in &scene.layers {
        put(&mut out, format_args!("<g id=\"{id}-{}\">\n", escape(&layer.name)));
        for item in &layer.items {
            match item {
                Item::Shape { path, fill, line } => shape(&mut out, path, *fill, *line),
                Item::Text(text) => lettering(&mut out, text),
            }
        }
        out.push_str("</g>\n");
    }
    out.push_str("</svg>\n");
    out
}

/// Appends to a string, which cannot fail.
fn put(out: &mut String, arguments: std::fmt::Arguments<'_>) {
    // Writing to a `String` returns no error.
    let _ = out.write_fmt(arguments);
}

fn shape(out: &mut String, path: &BezPath, fill: Fill, line: Option<LineKind>) {
    let data = path_data(path);
    match fill {
        Fill::None => {}
        Fill::Paper => put(out, format_args!("<path d=\"{data}\" fill=\"#ffffff\"/>\n")),
        Fill::Ink => put(out, format_args!("<path d=\"{data}\" fill=\"#000000\"/>\n")),
        Fill::Cloth(texture, to_paper) => {
            put(
                out,
                format_args!(
                    "<path class=\"cloth-{}\" d=\"{data}\" fill=\"{}\" fill-rule=\"evenodd\"/>\n",
                    texture.name(),
                    texture.ground(),
                ),
            );
            strokes(out, texture, &rings(path), to_paper);
        }
    }
    if let Some(kind) = line {
        put(
            out,
            format_args!(
                "<path class=\"line-{}\" d=\"{data}\" stroke=\"#000000\" stroke-width=\"{}\"{}/>\n",
                kind.name(),
                number(kind.width()),
                dashes(kind).map_or_else(String::new, |it| format!(" stroke-dasharray=\"{it}\"")),
            ),
        );
    }
}

/// The dashes and gaps of a line, if it has any.
fn dashes(kind: LineKind) -> Option<String> {
    let lengths: Vec<String> = kind.dashes().iter().map(|length| number(*length)).collect();
    (!lengths.is_empty()).then(|| lengths.join(" "))
}

fn strokes(out: &mut String, texture: Texture, rings: &[Vec<Point>], to_paper: kurbo::Affine) {
    for family in texture.strokes(rings, to_paper) {
        if family.lines.is_empty() {
            continue;
        }
        out.push_str("<path d=\"");
        for (from, to) in &family.lines {
            put(out, format_args!("M{}L{}", pair(*from, THOUSANDTHS), pair(*to, THOUSANDTHS)));
        }
        put(
            out,
            format_args!(
                "\" stroke=\"{}\" stroke-width=\"{}\" stroke-linecap=\"round\"/>\n",
                texture.ink(),
                number(family.width),
            ),
        );
    }
}

fn lettering(out: &mut String, text: &Text) {
    if text.plate {
        let own = text.own_box().inflate(0.5, 0.4);
        let along = text.direction();
        let down = kurbo::Vec2::new(-along.y, along.x);
        let corners = [(own.x0, own.y0), (own.x1, own.y0), (own.x1, own.y1), (own.x0, own.y1)]
            .map(|(x, y)| text.at + along * x + down * y);
        let path = path_data(&crate::scene::closed(corners));
        put(out, format_args!("<path d=\"{path}\" fill=\"#ffffff\"/>\n"));
    }
    let anchor = match text.anchor {
        crate::text::Anchor::Start => "start",
        crate::text::Anchor::Middle => "middle",
        crate::text::Anchor::End => "end",
    };
    let weight = match text.weight {
        Weight::Regular => "",
        Weight::Bold => " font-weight=\"bold\"",
    };
    let baseline = text.size * CAP_HEIGHT / 2.0;
    let (x, y) = (number(text.at.x), number(text.at.y));
    let place = if text.turn == 0.0 {
        format!("x=\"{x}\" y=\"{}\"", number(text.at.y + baseline))
    } else {
        format!(
            "transform=\"translate({x} {y}) rotate({})\" y=\"{}\"",
            number(text.turn),
            number(baseline)
        )
    };
    put(
        out,
        format_args!(
            "<text {place} font-size=\"{}\" text-anchor=\"{anchor}\"{weight} fill=\"#000000\">{}</text>\n",
            number(text.size),
            escape(&text.content),
        ),
    );
}

/// The data of a path, to micrometres.
pub(crate) fn path_data(path: &BezPath) -> String {
    path_to(path, THOUSANDTHS)
}

fn path_to(path: &BezPath, decimals: usize) -> String {
    let pair = |point: Point| pair(point, decimals);
    let mut data = String::new();
    for element in path.elements() {
        match *element {
            PathEl::MoveTo(p) => put(&mut data, format_args!("M{}", pair(p))),
            PathEl::LineTo(p) => put(&mut data, format_args!("L{}", pair(p))),
            PathEl::QuadTo(a, p) => put(&mut data, format_args!("Q{} {}", pair(a), pair(p))),
            PathEl::CurveTo(a, b, p) => {
                put(&mut data, format_args!("C{} {} {}", pair(a), pair(b), pair(p)));
            }
            PathEl::ClosePath => data.push('Z'),
        }
    }
    data
}

fn pair(point: Point, decimals: usize) -> String {
    format!("{} {}", number_to(point.x, decimals), number_to(point.y, decimals))
}

/// A number with at most three decimals (a micrometre), without trailing zeros or a negative zero.
/// What is no number is written as 0, so that the file stays well-formed.
pub fn number(value: f64) -> String {
    number_to(value, THOUSANDTHS)
}

/// The same with at most so many decimals, at least one.
fn number_to(value: f64, decimals: usize) -> String {
    if !value.is_finite() {
        return "0".to_owned();
    }
    let text = format!("{value:.decimals$}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

/// Text made safe for XML: the five reserved characters as entities, control characters (which
/// XML 1.0 forbids) left out.
pub fn escape(text: &str) -> String {
    let mut safe = String::with_capacity(text.len());
    for letter in text.chars() {
        match letter {
            '&' => safe.push_str("&amp;"),
            '<' => safe.push_str("&lt;"),
            '>' => safe.push_str("&gt;"),
            '"' => safe.push_str("&quot;"),
            '\'' => safe.push_str("&#39;"),
            '\u{fffe}' | '\u{ffff}' => {}
            '\n' | '\t' => safe.push(letter),
            letter if letter.is_control() => {}
            letter => safe.push(letter),
        }
    }
    safe
}

#[cfg(test)]
mod tests {
    use expect_test::expect;
    use kurbo::Affine;

    use super::*;
    use crate::scene::closed;
    use crate::texture::Cloth;

    #[test]
    fn numbers_are_short_and_the_same_everywhere() {
        let cases = [(0.0, "0"), (-0.0001, "0"), (12.5, "12.5"), (1.0 / 3.0, "0.333")];
        for (value, text) in cases {
            assert_eq!(number(value), text);
        }
        assert_eq!(number(f64::NAN), "0");
        assert_eq!(number(100.0), "100");
    }

    #[test]
    fn a_whole_file() {
        let mut scene = Scene::new("bit", "A bit <of> cloth", "A square of lining & its name.");
        let corners = [(0.0, 0.0), (3.0, 0.0), (3.0, 3.0), (0.0, 3.0)].map(Point::from);
        let cloth = Fill::Cloth(Texture::right(Cloth::Lining), Affine::IDENTITY);
        scene.layer("piece").shape(closed(corners), cloth, Some(LineKind::Cut));
        scene.layer("fold").line([Point::new(1.5, 0.0), Point::new(1.5, 3.0)], LineKind::Fold);
        scene.layer("names").text(Text::new("\"ab\"", Point::new(1.5, 1.5)).turned(-90.0).plated());
        expect![[r##"
            <?xml version="1.0" encoding="UTF-8"?>
            <svg xmlns="http://www.w3.org/2000/svg" width="7.689mm" height="9.925mm" viewBox="-2.25 -3.463 7.689 9.925" role="img" aria-labelledby="bit-title bit-desc" font-family="Atkinson Hyperlegible Next, Atkinson Hyperlegible, sans-serif" fill="none" stroke-linejoin="round">
            <title id="bit-title">A bit &lt;of&gt; cloth</title>
            <desc id="bit-desc">A square of lining &amp; its name.</desc>
            <g id="bit-piece">
            <path class="cloth-lining" d="M0 0L3 0L3 3L0 3Z" fill="#f8efda" fill-rule="evenodd"/>
            <path d="M2.4 0L2.41 0M1.2 1.2L1.21 1.2M2.4 2.4L2.41 2.4" stroke="#7d6325" stroke-width="0.5" stroke-linecap="round"/>
            <path class="line-cut" d="M0 0L3 0L3 3L0 3Z" stroke="#000000" stroke-width="0.5"/>
            </g>
            <g id="bit-fold">
            <path class="line-fold" d="M1.5 0L1.5 3" stroke="#000000" stroke-width="0.25" stroke-dasharray="6 0.75 0.125 0.75"/>
            </g>
            <g id="bit-names">
            <path d="M-0.069 4.963L-0.069 -1.963L3.839 -1.963L3.839 4.963Z" fill="#ffffff"/>
            <text transform="translate(1.5 1.5) rotate(-90)" y="1.169" font-size="3.5" text-anchor="middle" fill="#000000">&quot;ab&quot;</text>
            </g>
            </svg>
        "##]]
        .assert_eq(&file(&scene));
    }
}
