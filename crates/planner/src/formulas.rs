//! Every formula and rule that a figure can name, each with its source. `docs/formulas.md` is
//! this table; a test keeps them the same.

use serde::Serialize;

/// A formula or rule.
#[derive(Debug, PartialEq, Serialize)]
pub struct Formula {
    /// Its name, unique.
    pub name: &'static str,
    /// What is computed, in symbols or words.
    pub text: &'static str,
    /// The source, or "common practice, no source", or "geometry", or "our choice".
    pub source: &'static str,
}

macro_rules! formulas {
    ($($id:ident = $name:literal, $text:literal, $source:literal;)+) => {
        $(
            #[doc = concat!($name, ": ", $text, " (", $source, ")")]
            pub static $id: Formula = Formula { name: $name, text: $text, source: $source };
        )+
        /// All of them, in the order of the docs.
        pub static ALL: &[&Formula] = &[$(&$id),+];
    };
}

/// "Common practice, no source".
pub const PRACTICE: &str = "common practice, no source";

formulas! {
    OUTER_SIZE = "outer side", "typed side − 2 × (bead overhang + cloth thickness) where the typed size includes them, else the typed side", "geometry";
    BAR_LONG = "bar, long edge", "outer side", "geometry";
    BAR_SHORT = "bar, short edge", "outer side − 2 × bar face (45° mitre at both ends)", "geometry";
    BAR_BLANK = "bar as sawn", "long edge + 2 × heel allowance", "geometry";
    MITRE = "mitre", "45°: half of the corner's right angle", "geometry";
    DIAGONAL = "diagonal", "√(width² + height²)", "geometry";
    OUT_OF_SQUARE = "out of square", "lean ≈ (difference of diagonals) × diagonal / (2 × width)", "geometry";
    CROSS_BAR_RULE = "cross bars by rule", "none while the longer side is at most the limit; beyond it, each way: at least one, and one more for every full limit in that side", "common practice, no source (29 in)";
    MAKER_SAYS = "as the maker says", "typed for this canvas or for the plan", "the maker";
    BRACES_RULE = "braces by rule", "four where there are cross bars and the corners have room for the legs", "common practice, no source";
    CROSS_BAR_THROUGH = "cross bar, through", "outer side", "geometry";
    CROSS_BAR_STOPPED = "cross bar, stopped", "outer side − 2 × wood left at the edge", "geometry";
    LAP_DEPTH = "half-lap depth", "bar depth / 2", "common practice, no source";
    BRACE_LONG = "brace, long edge", "leg × √2", "geometry";
    BRACE_SHORT = "brace, short edge", "long edge − 2 × face (both ends cut at 45°)", "geometry";
    KEYS = "keys", "2 for each corner", "common practice, no source";
    HEEL_SCREW = "longest heel screw", "square to the mitre, from a point e along the edge: e × √2 − 3 mm; square to the edge it runs along the other bar and the bar's length is the limit", "geometry; 3 mm is our choice";
    LAP_SCREW = "longest lap screw", "bar depth − 3 mm", "geometry; 3 mm is our choice";
    SCREW_HOLD = "screw in the second piece", "screw length − wood passed first", "geometry";
    PILOT = "pilot hole", "0.7 × root diameter, root taken as 0.7 × screw diameter", "Wood Handbook ch. 8 (from memory); root share: common practice, no source";
    SCREW_COUNT = "screws", "a heel: 1; a corner lap: 2; a cross-bar housing: 1", "common practice, no source";
    PINS = "panel pins", "2 for each corner, one from each bar, a quarter of the depth off the middle so that they pass each other", "common practice, no source; the offset is our choice";
    PIN_SHORTEST = "shortest pin", "2/3 × bar face (way to the mitre) + 8 × pin diameter", "EN 1995-1-1 §8.3 point-side penetration (from memory)";
    PIN_LONGEST = "longest pin", "12 × bar depth / 4: a lean of 1 in 12 stays inside the wood", "our choice";
    GLUE_AREA = "glued area", "mitre: face × √2 × depth; corner lap: face × face (a half-lap adds its mitred shoulder); housing: face × face", "geometry";
    WOOD_GLUE = "wood glue", "glued area × spread", "bottle's label; 150 to 250 g/m² is common practice, no source";
    BEAD_PIECE = "bead piece, long edge", "outer side + 2 × bead overhang", "geometry";
    BEAD_LENGTH = "bead", "both outer sides twice, each piece its long edge (a profiled batten can't be turned)", "geometry";
    BLANK = "blank side", "finished side + 2 × (bead rise + bar depth + turnover + grip)", "geometry";
    PREWASH = "blank before the wash", "blank / (1 − shrinkage)", "arithmetic";
    FOLD_FRONT = "front fold", "grip + turnover + bar depth + bead rise, from the blank's edge", "geometry";
    FOLD_BACK = "back fold", "grip + turnover, from the blank's edge", "geometry";
    TRIM_LINE = "trim line", "grip, from the blank's edge", "geometry";
    CLOTH_MASS = "cloth mass", "area × mass per area", "arithmetic";
    CLOTH_LENGTH = "cloth to buy", "length used on the roll, rounded up to the step it is sold by", "cutting plan";
    CLOTH_WASTE = "cloth wasted", "1 − area of blanks / area bought", "arithmetic";
    STAPLES_SIDE = "staples on a side", "⌈(side − 2 × corner clearance) / widest spacing⌉ + 1, evenly spaced, symmetrical about the middle", "common practice, no source";
    STAPLES_STAYING = "staples that stay", "2 × (top + side)", "arithmetic";
    STAPLES_TEMPORARY = "temporary staples", "4 × temporary staples a corner", "common practice, no source";
    STAPLES_TOTAL = "staples", "(all sides + temporary corner staples) × (1 + spare)", "arithmetic";
    STAPLE_BOXES = "boxes of staples", "⌈staples / staples in a box⌉", "arithmetic";
    SIZE_AREA = "area to size", "front + edges: width × height + 2 × (width + height) × (bead rise + bar depth)", "geometry";
    SIZE_MASS = "mass of size", "volume × 1 g/ml (thin size weighs about as much as water)", "our choice";
    SIZE_VOLUME = "liquid size", "area × size for a coat × coats × (1 + waste)", "arithmetic on the stated spread";
    SIZE_GLUE_WEIGHT = "dry glue", "mass of size / (ratio + 1): ratio 10 means 1 part in 11", "arithmetic";
    SIZE_GLUE_VOLUME = "dry glue by volume", "granules' volume = water's volume / ratio; mass = volume × poured density", "arithmetic on the stated poured density";
    SIZE_WATER = "water", "mass of size − dry glue; 0.998 g/ml at 20 °C", "water density: IAPWS-95, 998.207 kg/m³ at 20 °C";
    STRENGTH = "glue in the size", "1 / (ratio by weight + 1)", "arithmetic";
    RATIO_MEANS = "the ratio read the other way", "by weight = by volume / poured density of granules (water taken as 1 g/ml)", "arithmetic; a trade sheet's poured density";
    GLUE_POURED = "dry glue as it pours", "dry glue / poured density", "arithmetic; a trade sheet's poured density";
    AS_SET = "as set", "the field's value", "see the field";
    JARS = "jars", "⌈liquid size / (0.8 × jar)⌉", "our choice: filled to four fifths";
    BOARDS = "boards to buy", "least price, then fewest boards, then the longest offcut; lower bound from the cutting engine", "cutting plan";
    DIARY = "day of a step", "the day before it plus how long that takes", "calendar";
    TOTAL = "total", "sum over all canvases of count × each", "arithmetic";
    COST = "cost", "sum of prices", "arithmetic";
}
