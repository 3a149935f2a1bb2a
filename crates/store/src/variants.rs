//! What the sizes and options of a design file say, one line for each thing that differs, so that a
//! form can change them one by one.

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use crate::document;
use crate::family::{OPTION, SIZE};
use crate::problem::Source;
use crate::write::quoted;

/// All sizes and options.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Variants {
    /// The sizes, in their order.
    pub sizes: Vec<Variant>,
    /// The options.
    pub options: Vec<Variant>,
}

/// One size or option.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Variant {
    /// Its name.
    pub name: String,
    /// What differs: a path as in `body.width`, and the value as it stands in the file.
    pub says: Vec<(String, String)>,
    /// Remarks on it, without their `#`.
    pub remarks: Vec<String>,
}

impl Variant {
    /// What it says of a path, as it stands in the file.
    pub fn get(&self, path: &str) -> Option<&str> {
        self.says.iter().find(|(known, _)| known == path).map(|(_, value)| value.as_str())
    }

    /// Says something of a path, in the place of what it said before.
    pub fn set(&mut self, path: &str, value: String) {
        match self.says.iter_mut().find(|(known, _)| known == path) {
            Some((_, old)) => *old = value,
            None => self.says.push((path.to_owned(), value)),
        }
    }

    /// Says nothing of a path any more.
    pub fn take(&mut self, path: &str) {
        self.says.retain(|(known, _)| known != path);
    }
}

impl Variants {
    /// The sizes and options of a design file, or of such a part of one; nothing where the file is
    /// not understood.
    pub fn read(text: &str) -> Option<Self> {
        let source = Source { file: "", text };
        let (document, problems) = document::parse(source).ok()?;
        if !problems.is_empty() {
            return None;
        }
        let list = |section: &str| -> Option<Vec<Variant>> {
            let Some(item) = document.get_ref().get(section) else { return Some(Vec::new()) };
            let DeValue::Table(named) = item.get_ref() else { return None };
            in_order(named)
                .into_iter()
                .map(|(name, value)| {
                    let DeValue::Table(table) = value.get_ref() else { return None };
                    let mut variant = Variant { name: name.to_owned(), ..Variant::default() };
                    flatten(source, "", table, &mut variant);
                    Some(variant)
                })
                .collect()
        };
        let mut all = Self { sizes: list(SIZE)?, options: list(OPTION)? };
        all.remarks(text);
        Some(all)
    }

    /// All of them as they stand in a file, without a line for those that say nothing.
    pub fn write(&self) -> String {
        let mut text = String::new();
        for (section, variants) in [(SIZE, &self.sizes), (OPTION, &self.options)] {
            for variant in variants {
                if !text.is_empty() {
                    text.push('\n');
                }
                text.push_str(&format!("[{section}.{}]\n", key(&variant.name)));
                variant.remarks.iter().for_each(|says| text.push_str(&format!("#{says}\n")));
                for (path, value) in &variant.says {
                    text.push_str(&format!("{path} = {value}\n"));
                }
            }
        }
        text.trim_end().to_owned()
    }

    /// Gives each its remarks: those under its header, and those right above it.
    fn remarks(&mut self, text: &str) {
        let (mut above, mut at) = (Vec::new(), None);
        for line in text.lines().map(str::trim) {
            if let Some(remark) = line.strip_prefix('#') {
                above.push(remark.trim_end().to_owned());
                continue;
            }
            let next = if line.starts_with('[') { self.under(line) } else { at };
            let kept = std::mem::take(&mut above);
            if let Some(variant) = next.and_then(|(size, index)| self.one(size, index)) {
                variant.remarks.extend(kept);
            }
            at = next;
        }
        if let Some(variant) = at.and_then(|(size, index)| self.one(size, index)) {
            variant.remarks.extend(above);
        }
    }

    /// Of which size (or option) a line is the header.
    fn under(&self, header: &str) -> Option<(bool, usize)> {
        let parsed = DeTable::parse(header).ok()?;
        let of = |section: &str, variants: &[Variant]| {
            let DeValue::Table(named) = parsed.get_ref().get(section)?.get_ref() else {
                return None;
            };
            let name = named.keys().next()?.get_ref().to_string();
            variants.iter().position(|variant| variant.name == name)
        };
        let size = of(SIZE, &self.sizes).map(|index| (true, index));
        size.or_else(|| of(OPTION, &self.options).map(|index| (false, index)))
    }

    fn one(&mut self, size: bool, index: usize) -> Option<&mut Variant> {
        if size { self.sizes.get_mut(index) } else { self.options.get_mut(index) }
    }
}

type Entry<'t, 'i> = (&'t str, &'t Spanned<DeValue<'i>>);

/// The entries of a table as they stand in the file.
fn in_order<'t, 'i>(table: &'t DeTable<'i>) -> Vec<Entry<'t, 'i>> {
    let mut entries: Vec<_> = table.iter().collect();
    entries.sort_by_key(|(key, _)| key.span().start);
    entries.into_iter().map(|(key, value)| (key.get_ref().as_ref(), value)).collect()
}

fn flatten(source: Source<'_>, head: &str, table: &DeTable<'_>, variant: &mut Variant) {
    for (name, value) in in_order(table) {
        let path = if head.is_empty() { key(name) } else { format!("{head}.{}", key(name)) };
        match value.get_ref() {
            DeValue::Table(table) => flatten(source, &path, table, variant),
            _ => {
                let behind = source.text.get(value.span().end..).and_then(|it| it.lines().next());
                if let Some(remark) = behind.and_then(|it| it.trim().strip_prefix('#')) {
                    variant.remarks.push(remark.trim_end().to_owned());
                }
                variant.says.push((path, spelled(source, value)));
            }
        }
    }
}

/// A value as it stands in the file; lists and tables on one line.
fn spelled(source: Source<'_>, value: &Spanned<DeValue<'_>>) -> String {
    match value.get_ref() {
        DeValue::Array(items) => {
            let items: Vec<String> = items.iter().map(|item| spelled(source, item)).collect();
            format!("[{}]", items.join(", "))
        }
        DeValue::Table(table) => {
            let entries = in_order(table).into_iter();
            let entries =
                entries.map(|(name, it)| format!("{} = {}", key(name), spelled(source, it)));
            format!("{{ {} }}", entries.collect::<Vec<_>>().join(", "))
        }
        _ => source.slice(value.span()).to_owned(),
    }
}

/// A key, in quotes if it needs them.
fn key(name: &str) -> String {
    let is_bare = |c: char| c.is_ascii_alphanumeric() || matches!(c, '-' | '_');
    if !name.is_empty() && name.chars().all(is_bare) { name.to_owned() } else { quoted(name) }
}

#[cfg(test)]
mod tests {
    use expect_test::expect;

    use super::*;
    use crate::family::{family_of, read_family};

    const BAG: &str = "units = \"inch\"\n[body]\nkind = \"boxed\"\n\n# for children\n[size.small]\n\
                       body.width = 10 # narrow\n[size.small.body]\nheight = '9 1/2'\n\
                       [size.\"extra large\"]\nbody = { width = 20, depth = \"6 in\" }\n\
                       [option.pockets]\n# two of them\n[[option.pockets.pocket]]\nkind = \"patch\"\n\
                       height = 5\n[[option.pockets.pocket]]\nkind = \"slip\"\n";

    #[test]
    fn each_thing_that_differs_is_a_line() {
        let variants = Variants::read(BAG);
        assert_eq!(variants, None, "a table is not written twice");
        let bag = BAG.replace("[size.small.body]\nheight", "body.height");
        let variants = Variants::read(&bag).expect("it is understood");
        let text = variants.write();
        expect![[r#"
            [size.small]
            # narrow
            # for children
            body.width = 10
            body.height = '9 1/2'

            [size."extra large"]
            body.width = 20
            body.depth = "6 in"

            [option.pockets]
            # two of them
            pocket = [{ kind = "patch", height = 5 }, { kind = "slip" }]"#]]
        .assert_eq(&text);
        assert_eq!(Variants::read(&text), Some(variants));
        let base = "units = \"inch\"\n[body]\nkind = \"boxed\"\n";
        let again = read_family("again", &format!("{base}{text}")).expect("it can be read");
        assert_eq!(Ok(again), read_family("bag", &bag));
    }

    #[test]
    fn what_is_changed_is_changed_alone() {
        let text = family_of("[size.small]\nbody.width = 10\nbody.height = 9\n[size.large]\n");
        let mut variants = Variants::read(&text).expect("it is understood");
        let small = &mut variants.sizes[0];
        small.set("body.width", "11".to_owned());
        small.take("body.height");
        small.set("handles.kind", "\"webbing\"".to_owned());
        assert_eq!((small.get("body.width"), small.get("body.height")), (Some("11"), None));
        let expected = "[size.small]\nbody.width = 11\nhandles.kind = \"webbing\"\n\n[size.large]";
        assert_eq!(variants.write(), expected);
    }
}
