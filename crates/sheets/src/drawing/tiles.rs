//! Setting-out rods at full size, over several pages.

use maud::{Markup, html};
use planner::frame::{Mark, Member};
use planner::plan::Plan;

use super::facts::Facts;
use super::pen::number;
use super::sheet::TEXT;
use super::text::{Weight, width_of, wrapped};

/// A size of paper.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Paper {
    /// 210 × 297 mm (ISO 216).
    A4,
    /// 8.5 × 11 in (ANSI/ASME Y14.1).
    Letter,
}

impl Paper {
    /// Width and height in millimetres.
    #[must_use]
    pub const fn size_mm(self) -> (f64, f64) {
        match self {
            Self::A4 => (210.0, 297.0),
            Self::Letter => (215.9, 279.4),
        }
    }

    /// What fits inside the page's margin of [`MARGIN_MM`].
    #[must_use]
    pub const fn inside_mm(self) -> (f64, f64) {
        let (w, h) = self.size_mm();
        // A hair less, so that no rounding makes a second page.
        (w - 2.0 * MARGIN_MM, h - 2.0 * MARGIN_MM - 1.0)
    }
}

/// Margin of every full-size page: the most that home printers leave blank (common practice, no
/// source).
pub const MARGIN_MM: f64 = 10.0;

/// Length of rod on one row of a page, and how much of it the next row repeats.
const ROW: f64 = 170.0;
const OVERLAP: f64 = 15.0;
/// Height of the strip itself.
const STRIP: f64 = 10.0;
/// Height of the head of a page with the ruler.
const HEAD: f64 = 34.0;
/// Where a row begins on the page.
const LEFT: f64 = 4.0;
/// Height of a line of text below a row.
const LINE_HIGH: f64 = 6.0;

/// The rod of a member at full size: one drawing a page, to be printed without scaling with a
/// margin of [`MARGIN_MM`], each with a ruler that is checked against a steel rule first.
///
/// A rod is cut into rows; each repeats the last 15 mm of the row before, where the two cross
/// marks are laid on each other.
#[must_use]
pub fn rod_tiles(plan: &Plan, canvas: usize, member: usize, paper: Paper) -> Vec<Markup> {
    let Some((facts, member)) =
        Facts::of(plan, canvas).and_then(|f| Some((f, f.frame.members.get(member)?)))
    else {
        return Vec::new();
    };
    let pages = pages(rows(facts, member), paper.inside_mm().1);
    let count = pages.len();
    pages
        .iter()
        .enumerate()
        .map(|(i, rows)| {
            let mut page = Page {
                facts,
                member,
                parts: Vec::new(),
            };
            page.head((i + 1, count));
            let mut top = HEAD;
            for row in rows {
                page.row(row, top);
                top += row.height();
            }
            page.finish(paper, (i + 1, count))
        })
        .collect()
}

/// A stretch of the rod as it lies on a page.
struct Row {
    from: f64,
    to: f64,
    /// Places of the crosses that it shares with its neighbours, and their numbers.
    crosses: Vec<(f64, usize)>,
    marks: Vec<Placed>,
    /// Lines of text above and below it.
    above: usize,
    below: usize,
}

/// A mark on a row, with its name where this row names it.
struct Placed {
    at_nm: i64,
    at: f64,
    name: Option<Name>,
}

/// The name of a mark. Below the row it starts at its mark, above the row it ends there, so that
/// no line to a name crosses another name.
struct Name {
    text: String,
    width: f64,
    is_above: bool,
    /// How many lines from the row.
    line: usize,
}

impl Row {
    fn x(&self, mm: f64) -> f64 {
        LEFT + mm - self.from
    }

    fn height(&self) -> f64 {
        STRIP + 12.0 + LINE_HIGH * (self.above + self.below) as f64
    }

    /// Gives each name its line. Below, the further right the nearer: a name lies under the ends
    /// of all lines that start above it. Above, the further left the nearer.
    fn stack(&mut self) {
        for is_above in [false, true] {
            let mut order: Vec<usize> = (0..self.marks.len()).collect();
            if !is_above {
                order.reverse();
            }
            let mut done: Vec<(f64, usize)> = Vec::new();
            for i in order {
                let x = self.x(self.marks[i].at);
                let name = self.marks[i].name.as_mut();
                let Some(name) = name.filter(|n| n.is_above == is_above) else {
                    continue;
                };
                let reach = name.width + 2.0;
                let under = done.iter().filter(|(other, _)| (other - x).abs() < reach);
                name.line = under.map(|(_, line)| line + 1).max().unwrap_or(0);
                done.push((x, name.line));
            }
            let lines = done.iter().map(|(_, line)| line + 1).max().unwrap_or(0);
            if is_above {
                self.above = lines;
            } else {
                self.below = lines;
            }
        }
    }
}

fn rows(facts: Facts<'_>, member: &Member) -> Vec<Row> {
    let long = member.length.value.to_mm();
    let step = ROW - OVERLAP;
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a positive number of rows far below 2^32"
    )]
    let count = ((long - OVERLAP) / step).ceil().max(1.0) as usize;
    (0..count)
        .map(|i| {
            let from = i as f64 * step;
            let to = (from + ROW).min(long);
            let mut row = Row {
                from,
                to,
                crosses: Vec::new(),
                marks: Vec::new(),
                above: 0,
                below: 0,
            };
            let (first, last) = (i == 0, i + 1 == count);
            if !first {
                row.crosses.push((from + OVERLAP / 2.0, i));
            }
            if !last {
                row.crosses.push((to - OVERLAP / 2.0, i + 1));
            }
            // A mark in the overlap is drawn twice, and named on the row that has more of it.
            let begins = if first {
                f64::NEG_INFINITY
            } else {
                from + OVERLAP / 2.0
            };
            let ends = if last {
                f64::INFINITY
            } else {
                to - OVERLAP / 2.0
            };
            for mark in &member.marks {
                let at = mark.at.to_mm();
                if at < from - 1e-6 || at > to + 1e-6 {
                    continue;
                }
                let name = (begins <= at && at < ends).then(|| named(facts, mark, row.x(at)));
                row.marks.push(Placed {
                    at_nm: mark.at.as_nm(),
                    at,
                    name,
                });
            }
            row.stack();
            row
        })
        .collect()
}

/// The name of a mark: to its right, or to its left where the paper ends before it.
fn named(facts: Facts<'_>, mark: &Mark, x: f64) -> Name {
    let text = format!("{} {}", facts.bare(mark.at), short_words(mark));
    let width = width_of(&text, TEXT, Weight::Plain);
    Name {
        is_above: x + width > LEFT + ROW + 16.0,
        text,
        width,
        line: 0,
    }
}

/// As many rows to a page as fit.
fn pages(rows: Vec<Row>, high: f64) -> Vec<Vec<Row>> {
    let mut pages: Vec<Vec<Row>> = Vec::new();
    let mut left = 0.0;
    for row in rows {
        if row.height() > left || pages.is_empty() {
            pages.push(Vec::new());
            left = high - HEAD;
        }
        left -= row.height();
        if let Some(page) = pages.last_mut() {
            page.push(row);
        }
    }
    pages
}

struct Page<'a> {
    facts: Facts<'a>,
    member: &'a Member,
    parts: Vec<Markup>,
}

impl Page<'_> {
    fn line(&mut self, d: &str, width: &str) {
        self.parts.push(html! {
            path class="d-edge" d=(d) stroke="currentColor" stroke-width=(width) {}
        });
    }

    fn text(&mut self, x: f64, y: f64, text: &str) {
        self.parts.push(html! {
            text class="d-text" x=(number(x)) y=(number(y)) font-size=(number(TEXT)) fill="currentColor" { (text) }
        });
    }

    fn head(&mut self, (page, pages): (usize, usize)) {
        let title = format!(
            "{}  {}: {} ({page} of {pages})",
            self.member.letter,
            self.member.part.name(),
            self.facts.show.length(self.member.length.value),
        );
        self.text(LEFT, 6.0, &title);
        let name = wrapped(&self.facts.canvas.name, TEXT, ROW);
        if let Some(line) = name.first() {
            self.text(LEFT, 12.0, line);
        }
        self.text(
            LEFT,
            18.0,
            "Print at 100 %. First check: 100 mm and 4 in by a steel rule.",
        );
        // Ticks every 10 mm above the line, every half inch below it.
        let y = 25.0;
        let level = number(y);
        self.line(&format!("M{} {level}h101.6", number(LEFT)), "0.2");
        for i in 0..=10_i32 {
            let x = LEFT + 10.0 * f64::from(i);
            self.line(&format!("M{} {level}v-3", number(x)), "0.2");
        }
        for i in 0..=8_i32 {
            let x = LEFT + 12.7 * f64::from(i);
            self.line(&format!("M{} {level}v3", number(x)), "0.2");
        }
        self.text(LEFT + 103.0, y - 0.5, "100 mm");
        self.text(LEFT + 103.0, y + 4.5, "4 in");
    }

    fn row(&mut self, row: &Row, top: f64) {
        let y = top + 2.0 + LINE_HIGH * row.above as f64;
        let (left, right) = (number(row.x(row.from)), number(row.x(row.to)));
        for edge in [y, y + STRIP] {
            self.line(&format!("M{left} {}H{right}", number(edge)), "0.3");
        }
        for (at, name) in &row.crosses {
            let (cx, cy) = (row.x(*at), y + STRIP / 2.0);
            let cross = format!("M{} {}v6m-3 -3h6", number(cx), number(cy - 3.0));
            self.line(&cross, "0.2");
            self.text(cx + 1.0, cy - 0.8, &name.to_string());
        }
        for mark in &row.marks {
            let x = row.x(mark.at);
            let d = format!("M{} {}v{}", number(x), number(y), number(STRIP));
            self.parts.push(html! {
                path class="d-edge" data-mark=(mark.at_nm) d=(d) stroke="currentColor" stroke-width="0.2" {}
            });
            let Some(name) = &mark.name else {
                continue;
            };
            let off = LINE_HIGH * name.line as f64;
            let (start, baseline, from, to) = if name.is_above {
                let baseline = y - 2.0 - off;
                let start = (x - name.width).max(LEFT);
                (start, baseline, y, baseline + 1.0)
            } else {
                let baseline = y + STRIP + 5.5 + off;
                (x, baseline, y + STRIP, baseline - 3.8)
            };
            let d = format!("M{} {}V{}", number(x), number(from), number(to));
            self.line(&d, "0.1");
            self.text(start, baseline, &name.text);
        }
    }

    fn finish(self, paper: Paper, (page, pages): (usize, usize)) -> Markup {
        let (w, h) = paper.inside_mm();
        let title = format!(
            "Full-size rod of {}, {}, page {page} of {pages}",
            self.facts.canvas.name,
            self.member.part.name()
        );
        html! {
            svg class="drawing" viewBox=(format!("0 0 {} {}", number(w), number(h)))
                width=(format!("{}mm", number(w))) height=(format!("{}mm", number(h)))
                role="img" aria-label=(title) font-family="system-ui, sans-serif" fill="none" {
                title { (title) }
                desc { "To be printed without scaling." }
                @for part in &self.parts { (part) }
            }
        }
    }
}

/// Without the last part of a long name, which says on which edge of the piece it lies.
fn short_words(mark: &Mark) -> String {
    let names: Vec<String> = mark
        .what
        .iter()
        .map(|k| {
            let parts: Vec<&str> = k.name().split(", ").take(2).collect();
            parts.join(" ")
        })
        .collect();
    names.join(" + ")
}
