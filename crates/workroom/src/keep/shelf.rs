//! The fabric shelf: what she owns, what it cost, and what was cut from it.

use measure::Length;
use rusqlite::{OptionalExtension, Row, params};

use super::bags::begin;
use super::prices::{Price, price};
use super::{Keep, Trouble};

/// How a fabric is drawn.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Swatch {
    /// One colour.
    #[default]
    Plain,
    /// Stripes along the length.
    Stripes,
    /// Bands across the width.
    Bands,
    /// Both.
    Checks,
    /// Dots.
    Dots,
}

impl Swatch {
    /// All of them.
    pub const ALL: [Self; 5] = [Self::Plain, Self::Stripes, Self::Bands, Self::Checks, Self::Dots];

    /// The word for it in the file.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Plain => "plain",
            Self::Stripes => "stripes",
            Self::Bands => "bands",
            Self::Checks => "checks",
            Self::Dots => "dots",
        }
    }

    /// What a person calls it.
    pub const fn title(self) -> &'static str {
        match self {
            Self::Plain => "plain",
            Self::Stripes => "stripes along the length",
            Self::Bands => "bands across the width",
            Self::Checks => "checks",
            Self::Dots => "dots",
        }
    }

    /// The swatch of that word.
    pub fn find(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|swatch| swatch.word() == word)
    }
}

/// What is known of a fabric on the shelf.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Fabric {
    /// What she calls it; unique on the shelf, upper and lower case alike.
    pub name: String,
    /// Selvedge to selvedge.
    pub width: Length,
    /// How much is left.
    pub length: Length,
    /// Whether print or nap have one way.
    pub one_way: bool,
    /// After which length the print repeats along it.
    pub repeat_along: Option<Length>,
    /// After which width the print repeats across it.
    pub repeat_across: Option<Length>,
    /// How it is drawn.
    pub swatch: Swatch,
    /// Its ground, as `#rrggbb`.
    pub ground: String,
    /// What is on it, as `#rrggbb`.
    pub figure: String,
    /// Whatever she notes.
    pub note: String,
}

/// A fabric on the shelf.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct FabricRow {
    /// Its number.
    pub id: i64,
    /// Goes up with each change.
    pub revision: i64,
    /// What is known of it.
    pub fabric: Fabric,
    /// The name of the fabric that it is a remnant of.
    pub remnant_of: Option<String>,
    /// The last price.
    pub price: Option<Price>,
    /// The photograph of it, or of the fabric that it is a remnant of.
    pub photo: Option<Photo>,
}

/// A photograph of a fabric.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Photo {
    /// The number of the fabric that was photographed.
    pub of: i64,
    /// How much cloth it shows from side to side.
    pub across: Length,
    /// Its width in pixels.
    pub wide: u32,
    /// Its height in pixels.
    pub high: u32,
    /// Changes with the photograph.
    pub sum: i64,
}

impl FabricRow {
    /// Whether there is a photograph of this very piece.
    pub fn has_own_photo(&self) -> bool {
        self.photo.is_some_and(|photo| photo.of == self.id)
    }
}

/// A length that was cut off.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CutRow {
    /// What it was for.
    pub title: String,
    /// How much.
    pub length: Length,
    /// The day.
    pub day: String,
}

/// A length that is taken off the shelf.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct CutOff {
    /// The fabric's number.
    pub fabric: i64,
    /// How much is cut off.
    pub length: Length,
    /// What is left of that beside the pieces, if it is worth keeping: its width and length.
    pub remnant: Option<(Length, Length)>,
}

/// The most characters of a note.
const LONGEST_NOTE: usize = 1_000;

impl Fabric {
    fn check(&self) -> Result<(), Trouble> {
        let not = |why: &str| Err(Trouble::NotTaken(why.to_owned()));
        let letters = self.name.trim().chars().count();
        if letters == 0 || letters > 200 {
            return not("a fabric has a name of at most 200 characters");
        }
        if !(Length::mm(20)..=Length::mm(3_500)).contains(&self.width) {
            return not("a fabric is between 2 cm and 3.5 m wide");
        }
        if !(Length::ZERO..=Length::mm(500_000)).contains(&self.length) {
            return not("of a fabric there may be up to 500 m");
        }
        for repeat in [self.repeat_along, self.repeat_across].into_iter().flatten() {
            if !(Length::mm(1)..=Length::mm(3_000)).contains(&repeat) {
                return not("a print repeats after 1 mm to 3 m");
            }
        }
        if !is_colour(&self.ground) || !is_colour(&self.figure) {
            return not("a colour is written as # and six digits or letters from a to f");
        }
        if self.note.chars().count() > LONGEST_NOTE {
            return not("a note has at most 1,000 characters");
        }
        Ok(())
    }
}

fn is_colour(text: &str) -> bool {
    text.strip_prefix('#')
        .is_some_and(|hex| hex.len() == 6 && hex.bytes().all(|b| b.is_ascii_hexdigit()))
}

const COLUMNS: &str = "SELECT fabric.id, fabric.revision, fabric.name, fabric.width, fabric.length,
    fabric.one_way, fabric.repeat_along, fabric.repeat_across, fabric.swatch, fabric.ground,
    fabric.figure, fabric.note, whole.name, price.amount, price.per, price.day,
    photo.fabric, photo.across, photo.wide, photo.high, photo.sum, price.shop
    FROM fabric LEFT JOIN fabric whole ON whole.id = fabric.remnant_of
    LEFT JOIN photo ON photo.fabric = CASE
        WHEN EXISTS (SELECT 1 FROM photo own WHERE own.fabric = fabric.id) THEN fabric.id
        ELSE fabric.remnant_of END
    LEFT JOIN noted_price price ON price.id = (SELECT id FROM noted_price
        WHERE thing = fabric.name AND struck = 0 AND per <> 'one'
        ORDER BY day DESC, id DESC LIMIT 1)";

fn row(row: &Row<'_>) -> rusqlite::Result<FabricRow> {
    let swatch: String = row.get(8)?;
    let fabric = Fabric {
        name: row.get(2)?,
        width: Length::nm(row.get(3)?),
        length: Length::nm(row.get(4)?),
        one_way: row.get(5)?,
        repeat_along: row.get::<_, Option<i64>>(6)?.map(Length::nm),
        repeat_across: row.get::<_, Option<i64>>(7)?.map(Length::nm),
        swatch: Swatch::find(&swatch).unwrap_or_default(),
        ground: row.get(9)?,
        figure: row.get(10)?,
        note: row.get(11)?,
    };
    let price = price(row.get(13)?, row.get(14)?, row.get(15)?, row.get(21)?);
    Ok(FabricRow {
        id: row.get(0)?,
        revision: row.get(1)?,
        fabric,
        remnant_of: row.get(12)?,
        price,
        photo: photo(row)?,
    })
}

fn photo(row: &Row<'_>) -> rusqlite::Result<Option<Photo>> {
    let Some(of) = row.get(16)? else { return Ok(None) };
    let across = Length::nm(row.get(17)?);
    Ok(Some(Photo { of, across, wide: row.get(18)?, high: row.get(19)?, sum: row.get(20)? }))
}

impl Keep {
    /// Everything on the shelf, by name.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn fabrics(&self) -> Result<Vec<FabricRow>, Trouble> {
        let connection = self.lock();
        let sql = format!("{COLUMNS} ORDER BY fabric.name COLLATE NOCASE");
        let mut found = connection.prepare_cached(&sql)?;
        let rows = found.query_map([], row)?;
        Ok(rows.collect::<Result<_, _>>()?)
    }

    /// One fabric.
    ///
    /// # Errors
    /// When there is none of that number, or the file cannot be read.
    pub fn fabric(&self, id: i64) -> Result<FabricRow, Trouble> {
        let connection = self.lock();
        let mut found = connection.prepare_cached(&format!("{COLUMNS} WHERE fabric.id = ?1"))?;
        found.query_row([id], row).optional()?.ok_or(Trouble::NotThere("fabric"))
    }

    /// What was cut from a fabric, the last first.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn cuts(&self, fabric: i64) -> Result<Vec<CutRow>, Trouble> {
        let connection = self.lock();
        let mut found = connection.prepare_cached(
            "SELECT title, length, strftime('%Y-%m-%d', made, 'unixepoch', 'localtime')
             FROM cut WHERE fabric = ?1 ORDER BY id DESC LIMIT 200",
        )?;
        let rows = found.query_map([fabric], |row| {
            Ok(CutRow { title: row.get(0)?, length: Length::nm(row.get(1)?), day: row.get(2)? })
        })?;
        Ok(rows.collect::<Result<_, _>>()?)
    }

    /// Puts a fabric on the shelf, or changes the one of that number and revision.
    ///
    /// # Errors
    /// When a value is not taken, the name is there already, it was changed in the meantime, or
    /// the file cannot be written.
    pub fn shelve(&self, at: Option<(i64, i64)>, fabric: &Fabric) -> Result<i64, Trouble> {
        fabric.check()?;
        let mut connection = self.lock();
        let change = begin(&mut connection)?;
        let name = fabric.name.trim();
        let namesake: Option<i64> = change
            .query_row("SELECT id FROM fabric WHERE name = ?1 COLLATE NOCASE", [name], |r| r.get(0))
            .optional()?;
        if namesake.is_some_and(|other| at.is_none_or(|(id, _)| id != other)) {
            return Err(Trouble::NotTaken(format!("there is a fabric called “{name}” already")));
        }
        let id = match at {
            None => {
                let sql = "INSERT INTO fabric (revision, name, width, length, one_way, swatch,
                    ground, figure, note) VALUES (0, ?1, 0, 0, 0, '', '', '', '')";
                change.execute(sql, [name])?;
                change.last_insert_rowid()
            }
            Some((id, seen)) => {
                let sql = "SELECT revision FROM fabric WHERE id = ?1";
                let revision: Option<i64> =
                    change.query_row(sql, [id], |row| row.get(0)).optional()?;
                if revision.ok_or(Trouble::NotThere("fabric"))? != seen {
                    return Err(Trouble::Changed);
                }
                // Its prices go along with its name.
                let sql = "UPDATE OR IGNORE noted_price SET thing = ?2
                    WHERE thing = (SELECT name FROM fabric WHERE id = ?1)";
                change.execute(sql, params![id, name])?;
                id
            }
        };
        let sql = "UPDATE fabric SET revision = revision + 1, name = ?2, width = ?3, length = ?4,
            one_way = ?5, repeat_along = ?6, repeat_across = ?7, swatch = ?8, ground = ?9,
            figure = ?10, note = ?11 WHERE id = ?1";
        change.execute(
            sql,
            params![
                id,
                name,
                fabric.width.to_nm(),
                fabric.length.to_nm(),
                fabric.one_way,
                fabric.repeat_along.map(Length::to_nm),
                fabric.repeat_across.map(Length::to_nm),
                fabric.swatch.word(),
                fabric.ground,
                fabric.figure,
                fabric.note,
            ],
        )?;
        change.commit()?;
        Ok(id)
    }

    /// Takes a fabric off the shelf for good, with its cuts; its prices stay in the list.
    ///
    /// # Errors
    /// When there is none of that number, or the file cannot be written.
    pub fn unshelve(&self, id: i64) -> Result<(), Trouble> {
        match self.lock().execute("DELETE FROM fabric WHERE id = ?1", [id])? {
            0 => Err(Trouble::NotThere("fabric")),
            _ => Ok(()),
        }
    }

    /// Takes lengths off the shelf for a bag, all of them or none.
    ///
    /// # Errors
    /// When there is too little of one, or the file cannot be written; then nothing is taken.
    pub fn cut_off(&self, bag: i64, title: &str, lengths: &[CutOff]) -> Result<(), Trouble> {
        let mut connection = self.lock();
        let change = begin(&mut connection)?;
        for CutOff { fabric, length, remnant } in lengths {
            let sql = "SELECT name, length FROM fabric WHERE id = ?1";
            let (name, left): (String, i64) = change
                .query_row(sql, [fabric], |row| Ok((row.get(0)?, row.get(1)?)))
                .optional()?
                .ok_or(Trouble::NotThere("fabric"))?;
            if left < length.to_nm() {
                return Err(Trouble::NotTaken(format!("there is too little of “{name}” left")));
            }
            let sql = "UPDATE fabric SET length = length - ?2, revision = revision + 1
                WHERE id = ?1";
            change.execute(sql, [*fabric, length.to_nm()])?;
            let sql = "INSERT INTO cut (fabric, bag, title, length, made)
                VALUES (?1, ?2, ?3, ?4, unixepoch())";
            change.execute(sql, params![fabric, bag, title, length.to_nm()])?;
            if let Some((width, length)) = remnant {
                let number: i64 = change.query_row(
                    "SELECT count(*) + 1 FROM fabric WHERE name LIKE ?1 || ', remnant %'",
                    [&name],
                    |row| row.get(0),
                )?;
                let sql = "INSERT OR IGNORE INTO fabric (revision, name, width, length, one_way,
                        repeat_along, repeat_across, swatch, ground, figure, note, remnant_of)
                    SELECT 1, name || ', remnant ' || ?2, ?3, ?4, one_way, repeat_along,
                        repeat_across, swatch, ground, figure, ?5, id FROM fabric WHERE id = ?1";
                let note = format!("left over from {title}");
                change
                    .execute(sql, params![fabric, number, width.to_nm(), length.to_nm(), note])?;
            }
        }
        change.commit()?;
        Ok(())
    }
}
