//! A canvas on the desk: its frame as statics takes it, and the bracing that it needs.

use alloc::vec::Vec;

use quantity::Length;
use quantity::physics::{Distance, Pressure, Ratio};
use statics::End;
use statics::torsion::RectangularBar;

use super::Basis;
use super::checks::{Limits, Setting};
use super::model::{Layout, Outline};
use super::search::{Answer, Choice, PROMISING, braces_fit};
use crate::brief::{Bead, Braces, Brief, Canvas, CornerReading};
use crate::figure::{Figure, Given, Input, Value};
use crate::formulas as f;
use crate::frame::{brace_leg, sizes};

/// A canvas with everything needed to reckon its frame.
pub(super) struct Desk<'a> {
    pub(super) brief: &'a Brief,
    pub(super) basis: &'a Basis,
    pub(super) canvas: &'a Canvas,
    /// Width and height of the wood, outside.
    pub(super) sides: [Figure<Length>; 2],
}

/// Numbers of upright and level cross bars and of braces.
pub(super) type Members = [Figure<u32>; 3];

impl<'a> Desk<'a> {
    pub(super) fn new(brief: &'a Brief, basis: &'a Basis, canvas: &'a Canvas) -> Self {
        Self {
            brief,
            basis,
            canvas,
            sides: sizes(brief, canvas).outer,
        }
    }

    /// The frame in a batten of this section; none where the bars leave no opening.
    pub(super) fn setting(&self, face: Length, depth: Length) -> Option<Setting> {
        let outer = self.outer();
        if outer.iter().any(|side| *side <= face * 2) {
            return None;
        }
        Some(setting(self.brief, self.basis, outer, face, depth))
    }

    /// The frame in the maker's own batten.
    pub(super) fn own(&self) -> Option<Setting> {
        self.setting(self.brief.bar_face.value, self.brief.bar_depth.value)
    }

    pub(super) fn outer(&self) -> [Length; 2] {
        [self.sides[0].value, self.sides[1].value]
    }

    /// The pull of the hardest case, N/m.
    pub(super) fn hardest(&self) -> f64 {
        self.basis.pull.hardest().1.value.to_n_per_m()
    }

    /// What the maker says of braces: for the canvas, else for the plan.
    pub(super) fn said_of_braces(&self) -> Braces {
        match self.canvas.braces.value {
            Braces::Auto => self.brief.braces_of_all(),
            said => said,
        }
    }

    /// The bracing that passes with the least batten, with what the maker says of this canvas
    /// kept.
    pub(super) fn least(&self, setting: &Setting) -> Option<Answer> {
        let said = [&self.canvas.upright_bars, &self.canvas.level_bars];
        let choice = Choice {
            bars: said.map(|given| given.as_ref().map(|given| given.value)),
            braces: self.said_of_braces(),
            near: Layout::BARE,
            promising: PROMISING,
        };
        setting.search(&choice, self.hardest())
    }

    /// The bracing that passes with the least batten added or taken away, whatever the maker says.
    pub(super) fn freely(
        &self,
        setting: &Setting,
        near: Layout,
        promising: usize,
        pull: f64,
    ) -> Option<Answer> {
        let choice = Choice {
            near,
            promising,
            ..Choice::ANY
        };
        setting.search(&choice, pull)
    }

    /// Figures of what is computed, as far as the maker does not say otherwise.
    pub(super) fn computed(&self, answer: &Answer) -> Members {
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
        let braces = match self.braces_said() {
            Some(said) => said,
            None => Figure::new(answer.layout.braces(), &f::BRACING_COMPUTED, inputs()),
        };
        [
            bars(&self.canvas.upright_bars, upright),
            bars(&self.canvas.level_bars, level),
            braces,
        ]
    }

    /// Figures of the rule of thumb, as far as the maker does not say otherwise.
    pub(super) fn by_rule(&self, [upright, level]: [u32; 2]) -> Members {
        let [width, height] = &self.sides;
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
        let upright = bars(upright, &self.canvas.upright_bars);
        let level = bars(level, &self.canvas.level_bars);
        let braces = self.braces_said().unwrap_or_else(|| {
            let bars = [upright.value, level.value];
            let layout = self.layout(bars, u32::from(bars != [0, 0]));
            Figure::new(
                layout.braces(),
                &f::BRACES_RULE,
                alloc::vec![
                    upright.input("upright cross bars"),
                    level.input("level cross bars")
                ],
            )
        });
        [upright, level, braces]
    }

    fn braces_said(&self) -> Option<Figure<u32>> {
        let (n, said) = match self.said_of_braces() {
            Braces::Auto => return None,
            Braces::Yes => (4, "yes"),
            Braces::No => (0, "no"),
        };
        let words = |words: &str| Value::Text(words.into());
        let input = match (self.canvas.braces.value, self.brief.braces.value) {
            (Braces::Auto, Braces::Auto) => self.brief.fixing.input_as(words("keyed")),
            (Braces::Auto, _) => self.brief.braces.input_as(words(said)),
            _ => self.canvas.braces.input_as(words(said)),
        };
        Some(Figure::new(n, &f::MAKER_SAYS, alloc::vec![input]))
    }

    /// Cross bars and braces as they can be built.
    pub(super) fn layout(&self, bars: [u32; 2], braces: u32) -> Layout {
        Layout {
            bars,
            braced: braces > 0 && self.has_room(bars),
        }
    }

    /// Whether braces find room beside so many cross bars.
    pub(super) fn has_room(&self, bars: [u32; 2]) -> bool {
        let (brief, outer) = (self.brief, self.outer());
        let face = brief.bar_face.value;
        braces_fit(outer, face, brace_leg(brief, outer, face), bars)
    }

    /// What every result depends on.
    pub(super) fn inputs(&self) -> Vec<Input> {
        let [width, height] = &self.sides;
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

    pub(super) fn corner_input(&self) -> Input {
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
}

/// The frame of a canvas in a batten of this section.
pub(super) fn setting(
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
    let leg = brace_leg(brief, outer, face);
    Setting {
        outer,
        face,
        leg,
        outline: Outline {
            sides: outer.map(|side| (side - face).to_m()),
            face: face.to_m(),
            depth: depth.to_m(),
            brace: [depth.to_m(), face.to_m()],
            // A leg runs from the inner corner to the brace's outside; its middle line meets the
            // bar's middle line (1 − √½) of a face farther on.
            brace_leg: leg.to_m() + (1.0 - core::f64::consts::FRAC_1_SQRT_2) * face.to_m(),
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
