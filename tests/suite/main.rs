//! Outside checks, laws and the rules of the house, as one test binary.
//!
//! Expected values come from outside the code under test: `tests/SOURCES.md`, to
//! whose entries comments point, tables of independent libraries (`references/`),
//! arithmetic that is written out here, or an independent solve (`oracle`).

mod advice;
mod checks;
mod compare;
mod exports;
mod findings;
mod generator;
mod hand;
mod journeys;
mod kills;
mod large;
mod large_answers;
mod laws;
mod layers;
mod oracle;
mod pictures;
mod pictures_guitars;
mod pictures_help;
mod pictures_plot;
mod pictures_power;
mod pictures_sends;
mod pictures_sizes;
mod pictures_stereo;
mod printed;
mod raster;
mod references;
mod rigs;
mod sheet_words;
mod sources;
mod states;
mod walks;
mod window;
