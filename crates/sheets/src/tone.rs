//! What a canvas sounds like when it is tapped, and what a tapped note says.

use maud::{Markup, html};
use planner::Show;
use planner::tone::{Note, QUARTERS, Quarters, Tapped, Tone};

use crate::pen::Pen;

/// The note to expect of a canvas.
pub(crate) fn expected<'a>(pen: &Pen<'a>, tone: &'a Tone) -> Markup {
    let [across, up] = &tone.sides;
    html! {
        h4 { "Tap tone" }
        dl.figures {
            (pen.line("Note to expect", &tone.expected))
            (pen.line("Were there no air", &tone.without_air))
            (pen.line("Cloth that swings", &tone.cloth))
            (pen.line("Air that swings with it", &tone.air))
            (pen.line("Free cloth, across", across))
            (pen.line("Free cloth, up", up))
        }
        p { @if let Some(note) = tone.note { "Nearest note: " (note_words(pen.plan.show, note)) ". " } (tone.say) }
    }
}

/// What the tapped note, or four of them, say.
pub(crate) fn tapped(pen: &Pen<'_>) -> Markup {
    html! {
        @if let Some(tapped) = &pen.plan.tapped { (one(pen, tapped)) }
        @if let Some(quarters) = &pen.plan.quarters { (four(pen, quarters)) }
    }
}

fn one<'a>(pen: &Pen<'a>, t: &'a Tapped) -> Markup {
    html! {
        h3 { "What the tapped note says"
            @if let Some(canvas) = pen.plan.canvases.get(t.canvas) { " of “" (canvas.name) "”" } }
        p { (t.say) }
        dl.figures {
            (pen.line("Note", &t.frequency))
            (pen.line("Pull from side to side", &t.across))
            (pen.line("Pull from top to bottom", &t.up))
            (pen.line("May be less or more by", &t.doubt))
            (pen.line("Were there no air, side to side", &t.without_air))
            (pen.line("Close in a wall, side to side", &t.in_a_wall))
        }
        @if let Some(note) = t.note { p { "Nearest note: " (note_words(pen.plan.show, note)) "." } }
    }
}

fn four<'a>(pen: &Pen<'a>, q: &'a Quarters) -> Markup {
    html! {
        h3 { "How even the stretch is" }
        table.buy {
            thead { tr { th scope="col" { "Quarter" } th scope="col" { "Pull, of the mean" } } }
            tbody {
                @for (i, (name, share)) in QUARTERS.iter().zip(q.of_mean).enumerate() {
                    tr {
                        th scope="row" { (name) }
                        td.number { (pen.plan.show.value(&share.into(), ""))
                            @if i == q.slackest { ", slackest" } @else if i == q.tightest { ", tightest" } }
                    }
                }
            }
        }
        dl.figures { (pen.line("From slackest to tightest", &q.spread)) }
    }
}

/// A note by its name, and how far off it.
pub(crate) fn note_words(show: Show, note: Note) -> String {
    let cents = show.value(&note.cents.abs().into(), "");
    let way = if note.cents < 0.0 { "below" } else { "above" };
    // A sign after the letter would be read as another note.
    let octave = match note.octave {
        n if n < 0 => format!(" in octave \u{2212}{}", n.unsigned_abs()),
        n => n.to_string(),
    };
    format!("{}{octave}, {cents} cents {way}", note.name)
}
