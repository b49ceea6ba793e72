//! The trade of making artists' canvases: a [`Draft`] of typed texts in, a [`Plan`] out, with
//! the explanation of each figure.
//!
//! ```
//! use planner::{Draft, plan};
//! let tree = serde_json::from_str(r#"{"canvases":[{"width":"600 mm","height":"500 mm"}]}"#).unwrap();
//! let plan = plan(&Draft::from_tree(&tree).0);
//! let blank = plan.canvases[0].blank.as_ref().unwrap();
//! // 600 + 2 × (19 bead + 20 depth + 40 turnover + 30 grip) = 818
//! assert_eq!(blank.width.value.to_mm(), 818.0);
//! assert_eq!(blank.width.how.formula.name, "blank side");
//! ```
//!
//! In reading order:
//!
//! * [`fields`]: every input with its range, usual value and name; [`draft`]: what was typed;
//!   [`parse`]: how it is read; [`brief`]: the typed, checked job; [`fault`]: what is wrong.
//! * [`plan`](mod@plan): the whole chain; [`bracing`], [`frame`], [`fasteners`], [`timber`], [`cloth`],
//!   [`staples`], [`size`], [`ground`], [`hanging`], [`costs`], [`shares`], [`diary`],
//!   [`bench_days`]: its stages; [`advice`],
//!   [`cautions`]: what a teacher says.
//! * [`searches`]: the cutting engine's searches, kept for the next plan.
//! * [`already_cut`]: boards that are cut, taken off the demand; [`mod@what_if`]: what another length
//!   on the rack would change.
//! * [`battens`]: the plan made of each section on the rack, side by side.
//! * [`find_size`]: how large a canvas is to be; [`paste`]: a list of canvases from elsewhere.
//! * [`kit`]: what each person gets; [`mod@backward`]: what there is enough for;
//!   [`mod@compare`]: two plans side by side.
//! * [`species`], [`moisture`]: the wood and the damp of the air; [`tone`]: tension from a tapped
//!   note; [`pitch`]: the note in recorded sound.
//! * [`figure`], [`formulas`]: how a figure explains itself; [`show`]: quantities as text.
//!
//! Scope: no browser, no markup, no clock, no input or output.
#![no_std]

extern crate alloc;

pub mod advice;
pub mod already_cut;
pub mod backward;
pub mod battens;
pub mod bench_days;
pub mod bracing;
pub mod brief;
pub mod cautions;
pub mod cloth;
pub mod compare;
pub mod costs;
pub mod diary;
pub mod draft;
pub mod fasteners;
pub mod fault;
pub mod fields;
pub mod figure;
pub mod find_size;
pub mod formulas;
pub mod frame;
pub mod ground;
pub mod hanging;
pub mod kit;
pub mod moisture;
pub mod parse;
pub mod paste;
pub mod pitch;
pub mod plan;
pub mod searches;
pub mod shares;
pub mod show;
pub mod size;
pub mod species;
pub mod staples;
pub mod timber;
pub mod tone;
pub mod what_if;

pub use backward::backward;
pub use brief::{Brief, check};
pub use diary::Day;
pub use draft::{Draft, Record, Tree};
pub use fault::{Fault, FaultKind};
pub use fields::{Field, FieldRef, Stage, Table};
pub use figure::{Figure, Given, How, Input, Origin, Value};
pub use plan::{Effort, Plan, plan, plan_on, plan_with};
pub use searches::Searches;
pub use shares::alone;
pub use show::{Fraction, Show, Units};
pub use what_if::{WhatIf, what_if};
