//! The field's words: what each of them means, in two sentences, and where a text says them.

use std::ops::Range;

/// A word of the field, and what it means.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Term {
    /// The word, in small letters where it isn't a name.
    pub name: &'static str,
    /// What else it goes by.
    pub also: &'static [&'static str],
    /// What it is.
    pub what: &'static str,
    /// What that means for the player.
    pub so: &'static str,
}

/// All terms that are explained, in the order of the alphabet.
pub const TERMS: &[Term] = &[
    Term {
        name: "−3 dB point",
        also: &["3 dB down", "corner"],
        what: "The highest frequency at which the level is 3 dB below its level at 200 Hz.",
        so: "Above it the treble is gone: the lower it lies, the duller the rig.",
    },
    Term {
        name: "all states",
        also: &["band", "states"],
        what: "Every way in which the rig's footswitches can stand, all at once.",
        so: "The hatched band lies between the lowest and the highest level that any of them makes.",
    },
    Term {
        name: "always-loading bypass",
        also: &["bypass"],
        what: "Off, the signal goes past the unit's effect, and the unit's input hangs on it all the same.",
        so: "Each of them in a row takes something off the guitar, on or off.",
    },
    Term {
        name: "buffered",
        also: &["buffer", "buffered bypass"],
        what: "Driven by an amplifying stage whose output is a low impedance.",
        so: "Leads behind it no longer take the treble away, and what comes after it is no longer felt by the pickup.",
    },
    Term {
        name: "ground loop",
        also: &["hum", "loop of earths"],
        what: "A closed path of screens, supply returns and mains earths.",
        so: "It may pick up hum; it is opened on the signal's side, never at a mains earth.",
    },
    Term {
        name: "headroom",
        also: &["rating"],
        what: "The part of an outlet's current that is left free.",
        so: "It is there for what units draw as they start, and for those that draw more than they say.",
    },
    Term {
        name: "high impedance",
        also: &["impedance", "high-impedance run"],
        what: "A source that gives way when something hangs on it, as a pickup does.",
        so: "Behind one every metre of lead and every input takes something off the treble.",
    },
    Term {
        name: "isolated",
        also: &["isolates", "isolated outlet"],
        what: "Of a signal: a unit that is on or buffered, whose output knows nothing of what drives it. Of a supply: \
               an outlet with a 0 V of its own, joined to no other.",
        so: "What is isolated neither feels its neighbours nor passes their noise on.",
    },
    Term {
        name: "jump",
        also: &["tone jump", "step"],
        what: "The level after a step on a switch less the level before it, the unit's own set level left out.",
        so: "A large one is heard as a tone that turns brighter or duller besides the effect.",
    },
    Term {
        name: "lead equivalent",
        also: &["sounds like", "metres of lead"],
        what: "So many metres of the guitar's own lead, straight into the amp, would put the peak at the same place.",
        so: "It says in metres how dull the rig is: every player has heard a lead of that length.",
    },
    Term {
        name: "loading",
        also: &["load", "input impedance"],
        what: "What an input does to the source before it: a resistance and a capacitance to 0 V.",
        so: "The lower the resistance, the flatter the pickup's peak.",
    },
    Term {
        name: "peak",
        also: &["resonance", "resonant peak"],
        what: "Where a pickup and the capacitance behind it resonate: the highest level above the middle of the guitar's \
               range.",
        so: "Its place and height are most of what makes a guitar sound bright or dull, thin or full.",
    },
    Term {
        name: "run",
        also: &["stretch of leads"],
        what: "All that one source drives: leads, plugs and inputs from one isolating output to the next isolating inputs.",
        so: "The capacitance of a run adds up, however many leads it is made of.",
    },
    Term {
        name: "sound",
        also: &["switches and knobs"],
        what: "Where all switches and controls stand, kept under a name.",
        so: "Each variant of a rig makes it in its own way.",
    },
    Term {
        name: "test point",
        also: &["probe"],
        what: "A place on a lead at which the level is shown instead of at the end of the rig.",
        so: "With it one sees where on the way the treble is lost.",
    },
    Term {
        name: "true bypass",
        also: &["bypass"],
        what: "Off, a mechanical switch joins the unit's input jack to its output jack.",
        so: "Nothing is amplified and nothing loads but wiring; a long row of such units is one long lead.",
    },
    Term {
        name: "variant",
        also: &["version of a rig"],
        what: "A whole rig beside others of the same project.",
        so: "Curves, figures and prices of variants are compared side by side.",
    },
];

/// What a word means, by its name or what else it goes by, capital letters or not.
#[must_use]
pub fn explained(word: &str) -> Option<&'static Term> {
    let word = word.trim().to_lowercase();
    let by_name = TERMS.iter().find(|term| term.name.to_lowercase() == word);
    by_name.or_else(|| TERMS.iter().find(|term| term.also.iter().any(|also| also.to_lowercase() == word)))
}

/// Words of a sentence that say a term besides its names, and the term's name.
const SAID: [(&str, &str); 3] =
    [("high-impedance run", "high impedance"), ("high-impedance", "high impedance"), ("buffered run", "buffered")];

/// A name that is a verb as well, so that a sentence that has it needn't mean the term.
const VERBS_TOO: [&str; 1] = ["sound"];

/// The terms that a text says, each where it stands for the first time (bytes), in their order:
/// by their names, and by what else they go by where that is more than one word, in the plural
/// too. Of several at one place the longest.
#[must_use]
pub fn said_in(text: &str) -> Vec<(Range<usize>, &'static Term)> {
    let mut found: Vec<(Range<usize>, &'static Term)> = Vec::new();
    let mut from = 0;
    while let Some(start) = next_word(text, from) {
        let longest = phrases().filter_map(|(phrase, term)| Some((end_of(text, start, phrase)?, term)));
        match longest.max_by_key(|(end, _)| *end) {
            Some((end, term)) => {
                if !found.iter().any(|(_, other)| *other == term) {
                    found.push((start..end, term));
                }
                from = end;
            }
            None => from = start + text[start..].chars().next().map_or(1, char::len_utf8),
        }
    }
    found
}

/// All by which a text can say a term.
fn phrases() -> impl Iterator<Item = (&'static str, &'static Term)> {
    let names = TERMS.iter().map(|term| (term.name, term)).filter(|(name, _)| !VERBS_TOO.contains(name));
    let several = |also: &&&str| also.contains([' ', '-']);
    let also = TERMS.iter().flat_map(move |term| term.also.iter().filter(several).map(move |also| (*also, term)));
    let called = |name: &str| TERMS.iter().find(|term| term.name == name);
    let said = SAID.iter().filter_map(move |(phrase, name)| Some((*phrase, called(name)?)));
    names.chain(also).chain(said)
}

/// Where the next word begins, from a place on.
fn next_word(text: &str, from: usize) -> Option<usize> {
    let begins = |at: usize| !text[..at].chars().next_back().is_some_and(char::is_alphanumeric);
    let ahead = text.get(from..)?.char_indices().map(|(at, c)| (from + at, c));
    ahead.filter(|(at, c)| (c.is_alphanumeric() || *c == '−') && begins(*at)).map(|(at, _)| at).next()
}

/// Where a phrase ends that begins at a place of a text, capital letters or not; none where
/// something else stands there.
fn end_of(text: &str, start: usize, phrase: &str) -> Option<usize> {
    let mut rest = text[start..].chars();
    let mut end = start;
    for wanted in phrase.chars() {
        let c = rest.next()?;
        if !c.to_lowercase().eq(wanted.to_lowercase()) {
            return None;
        }
        end += c.len_utf8();
    }
    if rest.as_str().starts_with('s') {
        rest.next();
        end += 1;
    }
    (!rest.next().is_some_and(char::is_alphanumeric)).then_some(end)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn terms_are_found_by_their_names() {
        for term in TERMS {
            assert_eq!(explained(term.name), Some(term));
            assert!(term.what.ends_with('.') && term.so.ends_with('.'), "{}", term.name);
        }
        assert_eq!(explained(" Lead Equivalent ").map(|term| term.name), Some("lead equivalent"));
        assert_eq!(explained("resonance").map(|term| term.name), Some("peak"));
        assert_eq!(explained("flux capacitor"), None);
    }

    fn said(text: &str) -> Vec<(&str, &str)> {
        said_in(text).into_iter().map(|(place, term)| (&text[place], term.name)).collect()
    }

    #[test]
    fn a_sentence_says_its_terms_in_order_and_each_once() {
        assert_eq!(said("Peak at 2.43 kHz, 5.0 dB above 200 Hz"), [("Peak", "peak")]);
        assert_eq!(said("Sounds like 14.3 m of its own lead"), [("Sounds like", "lead equivalent")]);
        assert_eq!(said("3 dB down at 4.2 kHz"), [("3 dB down", "−3 dB point")]);
        assert_eq!(said("No −3 dB point: silent"), [("−3 dB point", "−3 dB point")]);
        assert_eq!(said("High-impedance run up to Amp: 1.43 nF"), [("High-impedance run", "high impedance")]);
        assert_eq!(said("Jumps: a jump of an isolated unit"), [("Jumps", "jump"), ("isolated", "isolated")]);
        // The longest, and whole words.
        assert_eq!(said("a true bypass"), [("true bypass", "true bypass")]);
        assert_eq!(said("Peaked runners sound unbuffered, übuffered"), []);
        assert_eq!(said(""), []);
    }

    #[test]
    fn each_term_is_said_by_its_name() {
        for term in TERMS.iter().filter(|term| !VERBS_TOO.contains(&term.name)) {
            let text = format!("About “{}”.", term.name);
            assert_eq!(said_in(&text), [(9..9 + term.name.len(), term)], "{text}");
        }
    }

    #[test]
    fn terms_stand_in_order_and_once() {
        let plain = |name: &str| name.trim_start_matches('−').to_lowercase();
        assert!(TERMS.is_sorted_by(|a, b| plain(a.name) < plain(b.name)));
    }
}
