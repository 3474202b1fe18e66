//! The campaign: the headless half, where line, plan and readings meet.
//!
//! `physics` knows quantities, `stats` knows numbers, the window knows people; only this module knows all three. It
//! never names the window's toolkit. Two narrow doors: everything physical passes [`resolve`], everything statistical
//! passes `analysis`.

pub mod card;
pub mod clock;
pub mod command;
pub mod journal;
pub mod project;
pub mod project_file;
pub mod resolve;
pub mod session;
pub mod unit;
pub mod validity;
