//! The independent closed paths of a graph, as short ones as there are.
//!
//! A graph with E edges, V nodes and C parts has E − V + C independent closed
//! paths [textbook: cyclomatic number]. Of the many sets of so many, the one
//! with the fewest edges in all is found by Horton's method [textbook]: every
//! shortest-path tree with one more edge is a candidate, and the shortest that
//! are independent of one another are kept.
//!
//! That takes as many candidates as there are nodes times closed paths. Of a
//! graph past [`MOST_CANDIDATES`] only some are walked, in another way: edges
//! are taken one after another, and each whose ends are joined already closes
//! one path, by the fewest of the edges before it. No other of these paths has
//! that edge for its last, so that all are independent, and there are as many
//! as the formula says [textbook: a spanning forest and its chords].

use std::collections::VecDeque;

/// Shortest closed paths that are looked at for the set with the fewest edges.
pub const MOST_CANDIDATES: usize = 1 << 14;

/// A graph; two nodes may have several edges between them.
#[derive(Debug, Clone, Default)]
pub struct Graph {
    nodes: usize,
    /// The two ends of each edge.
    edges: Vec<(usize, usize)>,
}

/// A closed path: edges in the order in which one walks them, and the node before each.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Cycle {
    /// Nodes, each where the edge at its place begins; the last edge ends at the first node.
    pub nodes: Vec<usize>,
    /// Edges.
    pub edges: Vec<usize>,
}

impl Graph {
    /// A graph of so many nodes.
    pub fn new(nodes: usize) -> Self {
        Self { nodes, edges: Vec::new() }
    }

    /// One more edge; its number.
    pub fn join(&mut self, a: usize, b: usize) -> usize {
        debug_assert!(a < self.nodes && b < self.nodes, "{a} and {b} of {}", self.nodes);
        self.edges.push((a, b));
        self.edges.len() - 1
    }

    /// The two ends of an edge.
    pub fn ends(&self, edge: usize) -> (usize, usize) {
        self.edges[edge]
    }

    /// The ends of each edge.
    #[cfg(test)]
    pub fn edges(&self) -> &[(usize, usize)] {
        &self.edges
    }

    /// E − V + C.
    pub fn independent(&self) -> usize {
        self.edges.len() + self.parts() - self.nodes
    }

    fn parts(&self) -> usize {
        let mut joined = Joined((0..self.nodes).collect());
        self.nodes - self.edges.iter().filter(|(a, b)| joined.join(*a, *b)).count()
    }

    /// Independent closed paths: all of a basis with as few edges as can be, or of
    /// a large graph as many as `most`, those that the edges of the last group
    /// close first. `group` of an edge is the higher the more its paths matter.
    pub fn closed_paths(&self, group: impl Fn(usize) -> u8, most: usize) -> Vec<Cycle> {
        if self.nodes.saturating_mul(self.independent()) <= MOST_CANDIDATES {
            self.basis()
        } else {
            self.chords(group, most)
        }
    }

    /// The paths that edges close, taken in the order of their groups, the last ones first.
    fn chords(&self, group: impl Fn(usize) -> u8, most: usize) -> Vec<Cycle> {
        let mut order: Vec<usize> = (0..self.edges.len()).collect();
        order.sort_by_key(|edge| group(*edge));
        let mut turn = vec![0; self.edges.len()];
        order.iter().enumerate().for_each(|(at, edge)| turn[*edge] = at);
        let mut joined = Joined((0..self.nodes).collect());
        let mut closing: Vec<usize> =
            order.into_iter().filter(|edge| !joined.join(self.edges[*edge].0, self.edges[*edge].1)).collect();
        // Of a group in the order of the edges.
        closing.sort_by_key(|edge| (std::cmp::Reverse(group(*edge)), *edge));
        closing.truncate(most);
        let around = self.around();
        let mut found: Vec<Cycle> = closing.into_iter().map(|edge| self.closed_by(edge, &turn, &around)).collect();
        found.sort_by(|a, b| a.edges.len().cmp(&b.edges.len()).then_with(|| a.edges.cmp(&b.edges)));
        found
    }

    /// The shortest path that an edge closes with those whose turn was before its own.
    fn closed_by(&self, edge: usize, turn: &[usize], around: &[Vec<(usize, usize)>]) -> Cycle {
        let (from, to) = self.edges[edge];
        let mut back: Vec<Option<(usize, usize)>> = vec![None; self.nodes];
        let mut todo = VecDeque::from([to]);
        while let Some(node) = todo.pop_front() {
            if node == from {
                break;
            }
            for &(by, next) in around[node].iter().filter(|(by, _)| turn[*by] < turn[edge]) {
                if next != to && back[next].is_none() {
                    back[next] = Some((by, node));
                    todo.push_back(next);
                }
            }
        }
        // From the edge's beginning back to its end, and over the edge.
        let mut cycle = Cycle { nodes: Vec::new(), edges: Vec::new() };
        let mut at = from;
        while let Some((by, next)) = back[at].filter(|_| at != to) {
            cycle.nodes.push(at);
            cycle.edges.push(by);
            at = next;
        }
        cycle.nodes.push(to);
        cycle.edges.push(edge);
        cycle.begun_at_its_least()
    }

    /// For each node its edges, and what is at their other ends.
    fn around(&self) -> Vec<Vec<(usize, usize)>> {
        let mut around = vec![Vec::new(); self.nodes];
        for (edge, &(a, b)) in self.edges.iter().enumerate() {
            around[a].push((edge, b));
            if a != b {
                around[b].push((edge, a));
            }
        }
        around
    }

    /// A basis of the closed paths with as few edges as can be, the shortest first.
    pub fn basis(&self) -> Vec<Cycle> {
        let around = self.around();
        let mut candidates = Vec::new();
        for root in 0..self.nodes {
            self.candidates(root, &around, &mut candidates);
        }
        candidates.sort_by(|a, b| a.edges.len().cmp(&b.edges.len()).then_with(|| a.edges.cmp(&b.edges)));
        let mut kept: Vec<Cycle> = Vec::new();
        let mut space = Space::default();
        let wanted = self.independent();
        for cycle in candidates {
            if kept.len() == wanted {
                break;
            }
            if space.grows_by(Bits::of(&cycle.edges, self.edges.len())) {
                kept.push(cycle);
            }
        }
        kept
    }

    /// The shortest closed paths through a root: two branches of its tree that meet in one more edge.
    fn candidates(&self, root: usize, around: &[Vec<(usize, usize)>], found: &mut Vec<Cycle>) {
        // For each node the edge and the node that lead back to the root.
        let mut back: Vec<Option<(usize, usize)>> = vec![None; self.nodes];
        let mut reached = vec![false; self.nodes];
        reached[root] = true;
        let mut todo = VecDeque::from([root]);
        while let Some(node) = todo.pop_front() {
            for &(edge, next) in &around[node] {
                if !std::mem::replace(&mut reached[next], true) {
                    back[next] = Some((edge, node));
                    todo.push_back(next);
                }
            }
        }
        let way = |mut node: usize| {
            let mut way = Vec::new();
            while let Some((edge, next)) = back[node] {
                way.push((edge, node));
                node = next;
            }
            way
        };
        for (edge, &(a, b)) in self.edges.iter().enumerate() {
            if !reached[a] || back[a].is_some_and(|(e, _)| e == edge) || back[b].is_some_and(|(e, _)| e == edge) {
                continue;
            }
            let (there, home) = (way(a), way(b));
            // Branches that share more than the root are another root's candidate.
            if there.iter().any(|(_, node)| home.iter().any(|(_, other)| node == other)) {
                continue;
            }
            // From the root out to `a`, over the edge, and from `b` home.
            let mut cycle = Cycle { nodes: vec![root], edges: Vec::new() };
            for &(edge, node) in there.iter().rev() {
                cycle.edges.push(edge);
                cycle.nodes.push(node);
            }
            cycle.edges.push(edge);
            for &(edge, node) in &home {
                cycle.nodes.push(node);
                cycle.edges.push(edge);
            }
            found.push(cycle.begun_at_its_least());
        }
    }
}

impl Cycle {
    /// The same closed path, begun at its least node, so that it is told one way only.
    fn begun_at_its_least(mut self) -> Self {
        if let Some(at) = (0..self.nodes.len()).min_by_key(|&at| self.nodes[at]) {
            self.nodes.rotate_left(at);
            self.edges.rotate_left(at);
        }
        self
    }
}

/// Nodes that edges have joined so far.
struct Joined(Vec<usize>);

impl Joined {
    fn root(&mut self, mut node: usize) -> usize {
        while self.0[node] != node {
            // Each step halves the way for those that come after.
            self.0[node] = self.0[self.0[node]];
            node = self.0[node];
        }
        node
    }

    /// Joins two; false if they were joined before.
    fn join(&mut self, a: usize, b: usize) -> bool {
        let (a, b) = (self.root(a), self.root(b));
        self.0[a] = b;
        a != b
    }
}

/// A set of edges.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Bits(Vec<u64>);

impl Bits {
    fn of(edges: &[usize], all: usize) -> Self {
        let mut words = vec![0; all.div_ceil(64)];
        for &edge in edges {
            words[edge / 64] ^= 1 << (edge % 64);
        }
        Self(words)
    }

    fn highest(&self) -> Option<usize> {
        let word = self.0.iter().rposition(|word| *word != 0)?;
        Some(64 * word + 63 - self.0[word].leading_zeros() as usize)
    }
}

/// Sets whose sums (an edge twice is no edge) are known, each with another highest edge.
#[derive(Debug, Default)]
struct Space(Vec<(usize, Bits)>);

impl Space {
    /// Takes a set in; false if it is a sum of those that are there.
    fn grows_by(&mut self, mut set: Bits) -> bool {
        while let Some(highest) = set.highest() {
            match self.0.iter().find(|(other, _)| *other == highest) {
                Some((_, other)) => set.0.iter_mut().zip(&other.0).for_each(|(a, b)| *a ^= b),
                None => {
                    self.0.push((highest, set));
                    return true;
                }
            }
        }
        false
    }
}

#[cfg(test)]
mod tests {
    use rigwright_tests::Dice;

    use super::*;

    fn check(graph: &Graph) {
        check_paths(graph, &graph.basis());
        check_paths(graph, &graph.chords(|edge| (edge % 3) as u8, usize::MAX));
    }

    fn check_paths(graph: &Graph, basis: &[Cycle]) {
        assert_eq!(basis.len(), graph.independent(), "{graph:?}");
        let mut space = Space::default();
        for cycle in basis {
            assert_eq!(cycle.nodes.len(), cycle.edges.len());
            for (at, &edge) in cycle.edges.iter().enumerate() {
                let (from, to) = (cycle.nodes[at], cycle.nodes[(at + 1) % cycle.nodes.len()]);
                let ends = graph.edges()[edge];
                assert!(ends == (from, to) || ends == (to, from), "{cycle:?} of {graph:?}");
            }
            for list in [&cycle.nodes, &cycle.edges] {
                let mut once = list.clone();
                once.sort_unstable();
                once.dedup();
                assert_eq!(once.len(), list.len(), "{cycle:?} goes somewhere twice");
            }
            assert!(space.grows_by(Bits::of(&cycle.edges, graph.edges().len())), "{cycle:?} is a sum of others");
        }
    }

    #[test]
    fn random_graphs_have_as_many_closed_paths_as_the_formula_says() {
        let mut dice = Dice::new(7);
        for _ in 0..400 {
            let nodes = 1 + dice.below(14);
            let mut graph = Graph::new(nodes);
            for _ in 0..dice.below(30) {
                graph.join(dice.below(nodes), dice.below(nodes));
            }
            check(&graph);
        }
    }

    #[test]
    fn a_ladder_has_its_meshes_and_not_their_sums() {
        // Two rails of eleven nodes with eleven rungs: ten meshes of four edges.
        let mut graph = Graph::new(22);
        for at in 0..11 {
            graph.join(at, 11 + at);
            if at > 0 {
                graph.join(at - 1, at);
                graph.join(10 + at, 11 + at);
            }
        }
        check(&graph);
        let basis = graph.basis();
        assert_eq!(basis.len(), 10);
        assert!(basis.iter().all(|cycle| cycle.edges.len() == 4), "{basis:?}");
    }

    /// The paths are counted before any is walked, and each is closed by an edge of
    /// the last group that closes any.
    #[test]
    fn of_a_large_graph_those_of_the_last_group_come_first() {
        let nodes = 300;
        let mut graph = Graph::new(nodes + 1);
        for at in 0..nodes {
            graph.join(at, (at + 1) % nodes);
        }
        for at in 0..nodes {
            graph.join(at, nodes);
        }
        // One ring, and each spoke after the first closes another: 2·300 − 301 + 1 [S: cyclomatic].
        assert_eq!(graph.independent(), 300);
        assert!((nodes + 1) * 300 > MOST_CANDIDATES);
        let is_spoke = |edge: usize| u8::from(edge >= nodes);
        let some = graph.closed_paths(is_spoke, 100);
        assert_eq!(some.len(), 100);
        assert!(some.iter().all(|cycle| cycle.edges.iter().any(|edge| is_spoke(*edge) == 1)), "{some:?}");
        // Spokes of neighbours are two steps and one: no way about the whole ring.
        assert!(some.iter().filter(|cycle| cycle.edges.len() == 3).count() > 90, "{some:?}");
        check_paths(&graph, &graph.closed_paths(is_spoke, usize::MAX));
    }

    #[test]
    fn edges_side_by_side_and_edges_to_themselves_are_closed_paths() {
        let mut graph = Graph::new(2);
        graph.join(0, 1);
        graph.join(0, 1);
        graph.join(1, 1);
        check(&graph);
        assert_eq!(graph.independent(), 2);
    }
}
