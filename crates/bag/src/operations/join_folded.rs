//! Join two edges that are both turned in, by edgestitching their folds together.

use measure::Length;

use super::join::copies_on;
use super::{
    Along, Meeting, Operation, Row, RowKind, Sewing, Shown, Stitching, Takes, Telling, Told, Tool,
    Worded, sentence,
};
use crate::assembly::Assembly;
use crate::pattern::{CopyId, Run};
use crate::record::{Seams, Signed, record};

/// Turn in both edges, lay fold on fold with the wrong sides together, and edgestitch them.
#[derive(Clone, Debug)]
pub struct JoinFolded {
    /// "the rim".
    pub what: String,
    /// The edges, the two sides of each in the same sewing direction.
    pub seams: Vec<[Run; 2]>,
    /// What is turned in on either side.
    pub allowance: Length,
    /// How much longer the first side is than the second, and is meant to be.
    pub ease: Length,
    /// How far from the folds each row is sewn.
    pub rows: Vec<Length>,
    /// Stitch length.
    pub stitch: Length,
    /// Where people go wrong.
    pub mind: Option<String>,
}

impl Operation for JoinFolded {
    fn tell(&self, t: &Telling<'_>) -> Told {
        let rows: Vec<String> = self.rows.iter().map(|row| t.len(*row)).collect();
        let [a, b] = [copies_on(&self.seams, 0), copies_on(&self.seams, 1)];
        let round = self.seams.iter().all(|[side, _]| side.closed);
        let ends = if round { "all the way round" } else { "from end to end" };
        let ease = if self.ease.is_positive() {
            sentence(&format!(
                "{} are {} smaller around: ease the outside in evenly. ",
                t.names(&b),
                t.len(self.ease)
            ))
        } else {
            String::new()
        };
        let told = Told::new(format!(
            "Turn {} of {} and of {} to the wrong side by {} and press. Lay fold on fold, wrong \
             sides together, and pin or clip. {ease}Edgestitch {ends}, {} from the folds (stitch \
             length {}).",
            self.what,
            t.names(&a),
            t.names(&b),
            t.len(self.allowance),
            super::listed(&rows),
            t.stitch(self.stitch)
        ));
        match &self.mind {
            Some(mind) => told.mind(mind),
            None => told,
        }
    }

    fn shown(&self, _: &Telling<'_>) -> Shown {
        let mouth = copies_on(&self.seams, 0);
        let row = |from: &Length| Row {
            beside: Along::Mouth(mouth.clone()),
            from: *from,
            kind: RowKind::Stitch,
        };
        Shown {
            rows: self.rows.iter().map(row).collect(),
            tools: vec![Tool::Iron],
            measures: std::iter::once(self.allowance).chain(self.rows.iter().copied()).collect(),
            ..Shown::default()
        }
    }

    fn takes(&self, work: &Assembly<'_>) -> Takes {
        let mut takes = Takes::default();
        for [one, other] in &self.seams {
            let row = Sewing::new(Stitching::Shown, one.length(), self.stitch)
                .round(one.closed)
                .times(self.rows.len())
                .over(work, &[one, other], 2);
            takes.rows.push(row);
            takes = takes.press(one.length() + other.length());
        }
        takes
    }

    fn carry_out(&self, work: &mut Assembly<'_>) {
        for sides in &self.seams {
            work.join(sides, Meeting::WrongSides, [self.allowance; 2], self.ease, &[]);
        }
    }

    fn copies(&self) -> Vec<CopyId> {
        [copies_on(&self.seams, 0), copies_on(&self.seams, 1)].concat()
    }
}

impl Worded for JoinFolded {
    const WORD: &'static str = "join-folded";
}

record!(JoinFolded: "Turn in both edges, and edgestitch their folds together." {
    what; "\"the rim\".",
    seams via Seams; "The edges, the two sides of each in the same sewing direction.",
    allowance; "What is turned in on either side.",
    ease via Signed = Length::ZERO; "How much longer the first side is than the second, and is meant to be.",
    rows; "How far from the folds each row is sewn.",
    stitch; "Stitch length.",
    mind; "Where people go wrong.",
});
