//! Every passive stretch, evaluated once at every frequency.

use super::lanes::{LANES, Lanes, blocks};

/// |E/V|² of each entry, block after block of frequencies: the numbers that are
/// worked on together stand together, and fit the processor's second cache.
#[derive(Debug)]
pub struct Table {
    losses: Vec<Lanes>,
    entries: usize,
    points: usize,
}

impl Table {
    /// Room for so many entries at so many frequencies.
    pub fn new(entries: usize, points: usize) -> Self {
        Self { losses: vec![[0.0; LANES]; entries * blocks(points)], entries, points }
    }

    /// How many blocks there are.
    pub fn blocks(&self) -> usize {
        blocks(self.points)
    }

    /// How many frequencies there are.
    pub fn points(&self) -> usize {
        self.points
    }

    /// How many of a block's lanes are frequencies, and not filling.
    pub fn width(&self, block: usize) -> usize {
        self.points.saturating_sub(block * LANES).min(LANES)
    }

    /// The losses of all entries in a block.
    pub fn block(&self, block: usize) -> &[Lanes] {
        &self.losses[block * self.entries..(block + 1) * self.entries]
    }

    /// The same, to be written.
    pub fn block_mut(&mut self, block: usize) -> &mut [Lanes] {
        &mut self.losses[block * self.entries..(block + 1) * self.entries]
    }

    /// The losses of all entries at a frequency's index, side by side.
    pub fn column(&self, point: usize) -> Vec<f64> {
        self.block(point / LANES).iter().map(|losses| losses[point % LANES]).collect()
    }

    /// Whether a stretch lets nothing through: it does so at all frequencies or at none.
    pub fn is_silent(&self, entry: usize) -> bool {
        self.losses[entry][0].is_nan()
    }
}
