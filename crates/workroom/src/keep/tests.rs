//! What is kept stays kept, whole, in order, and safe from two writers.

use measure::{Length, Money};

use super::*;

fn keep() -> (tempfile::TempDir, Keep) {
    let folder = tempfile::tempdir().expect("there is room");
    let keep = Keep::open(folder.path()).expect("it can be opened");
    (folder, keep)
}

#[test]
fn edits_are_undone_and_done_again_without_end() {
    let (_folder, keep) = keep();
    let mut at = keep.add("Bag", "0", "new").unwrap();
    for step in 1..=50 {
        at = keep.change(at.id, at.revision, "Bag", &step.to_string(), "edit").unwrap();
    }
    for step in (0..50).rev() {
        at = keep.undo(at.id, at.revision).unwrap();
        assert_eq!(keep.bag(at.id).unwrap().text, step.to_string());
    }
    assert_eq!(keep.undo(at.id, at.revision), Err(Trouble::NothingTo("undo")));
    at = keep.redo(at.id, at.revision).unwrap();
    assert_eq!(keep.bag(at.id).unwrap().text, "1");
    // An edit after undoing leaves what was undone behind.
    at = keep.change(at.id, at.revision, "Bag", "other", "edit").unwrap();
    assert_eq!(keep.redo(at.id, at.revision), Err(Trouble::NothingTo("redo")));
    assert_eq!(keep.bag(at.id).unwrap().undo.as_deref(), Some("edit"));
}

#[test]
fn a_change_from_an_old_revision_is_not_made() {
    let (_folder, keep) = keep();
    let first = keep.add("Bag", "a", "new").unwrap();
    keep.change(first.id, first.revision, "Bag", "b", "edit").unwrap();
    let late = keep.change(first.id, first.revision, "Bag", "c", "edit");
    assert_eq!(late, Err(Trouble::Changed));
    assert_eq!(keep.undo(first.id, first.revision), Err(Trouble::Changed));
    assert_eq!(keep.bag(first.id).unwrap().text, "b");
}

#[test]
fn what_is_not_there_is_said_so() {
    let (_folder, keep) = keep();
    assert_eq!(keep.bag(7), Err(Trouble::NotThere("bag")));
    assert_eq!(keep.change(7, 1, "x", "x", "x"), Err(Trouble::NotThere("bag")));
    assert_eq!(keep.version(7, 1), Err(Trouble::NotThere("version")));
    assert_eq!(keep.throw_away(7), Err(Trouble::NotThere("bag")));
    assert!(matches!(keep.add("  ", "", "new"), Err(Trouble::NotTaken(_))));
}

#[test]
fn a_bag_is_put_away_before_it_can_be_thrown_away() {
    let (_folder, keep) = keep();
    let bag = keep.add("Bag", "a", "new").unwrap();
    keep.keep_version(bag.id, "as taught in spring").unwrap();
    assert_eq!(keep.throw_away(bag.id), Err(Trouble::NotThere("bag")));
    keep.put_away(bag.id, true).unwrap();
    assert!(keep.bags(false).unwrap().is_empty());
    keep.put_away(bag.id, false).unwrap();
    assert_eq!(keep.bags(false).unwrap().len(), 1);
    keep.put_away(bag.id, true).unwrap();
    keep.throw_away(bag.id).unwrap();
    assert!(keep.bags(true).unwrap().is_empty() && keep.versions(bag.id).unwrap().is_empty());
}

#[test]
fn a_newer_file_and_a_foreign_one_are_left_alone() {
    let folder = tempfile::tempdir().unwrap();
    drop(Keep::open(folder.path()).unwrap());
    let path = folder.path().join(FILE);
    let connection = Connection::open(&path).unwrap();
    connection.pragma_update(None, "user_version", 99).unwrap();
    drop(connection);
    let before = std::fs::read(&path).unwrap();
    assert_eq!(
        Keep::open(folder.path()).err(),
        Some(Trouble::Newer { found: 99, known: schema::known() })
    );
    assert_eq!(std::fs::read(&path).unwrap(), before);
    let bytes = b"not a database, but long enough to be one";
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join(FILE), bytes).unwrap();
    assert_eq!(Keep::open(folder.path()).err(), Some(Trouble::Foreign));
    assert_eq!(std::fs::read(folder.path().join(FILE)).unwrap(), bytes);
    let folder = tempfile::tempdir().unwrap();
    let other = Connection::open(folder.path().join(FILE)).unwrap();
    other.execute_batch("CREATE TABLE x (y)").unwrap();
    drop(other);
    assert_eq!(Keep::open(folder.path()).err(), Some(Trouble::Foreign));
}

#[test]
fn a_backup_brings_everything_back_and_keeps_what_was_there() {
    let (folder, keep) = keep();
    let bag = keep.add("Bag", "a", "new").unwrap();
    let backup = keep.backup().unwrap();
    keep.change(bag.id, bag.revision, "Bag", "b", "edit").unwrap();
    let before = keep.restore(&backup).unwrap();
    assert_eq!(keep.bag(bag.id).unwrap().text, "a");
    // What stood there before the restoring can be restored as well.
    let before = std::fs::read(before).unwrap();
    keep.restore(&before).unwrap();
    assert_eq!(keep.bag(bag.id).unwrap().text, "b");
    for wrong in [&b""[..], b"nonsense", &backup[..backup.len() / 2]] {
        assert!(keep.restore(wrong).is_err());
        assert_eq!(keep.bag(bag.id).unwrap().text, "b");
    }
    drop(keep);
    assert_eq!(Keep::open(folder.path()).unwrap().bag(bag.id).unwrap().text, "b");
}

#[test]
fn a_full_disk_keeps_the_old_state() {
    let (_folder, keep) = keep();
    let bag = keep.add("Bag", "a", "new").unwrap();
    let pages: i64 = {
        let connection = keep.lock();
        connection.query_row("SELECT * FROM pragma_page_count", [], |row| row.get(0)).unwrap()
    };
    keep.lock().pragma_update(None, "max_page_count", pages).unwrap();
    let large = "x".repeat(900_000);
    assert_eq!(keep.change(bag.id, bag.revision, "Bag", &large, "edit"), Err(Trouble::Full));
    assert_eq!(keep.bag(bag.id).unwrap().text, "a");
    keep.lock().pragma_update(None, "max_page_count", 1_000_000).unwrap();
    keep.change(bag.id, bag.revision, "Bag", &large, "edit").unwrap();
}

#[test]
fn what_is_in_the_way_of_the_folder_is_said_in_plain_words() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("notes");
    std::fs::write(&file, "thread, needles").unwrap();
    let said = Keep::open(&file).err().unwrap().to_string();
    assert!(said.ends_with("notes cannot be made: a file is in its place"), "{said}");
    let below = Keep::open(&file.join("below")).err().unwrap().to_string();
    assert!(below.ends_with("a file is in its place"), "{below}");
    assert_eq!(std::fs::read_to_string(&file).unwrap(), "thread, needles");
    for (kind, words) in [
        (std::io::ErrorKind::StorageFull, "the disk is full, so nothing new can be kept"),
        (std::io::ErrorKind::ReadOnlyFilesystem, "nothing can be written in the data folder"),
        (std::io::ErrorKind::PermissionDenied, "nothing can be written in the data folder"),
    ] {
        let said = Trouble::from(std::io::Error::from(kind)).to_string();
        assert!(
            said.starts_with(words) && said.contains("what was kept before is all there"),
            "{said}"
        );
    }
}

#[test]
fn a_file_that_cannot_be_written_says_so() {
    let (_folder, keep) = keep();
    let bag = keep.add("Bag", "a", "new").unwrap();
    keep.lock().pragma_update(None, "query_only", true).unwrap();
    assert_eq!(keep.change(bag.id, bag.revision, "Bag", "b", "edit"), Err(Trouble::ReadOnly));
    assert_eq!(keep.bag(bag.id).unwrap().text, "a");
}

fn canvas() -> Fabric {
    Fabric {
        name: "Canvas".to_owned(),
        width: Length::inch(54),
        length: Length::inch(72),
        one_way: false,
        repeat_along: None,
        repeat_across: None,
        swatch: Swatch::Stripes,
        ground: "#ffffff".to_owned(),
        figure: "#336699".to_owned(),
        note: String::new(),
    }
}

#[test]
fn cutting_takes_the_length_off_and_leaves_the_remnant() {
    let (_folder, keep) = keep();
    let id = keep.shelve(None, &canvas()).unwrap();
    let bag = keep.add("Bag", "a", "new").unwrap();
    let remnant = Some((Length::inch(20), Length::inch(30)));
    keep.cut_off(bag.id, "Bag", &[CutOff { fabric: id, length: Length::inch(30), remnant }])
        .unwrap();
    let all = keep.fabrics().unwrap();
    assert_eq!(all.len(), 2);
    assert_eq!(all[0].fabric.length, Length::inch(42));
    assert_eq!(all[1].fabric.name, "Canvas, remnant 1");
    assert_eq!(all[1].remnant_of.as_deref(), Some("Canvas"));
    assert_eq!(keep.cuts(id).unwrap()[0].length, Length::inch(30));
    // Too little of the second: nothing of either is taken.
    let both = [(all[1].id, 1), (id, 43)].map(|(fabric, inches)| CutOff {
        fabric,
        length: Length::inch(inches),
        remnant: None,
    });
    assert!(matches!(keep.cut_off(bag.id, "Bag", &both), Err(Trouble::NotTaken(_))));
    assert_eq!(keep.fabrics().unwrap(), all);
}

#[test]
fn a_name_is_on_the_shelf_once_and_the_last_price_counts() {
    let (_folder, keep) = keep();
    let id = keep.shelve(None, &canvas()).unwrap();
    let namesake = Fabric { name: "CANVAS ".to_owned(), ..canvas() };
    assert!(matches!(keep.shelve(None, &namesake), Err(Trouble::NotTaken(_))));
    let at = keep.fabric(id).unwrap();
    keep.shelve(Some((id, at.revision)), &namesake).unwrap();
    assert_eq!(keep.shelve(Some((id, at.revision)), &canvas()), Err(Trouble::Changed));
    for (text, day) in [("12.50 EUR", "2026-03-01"), ("11.00 EUR", "2025-11-30")] {
        let money = Money::parse(text).unwrap();
        let day = read_day(day).unwrap();
        keep.note_price("canvas", &Price { money, per: Per::Metre, day, shop: String::new() })
            .unwrap();
    }
    let last = keep.fabric(id).unwrap().price.unwrap();
    assert_eq!((last.money.to_string().as_str(), last.day), ("12.50 EUR", (2026, 3, 1)));
    assert_eq!(keep.prices().unwrap().len(), 2);
    // A new name takes its prices along; and they outlive the fabric.
    let at = keep.fabric(id).unwrap();
    let renamed = Fabric { name: "Sailcloth".to_owned(), ..canvas() };
    keep.shelve(Some((id, at.revision)), &renamed).unwrap();
    assert!(keep.fabric(id).unwrap().price.is_some());
    keep.unshelve(id).unwrap();
    assert_eq!(keep.newest_prices().unwrap()[0].thing, "Sailcloth");
    assert_eq!(read_day("2026-13-01"), None);
}

/// A file of the first format, which had no photographs, is brought up to date with all that is in it.
#[test]
fn an_older_file_becomes_a_newer_one() {
    let (folder, keep) = keep();
    let bag = keep.add("Bag", "a", "new").unwrap();
    assert_eq!(keep.shelve(None, &canvas()).unwrap(), 1);
    drop(keep);
    let connection = Connection::open(folder.path().join(FILE)).unwrap();
    connection
        .execute_batch(
            "DROP TABLE photo; DROP TABLE workshop; DROP TABLE workshop_edit; DROP TABLE session;
             DROP TABLE noted_price;
             ALTER TABLE bag DROP COLUMN size; ALTER TABLE bag DROP COLUMN choice;
             CREATE TABLE price (fabric INTEGER NOT NULL REFERENCES fabric (id) ON DELETE CASCADE,
                 day TEXT NOT NULL, amount TEXT NOT NULL, per TEXT NOT NULL,
                 PRIMARY KEY (fabric, day)) STRICT, WITHOUT ROWID;
             INSERT INTO price VALUES (1, '2025-03-01', '12.50 EUR', 'm');
             INSERT INTO price VALUES (1, '2025-09-01', '13.00 EUR', 'm');",
        )
        .unwrap();
    connection.pragma_update(None, "user_version", 1).unwrap();
    drop(connection);
    let keep = Keep::open(folder.path()).unwrap();
    assert_eq!(keep.bag(bag.id).unwrap().text, "a");
    assert_eq!(keep.photo(1), Err(Trouble::NotThere("photograph")));
    assert_eq!(keep.workshop().unwrap().text, "");
    assert!(keep.sessions().unwrap().is_empty());
    // The prices of the shelf are in the list, and the newest still is the fabric's.
    assert_eq!(keep.prices().unwrap().len(), 2);
    let price = keep.fabric(1).unwrap().price.unwrap();
    assert_eq!((price.money.to_string().as_str(), price.day), ("13.00 EUR", (2025, 9, 1)));
}

#[test]
fn no_price_is_lost_and_the_newest_counts() {
    let (_folder, keep) = keep();
    let note = |thing: &str, amount: &str, day: &str, shop: &str| {
        let (money, day) = (Money::parse(amount).unwrap(), read_day(day).unwrap());
        let price = Price { money, per: Per::One, day, shop: shop.to_owned() };
        keep.note_price(thing, &price)
    };
    note("Zip", "1.20 EUR", "2026-02-01", "corner shop").unwrap();
    note("zip", "1.60 EUR", "2026-05-01", "market").unwrap();
    note("zip", "1.50 EUR", "2026-05-01", "corner shop").unwrap();
    let newest = || keep.newest_prices().unwrap().remove(0);
    assert_eq!(newest().price.money.to_string(), "1.50 EUR");
    keep.strike_price(newest().id, true).unwrap();
    assert_eq!(newest().price.shop, "market");
    let all = keep.prices().unwrap();
    assert_eq!((all.len(), all.iter().filter(|row| row.is_struck).count()), (3, 1));
    keep.strike_price(all[0].id, false).unwrap();
    assert_eq!(newest().price.money.to_string(), "1.50 EUR");
    // The same thing, day and shop once more: put right.
    note("ZIP", "1.55 EUR", "2026-05-01", "corner shop").unwrap();
    assert_eq!((keep.prices().unwrap().len(), newest().price.money.minor()), (3, 155));
    assert!(matches!(note(" ", "1 EUR", "2026-05-01", ""), Err(Trouble::NotTaken(_))));
    assert_eq!(keep.strike_price(99, true), Err(Trouble::NotThere("price")));
}

#[test]
fn a_price_grows_old_after_whole_months() {
    let day = |text| read_day(text).unwrap();
    let price = |text| Price {
        money: Money::parse("1 EUR").unwrap(),
        per: Per::One,
        day: day(text),
        shop: String::new(),
    };
    for (noted, old) in [("2025-11-28", true), ("2025-11-29", false), ("2024-12-31", true)] {
        assert_eq!(price(noted).is_older(12, day("2026-11-28")), old, "{noted}");
    }
    assert!(!price("2027-01-01").is_older(1, day("2026-11-28")));
}

#[test]
fn a_session_outlives_its_bag() {
    let (_folder, keep) = keep();
    let bag = keep.add("Bag", "a", "new").unwrap();
    let session = Session {
        bag: bag.id,
        title: "Bag".to_owned(),
        text: "a".to_owned(),
        from: None,
        to: Some("box-corners".to_owned()),
        bags: 2,
        seconds: 3_600,
        day: "2026-11-28".to_owned(),
    };
    keep.log_session(&session).unwrap();
    assert_eq!(keep.sessions().unwrap()[0].session, session);
    keep.put_away(bag.id, true).unwrap();
    keep.throw_away(bag.id).unwrap();
    let row = keep.sessions().unwrap().remove(0);
    assert_eq!(row.session, Session { bag: 0, ..session });
    keep.strike_session(row.id, true).unwrap();
    assert!(keep.sessions().unwrap()[0].is_struck);
}

#[test]
fn what_she_reckons_with_is_kept_with_every_change() {
    let (_folder, keep) = keep();
    for step in 1..=5 {
        let seen = keep.workshop().unwrap().revision;
        keep.change_workshop(seen, &format!("overhead = {step}")).unwrap();
        assert_eq!(keep.change_workshop(seen, "late"), Err(Trouble::Changed));
    }
    let backup = keep.backup().unwrap();
    for step in (1..5).rev() {
        keep.undo_workshop(keep.workshop().unwrap().revision).unwrap();
        assert_eq!(keep.workshop().unwrap().text, format!("overhead = {step}"));
    }
    // A change after undoing leaves what was undone behind.
    keep.change_workshop(keep.workshop().unwrap().revision, "tax = 7").unwrap();
    let now = keep.workshop().unwrap();
    assert!(now.can_undo && !now.can_redo);
    assert_eq!(keep.redo_workshop(now.revision), Err(Trouble::NothingTo("redo")));
    keep.restore(&backup).unwrap();
    assert_eq!(keep.workshop().unwrap().text, "overhead = 5");
}
