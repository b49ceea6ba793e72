//! What can still be read of a plan that breaks off or is damaged: all that lies before the damage.

use planner::Tree;

/// The part of a damaged JSON text that lies before the damage, its open brackets closed; none if
/// nothing is left.
#[must_use]
pub fn tree(text: &str) -> Option<Tree> {
    let mut text = text;
    // Closing what was open can itself leave half a pair, one place earlier than the reader
    // noticed; each turn is shorter than the one before.
    for _ in 0..8 {
        let error = match serde_json::from_str::<Tree>(text) {
            Ok(tree) => return something(tree),
            Err(error) => error,
        };
        text = &text[..place(text, error.line(), error.column())];
        let (whole, closing) = whole_part(text)?;
        if let Ok(tree) = serde_json::from_str(&format!("{whole}{closing}")) {
            return something(tree);
        }
        text = whole;
    }
    None
}

fn something(tree: Tree) -> Option<Tree> {
    match tree {
        Tree::Map(entries) if !entries.is_empty() => Some(Tree::Map(entries)),
        _ => None,
    }
}

/// The place of a line and a column, both from 1, the column in bytes; the sign there is bad.
fn place(text: &str, line: usize, column: usize) -> usize {
    let before: usize = text
        .split_inclusive('\n')
        .take(line.saturating_sub(1))
        .map(str::len)
        .sum();
    let mut at = (before + column.saturating_sub(1)).min(text.len());
    while !text.is_char_boundary(at) {
        at -= 1;
    }
    at
}

/// The text up to the last place where a value had ended, and the brackets that close it there.
fn whole_part(text: &str) -> Option<(&str, String)> {
    let mut open = Vec::new();
    let mut in_text = false;
    let mut escaped = false;
    let mut best = None;
    for (at, sign) in text.bytes().enumerate() {
        if in_text {
            match sign {
                _ if escaped => escaped = false,
                b'\\' => escaped = true,
                b'"' => in_text = false,
                _ => {}
            }
            continue;
        }
        match sign {
            b'"' => in_text = true,
            b'{' => open.push('}'),
            b'[' => open.push(']'),
            b'}' | b']' => {
                open.pop()?;
                best = Some((at + 1, open.iter().rev().collect()));
            }
            b',' => best = Some((at, open.iter().rev().collect())),
            _ => {}
        }
    }
    best.map(|(at, closing)| (&text[..at], closing))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn left(damaged: &str, expected: &str) {
        let expected: Tree = serde_json::from_str(expected).expect("JSON");
        assert_eq!(tree(damaged), Some(expected), "{damaged}");
    }

    #[test]
    fn all_before_the_break_is_kept() {
        left(r#"{"a":"1","b":"2","c":"#, r#"{"a":"1","b":"2"}"#);
        left(r#"{"a":"1","b":"2","c"#, r#"{"a":"1","b":"2"}"#);
        left(r#"{"a":"1","b":"2"#, r#"{"a":"1"}"#);
        left(
            r#"{"rows":[{"x":"1","y":"2"},{"x":"3","y":"#,
            r#"{"rows":[{"x":"1","y":"2"},{"x":"3"}]}"#,
        );
        left(
            r#"{"rows":[{"x":"1"},{"x":"3"}],"cut":[{"#,
            r#"{"rows":[{"x":"1"},{"x":"3"}]}"#,
        );
        // A comma or a bracket inside a text ends nothing.
        left(
            r#"{"a":"1","b":"x, } y","c":tru"#,
            r#"{"a":"1","b":"x, } y"}"#,
        );
        left(r#"{"a":"é\",","b":?}"#, r#"{"a":"é\","}"#);
        // Damage in the middle: what comes after it is not trusted.
        left("{\n\"a\":\"1\",\n\"b\":2x,\n\"c\":3}", r#"{"a":"1"}"#);
    }

    #[test]
    fn nothing_is_made_of_nothing() {
        for text in [
            "", "{", "[", "{}", "[1,2", "\"", "}{", "{\"a\"", "{,", "PNG\u{1}", "é",
        ] {
            assert_eq!(tree(text), None, "{text}");
        }
    }
}
