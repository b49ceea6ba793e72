//! Drawings and longer reckonings that are made only when they are opened, so that typing stays
//! quick.

use std::fmt;
use std::str::FromStr;

use maud::{Markup, html};
use planner::Plan;

use crate::drawing::{self, Joint, Layout};
use crate::pen::Pen;
use crate::{bracing, largest, player};

/// A drawing or a reckoning of the plan; canvases and members by index.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Picture {
    /// All boards as cut.
    Boards,
    /// All rolls as cut.
    Roll,
    /// The frame from the back, with its notes.
    Frame(usize),
    /// Section through a bar.
    Section(usize),
    /// Setting-out rod of a member.
    Rod(usize, usize),
    /// The n-th kind of joint of a canvas.
    Joint(usize, usize),
    /// Where a brace meets the bars.
    Brace(usize),
    /// The blank of cloth.
    Blank(usize),
    /// The stapling order, as a still.
    Stapling(usize),
    /// The stapling order, one step at a time.
    Steps(usize),
    /// The bar's size against the damp of the air.
    Humidity,
    /// The diary as bars.
    Diary,
    /// The frame bowed by the cloth.
    Bowed(usize),
    /// Bow against the size of the frame.
    BowPlot,
    /// How large a frame can be.
    Largest,
    /// Other battens and other pulls for a canvas.
    Sections(usize),
    /// How hard a frame is to push out of square, and its cross bars as columns.
    Racking(usize),
}

impl Picture {
    /// Draws it; `step` is the one shown of what has steps.
    #[must_use]
    pub fn draw(self, plan: &Plan, layout: Layout, step: usize) -> Markup {
        self.write(&Pen::new(plan, self.to_string()), layout, step)
    }

    pub(crate) fn write(self, pen: &Pen<'_>, layout: Layout, step: usize) -> Markup {
        let plan = pen.plan;
        match self {
            Self::Boards => drawing::boards(plan, layout),
            Self::Roll => drawing::roll(plan, layout),
            Self::Frame(canvas) => drawing::frame_back(plan, canvas, layout),
            Self::Section(canvas) => drawing::section(plan, canvas, layout),
            Self::Rod(canvas, member) => drawing::rod(plan, canvas, member, layout),
            Self::Joint(canvas, n) => match Joint::all(plan, canvas).get(n) {
                Some(kind) => drawing::joint(plan, canvas, *kind, layout),
                None => Markup::default(),
            },
            Self::Brace(canvas) => drawing::brace_landing(plan, canvas, layout),
            Self::Blank(canvas) => drawing::blank(plan, canvas, layout),
            Self::Stapling(canvas) => drawing::stapling(plan, canvas, None, layout),
            Self::Steps(canvas) => drawing::stapling(plan, canvas, Some(step), layout),
            Self::Humidity => drawing::humidity_plot(plan, layout),
            Self::Diary => drawing::diary(plan, layout),
            Self::Bowed(canvas) => drawing::bowed(plan, canvas, layout),
            Self::BowPlot => drawing::bow_plot(plan, layout),
            Self::Largest => largest::sides(pen),
            Self::Sections(canvas) => bracing::aside::sections_and_pulls(pen, canvas),
            Self::Racking(canvas) => bracing::aside::racking_and_columns(pen, canvas),
        }
    }

    /// Whether it is one drawing, which can be saved.
    const fn is_drawing(self) -> bool {
        !matches!(self, Self::Largest | Self::Sections(_) | Self::Racking(_))
    }

    /// The fold that holds it; the page draws it once the fold is open.
    pub(crate) fn fold(self, title: &str, open: bool) -> Markup {
        html! {
            details.picture data-keep={ "picture-" (self) } data-picture=(self) open[open] {
                summary { (title) }
                @if let Self::Steps(canvas) = self {
                    (player::buttons(canvas))
                    // The buttons are for keys; a tap on the drawing itself is nearer at hand.
                    div.tap id={ "picture-" (self) } data-later="" data-act="step-next" data-canvas=(canvas) {}
                } @else {
                    div id={ "picture-" (self) } data-later="" {}
                }
                @if self.is_drawing() {
                    button.act type="button" data-act="save-drawing" data-drawing=(self) { "Save this drawing" }
                }
            }
        }
    }
}

impl fmt::Display for Picture {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Boards => f.write_str("boards"),
            Self::Roll => f.write_str("roll"),
            Self::Frame(c) => write!(f, "frame-{c}"),
            Self::Section(c) => write!(f, "section-{c}"),
            Self::Rod(c, m) => write!(f, "rod-{c}-{m}"),
            Self::Joint(c, n) => write!(f, "joint-{c}-{n}"),
            Self::Brace(c) => write!(f, "brace-{c}"),
            Self::Blank(c) => write!(f, "blank-{c}"),
            Self::Stapling(c) => write!(f, "stapling-{c}"),
            Self::Steps(c) => write!(f, "steps-{c}"),
            Self::Humidity => f.write_str("humidity"),
            Self::Diary => f.write_str("diary"),
            Self::Bowed(c) => write!(f, "bowed-{c}"),
            Self::BowPlot => f.write_str("bowplot"),
            Self::Largest => f.write_str("largest"),
            Self::Sections(c) => write!(f, "sections-{c}"),
            Self::Racking(c) => write!(f, "racking-{c}"),
        }
    }
}

/// No picture has this name.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct NoSuchPicture;

impl FromStr for Picture {
    type Err = NoSuchPicture;

    fn from_str(text: &str) -> Result<Self, NoSuchPicture> {
        let mut parts = text.split('-');
        let what = parts.next().unwrap_or_default();
        let mut number = || {
            parts
                .next()
                .and_then(|n| n.parse().ok())
                .ok_or(NoSuchPicture)
        };
        Ok(match what {
            "boards" => Self::Boards,
            "roll" => Self::Roll,
            "frame" => Self::Frame(number()?),
            "section" => Self::Section(number()?),
            "rod" => Self::Rod(number()?, number()?),
            "joint" => Self::Joint(number()?, number()?),
            "brace" => Self::Brace(number()?),
            "blank" => Self::Blank(number()?),
            "stapling" => Self::Stapling(number()?),
            "steps" => Self::Steps(number()?),
            "humidity" => Self::Humidity,
            "diary" => Self::Diary,
            "bowed" => Self::Bowed(number()?),
            "bowplot" => Self::BowPlot,
            "largest" => Self::Largest,
            "sections" => Self::Sections(number()?),
            "racking" => Self::Racking(number()?),
            _ => return Err(NoSuchPicture),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_read_back() {
        let all = [
            Picture::Boards,
            Picture::Roll,
            Picture::Frame(1),
            Picture::Section(0),
            Picture::Rod(3, 4),
            Picture::Joint(1, 2),
            Picture::Brace(5),
            Picture::Blank(0),
            Picture::Stapling(11),
            Picture::Steps(2),
            Picture::Humidity,
            Picture::Diary,
            Picture::Bowed(2),
            Picture::BowPlot,
            Picture::Largest,
            Picture::Sections(0),
            Picture::Racking(2),
        ];
        for picture in all {
            assert_eq!(picture.to_string().parse(), Ok(picture));
        }
        for wrong in ["", "rod-1", "joint--1", "frame"] {
            assert_eq!(wrong.parse::<Picture>(), Err(NoSuchPicture), "{wrong}");
        }
    }
}
