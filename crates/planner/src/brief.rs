//! The typed, checked job: what can be understood of a [`Draft`].

use alloc::format;
use alloc::string::{String, ToString};
use alloc::vec::Vec;
use quantity::order::sort;

use quantity::physics::{
    Angle, ArealMass, Density, Force, Frequency, LineLoad, Pressure, Ratio, Temperature, Volume,
};
use quantity::{Length, Money};

use crate::already_cut::{self, CutBoard, CutPart};
use crate::backward::{self, Like};
use crate::diary::{self, Day, Weekdays};
use crate::draft::{Draft, Record, is_blank};
use crate::fault::{Fault, FaultKind};
use crate::fields::{Field, FieldRef, Kind, Table, canvas_sides};
use crate::figure::{Given, Origin};
use crate::find_size::typed::whole_size;
use crate::parse::{self, Unread};
use crate::show::Show;
use crate::species::Species;

macro_rules! choices {
    ($($(#[$doc:meta])* $name:ident { $($(#[$vdoc:meta])* $variant:ident = $key:literal),+ $(,)? })+) => {$(
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq)]
        pub enum $name { $($(#[$vdoc])* $variant),+ }
        impl Choice for $name {
            const ALL: &'static [(&'static str, Self)] = &[$(($key, Self::$variant)),+];
        }
    )+};
}

/// A choice's keys in files and links.
pub trait Choice: Copy + 'static {
    /// Key and value.
    const ALL: &'static [(&'static str, Self)];
}

choices! {
    /// How the corners are joined.
    Corner {
        /// Glued and pinned mitre.
        Mitre = "mitre",
        /// Mitred half-lap.
        MitreLap = "mitre_lap",
        /// Square half-lap.
        SquareLap = "square_lap",
    }
    /// Whether keys can open the corners.
    Fixing {
        /// Fixed corners: a strainer.
        Fixed = "fixed",
        /// Keyed corners: a stretcher.
        Keyed = "keyed",
    }
    /// What the typed size means.
    SizeMeans {
        /// The wooden frame's outside.
        Outer = "outer",
        /// The finished canvas with bead and cloth.
        Finished = "finished",
    }
    /// What holds the cloth off the bars.
    Bead {
        /// A quarter-round bead on the front edge.
        QuarterRound = "quarter_round",
        /// A bevelled batten.
        Bevel = "bevel",
        /// Nothing.
        Nothing = "none",
    }
    /// Corner braces.
    Braces {
        /// As computed.
        Auto = "auto",
        /// At every corner.
        Yes = "yes",
        /// None.
        No = "no",
    }
    /// Who decides on cross bars and braces.
    BracingBy {
        /// The statics of the frame.
        Computed = "computed",
        /// The rule of thumb.
        Rule = "rule",
    }
    /// Strength class of the batten.
    Grade {
        /// Not known: by the kind of wood.
        BySpecies = "by_wood",
        /// EN 338 C14.
        C14 = "c14",
        /// EN 338 C16.
        C16 = "c16",
        /// EN 338 C18.
        C18 = "c18",
        /// EN 338 C24.
        C24 = "c24",
    }
    /// Which stiffness of its kind the batten is taken to have.
    Stiffness {
        /// The mean.
        Mean = "mean",
        /// The 5th percentile.
        Lower = "lower",
    }
    /// How corners are taken.
    CornerReading {
        /// As hinges.
        Hinged = "hinged",
        /// As rigid.
        Rigid = "rigid",
    }
    /// Where the canvas hangs, for creep.
    HangsIn {
        /// A heated room.
        Heated = "heated",
        /// Under cover without heating.
        Covered = "covered",
    }
    /// Whether the pull of drying size is a case that bracing has to stand.
    Tightening {
        /// It is.
        Counts = "counts",
        /// It is not.
        LeftOut = "left_out",
    }
    /// How tight the cloth is, where no pull is typed.
    PullLevel {
        /// 200 N/m.
        Usual = "usual",
        /// 100 N/m.
        Slack = "slack",
        /// 300 N/m.
        Taut = "taut",
        /// 400 N/m.
        VeryTaut = "very_taut",
    }
    /// How far a housing reaches.
    Housing {
        /// To the outer edge.
        Through = "through",
        /// Short of it.
        Stopped = "stopped",
    }
    /// Yes or no.
    YesNo {
        /// Yes.
        Yes = "yes",
        /// No.
        No = "no",
    }
    /// Which way a heel screw runs.
    ScrewWay {
        /// Square to the bar's outer edge.
        SquareToEdge = "square_to_edge",
        /// Square to the mitre.
        SquareToMitre = "square_to_mitre",
    }
    /// Which way the warp must run.
    Weave {
        /// Either way.
        Free = "free",
        /// Up the canvas.
        Height = "height",
        /// Across the canvas.
        Width = "width",
    }
    /// The length that one cloth price buys.
    PricePer {
        /// A metre.
        Metre = "metre",
        /// A yard, 0.9144 m.
        Yard = "yard",
    }
    /// How the parts of the glue are measured.
    RatioBy {
        /// On the scales.
        Weight = "weight",
        /// In the jug.
        Volume = "volume",
    }
    /// Which end of the diary is fixed.
    PlanFrom {
        /// The first day.
        Start = "start",
        /// The day it is needed.
        Needed = "needed",
    }
    /// How the growth rings lie in the batten.
    Grain {
        /// Not sorted.
        Mixed = "mixed",
        /// Flat-sawn: along the face.
        Flat = "flat",
        /// Quarter-sawn: standing on the face.
        Quarter = "quarter",
    }
    /// What is on the cloth when it is tapped.
    TapCoats {
        /// Nothing.
        Bare = "bare",
        /// Size.
        Sized = "sized",
        /// Size and ground.
        Primed = "primed",
    }
    /// What the cloth is sized with.
    SizeKind {
        /// Animal glue.
        Glue = "glue",
        /// Acrylic size.
        Acrylic = "acrylic",
        /// PVA size.
        Pva = "pva",
    }
    /// The ground.
    Ground {
        /// Acrylic primer.
        Acrylic = "acrylic",
        /// Oil ground.
        Oil = "oil",
        /// Chalk and glue.
        Chalk = "chalk",
        /// None.
        Nothing = "none",
    }
    /// What a canvas hangs by.
    HangBy {
        /// A wire over one hook.
        Wire = "wire",
        /// Two rings on two hooks.
        Rings = "rings",
    }
    /// What a board is a length of.
    BoardOf {
        /// Batten for bars, cross bars and braces.
        Bars = "bars",
        /// Bead moulding.
        Bead = "bead",
    }
}

/// One canvas, or several alike.
#[derive(Clone, Debug, PartialEq)]
pub struct Canvas {
    /// Its row in the draft.
    pub row: usize,
    /// Its name; the size where none was typed.
    pub name: String,
    /// Typed width.
    pub width: Given<Length>,
    /// Typed height.
    pub height: Given<Length>,
    /// How many.
    pub count: Given<u32>,
    /// Upright cross bars, where the maker says.
    pub upright_bars: Option<Given<u32>>,
    /// Level cross bars, where the maker says.
    pub level_bars: Option<Given<u32>>,
    /// Braces for this canvas.
    pub braces: Given<Braces>,
}

/// A batten that may be had instead.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OtherBatten {
    /// Its width, in the plane of the canvas.
    pub face: Length,
    /// Its thickness, front to back.
    pub depth: Length,
    /// Price of a metre, if typed.
    pub price: Option<Money>,
}

/// A row of the rack that is a length of another section than the batten in hand: no part of the
/// plan, but of the comparison of battens.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct OtherBoard {
    /// Its row.
    pub row: usize,
    /// Face and depth.
    pub section: [Length; 2],
}

/// A length on the rack.
#[derive(Clone, Debug, PartialEq)]
pub struct Stock {
    /// Its row in the draft.
    pub row: usize,
    /// What it is a length of.
    pub of: BoardOf,
    /// As it lies on the rack.
    pub length: Length,
    /// Price, if typed.
    pub price: Option<Money>,
    /// How many there are.
    pub limit: Option<u32>,
    /// Stretches that can't be used, from the left end.
    pub bad: Vec<(Length, Length)>,
}

/// A roll of cloth.
#[derive(Clone, Debug, PartialEq)]
pub struct Roll {
    /// Its row in the draft.
    pub row: usize,
    /// Selvedge to selvedge.
    pub width: Length,
    /// Price of a metre or yard, if typed.
    pub price: Option<Money>,
    /// What is left on it.
    pub available: Option<Length>,
}

/// Fields of rows that could not be understood. A row without its sizes is left out, else a
/// stand-in was used; either way a purchase made from the rest waits for them.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct UnreadRows {
    /// Of the canvases.
    pub canvases: Vec<FieldRef>,
    /// Of the rack, where it may be batten.
    pub bars: Vec<FieldRef>,
    /// Of the rack, where it may be bead.
    pub bead: Vec<FieldRef>,
    /// Of the rolls.
    pub rolls: Vec<FieldRef>,
}

impl UnreadRows {
    fn new(draft: &Draft, faults: &[Fault]) -> Self {
        let mut all = Self::default();
        for at in faults.iter().map(|f| f.at) {
            match at.table {
                // A name cut short changes no purchase.
                Table::Canvases if at.key != "name" => all.canvases.push(at),
                Table::Boards => {
                    let row = draft.boards.get(at.row).and_then(|row| row.get("of"));
                    let of = row.map_or("", |of| of.trim());
                    if at.key == "of" || of != "bead" {
                        all.bars.push(at);
                    }
                    if at.key == "of" || of == "bead" {
                        all.bead.push(at);
                    }
                }
                Table::Rolls => all.rolls.push(at),
                _ => {}
            }
        }
        all
    }

    /// Of the rack, where it may be a length of this.
    pub(crate) fn rack(&self, of: BoardOf) -> &[FieldRef] {
        match of {
            BoardOf::Bars => &self.bars,
            BoardOf::Bead => &self.bead,
        }
    }
}

/// The whole job.
#[derive(Clone, Debug, PartialEq)]
#[expect(
    missing_docs,
    reason = "each field is documented by its entry in the field table"
)]
pub struct Brief {
    pub name: String,
    pub show: Show,
    pub currency: String,
    pub canvases: Vec<Canvas>,
    /// What could not be understood of the canvases, the rack and the rolls.
    pub unread: UnreadRows,
    pub boards: Vec<Stock>,
    /// Rows of the rack of other sections.
    pub other_boards: Vec<OtherBoard>,
    pub rolls: Vec<Roll>,
    pub cut: Vec<CutBoard>,
    /// Whether the rack is the usual one because none was typed.
    pub usual_rack: bool,
    /// Whether the rolls are the usual ones because none was typed.
    pub usual_rolls: bool,
    pub bar_face: Given<Length>,
    pub bar_depth: Given<Length>,
    pub treated: Given<YesNo>,
    pub corner: Given<Corner>,
    pub fixing: Given<Fixing>,
    pub size_means: Given<SizeMeans>,
    pub cloth_thickness: Given<Length>,
    pub bead: Given<Bead>,
    pub bead_size: Given<Length>,
    pub bead_overhang: Given<Length>,
    pub heel_allowance: Given<Length>,
    pub plain_limit: Given<Length>,
    pub bracing_by: Given<BracingBy>,
    pub grade: Given<Grade>,
    pub modulus: Option<Given<Pressure>>,
    pub stiffness: Given<Stiffness>,
    pub corner_reading: Given<CornerReading>,
    /// Newton metres for a radian.
    pub corner_spring: Option<Given<f64>>,
    pub hangs_in: Given<HangsIn>,
    pub size_counts: Given<Tightening>,
    /// Length over bow in the plane.
    pub bow_limit: Given<f64>,
    /// Length over bow out of the plane.
    pub flat_limit: Given<f64>,
    pub twist_limit: Given<Angle>,
    pub buckling_safety: Given<f64>,
    pub racking_force: Given<Force>,
    /// Face and depth of each.
    pub other_sections: Given<Vec<OtherBatten>>,
    pub braces: Given<Braces>,
    pub brace_leg: Given<Length>,
    pub housing: Given<Housing>,
    pub stop_short: Given<Length>,
    pub kerf: Given<Length>,
    pub trim: Given<Length>,
    pub longest: Option<Given<Length>>,
    pub keep_offcut: Given<Length>,
    pub screws: Given<YesNo>,
    pub screw_way: Given<ScrewWay>,
    pub screw_length: Given<Length>,
    pub screw_diameter: Given<Length>,
    pub pin_length: Given<Length>,
    pub pin_diameter: Given<Length>,
    /// Grams per square metre of glued face.
    pub wood_glue_spread: Given<ArealMass>,
    pub turnover: Given<Length>,
    pub grip: Given<Length>,
    pub weave: Given<Weave>,
    pub prewash: Given<YesNo>,
    pub shrink_warp: Given<Ratio>,
    pub shrink_weft: Given<Ratio>,
    pub cloth_mass: Given<ArealMass>,
    pub cloth_gap: Given<Length>,
    pub selvedge: Given<Length>,
    pub cloth_step: Given<Length>,
    pub cloth_price_per: Given<PricePer>,
    pub staple_spacing: Given<Length>,
    pub corner_clearance: Given<Length>,
    pub corner_staples: Given<u32>,
    pub staple_spare: Given<Ratio>,
    pub staples_a_box: Given<u32>,
    pub staple_leg: Given<Length>,
    /// Parts of water to one of dry glue.
    pub ratio: Given<f64>,
    pub ratio_by: Given<RatioBy>,
    pub glue_bulk: Given<Density>,
    pub size_coats: Given<u32>,
    /// Millilitres per square metre and coat.
    pub size_spread: Given<f64>,
    pub size_waste: Given<Ratio>,
    pub jar: Given<Volume>,
    /// Hours.
    pub soak: Given<f64>,
    /// Minutes.
    pub warm: Given<f64>,
    pub species: Given<&'static Species>,
    pub grain: Given<Grain>,
    pub meter: Option<Given<Ratio>>,
    pub yard_temperature: Given<Temperature>,
    pub yard_humidity: Given<Ratio>,
    pub studio_temperature: Given<Temperature>,
    pub studio_humidity: Given<Ratio>,
    pub winter_humidity: Given<Ratio>,
    pub summer_humidity: Given<Ratio>,
    pub screw_price: Option<Given<Money>>,
    pub pin_price: Option<Given<Money>>,
    pub wood_glue_price: Option<Given<Money>>,
    pub staple_price: Option<Given<Money>>,
    pub tension: Given<LineLoad>,
    pub tap_canvas: Given<u32>,
    pub tap_coats: Given<TapCoats>,
    pub across_over_up: Given<f64>,
    pub tap: Option<Given<Frequency>>,
    /// Top left, top right, bottom left, bottom right.
    pub tap_quarters: [Option<Given<Frequency>>; 4],
    pub size_kind: Given<SizeKind>,
    /// Millilitres per square metre and coat.
    pub ready_spread: Given<f64>,
    pub jars_at_hand: Option<Given<u32>>,
    pub bath: Given<Temperature>,
    /// Days.
    pub fridge_life: Given<f64>,
    pub size_price: Option<Given<Money>>,
    pub ground: Given<Ground>,
    pub ground_coats: Given<u32>,
    /// Millilitres per square metre and coat.
    pub ground_spread: Given<f64>,
    /// Hours.
    pub ground_between: Given<f64>,
    pub chalk_parts: Given<f64>,
    pub ground_price: Option<Given<Money>>,
    pub hang_by: Given<HangBy>,
    pub safety: Given<f64>,
    pub ring_down: Given<Ratio>,
    pub wire_angle: Given<Angle>,
    pub wire_length: Option<Given<Length>>,
    pub wood_density: Option<Given<Density>>,
    pub paint_mass: Given<ArealMass>,
    pub tray: Given<YesNo>,
    pub tray_gap: Given<Length>,
    pub tray_wall: Given<Length>,
    pub tray_reveal: Given<Length>,
    pub tray_base: Given<Length>,
    pub plan_from: Given<PlanFrom>,
    pub day: Option<Given<Day>>,
    pub other_day: Option<Given<Day>>,
    pub work_days: Given<Weekdays>,
    pub from_rack: Option<Given<Like>>,
    pub bench: Option<Given<u32>>,
    pub cut_days: Given<u32>,
    pub stretch_days: Option<Given<u32>>,
    /// Staples a minute.
    pub staple_pace: Given<f64>,
    /// Hours.
    pub work_hours: Given<f64>,
    /// Days.
    pub acclimatise: Given<f64>,
    /// Days.
    pub clamp: Given<f64>,
    /// Days.
    pub size_dry: Given<f64>,
    /// Days.
    pub prime_dry: Given<f64>,
}

/// Reads a draft: a Brief of what can be understood, and all faults at their fields in one pass.
///
/// A field that can't be read takes its usual value as a stand-in and marks every figure that
/// used it as waiting; a canvas without a readable size is left out. A row in which nothing is
/// typed counts as absent, but for the first of the canvases if there is no other.
#[must_use]
pub fn check(draft: &Draft) -> (Brief, Vec<Fault>) {
    let mut faults = Vec::new();
    let canvases = read_canvases(draft, &mut faults);
    let (boards, sections) = read_boards(draft, &mut faults);
    let rolls = read_rolls(draft, &mut faults);
    let cut = read_cut(draft, &mut faults);
    let unread = UnreadRows::new(draft, &faults);
    if draft.canvases.is_empty() {
        faults.push(Fault {
            at: FieldRef {
                table: Table::Canvases,
                row: 0,
                key: "width",
            },
            kind: FaultKind::Missing,
        });
    }
    let mut r = Reader::new(
        &draft.settings,
        Table::Settings,
        0,
        draft.show(),
        &mut faults,
    );
    let mut brief = Brief {
        name: r.text("name"),
        show: r.show,
        currency: r.text("currency"),
        canvases,
        unread,
        usual_rack: boards.is_none(),
        usual_rolls: rolls.is_none(),
        boards: boards.unwrap_or_else(usual_boards),
        rolls: rolls.unwrap_or_else(usual_rolls),
        cut,
        other_boards: sections,
        bar_face: r.length("bar_face"),
        bar_depth: r.length("bar_depth"),
        treated: r.choice("treated"),
        corner: r.choice("corner"),
        fixing: r.choice("fixing"),
        size_means: r.choice("size_means"),
        cloth_thickness: r.length("cloth_thickness"),
        bead: r.choice("bead"),
        bead_size: r.length("bead_size"),
        bead_overhang: r.length("bead_overhang"),
        heel_allowance: r.length("heel_allowance"),
        plain_limit: r.length("plain_limit"),
        bracing_by: r.choice("bracing_by"),
        grade: r.choice("grade"),
        modulus: r.measure_if("modulus", Pressure::from_mpa),
        stiffness: r.choice("stiffness"),
        corner_reading: r.choice("corner_reading"),
        corner_spring: r.measure_if("corner_spring", |x| x),
        hangs_in: r.choice("hangs_in"),
        size_counts: r.choice("size_counts"),
        bow_limit: r.measure("bow_limit"),
        flat_limit: r.measure("flat_limit"),
        twist_limit: r.measure_as("twist_limit", Angle::from_degrees),
        buckling_safety: r.measure("buckling_safety"),
        racking_force: r.measure_as("racking_force", Force::from_newtons),
        other_sections: r.battens("other_sections"),
        braces: r.choice("braces"),
        brace_leg: r.length("brace_leg"),
        housing: r.choice("housing"),
        stop_short: r.length("stop_short"),
        kerf: r.length("kerf"),
        trim: r.length("trim"),
        longest: r.length_if("longest"),
        keep_offcut: r.length("keep_offcut"),
        screws: r.choice("screws"),
        screw_way: r.choice("screw_way"),
        screw_length: r.length("screw_length"),
        screw_diameter: r.length("screw_diameter"),
        pin_length: r.length("pin_length"),
        pin_diameter: r.length("pin_diameter"),
        wood_glue_spread: r.measure_as("wood_glue_spread", ArealMass::from_g_per_m2),
        turnover: r.length("turnover"),
        grip: r.length("grip"),
        weave: r.choice("weave"),
        prewash: r.choice("prewash"),
        shrink_warp: r.measure_as("shrink_warp", Ratio::from_percent),
        shrink_weft: r.measure_as("shrink_weft", Ratio::from_percent),
        cloth_mass: r.measure_as("cloth_mass", ArealMass::from_g_per_m2),
        cloth_gap: r.length("cloth_gap"),
        selvedge: r.length("selvedge"),
        cloth_step: r.length("cloth_step"),
        cloth_price_per: r.choice("cloth_price_per"),
        staple_spacing: r.length("staple_spacing"),
        corner_clearance: r.length("corner_clearance"),
        corner_staples: r.count("corner_staples"),
        staple_spare: r.measure_as("staple_spare", Ratio::from_percent),
        staples_a_box: r.count("staples_a_box"),
        staple_leg: r.length("staple_leg"),
        ratio: r.measure("ratio"),
        ratio_by: r.choice("ratio_by"),
        glue_bulk: r.measure_as("glue_bulk", Density::from_g_per_ml),
        size_coats: r.count("size_coats"),
        size_spread: r.measure("size_spread"),
        size_waste: r.measure_as("size_waste", Ratio::from_percent),
        jar: r.measure_as("jar", Volume::from_ml),
        soak: r.measure("soak"),
        warm: r.measure("warm"),
        species: r.choice("species"),
        grain: r.choice("grain"),
        meter: r.measure_if("meter", Ratio::from_percent),
        yard_temperature: r.measure_as("yard_temperature", Temperature::from_celsius),
        yard_humidity: r.measure_as("yard_humidity", Ratio::from_percent),
        studio_temperature: r.measure_as("studio_temperature", Temperature::from_celsius),
        studio_humidity: r.measure_as("studio_humidity", Ratio::from_percent),
        winter_humidity: r.measure_as("winter_humidity", Ratio::from_percent),
        summer_humidity: r.measure_as("summer_humidity", Ratio::from_percent),
        screw_price: r.money_if("screw_price"),
        pin_price: r.money_if("pin_price"),
        wood_glue_price: r.money_if("wood_glue_price"),
        staple_price: r.money_if("staple_price"),
        tension: r.pull("tension", "pull_level"),
        tap_canvas: r.count("tap_canvas"),
        tap_coats: r.choice("tap_coats"),
        across_over_up: r.measure("across_over_up"),
        tap: r.measure_if("tap", Frequency::from_hz),
        tap_quarters: ["tap_1", "tap_2", "tap_3", "tap_4"]
            .map(|key| r.measure_if(key, Frequency::from_hz)),
        size_kind: r.choice("size_kind"),
        ready_spread: r.measure("ready_spread"),
        jars_at_hand: r.count_if("jars_at_hand"),
        bath: r.measure_as("bath", Temperature::from_celsius),
        fridge_life: r.measure("fridge_life"),
        size_price: r.money_if("size_price"),
        ground: r.choice("ground"),
        ground_coats: r.count("ground_coats"),
        ground_spread: r.measure("ground_spread"),
        ground_between: r.measure_or("ground_between", |ground| match ground {
            Ground::Oil => 24.0,
            Ground::Chalk => 0.5,
            Ground::Acrylic | Ground::Nothing => 4.0,
        }),
        chalk_parts: r.measure("chalk_parts"),
        ground_price: r.money_if("ground_price"),
        hang_by: r.choice("hang_by"),
        safety: r.measure("safety"),
        ring_down: r.measure_as("ring_down", Ratio::from_percent),
        wire_angle: r.measure_as("wire_angle", Angle::from_degrees),
        wire_length: r.length_if("wire_length"),
        wood_density: r.measure_if("wood_density", Density::from_g_per_ml),
        paint_mass: r.measure_as("paint_mass", ArealMass::from_g_per_m2),
        tray: r.choice("tray"),
        tray_gap: r.length("tray_gap"),
        tray_wall: r.length("tray_wall"),
        tray_reveal: r.length("tray_reveal"),
        tray_base: r.length("tray_base"),
        plan_from: r.choice("plan_from"),
        day: r.day("day"),
        other_day: r.day("other_day"),
        work_days: r.weekdays("work_days"),
        from_rack: r.like("from_rack"),
        bench: r.count_if("bench"),
        cut_days: r.count("cut_days"),
        stretch_days: r.count_if("stretch_days"),
        staple_pace: r.measure("staple_pace"),
        work_hours: r.measure("work_hours"),
        acclimatise: r.measure("acclimatise"),
        clamp: r.measure("clamp"),
        size_dry: r.measure("size_dry"),
        prime_dry: r.measure_or("prime_dry", |ground| match ground {
            Ground::Oil => 7.0,
            Ground::Chalk => 1.0,
            Ground::Acrylic | Ground::Nothing => 2.0,
        }),
    };
    let in_hand = [brief.bar_face.value, brief.bar_depth.value];
    brief.other_boards.retain(|b| b.section != in_hand);
    let other = &brief.other_boards;
    (brief.boards).retain(|b| other.iter().all(|o| o.row != b.row));
    (brief, faults)
}

fn read_canvases(draft: &Draft, faults: &mut Vec<Fault>) -> Vec<Canvas> {
    let show = draft.show();
    let mut canvases = Vec::new();
    let nothing = draft.canvases.iter().all(is_blank);
    for (row, record) in draft.canvases.iter().enumerate() {
        if is_blank(record) && !(nothing && row == 0) {
            continue;
        }
        let mut r = Reader::new(record, Table::Canvases, row, show, faults);
        let (width, height) = r.two_sides();
        let (count, braces) = (r.count("count"), r.choice("braces"));
        let (upright_bars, level_bars) = (r.count_if("upright_bars"), r.count_if("level_bars"));
        let name = r.text("name");
        if let (Some(width), Some(height)) = (width, height) {
            let name = if name.is_empty() {
                format!(
                    "{} × {}",
                    show.bare_length(width.value, quantity::Rounding::Nearest),
                    show.length(height.value)
                )
            } else {
                name
            };
            canvases.push(Canvas {
                row,
                name,
                width,
                height,
                count,
                upright_bars,
                level_bars,
                braces,
            });
        }
    }
    canvases
}

/// The rack, none where none was typed, and the rows that name a section; rows that can't be read
/// are left out and said.
fn read_boards(draft: &Draft, faults: &mut Vec<Fault>) -> (Option<Vec<Stock>>, Vec<OtherBoard>) {
    let (mut boards, mut sections) = (Vec::new(), Vec::new());
    if draft.boards.iter().all(is_blank) {
        return (None, sections);
    }
    let show = draft.show();
    for (row, record) in draft.boards.iter().enumerate() {
        if is_blank(record) {
            continue;
        }
        let mut r = Reader::new(record, Table::Boards, row, show, faults);
        let (of, length, price) = (
            r.choice("of"),
            r.length_needed("length"),
            r.money_if("price").map(|p| p.value),
        );
        let (limit, bad) = (r.count_if("limit"), r.stretches("bad"));
        let section = r.section("section", of.value);
        if let Some(length) = length {
            sections.extend(section.map(|section| OtherBoard { row, section }));
            boards.push(Stock {
                row,
                of: of.value,
                length: length.value,
                price,
                // Bad stretches are those of one board, and an offcut at home is one.
                limit: limit
                    .map(|l| l.value)
                    .or((!bad.is_empty() || price == Some(Money::ZERO)).then_some(1)),
                bad,
            });
        }
    }
    (Some(boards), sections)
}

fn read_rolls(draft: &Draft, faults: &mut Vec<Fault>) -> Option<Vec<Roll>> {
    if draft.rolls.iter().all(is_blank) {
        return None;
    }
    let show = draft.show();
    let mut rolls = Vec::new();
    for (row, record) in draft.rolls.iter().enumerate() {
        if is_blank(record) {
            continue;
        }
        let mut r = Reader::new(record, Table::Rolls, row, show, faults);
        let (width, price, available) = (
            r.length_needed("width"),
            r.money_if("price"),
            r.length_if("available"),
        );
        if let Some(width) = width {
            rolls.push(Roll {
                row,
                width: width.value,
                price: price.map(|p| p.value),
                available: available.map(|a| a.value),
            });
        }
    }
    Some(rolls)
}

/// Boards that are cut; rows that can't be read are left out and said.
fn read_cut(draft: &Draft, faults: &mut Vec<Fault>) -> Vec<CutBoard> {
    let show = draft.show();
    let mut all = Vec::new();
    for (row, record) in draft.cut.iter().enumerate() {
        if is_blank(record) {
            continue;
        }
        let before = faults.len();
        let mut r = Reader::new(record, Table::Cut, row, show, faults);
        let (of, length, parts) = (
            r.choice("of"),
            r.length_needed("length"),
            r.pieces("pieces"),
        );
        let (count, price, bad) = (r.count("count"), r.money_if("price"), r.stretches("bad"));
        if let Some(length) = length.filter(|_| faults.len() == before) {
            all.push(CutBoard {
                row,
                of: of.value,
                length: length.value,
                count: count.value,
                parts,
                price: price.map(|p| p.value),
                bad,
            });
        }
    }
    all
}

/// Lengths of batten that a timber yard usually has, in millimetres (common practice, no source).
pub(crate) const USUAL_BATTENS: [i64; 6] = [1800, 2400, 3000, 3600, 4200, 4800];
/// Lengths of bead that a timber yard usually has, in millimetres (common practice, no source).
pub(crate) const USUAL_BEADS: [i64; 2] = [2400, 3000];

/// Lengths a timber yard usually has, without prices (common practice, no source: REFERENCE
/// lengths run in 0.3 or 0.6 m steps).
fn usual_boards() -> Vec<Stock> {
    let row = |of, mm| Stock {
        row: 0,
        of,
        length: Length::from_mm(mm),
        price: None,
        limit: None,
        bad: Vec::new(),
    };
    let mut all: Vec<Stock> = USUAL_BATTENS.map(|mm| row(BoardOf::Bars, mm)).into();
    all.extend(USUAL_BEADS.map(|mm| row(BoardOf::Bead, mm)));
    all
}

/// Usual roll widths (common practice, no source).
fn usual_rolls() -> Vec<Roll> {
    [1400, 1600, 2100]
        .map(|mm| Roll {
            row: 0,
            width: Length::from_mm(mm),
            price: None,
            available: None,
        })
        .into()
}

impl Brief {
    /// What the maker says of braces for the plan: none, by itself, where corners are keyed, which
    /// braces would hold shut.
    #[must_use]
    pub fn braces_of_all(&self) -> Braces {
        match self.braces.value {
            Braces::Auto if self.fixing.value == Fixing::Keyed => Braces::No,
            said => said,
        }
    }

    /// How many boards a row of the rack has, where that is known.
    #[must_use]
    pub fn limit(&self, row: usize) -> Option<u32> {
        let typed = self.boards.iter().filter(|_| !self.usual_rack);
        typed.into_iter().find(|s| s.row == row)?.limit
    }
}

/// Reads the fields of one record, noting faults.
pub(crate) struct Reader<'a> {
    record: &'a Record,
    table: Table,
    row: usize,
    show: Show,
    faults: &'a mut Vec<Fault>,
}

impl<'a> Reader<'a> {
    /// A reader of one record, shown with the page's units.
    pub(crate) fn new(
        record: &'a Record,
        table: Table,
        row: usize,
        show: Show,
        faults: &'a mut Vec<Fault>,
    ) -> Self {
        Self {
            record,
            table,
            row,
            show,
            faults,
        }
    }

    fn at(&self, key: &'static str) -> FieldRef {
        FieldRef {
            table: self.table,
            row: self.row,
            key,
        }
    }

    fn field(&self, key: &'static str) -> &'static Field {
        self.table
            .field(key)
            .expect("every key read here is in the field table; a test reads them all")
    }

    pub(crate) fn typed(&self, key: &str) -> Option<&str> {
        self.record
            .get(key)
            .map(|t| t.trim())
            .filter(|t| !t.is_empty())
    }

    pub(crate) fn fault(&mut self, key: &'static str, kind: FaultKind) {
        self.faults.push(Fault {
            at: self.at(key),
            kind,
        });
    }

    fn unread(&mut self, key: &'static str, given: &str, why: Unread) {
        let kind = match why {
            Unread::Empty => FaultKind::Missing,
            _ => FaultKind::Unreadable {
                given: given.to_string(),
                ambiguous: why == Unread::AmbiguousComma,
            },
        };
        self.fault(key, kind);
    }

    /// A typed value in range, a fault, or nothing typed.
    fn read<T: PartialOrd>(
        &mut self,
        key: &'static str,
        parse: impl Fn(&str) -> Result<T, Unread>,
        range: core::ops::RangeInclusive<T>,
    ) -> Read<T> {
        let Some(text) = self.typed(key).map(ToString::to_string) else {
            return Read::Untyped;
        };
        match parse(&text) {
            Ok(x) if range.contains(&x) => Read::Good(x),
            Ok(_) => {
                self.fault(key, FaultKind::OutOfRange { given: text });
                Read::Bad
            }
            Err(why) => {
                self.unread(key, &text, why);
                Read::Bad
            }
        }
    }

    fn given<T>(&self, key: &'static str, read: Read<T>, usual: T) -> Given<T> {
        let (value, origin) = match read {
            Read::Good(x) => (x, Origin::Chosen),
            Read::Untyped => (usual, Origin::Usual),
            Read::Bad => (usual, Origin::Waiting),
        };
        Given {
            value,
            origin,
            field: self.at(key),
        }
    }

    pub(crate) fn text(&mut self, key: &'static str) -> String {
        let (Kind::Text { most, usual } | Kind::Battens { most, usual }) = self.field(key).kind
        else {
            return String::new();
        };
        match self.typed(key).map(ToString::to_string) {
            Some(t) if t.chars().count() <= most => t,
            Some(t) => {
                let cut = t.chars().take(most).collect();
                self.fault(key, FaultKind::OutOfRange { given: t });
                cut
            }
            None => usual.to_string(),
        }
    }

    fn read_length(&mut self, key: &'static str) -> (Read<Length>, Option<Length>) {
        let Kind::Length { min, max, usual } = self.field(key).kind else {
            return (Read::Untyped, None);
        };
        let units = self.show.units;
        (
            self.read(key, |t| parse::length(t, units), min..=max),
            usual,
        )
    }

    pub(crate) fn length(&mut self, key: &'static str) -> Given<Length> {
        let (read, usual) = self.read_length(key);
        self.given(key, read, usual.unwrap_or_default())
    }

    /// A length that may be left empty.
    pub(crate) fn length_if(&mut self, key: &'static str) -> Option<Given<Length>> {
        match self.read_length(key).0 {
            Read::Good(x) => Some(self.given(key, Read::Good(x), x)),
            _ => None,
        }
    }

    /// A length that must be typed.
    pub(crate) fn length_needed(&mut self, key: &'static str) -> Option<Given<Length>> {
        match self.read_length(key).0 {
            Read::Good(x) => Some(self.given(key, Read::Good(x), x)),
            Read::Untyped => {
                self.fault(key, FaultKind::Missing);
                None
            }
            Read::Bad => None,
        }
    }

    /// Width and height, which must be typed: each by itself, or both in the field of the width.
    fn two_sides(&mut self) -> (Option<Given<Length>>, Option<Given<Length>>) {
        let typed = self.typed("width").map(ToString::to_string);
        let whole = (typed.as_ref()).and_then(|t| whole_size(t, None, self.show.units));
        let (Some(given), Some(whole)) = (typed, whole) else {
            return (self.length_needed("width"), self.length_needed("height"));
        };
        match whole {
            _ if self.typed("height").is_some() => self.fault(
                "width",
                FaultKind::Conflict {
                    what: format!(
                        "“{given}” is a width and a height in one, and there is a height beside it."
                    ),
                    remedy: "Empty the height, or write the width alone.".to_string(),
                },
            ),
            Err(why) => self.unread("width", &given, why),
            Ok(size) => {
                let in_range = |key, side| match self.field(key).kind {
                    Kind::Length { min, max, .. } => (min..=max).contains(&side),
                    _ => false,
                };
                if in_range("width", size.width) && in_range("height", size.height) {
                    return (
                        Some(self.given("width", Read::Good(size.width), Length::ZERO)),
                        Some(self.given("height", Read::Good(size.height), Length::ZERO)),
                    );
                }
                self.fault("width", FaultKind::OutOfRange { given });
            }
        }
        (None, None)
    }

    fn read_count(&mut self, key: &'static str) -> (Read<u32>, Option<u32>) {
        let Kind::Count { min, max, usual } = self.field(key).kind else {
            return (Read::Untyped, None);
        };
        (self.read(key, parse::count, min..=max), usual)
    }

    pub(crate) fn count(&mut self, key: &'static str) -> Given<u32> {
        let (read, usual) = self.read_count(key);
        self.given(key, read, usual.unwrap_or_default())
    }

    pub(crate) fn count_if(&mut self, key: &'static str) -> Option<Given<u32>> {
        match self.read_count(key).0 {
            Read::Good(x) => Some(self.given(key, Read::Good(x), x)),
            _ => None,
        }
    }

    fn read_measure(&mut self, key: &'static str) -> (Read<f64>, Option<f64>) {
        let Kind::Measure {
            dimension,
            min,
            max,
            usual,
        } = self.field(key).kind
        else {
            return (Read::Untyped, None);
        };
        let bare = crate::fault::shown_unit(dimension, self.show);
        let parse = |text: &str| {
            let (x, unit) = parse::number(text)?;
            let unit = if unit.is_empty() {
                bare.to_ascii_lowercase()
            } else {
                unit
            };
            let known = dimension
                .units
                .iter()
                .find(|(s, ..)| s.eq_ignore_ascii_case(&unit));
            known
                .map(|(_, factor, offset)| x * factor + offset)
                .ok_or(Unread::UnknownUnit)
        };
        (self.read(key, parse, min..=max), usual)
    }

    fn measure(&mut self, key: &'static str) -> Given<f64> {
        let (read, usual) = self.read_measure(key);
        self.given(key, read, usual.unwrap_or_default())
    }

    /// A measure whose usual value is that of the ground.
    fn measure_or(&mut self, key: &'static str, usual: impl Fn(Ground) -> f64) -> Given<f64> {
        let read = self.read_measure(key).0;
        // What is wrong with the ground is said where it is read itself.
        let mut unsaid = Vec::new();
        let mut other = Reader::new(self.record, self.table, self.row, self.show, &mut unsaid);
        let ground: Given<Ground> = other.choice("ground");
        self.given(key, read, usual(ground.value))
    }

    /// A measure that may be left empty.
    fn measure_if<T>(&mut self, key: &'static str, make: impl Fn(f64) -> T) -> Option<Given<T>> {
        match self.read_measure(key).0 {
            Read::Good(x) => Some(self.given(key, Read::Good(make(x)), make(x))),
            _ => None,
        }
    }

    fn measure_as<T>(&mut self, key: &'static str, make: impl Fn(f64) -> T) -> Given<T> {
        let Given {
            value,
            origin,
            field,
        } = self.measure(key);
        Given {
            value: make(value),
            origin,
            field,
        }
    }

    fn money_if(&mut self, key: &'static str) -> Option<Given<Money>> {
        let Kind::Money { max } = self.field(key).kind else {
            return None;
        };
        match self.read(key, parse::money, Money::ZERO..=max) {
            Read::Good(x) => Some(self.given(key, Read::Good(x), x)),
            _ => None,
        }
    }

    pub(crate) fn choice<T: Choice>(&mut self, key: &'static str) -> Given<T> {
        // The usual answer is the first of the field's own list.
        let first = match self.field(key).kind {
            Kind::Choice(answers) => answers[0].0,
            _ => "",
        };
        let of = |key: &str| T::ALL.iter().find(|(k, _)| *k == key).map(|(_, x)| *x);
        let usual = of(first).unwrap_or(T::ALL[0].1);
        let read = match self.typed(key).map(ToString::to_string) {
            None => Read::Untyped,
            Some(t) => match of(&t) {
                Some(x) => Read::Good(x),
                None => {
                    self.unread(key, &t, Unread::NoNumber);
                    Read::Bad
                }
            },
        };
        self.given(key, read, usual)
    }

    fn day(&mut self, key: &'static str) -> Option<Given<Day>> {
        let text = self.typed(key).map(ToString::to_string)?;
        match diary::read_day(&text) {
            Some(d) => Some(self.given(key, Read::Good(d), d)),
            None => {
                self.unread(key, &text, Unread::NoNumber);
                None
            }
        }
    }

    /// A proportion or a size within the range of a canvas.
    fn like(&mut self, key: &'static str) -> Option<Given<Like>> {
        let text = self.typed(key).map(ToString::to_string)?;
        let sides = canvas_sides();
        match backward::read(&text, self.show.units) {
            Some(Like::Size(size)) if !size.iter().all(|side| sides.contains(side)) => {
                self.fault(key, FaultKind::OutOfRange { given: text });
                None
            }
            Some(like) => Some(self.given(key, Read::Good(like), like)),
            None => {
                self.unread(key, &text, Unread::NoNumber);
                None
            }
        }
    }

    fn weekdays(&mut self, key: &'static str) -> Given<Weekdays> {
        let read = match self.typed(key).map(ToString::to_string) {
            None => Read::Untyped,
            Some(t) => match Weekdays::read(&t) {
                Some(days) => Read::Good(days),
                None => {
                    self.unread(key, &t, Unread::NoNumber);
                    Read::Bad
                }
            },
        };
        self.given(key, read, Weekdays::ALL)
    }

    /// The typed pull; else that of the chosen level.
    fn pull(&mut self, key: &'static str, level: &'static str) -> Given<LineLoad> {
        let typed = self.measure_as(key, LineLoad::from_n_per_m);
        let level: Given<PullLevel> = self.choice(level);
        if typed.origin != Origin::Usual || level.origin == Origin::Usual {
            return typed;
        }
        Given {
            value: LineLoad::from_n_per_m(match level.value {
                PullLevel::Slack => 100.0,
                PullLevel::Usual => 200.0,
                PullLevel::Taut => 300.0,
                PullLevel::VeryTaut => 400.0,
            }),
            origin: level.origin,
            field: level.field,
        }
    }

    /// Other battens at hand: `38 × 19, 2 1/2 x 3/4 in at 0.64/ft`.
    fn battens(&mut self, key: &'static str) -> Given<Vec<OtherBatten>> {
        let text = self.text(key);
        let units = self.show.units;
        let (mut all, mut origin) = (Vec::new(), Origin::Usual);
        if self.typed(key).is_some() {
            origin = Origin::Chosen;
        }
        // The same range as for the batten itself.
        let fits = |key: &'static str, side: Length| match self.field(key).kind {
            Kind::Length { min, max, .. } => (min..=max).contains(&side),
            _ => false,
        };
        let mut bad = Vec::new();
        for part in parse::battens(&text) {
            match parse::batten(part, units) {
                Ok(([face, depth], price))
                    if fits("bar_face", face) && fits("bar_depth", depth) =>
                {
                    all.push(OtherBatten { face, depth, price });
                }
                _ => bad.push(part),
            }
        }
        for part in bad {
            let given = part.to_string();
            let ambiguous = false;
            self.fault(key, FaultKind::Unreadable { given, ambiguous });
            origin = Origin::Waiting;
        }
        // A longer list would keep the page waiting.
        all.truncate(8);
        Given {
            value: all,
            origin,
            field: self.at(key),
        }
    }

    /// The section of a board of batten, `38 × 19 mm`; none where nothing is typed.
    fn section(&mut self, key: &'static str, of: BoardOf) -> Option<[Length; 2]> {
        let given = self.typed(key)?.to_string();
        if of == BoardOf::Bead {
            let what = "A bead has no section here.".to_string();
            let remedy = "Empty the section, or call it a board of batten.".to_string();
            self.fault(key, FaultKind::Conflict { what, remedy });
            return None;
        }
        let side = |key, side| match Table::Settings.field(key).map(|f| &f.kind) {
            Some(Kind::Length { min, max, .. }) => (*min..=*max).contains(&side),
            _ => false,
        };
        match parse::batten(&given, self.show.units) {
            Ok(([face, depth], None)) if side("bar_face", face) && side("bar_depth", depth) => {
                Some([face, depth])
            }
            Ok((_, None)) => {
                self.fault(key, FaultKind::OutOfRange { given });
                None
            }
            _ => {
                let ambiguous = false;
                self.fault(key, FaultKind::Unreadable { given, ambiguous });
                None
            }
        }
    }

    fn stretches(&mut self, key: &'static str) -> Vec<(Length, Length)> {
        let Some(text) = self.typed(key).map(ToString::to_string) else {
            return Vec::new();
        };
        let units = self.show.units;
        let mut all = Vec::new();
        for part in text
            .split([';', ','])
            .map(str::trim)
            .filter(|p| !p.is_empty())
        {
            let kind = match parse::stretch(part, units) {
                Ok((from, to)) if from < to => {
                    all.push((from, to));
                    continue;
                }
                Ok(_) => FaultKind::Conflict {
                    what: format!("“{part}” does not end behind where it begins."),
                    remedy: "Measure both from the left end, the smaller first.".to_string(),
                },
                Err(why) => FaultKind::Unreadable {
                    given: part.to_string(),
                    ambiguous: why == Unread::AmbiguousComma,
                },
            };
            self.fault(key, kind);
            return Vec::new();
        }
        sort(&mut all);
        all
    }

    /// Pieces of a board that is cut; at least one is needed.
    fn pieces(&mut self, key: &'static str) -> Vec<CutPart> {
        let text = self.typed(key).map(ToString::to_string).unwrap_or_default();
        match already_cut::read(&text, self.show.units) {
            Ok(parts) if parts.is_empty() => self.fault(key, FaultKind::Missing),
            Ok(parts) => return parts,
            Err(part) => self.unread(key, part, Unread::NoNumber),
        }
        Vec::new()
    }
}

enum Read<T> {
    Good(T),
    Untyped,
    Bad,
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::draft::Tree;

    fn brief(json: &str) -> (Brief, Vec<String>) {
        let tree: Tree = serde_json::from_str(json).unwrap();
        let (draft, _) = Draft::from_tree(&tree);
        let (brief, faults) = check(&draft);
        (brief, faults.iter().map(ToString::to_string).collect())
    }

    #[test]
    fn the_smallest_brief_works() {
        let (b, faults) = brief(r#"{"canvases":[{"width":"1000 mm","height":"800 mm"}]}"#);
        assert_eq!(faults, [""; 0]);
        assert_eq!(b.canvases[0].name, "1000 × 800 mm");
        assert_eq!(b.kerf.value, Length::from_mm(2));
        assert_eq!(b.kerf.origin, Origin::Usual);
    }

    #[test]
    fn every_fault_is_said_in_the_makers_words() {
        let (b, faults) = brief(
            r#"{"kerf":"wide","bar_face":"3 m","ratio":"1,500","corner":"dovetail","size_coats":"two","day":"soon",
                "canvases":[{"width":"1000"},{"width":"5","height":"800"}],
                "boards":[{"length":"2400","price":"-1","bad":"350-300"}]}"#,
        );
        assert_eq!(
            faults,
            [
                "canvases[0].height: Height is needed: a length from 100 mm to 6000 mm.",
                "canvases[1].width: “5” is out of range: a length from 100 mm to 6000 mm.",
                "boards[0].price: “-1” is out of range: an amount such as 7.65.",
                "boards[0].bad: “350-300” does not end behind where it begins. Measure both from the left end, the smaller first.",
                "bar_face: “3 m” is out of range: a length from 10 mm to 200 mm.",
                "corner: “dovetail” is not understood here: one of mitre, mitre_lap, square_lap.",
                "kerf: “wide” is not understood here: a length from 0.2 mm to 8 mm.",
                "ratio: “1,500” can be read two ways: write it without the comma, or with a point as the decimal sign.",
                "size_coats: “two” is not understood here: a whole number from 1 to 6.",
                "day: “soon” is not understood here: a day such as 2027-03-01.",
            ]
        );
        assert!(b.canvases.is_empty() && b.unread.canvases.len() == 2);
        assert!(b.kerf.is_waiting());
    }

    #[test]
    fn a_long_input_is_told_by_its_start() {
        let nines = "9".repeat(400);
        let (_, faults) = brief(&format!(
            r#"{{"canvases":[{{"width":"{nines}","height":"800"}}]}}"#
        ));
        assert_eq!(
            faults,
            [format!(
                "canvases[0].width: “{}…” is not understood here: a length from 100 mm to 6000 mm.",
                &nines[..40]
            )]
        );
    }

    #[test]
    fn measures_take_either_systems_units() {
        let (b, faults) = brief(
            r#"{"units":"imperial","cloth_mass":"12","glue_bulk":"0.7 kg/l","ratio":"10:1","soak":"30 min",
                "canvases":[{"width":"24","height":"36"}]}"#,
        );
        assert_eq!(faults, ["soak: “30 min” is out of range: from 1 to 48 h."]);
        // 12 oz/yd² = 407 g/m² (definitions)
        assert!((b.cloth_mass.value.to_g_per_m2() - 406.869).abs() < 0.001);
        assert_eq!(b.ratio.value, 10.0);
        assert_eq!(b.canvases[0].width.value, Length::INCH * 24);
    }
}
