//! Remakes the demo project: the form of the Ostrel's cowl, and three photographs of it with cameras that are known.
//!
//! From the form ([`ostrel`]) and the rest of the aircraft ([`airframe`]) come meshes; painted ([`livery`]) and lit
//! ([`daylight`]) before a field ([`field`]) they are photographed ([`photograph`]) with the cameras of [`views`]; the
//! pictures are laid under the drawing ([`placed`]) with what a builder picks and traces in them ([`picked`]), and the truth
//! about them is written beside ([`truth`]).

pub mod airframe;
pub mod bench;
pub mod bowl;
pub mod cover;
pub mod daylight;
pub mod demo;
pub mod field;
pub mod landmarks;
pub mod livery;
pub mod noise;
pub mod openings;
pub mod ostrel;
pub mod photograph;
pub mod picked;
pub mod placed;
pub mod shell;
pub mod solids;
pub mod truth;
pub mod views;
