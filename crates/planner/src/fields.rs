//! Every input: its key, its name for people, its range, its usual value and where that comes
//! from. The check, its message, the form and the docs all read this one table.

use quantity::{Length, Money};

/// Which list a field belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Table {
    /// One value for the whole plan.
    Settings,
    /// A row of the list of canvases.
    Canvases,
    /// A row of the rack of boards.
    Boards,
    /// A row of the list of cloth rolls.
    Rolls,
    /// A row of the list of boards that are cut already.
    Cut,
    /// What is asked when a size is looked for; no part of a plan.
    Find,
}

/// The sides that a canvas may have: the range of its field.
pub(crate) fn canvas_sides() -> core::ops::RangeInclusive<Length> {
    match Table::Canvases.field("width").map(|f| &f.kind) {
        Some(Kind::Length { min, max, .. }) => *min..=*max,
        _ => Length::ZERO..=Length::ZERO,
    }
}

impl Table {
    /// The settings, then every list in the order of the page, then the finder of sizes.
    pub const ALL: [Self; 6] = [
        Self::Settings,
        Self::Canvases,
        Self::Boards,
        Self::Rolls,
        Self::Cut,
        Self::Find,
    ];

    /// Its key in a plan file; settings have none, they stand at the top.
    #[must_use]
    pub const fn key(self) -> &'static str {
        match self {
            Self::Settings => "",
            Self::Canvases => "canvases",
            Self::Boards => "boards",
            Self::Rolls => "rolls",
            Self::Cut => "cut",
            Self::Find => "find",
        }
    }

    /// Its fields, in the order of the form.
    #[must_use]
    pub const fn fields(self) -> &'static [Field] {
        match self {
            Self::Settings => SETTINGS,
            Self::Canvases => CANVASES,
            Self::Boards => BOARDS,
            Self::Rolls => ROLLS,
            Self::Cut => CUT,
            Self::Find => crate::find_size::asked::FIELDS,
        }
    }

    /// The most rows it takes; a plain limit that keeps the page instant.
    #[must_use]
    pub const fn most_rows(self) -> usize {
        match self {
            Self::Settings | Self::Find => 1,
            Self::Canvases => 200,
            Self::Boards => 60,
            Self::Rolls => 12,
            Self::Cut => 100,
        }
    }

    /// The field with this key.
    #[must_use]
    pub fn field(self, key: &str) -> Option<&'static Field> {
        self.fields().iter().find(|f| f.key == key)
    }
}

/// The stage of the job that a setting belongs to, in the maker's order.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Stage {
    /// The plan as a whole.
    Job,
    /// Boards, bead and cloth to buy.
    Buy,
    /// The frame's parts.
    Cut,
    /// Joints and fasteners.
    Join,
    /// Cloth and staples.
    Stretch,
    /// Glue size and ground.
    Size,
    /// Weight, hanging and the tray frame.
    Hang,
    /// The diary.
    Days,
}

impl Stage {
    /// All stages, in the maker's order.
    pub const ALL: [Self; 8] = [
        Self::Job,
        Self::Buy,
        Self::Cut,
        Self::Join,
        Self::Stretch,
        Self::Size,
        Self::Hang,
        Self::Days,
    ];

    /// Its name on the page.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Job => "Canvases",
            Self::Buy => "Buy",
            Self::Cut => "Cut",
            Self::Join => "Join",
            Self::Stretch => "Stretch",
            Self::Size => "Size",
            Self::Hang => "Hang",
            Self::Days => "Days",
        }
    }
}

/// A dimension other than length, with the units people may write; the first is the unit of a
/// bare number on a metric page, `imperial` of one on an imperial page.
#[derive(Debug, PartialEq)]
pub struct Dimension {
    /// Its name.
    pub name: &'static str,
    /// Unit of a bare number on a metric page.
    pub metric: &'static str,
    /// Unit of a bare number on an imperial page.
    pub imperial: &'static str,
    /// Spelling (in any case), factor and offset to the base unit: base = number × factor + offset.
    pub units: &'static [(&'static str, f64, f64)],
}

/// Per cent; the base is per cent itself.
pub static PERCENT: Dimension = Dimension {
    name: "per cent",
    metric: "%",
    imperial: "%",
    units: &[
        ("%", 1.0, 0.0),
        ("percent", 1.0, 0.0),
        ("per cent", 1.0, 0.0),
    ],
};
/// A bare number without unit.
pub static PLAIN: Dimension = Dimension {
    name: "number",
    metric: "",
    imperial: "",
    units: &[("", 1.0, 0.0)],
};
/// Parts of water to one part of glue: `10`, `10:1` and `10 : 1` are the same.
pub static PARTS: Dimension = Dimension {
    name: "ratio",
    metric: ": 1",
    imperial: ": 1",
    units: &[(": 1", 1.0, 0.0), (":1", 1.0, 0.0), ("to 1", 1.0, 0.0)],
};
/// Mass per area; base g/m². 1 oz/yd² = 28.349523125 g / 0.83612736 m².
pub static AREAL_MASS: Dimension = Dimension {
    name: "mass per area",
    metric: "g/m²",
    imperial: "oz/yd²",
    units: &[
        ("g/m²", 1.0, 0.0),
        ("g/m2", 1.0, 0.0),
        ("gsm", 1.0, 0.0),
        ("oz/yd²", 33.905_747_5, 0.0),
        ("oz/yd2", 33.905_747_5, 0.0),
        ("oz", 33.905_747_5, 0.0),
        // Numbered duck: 19 − n ounces in a yard 22 inches wide, so (19 − n) × 36/22 oz/yd².
        ("duck", -55.482_132_3, 1_054.160_513),
    ],
};
/// Force per length; base N/m.
pub static TENSION: Dimension = Dimension {
    name: "tension",
    metric: "N/m",
    imperial: "lbf/in",
    units: &[
        ("N/m", 1.0, 0.0),
        ("kN/m", 1000.0, 0.0),
        ("lbf/in", 175.126_835_246_476_4, 0.0),
        ("lb/in", 175.126_835_246_476_4, 0.0),
    ],
};
/// Mass; base grams.
pub static MASS: Dimension = Dimension {
    name: "mass",
    metric: "g",
    imperial: "oz",
    units: &[
        ("g", 1.0, 0.0),
        ("kg", 1000.0, 0.0),
        ("oz", 28.349_523_125, 0.0),
        ("lb", 453.592_37, 0.0),
    ],
};
/// Volume; base millilitres.
pub static VOLUME: Dimension = Dimension {
    name: "volume",
    metric: "ml",
    imperial: "fl oz",
    units: &[
        ("ml", 1.0, 0.0),
        ("l", 1000.0, 0.0),
        ("fl oz", 29.573_529_562_5, 0.0),
        ("oz", 29.573_529_562_5, 0.0),
        ("qt", 946.352_946, 0.0),
        ("cup", 236.588_236_5, 0.0),
    ],
};
/// Volume over area; base ml/m².
pub static SPREAD: Dimension = Dimension {
    name: "spread",
    metric: "ml/m²",
    imperial: "fl oz/ft²",
    units: &[
        ("ml/m²", 1.0, 0.0),
        ("ml/m2", 1.0, 0.0),
        ("l/m²", 1000.0, 0.0),
        ("l/m2", 1000.0, 0.0),
        ("fl oz/ft²", 318.328_826, 0.0),
        ("fl oz/ft2", 318.328_826, 0.0),
    ],
};
/// Mass spread over area; base g/m².
pub static GLUE_SPREAD: Dimension = Dimension {
    name: "spread",
    metric: "g/m²",
    imperial: "oz/ft²",
    units: &[
        ("g/m²", 1.0, 0.0),
        ("g/m2", 1.0, 0.0),
        ("oz/ft²", 305.151_727, 0.0),
        ("oz/ft2", 305.151_727, 0.0),
    ],
};
/// Mass per volume; base g/ml.
pub static DENSITY: Dimension = Dimension {
    name: "density",
    metric: "g/ml",
    imperial: "g/ml",
    units: &[
        ("g/ml", 1.0, 0.0),
        ("kg/l", 1.0, 0.0),
        ("kg/m³", 0.001, 0.0),
        ("kg/m3", 0.001, 0.0),
    ],
};
/// A span of time; base days.
pub static DAYS: Dimension = Dimension {
    name: "days",
    metric: "days",
    imperial: "days",
    units: &[
        ("days", 1.0, 0.0),
        ("day", 1.0, 0.0),
        ("d", 1.0, 0.0),
        ("weeks", 7.0, 0.0),
        ("week", 7.0, 0.0),
    ],
};
/// A span of time; base hours.
pub static HOURS: Dimension = Dimension {
    name: "hours",
    metric: "h",
    imperial: "h",
    units: &[
        ("h", 1.0, 0.0),
        ("hours", 1.0, 0.0),
        ("hour", 1.0, 0.0),
        ("min", 1.0 / 60.0, 0.0),
        ("days", 24.0, 0.0),
    ],
};
/// A span of time; base minutes.
pub static MINUTES: Dimension = Dimension {
    name: "minutes",
    metric: "min",
    imperial: "min",
    units: &[("min", 1.0, 0.0), ("minutes", 1.0, 0.0), ("h", 60.0, 0.0)],
};
/// Temperature; base °C.
pub static TEMPERATURE: Dimension = Dimension {
    name: "temperature",
    metric: "°C",
    imperial: "°F",
    units: &[
        ("°C", 1.0, 0.0),
        ("c", 1.0, 0.0),
        ("°F", 1.0 / 1.8, -32.0 / 1.8),
        ("f", 1.0 / 1.8, -32.0 / 1.8),
    ],
};
/// Force; base newtons.
pub static FORCE: Dimension = Dimension {
    name: "force",
    metric: "N",
    imperial: "lbf",
    units: &[("N", 1.0, 0.0), ("lbf", 4.448_221_615, 0.0)],
};
/// Stiffness of wood; base MPa.
pub static MODULUS: Dimension = Dimension {
    name: "modulus",
    metric: "MPa",
    imperial: "MPa",
    units: &[
        ("MPa", 1.0, 0.0),
        ("GPa", 1000.0, 0.0),
        ("psi", 0.006_894_757, 0.0),
    ],
};
/// Stiffness against turning; base N·m for a radian.
pub static TURNING: Dimension = Dimension {
    name: "stiffness against turning",
    metric: "N·m/rad",
    imperial: "lbf·in/rad",
    units: &[
        ("N·m/rad", 1.0, 0.0),
        ("Nm/rad", 1.0, 0.0),
        ("lbf·in/rad", 0.112_984_829, 0.0),
        ("lbf in/rad", 0.112_984_829, 0.0),
    ],
};
/// Frequency; base hertz.
pub static FREQUENCY: Dimension = Dimension {
    name: "frequency",
    metric: "Hz",
    imperial: "Hz",
    units: &[("Hz", 1.0, 0.0)],
};

/// Angle; base degrees.
pub static ANGLE: Dimension = Dimension {
    name: "angle",
    metric: "°",
    imperial: "°",
    units: &[("°", 1.0, 0.0), ("deg", 1.0, 0.0), ("degrees", 1.0, 0.0)],
};

/// One of the answers of a choice: key in files and links, words on the page.
pub type Answer = (&'static str, &'static str);

/// What a field takes.
#[derive(Debug, PartialEq)]
pub enum Kind {
    /// Free text of at most so many characters.
    Text {
        /// Most characters.
        most: usize,
        /// Usual text.
        usual: &'static str,
    },
    /// A length of wood or cloth.
    Length {
        /// Shortest that makes sense.
        min: Length,
        /// Longest that makes sense.
        max: Length,
        /// Used when nothing is typed; none means that the maker must say (or that nothing is set).
        usual: Option<Length>,
    },
    /// A whole number of things.
    Count {
        /// Fewest.
        min: u32,
        /// Most.
        max: u32,
        /// Used when nothing is typed.
        usual: Option<u32>,
    },
    /// A measured value in the dimension's base unit.
    Measure {
        /// Its dimension.
        dimension: &'static Dimension,
        /// Least, in the base unit.
        min: f64,
        /// Most, in the base unit.
        max: f64,
        /// Used when nothing is typed.
        usual: Option<f64>,
    },
    /// An amount of money.
    Money {
        /// Most.
        max: Money,
    },
    /// One of a few answers; the first is the usual one.
    Choice(&'static [Answer]),
    /// A day, written `2026-11-30`.
    Date,
    /// Stretches of a board that can't be used: `300-350, 1200-1260`.
    Stretches,
    /// Pieces of a board that is cut: `2 x 1000 mitred, 1 x 800 square`.
    Pieces,
    /// Sections of batten, each with or without the price of a metre or foot:
    /// `38 × 19 mm, 50 × 25 mm at 2.10`.
    Battens {
        /// Most characters.
        most: usize,
        /// Used when nothing is typed.
        usual: &'static str,
    },
    /// A proportion or a size: `3:2`, `900 x 600`.
    Like,
    /// Days of the week: `Mon-Fri`, `Tue, Thu`; every day when nothing is typed.
    Weekdays,
}

/// An input of the plan.
#[derive(Debug, PartialEq)]
pub struct Field {
    /// Key in plan files, links and the form.
    pub key: &'static str,
    /// Its name for people.
    pub label: &'static str,
    /// Where it stands on the page.
    pub stage: Stage,
    /// What it takes.
    pub kind: Kind,
    /// A line of help: what it is and how the usual value is known.
    pub hint: &'static str,
}

pub(crate) const fn text(
    key: &'static str,
    label: &'static str,
    stage: Stage,
    most: usize,
    usual: &'static str,
    hint: &'static str,
) -> Field {
    Field {
        key,
        label,
        stage,
        kind: Kind::Text { most, usual },
        hint,
    }
}
/// Bounds in tenths of a millimetre, so that the table reads in millimetres with one decimal.
pub(crate) const fn length(
    key: &'static str,
    label: &'static str,
    stage: Stage,
    tenths: (i64, i64),
    usual: Option<i64>,
    hint: &'static str,
) -> Field {
    let usual = match usual {
        Some(t) => Some(Length::from_nm(t * 100_000)),
        None => None,
    };
    let (min, max) = (
        Length::from_nm(tenths.0 * 100_000),
        Length::from_nm(tenths.1 * 100_000),
    );
    Field {
        key,
        label,
        stage,
        kind: Kind::Length { min, max, usual },
        hint,
    }
}
pub(crate) const fn count(
    key: &'static str,
    label: &'static str,
    stage: Stage,
    range: (u32, u32),
    usual: Option<u32>,
    hint: &'static str,
) -> Field {
    Field {
        key,
        label,
        stage,
        kind: Kind::Count {
            min: range.0,
            max: range.1,
            usual,
        },
        hint,
    }
}
const fn measure(
    key: &'static str,
    label: &'static str,
    stage: Stage,
    dimension: &'static Dimension,
    range: (f64, f64),
    usual: Option<f64>,
    hint: &'static str,
) -> Field {
    Field {
        key,
        label,
        stage,
        kind: Kind::Measure {
            dimension,
            min: range.0,
            max: range.1,
            usual,
        },
        hint,
    }
}
pub(crate) const fn choice(
    key: &'static str,
    label: &'static str,
    stage: Stage,
    answers: &'static [Answer],
    hint: &'static str,
) -> Field {
    Field {
        key,
        label,
        stage,
        kind: Kind::Choice(answers),
        hint,
    }
}
const fn money(key: &'static str, label: &'static str, stage: Stage, hint: &'static str) -> Field {
    Field {
        key,
        label,
        stage,
        kind: Kind::Money {
            max: Money::from_hundredths(10_000_000),
        },
        hint,
    }
}

const NO_YES: &[Answer] = &[("no", "no"), ("yes", "yes")];
const YES_NO: &[Answer] = &[("yes", "yes"), ("no", "no")];

/// Settings of the whole plan.
pub static SETTINGS: &[Field] = &[
    // Job
    text(
        "name",
        "Name of the plan",
        Stage::Job,
        80,
        "",
        "Stands on the sheet, the files and the diary.",
    ),
    choice(
        "units",
        "Units",
        Stage::Job,
        &[("metric", "millimetres"), ("imperial", "inches")],
        "How bare numbers are read and figures are shown; a value with its own unit stays as written.",
    ),
    choice(
        "fraction",
        "Finest fraction",
        Stage::Job,
        &[("16", "1/16 in"), ("32", "1/32 in"), ("64", "1/64 in")],
        "Marks in inches are shown to this fraction.",
    ),
    text(
        "currency",
        "Currency sign",
        Stage::Job,
        4,
        "£",
        "Stands before every amount.",
    ),
    // Buy
    Field {
        key: "from_rack",
        label: "Proportion or size",
        stage: Stage::Buy,
        kind: Kind::Like,
        hint: "For what the rack and the cloth are enough. Empty: like the first canvas.",
    },
    // Cut
    length(
        "bar_face",
        "Bar face",
        Stage::Cut,
        (100, 2000),
        Some(450),
        "The batten's width seen from the front. Planed 2 × 1 softwood is about 45 × 20 mm (common practice, no source).",
    ),
    length(
        "bar_depth",
        "Bar depth",
        Stage::Cut,
        (60, 1000),
        Some(200),
        "The batten's thickness, front to back.",
    ),
    choice(
        "treated",
        "Coloured roofing batten",
        Stage::Cut,
        NO_YES,
        "Roofing batten is usually treated with preservative and coloured.",
    ),
    choice(
        "corner",
        "Corner joint",
        Stage::Cut,
        &[
            ("mitre", "glued and pinned mitre"),
            ("mitre_lap", "mitred half-lap"),
            ("square_lap", "square half-lap"),
        ],
        "Glued corners are fixed: the frame is a strainer.",
    ),
    choice(
        "fixing",
        "Corners are",
        Stage::Cut,
        &[
            ("fixed", "fixed (strainer)"),
            ("keyed", "keyed (stretcher)"),
        ],
        "Keys, two a corner, can open only a corner that is not glued.",
    ),
    choice(
        "size_means",
        "Typed size is",
        Stage::Cut,
        &[
            ("outer", "the wooden frame's outside"),
            ("finished", "the finished canvas, cloth and bead included"),
        ],
        "Decides whether the bead's overhang and the cloth are taken off first.",
    ),
    length(
        "cloth_thickness",
        "Cloth thickness",
        Stage::Cut,
        (0, 50),
        Some(0),
        "Taken off twice where the typed size includes the cloth.",
    ),
    choice(
        "bead",
        "Front edge",
        Stage::Cut,
        &[
            ("quarter_round", "quarter-round bead"),
            ("bevel", "bevelled batten"),
            ("none", "nothing"),
        ],
        "Holds the cloth off the bars, so that their inner edge does not print through.",
    ),
    length(
        "bead_size",
        "Bead height",
        Stage::Cut,
        (30, 600),
        Some(190),
        "How far it stands in front of the bars; 19 mm (3/4 in) quarter-round is common practice, no source.",
    ),
    length(
        "bead_overhang",
        "Bead overhang",
        Stage::Cut,
        (0, 300),
        Some(0),
        "How far the bead stands out beyond the bar's outer edge.",
    ),
    length(
        "heel_allowance",
        "Heel allowance",
        Stage::Cut,
        (0, 200),
        Some(0),
        "Left on at each mitred end for planing to the line; 0 when the saw cuts to size.",
    ),
    length(
        "plain_limit",
        "Longest side without cross bars",
        Stage::Cut,
        (2000, 30000),
        Some(7370),
        "Rule of thumb, 737 mm (29 in): common practice, no source.",
    ),
    choice(
        "bracing_by",
        "Cross bars are decided by",
        Stage::Cut,
        &[
            ("computed", "computation, for this wood and cloth"),
            ("rule", "the rule of thumb"),
        ],
        "What is typed for a canvas goes before either.",
    ),
    choice(
        "grade",
        "Strength class",
        Stage::Cut,
        &[
            ("by_wood", "not stamped: by the kind of wood"),
            ("c14", "C14"),
            ("c16", "C16"),
            ("c18", "C18"),
            ("c24", "C24"),
        ],
        "Stamped on graded wood (EN 338). A kind of wood not known counts as C16.",
    ),
    measure(
        "modulus",
        "Stiffness of the batten",
        Stage::Cut,
        &MODULUS,
        (2000.0, 25_000.0),
        None,
        "Modulus of elasticity, if measured: lay it on two supports L apart, hang F in the middle, and F L³ / (4 face³ depth × sag) is it, bent along the face. Empty: by class or wood.",
    ),
    choice(
        "stiffness",
        "Of its kind, the batten is",
        Stage::Cut,
        &[("mean", "average"), ("lower", "the softest of twenty")],
        "Average is usual for bending (EN 1995-1-1); one batten in twenty is softer than the second value.",
    ),
    choice(
        "corner_reading",
        "Corners are taken as",
        Stage::Cut,
        &[("hinged", "hinges (the safe reading)"), ("rigid", "rigid")],
        "A pinned mitre is nearer to a hinge, a well-glued half-lap nearer to rigid. Both are shown; this one decides.",
    ),
    measure(
        "corner_spring",
        "Stiffness of a corner",
        Stage::Cut,
        &TURNING,
        (1.0, 1_000_000.0),
        None,
        "If you have measured one: between a hinge and rigid. Empty: as taken above.",
    ),
    choice(
        "hangs_in",
        "The canvas hangs in",
        Stage::Cut,
        &[
            ("heated", "a heated room"),
            ("covered", "an unheated, covered place"),
        ],
        "Under a lasting pull wood bends further in time: 1.6 or 1.8 times as far as at first (EN 1995-1-1, table 3.2).",
    ),
    choice(
        "size_counts",
        "Drying glue size",
        Stage::Cut,
        &[("counts", "counts as a load"), ("left_out", "is left out")],
        "A film of animal glue pulls as it dries; how hard on cloth is contested. Counted, it is a case of its own.",
    ),
    measure(
        "bow_limit",
        "Bow in the plane, one part in",
        Stage::Cut,
        &PLAIN,
        (50.0, 5000.0),
        Some(500.0),
        "Of a bar's length: 500 is 2 mm in a metre (common practice, no source), half of what graded wood may be bent to begin with.",
    ),
    measure(
        "flat_limit",
        "Bow out of the plane, one part in",
        Stage::Cut,
        &PLAIN,
        (50.0, 5000.0),
        Some(200.0),
        "Of a bar's length: 200 is 10 mm in 2 m, as much as graded wood above C18 may be bowed to begin with (EN 14081-1, from memory).",
    ),
    measure(
        "twist_limit",
        "Twist of a bar",
        Stage::Cut,
        &ANGLE,
        (0.2, 20.0),
        Some(3.0),
        "A bar 20 mm deep then leans by 1 mm; our choice, between the 2.3° and 4.6° by which graded wood may be twisted over 2 m to begin with (EN 14081-1, from memory).",
    ),
    measure(
        "buckling_safety",
        "Safety against buckling",
        Stage::Cut,
        &PLAIN,
        (1.0, 20.0),
        Some(3.0),
        "Buckling load over compression; 3 is our choice, for battens that are never straight.",
    ),
    measure(
        "racking_force",
        "A corner stands a push of",
        Stage::Cut,
        &FORCE,
        (0.0, 1000.0),
        Some(5.0),
        "Before the frame is 1 mm out of square, corners as glued; 5 N, the weight of half a kilogram, is our choice. 0: not asked.",
    ),
    Field {
        key: "other_sections",
        label: "Other battens at hand",
        stage: Stage::Cut,
        kind: Kind::Battens {
            most: 200,
            usual: "38 × 19 mm, 45 × 20 mm, 50 × 25 mm, 63 × 38 mm",
        },
        hint: "Face × depth, up to eight with commas between (semicolons where prices have a comma), each with the price of a metre if you like: 50 × 25 mm at 2.10, or at 0.64/ft. What each would need for the same canvas, and cost.",
    },
    choice(
        "braces",
        "Corner braces",
        Stage::Cut,
        &[
            ("auto", "as decided above"),
            ("yes", "at every corner"),
            ("no", "none"),
        ],
        "45° pieces that keep the corners square.",
    ),
    length(
        "brace_leg",
        "Brace leg",
        Stage::Cut,
        (400, 6000),
        Some(1500),
        "From the inner corner to where the brace's outside meets the bar; 150 mm is our choice, less where a narrow frame has no room for it.",
    ),
    choice(
        "housing",
        "Cross-bar housings",
        Stage::Cut,
        &[("through", "through"), ("stopped", "stopped")],
        "A through housing reaches the outer edge; a stopped one ends short of it.",
    ),
    length(
        "stop_short",
        "Stopped short by",
        Stage::Cut,
        (20, 1000),
        Some(100),
        "Wood left between a stopped housing and the outer edge.",
    ),
    // Buy
    length(
        "kerf",
        "Saw kerf",
        Stage::Buy,
        (2, 80),
        Some(20),
        "What the saw eats; a back saw takes 1 to 2 mm (common practice, no source).",
    ),
    length(
        "trim",
        "Trim at each end",
        Stage::Buy,
        (0, 1000),
        Some(100),
        "Cut off each rough end of a board before the first mark.",
    ),
    length(
        "longest",
        "Longest board you can carry",
        Stage::Buy,
        (3000, 120_000),
        None,
        "Longer boards are left on the rack. Empty: no limit.",
    ),
    length(
        "keep_offcut",
        "Offcut worth keeping",
        Stage::Buy,
        (0, 20_000),
        Some(2000),
        "Shorter leftovers count as waste.",
    ),
    // Wood and the damp of the air
    choice(
        "species",
        "Wood",
        Stage::Buy,
        &crate::species::ANSWERS,
        "Decides how much the batten moves and weighs. Not known: the general rule for softwood.",
    ),
    choice(
        "grain",
        "Growth rings",
        Stage::Buy,
        &[
            ("mixed", "not sorted"),
            ("flat", "run along the face (flat-sawn)"),
            ("quarter", "stand on the face (quarter-sawn)"),
        ],
        "Look at the end of the batten. Wood moves about twice as much along the rings as across them.",
    ),
    measure(
        "meter",
        "Moisture meter reads",
        Stage::Buy,
        &PERCENT,
        (3.0, 60.0),
        None,
        "If you have one. Empty: computed from the yard's air.",
    ),
    measure(
        "yard_temperature",
        "Where the wood lies now",
        Stage::Buy,
        &TEMPERATURE,
        (-1.0, 40.0),
        Some(10.0),
        "Mean temperature of the last weeks there; 10 °C is our choice for a covered yard.",
    ),
    measure(
        "yard_humidity",
        "Damp of the air there",
        Stage::Buy,
        &PERCENT,
        (5.0, 95.0),
        Some(75.0),
        "Mean relative humidity; 75 % is our choice for a covered yard.",
    ),
    measure(
        "studio_temperature",
        "The studio",
        Stage::Buy,
        &TEMPERATURE,
        (-1.0, 40.0),
        Some(20.0),
        "Where the frames are made.",
    ),
    measure(
        "studio_humidity",
        "Damp of the studio's air",
        Stage::Buy,
        &PERCENT,
        (5.0, 95.0),
        Some(50.0),
        "Mean relative humidity.",
    ),
    measure(
        "winter_humidity",
        "Where it will hang, in winter",
        Stage::Buy,
        &PERCENT,
        (5.0, 95.0),
        Some(35.0),
        "Relative humidity of a heated room; 35 % is common practice, no source.",
    ),
    measure(
        "summer_humidity",
        "Where it will hang, in summer",
        Stage::Buy,
        &PERCENT,
        (5.0, 95.0),
        Some(65.0),
        "Relative humidity; 65 % is common practice, no source.",
    ),
    // Join
    choice(
        "screws",
        "Screws",
        Stage::Join,
        YES_NO,
        "Through the heel of the mitre, or through the lap.",
    ),
    choice(
        "screw_way",
        "Heel screw runs",
        Stage::Join,
        &[
            ("square_to_edge", "square to the outer edge"),
            ("square_to_mitre", "square to the mitre"),
        ],
        "Square to the edge it runs into end grain; square to the mitre it can break out of the far edge.",
    ),
    length(
        "screw_length",
        "Screw length",
        Stage::Join,
        (100, 1500),
        Some(500),
        "Under the head to the point.",
    ),
    length(
        "screw_diameter",
        "Screw diameter",
        Stage::Join,
        (20, 80),
        Some(30),
        "Outside the thread.",
    ),
    length(
        "pin_length",
        "Panel pin length",
        Stage::Join,
        (100, 1000),
        Some(508),
        "Two a corner, slightly offset; two-inch pins are common practice, no source.",
    ),
    length(
        "pin_diameter",
        "Panel pin diameter",
        Stage::Join,
        (8, 40),
        Some(16),
        "Wire thickness.",
    ),
    measure(
        "wood_glue_spread",
        "Wood glue spread",
        Stage::Join,
        &GLUE_SPREAD,
        (50.0, 600.0),
        Some(200.0),
        "Waterproof (D3 or D4) glue on one face; 150 to 250 g/m² is common practice, no source: read the bottle.",
    ),
    money(
        "screw_price",
        "Price of 100 screws",
        Stage::Join,
        "Empty: screws are left out of the cost.",
    ),
    money(
        "pin_price",
        "Price of 100 panel pins",
        Stage::Join,
        "Empty: pins are left out of the cost.",
    ),
    money(
        "wood_glue_price",
        "Price of a kilogram of wood glue",
        Stage::Join,
        "Empty: wood glue is left out of the cost.",
    ),
    // Stretch
    length(
        "turnover",
        "Turnover on the back",
        Stage::Stretch,
        (100, 2000),
        Some(400),
        "Cloth that lies on the back of the bars after trimming; 38 to 50 mm is taught.",
    ),
    length(
        "grip",
        "Grip for the pliers",
        Stage::Stretch,
        (0, 1500),
        Some(300),
        "Held by the canvas pliers; cut off or folded in at the end.",
    ),
    choice(
        "weave",
        "Weave",
        Stage::Stretch,
        &[
            ("free", "either way on the roll"),
            ("height", "warp runs up the canvas"),
            ("width", "warp runs across the canvas"),
        ],
        "The warp runs along the roll. A class or a pair of canvases looks alike only if all lie the same way.",
    ),
    choice(
        "prewash",
        "Cloth is pre-washed",
        Stage::Stretch,
        NO_YES,
        "The blank is then cut larger, before the wash.",
    ),
    measure(
        "shrink_warp",
        "Shrinkage along the roll",
        Stage::Stretch,
        &PERCENT,
        (0.0, 20.0),
        Some(5.0),
        "Used only with pre-washing; wash a sample and measure it (common practice, no source).",
    ),
    measure(
        "shrink_weft",
        "Shrinkage across the roll",
        Stage::Stretch,
        &PERCENT,
        (0.0, 20.0),
        Some(5.0),
        "Used only with pre-washing; wash a sample and measure it (common practice, no source).",
    ),
    measure(
        "cloth_mass",
        "Cloth mass",
        Stage::Stretch,
        &AREAL_MASS,
        (50.0, 1500.0),
        Some(400.0),
        "Artists' linen and cotton run from 200 to 500 g/m² (trade pages). Numbered duck is not ounces: write 10 duck for No. 10, 14.7 oz/yd².",
    ),
    length(
        "cloth_gap",
        "Gap between blanks",
        Stage::Stretch,
        (0, 1000),
        Some(100),
        "Left between neighbours for the shears.",
    ),
    length(
        "selvedge",
        "Selvedge",
        Stage::Stretch,
        (0, 1000),
        Some(150),
        "Unusable strip along each edge of the roll.",
    ),
    length(
        "cloth_step",
        "Cloth is sold by the",
        Stage::Stretch,
        (10, 10_000),
        Some(1000),
        "The length bought is rounded up to a whole number of these.",
    ),
    choice(
        "cloth_price_per",
        "Cloth is priced by the",
        Stage::Stretch,
        &[("metre", "metre"), ("yard", "yard")],
        "Length of roll that one price buys.",
    ),
    length(
        "staple_spacing",
        "Widest staple spacing",
        Stage::Stretch,
        (100, 1500),
        Some(320),
        "Middle to middle; 32 mm (1 1/4 in) is common practice, no source.",
    ),
    length(
        "corner_clearance",
        "Clear of the corner",
        Stage::Stretch,
        (50, 1500),
        Some(300),
        "No staple nearer to the corner than this, so that the fold lies flat and no staple meets a pin.",
    ),
    count(
        "corner_staples",
        "Temporary staples a corner",
        Stage::Stretch,
        (0, 4),
        Some(1),
        "Hold the corner while the sides are worked; drawn later.",
    ),
    measure(
        "staple_spare",
        "Spare staples",
        Stage::Stretch,
        &PERCENT,
        (0.0, 100.0),
        Some(10.0),
        "For those that bend or jam.",
    ),
    count(
        "staples_a_box",
        "Staples in a box",
        Stage::Stretch,
        (50, 20_000),
        Some(1000),
        "Read the box.",
    ),
    length(
        "staple_leg",
        "Staple leg",
        Stage::Stretch,
        (40, 250),
        Some(80),
        "6 to 10 mm is usual (trade pages).",
    ),
    money(
        "staple_price",
        "Price of a box of staples",
        Stage::Stretch,
        "Empty: staples are left out of the cost.",
    ),
    choice(
        "pull_level",
        "The cloth is",
        Stage::Stretch,
        &[
            ("usual", "well stretched, 200 N/m"),
            ("slack", "slack, 100 N/m"),
            ("taut", "taut, 300 N/m"),
            ("very_taut", "very taut, 400 N/m"),
        ],
        "The ends of a working range of 100 to 400 N/m and two steps between (weakly sourced). Or tap the cloth and type what that says below.",
    ),
    measure(
        "tension",
        "Pull in the cloth",
        Stage::Stretch,
        &TENSION,
        (10.0, 3000.0),
        Some(200.0),
        "Goes before the words above. 100 to 400 N/m is a working range (weakly sourced). Size tightens the cloth further as it dries.",
    ),
    // Tap tone
    count(
        "tap_canvas",
        "Tapped canvas",
        Stage::Stretch,
        (1, 200),
        Some(1),
        "Its row in the list of canvases.",
    ),
    choice(
        "tap_coats",
        "Tapped when it was",
        Stage::Stretch,
        &[
            ("bare", "bare cloth"),
            ("sized", "sized"),
            ("primed", "sized and primed"),
        ],
        "Size and ground make the cloth heavier, and its note lower.",
    ),
    measure(
        "across_over_up",
        "Pull across against pull up",
        Stage::Stretch,
        &PLAIN,
        (0.2, 5.0),
        Some(1.0),
        "1 where the cloth is as tight from side to side as from top to bottom; one note can't tell them apart.",
    ),
    measure(
        "tap",
        "Tapped note",
        Stage::Stretch,
        &FREQUENCY,
        (4.0, 1000.0),
        None,
        "Struck softly in the middle with a finger, the frame held free in the air. Typed, or heard by the microphone.",
    ),
    measure(
        "tap_1",
        "Note, top left",
        Stage::Stretch,
        &FREQUENCY,
        (4.0, 1000.0),
        None,
        "A quarter tapped by itself while a hand rests on the cloth's middle. With all four, how even the stretch is.",
    ),
    measure(
        "tap_2",
        "Note, top right",
        Stage::Stretch,
        &FREQUENCY,
        (4.0, 1000.0),
        None,
        "As the first.",
    ),
    measure(
        "tap_3",
        "Note, bottom left",
        Stage::Stretch,
        &FREQUENCY,
        (4.0, 1000.0),
        None,
        "As the first.",
    ),
    measure(
        "tap_4",
        "Note, bottom right",
        Stage::Stretch,
        &FREQUENCY,
        (4.0, 1000.0),
        None,
        "As the first.",
    ),
    // Size
    choice(
        "size_kind",
        "Size",
        Stage::Size,
        &[
            ("glue", "animal glue"),
            ("acrylic", "acrylic size, ready to use"),
            ("pva", "PVA size, ready to use"),
        ],
        "The ready ones hold no animal glue and need no soaking or warming.",
    ),
    measure(
        "ratio",
        "Water to dry glue",
        Stage::Size,
        &PARTS,
        (4.0, 60.0),
        Some(10.0),
        "10 : 1 is common practice, no source. Published canvas recipes by weight run from 17 : 1 to 42 : 1.",
    ),
    choice(
        "ratio_by",
        "Parts are measured by",
        Stage::Size,
        &[("weight", "weight"), ("volume", "volume")],
        "The same words give different glue: 10 : 1 by volume is about 15 : 1 by weight.",
    ),
    measure(
        "glue_bulk",
        "Dry glue, poured",
        Stage::Size,
        &DENSITY,
        (0.3, 1.2),
        Some(0.665),
        "Grams in a millilitre of granules; 155 to 160 g a US cup, 0.655 to 0.676 g/ml (trade sheet).",
    ),
    count(
        "size_coats",
        "Coats of size",
        Stage::Size,
        (1, 6),
        Some(2),
        "Two coats, the first thinner (common practice, no source).",
    ),
    measure(
        "size_spread",
        "Size for a coat",
        Stage::Size,
        &SPREAD,
        (30.0, 500.0),
        Some(95.0),
        "One US quart does 50 to 60 ft² twice, so 85 to 100 ml/m² a coat (published by a painters' forum, ±40 %).",
    ),
    measure(
        "size_waste",
        "Size left in pot and brush",
        Stage::Size,
        &PERCENT,
        (0.0, 100.0),
        Some(15.0),
        "Common practice, no source.",
    ),
    measure(
        "jar",
        "Jar",
        Stage::Size,
        &VOLUME,
        (50.0, 20_000.0),
        Some(500.0),
        "Filled to four fifths at most, so that it can be stirred.",
    ),
    measure(
        "soak",
        "Soak",
        Stage::Size,
        &HOURS,
        (1.0, 48.0),
        Some(24.0),
        "24 hours is common practice, no source; published recipes say 2 to 3 hours or overnight.",
    ),
    measure(
        "warm",
        "Warm in the water bath",
        Stage::Size,
        &MINUTES,
        (2.0, 120.0),
        Some(10.0),
        "About 10 minutes, never boiling (common practice, no source).",
    ),
    measure(
        "ready_spread",
        "Ready size for a coat",
        Stage::Size,
        &SPREAD,
        (30.0, 500.0),
        Some(150.0),
        "Raw cloth takes 125 to 200 ml/m² (5 to 8 m² a litre): common practice, no source. Read the pot.",
    ),
    count(
        "jars_at_hand",
        "Jars at hand",
        Stage::Size,
        (1, 100),
        None,
        "Empty: as many as needed. With fewer, the size is made in batches.",
    ),
    measure(
        "bath",
        "Water bath",
        Stage::Size,
        &TEMPERATURE,
        (30.0, 100.0),
        Some(60.0),
        "60 to 63 °C dissolves the glue (published); no warmer than 65 °C.",
    ),
    measure(
        "fridge_life",
        "Size keeps in the refrigerator",
        Stage::Size,
        &DAYS,
        (0.0, 21.0),
        Some(4.0),
        "A couple of days to a week (published). Liquid when cold, mouldy or foul: throw it away.",
    ),
    money(
        "size_price",
        "Price of size",
        Stage::Size,
        "Of a kilogram of dry glue, or of a litre of ready size. Empty: left out of the cost.",
    ),
    // Ground
    choice(
        "ground",
        "Ground",
        Stage::Size,
        &[
            ("acrylic", "acrylic primer"),
            ("oil", "oil ground"),
            ("chalk", "chalk and glue (for panels)"),
            ("none", "none"),
        ],
        "The white layer painted on.",
    ),
    count(
        "ground_coats",
        "Coats of ground",
        Stage::Size,
        (1, 12),
        Some(2),
        "Two or three of acrylic primer (published); four or more thin ones of chalk ground (published).",
    ),
    measure(
        "ground_spread",
        "Ground for a coat",
        Stage::Size,
        &SPREAD,
        (30.0, 500.0),
        Some(125.0),
        "8 m² a litre; raw cloth takes more, 5 to 8 (common practice, no source: read the pot).",
    ),
    measure(
        "ground_between",
        "Between coats of ground",
        Stage::Size,
        &HOURS,
        (0.25, 336.0),
        None,
        "Empty: 4 hours for acrylic primer (published claims run from 1 to 24), 24 for an oil ground, half an hour for a thin coat of chalk ground.",
    ),
    measure(
        "chalk_parts",
        "Chalk to one part of size",
        Stage::Size,
        &PLAIN,
        (0.2, 4.0),
        Some(1.0),
        "By weight; for chalk ground alone. One part each is published, and about the same by volume.",
    ),
    money(
        "ground_price",
        "Price of ground",
        Stage::Size,
        "Of a litre as it is put on; of a kilogram of chalk where it is mixed. Empty: left out of the cost.",
    ),
    // Hang
    choice(
        "hang_by",
        "Hangs by",
        Stage::Hang,
        &[
            ("wire", "a wire over one hook"),
            ("rings", "two rings on two hooks"),
        ],
        "Two hooks keep it level and pull no bar inward.",
    ),
    measure(
        "safety",
        "Safety factor",
        Stage::Hang,
        &PLAIN,
        (1.0, 20.0),
        Some(4.0),
        "Everything must carry so many times its load. 2 is published as the least, 4 to 5 is the cautious habit (common practice, no source).",
    ),
    measure(
        "ring_down",
        "Rings below the top",
        Stage::Hang,
        &PERCENT,
        (2.0, 50.0),
        Some(30.0),
        "Of the height: a quarter to a third (published).",
    ),
    measure(
        "wire_angle",
        "Wire rises by",
        Stage::Hang,
        &ANGLE,
        (2.0, 75.0),
        Some(20.0),
        "From the level, as it hangs. A flatter wire pulls harder; 20° is our choice.",
    ),
    length(
        "wire_length",
        "Wire from ring to ring",
        Stage::Hang,
        (500, 120_000),
        None,
        "If it is there already: its angle follows from it.",
    ),
    measure(
        "wood_density",
        "Wood weighs",
        Stage::Hang,
        &DENSITY,
        (0.2, 1.0),
        None,
        "Weigh a length and divide by its volume. Empty: by the kind of wood.",
    ),
    measure(
        "paint_mass",
        "Paint to come",
        Stage::Hang,
        &AREAL_MASS,
        (0.0, 10_000.0),
        Some(300.0),
        "Allowance; 300 g/m² is our choice for paint without heavy impasto.",
    ),
    choice(
        "tray",
        "Tray frame",
        Stage::Hang,
        NO_YES,
        "A shallow box round the canvas, with a gap.",
    ),
    length(
        "tray_gap",
        "Gap round the canvas",
        Stage::Hang,
        (10, 300),
        Some(60),
        "Between canvas and wall; 6 mm is common practice, no source.",
    ),
    length(
        "tray_wall",
        "Wall thickness",
        Stage::Hang,
        (30, 600),
        Some(100),
        "Seen from the front.",
    ),
    length(
        "tray_reveal",
        "Wall stands forward by",
        Stage::Hang,
        (0, 300),
        Some(30),
        "In front of the painted face, to guard it.",
    ),
    length(
        "tray_base",
        "Base",
        Stage::Hang,
        (30, 400),
        Some(90),
        "Thickness of the strip that the canvas is screwed to.",
    ),
    // Days
    choice(
        "plan_from",
        "Plan",
        Stage::Days,
        &[
            ("start", "forward from the first day"),
            ("needed", "backward from the day it is needed"),
        ],
        "Which of the two ends of the diary is fixed.",
    ),
    Field {
        key: "day",
        label: "First day, or day needed",
        stage: Stage::Days,
        kind: Kind::Date,
        hint: "Year-month-day, such as 2027-03-01. Empty: the diary counts days from day 1.",
    },
    Field {
        key: "other_day",
        label: "The other end",
        stage: Stage::Days,
        kind: Kind::Date,
        hint: "Where both are fixed: the day needed when planning forward, the earliest first day when planning backward.",
    },
    Field {
        key: "work_days",
        label: "Working days",
        stage: Stage::Days,
        kind: Kind::Weekdays,
        hint: "Such as Mon-Fri or Tue, Thu. Work waits for one of them; drying does not. Counts only with a date.",
    },
    count(
        "bench",
        "Canvases on the bench at once",
        Stage::Days,
        (1, 500),
        None,
        "Empty: all. With fewer, frames are glued and clamped in batches.",
    ),
    count(
        "cut_days",
        "Cutting and gluing takes",
        Stage::Days,
        (1, 60),
        Some(1),
        "Working days for each batch.",
    ),
    count(
        "stretch_days",
        "Stretching takes",
        Stage::Days,
        (1, 60),
        None,
        "Working days for all of them. Empty: by the pace of one person.",
    ),
    measure(
        "staple_pace",
        "Staples a minute",
        Stage::Days,
        &PLAIN,
        (0.1, 60.0),
        Some(2.0),
        "One person, pulling and corners included: 2 is common practice, no source. Time one canvas; beginners take twice as long.",
    ),
    measure(
        "work_hours",
        "Hours at the bench in a day",
        Stage::Days,
        &HOURS,
        (0.5, 16.0),
        Some(6.0),
        "Of stretching; 6 is our choice. An evening class has 2 or 3.",
    ),
    measure(
        "acclimatise",
        "Wood lies in the room",
        Stage::Days,
        &DAYS,
        (0.0, 120.0),
        Some(14.0),
        "Two weeks, common practice, no source.",
    ),
    measure(
        "clamp",
        "Clamped flat",
        Stage::Days,
        &DAYS,
        (1.0, 7.0),
        Some(1.0),
        "Overnight, common practice, no source.",
    ),
    measure(
        "size_dry",
        "Size dries",
        Stage::Days,
        &DAYS,
        (1.0, 14.0),
        Some(1.0),
        "A day or two before priming (published).",
    ),
    measure(
        "prime_dry",
        "Ground dries",
        Stage::Days,
        &DAYS,
        (1.0, 60.0),
        None,
        "Empty: 2 days for an acrylic primer (24 to 48 hours before oil are published), 7 for an oil ground, which takes one to six weeks, 1 for a chalk ground.",
    ),
];

/// A row of the list of canvases.
pub static CANVASES: &[Field] = &[
    text(
        "name",
        "Name",
        Stage::Job,
        60,
        "",
        "Empty: the size is used.",
    ),
    length(
        "width",
        "Width",
        Stage::Job,
        (1000, 60_000),
        None,
        "Side to side; or both sides in one: 60 x 80 cm, or a standard number such as 15 F.",
    ),
    length(
        "height",
        "Height",
        Stage::Job,
        (1000, 60_000),
        None,
        "Top to bottom.",
    ),
    count(
        "count",
        "How many",
        Stage::Job,
        (1, 500),
        Some(1),
        "Of this size.",
    ),
    count(
        "upright_bars",
        "Upright cross bars",
        Stage::Cut,
        (0, 6),
        None,
        "Empty: as computed.",
    ),
    count(
        "level_bars",
        "Level cross bars",
        Stage::Cut,
        (0, 6),
        None,
        "Empty: as computed.",
    ),
    choice(
        "braces",
        "Braces",
        Stage::Cut,
        &[("auto", "as computed"), ("yes", "yes"), ("no", "no")],
        "For this canvas alone.",
    ),
];

/// A row of the rack of boards.
pub static BOARDS: &[Field] = &[
    choice(
        "of",
        "Board of",
        Stage::Buy,
        &[("bars", "batten"), ("bead", "bead")],
        "What it is a length of.",
    ),
    length(
        "length",
        "Length",
        Stage::Buy,
        (1000, 120_000),
        None,
        "As it lies on the rack.",
    ),
    money(
        "price",
        "Price",
        Stage::Buy,
        "Of one board; 0 for an offcut at home. Empty on every row: the least wood is bought.",
    ),
    count(
        "limit",
        "How many there are",
        Stage::Buy,
        (0, 10_000),
        None,
        "Empty: as many as needed; one, where it has bad stretches or costs 0.",
    ),
    Field {
        key: "bad",
        label: "Bad stretches",
        stage: Stage::Buy,
        kind: Kind::Stretches,
        hint: "Knots and shakes of one measured board, from its left end: 300-350, 1200-1260.",
    },
    Field {
        key: "section",
        label: "Section",
        stage: Stage::Buy,
        kind: Kind::Battens {
            most: 40,
            usual: "",
        },
        hint: "Of a board of batten, face × depth: 38 x 19 mm. Empty: the batten in hand. Boards of another section are no part of the plan; they are weighed against it on demand.",
    },
];

/// A row of the list of cloth rolls.
pub static ROLLS: &[Field] = &[
    length(
        "width",
        "Roll width",
        Stage::Buy,
        (2000, 60_000),
        None,
        "Selvedge to selvedge.",
    ),
    money(
        "price",
        "Price a metre or yard",
        Stage::Buy,
        "Of one metre or yard of the roll. Empty on every row: the least cloth is bought.",
    ),
    length(
        "available",
        "Left on the roll",
        Stage::Buy,
        (1000, 2_000_000),
        None,
        "Empty: as much as needed.",
    ),
];

/// A row of the list of boards that are cut already.
pub static CUT: &[Field] = &[
    choice(
        "of",
        "Board of",
        Stage::Buy,
        &[("bars", "batten"), ("bead", "bead")],
        "What it was a length of.",
    ),
    length(
        "length",
        "Length",
        Stage::Buy,
        (1000, 120_000),
        None,
        "Of the whole board before it was cut.",
    ),
    Field {
        key: "pieces",
        label: "Pieces",
        stage: Stage::Buy,
        kind: Kind::Pieces,
        hint: "What one board gave, by length and ends, as in the cut list (mitred ones by their long edge). Lengths, because letters change with the sizes.",
    },
    count(
        "count",
        "Boards cut like this",
        Stage::Buy,
        (1, 10_000),
        Some(1),
        "They are no longer on the rack: the rack lists what is still there.",
    ),
    money(
        "price",
        "Price",
        Stage::Buy,
        "What one of them cost: money that is spent, listed but kept out of the cost to come.",
    ),
    Field {
        key: "bad",
        label: "Bad stretches",
        stage: Stage::Buy,
        kind: Kind::Stretches,
        hint: "What could not be used, from its left end: 300-350, 1200-1260.",
    },
];

/// A field of a row, or a setting.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct FieldRef {
    /// Which list.
    pub table: Table,
    /// Which row, from 0; 0 for settings.
    pub row: usize,
    /// Which field.
    pub key: &'static str,
}

impl FieldRef {
    /// A setting.
    #[must_use]
    pub const fn setting(key: &'static str) -> Self {
        Self {
            table: Table::Settings,
            row: 0,
            key,
        }
    }

    /// Its entry in the table.
    #[must_use]
    pub fn field(self) -> Option<&'static Field> {
        self.table.field(self.key)
    }

    /// Its name for people, as it is on the page.
    #[must_use]
    pub fn label(self) -> &'static str {
        self.field().map_or(self.key, |f| f.label)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn keys_are_unique_and_usual_values_lie_in_range() {
        for table in Table::ALL {
            for (i, f) in table.fields().iter().enumerate() {
                assert!(
                    table.fields()[i + 1..].iter().all(|g| g.key != f.key),
                    "{}",
                    f.key
                );
                match f.kind {
                    Kind::Length { min, max, usual } => {
                        assert!(
                            min < max && usual.is_none_or(|u| (min..=max).contains(&u)),
                            "{}",
                            f.key
                        );
                    }
                    Kind::Count { min, max, usual } => {
                        assert!(
                            min < max && usual.is_none_or(|u| (min..=max).contains(&u)),
                            "{}",
                            f.key
                        );
                    }
                    Kind::Measure {
                        min,
                        max,
                        usual,
                        dimension,
                    } => {
                        assert!(
                            min < max && usual.is_none_or(|u| (min..=max).contains(&u)),
                            "{}",
                            f.key
                        );
                        let known = |u: &str| dimension.units.iter().any(|(s, ..)| *s == u);
                        assert!(
                            known(dimension.metric) && known(dimension.imperial),
                            "{}",
                            f.key
                        );
                    }
                    Kind::Choice(answers) => assert!(answers.len() > 1, "{}", f.key),
                    Kind::Text { .. }
                    | Kind::Battens { .. }
                    | Kind::Money { .. }
                    | Kind::Date
                    | Kind::Stretches
                    | Kind::Pieces
                    | Kind::Like
                    | Kind::Weekdays => {}
                }
            }
        }
    }
}
