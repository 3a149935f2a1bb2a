//! On which line of a JSON text a field stands, and which fields are there twice. The text has been
//! read as JSON before, so that nothing here can be wrong with it.

use std::collections::BTreeSet;

/// The lines of fields such as `pieces[2].rect[0]`: of each the line of the field, or of the nearest
/// one around it that is there. Lines count from 1.
pub(super) fn lines(text: &str, fields: &[&str]) -> Vec<usize> {
    // How many bytes of the field's name were found, and where.
    let mut found = vec![(0, 1); fields.len()];
    walk(text, &mut |path, line, _| {
        for (field, found) in fields.iter().zip(&mut found) {
            let rest = field.strip_prefix(path);
            let is_part = rest.is_some_and(|rest| rest.is_empty() || rest.starts_with(['.', '[']));
            if is_part && path.len() > found.0 {
                *found = (path.len(), line);
            }
        }
    });
    found.into_iter().map(|(_, line)| line).collect()
}

/// Fields that are given more than once.
pub(super) fn given_again(text: &str) -> Vec<String> {
    let mut again = Vec::new();
    walk(text, &mut |path, _, is_again| {
        if is_again {
            again.push(path.to_owned());
        }
    });
    again
}

/// Tells of each field and each member of a list its path, its line, and whether the object has had
/// such a field before.
fn walk(text: &str, visit: &mut dyn FnMut(&str, usize, bool)) {
    Walk { text: text.as_bytes(), at: 0, line: 1, path: String::new(), visit }.value();
}

struct Walk<'a> {
    text: &'a [u8],
    at: usize,
    line: usize,
    path: String,
    visit: &'a mut dyn FnMut(&str, usize, bool),
}

impl Walk<'_> {
    fn value(&mut self) {
        match self.next() {
            Some(b'{') => self.object(),
            Some(b'[') => self.list(),
            Some(b'"') => {
                self.word();
            }
            _ => {
                let is_end = |byte: &u8| b",]} \t\r\n".contains(byte);
                while self.text.get(self.at).is_some_and(|byte| !is_end(byte)) {
                    self.at += 1;
                }
            }
        }
    }

    fn object(&mut self) {
        self.at += 1;
        let mut known = BTreeSet::new();
        while self.next() == Some(b'"') {
            let line = self.line;
            let key = self.word();
            let before = self.path.len();
            if before > 0 {
                self.path.push('.');
            }
            self.path.push_str(&key);
            (self.visit)(&self.path, line, !known.insert(key));
            self.skip(b':');
            self.value();
            self.path.truncate(before);
            self.skip(b',');
        }
        self.skip(b'}');
    }

    fn list(&mut self) {
        self.at += 1;
        let mut index = 0_usize;
        while self.next().is_some_and(|byte| byte != b']') {
            let before = self.path.len();
            self.path.push_str(&format!("[{index}]"));
            (self.visit)(&self.path, self.line, false);
            self.value();
            self.path.truncate(before);
            self.skip(b',');
            index += 1;
        }
        self.skip(b']');
    }

    /// The next byte that is no white space.
    fn next(&mut self) -> Option<u8> {
        loop {
            let byte = *self.text.get(self.at)?;
            match byte {
                b'\n' => self.line += 1,
                b' ' | b'\t' | b'\r' => {}
                _ => return Some(byte),
            }
            self.at += 1;
        }
    }

    fn skip(&mut self, byte: u8) {
        if self.next() == Some(byte) {
            self.at += 1;
        }
    }

    /// A string, as it is written between its quotation marks.
    fn word(&mut self) -> String {
        let start = self.at + 1;
        self.at = start;
        while let Some(&byte) = self.text.get(self.at).filter(|&&byte| byte != b'"') {
            self.at += if byte == b'\\' { 2 } else { 1 };
        }
        let word = self.text.get(start..self.at).unwrap_or_default();
        self.at += 1;
        String::from_utf8_lossy(word).into_owned()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const TEXT: &str = "{\n \"units\": \"m\\\"m\",\n \"pieces\": [\n  {\"name\": \"a\",\n   \
                        \"rect\": [1,\n  2]},\n  {\"name\": \"b\", \"name\": \"c\"}]}";

    #[test]
    fn fields_are_found_or_what_is_around_them() {
        let fields = ["units", "pieces[0].rect[1]", "pieces[0].rect", "pieces[1].count", "gap", ""];
        assert_eq!(lines(TEXT, &fields), [2, 6, 5, 7, 1, 1]);
        assert_eq!(lines(TEXT, &["pieces[1].name.x", "pieces[12]"]), [7, 3]);
    }

    #[test]
    fn what_is_given_twice_is_found() {
        assert_eq!(given_again(TEXT), ["pieces[1].name"]);
        assert_eq!(given_again("[{\"a\": 1}, {\"a\": 2}, []]"), [""; 0]);
    }
}
