//! From what the sections say to the claims: names become pieces and fabrics, and what contradicts
//! itself is reported.

use std::collections::BTreeMap;

use bag::draft::usual_usable;
use bag::pattern::{Grain, StripJoin, StripPlace};
use measure::{Length, System, Units, show_length};
use packet::audit::{
    Body, Claims, Corners, FabricClaim, Feet, Layers, PieceClaim, PocketClaim, PocketMake, Seams,
    SizeClaim, StrapClaim,
};

use super::keys::MOST_PIECES;
use super::{Reader, Said};
use crate::nearest;
use crate::values::shown;

/// The names of pieces or fabrics, in the order of their lists.
type Names = Vec<String>;

impl Reader<'_> {
    /// The claims of the whole file.
    pub(super) fn assemble(&mut self, head: &Said, said: &BTreeMap<&str, Vec<Said>>) -> Claims {
        let all = |key: &str| said.get(key).map_or(&[][..], Vec::as_slice);
        let one = |key: &str| all(key).first();
        let mut claims = Claims::new(head.text("title"), self.units.unwrap_or(Units::Inch));
        claims.pieces_in_all = head.count("pieces-in-all");
        if let Some(shop) = one("shop") {
            claims.squaring = shop.length("squaring").unwrap_or_default();
            if let Some(increments) = shop.increments("increments") {
                claims.increments = increments.clone();
            }
        }
        let every = one("seams").and_then(|seams| seams.length("all"));
        if let Some(seams) = one("seams") {
            claims.seams = own_seams(seams);
            for seam in [&mut claims.seams.side, &mut claims.seams.base, &mut claims.seams.rim] {
                *seam = seam.or(every);
            }
        }
        let fabrics = self.names("[[fabric]]", all("fabric"));
        claims.fabrics = all("fabric").iter().map(|said| self.fabric(said)).collect();
        let pieces = self.names("[[piece]]", all("piece"));
        for said in all("piece") {
            let piece = self.piece(said, &fabrics, every);
            claims.pieces.push(piece);
        }
        self.many_pieces(&claims, all("piece"));
        claims.size = one("size").and_then(|said| self.size(said, &pieces));
        for said in all("strap") {
            claims.straps.extend(self.strap(said, &pieces, every));
        }
        for said in all("pocket") {
            claims.pockets.extend(self.pocket(said, &pieces, every));
        }
        claims
    }

    /// The names of a list of sections, each of which must be its own.
    fn names(&mut self, label: &str, sections: &[Said]) -> Names {
        let mut names = Names::new();
        for said in sections {
            let name = said.text("name").to_owned();
            let is_given = said.value("name").is_some();
            if is_given && name.is_empty() {
                let hint = "write what the pattern calls it";
                self.report(said.place_of("name"), format!("{label} has an empty `name`"), hint);
            } else if is_given && names.contains(&name) {
                let message = format!("{label} `{}` is there twice", shown(&name));
                let hint = "give each its own name, or write it once with the whole count";
                self.report(said.place_of("name"), message, hint);
            }
            names.push(name);
        }
        names
    }

    fn fabric(&mut self, said: &Said) -> FabricClaim {
        let system = self.system();
        let (width, usable) = (said.length("width"), said.length("usable"));
        let is_given = |key| said.keys.contains_key(key);
        match (width, usable) {
            (None, None) if !is_given("width") && !is_given("usable") => {
                let message = "[[fabric]] says neither its `width` nor its `usable` width";
                let hint = "write `width = …`, as it is sold; or `usable = …`, if you know it";
                self.report(said.place.clone(), message, hint);
            }
            (Some(width), Some(usable)) if usable > width => {
                let [usable, width] = [usable, width].map(|length| show_length(length, system));
                let message =
                    format!("[[fabric]] has {usable} usable of a bought `width` of {width}");
                let hint = "give the bought width, or leave one of the two out";
                self.report(said.place_of("usable"), message, hint);
            }
            _ => {}
        }
        let bought = width.or(usable).unwrap_or(Length::YARD);
        let assumed = usual_usable(bought, system).max(bought.half());
        let mut claim = FabricClaim::new(said.text("name"), bought, usable, assumed);
        claim.yardage = said.length("yardage");
        claim.pieces = said.count("pieces");
        claim.one_way = said.flag("one-way");
        claim.turnable = said.flag("turnable");
        claim.shrinks_in_length = said.share("shrinks-in-length");
        claim.shrinks_in_width = said.share("shrinks-in-width");
        claim
    }

    fn piece(&mut self, said: &Said, fabrics: &Names, every: Option<Length>) -> PieceClaim {
        let mut from = Vec::new();
        for (name, place) in said.names("from") {
            if let Some(fabric) = self.index(name, place.clone(), fabrics, "[[fabric]]")
                && !from.contains(&fabric)
            {
                from.push(fabric);
            }
        }
        PieceClaim {
            name: said.text("name").to_owned(),
            count: said.count("count").unwrap_or(1),
            width: said.length("width").unwrap_or(Length::INCH),
            height: said.length("height").unwrap_or(Length::INCH),
            from,
            grain: match said.word("grain") {
                Some("across") => Grain::Crosswise,
                Some("free") => Grain::Free,
                _ => Grain::Lengthwise,
            },
            join: self.join(said, every),
            seams: own_seams(said),
        }
    }

    /// How a piece may be joined; keys about joins mean nothing without one.
    fn join(&mut self, said: &Said, every: Option<Length>) -> Option<StripJoin> {
        let place = match said.word("join") {
            Some("centre") => StripPlace::Centre,
            Some("anywhere") => StripPlace::Anywhere,
            _ => {
                let idle = ["joins", "join-allowance"];
                for key in idle.into_iter().filter(|key| said.keys.contains_key(key)) {
                    let message = format!("`{key}` is said of a piece that is not joined");
                    let hint =
                        "write `join = \"centre\"` or `join = \"anywhere\"`, or leave it out";
                    self.report(said.place_of(key), message, hint);
                }
                return None;
            }
        };
        let Some(allowance) = said.length("join-allowance").or(every) else {
            let message = "a piece may be joined, and nothing says with which allowance";
            let hint = "write `join-allowance = …`, or `all = …` under [seams]";
            self.report(said.place_of("join"), message, hint);
            return None;
        };
        Some(StripJoin { most: said.count("joins").unwrap_or(1), allowance, place })
    }

    /// A class kit has hundreds of pieces; a pattern with thousands is a slip of the pen.
    fn many_pieces(&mut self, claims: &Claims, sections: &[Said]) {
        let mut sum: u32 = 0;
        for (piece, said) in claims.pieces.iter().zip(sections) {
            let fabrics = u32::try_from(piece.from.len()).unwrap_or(u32::MAX);
            sum = sum.saturating_add(piece.count.saturating_mul(fabrics));
            if sum > MOST_PIECES {
                let message = format!("there are more than {MOST_PIECES} pieces up to here");
                let hint = "audit a pattern for one bag, not for a whole class";
                self.report(said.place_of("count"), message, hint);
                return;
            }
        }
    }

    fn size(&mut self, said: &Said, pieces: &Names) -> Option<SizeClaim> {
        let corners = match (said.length("boxed"), said.length("cut-out")) {
            (Some(_), Some(_)) => {
                let message = "[size] has both `boxed` and `cut-out`";
                let hint = "corners are either folded and boxed or cut out: leave one of them out";
                self.report(said.place_of("cut-out"), message, hint);
                None
            }
            (Some(line), None) => Some(Corners::Boxed(line)),
            (None, square) => square.map(Corners::CutOut),
        };
        let lining = self.piece_named(said, "lining", pieces);
        Some(SizeClaim {
            panel: self.piece_named(said, "panel", pieces)?,
            lining,
            body: match said.word("body") {
                Some("round") => Body::Round,
                Some("under-the-base") => Body::UnderTheBase,
                _ => Body::FrontAndBack,
            },
            corners,
            width: said.length("width"),
            top: said.length("top"),
            height: said.length("height"),
            depth: said.length("depth"),
            within: said.length("within").unwrap_or(match self.system() {
                System::Inch => Length::inch_frac(1, 16),
                System::Metric => Length::mm(2),
            }),
        })
    }

    fn strap(&mut self, said: &Said, pieces: &Names, every: Option<Length>) -> Option<StrapClaim> {
        let panel = self.piece_named(said, "panel", pieces);
        let piece = self.piece_named(said, "piece", pieces)?;
        let allowance = said.length("allowance");
        if allowance.is_some() && said.word("layers") != Some("two") {
            let message = "`allowance` is said of a strap that is not sewn along and turned";
            let hint = "write `layers = \"two\"`, or leave `allowance` out";
            self.report(said.place_of("allowance"), message, hint);
        }
        Some(StrapClaim {
            straps: said.count("straps"),
            pieces_each: said.count("pieces-each").unwrap_or(1),
            join_allowance: said.length("join-allowance").or(every),
            length: said.length("length"),
            layers: match said.word("layers") {
                Some("four") => Some(Layers::Four),
                Some("two") => Some(Layers::Two(allowance.or(every))),
                _ => None,
            },
            width: said.length("width"),
            feet: match said.word("from") {
                Some("base") => Some(Feet::Base),
                Some("rim") => Some(Feet::Rim),
                _ => None,
            },
            panel,
            above_raw_edge: said.length("above-raw-edge"),
            above_rim: said.length("above-rim"),
            apart: said.length("apart"),
            drop: said.length("drop"),
            ..StrapClaim::of(piece)
        })
    }

    fn pocket(
        &mut self,
        said: &Said,
        pieces: &Names,
        every: Option<Length>,
    ) -> Option<PocketClaim> {
        let piece = self.piece_named(said, "piece", pieces)?;
        let make = match said.word("made") {
            Some("one-layer") => PocketMake::OneLayer,
            Some("folded") => PocketMake::Folded,
            _ => PocketMake::TwoLayers,
        };
        let hem = said.length("hem");
        if hem.is_some() && make != PocketMake::OneLayer {
            let message = "`hem` is said of a pocket that is turned, and has none";
            let hint = "write `made = \"one-layer\"`, or leave `hem` out";
            self.report(said.place_of("hem"), message, hint);
        }
        Some(PocketClaim {
            piece,
            pockets: said.count("pockets"),
            make,
            allowance: said.length("allowance").or(every),
            hem,
            width: said.length("width"),
            height: said.length("height"),
        })
    }

    /// The piece that a key names.
    fn piece_named(&mut self, said: &Said, key: &str, pieces: &Names) -> Option<usize> {
        let (name, place) = said.names(key).first()?;
        self.index(name, place.clone(), pieces, "[[piece]]")
    }

    /// Where a name stands in its list; one that is not there is reported.
    fn index(
        &mut self,
        name: &str,
        place: super::Place,
        names: &Names,
        label: &str,
    ) -> Option<usize> {
        let index = names.iter().position(|known| known == name);
        if index.is_none() {
            let known: Vec<&str> =
                names.iter().map(String::as_str).filter(|known| !known.is_empty()).collect();
            let hint = match known.as_slice() {
                [] => format!("there is no {label} with a name"),
                _ => nearest::hint(name, known, "the names are"),
            };
            self.report(place, format!("there is no {label} called `{}`", shown(name)), hint);
        }
        index
    }
}

/// The allowances that a section gives itself.
fn own_seams(said: &Said) -> Seams {
    Seams {
        side: said.length("side"),
        base: said.length("base"),
        rim: said.length("rim"),
        corner: said.length("corner"),
    }
}
