//! A [`planner::Plan`] as the sheets a maker reads: HTML, drawings and files, as pure text.
//!
//! Scope: sheets compute nothing. If a number appears, the plan had it; everything that a maker
//! or a link supplies is text, escaped by the template library.

pub mod drawing;
