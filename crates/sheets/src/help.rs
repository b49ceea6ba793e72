//! The short help inside the page, made at build time, and the one list of words.
//!
//! The long form is `docs/guide.md`; `docs/glossary.md` is [`WORDS`].

use maud::{Markup, html};

/// A word of the trade.
#[derive(Clone, Copy, Debug)]
pub struct Word {
    /// The word that this page uses.
    pub here: &'static str,
    /// The same in the United States, where it differs or is common too.
    pub us: &'static str,
    /// The same in the United Kingdom, where it differs or is common too.
    pub uk: &'static str,
    /// What it is.
    pub means: &'static str,
}

const fn word(here: &'static str, us: &'static str, uk: &'static str, means: &'static str) -> Word {
    Word {
        here,
        us,
        uk,
        means,
    }
}

/// The words of this page in both Englishes, by the alphabet. From common use in the trade, no
/// source.
pub const WORDS: [Word; 32] = [
    word(
        "bar",
        "stretcher bar",
        "stretcher piece",
        "an outer member of the frame",
    ),
    word(
        "batten",
        "strip, 1× stock",
        "batten, PAR",
        "the long narrow timber that bars are cut from",
    ),
    word(
        "bead",
        "quarter round",
        "quadrant",
        "a strip along the front edge that holds the cloth off the bars",
    ),
    word(
        "blank",
        "blank",
        "blank",
        "the piece of cloth that is cut off the roll for one canvas",
    ),
    word(
        "board",
        "board, stick",
        "length",
        "a length of timber as it is bought",
    ),
    word(
        "brace",
        "corner brace",
        "corner brace",
        "a member at 45° across a corner",
    ),
    word(
        "cloth",
        "canvas, duck",
        "canvas, cotton duck",
        "what is stretched: cotton or linen, plain weave",
    ),
    word(
        "cross bar",
        "crossbar, brace",
        "cross bar",
        "an inner member from bar to bar",
    ),
    word(
        "D-ring",
        "D-ring",
        "D-ring",
        "the ring on a strap that the hanging wire runs to",
    ),
    word(
        "depth",
        "thickness",
        "depth",
        "the side of a batten from front to back",
    ),
    word(
        "face",
        "width",
        "face",
        "the side of a batten that is seen from the front",
    ),
    word(
        "frame",
        "stretcher, strainer",
        "stretcher, strainer",
        "the wood behind a canvas; a stretcher can be opened by keys, a strainer is fixed",
    ),
    word(
        "glue size",
        "rabbit-skin glue",
        "size",
        "thin animal glue that seals the cloth before the ground",
    ),
    word(
        "grip",
        "grab",
        "grip",
        "what the pliers hold beyond the staples",
    ),
    word(
        "ground",
        "primer, gesso",
        "ground, primer",
        "the white layer that is painted on",
    ),
    word(
        "half-lap",
        "half-lap",
        "halving",
        "a joint in which each part gives up half its depth",
    ),
    word(
        "heel and toe",
        "long and short point",
        "heel and toe",
        "the outer and the inner end of a mitre",
    ),
    word(
        "housing",
        "dado",
        "housing",
        "a slot across the wood that takes another part",
    ),
    word("kerf", "kerf", "kerf", "what the saw eats"),
    word(
        "key",
        "key, wedge",
        "wedge",
        "a small wedge that opens a corner to tighten the cloth",
    ),
    word("mitre", "miter", "mitre", "an end cut at 45°"),
    word("offcut", "cutoff, drop", "offcut", "a length left over"),
    word(
        "primed",
        "primed",
        "primed",
        "with its ground on, ready to paint",
    ),
    word(
        "rod",
        "story stick",
        "setting-out rod",
        "a strip with every mark of a member, measured from one end",
    ),
    word(
        "shoulder",
        "shoulder",
        "shoulder",
        "the line at which a joint begins",
    ),
    word(
        "staples",
        "staples",
        "staples",
        "what holds the cloth; by gun or hammer",
    ),
    word(
        "tap tone",
        "tap tone",
        "tap tone",
        "the note of a tapped cloth, from which its pull is reckoned",
    ),
    word(
        "tray frame",
        "floater frame",
        "tray frame",
        "an outer frame with a gap around the canvas",
    ),
    word("trim", "trim", "trim", "what is cut off a rough end"),
    word(
        "try square",
        "try square",
        "try square",
        "for marking and checking right angles",
    ),
    word(
        "turnover",
        "wrap",
        "turnover",
        "the cloth that goes round to the back",
    ),
    word("vice", "vise", "vice", "holds the wood for sawing"),
];

/// The inside of the page's help.
#[must_use]
pub fn markup() -> String {
    html! {
        h3 { "A first canvas" }
        ol {
            li { "Press " strong { "Start empty" } ", type the width and the height. Bare numbers are millimetres, or inches after a tap on " strong { "inches" } "; “60 cm” and “2' 6\"” work on both." }
            li { "Measure your batten and type its face and depth." }
            li { "Under " strong { "Buy" } " type the lengths on the rack with their prices, and the roll of cloth. Without prices the least wood is bought." }
            li { "Put right what is marked in red; everything else stands already." }
            li { "Buy what the list says. Let the wood lie two weeks where the canvas will hang." }
            li { "Cut by the list under " strong { "Cut" } ", longest first. Set out with the rods." }
            li { "Join, and measure both diagonals: they must be equal." }
            li { "Stretch: from the middle of each side outwards, opposite sides in turn." }
            li { "Size and prime by the recipe under " strong { "Size" } ", with its drying times." }
            li { "Weigh, wire and hang by " strong { "Hang" } "; " strong { "Days" } " says when each step starts." }
        }
        h3 { "At the timber yard" }
        p { "Save the page as one file, or install it where it is hosted: it then needs no network. Each board on the rack may have its own length, price, number and bad places. When a board is cut, note it as cut: only the rest is planned again. " strong { "What would another length change?" } " weighs the other lengths." }
        h3 { "A class" }
        p { "One row for each person, or paste a list. All is bought in one cheapest order; " strong { "What each pays" } " shares it to the penny. Print the kit sheets: one for each row, with a code that opens its own plan." }
        h3 { "Any figure" }
        p { "Tap a figure that is underlined with dots: formula, what went in, and the source." }
        h3 { "Nothing is lost" }
        p { "Each plan is kept in this browser while you change it, and none is sent anywhere. A plan that matters belongs in a file too: " strong { "Save as one file" } "." }
        details { summary { "Words, US and UK" } (words()) }
    }
    .into_string()
}

fn words() -> Markup {
    html! {
        dl.words {
            @for word in WORDS {
                div {
                    dt { (word.here) }
                    dd {
                        (word.means)
                        @if word.us != word.here { "; US " (word.us) }
                        @if word.uk != word.here { "; UK " (word.uk) }
                        "."
                    }
                }
            }
        }
    }
}
