//! A cloth as it is: its own colours, its print, or a photograph of it, in place of the look by which
//! drawings tell cloths apart. For pages that are looked at; on paper every cloth keeps its usual look.

use crate::svg::{escape, number};

/// How a cloth looks from its right side.
#[derive(Clone, Debug, PartialEq)]
pub struct Dress {
    /// The colour of the ground, as CSS writes it.
    pub ground: String,
    /// The colour of what is on it.
    pub figure: String,
    /// What repeats on it; nothing for a plain cloth, which keeps the strokes by which it is told
    /// apart, in the colour of the figure.
    pub print: Option<Print>,
}

/// What repeats on a cloth.
#[derive(Clone, Debug, PartialEq)]
pub struct Print {
    /// What it is.
    pub motif: Motif,
    /// After how many mm of cloth it repeats across the width.
    pub across: f64,
    /// After how many mm of cloth it repeats along the length.
    pub along: f64,
}

/// The figure of a print.
#[derive(Clone, Debug, PartialEq)]
pub enum Motif {
    /// Stripes along the length.
    Stripes,
    /// Bands across the width.
    Bands,
    /// Both, where they cross darker.
    Checks,
    /// Dots, every second row moved by half a step.
    Dots,
    /// A picture at this address, as wide and as high as the repeat.
    Picture(String),
}

/// A tile that repeats.
#[derive(Clone, Debug, PartialEq)]
pub struct Repeat {
    /// Width in mm of cloth.
    pub width: f64,
    /// Height in mm of cloth.
    pub height: f64,
    /// What is on it, as elements of SVG.
    pub content: String,
}

impl Dress {
    /// The tile of its print.
    pub fn repeat(&self) -> Option<Repeat> {
        let Print { motif, across, along } = self.print.as_ref()?;
        let (across, along) = (across.max(1.0), along.max(1.0));
        let figure = escape(&self.figure);
        let rect = |x: f64, y: f64, width: f64, height: f64| {
            format!(
                "<rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\"/>",
                number(x),
                number(y),
                number(width),
                number(height)
            )
        };
        let dot = |x: f64, y: f64| {
            let radius = number(across.min(along) / 5.0);
            format!("<circle cx=\"{}\" cy=\"{}\" r=\"{radius}\"/>", number(x), number(y))
        };
        let stripe = |share: f64| rect(across / 4.0, 0.0, across / share, along);
        let band = |share: f64| rect(0.0, along / 4.0, across, along / share);
        let (height, marks) = match motif {
            Motif::Stripes => (along, stripe(2.0)),
            Motif::Bands => (along, band(2.0)),
            Motif::Checks => {
                (along, format!("<g fill-opacity=\"0.55\">{}{}</g>", stripe(3.0), band(3.0)))
            }
            // The dots of the second row lie half in each of two tiles.
            Motif::Dots => {
                let dots = [(across / 2.0, 0.5), (0.0, 1.5), (across, 1.5)];
                (2.0 * along, dots.map(|(x, y)| dot(x, y * along)).concat())
            }
            Motif::Picture(address) => (
                along,
                format!(
                    "<image href=\"{}\" width=\"{}\" height=\"{}\" preserveAspectRatio=\"none\"/>",
                    escape(address),
                    number(across),
                    number(along)
                ),
            ),
        };
        let content = format!("<g fill=\"{figure}\">{marks}</g>");
        Some(Repeat { width: across, height, content })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn dress(motif: Motif) -> Dress {
        let print = Some(Print { motif, across: 20.0, along: 30.0 });
        Dress { ground: "#ffffff".to_owned(), figure: "#102030".to_owned(), print }
    }

    #[test]
    fn a_tile_is_as_large_as_the_repeat() {
        for motif in [Motif::Stripes, Motif::Bands, Motif::Checks] {
            let repeat = dress(motif).repeat().unwrap();
            assert_eq!((repeat.width, repeat.height), (20.0, 30.0));
            assert!(repeat.content.contains("<rect") && repeat.content.contains("#102030"));
        }
        // Two rows of dots, the second shared with the neighbouring tile.
        let dots = dress(Motif::Dots).repeat().unwrap();
        assert_eq!((dots.height, dots.content.matches("<circle").count()), (60.0, 3));
        assert_eq!(Dress { print: None, ..dress(Motif::Dots) }.repeat(), None);
    }

    #[test]
    fn an_address_cannot_break_out_of_its_attribute() {
        let picture = dress(Motif::Picture("/a\"onload=\"x".to_owned())).repeat().unwrap();
        assert!(picture.content.contains("href=\"/a&quot;onload=&quot;x\""), "{}", picture.content);
    }
}
