//! Photographs of the fabrics on the shelf.

use measure::Length;
use rusqlite::{OptionalExtension, params};

use super::{Keep, Trouble};
use crate::photo::Small;
use crate::sum::sum;

impl Keep {
    /// Keeps a photograph of a fabric, in the place of an older one; it shows so much cloth from
    /// side to side.
    ///
    /// # Errors
    /// When there is no such fabric, or the file cannot be written.
    pub fn keep_photo(&self, fabric: i64, photo: &Small, across: Length) -> Result<(), Trouble> {
        self.fabric(fabric)?;
        let sql = "INSERT OR REPLACE INTO photo (fabric, jpeg, across, wide, high, sum)
            VALUES (?1, ?2, ?3, ?4, ?5, ?6)";
        let Small { jpeg, wide, high } = photo;
        let sum = sum(jpeg).cast_signed();
        self.lock().execute(sql, params![fabric, jpeg, across.to_nm(), wide, high, sum])?;
        Ok(())
    }

    /// The photograph of a fabric, or of that which it is a remnant of.
    ///
    /// # Errors
    /// When there is none, or the file cannot be read.
    pub fn photo(&self, fabric: i64) -> Result<Vec<u8>, Trouble> {
        let connection = self.lock();
        let mut found = connection.prepare_cached(
            "SELECT jpeg FROM photo JOIN fabric ON photo.fabric IN (fabric.id, fabric.remnant_of)
             WHERE fabric.id = ?1 ORDER BY photo.fabric = fabric.id DESC LIMIT 1",
        )?;
        found
            .query_row([fabric], |row| row.get(0))
            .optional()?
            .ok_or(Trouble::NotThere("photograph"))
    }

    /// Throws the photograph of a fabric away.
    ///
    /// # Errors
    /// When there is none, or the file cannot be written.
    pub fn drop_photo(&self, fabric: i64) -> Result<(), Trouble> {
        match self.lock().execute("DELETE FROM photo WHERE fabric = ?1", [fabric])? {
            0 => Err(Trouble::NotThere("photograph")),
            _ => Ok(()),
        }
    }
}
