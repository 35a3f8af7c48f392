//! The leads' chain matrices over a sweep, and what networks of pickups come to, kept from one
//! evaluation to the next.

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::network::{Line, SourceNetwork, Sweep, Thevenin, TwoPort};

/// A sweep, and the two-port of every line and the EMF of every network that were asked for on it.
///
/// An edit changes one lead of many; the others are found here. It is a cache
/// and nothing else: answers don't depend on what it holds.
#[derive(Debug, Clone)]
pub struct LineCache {
    sweep: Arc<Sweep>,
    ports: BTreeMap<[u64; 5], (Arc<TwoPort>, u64)>,
    /// The last networks that were asked for, the latest at the end.
    sources: Vec<(Arc<SourceNetwork>, Arc<Thevenin>)>,
    generation: u64,
}

/// Past this many kept lines, those not used of late are dropped: a length
/// that is being dragged leaves hundreds behind.
const MOST: usize = 512;
/// So many networks of pickups are kept: those of a few variants.
const MOST_SOURCES: usize = 16;

impl LineCache {
    /// An empty cache.
    #[must_use]
    pub fn new(sweep: Sweep) -> Self {
        Self { sweep: Arc::new(sweep), ports: BTreeMap::new(), sources: Vec::new(), generation: 0 }
    }

    /// Its sweep.
    #[must_use]
    pub fn sweep(&self) -> &Sweep {
        &self.sweep
    }

    /// The sweep, shared.
    #[must_use]
    pub fn shared_sweep(&self) -> Arc<Sweep> {
        Arc::clone(&self.sweep)
    }

    /// Says that a new evaluation begins; what the last few didn't use may go.
    pub fn next_generation(&mut self) {
        self.generation += 1;
        if self.ports.len() > MOST {
            let oldest = self.generation.saturating_sub(4);
            self.ports.retain(|_, (_, used)| *used >= oldest);
        }
    }

    /// The chain matrix of a line, made if it isn't kept.
    pub fn port(&mut self, line: &Line) -> Arc<TwoPort> {
        let generation = self.generation;
        let sweep = &self.sweep;
        let (port, used) = self.ports.entry(line.key()).or_insert_with(|| (Arc::new(line.two_port(sweep)), generation));
        *used = generation;
        Arc::clone(port)
    }

    /// What a network comes to, made if it isn't kept.
    pub fn source(&mut self, network: &Arc<SourceNetwork>) -> Arc<Thevenin> {
        let is_that = |kept: &Arc<SourceNetwork>| Arc::ptr_eq(kept, network) || *kept == *network;
        if let Some(at) = self.sources.iter().position(|(kept, _)| is_that(kept)) {
            let kept = self.sources.remove(at);
            self.sources.push(kept);
        } else {
            if self.sources.len() == MOST_SOURCES {
                self.sources.remove(0);
            }
            self.sources.push((Arc::clone(network), Arc::new(network.thevenin(self.sweep.omega()))));
        }
        Arc::clone(&self.sources[self.sources.len() - 1].1)
    }

    /// How many lines are kept.
    #[must_use]
    pub fn len(&self) -> usize {
        self.ports.len()
    }

    /// Whether none is.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.ports.is_empty()
    }
}
