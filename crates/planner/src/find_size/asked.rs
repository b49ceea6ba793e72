//! What is asked when a size is looked for: the table of its fields and their answers.

use crate::brief::Choice;
use crate::fields::{Field, Stage, choice, count, length, text};

use super::standard::Stands;

/// By what a size is found.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum By {
    /// A standard size.
    Standard,
    /// A proportion and one side.
    Proportion,
    /// The proportion of a picture and one side.
    Picture,
    /// The inside of a tray frame that is there.
    Tray,
    /// The width of a wall.
    Wall,
    /// The outside size of a group.
    Group,
}

impl By {
    /// The fields that it asks for, in order.
    #[must_use]
    pub const fn asks(self) -> &'static [&'static str] {
        match self {
            Self::Standard => &["standard", "way", "count", "into"],
            Self::Proportion => &["ratio", "way", "known", "side", "count", "into"],
            Self::Picture => &[
                "picture_width",
                "picture_height",
                "known",
                "side",
                "count",
                "into",
            ],
            Self::Tray => &["tray_width", "tray_height", "count", "into"],
            Self::Wall => &[
                "wall_width",
                "wall_end",
                "in_row",
                "gap",
                "height_each",
                "ratio",
                "way",
            ],
            Self::Group => &[
                "group",
                "total_width",
                "total_height",
                "gap",
                "in_row",
                "count",
            ],
        }
    }

    /// The field that decides how large the canvases become.
    pub(super) const fn decides(self) -> &'static str {
        match self {
            Self::Standard => "standard",
            Self::Proportion | Self::Picture => "side",
            Self::Tray => "tray_width",
            Self::Wall => "wall_width",
            Self::Group => "total_width",
        }
    }
}

impl Choice for By {
    const ALL: &'static [(&'static str, Self)] = &[
        ("standard", Self::Standard),
        ("proportion", Self::Proportion),
        ("picture", Self::Picture),
        ("tray", Self::Tray),
        ("wall", Self::Wall),
        ("group", Self::Group),
    ];
}

/// Which way the long side goes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Way {
    Usual,
    Upright,
    Across,
}

impl Way {
    /// The way, or the usual one.
    pub(super) const fn or(self, usual: Stands) -> Stands {
        match self {
            Self::Usual => usual,
            Self::Upright => Stands::Upright,
            Self::Across => Stands::Across,
        }
    }
}

impl Choice for Way {
    const ALL: &'static [(&'static str, Self)] = &[
        ("usual", Self::Usual),
        ("upright", Self::Upright),
        ("across", Self::Across),
    ];
}

/// A proportion of the long side to the short one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Ratio {
    Golden,
    Root2,
    ThreeToTwo,
    FourToThree,
    Square,
}

impl Ratio {
    /// Long side over short side.
    pub(super) const fn number(self) -> f64 {
        match self {
            // (1 + √5) / 2
            Self::Golden => 1.618_033_988_749_895,
            Self::Root2 => core::f64::consts::SQRT_2,
            Self::ThreeToTwo => 1.5,
            Self::FourToThree => 4.0 / 3.0,
            Self::Square => 1.0,
        }
    }
}

impl Choice for Ratio {
    const ALL: &'static [(&'static str, Self)] = &[
        ("golden", Self::Golden),
        ("root2", Self::Root2),
        ("3_2", Self::ThreeToTwo),
        ("4_3", Self::FourToThree),
        ("1_1", Self::Square),
    ];
}

/// Which side is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Known {
    Width,
    Height,
}

impl Choice for Known {
    const ALL: &'static [(&'static str, Self)] =
        &[("width", Self::Width), ("height", Self::Height)];
}

/// The shape of a group.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Group {
    Pair,
    Triptych,
    Wings,
    Row,
}

impl Choice for Group {
    const ALL: &'static [(&'static str, Self)] = &[
        ("pair", Self::Pair),
        ("triptych", Self::Triptych),
        ("wings", Self::Wings),
        ("row", Self::Row),
    ];
}

/// Every field that is asked for.
pub static FIELDS: &[Field] = &[
    choice(
        "by",
        "Find it by",
        Stage::Job,
        &[
            ("standard", "a standard size"),
            ("proportion", "a proportion and a side"),
            ("picture", "a picture and a side"),
            ("tray", "a tray frame"),
            ("wall", "a row on a wall"),
            ("group", "a pair, triptych or row"),
        ],
        "What is known.",
    ),
    text(
        "standard",
        "Standard size",
        Stage::Job,
        60,
        "",
        "French numbers: F figure, P landscape, M marine; sizes in whole inches.",
    ),
    length(
        "picture_width",
        "Picture's width",
        Stage::Job,
        (1, 10_000_000),
        None,
        "Of a photo or a sketch, in any unit, also in dots: only the proportion counts.",
    ),
    length(
        "picture_height",
        "Picture's height",
        Stage::Job,
        (1, 10_000_000),
        None,
        "In the same unit.",
    ),
    length(
        "tray_width",
        "Frame's inside width",
        Stage::Job,
        (1000, 62_000),
        None,
        "Measured where the canvas will lie. The gap all round is the one in the settings for hanging.",
    ),
    length(
        "tray_height",
        "Frame's inside height",
        Stage::Job,
        (1000, 62_000),
        None,
        "As above.",
    ),
    choice(
        "group",
        "Group",
        Stage::Job,
        &[
            ("pair", "pair: two alike"),
            ("triptych", "triptych: three alike"),
            ("wings", "triptych: half-width wings"),
            ("row", "row: several alike"),
        ],
        "Side by side.",
    ),
    length(
        "wall_width",
        "Wall's width",
        Stage::Job,
        (1000, 1_000_000),
        None,
        "From corner to corner, or as much of it as is free.",
    ),
    length(
        "wall_end",
        "Bare at each end",
        Stage::Job,
        (0, 500_000),
        Some(2000),
        "Between the row and each corner (our choice).",
    ),
    length(
        "total_width",
        "Width over all",
        Stage::Job,
        (1000, 1_000_000),
        None,
        "From the left edge of the first to the right edge of the last, gaps included.",
    ),
    length(
        "total_height",
        "Height over all",
        Stage::Job,
        (1000, 60_000),
        None,
        "All are of one height.",
    ),
    count(
        "in_row",
        "Canvases in the row",
        Stage::Job,
        (1, 50),
        Some(3),
        "Of a row only: a pair has two, a triptych three.",
    ),
    length(
        "gap",
        "Gap between two",
        Stage::Job,
        (0, 20_000),
        Some(300),
        "From edge to edge (our choice).",
    ),
    length(
        "height_each",
        "Height of each",
        Stage::Job,
        (1000, 60_000),
        None,
        "Empty: by the proportion.",
    ),
    choice(
        "ratio",
        "Proportion",
        Stage::Job,
        &[
            ("golden", "golden section, 1.618"),
            ("root2", "√2, as sheets of paper"),
            ("3_2", "3 : 2"),
            ("4_3", "4 : 3"),
            ("1_1", "square"),
        ],
        "Long side to short side.",
    ),
    choice(
        "way",
        "Long side",
        Stage::Job,
        &[
            ("usual", "as is usual"),
            ("upright", "upright"),
            ("across", "across"),
        ],
        "As is usual: landscapes and marines across, all else upright (our choice).",
    ),
    choice(
        "known",
        "Known side",
        Stage::Job,
        &[("width", "the width"), ("height", "the height")],
        "The other one is computed.",
    ),
    length(
        "side",
        "Known side's length",
        Stage::Job,
        (1000, 60_000),
        None,
        "Of the canvas.",
    ),
    count(
        "count",
        "How many",
        Stage::Job,
        (1, 500),
        Some(1),
        "Of this size, or of this group.",
    ),
    count(
        "into",
        "Put it into canvas",
        Stage::Job,
        (1, 200),
        None,
        "The number of a canvas above, whose width and height it then takes. Empty: a new row.",
    ),
];
