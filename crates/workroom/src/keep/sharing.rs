//! Which bags the class may read, when the workroom listens for its tablets.

use super::{BagRow, Keep, Trouble};

impl Keep {
    /// Lets the class read the handout of a bag, or no longer.
    ///
    /// # Errors
    /// When there is no such bag, or the file cannot be written.
    pub fn share(&self, bag: i64, shared: bool) -> Result<(), Trouble> {
        let sql = if shared {
            "INSERT INTO shared (bag) SELECT id FROM bag WHERE id = ?1 ON CONFLICT DO NOTHING"
        } else {
            "DELETE FROM shared WHERE bag = ?1"
        };
        self.bag(bag)?;
        self.lock().execute(sql, [bag])?;
        Ok(())
    }

    /// The bags that the class may read.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn shared(&self) -> Result<Vec<BagRow>, Trouble> {
        Ok(self.bags(false)?.into_iter().filter(|bag| bag.is_shared).collect())
    }
}
