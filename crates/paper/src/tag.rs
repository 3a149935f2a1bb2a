//! The text of a label for a bag that is given or sold, and what to look up before. It claims no
//! conformity with anything: rules differ from place to place, and are the maker's to keep.

use bag::pattern::notion::{self, Counter};
use bag::pattern::{Band, Form, Look, Notion};
use measure::Length;
use packet::Packet;

/// What a maker says of a bag.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Tag {
    /// Name and address of who made it.
    pub maker: String,
    /// By which the maker knows the bags that were made together; the edition if it is empty.
    pub batch: String,
    /// What it is made of, part by part: "outside: 100 % cotton".
    pub fibres: Vec<String>,
    /// The warmest wash in degrees Celsius; none: not washed.
    pub wash: Option<u32>,
    /// The hottest iron in dots; none: not ironed.
    pub iron: Option<u32>,
    /// Whether it is meant mainly for somebody of 12 years or younger.
    pub child: bool,
}

/// Wash temperatures that care symbols know (ISO 3758, by way of sioen-ppc.com and doublered.eu).
pub const WASHES: [u32; 6] = [30, 40, 50, 60, 70, 95];

/// Sole temperatures of irons with one, two and three dots (the same sources).
const IRONS: [u32; 3] = [110, 150, 200];

impl Tag {
    /// What does not go together in it, or with the bag.
    pub fn slips(&self, packet: &Packet) -> Vec<String> {
        let mut slips = Vec::new();
        if let Some(wash) = self.wash.filter(|wash| !WASHES.contains(wash)) {
            let known: Vec<String> = WASHES.iter().map(u32::to_string).collect();
            slips.push(format!("no care symbol is for {wash} °C; there are {}", known.join(", ")));
        }
        if let Some(dots) = self.iron.filter(|dots| !(1..=3).contains(dots)) {
            slips.push(format!("irons have one, two or three dots, not {dots}"));
        }
        for fibre in &self.fibres {
            let sum: u32 = shares(fibre).iter().sum();
            if sum != 100 {
                slips.push(format!("“{fibre}” adds up to {sum} %, not to 100 %"));
            }
        }
        let melts = packet.pattern.copies.iter().any(|copy| {
            let piece = packet.pattern.piece(copy.piece);
            packet.pattern.material(piece.material).look == Look::Window
        });
        if melts && self.iron.is_some() {
            slips.push("it has a window, which an iron melts: leave out the iron".to_owned());
        }
        slips
    }
}

/// The percentages in a text, whole ones.
fn shares(text: &str) -> Vec<u32> {
    let before = text.split('%').collect::<Vec<_>>();
    let number = |part: &&str| {
        let digits = part.trim_end().rsplit(|c: char| !c.is_ascii_digit()).next()?;
        digits.parse::<u32>().ok().filter(|share| *share <= 100)
    };
    before[..before.len().saturating_sub(1)].iter().filter_map(number).collect()
}

/// The label, and below it what to look up.
pub fn tag_text(packet: &Packet, tag: &Tag) -> String {
    let pattern = &packet.pattern;
    let mut text = format!("{}\n", pattern.title);
    let mut line = |words: String| {
        text.push_str(&words);
        text.push('\n');
    };
    if !tag.maker.is_empty() {
        line(format!("Made by {}", tag.maker));
    }
    line(if tag.batch.is_empty() {
        let date = &pattern.edition.date;
        let date = if date.is_empty() { String::new() } else { format!(", {date}") };
        format!("Edition {}{date}", pattern.edition.number)
    } else {
        format!("Batch {}", tag.batch)
    });
    tag.fibres.iter().for_each(|fibre| line(fibre.clone()));
    line(match tag.wash {
        Some(degrees) => format!("Wash at {degrees} °C at most (wash tub with {degrees})"),
        None => "Do not wash (wash tub, crossed out)".to_owned(),
    });
    line("Do not bleach (triangle, crossed out)".to_owned());
    line("Do not tumble dry (square with a circle, crossed out); dry in shape".to_owned());
    let degrees = |dots: &u32| {
        let at = usize::try_from(*dots).ok()?.checked_sub(1)?;
        IRONS.get(at)
    };
    line(match tag.iron.as_ref().and_then(|dots| degrees(dots).map(|it| (dots, it))) {
        Some((dots, degrees)) => format!("Iron at {degrees} °C at most (iron with {dots} dots)"),
        None => "Do not iron (iron, crossed out)".to_owned(),
    });
    text.push_str("\nBefore you give or sell it: check your local rules\n");
    for ask in to_look_up(packet, tag) {
        text.push_str(&format!("[ ] {ask}\n"));
    }
    text.push_str("\nNothing here says that the bag conforms to any rule or standard.\n");
    text
}

/// What to look up, from the facts of this bag.
fn to_look_up(packet: &Packet, tag: &Tag) -> Vec<String> {
    let pattern = &packet.pattern;
    let notions = &pattern.notions;
    let mut ask = vec![
        "whether fibres, care and country of origin have to stand on a bag where it is sold: in \
         many places bags are exempt from the rules for clothing, and what is written must be true",
        "whether your name, an address and a batch have to stand on it, and which papers you keep \
         (in the EU since 13 December 2024: Regulation 2023/988)",
        "that the first of them has been loaded with more than it will carry, and looked at",
    ];
    let cords = pattern
        .materials
        .iter()
        .any(|material| matches!(material.form, Form::Webbing { band: Band::Cord, .. }));
    let stops = notions
        .iter()
        .any(|notion| notion.kind == &notion::CORD_STOP || notion.note.contains("cord"));
    let long = pattern.claims.handles.iter().any(|handle| handle.stands_out);
    if cords || stops || long {
        ask.push(
            "that no cord or strap can be a noose for a small child: keep cords short, and keep \
             the bag away from cots (US Consumer Product Safety Commission, document 5095)",
        );
    }
    if tag.child {
        ask.extend([
            "a product meant mainly for 12 years or younger has rules of its own (in the US 16 CFR \
             1200.2): tests, certificates and a tracking label may be asked of you",
            "lead in hardware, trims and prints: at most 100 ppm (US, since 14 August 2011)",
            "plasticisers in vinyl and the like (16 CFR 1307)",
            "cords: the rules for children's clothing do not speak of bags, which makes none of \
             their cautions wrong",
        ]);
        let is_hard =
            |it: &&Notion| matches!(it.kind.counter, Counter::Fastenings | Counter::Hardware);
        if notions.iter().any(|it| is_hard(&it)) {
            ask.push(
                "that snaps, buttons, sliders, rings and the like hold when they are pulled hard",
            );
        }
        if notions.iter().any(|it| [&notion::MAGNETIC_SNAP, &notion::SEWN_SNAP].contains(&it.kind))
        {
            ask.push(
                "magnets that come loose are dangerous when swallowed: choose another closure",
            );
        }
    }
    let mut ask: Vec<String> = ask.into_iter().map(str::to_owned).collect();
    if tag.child {
        ask.push(small_parts(packet));
    }
    ask
}

/// Width of the cylinder that a small part fits into (16 CFR 1501.4).
const CYLINDER: Length = Length::nm(31_750_000);

/// What the rule for small parts asks, with the things on this bag that go in by their width.
fn small_parts(packet: &Packet) -> String {
    let mut ask = "small parts: what fits into a cylinder 31.75 mm (1.25 in) wide and 25 to 57 mm \
                   deep is not for under 3 years (16 CFR 1501.4)"
        .to_owned();
    let zips = [&notion::ZIP, &notion::ZIP_ON_TAPE, &notion::ZIP_BY_LENGTH];
    let small = packet.pattern.notions.iter().filter(|it| {
        let is_hard = matches!(it.kind.counter, Counter::Fastenings | Counter::Hardware);
        let across = it.width.or(it.thickness);
        is_hard && !zips.contains(&it.kind) && across.is_none_or(|across| across < CYLINDER)
    });
    let small: Vec<String> = small.map(|it| it.describe(packet.system)).collect();
    if !small.is_empty() {
        ask.push_str(&format!("; by its width, this may if it comes off: {}", small.join(", ")));
    }
    ask
}

#[cfg(test)]
mod tests {
    use bag::Design;
    use measure::Units;

    use super::*;

    fn bag(closure: &str) -> Packet {
        let body = bag::bodies::find("boxed").expect("it is in the list");
        let mut design = Design::of(body, Units::Inch);
        let kind = bag::closures::find(closure).expect("it is in the list");
        design.closure = bag::Chosen::new(kind, design.system());
        packet::build(&design).packet.expect("it can be made")
    }

    #[test]
    fn a_label_and_what_to_look_up() {
        let tag = Tag {
            maker: "A Maker, 1 Street".to_owned(),
            fibres: vec!["outside: 55 % linen, 45 % cotton".to_owned()],
            wash: Some(40),
            iron: Some(2),
            ..Tag::default()
        };
        let packet = bag("magnetic-snap");
        assert_eq!(tag.slips(&packet), Vec::<String>::new());
        let text = tag_text(&packet, &tag);
        assert!(text.contains("Iron at 150 °C at most (iron with 2 dots)"), "{text}");
        assert!(text.contains("check your local rules") && !text.contains("magnets"), "{text}");
        let text = tag_text(&packet, &Tag { child: true, ..tag });
        assert!(text.contains("31.75 mm") && text.contains("magnets"), "{text}");
        assert!(text.contains("1 magnetic snap"), "{text}");
    }

    /// 16 CFR 1501.4: 1 in goes into a cylinder of 1.25 in, a disc of 1 1/2 in does not.
    #[test]
    fn small_parts_are_named_by_their_width() {
        let mut packet = bag("open");
        for (eighths, fits) in [(8, true), (9, true), (10, false), (12, false)] {
            let button = Notion::of(&notion::BUTTON, 1).wide(Length::inch_frac(eighths, 8));
            packet.pattern.notions = vec![button];
            assert_eq!(small_parts(&packet).contains("1 button"), fits, "{eighths} eighths");
        }
    }

    #[test]
    fn slips_on_a_label_are_found() {
        let tag = Tag {
            fibres: vec!["outside: 60 % linen, 45 % cotton".to_owned()],
            wash: Some(45),
            iron: Some(4),
            ..Tag::default()
        };
        let slips = tag.slips(&bag("open"));
        assert_eq!(slips.len(), 3, "{slips:?}");
        assert!(slips[2].contains("105 %"), "{slips:?}");
    }
}
