//! Cross bars and corner braces: how many, why, and what the statics of the frame says of them.
//!
//! The cloth pulls every bar inwards. Each bracing is checked for bow in the plane, twist, bow out
//! of the plane, buckling and racking ([`checks`]), under the cloth as stretched and with its size
//! dried out ([`loads`]), in the maker's wood ([`wood`]); the fewest members that pass are taken.
//! The rule of thumb stands beside it.

use alloc::vec::Vec;

use quantity::Length;
use quantity::physics::{Angle, Distance, Force, LineLoad, Pressure, Ratio};
use serde::Serialize;
use statics::torsion::RectangularBar;
use statics::{End, Error};

use crate::brief::{Bead, Braces, BracingBy, Brief, Canvas, CornerReading};
use crate::figure::{Figure, Given, Input, Value};
use crate::formulas as f;
use crate::frame::{Part, brace_room};

use checks::{Found, Limits, Setting, governing};
use joints::{JointForce, joint_forces};
use loads::{ClothPull, arm, cloth_pull};
use model::{LEVEL, Layout, Outline, Quarter, UPRIGHT};
use search::{Answer, Choice, PROMISING};
use shape::{BowedFrame, bowed};
use wood::{Batten, batten};

pub use checks::CheckKind;

pub mod checks;
mod grid;
pub mod joints;
pub mod largest;
pub mod loads;
mod model;
mod search;
pub mod shape;
pub mod wood;

/// How a frame is braced.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Bracing {
    /// Upright cross bars, which divide the width.
    pub upright: Figure<u32>,
    /// Level cross bars, which divide the height.
    pub level: Figure<u32>,
    /// Corner braces: none or four.
    pub braces: Figure<u32>,
    /// What the rule of thumb says: upright and level cross bars.
    pub rule: [u32; 2],
    /// What statics says; none where the bars leave no opening.
    pub statics: Option<Statics>,
}

/// What statics says of a bracing.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Statics {
    /// Every check of the bracing as it is built, the one that uses most of its limit first.
    pub checks: Vec<Check>,
    /// Whether all of them pass.
    pub passes: bool,
    /// The fewest members that pass, whatever the maker said; the best there are where none do.
    pub fewest: Fewest,
    /// Where a check fails: the bracing nearest to what is built that passes.
    pub smallest_change: Option<Fewest>,
    /// The same for a slacker and a tauter cloth, because what cloth pulls is weakly known.
    pub at_other_pulls: Vec<Fewest>,
    /// Force at a corner for 1 mm out of square.
    pub racking: [Racking; 2],
    /// Buckling loads of the cross bars, without and with the crossing as a brace.
    pub crossings: Vec<Crossing>,
    /// Forces in screws and pins.
    pub joints: Vec<JointForce>,
    /// What must stand beside them.
    pub deferral: &'static str,
    /// What other battens would need.
    pub other_sections: Vec<OtherSection>,
    /// The frame bowed in the hardest case, with hinged and with rigid corners.
    pub bowed: [BowedFrame; 2],
}

/// One check of a bracing.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Check {
    /// What is checked.
    pub kind: CheckKind,
    /// On which part; none for the frame as a whole.
    pub part: Option<Part>,
    /// What is found in the hardest case. For buckling and racking more is better: how many
    /// times its thrusts the frame carries, and the force that racks it.
    pub found: Figure<Value>,
    /// What is found under the stretched cloth alone.
    pub stretched: Figure<Value>,
    /// With rigid corners and with hinged ones, for the bow in the plane: the truth lies between.
    pub between: Option<[Figure<Distance>; 2]>,
    /// What is allowed; for buckling and racking what is asked for.
    pub limit: Figure<Value>,
    /// Share of the limit that is used; above 100 % it fails.
    pub used: Figure<Ratio>,
    /// Where, from the frame's outer lower left corner.
    pub at: Option<shape::Spot>,
}

impl Check {
    /// Whether it passes.
    #[must_use]
    pub fn passes(&self) -> bool {
        self.used.value.to_ratio() <= 1.0
    }
}

/// A number of members and how well they do.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Fewest {
    /// The cloth's pull as stretched.
    pub pull: Figure<LineLoad>,
    /// Upright cross bars.
    pub upright: u32,
    /// Level cross bars.
    pub level: u32,
    /// Corner braces: none or four.
    pub braces: u32,
    /// Whether they pass every check.
    pub passes: bool,
    /// The check that governs.
    pub governing: CheckKind,
    /// On which part.
    pub part: Option<Part>,
    /// Share of its limit that is used.
    pub used: Figure<Ratio>,
}

/// How hard a frame is to push out of square.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Racking {
    /// Whether it has corner braces.
    pub braced: bool,
    /// Force for 1 mm with corners as hinges.
    pub hinged: Figure<Force>,
    /// Force for 1 mm with rigid corners.
    pub rigid: Figure<Force>,
}

/// A cross bar as a column.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Crossing {
    /// Upright or level.
    pub part: Part,
    /// Its compression in the hardest case.
    pub compression: Figure<Force>,
    /// What it carries by itself, weakened by its laps.
    pub alone: Figure<Force>,
    /// What it carries where another cross bar crosses its middle.
    pub crossed: Option<Figure<Force>>,
}

/// What another batten would need for the same canvas.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct OtherSection {
    /// Its face.
    pub face: Length,
    /// Its depth.
    pub depth: Length,
    /// Whether it passes without cross bars.
    pub plain: bool,
    /// Whether it passes with one.
    pub with_one: bool,
    /// The fewest members that pass.
    pub fewest: Fewest,
    /// Batten saved in cross bars and braces; negative where it needs more.
    pub batten_saved: Figure<Length>,
    /// Wood of the whole frame over that of the frame as it is built.
    pub wood: Figure<Ratio>,
}

/// What all frames of a plan share: the cloth's pull and the batten's stiffness.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Basis {
    /// The cloth's pull.
    pub pull: ClothPull,
    /// The batten's stiffness.
    pub batten: Batten,
    /// How far in front of the bars' middle the cloth pulls.
    pub arm: Figure<Distance>,
}

/// The basis of a plan.
pub(crate) fn basis(brief: &Brief) -> Basis {
    Basis {
        pull: cloth_pull(brief),
        batten: batten(brief),
        arm: arm(brief),
    }
}

/// Cross bars each way by the rule of thumb: none while the longer side is within the limit;
/// beyond it at least one each way, and one more for every further full limit in that side.
///
/// Common practice, no source (737 mm, 29 in).
#[must_use]
pub fn rule_of_thumb(width: Length, height: Length, limit: Length) -> [u32; 2] {
    if width.max(height) <= limit || limit <= Length::ZERO {
        return [0, 0];
    }
    [width, height].map(|side| {
        // ⌈side / limit⌉ − 1 bars leave no bay longer than the limit.
        let bays = side.as_nm().div_euclid(limit.as_nm())
            + i64::from(side.as_nm().rem_euclid(limit.as_nm()) > 0);
        u32::try_from((bays - 1).clamp(1, 6)).unwrap_or(1)
    })
}

/// Bracing of a canvas: what the maker says, else what is computed, else the rule.
pub(crate) fn bracing(
    brief: &Brief,
    basis: &Basis,
    canvas: &Canvas,
    width: &Figure<Length>,
    height: &Figure<Length>,
) -> Bracing {
    let sides = [width.value, height.value];
    let rule = rule_of_thumb(sides[0], sides[1], brief.plain_limit.value);
    let desk = Desk {
        brief,
        basis,
        sides: [width, height],
        room: &|bars| has_room(brief, sides, bars),
    };
    let fewest = desk.fewest(canvas);
    let by_rule = brief.bracing_by.value == BracingBy::Rule;
    let (upright, level, braces) = match &fewest {
        Some(answer) if !by_rule => desk.computed(canvas, answer),
        _ => desk.by_rule(canvas, rule),
    };
    let layout = Layout {
        bars: [upright.value, level.value],
        braced: braces.value > 0 && has_room(brief, sides, [upright.value, level.value]),
    };
    Bracing {
        statics: fewest.and_then(|fewest| desk.statics(canvas, layout, fewest)),
        upright,
        level,
        braces,
        rule,
    }
}

/// Whether braces find room beside so many cross bars.
fn has_room(brief: &Brief, outer: [Length; 2], bars: [u32; 2]) -> bool {
    let (face, leg) = (brief.bar_face.value, brief.brace_leg.value);
    leg > face.times_sqrt2() && leg <= brace_room(outer, face, bars)
}

/// What the maker says of braces: for the canvas, else for the plan.
fn said_of_braces(brief: &Brief, canvas: &Canvas) -> Braces {
    match canvas.braces.value {
        Braces::Auto => brief.braces.value,
        said => said,
    }
}

/// A canvas on the desk, with everything needed to reckon its frame.
struct Desk<'a> {
    brief: &'a Brief,
    basis: &'a Basis,
    sides: [&'a Figure<Length>; 2],
    room: &'a dyn Fn([u32; 2]) -> bool,
}

impl Desk<'_> {
    /// The frame in a batten of this section; none where the bars leave no opening.
    fn setting(&self, face: Length, depth: Length) -> Option<Setting> {
        let outer = self.sides.map(|side| side.value);
        if outer.iter().any(|side| *side <= face * 2) {
            return None;
        }
        Some(setting(self.brief, self.basis, outer, face, depth))
    }

    fn own(&self) -> Option<Setting> {
        self.setting(self.brief.bar_face.value, self.brief.bar_depth.value)
    }

    fn hardest(&self) -> f64 {
        self.basis.pull.hardest().1.value.to_n_per_m()
    }

    /// The fewest members that pass, with what the maker says of this canvas kept.
    fn fewest(&self, canvas: &Canvas) -> Option<Answer> {
        let choice = Choice {
            bars: [&canvas.upright_bars, &canvas.level_bars].map(|g| g.as_ref().map(|g| g.value)),
            braces: said_of_braces(self.brief, canvas),
            near: None,
            promising: PROMISING,
            room: self.room,
        };
        self.own()?.search(&choice, self.hardest())
    }

    /// The fewest members that pass, whatever the maker says.
    fn freely(
        &self,
        setting: &Setting,
        near: Option<Layout>,
        promising: usize,
        pull: f64,
    ) -> Option<Answer> {
        let choice = Choice {
            bars: [None; 2],
            braces: Braces::Auto,
            near,
            promising,
            room: self.room,
        };
        setting.search(&choice, pull)
    }

    /// Figures of what is computed, as far as the maker does not say otherwise.
    fn computed(
        &self,
        canvas: &Canvas,
        answer: &Answer,
    ) -> (Figure<u32>, Figure<u32>, Figure<u32>) {
        let inputs = || {
            let mut all = self.inputs();
            all.push(Input::constant("bracings tried", answer.tried));
            all.push(Input::constant(
                "of the limit used",
                Ratio::from_ratio(answer.used),
            ));
            all
        };
        let bars = |said: &Option<Given<u32>>, n| match said {
            Some(g) => Figure::new(g.value, &f::MAKER_SAYS, alloc::vec![g.input()]),
            None => Figure::new(n, &f::BRACING_COMPUTED, inputs()),
        };
        let [upright, level] = answer.layout.bars;
        let braces = match self.braces_said(canvas) {
            Some(said) => said,
            None => Figure::new(
                if answer.layout.braced { 4 } else { 0 },
                &f::BRACING_COMPUTED,
                inputs(),
            ),
        };
        (
            bars(&canvas.upright_bars, upright),
            bars(&canvas.level_bars, level),
            braces,
        )
    }

    /// Figures of the rule of thumb, as far as the maker does not say otherwise.
    fn by_rule(
        &self,
        canvas: &Canvas,
        [upright, level]: [u32; 2],
    ) -> (Figure<u32>, Figure<u32>, Figure<u32>) {
        let [width, height] = self.sides;
        let bars = |n: u32, said: &Option<Given<u32>>| match said {
            Some(g) => Figure::new(g.value, &f::MAKER_SAYS, alloc::vec![g.input()]),
            None => Figure::new(
                n,
                &f::CROSS_BAR_RULE,
                alloc::vec![
                    width.input("outer width"),
                    height.input("outer height"),
                    self.brief.plain_limit.input()
                ],
            ),
        };
        let upright = bars(upright, &canvas.upright_bars);
        let level = bars(level, &canvas.level_bars);
        let braces = self.braces_said(canvas).unwrap_or_else(|| {
            let any = upright.value + level.value > 0;
            let fitted = any && (self.room)([upright.value, level.value]);
            Figure::new(
                if fitted { 4 } else { 0 },
                &f::BRACES_RULE,
                alloc::vec![
                    upright.input("upright cross bars"),
                    level.input("level cross bars")
                ],
            )
        });
        (upright, level, braces)
    }

    fn braces_said(&self, canvas: &Canvas) -> Option<Figure<u32>> {
        let (n, words) = match said_of_braces(self.brief, canvas) {
            Braces::Auto => return None,
            Braces::Yes => (4, "yes"),
            Braces::No => (0, "no"),
        };
        let given = match canvas.braces.value {
            Braces::Auto => &self.brief.braces,
            _ => &canvas.braces,
        };
        Some(Figure::new(
            n,
            &f::MAKER_SAYS,
            alloc::vec![given.input_as(Value::Text(words.into()))],
        ))
    }

    /// What every result depends on.
    fn inputs(&self) -> Vec<Input> {
        let [width, height] = self.sides;
        let basis = self.basis;
        alloc::vec![
            width.input("outer width"),
            height.input("outer height"),
            self.brief.bar_face.input(),
            self.brief.bar_depth.input(),
            basis
                .pull
                .hardest()
                .1
                .input("pull that counts, creep included"),
            basis.batten.modulus.input("modulus of the wood"),
            self.corner_input(),
        ]
    }

    fn corner_input(&self) -> Input {
        match &self.brief.corner_spring {
            Some(spring) => spring.input(),
            None => self.brief.corner_reading.input_as(Value::Text(
                match self.brief.corner_reading.value {
                    CornerReading::Hinged => "hinged",
                    CornerReading::Rigid => "rigid",
                }
                .into(),
            )),
        }
    }

    /// Everything about the bracing as it is built.
    fn statics(&self, canvas: &Canvas, layout: Layout, kept: Answer) -> Option<Statics> {
        let setting = self.own()?;
        let pull = self.hardest();
        let said = canvas.upright_bars.is_some()
            || canvas.level_bars.is_some()
            || said_of_braces(self.brief, canvas) != Braces::Auto;
        let fewest = if said {
            self.freely(&setting, None, PROMISING, pull)?
        } else {
            kept
        };
        let built = if fewest.layout == layout {
            fewest.clone()
        } else {
            let racking = setting.racking(layout.braced).unwrap_or(0.0);
            setting.assess(layout, racking, pull)?
        };
        let reading = |corner| match setting.corner {
            same if same == corner => Ok(built.quarter.clone()),
            _ => Quarter::solve(setting.outline, layout, corner),
        };
        let (hinged, rigid) = (reading(End::Pinned).ok()?, reading(End::Rigid).ok()?);
        let between = [&rigid, &hinged];
        let mut checks: Vec<Check> = {
            let lasting = self.basis.pull.lasting.value.to_n_per_m();
            let racking = built.found.last()?.found;
            let stretched = setting.check(layout, &built.quarter, racking, lasting);
            built
                .found
                .iter()
                .zip(&stretched)
                .map(|(hardest, stretched)| {
                    self.explain(&setting, layout, hardest, stretched, between)
                })
                .collect()
        };
        checks.sort_by(|a, b| b.used.value.to_ratio().total_cmp(&a.used.value.to_ratio()));
        let smallest_change = (!built.passes())
            .then(|| self.freely(&setting, Some(layout), 1, pull))
            .flatten()
            .and_then(|answer| self.say(&self.basis.pull.stretched, &answer));
        let bowed = [&hinged, &rigid].map(|quarter| bowed(&setting.outline, quarter, pull));
        Some(Statics {
            passes: built.passes(),
            at_other_pulls: self.at_other_pulls(&setting),
            racking: self.racking(&setting).ok()?,
            crossings: self.crossings(&setting, layout, &built.quarter, pull),
            joints: joint_forces(
                self.brief,
                &setting,
                &self.basis.batten,
                [&hinged, &rigid],
                pull,
            ),
            deferral: joints::DEFERRAL,
            other_sections: self.other_sections(layout),
            fewest: self.say(&self.basis.pull.stretched, &fewest)?,
            smallest_change,
            checks,
            bowed,
        })
    }

    fn say(&self, stretched: &Figure<LineLoad>, answer: &Answer) -> Option<Fewest> {
        let governing = governing(&answer.found)?;
        Some(Fewest {
            pull: stretched.clone(),
            upright: answer.layout.bars[0],
            level: answer.layout.bars[1],
            braces: if answer.layout.braced { 4 } else { 0 },
            passes: answer.passes(),
            governing: governing.kind,
            part: governing.part,
            used: Figure::new(
                Ratio::from_ratio(answer.used),
                &f::LIMIT_USED,
                alloc::vec![stretched.input("pull in the cloth")],
            ),
        })
    }

    /// What a cloth half and twice as tight would need: the working range of 100 to 400 N/m
    /// lies so about its middle.
    fn at_other_pulls(&self, setting: &Setting) -> Vec<Fewest> {
        let pull = &self.basis.pull;
        let rise = pull.rise.as_ref().map_or(LineLoad::ZERO, |r| r.value);
        [0.5, 2.0]
            .into_iter()
            .filter_map(|share| {
                let stretched = Figure::new(
                    pull.stretched.value * share,
                    &f::OTHER_PULL,
                    alloc::vec![pull.stretched.input("pull in the cloth")],
                );
                let counts = stretched.value * (1.0 + pull.creep.value) + rise;
                let answer = self.freely(setting, None, 1, counts.to_n_per_m())?;
                self.say(&stretched, &answer)
            })
            .collect()
    }

    fn racking(&self, setting: &Setting) -> Result<[Racking; 2], Error> {
        let table = |braced: bool| {
            let figure = |corner| {
                // Without room for braces there is nothing to reckon.
                let fits = !braced || (self.room)([0, 0]);
                let newtons = if fits {
                    model::racking(setting.outline, braced, corner)?
                } else {
                    0.0
                };
                let mut inputs = self.inputs();
                if braced {
                    inputs.push(self.brief.brace_leg.input());
                }
                Ok::<_, Error>(Figure::new(
                    Force::from_newtons(newtons),
                    &f::RACKING,
                    inputs,
                ))
            };
            Ok::<_, Error>(Racking {
                braced,
                hinged: figure(End::Pinned)?,
                rigid: figure(End::Rigid)?,
            })
        };
        Ok([table(false)?, table(true)?])
    }

    fn crossings(
        &self,
        setting: &Setting,
        layout: Layout,
        quarter: &Quarter,
        pull: f64,
    ) -> Vec<Crossing> {
        let compression = [LEVEL, UPRIGHT].map(|divided| pull * quarter.compression(divided));
        [(LEVEL, Part::Upright), (UPRIGHT, Part::Level)]
            .into_iter()
            .filter(|(divided, _)| layout.bars[*divided] > 0)
            .filter_map(|(divided, part)| {
                let other = 1 - divided;
                let [alone, crossed] = setting
                    .buckling_both(divided, layout, compression[other])
                    .ok()?;
                let figure = |newtons, formula| {
                    Figure::new(
                        Force::from_newtons(newtons),
                        formula,
                        alloc::vec![
                            self.sides[other].input("its length"),
                            self.brief.bar_face.input(),
                            self.brief.bar_depth.input(),
                            self.basis.batten.lower.input("lower modulus"),
                            Input::constant("laps along it", layout.bars[other]),
                        ],
                    )
                };
                Some(Crossing {
                    part,
                    compression: Figure::new(
                        Force::from_newtons(compression[divided]),
                        &f::CROSS_BAR_THRUST,
                        self.inputs(),
                    ),
                    alone: figure(alone, &f::BUCKLING),
                    crossed: (layout.bars[other] % 2 == 1)
                        .then(|| figure(crossed, &f::BUCKLING_CROSSED)),
                })
            })
            .collect()
    }

    fn other_sections(&self, layout: Layout) -> Vec<OtherSection> {
        let outer = self.sides.map(|side| side.value);
        let brief = self.brief;
        let own = [brief.bar_face.value, brief.bar_depth.value];
        let bracing_length = |bars: [u32; 2], braced: bool| {
            let braces = brief.brace_leg.value.times_sqrt2() * if braced { 4 } else { 0 };
            outer[1] * i64::from(bars[0]) + outer[0] * i64::from(bars[1]) + braces
        };
        let here = bracing_length(layout.bars, layout.braced);
        let around = (outer[0] + outer[1]) * 2;
        brief
            .other_sections
            .value
            .iter()
            .filter(|section| **section != own)
            .filter_map(|&[face, depth]| {
                let setting = self.setting(face, depth)?;
                let choice = Choice {
                    bars: [None; 2],
                    braces: Braces::Auto,
                    near: None,
                    promising: 1,
                    room: &|bars| {
                        let leg = brief.brace_leg.value;
                        leg > face.times_sqrt2() && leg <= brace_room(outer, face, bars)
                    },
                };
                let answer = setting.search(&choice, self.hardest())?;
                let there = bracing_length(answer.layout.bars, answer.layout.braced);
                let wood = |length: Length, [face, depth]: [Length; 2]| {
                    (length + around).to_m() * face.to_m() * depth.to_m()
                };
                let bars: u32 = answer.layout.bars.iter().sum();
                let inputs = alloc::vec![
                    Input::constant("here", here),
                    Input::constant("there", there)
                ];
                Some(OtherSection {
                    face,
                    depth,
                    plain: answer.passes() && bars == 0,
                    with_one: answer.passes() && bars <= 1,
                    fewest: self.say(&self.basis.pull.stretched, &answer)?,
                    batten_saved: Figure::new(here - there, &f::BATTEN_SAVED, inputs.clone()),
                    wood: Figure::new(
                        Ratio::from_ratio(wood(there, [face, depth]) / wood(here, own)),
                        &f::WOOD_COMPARED,
                        inputs,
                    ),
                })
            })
            .collect()
    }

    /// A result with how it was reached.
    fn explain(
        &self,
        setting: &Setting,
        layout: Layout,
        hardest: &Found,
        stretched: &Found,
        [rigid, hinged]: [&Quarter; 2],
    ) -> Check {
        let basis = self.basis;
        let brief = self.brief;
        let pulls = [&basis.pull.lasting, basis.pull.hardest().1];
        let length = Input::constant("its length", Distance::from_m(hardest.length));
        let how = |pull: &Figure<LineLoad>, found: &Found| {
            let mut inputs = alloc::vec![
                length.clone(),
                brief.bar_face.input(),
                brief.bar_depth.input(),
                pull.input("pull that counts, creep included"),
            ];
            if matches!(hardest.part, Some(Part::TopBottom | Part::Side)) && setting.bead > 0.0 {
                inputs.push(brief.bead_size.input());
            }
            let thrust = Input::constant("compression", Force::from_newtons(found.force));
            let laps = |n: u32| Input::constant("laps along it", n);
            let lapped = match hardest.part {
                Some(Part::TopBottom | Part::Level) => layout.bars[0],
                _ => layout.bars[1],
            };
            let formula = match hardest.kind {
                CheckKind::Bow | CheckKind::BowBetween => {
                    inputs.push(basis.batten.modulus.input("modulus of the wood"));
                    inputs.push(self.corner_input());
                    &f::BOW_FRAME
                }
                CheckKind::Twist => {
                    inputs.push(basis.arm.input("cloth in front of the bar's middle"));
                    inputs.push(basis.batten.shear.input("shear modulus"));
                    &f::TWIST
                }
                CheckKind::OutOfPlane => {
                    inputs.push(basis.arm.input("cloth in front of the bar's middle"));
                    inputs.push(basis.batten.modulus.input("modulus of the wood"));
                    inputs.push(thrust);
                    inputs.push(laps(lapped));
                    &f::OUT_OF_PLANE
                }
                CheckKind::Buckling => {
                    inputs.push(basis.batten.lower.input("lower modulus"));
                    &f::FOLDING
                }
                CheckKind::Racking => {
                    inputs.push(basis.batten.modulus.input("modulus of the wood"));
                    inputs.push(Input::constant(
                        "braces",
                        if layout.braced { 4_u64 } else { 0 },
                    ));
                    &f::RACKING
                }
            };
            let value: Value = match hardest.kind {
                CheckKind::Twist => Angle::from_rad(found.found).into(),
                CheckKind::Buckling => found.found.into(),
                CheckKind::Racking => Force::from_newtons(found.found).into(),
                _ => Distance::from_m(found.found).into(),
            };
            Figure::new(value, formula, inputs)
        };
        let found = how(pulls[1], hardest);
        let limit = self.limit(hardest, length.clone());
        let used = Figure::new(
            Ratio::from_ratio(hardest.used),
            &f::LIMIT_USED,
            alloc::vec![found.input("found"), limit.input("limit")],
        );
        let between = (hardest.kind == CheckKind::Bow).then(|| {
            let direction = if hardest.part == Some(Part::Side) {
                UPRIGHT
            } else {
                LEVEL
            };
            [(rigid, "rigid"), (hinged, "hinged")].map(|(quarter, corner)| {
                let mut inputs = found.how.inputs.clone();
                inputs.pop();
                inputs.push(Input::constant("corners", Value::Text(corner.into())));
                Figure::new(
                    Distance::from_m(quarter.bow(direction).whole * pulls[1].value.to_n_per_m()),
                    &f::BOW_FRAME,
                    inputs,
                )
            })
        });
        Check {
            kind: hardest.kind,
            part: hardest.part,
            stretched: how(pulls[0], stretched),
            between,
            found,
            limit,
            used,
            at: hardest.at.map(|[x, y]| shape::Spot {
                x: Distance::from_m(x + setting.outline.inset),
                y: Distance::from_m(y + setting.outline.inset),
            }),
        }
    }

    fn limit(&self, found: &Found, length: Input) -> Figure<Value> {
        let brief = self.brief;
        match found.kind {
            CheckKind::Bow | CheckKind::BowBetween => Figure::new(
                Distance::from_m(found.limit).into(),
                &f::LIMIT_BOW,
                alloc::vec![length, brief.bow_limit.input()],
            ),
            CheckKind::OutOfPlane => Figure::new(
                Distance::from_m(found.limit).into(),
                &f::LIMIT_FLAT,
                alloc::vec![length, brief.flat_limit.input()],
            ),
            CheckKind::Twist => Figure::new(
                Angle::from_rad(found.limit).into(),
                &f::LIMIT_TWIST,
                alloc::vec![brief.twist_limit.input()],
            ),
            CheckKind::Buckling => Figure::new(
                found.limit.into(),
                &f::LIMIT_BUCKLING,
                alloc::vec![brief.buckling_safety.input()],
            ),
            CheckKind::Racking => Figure::new(
                Force::from_newtons(found.limit).into(),
                &f::LIMIT_RACKING,
                alloc::vec![brief.racking_force.input()],
            ),
        }
    }
}

/// The frame of a canvas in a batten of this section.
fn setting(
    brief: &Brief,
    basis: &Basis,
    outer: [Length; 2],
    face: Length,
    depth: Length,
) -> Setting {
    let rise = basis.arm.value.to_m() - 0.5 * brief.bar_depth.value.to_m();
    let bead = match brief.bead.value {
        Bead::QuarterRound => brief.bead_size.value.to_m(),
        Bead::Bevel | Bead::Nothing => 0.0,
    };
    Setting {
        outline: Outline {
            sides: outer.map(|side| (side - face).to_m()),
            face: face.to_m(),
            depth: depth.to_m(),
            brace: [depth.to_m(), face.to_m()],
            // A leg runs from the inner corner to the brace's outside; its middle line meets the
            // bar's middle line (1 − √½) of a face farther on.
            brace_leg: brief.brace_leg.value.to_m()
                + (1.0 - core::f64::consts::FRAC_1_SQRT_2) * face.to_m(),
            inset: 0.5 * face.to_m(),
            lap: face.to_m(),
            modulus: basis.batten.modulus.value.to_pa(),
        },
        lower: basis.batten.lower.value.to_pa(),
        torsion: torsion(basis.batten.shear.value, face, depth, bead),
        bead,
        arm: 0.5 * depth.to_m() + rise,
        corner: match (&brief.corner_spring, brief.corner_reading.value) {
            (Some(spring), _) => End::Spring(
                quantity::physics::RotationalStiffness::from_nm_per_rad(spring.value),
            ),
            (None, CornerReading::Hinged) => End::Pinned,
            (None, CornerReading::Rigid) => End::Rigid,
        },
        limits: Limits {
            bow: brief.bow_limit.value,
            flat: brief.flat_limit.value,
            twist: brief.twist_limit.value.to_rad(),
            buckling: brief.buckling_safety.value,
            racking: brief.racking_force.value.to_newtons(),
        },
    }
}

/// Stiffness against twist of a bar with its bead: the constants of the rectangle and of the
/// quarter disc, 0.0825 r⁴ (Roark, from memory), added up; glued together they do better.
fn torsion(shear: Pressure, face: Length, depth: Length, bead: f64) -> f64 {
    let [face, depth] = [face, depth].map(|side| Distance::from_m(side.to_m()));
    let bar = RectangularBar::new(face, depth).map_or(0.0, |bar| bar.constant().to_m4());
    shear.to_pa() * (bar + 0.0825 * bead * bead * bead * bead)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn rule(w: i64, h: i64, expect: [u32; 2]) {
        let limit = Length::from_mm(737);
        assert_eq!(
            rule_of_thumb(Length::from_mm(w), Length::from_mm(h), limit),
            expect,
            "{w} × {h}"
        );
    }

    #[test]
    fn the_rule_at_its_edges() {
        // Common practice, no source: 737 mm (29 in) without cross bars.
        rule(737, 500, [0, 0]);
        rule(738, 500, [1, 1]);
        rule(1000, 800, [1, 1]);
        rule(1474, 800, [1, 1]);
        rule(1475, 800, [2, 1]);
        rule(2400, 1800, [3, 2]);
    }
}
