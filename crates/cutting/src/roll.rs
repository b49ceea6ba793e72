//! Blanks of cloth from a roll.
