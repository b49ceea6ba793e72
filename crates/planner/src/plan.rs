//! The whole job sheet as data: every stage present, each figure with how it was reached.

use alloc::string::String;
use alloc::vec::Vec;
use quantity::order::{sort, sort_by};

use quantity::physics::{Area, Mass};
use quantity::{Length, Money};
use serde::Serialize;
use serde::ser::{SerializeStruct, Serializer};

use crate::advice::{Advice, Materials, advice};
use crate::already_cut;
use crate::bracing::{Basis, Bracing, basis, bracing};
use crate::brief::{Bead, BoardOf, Brief, Canvas, check};
use crate::cautions::{self, Caution};
use crate::cloth::{self, Blank, ClothPurchase};
use crate::costs::{Bought, Costs, costs};
use crate::diary::{Diary, diary};
use crate::draft::Draft;
use crate::fasteners::{Fasteners, fasteners};
use crate::fault::Fault;
use crate::fields::{FieldRef, Table};
use crate::figure::{Figure, Input, Origin};
use crate::formulas as f;
use crate::frame::{Ends, Frame, frame, sizes};
use crate::ground::{GroundPlan, ground};
use crate::hanging::{Coats, Hanging, Tray, hanging, too_short_a_wire, tray};
use crate::moisture::{Moisture, moisture};
use crate::searches::Searches;
use crate::show::Show;
use crate::size::{ReadySize, Size, ready_size, size};
use crate::staples::{self, Staples};
use crate::timber::{self, CutPiece, Purchase, letter};
use crate::tone::{Quarters, Tapped, Tone, quarters_of, tapped, tone};

/// How long the searches may take, in steps of the cutting engine: the same steps always give
/// the same plan.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Effort {
    /// For boards and bead, each.
    pub boards: u64,
    /// For cloth.
    pub cloth: u64,
}

impl Default for Effort {
    /// What a keystroke can bear: a class of twelve within 50 ms. A step for boards takes about
    /// 1 µs, one for cloth about 20 µs on a desk computer (measured); proven plans stop early.
    fn default() -> Self {
        Self {
            boards: 45_000,
            cloth: 1_000,
        }
    }
}

impl Effort {
    /// The usual effort in turn 0, and what a longer search takes in the turns after it, while
    /// the purchase is not proven: boards first, where a step finds more. The last turn takes some
    /// seconds for a large class.
    #[must_use]
    pub fn of_turn(turn: u32) -> Option<Self> {
        let (boards, cloth) = *[(1, 1), (16, 1), (64, 1), (64, 64)].get(turn as usize)?;
        let usual = Self::default();
        Some(Self {
            boards: usual.boards * boards,
            cloth: usual.cloth * cloth,
        })
    }
}

/// The job sheet.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Plan {
    /// What was asked: what is computed only on demand starts from it.
    #[serde(skip)]
    pub brief: Brief,
    /// Name of the plan.
    pub name: String,
    /// How figures are to be shown.
    #[serde(skip)]
    pub show: Show,
    /// Currency sign.
    pub currency: String,
    /// What stands in the way, at its field.
    #[serde(serialize_with = "faults")]
    pub faults: Vec<Fault>,
    /// Warnings.
    pub advice: Vec<Advice>,
    /// The cloth's pull and the batten's stiffness, on which the bracing rests.
    pub basis: Basis,
    /// Each canvas.
    pub canvases: Vec<CanvasPlan>,
    /// Pieces of batten to cut, over all canvases.
    pub cut_list: Vec<CutPiece>,
    /// Pieces of bead to cut.
    pub bead_list: Vec<CutPiece>,
    /// Boards to buy; none while something stands in the way.
    pub boards: Option<Purchase>,
    /// Bead to buy.
    pub bead: Option<Purchase>,
    /// Cloth to buy.
    pub cloth: Option<ClothPurchase>,
    /// What stands in the way where boards, bead or cloth are needed and can't be bought.
    #[serde(skip)]
    pub not_bought: NotBought,
    /// Totals over all canvases.
    pub totals: Option<Totals>,
    /// How much the wood will move.
    pub moisture: Moisture,
    /// Glue size; none where a ready size is used.
    pub size: Option<Size>,
    /// Ready size; none where animal glue is used.
    pub ready_size: Option<ReadySize>,
    /// The ground.
    pub ground: Option<GroundPlan>,
    /// What a tapped note says.
    pub tapped: Option<Tapped>,
    /// Four quarters compared by their notes.
    pub quarters: Option<Quarters>,
    /// What everything costs, for each canvas and in all.
    pub costs: Option<Costs>,
    /// Diary.
    pub diary: Diary,
    /// Cautions of every stage.
    pub cautions: &'static [Caution],
}

fn faults<S: Serializer>(all: &[Fault], s: S) -> Result<S::Ok, S::Error> {
    struct Said<'a>(&'a Fault);
    impl Serialize for Said<'_> {
        fn serialize<S: Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
            let mut st = s.serialize_struct("Fault", 2)?;
            st.serialize_field("field", &self.0.path())?;
            st.serialize_field("message", &self.0.message(Show::default()))?;
            st.end()
        }
    }
    s.collect_seq(all.iter().map(Said))
}

/// Everything about one canvas (or several alike).
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CanvasPlan {
    /// Row in the draft.
    pub row: usize,
    /// Its name.
    pub name: String,
    /// How many.
    pub count: u32,
    /// How it is braced.
    pub bracing: Bracing,
    /// The wood; none while something stands in the way.
    pub frame: Option<Frame>,
    /// Bead, long edges of the top and side pieces.
    pub bead: Option<[Figure<Length>; 2]>,
    /// Screws, pins and glue.
    pub fasteners: Option<Fasteners>,
    /// The cloth.
    pub blank: Option<Blank>,
    /// The staples.
    pub staples: Option<Staples>,
    /// Front and edges to be sized and primed.
    pub area: Option<Figure<Area>>,
    /// The note to expect.
    pub tone: Option<Tone>,
    /// Weight and fixings.
    pub hanging: Option<Hanging>,
    /// The tray frame, where one is wanted.
    pub tray: Option<Tray>,
}

/// Sums over all canvases.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Totals {
    /// Frames to build.
    pub frames: u64,
    /// Screws.
    pub screws: Figure<u64>,
    /// Panel pins.
    pub pins: Figure<u64>,
    /// Keys.
    pub keys: Option<Figure<u64>>,
    /// Wood glue.
    pub wood_glue: Figure<Mass>,
    /// Length of bead, all pieces together.
    pub bead_length: Figure<Length>,
    /// Staples with temporary ones and spares.
    pub staples: Figure<u64>,
    /// Boxes of staples.
    pub staple_boxes: Figure<u64>,
    /// Cloth that stays on the frames.
    pub cloth_mass: Figure<Mass>,
    /// Price of everything that has one; none if nothing has.
    pub cost: Option<Figure<Money>>,
}

/// Plans a job with the usual effort.
///
/// ```
/// use planner::{Draft, FieldRef, plan};
/// use quantity::Length;
/// let tree = serde_json::from_str(r#"{"canvases":[{"width":"1000 mm","height":"800 mm"}]}"#).unwrap();
/// let (draft, faults) = Draft::from_tree(&tree);
/// assert!(faults.is_empty());
/// let plan = plan(&draft);
/// let frame = plan.canvases[0].frame.as_ref().unwrap();
/// // √(1000² + 800²) = 1280.62 mm
/// assert!((frame.diagonal.value.to_mm() - 1280.62).abs() < 0.01);
/// ```
#[must_use]
pub fn plan(draft: &Draft) -> Plan {
    plan_with(draft, Effort::default())
}

/// Plans a job with a given effort of the cutting engine.
#[must_use]
pub fn plan_with(draft: &Draft, effort: Effort) -> Plan {
    plan_on(draft, effort, &mut Searches::default())
}

/// The same plan, which goes on with the searches of the plan before where it has the same pieces.
#[must_use]
pub fn plan_on(draft: &Draft, effort: Effort, searches: &mut Searches) -> Plan {
    let (brief, mut faults) = check(draft);
    let basis = basis(&brief);
    let mut canvases: Vec<CanvasPlan> = Vec::new();
    for c in &brief.canvases {
        let alike = brief.canvases[..canvases.len()]
            .iter()
            .position(|o| is_alike(o, c));
        let bracing = alike.map(|i| canvases[i].bracing.clone());
        canvases.push(canvas(&brief, &basis, c, bracing, &mut faults));
    }
    let cut_list = cut_list(&brief, &mut canvases);
    let bead_list = bead_list(&canvases);
    let rest = [(BoardOf::Bars, &cut_list), (BoardOf::Bead, &bead_list)]
        .map(|(of, list)| already_cut::rest(&brief, of, list, &mut faults));
    let waiting = waiting(&brief, &canvases, &faults);
    let rows: Vec<usize> = canvases.iter().map(|c| c.row).collect();

    let wrong_cut: Vec<FieldRef> = faults
        .iter()
        .map(|x| x.at)
        .filter(|at| at.table == Table::Cut)
        .collect();
    let mut not_bought = NotBought::default();
    let mut section = |of, list: &[CutPiece], rest| {
        if list.is_empty() {
            return None;
        }
        let unread = brief.unread.rack(of);
        let mut waiting = waiting.clone();
        waiting.extend(unread);
        waiting.extend(wrong_cut.iter().filter(|at| cut_of(draft, at.row) == of));
        timber::buy(
            &brief,
            of,
            list,
            rest,
            &waiting,
            &rows,
            (searches, effort.boards),
        )
        .map_err(|e| *not_bought.of(of) = stands_in_the_way(unread, e, &mut faults))
        .ok()
    };
    let boards = section(BoardOf::Bars, &cut_list, &rest[0]);
    let bead = section(BoardOf::Bead, &bead_list, &rest[1]);
    let wanted: Vec<cloth::Wanted<'_>> = brief
        .canvases
        .iter()
        .zip(&canvases)
        .enumerate()
        .filter_map(|(i, (c, p))| p.blank.as_ref().map(|b| cloth::wanted(c, i, b)))
        .collect();
    let cloth = if wanted.is_empty() {
        None
    } else {
        cloth::buy(&brief, &wanted, (searches, effort.cloth))
            .map_err(|e| {
                not_bought.cloth = stands_in_the_way(&brief.unread.rolls, e, &mut faults);
            })
            .ok()
    };
    let (diary, late) = diary(&brief, &canvases);
    faults.extend(late);
    let area = total_area(&canvases, &waiting);
    let ground = area.as_ref().and_then(|area| ground(&brief, area));
    let chalk = ground.as_ref().and_then(|g| g.chalk.as_ref());
    let size = area
        .clone()
        .and_then(|area| size(&brief, area, chalk.map(|c| &c.size), &diary));
    let ready_size = area.as_ref().and_then(|area| ready_size(&brief, area));
    let moisture = moisture(&brief);
    let coats = Coats {
        size: (size.as_ref().map(|s| s.film.clone()))
            .or_else(|| ready_size.as_ref().map(|s| s.film.clone())),
        ground: ground.as_ref().map(|g| g.dry.clone()),
    };
    for c in &mut canvases {
        finished(&brief, c, &coats, &moisture);
    }
    let mut totals = totals(&brief, &canvases, &waiting);
    let bought = Bought {
        canvases: &canvases,
        boards: boards.as_ref(),
        bead: bead.as_ref(),
        cloth: cloth.as_ref(),
        totals: totals.as_ref(),
        size: size.as_ref(),
        ready: ready_size.as_ref(),
        ground: ground.as_ref(),
        not_bought: &not_bought,
        faults: &faults,
    };
    let costs = costs(&brief, &bought);
    if let (Some(totals), Some(costs)) = (&mut totals, &costs) {
        totals.cost = Some(costs.total.clone());
    }
    faults.extend(too_short_a_wire(&brief, &canvases));
    let tapped = tapped(&brief, &canvases);
    let quarters = quarters_of(&brief);
    let advice = advice(
        &brief,
        &canvases,
        &Materials {
            size: size.as_ref(),
            ground: ground.as_ref(),
            moisture: &moisture,
            tapped: tapped.as_ref(),
            quarters: quarters.as_ref(),
        },
    );
    Plan {
        name: brief.name.clone(),
        show: brief.show,
        currency: brief.currency.clone(),
        faults,
        advice,
        cut_list,
        bead_list,
        boards,
        bead,
        cloth,
        not_bought,
        totals,
        moisture,
        size,
        ready_size,
        ground,
        tapped,
        quarters,
        costs,
        diary,
        canvases,
        basis,
        brief,
        cautions: cautions::ALL,
    }
}

/// What a board that is cut already is a length of.
fn cut_of(draft: &Draft, row: usize) -> BoardOf {
    let of = draft.cut.get(row).and_then(|record| record.get("of"));
    match of.map(String::as_str) {
        Some("bead") => BoardOf::Bead,
        _ => BoardOf::Bars,
    }
}

/// Fields that must be put right before a purchase can be made.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct NotBought {
    /// Of boards.
    pub boards: Vec<FieldRef>,
    /// Of bead.
    pub bead: Vec<FieldRef>,
    /// Of cloth.
    pub cloth: Vec<FieldRef>,
}

impl NotBought {
    fn of(&mut self, of: BoardOf) -> &mut Vec<FieldRef> {
        match of {
            BoardOf::Bars => &mut self.boards,
            BoardOf::Bead => &mut self.bead,
        }
    }
}

/// Where a purchase waits: at what could not be read of its rows, and at what is wrong with the
/// rest. A field that can't be read is said already.
fn stands_in_the_way(
    unread: &[FieldRef],
    wrong: Vec<Fault>,
    faults: &mut Vec<Fault>,
) -> Vec<FieldRef> {
    let mut all = unread.to_vec();
    for fault in wrong {
        if !all.contains(&fault.at) {
            all.push(fault.at);
            faults.push(fault);
        }
    }
    sort(&mut all);
    all
}

/// Whether two canvases are braced alike without asking again.
fn is_alike(a: &Canvas, b: &Canvas) -> bool {
    let said = |c: &Canvas| {
        let bars = [&c.upright_bars, &c.level_bars].map(|g| g.as_ref().map(|g| g.value));
        (c.width.value, c.height.value, bars, c.braces.value)
    };
    let origins = |c: &Canvas| {
        [
            c.width.origin.clone(),
            c.height.origin.clone(),
            c.braces.origin.clone(),
        ]
    };
    said(a) == said(b) && origins(a) == origins(b) && !origins(a).contains(&Origin::Waiting)
}

fn canvas(
    brief: &Brief,
    basis: &Basis,
    canvas: &Canvas,
    known: Option<Bracing>,
    faults: &mut Vec<Fault>,
) -> CanvasPlan {
    let sizes = sizes(brief, canvas);
    let bracing = known.unwrap_or_else(|| bracing(brief, basis, canvas));
    let mut plan = CanvasPlan {
        row: canvas.row,
        name: canvas.name.clone(),
        count: canvas.count.value,
        bracing,
        frame: None,
        bead: None,
        fasteners: None,
        blank: None,
        staples: None,
        area: None,
        tone: None,
        hanging: None,
        tray: None,
    };
    match frame(brief, canvas, sizes, &plan.bracing) {
        Err(conflicts) => faults.extend(conflicts),
        Ok(frame) => {
            plan.fasteners = Some(fasteners(brief, &frame));
            plan.blank = Some(cloth::blank(brief, &frame));
            plan.staples = Some(staples::staples(
                brief,
                &frame.outer_width,
                &frame.outer_height,
            ));
            plan.area = Some(cloth::front_and_edges(brief, &frame));
            plan.bead = (brief.bead.value == Bead::QuarterRound).then(|| {
                [&frame.outer_width, &frame.outer_height].map(|side| {
                    Figure::new(
                        side.value + brief.bead_overhang.value * 2,
                        &f::BEAD_PIECE,
                        alloc::vec![side.input("outer side"), brief.bead_overhang.input()],
                    )
                })
            });
            plan.frame = Some(frame);
        }
    }
    plan
}

/// What a canvas will weigh, sound like and hang by once the coats are known.
fn finished(brief: &Brief, c: &mut CanvasPlan, coats: &Coats, moisture: &Moisture) {
    if let (Some(frame), Some(blank), Some(area)) = (&c.frame, &c.blank, &c.area) {
        c.tone = Some(tone(brief, frame, coats));
        c.tray = tray(brief, frame);
        c.hanging = Some(hanging(
            brief,
            frame,
            &c.bracing,
            blank,
            area,
            coats,
            &moisture.studio,
        ));
    }
}

/// Collects equal pieces over all canvases, longest first, and letters them.
fn cut_list(brief: &Brief, canvases: &mut [CanvasPlan]) -> Vec<CutPiece> {
    let mut list: Vec<CutPiece> = Vec::new();
    for (i, c) in canvases.iter().enumerate() {
        for m in c.frame.iter().flat_map(|f| &f.members) {
            let goes = (i, String::from(m.part.name()));
            add(
                &mut list,
                m.as_sawn.value,
                m.ends,
                brief.bar_face.value,
                m.count * c.count,
                goes,
            );
        }
    }
    finish(&mut list, letter);
    for c in canvases {
        for m in c.frame.iter_mut().flat_map(|f| &mut f.members) {
            if let Some(p) = list
                .iter()
                .find(|p| p.length == m.as_sawn.value && p.ends == m.ends)
            {
                m.letter.clone_from(&p.letter);
            }
        }
    }
    list
}

fn bead_list(canvases: &[CanvasPlan]) -> Vec<CutPiece> {
    let mut list: Vec<CutPiece> = Vec::new();
    for (i, c) in canvases.iter().enumerate() {
        for (piece, name) in c
            .bead
            .iter()
            .flatten()
            .zip(["top and bottom bead", "side bead"])
        {
            add(
                &mut list,
                piece.value,
                Ends::Mitred,
                Length::ZERO,
                2 * c.count,
                (i, String::from(name)),
            );
        }
    }
    // Small letters, so that no piece of bead is taken for one of batten.
    finish(&mut list, |i| letter(i).to_ascii_lowercase());
    list
}

fn add(
    list: &mut Vec<CutPiece>,
    length: Length,
    ends: Ends,
    face: Length,
    count: u32,
    goes: (usize, String),
) {
    match list
        .iter_mut()
        .find(|p| p.length == length && p.ends == ends)
    {
        Some(p) => {
            p.count += count;
            p.goes_to.push(goes);
        }
        None => list.push(CutPiece {
            letter: String::new(),
            length,
            short_edge: (ends == Ends::Mitred && face > Length::ZERO).then(|| length - face * 2),
            ends,
            count,
            goes_to: alloc::vec![goes],
        }),
    }
}

fn finish(list: &mut [CutPiece], letter: fn(usize) -> String) {
    // Longest first; square ends before mitred ones of the same length.
    sort_by(list, |a, b| {
        a.length > b.length || (a.length == b.length && a.short_edge < b.short_edge)
    });
    for (i, p) in list.iter_mut().enumerate() {
        p.letter = letter(i);
    }
}

/// Every field that the totals wait for: what can't be read of the canvases and of the saw,
/// conflicts, and what each canvas itself waits for.
fn waiting(brief: &Brief, canvases: &[CanvasPlan], faults: &[Fault]) -> Vec<FieldRef> {
    let mut all = brief.unread.canvases.clone();
    let saw = ["kerf", "trim", "bar_face", "keep_offcut", "longest"];
    let counts = |x: &&Fault| match x.at.table {
        Table::Settings if saw.contains(&x.at.key) => true,
        // Of the rack, the rolls and what is cut already only what is bought waits.
        Table::Boards | Table::Rolls | Table::Cut => false,
        _ => matches!(x.kind, crate::fault::FaultKind::Conflict { .. }),
    };
    all.extend(faults.iter().filter(counts).map(|x| x.at));
    for c in canvases {
        for m in c.frame.iter().flat_map(|f| &f.members) {
            all.extend(m.as_sawn.how.waiting());
        }
    }
    sort(&mut all);
    all.dedup();
    all
}

fn counted<T: Clone>(
    canvases: &[CanvasPlan],
    pick: impl Fn(&CanvasPlan) -> Option<T>,
) -> Vec<(T, u32)> {
    canvases
        .iter()
        .filter_map(|c| pick(c).map(|x| (x, c.count)))
        .collect()
}

/// A sum over canvases as a figure that waits for whatever any of them waits for.
fn sum<T, U>(
    canvases: &[CanvasPlan],
    waiting: &[FieldRef],
    formula: &'static f::Formula,
    pick: impl Fn(&CanvasPlan) -> Option<&Figure<T>>,
    add: impl Fn(U, &T, u32) -> U,
    zero: U,
) -> Figure<U>
where
    T: Clone + Into<crate::figure::Value>,
    U: Clone + Into<crate::figure::Value>,
{
    let mut total = zero;
    let mut inputs = Vec::new();
    for c in canvases {
        if let Some(figure) = pick(c) {
            total = add(total, &figure.value, c.count);
            // One line for each canvas, as long as the list can be read.
            if inputs.len() < 12 {
                inputs.push(figure.input("each of one canvas"));
            }
        }
    }
    inputs.push(Input {
        name: "canvases",
        value: canvases
            .iter()
            .map(|c| u64::from(c.count))
            .sum::<u64>()
            .into(),
        origin: Origin::Computed,
        waiting: waiting.to_vec(),
    });
    Figure::new(total, formula, inputs)
}

fn total_area(canvases: &[CanvasPlan], waiting: &[FieldRef]) -> Option<Figure<Area>> {
    canvases.iter().any(|c| c.area.is_some()).then(|| {
        sum(
            canvases,
            waiting,
            &f::TOTAL,
            |c| c.area.as_ref(),
            |t: Area, x, n| t + *x * f64::from(n),
            Area::ZERO,
        )
    })
}

fn totals(brief: &Brief, canvases: &[CanvasPlan], waiting: &[FieldRef]) -> Option<Totals> {
    let built = counted(canvases, |c| c.frame.as_ref().map(|_| ()));
    if built.is_empty() {
        return None;
    }
    let whole = |t: u64, x: &u64, n: u32| t + x * u64::from(n);
    let screws = sum(
        canvases,
        waiting,
        &f::TOTAL,
        |c| c.fasteners.as_ref().map(|x| &x.screws),
        whole,
        0,
    );
    let pins = sum(
        canvases,
        waiting,
        &f::TOTAL,
        |c| c.fasteners.as_ref().map(|x| &x.pins),
        whole,
        0,
    );
    let keys = canvases
        .iter()
        .any(|c| c.frame.as_ref().is_some_and(|f| f.keys.is_some()))
        .then(|| {
            sum(
                canvases,
                waiting,
                &f::TOTAL,
                |c| c.frame.as_ref().and_then(|f| f.keys.as_ref()),
                whole,
                0,
            )
        });
    let mass = |t: Mass, x: &Mass, n: u32| t + *x * f64::from(n);
    let wood_glue = sum(
        canvases,
        waiting,
        &f::TOTAL,
        |c| c.fasteners.as_ref().map(|x| &x.wood_glue),
        mass,
        Mass::ZERO,
    );
    let cloth_mass = sum(
        canvases,
        waiting,
        &f::TOTAL,
        |c| c.blank.as_ref().map(|x| &x.mass),
        mass,
        Mass::ZERO,
    );
    let bead_side = |i: usize| {
        sum(
            canvases,
            waiting,
            &f::BEAD_LENGTH,
            move |c| c.bead.as_ref().map(|b| &b[i]),
            |t: Length, x: &Length, n| t + *x * (2 * i64::from(n)),
            Length::ZERO,
        )
    };
    let (top, side) = (bead_side(0), bead_side(1));
    let bead_length = Figure::new(
        top.value + side.value,
        &f::BEAD_LENGTH,
        alloc::vec![
            top.input("top and bottom pieces"),
            side.input("side pieces")
        ],
    );
    let before_spare = sum(
        canvases,
        waiting,
        &f::TOTAL,
        |c| c.staples.as_ref().map(|s| &s.staying),
        whole,
        0,
    );
    let temporary = sum(
        canvases,
        waiting,
        &f::TOTAL,
        |c| c.staples.as_ref().map(|s| &s.temporary),
        whole,
        0,
    );
    let staples = staples::with_spare(
        brief,
        before_spare.value + temporary.value,
        alloc::vec![before_spare.input("staying"), temporary.input("temporary")],
    );
    let staple_boxes = Figure::new(
        staples
            .value
            .div_ceil(u64::from(brief.staples_a_box.value.max(1))),
        &f::STAPLE_BOXES,
        alloc::vec![staples.input("staples"), brief.staples_a_box.input()],
    );
    Some(Totals {
        frames: built.iter().map(|(_, n)| u64::from(*n)).sum(),
        screws,
        pins,
        keys,
        wood_glue,
        bead_length,
        staples,
        staple_boxes,
        cloth_mass,
        // Known once everything with a price is.
        cost: None,
    })
}
