//! How large a canvas is to be: typed as a whole, by a standard number, by a proportion, by what
//! it must fit into, or as part of a group.
//!
//! * [`standard`]: the table of standard sizes; [`typed`]: a whole size in one text.

pub mod standard;
pub mod typed;
