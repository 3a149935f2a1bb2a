//! Reads Rust text just well enough for the rules: what is code, and which code is only for tests.
//!
//! This is no parser. It knows comments, strings and brackets, and that is enough to tell
//! `todo!()` from a sentence about it.

/// `text` with every comment, string and character literal blanked out; lines stay where they are.
pub(super) fn code_only(text: &str) -> String {
    let source: Vec<char> = text.chars().collect();
    let mut code = String::with_capacity(text.len());
    let mut at = 0;
    while at < source.len() {
        let length = literal(&source, at).max(comment(&source[at..]));
        if length == 0 {
            code.push(source[at]);
            at += 1;
        } else {
            let end = source.len().min(at + length);
            code.extend(source[at..end].iter().map(|c| if *c == '\n' { '\n' } else { ' ' }));
            at = end;
        }
    }
    code
}

/// How many characters the comment has that starts here; 0 when none does.
fn comment(rest: &[char]) -> usize {
    match rest {
        ['/', '/', ..] => rest.iter().position(|c| *c == '\n').unwrap_or(rest.len()),
        ['/', '*', ..] => {
            let (mut depth, mut at) = (0_usize, 0);
            while at < rest.len() {
                match &rest[at..] {
                    ['/', '*', ..] => (depth, at) = (depth + 1, at + 2),
                    ['*', '/', ..] if depth == 1 => return at + 2,
                    ['*', '/', ..] => (depth, at) = (depth - 1, at + 2),
                    _ => at += 1,
                }
            }
            rest.len()
        }
        _ => 0,
    }
}

/// How many characters the string or character literal has that starts at `at`; 0 when none does.
fn literal(source: &[char], at: usize) -> usize {
    let rest = &source[at..];
    match rest {
        ['"', ..] => quoted(rest, '"'),
        ['\'', '\\', ..] => quoted(rest, '\''),
        // Anything else after a quote is a lifetime or a label.
        ['\'', _, '\'', ..] => 3,
        ['r', '"' | '#', ..] if !inside_word(source, at) => raw(rest),
        _ => 0,
    }
}

/// Whether the character before `at` makes what is here the tail of a word; the `b` and `c` of
/// byte and C strings stand before an `r` and do not.
fn inside_word(source: &[char], at: usize) -> bool {
    let before = |back: usize| at.checked_sub(back).map(|index| source[index]);
    match before(1) {
        Some('b' | 'c') => before(2).is_some_and(is_word),
        Some(c) => is_word(c),
        None => false,
    }
}

/// The length of a literal with escapes, both quotes counted.
fn quoted(rest: &[char], quote: char) -> usize {
    let mut at = 1;
    while at < rest.len() {
        match rest[at] {
            '\\' => at += 2,
            c if c == quote => return at + 1,
            _ => at += 1,
        }
    }
    rest.len()
}

/// The length of a raw string `r"…"` or `r#"…"#`; 0 when it is a raw name such as `r#type`.
fn raw(rest: &[char]) -> usize {
    let hashes = rest[1..].iter().take_while(|c| **c == '#').count();
    if rest.get(1 + hashes) != Some(&'"') {
        return 0;
    }
    let mut at = 2 + hashes;
    while at < rest.len() {
        let closing = rest[at + 1..].iter().take(hashes);
        if rest[at] == '"' && closing.filter(|c| **c == '#').count() == hashes {
            return at + 1 + hashes;
        }
        at += 1;
    }
    rest.len()
}

/// Code (see [`code_only`]) without the items marked `#[cfg(test)]`; lines stay where they are.
pub(super) fn without_tests(code: &str) -> String {
    let mut kept = String::with_capacity(code.len());
    let mut rest = code;
    while let Some(start) = rest.find("#[cfg(test)]") {
        let (before, marked) = rest.split_at(start);
        let (item, after) = marked.split_at(item_length(marked));
        kept.push_str(before);
        kept.extend(item.chars().filter(|c| *c == '\n'));
        rest = after;
    }
    kept + rest
}

/// How many bytes the item has that starts here with its attributes: up to the brace that closes
/// it, or up to a semicolon outside all brackets.
fn item_length(marked: &str) -> usize {
    let mut depth = 0_usize;
    for (index, c) in marked.char_indices() {
        match c {
            '(' | '[' | '{' => depth += 1,
            ')' | ']' | '}' => {
                depth = depth.saturating_sub(1);
                if depth == 0 && c == '}' {
                    return index + 1;
                }
            }
            ';' if depth == 0 => return index + 1,
            _ => {}
        }
    }
    marked.len()
}

/// Whether `code` calls a macro that has `word` among its arguments, as a list of kinds does.
pub(super) fn listed(code: &str, word: &str) -> bool {
    code.match_indices('!').any(|(bang, _)| {
        let arguments = code[bang + 1..].trim_start();
        let before = code[..bang].chars().next_back();
        before.is_some_and(is_word)
            && arguments.starts_with(['{', '(', '['])
            && has_word(&arguments[..balanced(arguments)], word)
    })
}

/// How many bytes lie between here, an opening bracket, and the one that closes it, both counted.
fn balanced(text: &str) -> usize {
    let mut depth = 0_usize;
    for (index, c) in text.char_indices() {
        match c {
            '(' | '[' | '{' => depth += 1,
            ')' | ']' | '}' if depth <= 1 => return index + 1,
            ')' | ']' | '}' => depth -= 1,
            _ => {}
        }
    }
    text.len()
}

/// Whether `word` stands in `text` with no letter, digit or underscore directly beside it, where
/// `word` itself has one at that end.
pub(super) fn has_word(text: &str, word: &str) -> bool {
    text.match_indices(word).any(|(start, _)| {
        let before = text[..start].chars().next_back();
        let after = text[start + word.len()..].chars().next();
        let joined_before = word.starts_with(is_word) && before.is_some_and(is_word);
        let joined_after = word.ends_with(is_word) && after.is_some_and(is_word);
        !joined_before && !joined_after
    })
}

fn is_word(c: char) -> bool {
    c.is_alphanumeric() || c == '_'
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Blanked text with runs of spaces made one, for short expectations.
    fn squeezed(text: &str) -> String {
        code_only(text).split_whitespace().collect::<Vec<_>>().join(" ")
    }

    #[test]
    fn comments_and_literals_are_blanked() {
        assert_eq!(squeezed("a // b\nc"), "a c");
        assert_eq!(squeezed("a /* b /* c */ d */ e"), "a e");
        assert_eq!(squeezed(r#"f("x \" // y", 'z', '\'', b"w")"#), "f( , , , b )");
        assert_eq!(squeezed(r###"f(r#"a " b"#, br"c", r"\")"###), "f( , b , )");
    }

    #[test]
    fn lifetimes_labels_and_raw_names_stay() {
        assert_eq!(squeezed("fn f<'a>(x: &'a str) {}"), "fn f<'a>(x: &'a str) {}");
        assert_eq!(squeezed("r#type for\"x\""), "r#type for");
    }

    #[test]
    fn lines_stay_where_they_are() {
        let text = "a\n/* b\nc */ d\n\"e\nf\" g\n#[cfg(test)]\nmod t {\n}\nh";
        let code = without_tests(&code_only(text));
        assert_eq!(code.lines().count(), text.lines().count());
        assert_eq!(code.lines().last(), Some("h"));
    }

    #[test]
    fn test_items_are_left_out() {
        let code = "fn a() {}\n#[cfg(test)]\nmod tests { fn b() {} }\nfn c() {}";
        assert!(!without_tests(code).contains("fn b"));
        assert!(without_tests(code).contains("fn c"));
        assert_eq!(
            without_tests("#[cfg(test)]\n#[allow(x)]\nmod tests;\nfn c() {}").trim(),
            "fn c() {}"
        );
    }

    #[test]
    fn a_word_is_found_whole() {
        assert!(has_word("let x = Instant::now()", "Instant"));
        assert!(!has_word("Instantly", "Instant"));
        assert!(has_word("x.sin()", ".sin("));
    }

    #[test]
    fn a_list_is_a_macro_with_the_word_in_it() {
        assert!(listed("kinds! { flat, boxed }", "boxed"));
        assert!(!listed("kinds! { flat } use boxed;", "boxed"));
        assert!(!listed("if !(boxed) {}", "boxed"));
    }
}
