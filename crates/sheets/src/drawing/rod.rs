//! Setting-out rods: on one sheet to scale, and full size over several.

use maud::{Markup, html};
use planner::frame::{Mark, Member};
use planner::plan::Plan;

use super::facts::Facts;
use super::frame::{nothing_yet, spread_evenly};
use super::pen::{number, rectangle};
use super::sheet::{Anchor, LINE, Look, Sheet, TEXT, WIDTH};
use super::text::{Weight, width_of, wrapped};

/// The setting-out rod of a member (an index into the frame's members) as an upright strip with
/// all its marks, each with what lies there.
#[must_use]
pub fn rod(plan: &Plan, canvas: usize, member: usize) -> Markup {
    let Some((facts, member)) =
        Facts::of(plan, canvas).and_then(|f| Some((f, f.frame.members.get(member)?)))
    else {
        return nothing_yet("Setting-out rod");
    };
    let mut sheet = Sheet::new(
        format!("Rod of {}, {}", facts.canvas.name, member.part.name()),
        format!(
            "All marks from one end, in {}: {}.",
            facts.unit(),
            member
                .marks
                .iter()
                .map(|m| format!("{} {}", facts.bare(m.at), words(m)))
                .collect::<Vec<_>>()
                .join("; ")
        ),
    );
    let texts: Vec<Vec<String>> = member
        .marks
        .iter()
        .map(|m| {
            let text = format!("{}  {}", facts.bare(m.at), words(m));
            wrapped(&text, TEXT, WIDTH - 38.0)
        })
        .collect();
    let tallest = texts.iter().map(Vec::len).max().unwrap_or(1) as f64;
    let gap = LINE * tallest + 1.0;
    let long = (gap * texts.len() as f64).clamp(110.0, 210.0);
    let scale = long / member.length.value.to_mm();
    let (x0, x1) = (8.0, 20.0);
    sheet.area(&rectangle((x0, 0.0), (x1, long)), Look::Wood);
    let wanted: Vec<f64> = member.marks.iter().map(|m| m.at.to_mm() * scale).collect();
    let places = spread_evenly(&wanted, gap, (f64::NEG_INFINITY, f64::INFINITY));
    for ((lines, from), to) in texts.iter().zip(&wanted).zip(places) {
        sheet.line(&[(x0, *from), (x1, *from)], Look::Edge);
        sheet.line(
            &[(x1, *from), (x1 + 3.0, *from), (x1 + 10.0, to)],
            Look::Leader,
        );
        for (i, line) in lines.iter().enumerate() {
            let y = to + LINE * i as f64;
            sheet.text(line, (x1 + 11.5, y), Anchor::Start);
        }
    }
    sheet.note(
        Some(&member.letter),
        format!(
            "{}: {} of {}. All in {}, from the end at the top.",
            member.part.name(),
            member.count,
            facts.bare(member.length.value),
            facts.unit()
        ),
    );
    sheet.finish()
}

fn words(mark: &Mark) -> String {
    let names: Vec<&str> = mark.what.iter().map(|k| k.name()).collect();
    names.join(" + ")
}

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
/// Height of a row with its texts.
const ROW_HIGH: f64 = 46.0;
/// Height of the head of a page with the ruler.
const HEAD: f64 = 34.0;

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
    let (_, high) = paper.inside_mm();
    let long = member.length.value.to_mm();
    let step = ROW - OVERLAP;
    let rows = (((long - OVERLAP) / step).ceil()).max(1.0);
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a positive number of rows far below 2^32"
    )]
    let (rows, a_page) = (
        rows as usize,
        (((high - HEAD) / ROW_HIGH).floor()).max(1.0) as usize,
    );
    let pages = rows.div_ceil(a_page);
    (0..pages)
        .map(|page| {
            let mut tile = Tile {
                facts,
                member,
                parts: Vec::new(),
                taken_until: [f64::NEG_INFINITY; 4],
            };
            tile.head((page + 1, pages));
            for (i, row) in (page * a_page..((page + 1) * a_page).min(rows)).enumerate() {
                tile.row(row, rows, HEAD + ROW_HIGH * i as f64);
            }
            tile.finish(paper, (page + 1, pages))
        })
        .collect()
}

struct Tile<'a> {
    facts: Facts<'a>,
    member: &'a Member,
    parts: Vec<Markup>,
    /// How far each of the four lines of text is written already.
    taken_until: [f64; 4],
}

/// Where a row begins on the page.
const LEFT: f64 = 4.0;

impl Tile<'_> {
    fn line(&mut self, d: &str, width: &str, dashes: Option<&str>) {
        self.parts.push(html! {
            path class="d-edge" d=(d) stroke="currentColor" stroke-width=(width) stroke-dasharray=[dashes] {}
        });
    }

    fn text(&mut self, x: f64, y: f64, text: &str) {
        self.parts.push(html! {
            text class="d-text" x=(number(x)) y=(number(y)) font-size=(number(TEXT)) fill="currentColor" { (text) }
        });
    }

    fn head(&mut self, (page, pages): (usize, usize)) {
        let name: String = self.facts.canvas.name.chars().take(40).collect();
        let title = format!(
            "{}  {}: {} ({page} of {pages})",
            self.member.letter,
            self.member.part.name(),
            self.facts.show.length(self.member.length.value),
        );
        self.text(LEFT, 6.0, &title);
        for line in wrapped(&name, TEXT, 170.0).into_iter().take(1) {
            self.text(LEFT, 12.0, &line);
        }
        self.text(
            LEFT,
            18.0,
            "Print at 100 %. First check: 100 mm and 4 in by a steel rule.",
        );
        // Ticks every 10 mm above the line, every half inch below it.
        let y = 25.0;
        self.line(&format!("M{LEFT} {y}h101.6"), "0.2", None);
        for i in 0..=10_i32 {
            let x = LEFT + 10.0 * f64::from(i);
            self.line(&format!("M{} {y}v-3", number(x)), "0.2", None);
        }
        for i in 0..=8_i32 {
            let x = LEFT + 12.7 * f64::from(i);
            self.line(&format!("M{} {y}v3", number(x)), "0.2", None);
        }
        self.text(LEFT + 103.0, y - 0.5, "100 mm");
        self.text(LEFT + 103.0, y + 4.5, "4 in");
    }

    fn row(&mut self, row: usize, rows: usize, top: f64) {
        let long = self.member.length.value.to_mm();
        let from = row as f64 * (ROW - OVERLAP);
        let to = (from + ROW).min(long);
        let (y, high) = (top + 2.0, 10.0);
        let x = |mm: f64| LEFT + mm - from;
        self.line(
            &format!(
                "M{} {}H{}M{} {}H{}",
                number(x(from)),
                number(y),
                number(x(to)),
                number(x(from)),
                number(y + high),
                number(x(to))
            ),
            "0.3",
            None,
        );
        // Overlap marks: crosses in the middle of what two rows share, lettered alike.
        let mut joints = Vec::new();
        if row > 0 {
            joints.push((from + OVERLAP / 2.0, row));
        }
        if row + 1 < rows {
            joints.push((to - OVERLAP / 2.0, row + 1));
        }
        for (at, name) in joints {
            let (cx, cy) = (x(at), y + high / 2.0);
            self.line(
                &format!("M{} {}v6m-3 -3h6", number(cx), number(cy - 3.0),),
                "0.2",
                None,
            );
            self.text(cx + 1.0, cy - 0.8, &format!("{name}"));
        }
        self.taken_until = [f64::NEG_INFINITY; 4];
        let marks: Vec<Mark> = self.member.marks.clone();
        for mark in marks {
            let at = mark.at.to_mm();
            if at < from - 1e-6 || at > to + 1e-6 {
                continue;
            }
            // A mark in the overlap belongs to the row that it is further inside of.
            let in_overlap_after = row > 0 && at < from + OVERLAP / 2.0;
            self.mark(&mark, x(at), y, high, !in_overlap_after);
        }
    }

    fn mark(&mut self, mark: &Mark, x: f64, y: f64, high: f64, named: bool) {
        self.parts.push(html! {
            path class="d-edge" data-mark=(mark.at.as_nm()) d=(format!("M{} {}v{}", number(x), number(y), number(high))) stroke="currentColor" stroke-width="0.2" {}
        });
        if !named {
            return;
        }
        let text = format!("{} {}", self.facts.bare(mark.at), short_words(mark));
        let width = width_of(&text, TEXT, Weight::Plain);
        // The first line of text that is free from here on; near the right end, ending here.
        let right = LEFT + ROW + 16.0;
        let start = x.min(right - width).max(LEFT);
        let free = self
            .taken_until
            .iter()
            .position(|until| *until <= start)
            .unwrap_or(self.taken_until.len() - 1);
        let start = start.max(self.taken_until[free]);
        self.taken_until[free] = start + width + 2.0;
        let line = y + high + 5.5 + 6.0 * free as f64;
        self.line(
            &format!(
                "M{} {}V{}L{} {}",
                number(x),
                number(y + high),
                number(y + high + 0.8),
                number(start + 0.5),
                number(line - 3.8)
            ),
            "0.1",
            None,
        );
        self.text(start, line, &text);
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

fn short_words(mark: &Mark) -> String {
    let names: Vec<&str> = mark
        .what
        .iter()
        .map(|k| k.name().split(',').next().unwrap_or_default())
        .collect();
    names.join(" + ")
}
