//! Everything about a bracing as it is built: each check with how it was reached, and what would
//! pass where one fails.

use alloc::vec::Vec;

use quantity::order::sort_by;
use quantity::physics::{Angle, Distance, Force, LineLoad, Ratio};
use statics::End;

use super::checks::{Found, Setting, governing};
use super::desk::Desk;
use super::joints::{self, joint_forces};
use super::model::{LEVEL, Layout, Quarter, UPRIGHT};
use super::search::{Answer, PROMISING};
use super::{Check, CheckKind, Crossing, Least, Statics, shape};
use crate::brief::Braces;
use crate::figure::{Figure, Input, Value};
use crate::formulas as f;
use crate::frame::Part;

impl Desk<'_> {
    /// Everything about the bracing as it is built.
    pub(super) fn statics(
        &self,
        setting: &Setting,
        layout: Layout,
        kept: Answer,
    ) -> Option<Statics> {
        let pull = self.hardest();
        let said = self.canvas.upright_bars.is_some()
            || self.canvas.level_bars.is_some()
            || self.said_of_braces() != Braces::Auto;
        let least = if said {
            self.freely(setting, Layout::BARE, PROMISING, pull)?
        } else {
            kept
        };
        let built = if least.layout == layout {
            least.clone()
        } else {
            setting.assess(layout, setting.racking(layout.braced).unwrap_or(0.0), pull)?
        };
        let reading = |corner| match setting.corner {
            same if same == corner => Ok(built.quarter.clone()),
            _ => Quarter::solve(setting.outline, layout, corner),
        };
        let (hinged, rigid) = (reading(End::Pinned).ok()?, reading(End::Rigid).ok()?);
        let between = [&rigid, &hinged];
        // Where the free search found nothing that mends it, no change does either.
        let mends = least.passes() || (least.stands() && !built.stands());
        let change = match (built.passes(), mends) {
            (true, _) => None,
            (false, true) => self.freely(setting, layout, 1, pull),
            (false, false) => Some(least.clone()),
        };
        let smallest_change =
            change.and_then(|answer| self.say(&self.basis.pull.stretched, &answer));
        let is_beyond = !mends && !built.stands();
        Some(Statics {
            checks: self.checks(setting, layout, &built, between)?,
            passes: built.passes(),
            stands: built.stands(),
            crossings: self.crossings(setting, layout, &built.quarter, pull),
            joints: joint_forces(
                self.brief,
                setting,
                &self.basis.batten,
                [&hinged, &rigid],
                pull,
            ),
            deferral: joints::DEFERRAL,
            least: self.say(&self.basis.pull.stretched, &least)?,
            passing_section: is_beyond.then(|| self.passing_section(layout)).flatten(),
            smallest_change,
        })
    }

    /// Every check, the one that uses most of its limit first.
    fn checks(
        &self,
        setting: &Setting,
        layout: Layout,
        built: &Answer,
        between: [&Quarter; 2],
    ) -> Option<Vec<Check>> {
        let lasting = self.basis.pull.lasting.value.to_n_per_m();
        let racking = built.found.last()?.found;
        let stretched = setting.check(layout, &built.quarter, racking, lasting);
        let used = |i: usize| built.found[i].used;
        let mut order: Vec<usize> = (0..built.found.len()).collect();
        sort_by(&mut order, |a, b| {
            used(*a) > used(*b) || (used(*a) == used(*b) && a < b)
        });
        let explained = order.iter().map(|&i| {
            let hardest = &built.found[i];
            // Stretched alone it may stand where the hardest case folds it up, and is then checked
            // for more.
            let is_same = |s: &&Found| s.kind == hardest.kind && s.part == hardest.part;
            let stretched = stretched.iter().find(is_same)?;
            Some(self.explain(setting, layout, hardest, stretched, between))
        });
        explained.collect()
    }

    /// A bracing found, in words for the plan.
    pub(super) fn say(&self, stretched: &Figure<LineLoad>, answer: &Answer) -> Option<Least> {
        let governing = governing(&answer.found)?;
        Some(Least {
            pull: stretched.clone(),
            upright: answer.layout.bars[0],
            level: answer.layout.bars[1],
            braces: answer.layout.braces(),
            passes: answer.passes(),
            stands: answer.stands(),
            governing: governing.kind,
            part: governing.part,
            used: Figure::new(
                Ratio::from_ratio(answer.used),
                &f::LIMIT_USED,
                alloc::vec![stretched.input("pull in the cloth")],
            ),
        })
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
            // The bead stiffens bars against twist and bow out of the plane.
            if matches!(hardest.kind, CheckKind::Twist | CheckKind::OutOfPlane)
                && matches!(hardest.part, Some(Part::TopBottom | Part::Side))
                && setting.bead > 0.0
            {
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
                    inputs.push(Input::constant("braces", layout.braces()));
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
        let folds = hardest.kind == CheckKind::Buckling && hardest.found < 1.0;
        let carries = folds.then(|| {
            Figure::new(
                pulls[1].value * hardest.found,
                &f::FOLDS_AT,
                alloc::vec![
                    pulls[1].input("pull that counts, creep included"),
                    found.input("times that it is carried")
                ],
            )
        });
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
            carries,
            margin: Figure::new(
                Ratio::from_ratio((1.0 - hardest.used).abs()),
                &f::MARGIN,
                alloc::vec![used.input("share of the limit used")],
            ),
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
