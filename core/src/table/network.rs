//! The tree with its chances, and what answers say in it. Answers that are missing are summed out exactly, by passing
//! messages up and down the tree (Pearl 1988), for all classes side by side.

/// Chances of the values of one attribute, laid out as `[value of the parent, or 0][value][class]`.
pub(super) struct Node {
    pub parent: Option<usize>,
    pub values: usize,
    pub chances: Vec<f64>,
}

pub(super) struct Network {
    classes: usize,
    nodes: Vec<Node>,
    children: Vec<Vec<usize>>,
    /// Every node after its parent.
    order: Vec<usize>,
}

/// What the answers say.
pub(super) struct Beliefs {
    /// Natural log of the chance of the answers, by class.
    pub ln_likelihood: Vec<f64>,
    /// By attribute: the chance of each value given the answers and the class, as `[value][class]`.
    pub predicted: Vec<Vec<f64>>,
}

/// On the way up: what the answers in the branch below say.
struct Upward {
    /// By attribute, `[value][class]`: each up to a factor of the class; empty where the branch holds no answer.
    branch: Vec<Vec<f64>>,
    /// The same as the parent hears it, `[value of the parent][class]`.
    heard: Vec<Vec<f64>>,
    ln_likelihood: Vec<f64>,
}

impl Network {
    /// A network; nothing if the parents run in a circle or point nowhere.
    pub fn new(classes: usize, nodes: Vec<Node>) -> Option<Self> {
        let mut children = vec![Vec::new(); nodes.len()];
        let mut order = Vec::with_capacity(nodes.len());
        for (i, node) in nodes.iter().enumerate() {
            match node.parent {
                Some(parent) => children.get_mut(parent)?.push(i),
                None => order.push(i),
            }
        }
        let mut at = 0;
        while let Some(node) = order.get(at) {
            order.extend(children[*node].clone());
            at += 1;
        }
        (order.len() == nodes.len()).then_some(Self { classes, nodes, children, order })
    }

    /// Natural log of the chance of the answers, by class. An answer that cannot be is a gap.
    pub fn ln_likelihood(&self, answers: &[Option<usize>]) -> Vec<f64> {
        self.up(answers).ln_likelihood
    }

    /// The chance of the answers, and of every value that could come next.
    pub fn beliefs(&self, answers: &[Option<usize>]) -> Beliefs {
        let up = self.up(answers);
        let mut predicted: Vec<Vec<f64>> = vec![Vec::new(); self.nodes.len()];
        for &i in &self.order {
            let node = &self.nodes[i];
            // The chance of its values given all answers but those in its own branch.
            let mut belief = match node.parent {
                None => node.chances.clone(),
                Some(parent) => {
                    let mut reach = predicted[parent].clone();
                    if !up.heard[i].is_empty() {
                        // Take out what the parent heard from this very branch.
                        for (r, heard) in reach.iter_mut().zip(&up.heard[i]) {
                            *r = if *heard > 0.0 { *r / heard } else { 0.0 };
                        }
                    }
                    let mut above = vec![0.0; node.values * self.classes];
                    for (lines, reach) in self.lines(node).zip(reach.chunks_exact(self.classes)) {
                        for (sums, chances) in
                            above.chunks_exact_mut(self.classes).zip(lines.chunks_exact(self.classes))
                        {
                            for ((sum, chance), reach) in sums.iter_mut().zip(chances).zip(reach) {
                                *sum += chance * reach;
                            }
                        }
                    }
                    above
                }
            };
            for (b, branch) in belief.iter_mut().zip(&up.branch[i]) {
                *b *= branch;
            }
            self.normalise(&mut belief);
            predicted[i] = belief;
        }
        Beliefs { ln_likelihood: up.ln_likelihood, predicted }
    }

    fn up(&self, answers: &[Option<usize>]) -> Upward {
        let empty = || vec![Vec::new(); self.nodes.len()];
        let mut up = Upward { branch: empty(), heard: empty(), ln_likelihood: vec![0.0; self.classes] };
        for &i in self.order.iter().rev() {
            let node = &self.nodes[i];
            let answer = answers.get(i).copied().flatten().filter(|value| *value < node.values);
            let mut branch = match answer {
                Some(value) => one_hot(value, node.values, self.classes),
                None if self.children[i].iter().all(|c| up.heard[*c].is_empty()) => continue,
                None => vec![1.0; node.values * self.classes],
            };
            for child in &self.children[i] {
                if !up.heard[*child].is_empty() {
                    for (b, heard) in branch.iter_mut().zip(&up.heard[*child]) {
                        *b *= heard;
                    }
                    self.rescale(&mut branch, &mut up.ln_likelihood);
                }
            }
            let mut heard = Vec::with_capacity(self.classes * node.chances.len() / branch.len());
            for lines in self.lines(node) {
                let mut sums = vec![0.0; self.classes];
                for (chances, branch) in lines.chunks_exact(self.classes).zip(branch.chunks_exact(self.classes)) {
                    for ((sum, chance), branch) in sums.iter_mut().zip(chances).zip(branch) {
                        *sum += chance * branch;
                    }
                }
                heard.extend(sums);
            }
            self.rescale(&mut heard, &mut up.ln_likelihood);
            up.branch[i] = branch;
            up.heard[i] = heard;
        }
        up
    }

    /// The chances of a node, one piece for each value of its parent.
    fn lines<'a>(&self, node: &'a Node) -> impl Iterator<Item = &'a [f64]> {
        node.chances.chunks_exact(node.values * self.classes)
    }

    /// Makes the largest number of each class 1, and keeps the factor: products of many chances would become 0. What a
    /// node without parent says is a single number for each class, so that all of it goes into the factor.
    fn rescale(&self, numbers: &mut [f64], ln_factor: &mut [f64]) {
        let mut largest = vec![0.0_f64; self.classes];
        for line in numbers.chunks_exact(self.classes) {
            for (most, n) in largest.iter_mut().zip(line) {
                *most = most.max(*n);
            }
        }
        for line in numbers.chunks_exact_mut(self.classes) {
            for (n, most) in line.iter_mut().zip(&largest) {
                *n /= most;
            }
        }
        for (ln, most) in ln_factor.iter_mut().zip(&largest) {
            *ln += most.ln();
        }
    }

    /// Makes the numbers of each class add up to 1.
    fn normalise(&self, numbers: &mut [f64]) {
        let mut sums = vec![0.0_f64; self.classes];
        for line in numbers.chunks_exact(self.classes) {
            for (sum, n) in sums.iter_mut().zip(line) {
                *sum += n;
            }
        }
        for line in numbers.chunks_exact_mut(self.classes) {
            for (n, sum) in line.iter_mut().zip(&sums) {
                *n /= sum;
            }
        }
    }
}

fn one_hot(value: usize, values: usize, classes: usize) -> Vec<f64> {
    let mut numbers = vec![0.0; values * classes];
    numbers[value * classes..(value + 1) * classes].fill(1.0);
    numbers
}
