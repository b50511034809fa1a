//! A working that is to show something, read from text: its task, its lines,
//! and the marks that it can earn.

use crate::algebra::calculus::Calculus;
use crate::algebra::expr::{Equation, Expr};
use crate::algebra::symbol::{Domain, Symbol, SymbolTable};
use crate::physics::dimension::Dimension;
use crate::physics::formulary::{Formulary, Proof, Statement, Topic};
use crate::physics::marking::{MarkRule, rule};
use crate::reason::answer::note_of;
use crate::reason::approximation::Approximation;
use crate::reason::marks;
use crate::reason::proof::{Report, Task, TypedLine, judge, neighbours};
use crate::reason::rates::Rates;
use crate::text::working::read_working;
use crate::text::{Diagnostic, DiagnosticKind, Readings, Span, Undeclared, Vocabulary, read};

/// A task with the letters that it uses.
#[derive(Debug, Clone)]
pub struct Argument {
    /// What is to be shown, from what.
    pub task: Task,
    /// The letters.
    pub vocabulary: Vocabulary,
    /// Codes and conditions of marks; empty for the usual ones.
    pub marks: Vec<(String, MarkRule)>,
    /// What is said to depend on what.
    pub functions: Vec<(Symbol, Symbol)>,
}

/// A working judged.
#[derive(Debug, Clone)]
pub struct Judged {
    /// The verdicts.
    pub report: Report,
    /// Why lines can't be read, for those that can't.
    pub unreadable: Vec<Option<Diagnostic>>,
    /// Whether each mark is earned; empty for the usual ones.
    pub earned: Vec<bool>,
    /// Whether each mark's own condition is met, whatever the route came to.
    pub as_written: Vec<bool>,
    /// Marks earned, and marks to be had.
    pub marks: (usize, usize),
    /// The letters, those of the working too.
    pub vocabulary: Vocabulary,
    /// How many of them are the question's; they come first.
    pub own_letters: usize,
}

impl Argument {
    /// The task of a sheet's proof.
    #[must_use]
    pub fn of_sheet(topic: &Topic, proof: &Proof) -> Self {
        let chains =
            |statements: &[Statement]| -> Vec<Vec<Expr>> { statements.iter().map(chain).collect() };
        let known = topic
            .formulae
            .iter()
            .map(|formula| (topic.formula_key(formula), formula.equation.clone()))
            .collect();
        Argument {
            task: Task {
                given: chains(&proof.given),
                helpers: chains(&proof.helpers),
                goal: chain(&proof.goal),
                known,
                relettered: Vec::new(),
                granted: Vec::new(),
                rates: Rates::default(),
                letters: topic.vocabulary.table().len(),
            },
            functions: Vec::new(),
            marks: proof
                .marks
                .iter()
                .map(|mark| (mark.code.clone(), rule(&mark.condition, &topic.vocabulary)))
                .collect(),
            vocabulary: topic.vocabulary.clone(),
        }
    }

    /// A task from typed maths. The vocabulary holds what is declared.
    ///
    /// # Errors
    /// The first text that can't be read, or is no equation.
    pub fn of_text<'t>(
        given: impl IntoIterator<Item = &'t str>,
        helpers: impl IntoIterator<Item = &'t str>,
        goal: &str,
        mut vocabulary: Vocabulary,
    ) -> Result<Self, Diagnostic> {
        let mut equation = |text: &str| -> Result<Vec<Expr>, Diagnostic> {
            let chain = read(text, &mut vocabulary, Undeclared::Declare)?
                .preferred
                .chain;
            if chain.len() < 2 {
                return Err(no_equation(text));
            }
            Ok(chain)
        };
        let given = given
            .into_iter()
            .map(&mut equation)
            .collect::<Result<Vec<_>, _>>()?;
        let helpers = helpers
            .into_iter()
            .map(&mut equation)
            .collect::<Result<Vec<_>, _>>()?;
        let goal = equation(goal)?;
        Ok(Self::of_chains(given, helpers, goal, vocabulary))
    }

    /// A task from maths that was read: the sides of each equation.
    #[must_use]
    pub fn of_chains(
        given: Vec<Vec<Expr>>,
        helpers: Vec<Vec<Expr>>,
        goal: Vec<Expr>,
        vocabulary: Vocabulary,
    ) -> Self {
        Argument {
            task: Task {
                given,
                helpers,
                goal,
                known: Vec::new(),
                relettered: Vec::new(),
                granted: Vec::new(),
                rates: Rates::default(),
                letters: vocabulary.table().len(),
            },
            vocabulary,
            marks: Vec::new(),
            functions: Vec::new(),
        }
    }

    /// Marks that a working can earn: those of the scheme, or the usual two.
    #[must_use]
    pub fn marks_to_be_had(&self) -> usize {
        match self.marks.len() {
            0 => marks::USUAL,
            scheme => scheme,
        }
    }

    /// Lines of text as sides of equations; those that can't be read are left
    /// out.
    #[must_use]
    pub fn chains(&self, lines: &[String]) -> Vec<Vec<Expr>> {
        let mut vocabulary = self.vocabulary.clone();
        lines
            .iter()
            .filter_map(|line| {
                let readings = read(line, &mut vocabulary, Undeclared::Refuse).ok()?;
                Some(readings.preferred.chain)
            })
            .collect()
    }

    /// Grants an approximation.
    pub fn grant(&mut self, approximation: Approximation) {
        if !self.task.granted.contains(&approximation) {
            self.task.granted.push(approximation);
        }
    }

    /// Adds the formulae of the sheets whose letters are all in use here, and
    /// those that would be with another letter of the same dimension for what
    /// they give: `g = ω^2 r` for `a = ω^2 r`.
    pub fn know(&mut self, formulary: &Formulary) {
        let own: Vec<(Symbol, Vec<Dimension>)> = self
            .vocabulary
            .table()
            .symbols()
            .map(|symbol| {
                let name = self.vocabulary.table().name(symbol);
                (symbol, dimensions(formulary, name))
            })
            .collect();
        for topic in &formulary.topics {
            let table = topic.vocabulary.table();
            for formula in &topic.formulae {
                let Equation { left, right } = &formula.equation;
                let key = || topic.formula_key(formula);
                let side = |side: &Expr| translated(side, table, &self.vocabulary);
                if let Some((left, right)) = side(left).zip(side(right)) {
                    self.task.known.push((key(), Equation::new(left, right)));
                }
                let (Expr::Symbol(subject), true) = (left, right.symbols().len() > 1) else {
                    continue;
                };
                let Some(dimension) = dimension_in(topic, *subject) else {
                    continue;
                };
                let Some(value) = translated(right, table, &self.vocabulary) else {
                    continue;
                };
                if dimension.is_none() {
                    continue;
                }
                for (symbol, dimensions) in &own {
                    let other = self.vocabulary.table().name(*symbol) != table.name(*subject);
                    if other && dimensions.contains(&dimension) && !value.contains(*symbol) {
                        let equation = Equation::new(Expr::Symbol(*symbol), value.clone());
                        self.task.relettered.push((key(), equation));
                    }
                }
            }
        }
    }

    /// Says that a quantity depends on another.
    pub fn depends(&mut self, function: &str, by: &str) {
        let function = self.vocabulary.declare(function, Domain::Real);
        let by = self.vocabulary.declare(by, Domain::Positive);
        self.functions.push((function, by));
    }

    /// Works out derivatives and integrals in the lines, and gives the task
    /// anew with its own worked out; nothing where there are none.
    fn with_rates(&self, typed: &mut [TypedLine], vocabulary: &mut Vocabulary) -> Option<Task> {
        let mut calculus = Calculus::default();
        for (function, by) in &self.functions {
            calculus.depends(*function, *by);
        }
        let task = &self.task;
        let mut any = !self.functions.is_empty();
        let mut learn = |chain: &[Expr]| {
            for side in chain {
                any |= side.has_calculus();
                calculus.learn(side);
            }
        };
        task.given.iter().for_each(|chain| learn(chain));
        task.helpers.iter().for_each(|chain| learn(chain));
        learn(&task.goal);
        for line in typed.iter() {
            line.readings.iter().for_each(|(chain, _)| learn(chain));
        }
        if !any {
            return None;
        }
        // What is given by something that changes changes too.
        let variables = calculus.variables();
        let premises: Vec<Equation> = task
            .given
            .iter()
            .chain(&task.helpers)
            .flat_map(|chain| neighbours(chain))
            .collect();
        for by in variables {
            for _ in 0..premises.len() {
                for equation in &premises {
                    let sides = [
                        (&equation.left, &equation.right),
                        (&equation.right, &equation.left),
                    ];
                    for (side, other) in sides {
                        if let Expr::Symbol(symbol) = side
                            && *symbol != by
                            && !other.contains(*symbol)
                            && calculus.moves(other, by)
                        {
                            calculus.suppose(*symbol, by);
                        }
                    }
                }
            }
        }
        calculus.name_all(vocabulary.table_mut());
        let table = vocabulary.table();
        let work_out = |chain: &[Expr]| -> Vec<Expr> {
            chain
                .iter()
                .map(|side| {
                    calculus
                        .worked_out(side, table)
                        .unwrap_or_else(|_| side.clone())
                })
                .collect()
        };
        let given: Vec<Vec<Expr>> = task.given.iter().map(|chain| work_out(chain)).collect();
        let helpers: Vec<Vec<Expr>> = task.helpers.iter().map(|chain| work_out(chain)).collect();
        let goal = work_out(&task.goal);
        let mut spoken = vec![goal.clone()];
        for line in typed.iter_mut() {
            for (chain, _) in &mut line.readings {
                *chain = work_out(chain);
                spoken.push(chain.clone());
            }
        }
        let mut premises = given.clone();
        premises.extend(helpers.iter().cloned());
        let rates = Rates::new(calculus, &premises, &spoken, !self.functions.is_empty());
        Some(Task {
            given,
            helpers,
            goal,
            known: task.known.clone(),
            relettered: task.relettered.clone(),
            granted: task.granted.clone(),
            rates,
            letters: task.letters,
        })
    }

    /// Judges the lines of a working.
    #[must_use]
    pub fn judge<'t>(&self, lines: impl IntoIterator<Item = &'t str>) -> Judged {
        let mut vocabulary = self.vocabulary.clone();
        let mut typed = Vec::new();
        let mut unreadable = Vec::new();
        for text in lines {
            match read_working(text, &mut vocabulary, Undeclared::Declare) {
                Ok(line) => {
                    let alone = line.readings.preferred.chain.len() < 2 && !line.goes_on;
                    unreadable.push(alone.then(|| no_equation(text)));
                    typed.push(TypedLine {
                        readings: readings(&line.readings),
                        brings_in: line.brings_in,
                        goes_on: line.goes_on,
                    });
                }
                Err(diagnostic) => {
                    typed.push(TypedLine {
                        readings: Vec::new(),
                        brings_in: false,
                        goes_on: false,
                    });
                    unreadable.push(Some(diagnostic));
                }
            }
        }
        let changed = self.with_rates(&mut typed, &mut vocabulary);
        let task = changed.as_ref().unwrap_or(&self.task);
        let report = judge(task, &typed, vocabulary.table());
        let as_written = marks::earned(&self.marks, &report, vocabulary.table());
        // Another route to the result than the scheme's is as good.
        let earned = if report.complete {
            vec![true; self.marks.len()]
        } else {
            as_written.clone()
        };
        let marks = if self.marks.is_empty() {
            marks::usual(&report)
        } else {
            (earned.iter().filter(|own| **own).count(), earned.len())
        };
        Judged {
            report,
            unreadable,
            earned,
            as_written,
            marks,
            vocabulary,
            own_letters: self.vocabulary.table().len(),
        }
    }
}

/// The dimension that a topic gives a letter.
fn dimension_in(topic: &Topic, symbol: Symbol) -> Option<Dimension> {
    let unit = match topic.quantity(symbol) {
        Some(quantity) => quantity.unit.as_ref(),
        None => topic.constant(symbol)?.unit.as_ref(),
    };
    Some(unit?.dimension.clone())
}

/// The dimensions that the sheets give a letter.
fn dimensions(formulary: &Formulary, name: &str) -> Vec<Dimension> {
    let mut found = Vec::new();
    for topic in &formulary.topics {
        let dimension = topic
            .vocabulary
            .lookup(name)
            .and_then(|symbol| dimension_in(topic, symbol));
        if let Some(dimension) = dimension
            && !found.contains(&dimension)
        {
            found.push(dimension);
        }
    }
    found
}

fn no_equation(text: &str) -> Diagnostic {
    Diagnostic::new(
        DiagnosticKind::WrongNumberOfSides,
        "An equation was expected here: two sides with an equals sign between.",
        text,
        Span::new(0, text.len()),
    )
}

fn readings(readings: &Readings) -> Vec<(Vec<Expr>, Option<crate::reason::verdict::Note>)> {
    readings
        .all()
        .map(|reading| (reading.chain.clone(), reading.differs.map(note_of)))
        .collect()
}

fn chain(statement: &Statement) -> Vec<Expr> {
    let mut sides: Vec<Expr> = statement
        .equations
        .iter()
        .map(|equation| equation.left.clone())
        .collect();
    sides.extend(
        statement
            .equations
            .last()
            .map(|equation| equation.right.clone()),
    );
    sides
}

/// An expression of one table in the letters of another, if it has them all.
fn translated(expr: &Expr, table: &SymbolTable, vocabulary: &Vocabulary) -> Option<Expr> {
    let other = |symbol| vocabulary.lookup(table.name(symbol));
    let has_all = expr
        .symbols()
        .into_iter()
        .all(|symbol| other(symbol).is_some());
    has_all.then(|| expr.with_symbols(&|symbol| other(symbol).unwrap_or(symbol)))
}
