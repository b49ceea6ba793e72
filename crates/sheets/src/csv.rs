//! Cut list, shopping list and shares as CSV (RFC 4180).
//!
//! Written by hand, because the format takes twenty lines: a general writer would bring buffers,
//! input and output for what is one string, and none of them makes a cell harmless that a
//! spreadsheet would run as a formula.
//!
//! Every list has a heading row; lines end with CR LF. A file with a sign beyond ASCII starts with
//! the byte order mark, by which spreadsheets that guess know it for UTF-8. A length stands twice: as the maker reads
//! it, with its unit so that no spreadsheet takes `1/2` for a day, and exactly, in millimetres.

use planner::frame::Ends;
use planner::show::every_digit;
use planner::{Plan, Value};
use quantity::Length;

use crate::shopping;

/// The cut list, bars first and then bead: letter, how many, lengths, ends, where each goes.
///
/// ```
/// use planner::{Draft, plan};
/// let tree = serde_json::from_str(r#"{"canvases":[{"name":"=x","width":"600 mm","height":"500 mm"}]}"#).unwrap();
/// let file = sheets::csv::cut_list(&plan(&Draft::from_tree(&tree).0));
/// assert!(file.starts_with("Of,Piece,How many,Long edge,\"Long edge, mm\","));
/// // 600 − 2 × 45 = 510; the name can't start a formula
/// assert!(file.contains("\r\nBatten,A,2,600 mm,600,510 mm,510,mitred,\"'=x, top and bottom bar\"\r\n"));
/// ```
#[must_use]
pub fn cut_list(plan: &Plan) -> String {
    let mut file = Sheet::new(&[
        "Of",
        "Piece",
        "How many",
        "Long edge",
        "Long edge, mm",
        "Short edge",
        "Short edge, mm",
        "Ends",
        "Goes to",
    ]);
    for (of, list) in [("Batten", &plan.cut_list), ("Bead", &plan.bead_list)] {
        for piece in list {
            let short = |how: fn(&Plan, Length) -> String| {
                piece.short_edge.map_or_else(String::new, |x| how(plan, x))
            };
            let goes_to: Vec<String> = piece
                .goes_to
                .iter()
                .map(|(canvas, part)| match plan.canvases.get(*canvas) {
                    Some(c) => format!("{}, {part}", c.name),
                    None => part.clone(),
                })
                .collect();
            file.row(&[
                of.to_owned(),
                piece.letter.clone(),
                piece.count.to_string(),
                shown(plan, piece.length),
                exact(plan, piece.length),
                short(shown),
                short(exact),
                match piece.ends {
                    Ends::Square => "square",
                    Ends::Mitred => "mitred",
                }
                .to_owned(),
                goes_to.join("; "),
            ]);
        }
    }
    file.finish()
}

/// The shopping list: what, in which size, how many or how much, and its price.
#[must_use]
pub fn shopping_list(plan: &Plan) -> String {
    let mut file = Sheet::new(&[
        "What",
        "Size",
        "Size, mm",
        "How many",
        "How much",
        "How much, number",
        "How much, unit",
        "Price",
        "Currency",
    ]);
    for item in shopping::list(plan) {
        let (number, unit) = item.amount.as_ref().map_or((String::new(), ""), |amount| {
            let (number, unit) = amount.in_files();
            (every_digit(number), unit)
        });
        let amount = item.amount.as_ref().map(|amount| match amount {
            Value::Length(x) => plan.show.run(*x),
            other => plan.show.value(other, &plan.currency),
        });
        let waits = !item.how.waiting().is_empty();
        let cost = item.cost.filter(|_| !waits);
        let known = |text: String| if waits { String::from("waits") } else { text };
        let size =
            |how: fn(&Plan, Length) -> String| item.size.map_or_else(String::new, |x| how(plan, x));
        file.row(&[
            item.thing.clone(),
            size(|plan, x| plan.show.run(x)),
            size(exact),
            item.count
                .map_or_else(String::new, |n| known(n.to_string())),
            amount.map_or_else(String::new, known),
            if waits { String::new() } else { number },
            unit.to_owned(),
            cost.map_or_else(String::new, |m| m.to_string()),
            cost.map_or_else(String::new, |_| plan.currency.clone()),
        ]);
    }
    file.finish()
}

/// What each row pays: wood, cloth, the rest, its part of what is left over, and the sum. Empty
/// of rows where nothing has a price.
#[must_use]
pub fn shares(plan: &Plan) -> String {
    let mut file = Sheet::new(&[
        "Canvas",
        "How many",
        "Wood",
        "Cloth",
        "The rest",
        "Left over",
        "Sum",
        "Each",
        "Currency",
    ]);
    let Some(costs) = &plan.costs else {
        return file.finish();
    };
    let known = |figure: &planner::Figure<quantity::Money>| {
        if figure.is_waiting() {
            String::from("waits")
        } else {
            figure.value.to_string()
        }
    };
    for (canvas, share) in plan.canvases.iter().zip(&costs.shares) {
        file.row(&[
            canvas.name.clone(),
            canvas.count.to_string(),
            known(&share.wood),
            known(&share.cloth),
            known(&share.rest),
            known(&share.left_over),
            known(&share.sum),
            if share.sum.is_waiting() {
                String::from("waits")
            } else {
                crate::shares::each(plan, share)
            },
            plan.currency.clone(),
        ]);
    }
    file.finish()
}

fn shown(plan: &Plan, x: Length) -> String {
    plan.show.length(x)
}

fn exact(_: &Plan, x: Length) -> String {
    every_digit(x.to_mm())
}

/// A file that grows row by row.
struct Sheet {
    text: String,
}

impl Sheet {
    fn new(heading: &[&str]) -> Self {
        let mut sheet = Self {
            text: String::new(),
        };
        let heading: Vec<String> = heading.iter().map(|h| (*h).to_owned()).collect();
        sheet.row(&heading);
        sheet
    }

    fn row(&mut self, cells: &[String]) {
        for (i, cell) in cells.iter().enumerate() {
            if i > 0 {
                self.text.push(',');
            }
            self.cell(cell);
        }
        self.text.push_str("\r\n");
    }

    fn finish(self) -> String {
        if self.text.is_ascii() {
            self.text
        } else {
            format!("\u{feff}{}", self.text)
        }
    }

    /// A cell, quoted where RFC 4180 asks for it, with an apostrophe before what a spreadsheet
    /// would run.
    fn cell(&mut self, cell: &str) {
        let quoted = cell.contains(['"', ',', '\r', '\n']);
        if quoted {
            self.text.push('"');
        }
        if starts_a_formula(cell) {
            self.text.push('\'');
        }
        for c in cell.chars() {
            if c == '"' {
                self.text.push('"');
            }
            self.text.push(c);
        }
        if quoted {
            self.text.push('"');
        }
    }
}

/// Whether a spreadsheet may take the cell for a formula: `=`, `+`, `-`, `@` (plain or full
/// width) as its first sign, also behind blanks, or a tab or line break at its start (the list
/// of the OWASP page on CSV injection, from memory; blanks are our addition).
fn starts_a_formula(cell: &str) -> bool {
    cell.starts_with(['\t', '\r', '\n'])
        || cell
            .trim_start()
            .starts_with(['=', '+', '-', '@', '＝', '＋', '－', '＠'])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn written(cell: &str, expected: &str) {
        let mut sheet = Sheet {
            text: String::new(),
        };
        sheet.cell(cell);
        assert_eq!(sheet.text, expected, "{cell:?}");
    }

    #[test]
    fn cells_are_quoted_as_rfc_4180_says() {
        // Rules 6 and 7 of its section 2.
        written("plain 29 1/2 in", "plain 29 1/2 in");
        written("a,b", "\"a,b\"");
        written("a\"b", "\"a\"\"b\"");
        written("a\r\nb", "\"a\r\nb\"");
        written("", "");
    }

    #[test]
    fn no_cell_starts_a_formula() {
        written("=1+1", "'=1+1");
        written("+44", "'+44");
        written("-study", "'-study");
        written("@SUM(A1)", "'@SUM(A1)");
        written("  =1", "'  =1");
        written("\t=1", "'\t=1");
        written("\r=1", "\"'\r=1\"");
        written("＝1", "'＝1");
        written("a=1", "a=1");
        written("", "");
    }
}
