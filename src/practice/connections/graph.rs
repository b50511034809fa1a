//! The graph of formulae and quantities, and the shortest chains in it.
//!
//! A quantity is its name in the sheets and its dimension, never its letter:
//! tension is not period, though both are `T`.

use std::collections::VecDeque;

use rustc_hash::{FxHashMap, FxHashSet};

use crate::physics::dimension::Dimension;
use crate::physics::formulary::{Formula, Formulary, Topic};

/// Quantities that stand in so many formulae that a chain through them says
/// little.
const COMMON: [&str; 2] = ["time", "number of turns"];

/// A step of a chain: a formula that leads to a quantity.
#[derive(Debug, Clone)]
pub struct Hop<'f> {
    /// The formula's topic.
    pub topic: &'f Topic,
    /// The formula.
    pub formula: &'f Formula,
    /// The name of the quantity that it leads to.
    pub to: String,
}

/// A chain of formulae from one quantity to another.
#[derive(Debug, Clone)]
pub struct Chain<'f> {
    /// The name of the quantity that it begins with.
    pub from: String,
    /// Its steps.
    pub hops: Vec<Hop<'f>>,
}

/// What can be told apart: a name and what it is measured in.
type Node = (String, Option<Dimension>);

/// Formulae and quantities.
#[derive(Debug)]
pub struct Graph<'f> {
    nodes: Vec<Node>,
    formulae: Vec<(&'f Topic, &'f Formula, Vec<usize>)>,
    /// The formulae of each quantity.
    of: Vec<Vec<usize>>,
    synonyms: Vec<(String, Vec<String>)>,
}

impl<'f> Graph<'f> {
    /// The graph of all sheets.
    #[must_use]
    pub fn new(formulary: &'f Formulary) -> Self {
        let mut graph = Graph {
            nodes: Vec::new(),
            formulae: Vec::new(),
            of: Vec::new(),
            synonyms: formulary
                .synonyms
                .iter()
                .map(|own| {
                    let lower = |text: &String| text.to_lowercase();
                    (lower(&own.name), own.words.iter().map(lower).collect())
                })
                .collect(),
        };
        let mut index: FxHashMap<Node, usize> = FxHashMap::default();
        for topic in &formulary.topics {
            for formula in &topic.formulae {
                let mut own = Vec::new();
                for symbol in topic.subjects(formula) {
                    let Some(quantity) = topic.quantity(symbol) else {
                        continue;
                    };
                    let dimension = quantity.unit.as_ref().map(|unit| unit.dimension.clone());
                    let node = (quantity.name.to_lowercase(), dimension);
                    let next = graph.nodes.len();
                    let at = *index.entry(node.clone()).or_insert(next);
                    if at == next {
                        graph.nodes.push(node);
                        graph.of.push(Vec::new());
                    }
                    if !own.contains(&at) {
                        own.push(at);
                    }
                }
                for at in &own {
                    graph.of[*at].push(graph.formulae.len());
                }
                graph.formulae.push((topic, formula, own));
            }
        }
        graph
    }

    /// The names of all quantities.
    pub fn names(&self) -> impl Iterator<Item = &str> {
        self.nodes.iter().map(|(name, _)| name.as_str())
    }

    /// The quantities that a word means: by name or a synonym of it, else all
    /// of a topic by its key, else those whose name holds the word.
    fn meant(&self, word: &str) -> Vec<usize> {
        let word = word.trim().to_lowercase();
        let mut names = vec![word.clone()];
        for (name, words) in &self.synonyms {
            if *name == word || words.contains(&word) {
                names.push(name.clone());
                names.extend(words.iter().cloned());
            }
        }
        let places = |fits: &dyn Fn(&str) -> bool| -> Vec<usize> {
            (0..self.nodes.len())
                .filter(|at| fits(&self.nodes[*at].0))
                .collect()
        };
        let exact = places(&|name| names.iter().any(|own| own == name));
        if !exact.is_empty() {
            return exact;
        }
        let mut of_topic: Vec<usize> = Vec::new();
        for (topic, _, own) in &self.formulae {
            if topic.key == word || topic.title.to_lowercase() == word {
                of_topic.extend(own);
            }
        }
        of_topic.sort_unstable();
        of_topic.dedup();
        if !of_topic.is_empty() {
            return of_topic;
        }
        if word.chars().count() < 3 {
            return Vec::new();
        }
        places(&|name| name.contains(&word))
    }

    /// Whether a word means any quantity or topic.
    #[must_use]
    pub fn knows(&self, word: &str) -> bool {
        !self.meant(word).is_empty()
    }

    /// The shortest chains between two quantities or topics, at most so many.
    #[must_use]
    pub fn chains(&self, from: &str, to: &str, most: usize) -> Vec<Chain<'f>> {
        let ends: FxHashSet<usize> = self.meant(to).into_iter().collect();
        let starts: Vec<usize> = self.meant(from);
        let mut found: Vec<Chain<'f>> = Vec::new();
        // A path of nodes and formulae; breadth first, so the shortest first.
        let mut queue: VecDeque<(Vec<usize>, Vec<usize>)> = starts
            .iter()
            .filter(|at| !ends.contains(at))
            .map(|at| (vec![*at], Vec::new()))
            .collect();
        let mut seen: FxHashMap<usize, usize> = FxHashMap::default();
        let mut shortest = usize::MAX;
        while let Some((nodes, formulae)) = queue.pop_front() {
            let last = nodes[nodes.len() - 1];
            if formulae.len() >= shortest {
                break;
            }
            for &number in &self.of[last] {
                if formulae.contains(&number) {
                    continue;
                }
                let (_, _, own) = &self.formulae[number];
                for &next in own {
                    if next == last || nodes.contains(&next) {
                        continue;
                    }
                    let length = formulae.len() + 1;
                    // Later and longer ways to the same quantity add nothing.
                    if seen.get(&next).is_some_and(|known| *known < length) {
                        continue;
                    }
                    seen.insert(next, length);
                    let mut nodes = nodes.clone();
                    let mut formulae = formulae.clone();
                    nodes.push(next);
                    formulae.push(number);
                    if ends.contains(&next) {
                        shortest = shortest.min(length);
                        found.push(self.chain(&nodes, &formulae));
                        if found.len() >= most {
                            return found;
                        }
                    } else if !COMMON.contains(&self.nodes[next].0.as_str()) {
                        queue.push_back((nodes, formulae));
                    }
                }
            }
        }
        found
    }

    fn chain(&self, nodes: &[usize], formulae: &[usize]) -> Chain<'f> {
        Chain {
            from: self.nodes[nodes[0]].0.clone(),
            hops: formulae
                .iter()
                .zip(&nodes[1..])
                .map(|(number, to)| {
                    let (topic, formula, _) = &self.formulae[*number];
                    Hop {
                        topic,
                        formula,
                        to: self.nodes[*to].0.clone(),
                    }
                })
                .collect(),
        }
    }
}
