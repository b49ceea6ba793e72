//! The paper that a drawing is made on: shapes below, texts above, and no text over another.

use maud::{Markup, html};

use super::pen::{Point, hatch, number, path};
use super::text::{TextBox, Weight, box_of, wrapped};

/// For which width a drawing is laid out. The text has the same size in both, so that a narrow
/// drawing can be read where a wide one would be shrunk.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Layout {
    /// For paper, a tablet or a desk.
    Wide,
    /// For a phone.
    Narrow,
}

impl Layout {
    /// Width of the drawing in its units, millimetres of paper at natural size.
    #[must_use]
    pub const fn width(self) -> f64 {
        match self {
            Self::Wide => 160.0,
            Self::Narrow => 92.0,
        }
    }
}

/// Size of ordinary text: on a tablet that shows a wide drawing 700 pixels wide, 18 pixels; on a
/// phone that shows a narrow one 330 pixels wide, 15; on paper 4.2 mm, which is 12 points. The
/// smallest there is.
pub const TEXT: f64 = 4.2;
/// Size of the letters of pieces and the numbers of steps.
pub(super) const LETTER: f64 = 4.6;
/// Height of a line of text.
pub(super) const LINE: f64 = 5.6;
/// Half the height of a letter's ring.
pub(super) const BADGE: f64 = 3.3;
/// Blank border inside the drawing.
pub(super) const EDGE: f64 = 1.5;

/// What a line or area stands for; decides how it looks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Look {
    /// Outer wood.
    Wood,
    /// Wood that lies over other wood.
    Over,
    /// Cloth.
    Cloth,
    /// Cloth cut across.
    Thread,
    /// Blank paper with an outline: rings of letters.
    Paper,
    /// Screws, pins, staples.
    Metal,
    /// A visible edge without an area.
    Edge,
    /// An edge that something hides.
    Hidden,
    /// A middle line, a diagonal.
    Centre,
    /// Direction of the grain or the warp.
    Grain,
    /// A dimension line.
    Dim,
    /// From a text to what it means.
    Leader,
    /// Hatching and crosses of waste.
    Waste,
    /// A fold or pencil line on cloth.
    Fold,
    /// Where the shears go.
    Cut,
    /// A filled dot at the end of a dimension.
    Dot,
    /// What bends, its corners taken as hinges.
    Hinged,
    /// What bends, its corners taken as rigid.
    Rigid,
    /// What lies between the two.
    Band,
    /// The most that is allowed.
    Limit,
}

/// Class, filled with (opacity), stroke width, dashes.
type Dress = (
    &'static str,
    Option<&'static str>,
    &'static str,
    Option<&'static str>,
);

impl Look {
    const fn dress(self) -> Dress {
        match self {
            Self::Wood => ("d-wood", Some("0.08"), "0.5", None),
            Self::Over => ("d-over", Some("0.16"), "0.5", None),
            Self::Cloth => ("d-cloth", Some("0.08"), "0.5", None),
            Self::Thread => ("d-thread", None, "1.1", None),
            Self::Paper => ("d-paper", None, "0.4", None),
            Self::Metal => ("d-metal", Some("0.5"), "0.3", None),
            Self::Edge => ("d-edge", None, "0.5", None),
            Self::Hidden => ("d-hidden", None, "0.35", Some("1.6 1")),
            Self::Centre => ("d-centre", None, "0.25", Some("4 1 0.8 1")),
            Self::Grain => ("d-grain", None, "0.3", None),
            Self::Dim => ("d-dim", None, "0.25", None),
            Self::Leader => ("d-leader", None, "0.25", None),
            Self::Waste => ("d-waste", None, "0.35", None),
            Self::Fold => ("d-fold", None, "0.4", Some("2.4 1")),
            Self::Cut => ("d-cut", None, "0.7", Some("3 1.4")),
            Self::Dot => ("d-dot", Some("1"), "0", None),
            Self::Hinged => ("d-hinged", None, "0.5", None),
            Self::Rigid => ("d-rigid", None, "0.9", Some("2.6 1.4")),
            Self::Band => ("d-band", Some("0.12"), "0", None),
            Self::Limit => ("d-limit", None, "0.6", Some("5 1.2 0.8 1.2")),
        }
    }

    /// Whether a text should keep off such a line where it can.
    const fn is_in_the_way(self) -> bool {
        !matches!(self, Self::Waste | Self::Dot | Self::Paper | Self::Band)
    }
}

/// Where a text's anchor lies in it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Anchor {
    /// At its start.
    Start,
    /// At its middle.
    Middle,
    /// At its end.
    End,
}

impl Anchor {
    const fn share(self) -> f64 {
        match self {
            Self::Start => 0.0,
            Self::Middle => 0.5,
            Self::End => 1.0,
        }
    }

    const fn word(self) -> &'static str {
        match self {
            Self::Start => "start",
            Self::Middle => "middle",
            Self::End => "end",
        }
    }
}

/// On which side of a dimension line its text stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Side {
    /// Above, or to the left.
    Before,
    /// Below, or to the right.
    After,
}

/// A place to try for a text: the middle of its line's height lies at `at`.
#[derive(Clone, Copy, Debug)]
pub(super) struct Try {
    pub(super) at: Point,
    pub(super) anchor: Anchor,
    /// A line from the text to what it means.
    pub(super) leader: Option<[Point; 2]>,
}

impl Try {
    pub(super) const fn new(at: Point, anchor: Anchor) -> Self {
        Self {
            at,
            anchor,
            leader: None,
        }
    }

    pub(super) const fn led(at: Point, anchor: Anchor, leader: [Point; 2]) -> Self {
        Self {
            at,
            anchor,
            leader: Some(leader),
        }
    }
}

/// A drawing in the making.
pub(super) struct Sheet {
    title: String,
    describes: String,
    width: f64,
    shapes: Vec<Markup>,
    texts: Vec<Markup>,
    taken: Vec<TextBox>,
    lines: Vec<[Point; 2]>,
    top: f64,
    bottom: f64,
    notes: Vec<(NoteMark, String)>,
}

/// What stands before a note.
enum NoteMark {
    Nothing,
    Letter(String),
    /// A piece of the line that the note explains.
    Line(Look),
}

/// Length of the piece of line before a note.
const SAMPLE: f64 = 14.0;

impl Sheet {
    pub(super) fn new(
        layout: Layout,
        title: impl Into<String>,
        describes: impl Into<String>,
    ) -> Self {
        Self {
            title: title.into(),
            describes: describes.into(),
            width: layout.width(),
            shapes: Vec::new(),
            texts: Vec::new(),
            taken: Vec::new(),
            lines: Vec::new(),
            top: f64::INFINITY,
            bottom: f64::NEG_INFINITY,
            notes: Vec::new(),
        }
    }

    /// From its left to its right edge.
    pub(super) fn width(&self) -> f64 {
        self.width
    }

    /// Lowest point drawn so far.
    pub(super) fn bottom(&self) -> f64 {
        if self.bottom.is_finite() {
            self.bottom
        } else {
            0.0
        }
    }

    pub(super) fn reach(&mut self, y: f64) {
        self.top = self.top.min(y);
        self.bottom = self.bottom.max(y);
    }

    /// A closed shape.
    pub(super) fn area(&mut self, points: &[Point], look: Look) {
        self.shape(points, look, true);
    }

    /// A line through points.
    pub(super) fn line(&mut self, points: &[Point], look: Look) {
        self.shape(points, look, false);
    }

    fn shape(&mut self, points: &[Point], look: Look, closed: bool) {
        for (_, y) in points {
            self.reach(*y);
        }
        if look.is_in_the_way() {
            self.lines.extend(points.windows(2).map(|p| [p[0], p[1]]));
            if let (true, Some(first), Some(last)) = (closed, points.first(), points.last()) {
                self.lines.push([*last, *first]);
            }
        }
        self.path(path(points, closed), look);
    }

    /// Path data, for what has curves; texts do not keep off it, and its height must be given by
    /// [`Sheet::reach`].
    pub(super) fn path(&mut self, d: String, look: Look) {
        let (class, filled, width, dashes) = look.dress();
        let fill = if filled.is_some() {
            "currentColor"
        } else {
            "none"
        };
        let stroke = (width != "0").then_some("currentColor");
        self.shapes.push(html! {
            path class=(class) d=(d) fill=(fill) fill-opacity=[filled] stroke=[stroke]
                stroke-width=[stroke.map(|_| width)] stroke-dasharray=[dashes]
                stroke-linejoin="round" {}
        });
    }

    /// A round dot or ring.
    pub(super) fn ring(&mut self, (x, y): Point, r: f64, look: Look) {
        self.reach(y - r);
        self.reach(y + r);
        let (class, filled, width, _) = look.dress();
        let fill = if filled.is_some() {
            "currentColor"
        } else {
            "none"
        };
        let stroke = (width != "0").then_some("currentColor");
        self.shapes.push(html! {
            circle class=(class) cx=(number(x)) cy=(number(y)) r=(number(r)) fill=(fill)
                fill-opacity=[filled] stroke=[stroke] stroke-width=[stroke.map(|_| width)] {}
        });
    }

    /// Hatching of waste inside a convex shape.
    pub(super) fn hatched(&mut self, polygon: &[Point], step: f64) {
        let lines = hatch(polygon, step);
        if lines.is_empty() {
            return;
        }
        let d: Vec<String> = lines.iter().map(|l| path(l, false)).collect();
        self.path(d.concat(), Look::Waste);
    }

    /// A text whose line is centred on `at`, wherever that is.
    pub(super) fn text(&mut self, text: &str, at: Point, anchor: Anchor) {
        self.write(text, TEXT, Weight::Plain, at, anchor);
    }

    fn write(&mut self, text: &str, size: f64, weight: Weight, at: Point, anchor: Anchor) {
        let baseline = at.1 + size * 0.345;
        let taken = box_of(text, size, weight, (at.0, baseline), anchor.share());
        self.reach(taken.y);
        self.reach(taken.y + taken.h);
        self.taken.push(taken);
        let bold = (weight == Weight::Bold).then_some("bold");
        self.texts.push(html! {
            text class="d-text" x=(number(at.0)) y=(number(baseline)) font-size=(number(size))
                font-weight=[bold] text-anchor=(anchor.word()) fill="currentColor" { (text) }
        });
    }

    /// Writes the text at the first place that is free: first without crossing a line, then
    /// without covering another text. Says whether there was one.
    pub(super) fn place(&mut self, text: &str, tries: &[Try]) -> bool {
        self.place_where(text, tries, false)
    }

    /// As [`Sheet::place`], but only where no line is crossed.
    pub(super) fn place_clear(&mut self, text: &str, tries: &[Try]) -> bool {
        self.place_where(text, tries, true)
    }

    fn place_where(&mut self, text: &str, tries: &[Try], only_clear: bool) -> bool {
        let box_at = |t: &Try| {
            let baseline = (t.at.0, t.at.1 + TEXT * 0.345);
            box_of(text, TEXT, Weight::Plain, baseline, t.anchor.share())
        };
        let found = self.first_free(tries, box_at, only_clear);
        if let Some(found) = found {
            if let Some(leader) = found.leader {
                self.line(&leader, Look::Leader);
            }
            self.text(text, found.at, found.anchor);
        }
        found.is_some()
    }

    /// Puts a letter in its ring at the first free place.
    pub(super) fn place_badge(&mut self, letter: &str, tries: &[Try]) -> bool {
        let half = badge_half_width(letter);
        let box_at = |t: &Try| TextBox {
            x: t.at.0 - half,
            y: t.at.1 - BADGE,
            w: half * 2.0,
            h: BADGE * 2.0,
        };
        let Some(found) = self.first_free(tries, box_at, false) else {
            return false;
        };
        if let Some(leader) = found.leader {
            self.line(&leader, Look::Leader);
        }
        self.badge(letter, found.at);
        true
    }

    fn first_free(
        &self,
        tries: &[Try],
        box_at: impl Fn(&Try) -> TextBox,
        only_clear: bool,
    ) -> Option<Try> {
        let free = |t: &&Try| {
            let b = box_at(t);
            b.x >= EDGE
                && b.x + b.w <= self.width - EDGE
                && !self.taken.iter().any(|other| other.overlaps(&b.grown(0.9)))
                && !t
                    .leader
                    .is_some_and(|l| self.taken.iter().any(|other| crosses(l, other)))
        };
        let clear = |t: &&Try| {
            let b = box_at(t).grown(0.2);
            !self.lines.iter().any(|l| crosses(*l, &b))
        };
        tries
            .iter()
            .find(|t| free(t) && clear(t))
            .or_else(|| tries.iter().find(|t| !only_clear && free(t)))
            .copied()
    }

    /// A letter in its ring, wherever that is.
    pub(super) fn badge(&mut self, letter: &str, at: Point) {
        let half = badge_half_width(letter);
        let straight = half - BADGE;
        let (x, y) = at;
        if straight < 0.01 {
            self.ring(at, BADGE, Look::Paper);
        } else {
            let [l, r, t, b, radius] =
                [x - straight, x + straight, y - BADGE, y + BADGE, BADGE].map(number);
            let d = format!(
                "M{l} {t}L{r} {t}A{radius} {radius} 0 0 1 {r} {b}L{l} {b}A{radius} {radius} 0 0 1 {l} {t}Z"
            );
            self.reach(y - BADGE);
            self.reach(y + BADGE);
            self.path(d, Look::Paper);
        }
        self.write(letter, LETTER, Weight::Bold, at, Anchor::Middle);
        // The ring belongs to the letter: nothing may cross it.
        if let Some(last) = self.taken.last_mut() {
            *last = TextBox {
                x: x - half,
                y: y - BADGE,
                w: half * 2.0,
                h: BADGE * 2.0,
            };
        }
    }

    /// A level dimension line with a dot at each end.
    pub(super) fn dim_line(&mut self, a: Point, b: Point) {
        self.line(&[a, b], Look::Dim);
        self.ring(a, 0.6, Look::Dot);
        self.ring(b, 0.6, Look::Dot);
    }

    /// A level dimension between two places, its text in the middle above (or below) the line, or
    /// beside it where it is too short.
    pub(super) fn across(&mut self, (x1, x2): (f64, f64), y: f64, text: &str, side: Side) {
        self.dim_line((x1, y), (x2, y));
        let (left, right) = (x1.min(x2), x1.max(x2));
        let middle = f64::midpoint(x1, x2);
        let up = match side {
            Side::Before => -1.0,
            Side::After => 1.0,
        };
        let mut tries = Vec::new();
        if super::text::width_of(text, TEXT, Weight::Plain) <= right - left {
            tries.push(Try::new((middle, y + up * 3.4), Anchor::Middle));
        }
        tries.push(Try::new((right + 1.6, y), Anchor::Start));
        tries.push(Try::new((left - 1.6, y), Anchor::End));
        for row in 0..6 {
            let off = up * (3.4 + LINE * f64::from(row));
            tries.push(Try::new((middle, y + off), Anchor::Middle));
            tries.push(Try::new((right, y + off), Anchor::Start));
            tries.push(Try::new((left, y + off), Anchor::End));
        }
        self.place_or_note(text, &tries);
    }

    /// An upright dimension between two places, its text beside it.
    pub(super) fn upright(&mut self, (y1, y2): (f64, f64), x: f64, text: &str, side: Side) {
        self.dim_line((x, y1), (x, y2));
        let (way, anchor) = match side {
            Side::Before => (-1.0, Anchor::End),
            Side::After => (1.0, Anchor::Start),
        };
        let middle = f64::midpoint(y1, y2);
        let mut tries = vec![Try::new((x + way * 1.8, middle), anchor)];
        for row in 1..6 {
            for down in [1.0, -1.0] {
                let y = middle + down * LINE * f64::from(row) * 0.8;
                let at = (x + way * 3.6, y);
                tries.push(Try::led(at, anchor, [(x + way * 3.0, y), (x, middle)]));
            }
        }
        self.place_or_note(text, &tries);
    }

    /// At the first free place; where there is none the text goes below the drawing.
    pub(super) fn place_or_note(&mut self, text: &str, tries: &[Try]) {
        if !self.place(text, tries) {
            self.note(None, text);
        }
    }

    /// A text that means a point, with a line to it, wherever there is room around it.
    pub(super) fn call(&mut self, text: &str, to: Point, prefer: Point) {
        let width = super::text::width_of(text, TEXT, Weight::Plain);
        let tries: Vec<Try> = around(to, prefer)
            .map(|at| {
                let (anchor, touch) = if (at.0 - to.0).abs() < width / 2.0 {
                    (Anchor::Middle, (at.0, at.1 + (to.1 - at.1).signum() * 2.6))
                } else if at.0 > to.0 {
                    (Anchor::Start, (at.0 - 0.6, at.1))
                } else {
                    (Anchor::End, (at.0 + 0.6, at.1))
                };
                Try::led(at, anchor, [touch, to])
            })
            .collect();
        self.place_or_note(text, &tries);
    }

    /// A number or letter in its ring that means a point.
    pub(super) fn call_badge(&mut self, letter: &str, to: Point, prefer: Point) {
        let tries: Vec<Try> = around(to, prefer)
            .map(|at| {
                let (dx, dy) = (to.0 - at.0, to.1 - at.1);
                let way = libm::hypot(dx, dy).max(1e-9);
                let touch = (at.0 + dx / way * BADGE, at.1 + dy / way * BADGE);
                Try::led(at, Anchor::Middle, [touch, to])
            })
            .collect();
        self.place_badge(letter, &tries);
    }

    /// A line of explanation below the drawing, with the letter that it explains.
    pub(super) fn note(&mut self, letter: Option<&str>, text: impl Into<String>) {
        let mark = letter.map_or(NoteMark::Nothing, |l| NoteMark::Letter(l.to_owned()));
        self.notes.push((mark, text.into()));
    }

    /// A line of explanation below the drawing, with a piece of the line that it explains.
    pub(super) fn note_line(&mut self, look: Look, text: impl Into<String>) {
        self.notes.push((NoteMark::Line(look), text.into()));
    }

    /// The drawing, cut to what is on it.
    pub(super) fn finish(mut self) -> Markup {
        let notes = std::mem::take(&mut self.notes);
        let mut y = self.bottom() + 3.0;
        for (mark, text) in notes {
            let (indent, step) = match &mark {
                NoteMark::Nothing => (EDGE, LINE),
                NoteMark::Letter(l) => (EDGE + badge_half_width(l) * 2.0 + 2.0, 7.2),
                NoteMark::Line(_) => (EDGE + SAMPLE + 2.0, LINE),
            };
            for (i, line) in wrapped(&text, TEXT, self.width - EDGE - indent)
                .iter()
                .enumerate()
            {
                y += if i == 0 { step } else { LINE };
                match &mark {
                    NoteMark::Letter(l) if i == 0 => {
                        self.badge(l, (EDGE + badge_half_width(l), y));
                    }
                    NoteMark::Line(look) if i == 0 => {
                        self.line(&[(EDGE, y), (EDGE + SAMPLE, y)], *look);
                    }
                    _ => {}
                }
                self.text(line, (indent, y), Anchor::Start);
            }
        }
        if !self.top.is_finite() {
            self.reach(0.0);
        }
        let (top, height) = (self.top - EDGE, self.bottom - self.top + 2.0 * EDGE);
        let view = [0.0, top, self.width, height].map(number).join(" ");
        html! {
            svg class="drawing" viewBox=(view) role="img" aria-label=(self.title)
                font-family="system-ui, sans-serif" fill="none" {
                title { (self.title) }
                desc { (self.describes) }
                @for shape in &self.shapes { (shape) }
                @for text in &self.texts { (text) }
            }
        }
    }
}

/// Places around a point, nearest to the preferred way (dx, dy) first, then further round and
/// further out.
fn around(to: Point, (dx, dy): Point) -> impl Iterator<Item = Point> {
    let turns = [0.0_f64, 0.5, -0.5, 1.0, -1.0, 1.6, -1.6, 2.3, -2.3, 3.1];
    let start = libm::atan2(dy, dx);
    let near = libm::hypot(dx, dy);
    (0..5).flat_map(move |out| {
        let far = near + f64::from(out) * 6.0;
        turns.into_iter().map(move |t| {
            (
                to.0 + far * libm::cos(start + t),
                to.1 + far * libm::sin(start + t),
            )
        })
    })
}

/// Half the width of a letter's ring.
pub(super) fn badge_half_width(letter: &str) -> f64 {
    let text = super::text::width_of(letter, LETTER, Weight::Bold);
    (text / 2.0 + 1.0).max(BADGE)
}

/// Whether a line touches the inside of a box (Liang and Barsky's clipping, 1984, from memory).
fn crosses([(x1, y1), (x2, y2)]: [Point; 2], b: &TextBox) -> bool {
    let (dx, dy) = (x2 - x1, y2 - y1);
    let (mut from, mut to) = (0.0_f64, 1.0_f64);
    for (p, q) in [
        (-dx, x1 - b.x),
        (dx, b.x + b.w - x1),
        (-dy, y1 - b.y),
        (dy, b.y + b.h - y1),
    ] {
        if p == 0.0 {
            if q <= 0.0 {
                return false;
            }
        } else if p < 0.0 {
            from = from.max(q / p);
        } else {
            to = to.min(q / p);
        }
    }
    to - from > 1e-9
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_text_takes_the_next_place_when_one_is_taken() {
        let mut sheet = Sheet::new(Layout::Wide, "t", "d");
        let tries = [
            Try::new((20.0, 10.0), Anchor::Middle),
            Try::new((20.0, 30.0), Anchor::Middle),
        ];
        assert!(sheet.place("1000", &tries));
        assert!(sheet.place("2000", &tries));
        assert!(!sheet.place("3000", &tries));
        assert!(!sheet.taken[0].overlaps(&sheet.taken[1]));
    }

    #[test]
    fn a_text_keeps_off_lines_where_it_can() {
        let mut sheet = Sheet::new(Layout::Wide, "t", "d");
        sheet.line(&[(0.0, 10.0), (100.0, 10.0)], Look::Edge);
        sheet.place(
            "1000",
            &[
                Try::new((20.0, 10.0), Anchor::Middle),
                Try::new((20.0, 30.0), Anchor::Middle),
            ],
        );
        assert!(sheet.taken[0].y > 20.0);
    }

    #[test]
    fn lines_and_boxes() {
        let b = TextBox {
            x: 0.0,
            y: 0.0,
            w: 10.0,
            h: 5.0,
        };
        assert!(crosses([(-1.0, 2.0), (11.0, 2.0)], &b));
        assert!(crosses([(2.0, 2.0), (3.0, 3.0)], &b));
        assert!(!crosses([(-1.0, 5.0), (11.0, 5.0)], &b));
        assert!(!crosses([(-1.0, -1.0), (11.0, -1.0)], &b));
    }
}
