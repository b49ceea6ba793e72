//! Names of the files that the page saves.

/// The longest name of a plan inside a file's name, in bytes: with the rest it stays far below
/// the 255 bytes that common file systems take.
const LONGEST: usize = 100;

/// A file's name after the plan and what is in it: letters and digits of any script in small
/// letters, the rest as hyphens. No name can leave its folder, be hidden or be one that a system
/// keeps for itself, because each starts with `battenbook`.
///
/// ```
/// use sheets::files::name;
/// assert_eq!(name("Evening class 2", "cut list", "csv"), "battenbook-evening-class-2-cut-list.csv");
/// assert_eq!(name("../../x", "", "json"), "battenbook-x.json");
/// assert_eq!(name("", "diary", "ics"), "battenbook-diary.ics");
/// ```
#[must_use]
pub fn name(plan: &str, part: &str, ending: &str) -> String {
    let mut name = String::from("battenbook");
    for words in [plan, part] {
        let words = hyphenated(words);
        if !words.is_empty() {
            name.push('-');
            name.push_str(&words);
        }
    }
    name.push('.');
    name.push_str(ending);
    name
}

fn hyphenated(words: &str) -> String {
    let mut name = String::new();
    for c in words.chars() {
        if c.is_alphanumeric() {
            if name.len() + 4 > LONGEST {
                break;
            }
            name.push(c.to_ascii_lowercase());
        } else if !name.is_empty() && !name.ends_with('-') {
            name.push('-');
        }
    }
    name.truncate(name.trim_end_matches('-').len());
    name
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn any_name_is_safe() {
        assert_eq!(
            name("  Été, <class> 2! ", "", "html"),
            "battenbook-Été-class-2.html"
        );
        assert_eq!(name("CON", "", "csv"), "battenbook-con.csv");
        assert_eq!(name("..\\..\\\u{0}\u{202e}", "", "csv"), "battenbook.csv");
        // Each of these letters is four bytes long.
        let long = name(&"𝒶".repeat(300), "cut list", "csv");
        assert!(
            long.len() < 140 && long.ends_with("-cut-list.csv"),
            "{long}"
        );
    }
}
