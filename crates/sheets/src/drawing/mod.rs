//! Drawings to scale, made from the Plan's exact figures.
//!
//! Each function returns one `<svg>` whose unit is a millimetre of paper at its natural width of
//! [`Layout::width`]; text is never smaller than [`TEXT`] units, never turned, and never over another
//! text. Colours come from the classes of [`STYLE`]; without any style the drawings are line
//! drawings in `currentColor`. No element carries an identifier, so any number of drawings can
//! stand in one page.
//!
//! Nothing of the trade is computed here: a number that stands in a drawing is the Plan's, and
//! only its place on the paper is ours.

mod axis;
mod blank;
mod boards;
mod bow_plot;
mod bowed;
mod diary;
mod facts;
mod frame;
mod humidity_plot;
mod joint;
mod labels;
mod mitre;
mod pen;
mod rod;
mod roll;
mod section;
mod sheet;
mod stapling;
mod text;
mod tiles;

use maud::Markup;
use planner::parse;

pub use blank::blank;
pub use boards::{boards, boards_each};
pub use bow_plot::bow_plot;
pub use bowed::bowed;
pub use diary::{diary, diary_to_tick};
pub use frame::{frame_back, frame_in_sight};
pub use humidity_plot::humidity_plot;
pub use joint::{Joint, joint};
pub use labels::labels;
pub use mitre::{brace_landing, mitre};
pub use rod::rod;
pub(crate) use roll::cut_rounding;
pub use roll::{roll, roll_each};
pub use section::section;
pub use sheet::{Layout, TEXT};
pub use stapling::{stapling, stapling_each, stapling_steps, stapling_words};
pub use text::{TextBox, Weight, box_of, width_of};
pub use tiles::{MARGIN_MM, Paper, rod_tiles};

/// The style sheet of all drawings, for the page and for drawings saved on their own: light,
/// dark and print.
pub const STYLE: &str = include_str!("drawing.css");

/// A drawing as a file of its own, `width_mm` wide on paper, with its colours inside;
/// full-size pages ([`rod_tiles`], [`labels`]) keep their own width.
///
/// ```
/// use planner::{Draft, plan};
/// use sheets::drawing::{Layout, frame_back, standalone};
/// let tree = serde_json::from_str(r#"{"canvases":[{"width":"600 mm","height":"500 mm"}]}"#).unwrap();
/// let plan = plan(&Draft::from_tree(&tree).0);
/// let file = standalone(&frame_back(&plan, 0, Layout::Wide), 160.0);
/// assert!(file.starts_with("<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"160mm\""));
/// ```
#[must_use]
pub fn standalone(drawing: &Markup, width_mm: f64) -> String {
    let inner = drawing.0.as_str();
    let (Some(open), Some(view)) = (inner.find('>'), view_box(inner)) else {
        return String::new();
    };
    let head = inner[..open].trim_start_matches("<svg");
    // Full-size pages bring their own size.
    let size = if head.contains(" width=\"") {
        String::new()
    } else {
        let height_mm = width_mm * view[3] / view[2].max(f64::MIN_POSITIVE);
        let (width, height) = (pen::number(width_mm), pen::number(height_mm));
        format!(" width=\"{width}mm\" height=\"{height}mm\"")
    };
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\"{size}{head}><style>{STYLE}</style>{}",
        &inner[open + 1..],
    )
}

/// The four numbers of a drawing's view box.
fn view_box(svg: &str) -> Option<[f64; 4]> {
    let from = svg.find("viewBox=\"")? + 9;
    let until = from + svg[from..].find('"')?;
    let mut numbers = svg[from..until].split(' ').map(parse::number);
    let mut next = || numbers.next()?.ok().map(|(x, _)| x);
    Some([next()?, next()?, next()?, next()?])
}
