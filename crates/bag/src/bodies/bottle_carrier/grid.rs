//! Bottles in two rows: a middle divider from side seam to side seam, and cross dividers that are sewn to
//! the panels and to either side of it while all of that lies flat.

use measure::{Length, Outline, Point};

use super::{Carrier, above_base, flange};
use crate::design::Role;
use crate::draft::face::{BASE, LEFT, RIGHT, RIM, whole};
use crate::draft::{Drafter, Face, NewPiece, Seam, Shell};
use crate::operations::{
    Attach, FaceSide, Join, Line, Phrase, Place, Placed, Press, PressSeam, StitchDown,
    StitchedDown, Through, Turn,
};
use crate::pattern::{
    Chapter, Checkpoint, CopyId, DividerClaim, Gauge, Grain, MarkShape, Reach, Run,
};

/// The middle divider: the layer that looks to the back, and the one that looks to the front.
#[derive(Clone, Copy, Debug)]
struct Middle {
    layers: [CopyId; 2],
    /// From side seam to side seam.
    width: Length,
}

/// A cross divider between a panel and the middle divider.
#[derive(Clone, Copy, Debug)]
struct Cross {
    what: CopyId,
    /// Where it stands on its panel, to the right of the centre line.
    at: Length,
}

impl Carrier {
    /// Sews the dividers to each other and to front and back, and then the seams; gives what was sewn,
    /// and the id of the step of the base seam.
    pub(super) fn sew_grid(
        &self,
        d: &mut Drafter<'_>,
        shell: &Shell,
        mut sides: Seam,
        base: Seam,
    ) -> (Vec<Run>, String) {
        let [front, back] = [&shell.faces[0], &shell.faces[1]];
        let wide = self.row.deep() + flange(d) * 2;
        let each = self.row.count - 1;
        let crosses =
            self.make_dividers(d, ("cross-divider", "cross divider"), wide, each * 2);
        let middle = self.make_middle(d, front);
        let stands = self.row.stands(d);
        let (before, behind) = crosses.split_at(stands.len());
        let cross = |what: &CopyId, at: Length| Cross { what: *what, at };
        let before: Vec<Cross> =
            before.iter().zip(&stands).map(|(what, x)| cross(what, *x)).collect();
        // The back is seen mirrored.
        let behind: Vec<Cross> =
            behind.iter().zip(&stands).map(|(what, x)| cross(what, -*x)).collect();
        let rows = [(front, before.as_slice(), middle.layers[1]), (back, &behind, middle.layers[0])];
        self.stitch_to_panels(d, shell, rows);
        self.lay_middle(d, shell, middle);
        self.stitch_to_middle(d, shell, rows, middle);
        self.hold_middle(d, shell, middle);
        for (face, row, layer) in rows {
            for cross in row {
                d.claims.dividers.push(DividerClaim {
                    copy: cross.what,
                    front: face.bottom(),
                    back: layer,
                    height: self.row.divider,
                });
            }
        }
        let runs = [sides.runs(), base.runs()].concat();
        let out = "keep the cross dividers out of the way of these seams and of the base seam: only the \
                   ends of the middle divider are caught.";
        sides.mind = Some(match sides.mind {
            Some(mind) => format!("{mind} Then {out}"),
            None => out.to_owned(),
        });
        d.sew(shell.layer, sides);
        (runs, d.sew(shell.layer, base))
    }

    /// Where the dividers begin, above the base of a face.
    fn low(&self, d: &Drafter<'_>) -> Length {
        self.panels.half_depth + above_base(d)
    }

    /// The side of the panels that lies inside the bag.
    fn ground(&self) -> FaceSide {
        if self.lined { FaceSide::Right } else { FaceSide::Wrong }
    }

    /// "lining", or "panel" where there is none.
    fn word(&self) -> &'static str {
        if self.lined { "lining" } else { "panel" }
    }

    /// Sews the middle divider of two layers, open at its ends, and turns it.
    fn make_middle(&self, d: &mut Drafter<'_>, front: &Face) -> Middle {
        // A lining that is cut smaller is so between its side seams, too.
        let width = front.base_width - self.panels.tip * 2;
        let (seam, end) = (d.allowance("pocket"), d.seam_allowance("side"));
        let piece = d.piece(NewPiece {
            id: "middle-divider",
            name: "middle divider",
            role: Role::InsidePocket,
            net: Outline::rectangle(width, self.row.divider),
            edges: vec![
                ("lower edge", seam),
                ("right end", end),
                ("top edge", seam),
                ("left end", end),
            ],
            grain: Grain::Lengthwise,
            join: None,
        });
        let layers =
            ["middle divider", "middle divider (other layer)"].map(|name| d.copy(piece, name));
        let [one, other] = layers;
        let sides = |edge| [whole(d, one, edge), whole(d, other, edge).reversed()];
        let what = "the middle divider along its lower and its top edge";
        let mut join =
            Join::plain(what, vec![sides(BASE), sides(RIM)], seam, d.stitch("seam"));
        join.press = Press::Not;
        d.step(Chapter::Pockets, "sew-middle-divider", join);
        let turn = Turn {
            what: "the middle divider".to_owned(),
            bodies: vec![one],
            through: Through::End,
            then: String::new(),
        };
        d.step(Chapter::Pockets, "turn-middle-divider", turn);
        let press = PressSeam {
            what: "the middle divider flat, its seams exactly on its edges".into(),
            copies: layers.into(),
            mind: Some("its ends stay open: the side seams hold them.".into()),
        };
        let size = Checkpoint::Size {
            what: "the middle divider, between the stitching lines of its ends,".to_owned(),
            width: Gauge(vec![Reach::Along(one, RIM)]),
            height: Gauge(vec![Reach::Across(one, RIM, BASE)]),
            depth: None,
        };
        d.step_checked(Chapter::Pockets, "press-middle-divider", press, size);
        Middle { layers, width }
    }

    /// Lays the cross dividers of each row on its panel, and stitches the one side of each down.
    fn stitch_to_panels(
        &self,
        d: &mut Drafter<'_>,
        shell: &Shell,
        rows: [(&Face, &[Cross], CopyId); 2],
    ) {
        let (low, flange) = (self.low(d), flange(d));
        let wide = self.row.deep() + flange * 2;
        let (mut items, mut down) = (Vec::new(), Vec::new());
        for (face, row, _) in rows {
            for Cross { what, at } in row {
                let place = (*at + flange - wide, low);
                let laid = face.lay(0, *what, place, (wide, self.row.divider));
                items.push(Placed { ground: self.ground(), ..laid });
                self.mark(d, face, *at, low);
                let lines = self.rows(d, face, (*at, low));
                down.push(StitchedDown {
                    what: *what,
                    onto: face.bottom(),
                    lines,
                    holds: vec![RIGHT],
                });
            }
        }
        let (chapter, word, each) = (d.chapter(shell.layer), self.word(), self.row.count - 1);
        let how = Phrase::new(format!(
            "Lay {each} of the cross dividers on the {} of the front {word} and as many on that of the \
             back, upright, one side of each along its line so that ",
            self.ground().words(),
        ))
        .len(flange)
        .say(" of it lie to the right of the line, its lower edge ")
        .len(above_base(d))
        .say(" above the boxing lines.");
        d.step(chapter, "place-cross-dividers", Place { items, how, mind: None, attach: Attach::Pin });
        let how = two_rows(d, format!("Stitch that side of each cross divider down on its {word}"))
            .say(", backstitching at the top, where it is pulled.");
        let stitch = d.stitch("seam");
        let mind = (each > 1).then(|| "fold each out of the way of the rows of the one beside it.".into());
        let down = StitchDown { how, mind, items: down, closes: None, stitch };
        d.step(chapter, "stitch-cross-dividers-to-panels", down);
    }

    /// Both layers of the middle divider, laid on the front with one end level with that side of it.
    fn end_at(&self, d: &Drafter<'_>, face: &Face, middle: Middle, side: usize) -> Vec<Placed> {
        let half = face.base_width.half();
        let left = if side == LEFT { -half } else { half - middle.width };
        let size = (middle.width, self.row.divider);
        let [up, under] = middle.layers;
        let lay = |what, face_up| Placed {
            face_up,
            ground: self.ground(),
            level: vec![(side, face.bottom(), side)],
            ..face.lay(0, what, (left, self.low(d)), size)
        };
        vec![lay(under, FaceSide::Wrong), lay(up, FaceSide::Right)]
    }

    /// Lays the middle divider over the cross dividers of the front, one of its ends basted there.
    fn lay_middle(&self, d: &mut Drafter<'_>, shell: &Shell, middle: Middle) {
        let front = &shell.faces[0];
        let items = self.end_at(d, front, middle, LEFT);
        let long = self.row.divider;
        for sign in [-1, 1] {
            let x = front.base_width.half() * sign;
            for y in [self.low(d), self.low(d) + long] {
                let (copy, at) = front.on(0, x, y);
                let edge = if sign < 0 { LEFT } else { RIGHT };
                let start = d.piece_of(copy).net.edge(edge).start();
                let along = at.distance(start);
                d.mark_copy(copy, "middle divider", MarkShape::Notch { edge, along });
            }
        }
        let how = Phrase::new(format!(
            "Lay the middle divider over the cross dividers of the front {}, as high as they lie, between \
             the notches of its left side, its end level with the raw edge there.",
            self.word()
        ));
        let attach = Attach::baste(d);
        let place = Place { items, how, mind: None, attach };
        d.step(d.chapter(shell.layer), "lay-middle-divider", place);
    }

    /// Stitches the cross dividers to the middle divider: those of the front to one side of it, those of
    /// the back to the other.
    fn stitch_to_middle(
        &self,
        d: &mut Drafter<'_>,
        shell: &Shell,
        rows: [(&Face, &[Cross], CopyId); 2],
        middle: Middle,
    ) {
        let inset = d.either(Length::inch_frac(1, 8), Length::mm(3));
        let (flange, high) = (flange(d), self.row.divider);
        let items = rows.map(|(_, row, onto)| {
            let item = |Cross { what, at }: &Cross| {
                // Seen from its panel, the middle divider is mirrored.
                let line = middle.width.half() - *at;
                let mark = MarkShape::Placement(
                    Point::new(line, Length::ZERO),
                    Point::new(line, high),
                );
                d.mark_copy(onto, "cross divider", mark);
                let row = |across: Length| Line {
                    from: Point::new(line - across, inset),
                    to: Point::new(line - across, high - inset),
                };
                let lines = [inset, flange - inset].map(row).into();
                StitchedDown { what: *what, onto, lines, holds: vec![LEFT] }
            };
            row.iter().map(item).collect::<Vec<_>>()
        });
        let (chapter, word) = (d.chapter(shell.layer), self.word());
        let [front, back] = items;
        let how = two_rows(
            d,
            "Open the middle divider out beyond the left side of the front. Lay the free side of each \
             cross divider along its line on the side of it that now lies up, beginning with the one \
             next to the basted end, and stitch it down"
                .to_owned(),
        )
        .say(".");
        let mind = "do not baste its other end yet: the machine comes in from there.";
        let stitch = d.stitch("seam");
        let down =
            StitchDown { how, mind: Some(mind.into()), items: front, closes: None, stitch };
        d.step(chapter, "stitch-front-cross-dividers", down);
        let how = two_rows(
            d,
            format!(
                "Lay the back {word} over it, its dividers between both, and stitch the free side of \
                 each cross divider of the back down along its line on the other side of the middle \
                 divider, again beginning next to the basted end"
            ),
        )
        .say(".");
        let mind = "fold the front out of the way: no row goes through it. On either side of a line one \
                    divider is stitched down, so that they do not lie on each other.";
        let down =
            StitchDown { how, mind: Some(mind.into()), items: back, closes: None, stitch };
        let look = Checkpoint::Look(format!(
            "the dividers cross in {}, and there are {} compartments, each {} wide and {} deep.",
            match self.row.count {
                2 => "one place".to_owned(),
                more => format!("{} places", more - 1),
            },
            self.row.compartments(),
            d.show(self.row.cell()),
            d.show(self.row.deep()),
        ));
        d.step_checked(chapter, "stitch-back-cross-dividers", down, look);
    }

    /// Bastes the other end of the middle divider.
    fn hold_middle(&self, d: &mut Drafter<'_>, shell: &Shell, middle: Middle) {
        let front = &shell.faces[0];
        let items = self.end_at(d, front, middle, RIGHT);
        let how = Phrase::new(format!(
            "Bring the other end of the middle divider to the right side of the front {}, between its \
             notches, level with the raw edge there. The front is wider by the depth of the bag, ",
            self.word()
        ))
        .len(self.panels.half_depth * 2)
        .say(", and stands up in a bow.");
        let attach = Attach::baste(d);
        let place = Place { items, how, mind: None, attach };
        d.step(d.chapter(shell.layer), "hold-middle-divider", place);
        d.claims.dividers.push(DividerClaim {
            copy: middle.layers[0],
            front: front.bottom(),
            back: front.bottom(),
            height: self.row.divider,
        });
    }
}

/// A sentence about two rows that hold the side of a divider, up to where they lie.
fn two_rows(d: &Drafter<'_>, what: String) -> Phrase {
    let inset = d.either(Length::inch_frac(1, 8), Length::mm(3));
    Phrase::new(format!("{what} in two rows, "))
        .len(inset)
        .say(" from its edge and as far from its line")
}
