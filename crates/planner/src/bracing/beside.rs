//! What a maker may want to weigh beside the decision: computed when it is asked for, because
//! typing does not wait for it.

use alloc::vec::Vec;

use quantity::physics::{Force, LineLoad, Ratio};
use quantity::{Length, Money};
use serde::Serialize;
use statics::{End, Error};

use super::Least;
use super::desk::Desk;
use super::model::{self, Layout, Quarter};
use super::search::Choice;
use super::shape::{self, BowedFrame};
use crate::brief::{BoardOf, Brief, OtherBatten};
use crate::figure::{Figure, Input};
use crate::formulas as f;
use crate::frame::brace_leg;
use crate::plan::Plan;

const METRE: Length = Length::from_mm(1000);

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

/// What another batten would need for the same canvas.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct OtherSection {
    /// Its face.
    pub face: Length,
    /// Its depth.
    pub depth: Length,
    /// Whether it passes without cross bars.
    pub plain: bool,
    /// Whether it passes with at most one.
    pub with_one: bool,
    /// The least of it that passes.
    pub least: Least,
    /// Batten saved in cross bars and braces; negative where it needs more.
    pub batten_saved: Figure<Length>,
    /// Wood of the whole frame over that of the frame as it is built.
    pub wood: Figure<Ratio>,
    /// What the whole frame costs more than as it is built, below zero where it saves; none
    /// unless both battens have a price.
    pub cost: Option<Figure<Money>>,
    /// The price for a metre of it at which both frames cost the same; none where the batten in
    /// hand has no price.
    pub pays_up_to: Option<Figure<Money>>,
}

/// What each of the other battens at hand would need for a canvas of the plan.
#[must_use]
pub fn other_sections(plan: &Plan, canvas: usize) -> Vec<OtherSection> {
    desk(plan, canvas).map_or_else(Vec::new, |(desk, layout)| {
        let others = desk.others();
        others
            .filter_map(|other| desk.section(layout, other))
            .collect()
    })
}

/// What a canvas would need under a cloth half and twice as tight: the working range of 100 to
/// 400 N/m lies so about its middle.
#[must_use]
pub fn other_pulls(plan: &Plan, canvas: usize) -> Vec<Least> {
    desk(plan, canvas)
        .and_then(|(desk, _)| desk.pulls())
        .unwrap_or_default()
}

/// How hard a canvas's frame is to push out of square, without braces and with them.
#[must_use]
pub fn racking(plan: &Plan, canvas: usize) -> Option<[Racking; 2]> {
    let (desk, _) = desk(plan, canvas)?;
    Some([desk.racking(false).ok()?, desk.racking(true).ok()?])
}

/// The frame of a canvas as it is built, bowed in the hardest case: with hinged and with rigid
/// corners.
#[must_use]
pub fn bowed(plan: &Plan, canvas: usize) -> Option<[BowedFrame; 2]> {
    let (desk, layout) = desk(plan, canvas)?;
    let outline = desk.own()?.outline;
    let shape = |corner| {
        let quarter = Quarter::solve(outline, layout, corner).ok()?;
        Some(shape::bowed(&outline, &quarter, desk.hardest()))
    };
    Some([shape(End::Pinned)?, shape(End::Rigid)?])
}

/// A canvas of a plan on the desk again, with the bracing as it is built.
fn desk(plan: &Plan, canvas: usize) -> Option<(Desk<'_>, Layout)> {
    let desk = Desk::new(&plan.brief, &plan.basis, plan.brief.canvases.get(canvas)?);
    let bracing = &plan.canvases.get(canvas)?.bracing;
    let bars = [bracing.upright.value, bracing.level.value];
    let layout = desk.layout(bars, bracing.braces.value);
    Some((desk, layout))
}

impl<'a> Desk<'a> {
    fn pulls(&self) -> Option<Vec<Least>> {
        let setting = self.own()?;
        let pull = &self.basis.pull;
        let rise = pull.rise.as_ref().map_or(LineLoad::ZERO, |r| r.value);
        let other = |share: f64| {
            let stretched = Figure::new(
                pull.stretched.value * share,
                &f::OTHER_PULL,
                alloc::vec![pull.stretched.input("pull in the cloth")],
            );
            let counts = stretched.value * (1.0 + pull.creep.value) + rise;
            let answer = self.freely(&setting, Layout::BARE, 1, counts.to_n_per_m())?;
            self.say(&stretched, &answer)
        };
        Some([0.5, 2.0].into_iter().filter_map(other).collect())
    }

    fn racking(&self, braced: bool) -> Result<Racking, Error> {
        let figure = |corner| {
            // Without room for braces there is nothing to reckon.
            let newtons = match self.own() {
                Some(setting) if !braced || self.has_room([0, 0]) => {
                    model::racking(setting.outline, braced, corner)?
                }
                _ => 0.0,
            };
            let mut inputs = self.inputs();
            if braced {
                let leg = brace_leg(self.brief, self.outer(), self.brief.bar_face.value);
                inputs.push(self.brief.brace_leg.input_as(leg));
            }
            Ok(Figure::new(
                Force::from_newtons(newtons),
                &f::RACKING,
                inputs,
            ))
        };
        Ok(Racking {
            braced,
            hinged: figure(End::Pinned)?,
            rigid: figure(End::Rigid)?,
        })
    }

    /// The other battens at hand.
    fn others(&self) -> impl Iterator<Item = &'a OtherBatten> {
        let brief = self.brief;
        let own = [brief.bar_face.value, brief.bar_depth.value];
        let others = brief.other_sections.value.iter();
        others.filter(move |other| [other.face, other.depth] != own)
    }

    /// The first of the other battens in which some bracing passes.
    pub(super) fn passing_section(&self, layout: Layout) -> Option<OtherSection> {
        // Where nothing passes, nothing is looked at more closely.
        let choice = Choice {
            promising: 0,
            ..Choice::ANY
        };
        let mut others = self.others();
        let passing = others.find(|other| {
            let setting = self.setting(other.face, other.depth);
            setting.is_some_and(|setting| {
                setting
                    .search(&choice, self.hardest())
                    .is_some_and(|answer| answer.passes())
            })
        });
        self.section(layout, passing?)
    }

    fn section(&self, layout: Layout, other: &OtherBatten) -> Option<OtherSection> {
        let (brief, own) = (self.brief, self.own()?);
        let setting = self.setting(other.face, other.depth)?;
        let pull = self.hardest();
        let answer = setting.search(&Choice::ANY, pull)?;
        let [width, height] = self.outer();
        let around = (width + height) * 2;
        let (here, there) = (own.timber(layout), setting.timber(answer.layout));
        let whole = [here + around, there + around];
        let volume = |length: Length, face: Length, depth: Length| {
            length.to_m() * face.to_m() * depth.to_m()
        };
        let plain = setting.passes_with(0, pull);
        let inputs = || {
            alloc::vec![
                Input::constant("cross bars and braces here", here),
                Input::constant("cross bars and braces there", there)
            ]
        };
        let cost = cost(brief, whole[0]);
        Some(OtherSection {
            face: other.face,
            depth: other.depth,
            plain,
            with_one: plain || setting.passes_with(1, pull),
            least: self.say(&self.basis.pull.stretched, &answer)?,
            batten_saved: Figure::new(here - there, &f::BATTEN_SAVED, inputs()),
            wood: Figure::new(
                Ratio::from_ratio(
                    volume(whole[1], other.face, other.depth)
                        / volume(whole[0], brief.bar_face.value, brief.bar_depth.value),
                ),
                &f::WOOD_COMPARED,
                inputs(),
            ),
            cost: cost.as_ref().zip(other.price).map(|(cost, price)| {
                let there = price.mul_div_up(whole[1].as_nm(), METRE.as_nm());
                Figure::new(
                    there - cost.value,
                    &f::SECTION_COST,
                    alloc::vec![
                        cost.input("batten of the frame as built"),
                        Input::constant("batten there", whole[1]),
                        Input::constant("price of a metre there", price),
                    ],
                )
            }),
            pays_up_to: cost.map(|cost| {
                // Rounded down: up to it the frame costs no more.
                let less = (Money::ZERO - cost.value).mul_div_up(METRE.as_nm(), whole[1].as_nm());
                Figure::new(
                    Money::ZERO - less,
                    &f::PAYS_UP_TO,
                    alloc::vec![
                        cost.input("batten of the frame as built"),
                        Input::constant("batten there", whole[1]),
                    ],
                )
            }),
        })
    }
}

/// What so much of the batten in hand costs by the cheapest metre on the rack, offcuts left out;
/// none without prices.
fn cost(brief: &Brief, length: Length) -> Option<Figure<Money>> {
    let boards = brief.boards.iter().filter(|b| b.of == BoardOf::Bars);
    let (cost, board) = boards
        .filter_map(|b| {
            Some((
                b.price?.mul_div_up(length.as_nm(), b.length.as_nm().max(1)),
                b,
            ))
        })
        .min_by_key(|(cost, _)| *cost)?;
    Some(Figure::new(
        cost,
        &f::BATTEN_COST,
        alloc::vec![
            Input::constant("batten", length),
            Input::constant("cheapest board by the metre", board.length),
            Input::constant("its price", board.price?),
        ],
    ))
}
