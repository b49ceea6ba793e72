//! Labels for the pieces of a class.

use maud::{Markup, html};
use planner::plan::Plan;
use planner::timber::CutPiece;

use super::pen::number;
use super::sheet::TEXT;
use super::text::{Weight, width_of, wrapped};
use super::tiles::Paper;

/// Labels of a sheet: three across.
const ACROSS: usize = 3;
const HIGH: f64 = 34.0;

/// One label for each piece of batten: its letter, what it is, which canvas it is for, and its
/// length; as many pages as are needed, cut along the lines.
#[must_use]
pub fn labels(plan: &Plan, paper: Paper) -> Vec<Markup> {
    let all: Vec<Label> = plan
        .cut_list
        .iter()
        .flat_map(|piece| of_piece(plan, piece))
        .collect();
    let (w, h) = paper.inside_mm();
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a positive number of rows"
    )]
    let a_page = ACROSS * ((h / HIGH).floor() as usize).max(1);
    let pages = all.len().div_ceil(a_page);
    all.chunks(a_page)
        .enumerate()
        .map(|(i, some)| page(some, (w, h), (i + 1, pages)))
        .collect()
}

struct Label {
    letter: String,
    length: String,
    part: String,
    canvas: String,
}

fn of_piece<'a>(plan: &'a Plan, piece: &'a CutPiece) -> impl Iterator<Item = Label> + 'a {
    piece.goes_to.iter().flat_map(move |(canvas, part)| {
        let canvas = plan.canvases.get(*canvas);
        let members = canvas
            .and_then(|c| c.frame.as_ref())
            .map_or(&[][..], |f| &f.members);
        let each = members
            .iter()
            .filter(|m| m.part.name() == part && m.letter == piece.letter)
            .map(|m| m.count)
            .next()
            .unwrap_or(1);
        let frames = canvas.map_or(1, |c| c.count);
        (0..frames).flat_map(move |frame| {
            let name = canvas.map_or("", |c| c.name.as_str());
            let of = if frames > 1 {
                format!("{name}, frame {} of {frames}", frame + 1)
            } else {
                name.to_owned()
            };
            (0..each).map(move |n| Label {
                letter: piece.letter.clone(),
                length: plan.show.length(piece.length),
                part: if each > 1 {
                    format!("{part} {} of {each}", n + 1)
                } else {
                    part.clone()
                },
                canvas: of.clone(),
            })
        })
    })
}

fn page(labels: &[Label], (w, h): (f64, f64), (page, pages): (usize, usize)) -> Markup {
    let wide = w / ACROSS as f64;
    let title = format!("Labels of the pieces, page {page} of {pages}");
    html! {
        svg class="drawing" viewBox=(format!("0 0 {} {}", number(w), number(h)))
            width=(format!("{}mm", number(w))) height=(format!("{}mm", number(h)))
            role="img" aria-label=(title) font-family="system-ui, sans-serif" fill="none" {
            title { (title) }
            desc { "Letter, length, part and canvas of each piece." }
            @for (i, label) in labels.iter().enumerate() {
                (one(label, ((i % ACROSS) as f64 * wide, (i / ACROSS) as f64 * HIGH), wide))
            }
        }
    }
}

fn one(label: &Label, (x, y): (f64, f64), wide: f64) -> Markup {
    let inside = wide - 5.0;
    let letter_size = 11.0;
    let letter = width_of(&label.letter, letter_size, Weight::Bold);
    let at_most = |mut lines: Vec<String>, most: usize| {
        let too_many = lines.len() > most;
        lines.truncate(most);
        if let Some(last) = lines.last_mut().filter(|_| too_many) {
            last.push('…');
            while width_of(last, TEXT, Weight::Plain) > inside {
                let Some((at, _)) = last.char_indices().nth_back(1) else {
                    break;
                };
                last.remove(at);
            }
        }
        lines
    };
    let mut lines = at_most(wrapped(&label.part, TEXT, inside), 2);
    let room = 3 - lines.len();
    lines.extend(at_most(wrapped(&label.canvas, TEXT, inside), room.min(2)));
    let length_size =
        6.0_f64.min((inside - letter - 3.0) / width_of(&label.length, 1.0, Weight::Plain));
    html! {
        path class="d-dim" stroke="currentColor" stroke-width="0.2" stroke-dasharray="1 1"
            d=(format!("M{} {}h{}v{}h-{}Z", number(x), number(y), number(wide), number(HIGH), number(wide))) {}
        text class="d-text" x=(number(x + 2.5)) y=(number(y + 11.5)) font-size=(number(letter_size))
            font-weight="bold" fill="currentColor" { (label.letter) }
        text class="d-text" x=(number(x + wide - 2.5)) y=(number(y + 10.5)) text-anchor="end"
            font-size=(number(length_size)) fill="currentColor" { (label.length) }
        @for (i, line) in lines.iter().enumerate() {
            text class="d-text" x=(number(x + 2.5)) y=(number(y + 20.0 + 5.4 * i as f64))
                font-size=(number(TEXT)) fill="currentColor" { (line) }
        }
    }
}
