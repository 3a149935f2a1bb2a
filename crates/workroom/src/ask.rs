//! What a browser asks and what it is answered, without a network: pages are plain functions from
//! one to the other, and can be tested as such.

use std::collections::BTreeMap;

use maud::Markup;

/// What is done with a page.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verb {
    /// It is looked at; nothing changes.
    Get,
    /// Something is changed.
    Post,
}

/// Names and values of a form or a query; of a name that is there twice, the last.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Fields(BTreeMap<String, String>);

impl Fields {
    /// From `a=1&b=2`, percent-encoded.
    pub fn read(encoded: &[u8]) -> Self {
        Self(form_urlencoded::parse(encoded).into_owned().collect())
    }

    /// Sets a field.
    pub fn set(&mut self, name: &str, value: String) {
        self.0.insert(name.to_owned(), value);
    }

    /// The value of a field, if it is there.
    pub fn get(&self, name: &str) -> Option<&str> {
        self.0.get(name).map(String::as_str)
    }

    /// The value of a field; empty if it is not there.
    pub fn text(&self, name: &str) -> &str {
        self.get(name).unwrap_or_default()
    }

    /// A whole number, if there is one.
    pub fn number(&self, name: &str) -> Option<i64> {
        self.get(name)?.parse().ok()
    }
}

/// What a page has: the sum of each of its parts, by id.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Has(BTreeMap<String, String>);

impl Has {
    /// From `parts bar.1f0a seen.`: a part that is not made yet has no sum.
    pub fn read(said: &str) -> Self {
        let each = said.split(' ').filter_map(|word| word.rsplit_once('.'));
        Self(each.map(|(id, sum)| (id.to_owned(), sum.to_owned())).collect())
    }

    /// Whether it has a part with that sum.
    pub fn is(&self, id: &str, sum: &str) -> bool {
        !sum.is_empty() && self.0.get(id).is_some_and(|known| known == sum)
    }
}

/// A request.
#[derive(Clone, Debug)]
pub struct Ask {
    /// Whether something is changed.
    pub verb: Verb,
    /// The path in parts: `/bag/3` is `["bag", "3"]`.
    pub path: Vec<String>,
    /// What stands behind the question mark.
    pub query: Fields,
    /// The fields of the form.
    pub form: Fields,
    /// The files of the form, by field.
    pub files: BTreeMap<String, Vec<u8>>,
    /// What the page has, if its own script asks, which takes only the parts that have changed.
    pub parts: Option<Has>,
}

impl Ask {
    /// The path as written: `/bag/3`.
    pub fn place(&self) -> String {
        format!("/{}", self.path.join("/"))
    }
}

/// What is sent back.
#[derive(Clone, Debug)]
pub struct Answer {
    /// 200, 303, 404, …
    pub status: u16,
    /// The media type.
    pub media: &'static str,
    /// The bytes.
    pub body: Vec<u8>,
    /// The name under which a download is saved.
    pub save_as: Option<String>,
    /// Where the browser goes instead.
    pub location: Option<String>,
    /// A policy of its own for what a page may load; else the strict one.
    pub policy: Option<String>,
    /// Whether the browser may keep it for ever: its address changes with its content.
    pub lasting: bool,
    /// A cookie to set.
    pub cookie: Option<String>,
}

impl Answer {
    fn new(status: u16, media: &'static str, body: Vec<u8>) -> Self {
        Self {
            status,
            media,
            body,
            save_as: None,
            location: None,
            policy: None,
            lasting: false,
            cookie: None,
        }
    }

    /// A page.
    pub fn page(page: Markup) -> Self {
        Self::new(200, "text/html; charset=utf-8", page.into_string().into_bytes())
    }

    /// A page that says what went wrong.
    pub fn fault(status: u16, page: Markup) -> Self {
        Self { status, ..Self::page(page) }
    }

    /// Anything else that is looked at in the browser.
    pub fn of(media: &'static str, body: impl Into<Vec<u8>>) -> Self {
        Self::new(200, media, body.into())
    }

    /// A file to keep.
    pub fn download(name: &str, media: &'static str, body: impl Into<Vec<u8>>) -> Self {
        Self { save_as: Some(file_name(name)), ..Self::of(media, body) }
    }

    /// The browser is sent on, and asks anew.
    pub fn see(place: impl Into<String>) -> Self {
        let location = Some(place.into());
        Self { location, ..Self::new(303, "text/plain; charset=utf-8", Vec::new()) }
    }
}

/// A name that every system takes: letters, digits, points and hyphens, and not too long.
pub fn file_name(name: &str) -> String {
    let mut safe = String::new();
    for c in name.to_lowercase().chars() {
        match c {
            c if c.is_alphanumeric() && c.is_ascii() => safe.push(c),
            '.' if !safe.is_empty() => safe.push('.'),
            _ if safe.ends_with('-') || safe.is_empty() => {}
            _ => safe.push('-'),
        }
        if safe.len() >= 80 {
            break;
        }
    }
    let safe = safe.trim_matches(['-', '.']);
    if safe.is_empty() { "bag".to_owned() } else { safe.replace("-.", ".") }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_safe_everywhere() {
        for (name, safe) in [
            ("Market day bag.pdf", "market-day-bag.pdf"),
            ("../../etc/passwd", "etc-passwd"),
            ("Ölzeug “groß”.toml", "lzeug-gro.toml"),
            ("\r\nSet-Cookie: x", "set-cookie-x"),
            ("", "bag"),
            ("....", "bag"),
        ] {
            assert_eq!(file_name(name), safe, "{name}");
        }
        assert!(file_name(&"a".repeat(500)).len() <= 80);
    }

    #[test]
    fn fields_are_read_as_browsers_write_them() {
        let fields = Fields::read(b"path=body.width&value=4+1%2F2%22&x");
        assert_eq!((fields.text("path"), fields.text("value")), ("body.width", "4 1/2\""));
        assert_eq!((fields.get("x"), fields.get("y")), (Some(""), None));
        assert_eq!(Fields::read(b"%ff%fe=%").text("nothing"), "");
    }
}
