//! (in work)
#![no_std]
extern crate alloc;
