//! The tables, and how an older file becomes a newer one. A migration is never changed once it was
//! in a released program; another one follows it.

use rusqlite::{Connection, TransactionBehavior};

use super::Trouble;

/// Tells our files from those of other programs: "bagw".
const APPLICATION: i64 = 0x6261_6777;

/// Each turns the format before it into the next.
const MIGRATIONS: &[&str] = &[FIRST, PHOTOS, PHOTOS_TO_SCALE, WORKSHOP, PRICES_AND_LOG, SHOWN];

/// Bags as the text of a design file, one row for each edit, so that undo has no end. `edit.at` is
/// the number of the edit that a bag stands at; what lies beyond it was undone.
const FIRST: &str = "
CREATE TABLE setting (name TEXT PRIMARY KEY, value TEXT NOT NULL) STRICT, WITHOUT ROWID;
CREATE TABLE bag (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    title TEXT NOT NULL,
    revision INTEGER NOT NULL,
    stands_at INTEGER NOT NULL,
    changed INTEGER NOT NULL,
    put_away INTEGER
) STRICT;
CREATE TABLE edit (
    bag INTEGER NOT NULL REFERENCES bag (id) ON DELETE CASCADE,
    number INTEGER NOT NULL,
    text TEXT NOT NULL,
    what TEXT NOT NULL,
    made INTEGER NOT NULL,
    PRIMARY KEY (bag, number)
) STRICT, WITHOUT ROWID;
CREATE TABLE version (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    bag INTEGER NOT NULL REFERENCES bag (id) ON DELETE CASCADE,
    name TEXT NOT NULL,
    text TEXT NOT NULL,
    made INTEGER NOT NULL
) STRICT;
CREATE INDEX version_of_bag ON version (bag);
CREATE TABLE shared (
    bag INTEGER PRIMARY KEY REFERENCES bag (id) ON DELETE CASCADE
) STRICT;
CREATE TABLE fabric (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    revision INTEGER NOT NULL,
    name TEXT NOT NULL,
    width INTEGER NOT NULL,
    length INTEGER NOT NULL,
    one_way INTEGER NOT NULL,
    repeat_along INTEGER,
    repeat_across INTEGER,
    swatch TEXT NOT NULL,
    ground TEXT NOT NULL,
    figure TEXT NOT NULL,
    note TEXT NOT NULL,
    remnant_of INTEGER REFERENCES fabric (id) ON DELETE SET NULL
) STRICT;
CREATE UNIQUE INDEX fabric_name ON fabric (name COLLATE NOCASE);
CREATE TABLE price (
    fabric INTEGER NOT NULL REFERENCES fabric (id) ON DELETE CASCADE,
    day TEXT NOT NULL,
    amount TEXT NOT NULL,
    per TEXT NOT NULL,
    PRIMARY KEY (fabric, day)
) STRICT, WITHOUT ROWID;
CREATE TABLE cut (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    fabric INTEGER NOT NULL REFERENCES fabric (id) ON DELETE CASCADE,
    bag INTEGER REFERENCES bag (id) ON DELETE SET NULL,
    title TEXT NOT NULL,
    length INTEGER NOT NULL,
    made INTEGER NOT NULL
) STRICT;
CREATE INDEX cut_of_fabric ON cut (fabric);
";

/// A photograph of a fabric, as a JPEG that we wrote ourselves.
const PHOTOS: &str = "
CREATE TABLE photo (
    fabric INTEGER PRIMARY KEY REFERENCES fabric (id) ON DELETE CASCADE,
    jpeg BLOB NOT NULL
) STRICT;
";

/// How much cloth a photograph shows, how large it is, and a sum that changes with it. Of older ones
/// it is not known: they show 20 cm, and are square.
const PHOTOS_TO_SCALE: &str = "
ALTER TABLE photo ADD COLUMN across INTEGER NOT NULL DEFAULT 200000000;
ALTER TABLE photo ADD COLUMN wide INTEGER NOT NULL DEFAULT 1;
ALTER TABLE photo ADD COLUMN high INTEGER NOT NULL DEFAULT 1;
ALTER TABLE photo ADD COLUMN sum INTEGER NOT NULL DEFAULT 0;
";

/// What she reckons with, as the text of a workshop file, one row for each change. There is one
/// workshop, which stands at one of them.
const WORKSHOP: &str = "
CREATE TABLE workshop (
    id INTEGER PRIMARY KEY CHECK (id = 1),
    revision INTEGER NOT NULL,
    stands_at INTEGER NOT NULL
) STRICT;
CREATE TABLE workshop_edit (
    number INTEGER PRIMARY KEY,
    text TEXT NOT NULL,
    made INTEGER NOT NULL
) STRICT;
INSERT INTO workshop (id, revision, stands_at) VALUES (1, 1, 0);
INSERT INTO workshop_edit (number, text, made) VALUES (0, '', unixepoch());
";

/// Prices of whatever is bought, and the sewing log. The prices of the shelf's fabrics go over.
const PRICES_AND_LOG: &str = "
CREATE TABLE noted_price (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    thing TEXT NOT NULL COLLATE NOCASE,
    amount TEXT NOT NULL,
    per TEXT NOT NULL,
    day TEXT NOT NULL,
    shop TEXT NOT NULL,
    struck INTEGER NOT NULL DEFAULT 0
) STRICT;
INSERT INTO noted_price (thing, amount, per, day, shop)
    SELECT fabric.name, price.amount, price.per, price.day, ''
    FROM price JOIN fabric ON fabric.id = price.fabric ORDER BY price.day;
DROP TABLE price;
CREATE UNIQUE INDEX price_of_thing ON noted_price (thing, day, shop);
CREATE TABLE session (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    bag INTEGER REFERENCES bag (id) ON DELETE SET NULL,
    title TEXT NOT NULL,
    text TEXT NOT NULL,
    from_step TEXT,
    to_step TEXT,
    bags INTEGER NOT NULL,
    seconds INTEGER NOT NULL,
    day TEXT NOT NULL,
    struck INTEGER NOT NULL DEFAULT 0
) STRICT;
";

/// Which size and option of a bag is shown.
const SHOWN: &str = "
ALTER TABLE bag ADD COLUMN size TEXT;
ALTER TABLE bag ADD COLUMN choice TEXT;
";

/// The newest format that this program knows.
pub(super) fn known() -> i64 {
    i64::try_from(MIGRATIONS.len()).unwrap_or(i64::MAX)
}

/// Makes sure that a file is empty or ours, and not from a newer program. Reads only.
pub(super) fn is_ours(connection: &Connection) -> Result<(), Trouble> {
    let number = |name: &str| -> Result<i64, Trouble> {
        Ok(connection.query_row(&format!("SELECT * FROM pragma_{name}"), [], |row| row.get(0))?)
    };
    let tables: i64 =
        connection.query_row("SELECT count(*) FROM sqlite_schema", [], |row| row.get(0))?;
    let application = number("application_id")?;
    if application != APPLICATION && (application != 0 || tables > 0) {
        return Err(Trouble::Foreign);
    }
    let (found, known) = (number("user_version")?, known());
    if found > known {
        return Err(Trouble::Newer { found, known });
    }
    Ok(())
}

/// Brings the tables up to date, all or nothing.
pub(super) fn migrate(connection: &mut Connection) -> Result<(), Trouble> {
    let version = |connection: &Connection| -> Result<i64, Trouble> {
        Ok(connection.query_row("SELECT * FROM pragma_user_version", [], |row| row.get(0))?)
    };
    if version(connection)? == known() {
        return Ok(());
    }
    let change = connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
    // Another process may have done it while this one waited.
    let done = usize::try_from(version(&change)?).unwrap_or(0);
    for migration in MIGRATIONS.iter().skip(done) {
        change.execute_batch(migration)?;
    }
    change.pragma_update(None, "application_id", APPLICATION)?;
    change.pragma_update(None, "user_version", known())?;
    change.commit()?;
    Ok(())
}
