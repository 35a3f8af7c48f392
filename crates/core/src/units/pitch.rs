//! Notes and their frequencies in equal temperament.
//!
//! Source: [standard, textbook, S: pitch].

/// Frequency in Hz of a note by its number, 69 being the A of 440 Hz.
#[must_use]
pub fn frequency_hz(note_number: f64) -> f64 {
    440.0 * ((note_number - 69.0) / 12.0).exp2()
}

/// The six open strings of a guitar, lowest first: note number and name.
pub const GUITAR_STRINGS: [(f64, &str); 6] =
    [(40.0, "E2"), (45.0, "A2"), (50.0, "D3"), (55.0, "G3"), (59.0, "B3"), (64.0, "E4")];

/// The four open strings of a bass, lowest first.
pub const BASS_STRINGS: [(f64, &str); 4] = [(28.0, "E1"), (33.0, "A1"), (38.0, "D2"), (43.0, "G2")];

/// Where a fret stands: its distance from the nut on a string of `scale` (same unit).
#[must_use]
pub fn fret_from_nut(scale: f64, fret: u32) -> f64 {
    scale * (1.0 - (-f64::from(fret) / 12.0).exp2())
}
