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
    CROSS_BAR_RULE = "cross bars by rule", "none while the longer side is at most the limit; beyond it, each way: ⌈side / limit⌉ − 1, and at least one", "common practice, no source (29 in)";
    MAKER_SAYS = "as the maker says", "typed for this canvas or for the plan", "the maker";
    BRACES_RULE = "braces by rule", "four where there are cross bars and the corners have room for the legs", "common practice, no source";
    BRACING_COMPUTED = "cross bars and braces", "the least batten in cross bars and braces with which every check passes in the hardest case, fewest joints among equals; the best there is where none passes", "statics; the order of the search is our choice";
    CLOTH_PULL = "pull of the cloth", "force on each length of edge", "working range 100 to 400 N/m, weakly sourced: an input";
    CREEP = "creep", "k_def 0.6 in a heated room, 0.8 under cover: a lasting load bends the wood 1 + k_def times as far in time", "EN 1995-1-1, table 3.2 (read in public code)";
    LASTING_PULL = "lasting pull", "pull × (1 + creep)", "EN 1995-1-1 §2.2.3";
    ONE_SQUARE_METRE = "a square metre", "1 m²", "definition";
    FILM_STRESS = "stress of the size", "27 MPa × (80 % − driest relative humidity) / 60 %, within 0 and 1", "peak: Mecklenburg 1982; fall: published, order of magnitude; straight line from 80 %: our choice, contested";
    SIZE_RISE = "pull of the size", "stress of the film × its thickness, on a frame that does not give", "arithmetic; contested";
    PULL_WITH_RISE = "pull with dry size", "lasting pull + pull of the size (seasonal, so without creep)", "EN 1995-1-1 §2.2.3 with nothing quasi-permanent; our choice";
    OTHER_PULL = "another pull", "half or twice the pull", "our choice: about the working range";
    PULL_ARM = "arm of the pull", "bar depth / 2 + bead rise: the cloth pulls in front of the bar's middle", "geometry";
    DAMPEST_WOOD = "dampest wood", "equilibrium moisture at the studio's temperature in the dampest season", "Wood Handbook ch. 4";
    MODULUS_MEAN = "modulus, mean", "of the class or wood / (1 + 0.01 × (moisture − 12 %)), moisture within 8 and 18 %; a measured one as it is", "EN 338:2016 (public copies) or Wood Handbook Table 5-3a; moisture: EN 384:2016, from memory";
    MODULUS_LOWER = "modulus, lower", "5th percentile: of the class, or mean × (1 − 1.645 × 0.22); moisture as for the mean", "EN 338:2016 (public copies); spread of clear wood: Wood Handbook Table 5-6, from memory";
    SHEAR_MODULUS = "shear modulus", "modulus / 16", "EN 338's own table";
    BOW_FRAME = "bow in the plane", "plane frame under the pull, by the direct stiffness method; cross bars hinged at their ends, housings half as stiff over a face", "direct stiffness (Przemieniecki 1968, from memory)";
    TWIST = "twist of a bar", "pull × arm × bay² / (8 G J), J of bar and glued bead, + lean of what holds the bay's ends, 4 × bow out of the plane / length", "Saint-Venant torsion (Timoshenko and Goodier, from memory); quarter disc: Roark (from memory)";
    OUT_OF_PLANE = "bow out of the plane", "M L² / (8 E I) / (1 − N/N_E) for a member by itself, M = pull × width that it takes × arm; bars and cross bars share it, bowing as a sin(πx/W) + b sin(πy/H) + c sin(πx/W) sin(πy/H); laps lower I, a glued bead raises a bar's", "Ritz's method and the usual magnifier (Timoshenko and Gere, from memory)";
    CROSS_BAR_THRUST = "thrust in a cross bar", "plane frame under the pull", "direct stiffness (Przemieniecki 1968, from memory)";
    BUCKLING = "buckling load", "π² E I / L² / (1 + (I / I at a lap − 1) Σ (2/L) ∫ sin²(πx/L) dx over the laps)", "Euler; weak stretches by energy (Timoshenko and Gere, art. 2.9, from memory)";
    BUCKLING_CROSSED = "buckling load, crossed", "a column with a springy brace 48 E I / L³ × (1 − N/N_E) at its middle, over its laps' softening", "Timoshenko and Gere, art. 2.6, Winter 1958 (from memory)";
    FOLDING = "folding up", "how many times their thrusts bars and cross bars carry together, bowing as a sin(πx/W) + b sin(πy/H) + c sin(πx/W) sin(πy/H), lower modulus, laps", "Ritz's method (Timoshenko and Gere, art. 2.8, from memory)";
    FOLDS_AT = "pull that folds the frame up", "pull that counts × how many times it is carried", "arithmetic";
    RACKING = "racking", "force at a corner for 1 mm out of square, the opposite side held; corners as hinges or rigid, braces hinged", "direct stiffness (Przemieniecki 1968, from memory)";
    LIMIT_BOW = "most bow in the plane", "length / limit", "L/500: common practice, no source";
    LIMIT_FLAT = "most bow out of the plane", "length / limit", "L/200: EN 14081-1 for wood above C18, 10 mm in 2 m (from memory)";
    LIMIT_TWIST = "most twist", "as set", "3°: our choice, between the 2.3° and 4.6° of EN 14081-1 (from memory)";
    LIMIT_BUCKLING = "safety asked for", "as set", "our choice";
    LIMIT_RACKING = "racking force asked for", "as set", "our choice";
    LIMIT_USED = "share of the limit used", "found / limit, or asked / carried", "arithmetic";
    MARGIN = "margin", "1 − share of the limit used; where that is above 1, what is above", "arithmetic";
    MITRE_SLIP = "slip along a mitre", "|thrust in one bar − thrust in the other| / √2", "statics";
    HEEL_PULL = "pull at the heel", "2 × moment / (face × √2) − what presses the mitre together; it turns about its toe", "statics";
    LAP_PRISING = "prising of a lap", "thrust × arm / (face / 2): it turns about its shoulder", "statics";
    BRACE_SLIP = "slip of a brace", "thrust / √2: it meets the bar at 45°", "statics";
    SCREW_WITHDRAWAL = "screw, pulled out", "108.25 G² D L / 5 (× 0.75 in end grain)", "Wood Handbook ch. 8 (from memory); safety: our choice";
    SCREW_LATERAL = "screw, sideways", "23.30 D² × 2/3 (end grain) / 5", "Wood Handbook ch. 8 (from memory); safety: our choice";
    PIN_LATERAL = "pins, sideways", "2 × 50.04 D^1.5 × 2/3 (end grain) / 5", "Wood Handbook ch. 8 (from memory); safety: our choice";
    BATTEN_SAVED = "batten saved", "cross bars and braces here − there", "arithmetic";
    WOOD_COMPARED = "wood compared", "face × depth × length of all members, there / here", "arithmetic";
    BATTEN_COST = "cost of the batten", "length × price / length of the board that is cheapest by the metre, offcuts left out", "arithmetic";
    SECTION_COST = "cost compared", "batten there × its price a metre − cost of the batten here", "arithmetic";
    PAYS_UP_TO = "pays up to", "cost of the batten here / batten there, rounded down", "arithmetic";
    PROPORTION = "proportion", "longer side / shorter side", "geometry";
    LARGEST = "largest frame", "the longest side at which every check still passes, with corner braces or without, found by halving to 1 mm", "statics";
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
    SCREW_COUNT = "screws", "a heel: 1; a corner lap: 2; a cross-bar housing: 1; each end of a brace: 1; keyed corners and the housings of their frame: none", "common practice, no source";
    PINS = "panel pins", "2 for each mitred corner that is not keyed, one from each bar, a quarter of the depth off the middle so that they pass each other", "common practice, no source; the offset is our choice";
    PIN_SHORTEST = "shortest pin", "2/3 × bar face (way to the mitre) + 8 × pin diameter", "EN 1995-1-1 §8.3 point-side penetration (from memory)";
    PIN_LONGEST = "longest pin", "12 × bar depth / 4: a lean of 1 in 12 stays inside the wood", "our choice";
    GLUE_AREA = "glued area", "mitre: face × √2 × depth; corner lap: face × face (a half-lap adds its mitred shoulder); housing and crossing: face × face; brace: 2 × face × √2 × depth; keyed corners and the housings of their frame stay dry", "geometry";
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
    SIZE_VOLUME = "liquid size", "area × size for a coat × (cloth mass / 400 g/m², within 0.5 and 2, for the first coat + 1 for each further coat) × (1 + waste)", "stated spread; the first coat's share by cloth is our choice";
    SIZE_FOR_BOTH = "liquid size with the ground's", "for the coats + for the ground that is mixed from it", "arithmetic";
    SIZE_GLUE_WEIGHT = "dry glue", "mass of size / (ratio + 1): ratio 10 means 1 part in 11", "arithmetic";
    SIZE_GLUE_VOLUME = "dry glue by volume", "granules' volume = water's volume / ratio; mass = volume × poured density", "arithmetic on the stated poured density";
    SIZE_WATER = "water", "mass of size − dry glue; 0.998 g/ml at 20 °C", "water density: IAPWS-95, 998.207 kg/m³ at 20 °C";
    STRENGTH = "glue in the size", "1 / (ratio by weight + 1)", "arithmetic";
    RATIO_MEANS = "the ratio read the other way", "by weight = by volume / poured density of granules (water taken as 1 g/ml)", "arithmetic; a trade sheet's poured density";
    GLUE_POURED = "dry glue as it pours", "dry glue / poured density", "arithmetic; a trade sheet's poured density";
    AS_SET = "as set", "the field's value", "see the field";
    JARS = "jars", "⌈liquid size / (0.8 × jar)⌉", "our choice: filled to four fifths";
    BOARDS = "boards to buy", "least price, then fewest boards, then the longest offcut; lower bound from the cutting engine", "cutting plan";
    STRETCH_DAYS = "days of stretching", "days filled with canvas after canvas, staples (spares left out) / pace each; none split over two days unless it takes longer than one", "arithmetic; the rule is our choice";
    STAPLE_HOURS = "hours of stapling", "staples of the day's canvases, spares left out / pace", "arithmetic";
    BACKWARD_LARGEST = "largest canvas", "from the largest that bars alone would allow downward, one bracing after the other, the first at which every piece and the blank find room", "cutting plan";
    BACKWARD_COUNT = "canvases of this size", "the most for which every piece and every blank find room, by doubling and halving", "cutting plan";
    DIARY = "day of a step", "the day before it plus how long that takes", "calendar";
    TOTAL = "total", "sum over all canvases of count × each", "arithmetic";
    EMC = "moisture of wood in air", "1800/W × [KH/(1−KH) + (K₁KH + 2K₁K₂K²H²)/(1 + K₁KH + K₁K₂K²H²)] %; W = 349 + 1.29T + 0.0135T², K = 0.805 + 0.000736T − 0.00000273T², K₁ = 6.27 − 0.00938T − 0.000303T², K₂ = 1.91 + 0.0407T − 0.000293T²; T in °C, H relative humidity", "Wood Handbook (FPL-GTR-190) eq. 4-5; Simpson 1998, FPL-RN-0268";
    METER = "moisture by meter", "the meter's reading", "the maker";
    MOVEMENT = "movement of wood", "size × C × (M₂ − M₁) within 6 to 14 %; outside, size × (M₂ − M₁) / (1/C − 10 + M₁); nothing above fibre saturation", "Wood Handbook (FPL-GTR-190) §13 and Table 13-5 (public copy)";
    MITRE_GAP = "mitre opens", "−(change of the face) × √2: at the inside when positive, at the outside when negative", "geometry";
    HOUSING_PLAY = "play of a housing", "−(change of the face): the housing runs along the grain and keeps its width; negative binds", "geometry";
    WOOD_DENSITY = "density of wood", "1000 kg/m³ × specific gravity × (1 + moisture)", "definition in the Wood Handbook (from memory); the wood's row";
    WOOD_VOLUME = "wood in a frame", "Σ mean length × face × depth − (laps, each counted once) × depth", "geometry";
    WOOD_MASS = "mass of wood", "volume × density", "arithmetic";
    BEAD_MASS = "mass of bead", "π/4 × bead² × (around − 4 × bead) × density", "geometry";
    COATS_MASS = "mass of size, ground and paint", "front and edges × (dry size + dry ground + paint)", "arithmetic";
    CANVAS_MASS = "mass of a canvas", "wood + bead + cloth + coats + 3 % of the wood for glue, screws, pins and staples", "arithmetic; 3 % is our choice";
    WEIGHT = "weight", "mass × 9.80665 m/s²", "CGPM 1901 (from memory)";
    RING_DOWN = "rings below the top", "outer height × share", "a quarter to a third: a published hanging guide";
    RING_IN = "rings from the edge", "half of the bar face", "our choice";
    RING_LOAD = "load on a ring", "weight / 2 × safety factor", "statics";
    RING_LOAD_WIRE = "load on a ring with wire", "pull in the wire × safety factor", "statics";
    HOOK_LOAD = "load on the wall", "weight × safety factor", "statics";
    WIRE_ANGLE = "angle of the wire", "arccos(from ring to ring / wire)", "geometry";
    WIRE_CUT = "wire to cut", "from ring to ring / cos θ + 2 × 150 mm wound round the rings", "geometry; 150 mm: common practice, no source";
    WIRE_TENSION = "pull in the wire", "W / (2 sin θ), θ from the level", "statics";
    WIRE_RATING = "wire's rating", "pull in the wire × safety factor", "statics";
    INWARD_PULL = "wire draws the sides in", "W / (2 tan θ)", "statics";
    HOOK_DOWN = "hook below the top", "rings below the top − half of the way between the rings × tan θ", "geometry";
    FRAMES_MASS = "wood of all frames", "Σ how many × wood of one frame", "arithmetic";
    STANDARD_SIDE = "standard size", "from the table of French numbers or of sizes in inches", "French numbers 0 to 60: a public copy of the table, 80 to 120 from memory; inches: common practice, no source";
    KNOWN_SIDE = "side as it is known", "as typed", "the maker";
    SIDE_BY_PROPORTION = "side by proportion", "known side × or ÷ the proportion (golden section: (1 + √5) / 2), or × the picture's other side ÷ its side", "geometry";
    INSIDE_TRAY = "canvas for a tray frame", "inside of the frame − 2 × gap", "geometry";
    EACH_ON_WALL = "each canvas on a wall", "(wall − 2 × bare end − (canvases − 1) × gap) / canvases", "geometry";
    PART_OF_ROW = "each canvas of a row", "(width over all − (canvases − 1) × gap) / canvases", "geometry";
    TRIPTYCH_CENTRE = "centre of a triptych", "(width over all − 2 × gap) / 2", "geometry; wings half as wide: common practice, no source";
    TRIPTYCH_WING = "wing of a triptych", "(width over all − 2 × gap) / 4", "geometry; wings half as wide: common practice, no source";
    SIDE_TO_TYPE = "side to type", "finished side − 2 × (bead overhang + cloth thickness), where a typed size means the wood", "geometry";
    TRAY_INSIDE = "tray frame inside", "finished side + 2 × gap", "geometry";
    TRAY_OUTSIDE = "tray frame outside", "inside + 2 × wall", "geometry";
    TRAY_DEPTH = "tray frame depth inside", "bar depth + bead rise + 2 × cloth + how far the wall stands forward", "geometry";
    TRAY_OUTSIDE_DEPTH = "tray frame depth outside", "inside depth + base", "geometry";
    TRAY_WOOD = "tray frame wall", "2 × (outside width + outside height)", "geometry";
    READY_FILM = "dry ready size", "size on the cloth × 0.2 g/ml", "common practice, no source";
    FILM = "dry glue on the cloth", "liquid size for the coats × 1 g/ml / (ratio + 1) / (1 + waste) / area", "arithmetic";
    FILM_THICKNESS = "thickness of dry glue", "dry glue on the cloth / 1.31 g/ml", "dry glue 1.27 to 1.35 g/ml (from memory)";
    TIGHTENING = "size tightens the cloth by at most", "27 MPa × thickness", "peak stress of hide glue held and dried, 3920 psi: Mecklenburg 1982";
    REHEATS = "size is warmed again", "times it is warmed − 1: for each coat, and on each day of a ground that is mixed from it", "arithmetic";
    KEPT_DAYS = "size is kept", "day of its last use in the diary − day of its first", "arithmetic";
    JARS_IN_USE = "jars in use", "⌈jars filled / batches⌉", "arithmetic";
    BATCHES = "batches of size", "⌈jars filled / jars at hand⌉", "arithmetic";
    EACH_JAR = "in each jar", "all of it / (jars × batches)", "arithmetic";
    GROUND_VOLUME = "liquid ground", "area × ground for a coat × coats × (1 + waste)", "stated spread";
    GROUND_DRY = "dry ground on the cloth", "ground for a coat × coats × dry mass in a ml (acrylic 0.74, oil 1.8 g: common practice, no source; chalk: chalk and glue, solid chalk 2.7 g/ml)", "arithmetic on the stated shares";
    CHALK_SIZE = "size for chalk ground", "liquid ground / (1 + parts / 2.7)", "solid chalk 2.7 g/ml (from memory)";
    CHALK = "chalk", "size × parts by weight, size taken as 1 g/ml", "1 part each by weight: a published recipe (1 oz glue : 20 oz water : 20 oz chalk)";
    CHALK_POURED = "chalk as it pours", "chalk / 0.9 g/ml", "common practice, no source";
    CHALK_BY_VOLUME = "chalk by volume", "parts by weight / 0.9 g/ml", "equal volumes are published; 0.9 g/ml: common practice, no source";
    TONE_SPAN = "cloth that swings", "with a bead or a bevel: the finished side; without: outer side − 2 × bar face", "geometry";
    TONE_CLOTH = "mass of the cloth that swings", "cloth + dry size + dry ground, as far as they are on", "arithmetic";
    TONE_AIR = "mass of the air that swings", "C × 1.204 kg/m³ × shorter side; C by the ratio of the sides: 1 → 0.538, 1.2 → 0.586, 1.25 → 0.596, 4/3 → 0.612, 1.5 → 0.640, 1.618 → 0.656, 2 → 0.699, 2.5 → 0.737, 3 → 0.762", "doublet lattice, computed for this project (±1 %), checked against Rossing 1982; air: ISA (from memory)";
    TONE = "note of the cloth", "½ √[(T_across/a² + T_up/b²) / (cloth + air)]", "membrane equation (Rayleigh 1877; Morse, from memory)";
    TONE_NO_AIR = "note were there no air", "½ √[(T_across/a² + T_up/b²) / cloth]", "membrane equation (Rayleigh 1877; Morse, from memory)";
    TONE_TENSION = "pull from the note", "T_up = 4 f² (cloth + air) / (r/a² + 1/b²), T_across = r T_up", "membrane equation (Rayleigh 1877; Morse, from memory)";
    TONE_TENSION_NO_AIR = "pull were there no air", "4 f² cloth / (r/a² + 1/b²) × r", "membrane equation (Rayleigh 1877; Morse, from memory)";
    TONE_TENSION_WALL = "pull were the canvas close in a wall", "as pull from the note, with the air of an infinite wall: C by the ratio of the sides 1 → 0.819, 1.25 → 0.913, 1.5 → 0.993, 2 → 1.124, 3 → 1.317", "doublet lattice, computed for this project (±1 %)";
    TONE_DOUBT = "doubt of the pull", "2 √[(2 × 2 %)² + (5 % × cloth/all)² + (15 % × air/all)²]", "propagation of independent errors; the shares are our choice";
    EVENNESS = "evenness of the stretch", "(largest f² − smallest f²) / mean f² of the four quarters", "T ∝ f² (membrane equation); tapping by quarters: common practice, no source";
    COST_LOT = "price by the lot", "count / lot × price, rounded up to the hundredth", "arithmetic";
    COST_AMOUNT = "price by amount", "amount × price, rounded up to the hundredth", "arithmetic";
    SHARE_WOOD = "share of the wood", "(price − what is left over) × board used by the row / by all rows; a piece uses its mean length (a profiled one its long edge) and one saw cut", "arithmetic; the rule is our choice";
    SHARE_CLOTH = "share of the cloth", "(price − what is left over) × area of the row's blanks / of all blanks", "arithmetic; the rule is our choice";
    SHARE_REST = "share of the rest", "each price × what the row uses / what all use: by count, mass or area", "arithmetic";
    SHARE_LEFT = "share of what is left over", "price of trim, bad stretches, offcuts and of cloth that becomes no blank, by their part of the length and area bought, shared as the wood and the cloth", "arithmetic; the rule is our choice";
    SHARE_AMOUNT = "amount for a row", "amount for all × area of the row's canvases / area of all", "arithmetic";
    SHARE_SUM = "share of the cost", "wood + cloth + the rest + left over; hundredths go to the largest remainders, the first among equals, so that shares add up exactly", "arithmetic";
    WASTE_SHARE = "share wasted", "Σ price × share wasted / Σ price, over boards, bead and cloth", "arithmetic";
    WASTE_COST = "money wasted", "Σ price × share wasted, over boards, bead and cloth", "arithmetic";
    COST = "cost", "sum of prices", "arithmetic";
}
