//! Typesetting in memory: a source and its files in, a PDF out. No disk, no clock, no network.
//!
//! The same input gives the same bytes: the date is given, there is no `today`, and only the
//! program's own fonts are seen. A warning counts as an error, since it would be a fault on paper.

use std::collections::BTreeMap;
use std::fmt::Write as _;

use typst::diag::{FileError, FileResult, SourceDiagnostic};
use typst::foundations::{Bytes, Datetime, Duration};
use typst::syntax::{FileId, RootedPath, Source, VirtualPath, VirtualRoot};
use typst::text::{Font, FontBook};
use typst::utils::LazyHash;
use typst::{Library, LibraryExt, World, WorldExt};
use typst_layout::PagedDocument;
use typst_pdf::{PdfOptions, PdfStandard, PdfStandards, Timestamp};

use crate::fonts::{BOOK, FONTS};

/// Why something could not be printed. Each is a fault of the program or of a text that the
/// typesetter cannot set, never of the reader's files.
#[derive(Debug, thiserror::Error)]
pub enum PaperError {
    /// The typesetter found faults; one line each, as `file:line:column: message`.
    #[error("the booklet could not be typeset:\n{0}")]
    Typesetting(String),
    /// Something that was to be drawn cannot be.
    #[error("{0}")]
    Drawing(String),
}

/// A day of the calendar.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Day {
    pub(crate) year: i32,
    pub(crate) month: u8,
    pub(crate) day: u8,
}

impl Day {
    /// Reads `year-month-day`; nothing when it is no day of the calendar.
    pub(crate) fn parse(text: &str) -> Option<Self> {
        let mut parts = text.trim().splitn(3, '-');
        let day = Self {
            year: parts.next()?.parse().ok()?,
            month: parts.next()?.parse().ok()?,
            day: parts.next()?.parse().ok()?,
        };
        day.to_datetime().map(|_| day)
    }

    fn to_datetime(self) -> Option<Datetime> {
        Datetime::from_ymd(self.year, self.month, self.day)
    }
}

/// Sets `source` (Typst) with `files`, by path, beside it. `date` is written into the PDF.
/// The result is PDF/UA-1: tagged, every picture with words for it.
///
/// # Errors
/// Whatever the typesetter complains of, warnings included.
pub(crate) fn to_pdf(
    source: &str,
    files: BTreeMap<String, Vec<u8>>,
    date: Option<Day>,
) -> Result<Vec<u8>, PaperError> {
    let desk = Desk::new(source, files)?;
    let document = desk.set()?;
    let options = PdfOptions {
        creator: typst::foundations::Smart::Custom(Some("bagwright".to_owned())),
        timestamp: date.and_then(Day::to_datetime).map(Timestamp::new_utc),
        standards: PdfStandards::new(&[PdfStandard::Ua_1])
            .map_err(|fault| PaperError::Typesetting(fault.message().to_string()))?,
        ..PdfOptions::default()
    };
    let pdf = typst_pdf::pdf(&document, &options).map_err(|faults| desk.complain(&faults))?;
    // A server that lives long would otherwise keep every page it ever set.
    comemo::evict(2);
    Ok(pdf)
}

/// What the typesetter may see.
struct Desk {
    functions: LazyHash<Library>,
    main: Source,
    files: BTreeMap<String, Bytes>,
}

impl Desk {
    fn new(source: &str, files: BTreeMap<String, Vec<u8>>) -> Result<Self, PaperError> {
        let path = VirtualPath::new("booklet.typ")
            .map_err(|fault| PaperError::Typesetting(format!("{fault:?}")))?;
        let id = RootedPath::new(VirtualRoot::Project, path).intern();
        Ok(Self {
            functions: LazyHash::new(Library::builder().build()),
            main: Source::new(id, source.to_owned()),
            files: files.into_iter().map(|(path, data)| (path, Bytes::new(data))).collect(),
        })
    }

    /// Sets the source; a warning is a fault.
    fn set(&self) -> Result<PagedDocument, PaperError> {
        let set = typst::compile::<PagedDocument>(self);
        let document = set.output.map_err(|faults| self.complain(&faults))?;
        if set.warnings.is_empty() { Ok(document) } else { Err(self.complain(&set.warnings)) }
    }

    /// Faults as text, one a line.
    fn complain(&self, faults: &[SourceDiagnostic]) -> PaperError {
        let mut text = String::new();
        for fault in faults {
            if !text.is_empty() {
                text.push('\n');
            }
            let place = self
                .range(fault.span)
                .and_then(|range| self.main.lines().byte_to_line_column(range.start));
            if let Some((line, column)) = place {
                // Writing to a `String` returns no error.
                let _ = write!(text, "booklet.typ:{}:{}: ", line + 1, column + 1);
            }
            text.push_str(&fault.message);
            for hint in &fault.hints {
                let _ = write!(text, " ({})", hint.v);
            }
        }
        PaperError::Typesetting(text)
    }
}

impl World for Desk {
    fn library(&self) -> &LazyHash<Library> {
        &self.functions
    }

    fn book(&self) -> &LazyHash<FontBook> {
        &BOOK
    }

    fn main(&self) -> FileId {
        self.main.id()
    }

    fn source(&self, id: FileId) -> FileResult<Source> {
        if id == self.main.id() { Ok(self.main.clone()) } else { Err(missing(id)) }
    }

    fn file(&self, id: FileId) -> FileResult<Bytes> {
        self.files.get(id.get().vpath().get_without_slash()).cloned().ok_or_else(|| missing(id))
    }

    fn font(&self, index: usize) -> Option<Font> {
        FONTS.get(index).cloned()
    }

    fn today(&self, _: Option<Duration>) -> Option<Datetime> {
        None
    }
}

fn missing(id: FileId) -> FileError {
    FileError::NotFound(id.get().vpath().get_without_slash().into())
}

/// What stands on the pages, for tests.
#[cfg(test)]
pub(crate) mod pages {
    use typst::layout::{Frame, FrameItem, Transform};

    use super::*;

    /// A box on a page, in pt: left, top, width, height.
    pub(crate) type Box = (f64, f64, f64, f64);

    /// What stands on a page.
    #[derive(Debug, Default)]
    pub(crate) struct Page {
        /// Width × height in pt.
        pub(crate) size: (f64, f64),
        /// All text, in order, without spaces.
        pub(crate) text: String,
        /// Where upright text begins, and how long it is.
        pub(crate) lines: Vec<Box>,
        /// Where pictures stand.
        pub(crate) pictures: Vec<Box>,
    }

    /// Sets a source and looks at its pages.
    pub(crate) fn look(
        source: &str,
        files: BTreeMap<String, Vec<u8>>,
    ) -> Result<Vec<Page>, PaperError> {
        let document = Desk::new(source, files)?.set()?;
        Ok(document
            .pages()
            .iter()
            .map(|page| {
                let frame = &page.frame;
                let size = (frame.width().to_pt(), frame.height().to_pt());
                let mut seen = Page { size, ..Page::default() };
                walk(frame, Some((0.0, 0.0)), &mut seen);
                seen
            })
            .collect())
    }

    /// Walks a frame; `at` is its corner, unless something has turned it.
    fn walk(frame: &Frame, at: Option<(f64, f64)>, page: &mut Page) {
        for (point, item) in frame.items() {
            let here = at.map(|(x, y)| (x + point.x.to_pt(), y + point.y.to_pt()));
            match item {
                FrameItem::Group(group) => {
                    let still = group.transform == Transform::identity();
                    walk(&group.frame, here.filter(|_| still), page);
                }
                FrameItem::Text(text) => {
                    page.text.extend(text.text.chars().filter(|letter| !letter.is_whitespace()));
                    if let Some((x, y)) = here {
                        page.lines.push((x, y, text.width().to_pt(), text.size.to_pt()));
                    }
                }
                FrameItem::Image(_, size, _) => {
                    if let Some((x, y)) = here {
                        page.pictures.push((x, y, size.x.to_pt(), size.y.to_pt()));
                    }
                }
                _ => {}
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(source: &str) -> Result<Vec<u8>, String> {
        to_pdf(source, BTreeMap::new(), None).map_err(|fault| fault.to_string())
    }

    #[test]
    fn days_are_days_of_the_calendar() {
        assert_eq!(Day::parse("2026-02-28"), Some(Day { year: 2026, month: 2, day: 28 }));
        for text in ["", "2026-02-29", "28 February", "2026-13-01", "2026-1"] {
            assert_eq!(Day::parse(text), None, "{text}");
        }
    }

    #[test]
    fn faults_name_their_place() {
        let fault = check("#set document(title: \"a\")\n\nfine #image(\"gone.svg\")").unwrap_err();
        assert!(fault.contains("booklet.typ:3:13: file not found"), "{fault}");
    }

    #[test]
    fn a_warning_is_a_fault() {
        let fault =
            check("#set document(title: \"a\")\n#set text(font: \"Nowhere\")\nx").unwrap_err();
        assert!(fault.contains("unknown font family: nowhere"), "{fault}");
    }

    #[test]
    fn there_is_no_today() {
        let fault = check("#datetime.today()").unwrap_err();
        assert!(fault.contains("date"), "{fault}");
    }
}
