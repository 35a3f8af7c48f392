//! The rules of the signal, each by its name for programs.

use crate::diagnosis::{Rule, Subject};

const fn rule(key: &'static str) -> Rule {
    Rule { subject: Subject::Signal, key }
}

/// Nothing comes through in any footswitch state.
pub const SILENT: Rule = rule("silent");
/// Dull with everything off.
pub const DULL_ALL_OFF: Rule = rule("dull-all-off");
/// A switch makes the tone jump.
pub const TONE_JUMP: Rule = rule("tone-jump");
/// A buffer before a fuzz whose gain depends on its source.
pub const BUFFER_BEFORE_FUZZ: Rule = rule("buffer-before-fuzz");
/// A wah before such a fuzz.
pub const WAH_BEFORE_FUZZ: Rule = rule("wah-before-fuzz");
/// A unit's input loads the guitar.
pub const LOADS_THE_GUITAR: Rule = rule("loads-the-guitar");
/// A buffer that does nothing.
pub const USELESS_BUFFER: Rule = rule("useless-buffer");
/// A long lead that a high impedance drives, after the last buffer.
pub const LONG_LEAD_AT_HIGH_IMPEDANCE: Rule = rule("long-lead-at-high-impedance");
/// A volume pedal of the wrong kind for its place.
pub const WRONG_TREADLE: Rule = rule("wrong-treadle");
/// A level that the next input can't take.
pub const TOO_HOT: Rule = rule("too-hot");
/// Ways to one place that cancel.
pub const WAYS_CANCEL: Rule = rule("ways-cancel");
/// Ways to one place of which nobody says whether they cancel.
pub const POLARITY_UNKNOWN: Rule = rule("polarity-unknown");
/// Two amps against each other.
pub const ENDS_AGAINST: Rule = rule("ends-against");
/// Two amps of which one comes later.
pub const ENDS_APART: Rule = rule("ends-apart");
/// A side of a stereo unit that leads nowhere.
pub const SIDE_OPEN: Rule = rule("side-open");
/// A side of a stereo unit that is silent while the unit is off.
pub const SIDE_SILENT: Rule = rule("side-silent");
/// Phantom power on what isn't made for it.
pub const PHANTOM_POWER: Rule = rule("phantom-power");
/// A level that doesn't fit the input it goes to.
pub const LINE_LEVEL: Rule = rule("line-level");
/// Coax as the lead of a guitar.
pub const HANDLING_NOISE: Rule = rule("handling-noise");
/// A rig so large that nothing is looked for.
pub const TOO_LARGE: Rule = rule("too-large");

/// All of them.
pub const ALL: [Rule; 20] = [
    SILENT,
    DULL_ALL_OFF,
    TONE_JUMP,
    BUFFER_BEFORE_FUZZ,
    WAH_BEFORE_FUZZ,
    LOADS_THE_GUITAR,
    WRONG_TREADLE,
    LONG_LEAD_AT_HIGH_IMPEDANCE,
    TOO_HOT,
    USELESS_BUFFER,
    WAYS_CANCEL,
    POLARITY_UNKNOWN,
    ENDS_AGAINST,
    ENDS_APART,
    SIDE_OPEN,
    SIDE_SILENT,
    PHANTOM_POWER,
    LINE_LEVEL,
    HANDLING_NOISE,
    TOO_LARGE,
];
