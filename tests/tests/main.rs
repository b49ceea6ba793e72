//! The whole product in three browser engines: one program, a module for each matter.

mod accessible;
mod anyone;
mod anywhere;
mod boot;
mod class;
mod code;
mod drawing;
mod files;
mod hosted;
mod kept;
mod licences;
mod microphone;
mod page;
mod print;
mod same_plan;
mod sizes;
mod strangers;
mod whatif;
mod worker;
