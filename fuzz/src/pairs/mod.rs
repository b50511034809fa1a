//! Pairs of expressions against an independent evaluation: a tree of our own
//! (`tree`), grown from the bytes and rewritten (`grow`), with values by an
//! arithmetic of our own (`value`). A verdict that the values contradict is a
//! crasher.

mod grow;
mod tree;
mod value;

use rejig::algebra::expr::{Equation, Expr};
use rejig::algebra::symbol::{Domain, Symbol};
use rejig::reason::equation::{Relation, relate};
use rejig::reason::isolate::{NoForm, Outcome, isolate};
use rejig::reason::putback::Support;
use rejig::reason::rearrangement::Problem;
use rejig::reason::step::Condition;
use rejig::reason::verdict::{Counterexample, Evidence, Judgement, Note, Shown, Verdict};
use rejig::text::{Undeclared, Vocabulary, read_preferred};

use grow::{Source, grow, rewrite, spoil};
use tree::{LETTERS, Name, RESULT, Tree, apply, difference, number, power, product, quotient, sum};
use value::{Near, Without, value};

/// Points at which values are compared.
const POINTS: usize = 8;

/// Tries one pair; a word for what came of it.
pub fn run(data: &[u8]) -> &'static str {
    let mut source = Source(data);
    let mode = source.below(4);
    let depth = 1 + source.below(4);
    let first = grow(&mut source, depth);
    match mode {
        0 | 1 => answers(&first, &mut source),
        2 => subjects(&first, &mut source),
        _ => lines(&first, &mut source),
    }
}

fn vocabulary() -> Vocabulary {
    let mut vocabulary = Vocabulary::new();
    for (name, domain) in LETTERS {
        vocabulary.declare(name, domain);
    }
    vocabulary
}

/// What the library reads of a tree; it must be the tree.
fn read(own: &Tree, vocabulary: &mut Vocabulary) -> Option<Expr> {
    let text = own.text();
    let chain = match read_preferred(&text, vocabulary, Undeclared::Refuse) {
        Ok(reading) => reading.chain,
        Err(fault) => {
            let message = fault.render();
            assert!(
                message.contains("which is more than I read")
                    || message.contains("the most that I"),
                "{text}: {message}"
            );
            return None;
        }
    };
    let [side] = <[Expr; 1]>::try_from(chain).expect("one side");
    if let Some(back) = Tree::of(&side) {
        let letters = point(1);
        if let (Ok(one), Ok(other)) = (value(own, &letters), value(&back, &letters)) {
            assert!(
                !one.differs(other),
                "{text} is read as {back:?}: {one:?} {other:?}"
            );
        }
    }
    Some(side)
}

/// Values of the letters, admissible and of no pattern.
fn point(index: usize) -> Vec<Near> {
    let mut state = (index as u64 + 1).wrapping_mul(0x9e37_79b9_7f4a_7c15);
    let mut next = || {
        state ^= state >> 29;
        state = state.wrapping_mul(0xbf58_476d_1ce4_e5b9);
        state ^= state >> 32;
        (state >> 11) as f64 / (1u64 << 53) as f64
    };
    LETTERS
        .iter()
        .map(|(_, domain)| {
            let share = next();
            let scale = [1.0, 4.0, 0.25, 20.0][index % 4];
            Near::exactly(match domain {
                Domain::Positive | Domain::Nonnegative => (0.05 + share) * scale,
                Domain::Real => (2.0 * share - 1.0) * scale,
                Domain::Acute => 0.01 + 1.55 * share,
            })
        })
        .collect()
}

fn admissible(near: Near, domain: Domain) -> bool {
    let Near { value, error } = near;
    match domain {
        Domain::Positive => value > error,
        Domain::Nonnegative => value > error || (value == 0.0 && error == 0.0),
        Domain::Real => true,
        Domain::Acute => value > error && value + error < 1.57,
    }
}

fn answers(formula: &Tree, source: &mut Source<'_>) -> &'static str {
    let mut answer = if source.below(8) == 0 {
        grow(source, 2)
    } else {
        formula.clone()
    };
    for _ in 0..source.below(4) {
        rewrite(&mut answer, source);
    }
    if source.below(3) == 0 {
        spoil(&mut answer, source);
    }
    let mut vocabulary = vocabulary();
    let (Some(right), Some(given)) = (
        read(formula, &mut vocabulary),
        read(&answer, &mut vocabulary),
    ) else {
        return "unread";
    };
    let subject = Symbol::from_index(RESULT);
    let equation = Equation::new(Expr::Symbol(subject), right);
    let problem = Problem::new(equation, subject, vocabulary.table());
    let judgement = problem.judge(&[given], vocabulary.table());
    let told = || {
        format!(
            "y = {}\nanswer {}\n{judgement:?}",
            formula.text(),
            answer.text()
        )
    };
    match judgement.verdict {
        Verdict::Undecided(_) => "answer undecided",
        Verdict::Right => {
            agree(formula, &answer, &judgement, told);
            "answer right"
        }
        Verdict::Wrong => match &judgement.evidence {
            Some(Evidence::Counterexample(shown)) => {
                differ(formula, &answer, shown, told);
                "answer wrong"
            }
            _ => {
                let mut compared = 0;
                let same = (0..POINTS).all(|index| {
                    let letters = point(index);
                    match (value(formula, &letters), value(&answer, &letters)) {
                        (Ok(one), Ok(other)) => {
                            compared += usize::from(one.is_sharp());
                            !one.differs(other)
                        }
                        _ => true,
                    }
                });
                assert!(
                    !same || compared < 4,
                    "rejected without numbers: {}",
                    told()
                );
                "answer wrong without numbers"
            }
        },
    }
}

/// An answer that is right has the formula's value everywhere.
fn agree(formula: &Tree, answer: &Tree, judgement: &Judgement, told: impl Fn() -> String) {
    let noted = judgement
        .notes
        .iter()
        .any(|note| matches!(note, Note::Needs(_) | Note::UndefinedSomewhere));
    for index in 0..POINTS {
        let letters = point(index);
        match (value(formula, &letters), value(answer, &letters)) {
            (Ok(one), Ok(other)) => assert!(
                !one.differs(other),
                "called right, yet {one:?} and {other:?} at {letters:?}\n{}",
                told()
            ),
            (Ok(one), Err(Without::Undefined)) => assert!(
                noted,
                "called right, yet undefined where the formula is {one:?}, {letters:?}\n{}",
                told()
            ),
            _ => {}
        }
    }
}

fn shown(shown: &Shown) -> Near {
    match shown {
        Shown::Exact(value) if value.is_integer() && value.to_f64().abs() < 1e15 => {
            Near::exactly(value.to_f64())
        }
        other => Near::about(other.to_f64()),
    }
}

fn letters_of(values: &[(Symbol, Shown)]) -> Vec<Near> {
    let mut letters = vec![
        Near {
            value: f64::NAN,
            error: f64::NAN
        };
        LETTERS.len()
    ];
    for (symbol, value) in values {
        if let Some(place) = letters.get_mut(symbol.index()) {
            *place = shown(value);
        }
    }
    letters
}

/// Numbers that reject an answer are the two's own values, admissible, and
/// differ.
fn differ(formula: &Tree, answer: &Tree, example: &Counterexample, told: impl Fn() -> String) {
    let letters = letters_of(&example.values);
    for (symbol, own) in &example.values {
        if symbol.index() < RESULT {
            let (name, domain) = LETTERS[symbol.index()];
            let near = shown(own);
            let at_least = |least: f64| near.value >= least;
            let fits = match domain {
                Domain::Positive | Domain::Acute => near.value > 0.0,
                Domain::Nonnegative => at_least(0.0),
                Domain::Real => true,
            };
            assert!(fits, "{name} = {near:?} is not admissible\n{}", told());
        }
    }
    let expected = shown(&example.expected);
    let (one, other) = (value(formula, &letters), value(answer, &letters));
    if let Ok(one) = one {
        assert!(
            !one.differs(expected),
            "the formula gives {one:?}, not {expected:?}\n{}",
            told()
        );
    }
    match (&example.got, other) {
        (Some(got), Ok(other)) => {
            let got = shown(got);
            assert!(
                !other.differs(got),
                "the answer gives {other:?}, not {got:?}\n{}",
                told()
            );
            if let Ok(one) = one
                && one.value == other.value
                && one.is_sharp()
            {
                // Doubles can't tell them apart: then exact numbers must, or
                // the difference must be meant to be that small.
                assert!(
                    matches!(example.expected, Shown::Exact(_)) || close_is_meant(formula, answer),
                    "rejected where doubles agree: {one:?}\n{}",
                    told()
                );
            }
        }
        (None, Ok(other)) => assert!(
            !other.is_sharp(),
            "called undefined, yet {other:?}\n{}",
            told()
        ),
        _ => {}
    }
}

/// Whether one of the two has a number so small that doubles miss it.
fn close_is_meant(formula: &Tree, answer: &Tree) -> bool {
    let small = |own: &Tree| own.text().contains("00000000") || own.text().contains("(40)");
    small(formula) || small(answer)
}

/// The formula solved for one of its letters.
fn subjects(formula: &Tree, source: &mut Source<'_>) -> &'static str {
    let wanted = source.below(RESULT);
    let mut other = Tree::Letter(RESULT);
    if source.below(4) == 0 {
        other = sum(other, grow(source, 1));
    }
    if !formula.has(wanted) {
        return "unread";
    }
    let mut vocabulary = vocabulary();
    let (Some(right), Some(left)) = (
        read(formula, &mut vocabulary),
        read(&other, &mut vocabulary),
    ) else {
        return "unread";
    };
    let subject = Symbol::from_index(wanted);
    let table = vocabulary.table();
    let outcome = isolate(&Equation::new(left, right), subject, table);
    let told = || {
        let letter = LETTERS[wanted].0;
        format!(
            "{} = {} for {letter}\n{outcome:?}",
            other.text(),
            formula.text()
        )
    };
    // A place on the formula: the letters anyhow, and what it gives.
    let mut places = Vec::new();
    for index in 0..POINTS {
        let mut letters = point(index);
        letters[RESULT] = Near::exactly(0.0);
        let rest = value(&other, &letters);
        if let (Ok(whole), Ok(rest)) = (value(formula, &letters), rest) {
            let Ok(result) = value(
                &difference(Tree::Letter(0), Tree::Letter(1)),
                &[whole, rest],
            ) else {
                continue;
            };
            if result.is_sharp() {
                letters[RESULT] = result;
                places.push(letters);
            }
        }
    }
    match &outcome {
        Outcome::GaveUp(_) => {}
        Outcome::NoClosedForm(NoForm::NoSolution) => {
            assert!(
                places.is_empty(),
                "there is one at {:?}\n{}",
                places[0],
                told()
            );
        }
        Outcome::NoClosedForm(_) => {}
        Outcome::Solved {
            solutions,
            complete,
            ..
        } => {
            let values: Vec<Option<Tree>> = solutions
                .iter()
                .map(|solution| Tree::of(&solution.value))
                .collect();
            for letters in &places {
                let truth = letters[wanted];
                let mut found = false;
                let mut unsure = false;
                for (solution, own) in solutions.iter().zip(&values) {
                    let Some(own) = own else {
                        unsure = true;
                        continue;
                    };
                    match value(own, letters) {
                        Err(Without::Unsure) => unsure = true,
                        Err(Without::Undefined) => {}
                        Ok(near) => {
                            found |= !near.differs(truth);
                            unsure |= !near.is_sharp();
                            // The library knows of some that they fit only
                            // somewhere: a root that squaring brought in.
                            let sound =
                                matches!(solution.support, Support::Proved | Support::Numbers(_));
                            if !sound || !solution.conditions.iter().all(|own| holds(own, letters))
                            {
                                continue;
                            }
                            put_back(formula, &other, wanted, near, letters, &told);
                        }
                    }
                }
                assert!(
                    found || unsure || !complete,
                    "said to be all solutions, yet there is {truth:?} at {letters:?}\n{}",
                    told()
                );
            }
        }
    }
    match outcome {
        Outcome::Solved { .. } => "solved",
        Outcome::NoClosedForm(_) => "no closed form",
        Outcome::GaveUp(_) => "change of subject given up",
    }
}

/// Whether a condition certainly holds.
fn holds(condition: &Condition, letters: &[Near]) -> bool {
    let (expr, test): (&Expr, fn(Near) -> bool) = match condition {
        Condition::NonZero(expr) => (expr, |near| near.value.abs() > near.error),
        Condition::NonNegative(expr) | Condition::Positive(expr) => {
            (expr, |near| near.value > near.error)
        }
        Condition::WithinOne(expr) => (expr, |near| near.value.abs() + near.error < 1.0),
    };
    Tree::of(expr).is_some_and(|own| value(&own, letters).is_ok_and(test))
}

/// A solution whose conditions hold satisfies the formula, if it is
/// admissible and the formula has a value there.
fn put_back(
    formula: &Tree,
    other: &Tree,
    wanted: usize,
    near: Near,
    letters: &[Near],
    told: &impl Fn() -> String,
) {
    if !admissible(near, LETTERS[wanted].1) || !near.is_sharp() {
        return;
    }
    let mut letters = letters.to_vec();
    letters[wanted] = near;
    if let (Ok(right), Ok(left)) = (value(formula, &letters), value(other, &letters)) {
        assert!(
            !right.differs(left),
            "put back: {left:?} and {right:?} at {letters:?}\n{}",
            told()
        );
    }
}

/// One line against the line before.
fn lines(formula: &Tree, source: &mut Source<'_>) -> &'static str {
    let mut other = formula.clone();
    for _ in 0..source.below(3) {
        rewrite(&mut other, source);
    }
    if source.below(4) == 0 {
        spoil(&mut other, source);
    }
    let done = source.below(16);
    let letter = Tree::Letter(source.below(RESULT));
    let both = |own: Tree| match done {
        0 => power(own, 2, 1),
        1 => power(own, -1, 1),
        2 => sum(own, letter.clone()),
        3 => product(own, letter.clone()),
        4 => apply(Name::Exp, own),
        5 => apply(Name::Ln, own),
        6 => apply(Name::Sqrt, own),
        7 => apply(Name::Abs, own),
        8 => quotient(own, letter.clone()),
        9 => power(own, 3, 1),
        10 => apply(Name::Sin, own),
        11 => product(own.clone(), own),
        12 => product(number(-3), own),
        13 => quotient(own.clone(), sum(own, number(1))),
        14 => apply(Name::Arctan, own),
        _ => own,
    };
    let before = (Tree::Letter(RESULT), formula.clone());
    let after = match source.below(3) {
        0 => (both(Tree::Letter(RESULT)), both(other)),
        1 => (
            number(0),
            difference(both(other), both(Tree::Letter(RESULT))),
        ),
        _ => (both(other), both(Tree::Letter(RESULT))),
    };
    let mut vocabulary = vocabulary();
    let mut side = |own: &Tree| read(own, &mut vocabulary);
    let (Some(a), Some(b), Some(c), Some(d)) = (
        side(&before.0),
        side(&before.1),
        side(&after.0),
        side(&after.1),
    ) else {
        return "unread";
    };
    let related = relate(
        &[Equation::new(a, b)],
        &[Equation::new(c, d)],
        vocabulary.table(),
    );
    let told = || {
        format!(
            "y = {}\n{} = {}\n{related:?}",
            formula.text(),
            after.0.text(),
            after.1.text()
        )
    };
    let keeps = matches!(related.relation, Relation::Same | Relation::Gains);
    let brings = matches!(related.relation, Relation::Same | Relation::Loses);
    for index in 0..POINTS {
        let mut letters = point(index);
        let Ok(result) = value(formula, &letters) else {
            continue;
        };
        if !result.is_sharp() {
            continue;
        }
        letters[RESULT] = result;
        if keeps {
            assert_ne!(
                standing(&after, &letters),
                Some(false),
                "{:?} loses {letters:?}\n{}",
                related.relation,
                told()
            );
        }
        for guess in [
            -result.value,
            1.0 / result.value,
            result.value + 1.0,
            0.0,
            1.0,
        ] {
            letters[RESULT] = Near::about(guess);
            // Near zero and far out all functions look alike.
            let plain = (1e-3..1e3).contains(&guess.abs());
            let far = plain && (guess - result.value).abs() > 1e-3 * (1.0 + result.value.abs());
            if brings && far && standing(&after, &letters) == Some(true) {
                panic!("{:?} brings in {letters:?}\n{}", related.relation, told());
            }
        }
    }
    if let Some(Evidence::Counterexample(example)) = &related.evidence {
        let letters = letters_of(&example.values);
        if close_is_meant(formula, &after.0) || close_is_meant(formula, &after.1) {
            return "line close";
        }
        let pair = (standing(&before, &letters), standing(&after, &letters));
        if let (Some(one), Some(other)) = pair {
            assert_ne!(one, other, "the example tells nothing apart\n{}", told());
        }
    }
    match related.relation {
        Relation::Same => "line same",
        Relation::Gains => "line gains",
        Relation::Loses => "line loses",
        Relation::Different => "line different",
        Relation::Undecided(_) => "line undecided",
    }
}

/// Whether an equation holds at a place, if it is clear.
fn standing(equation: &(Tree, Tree), letters: &[Near]) -> Option<bool> {
    let left = value(&equation.0, letters).ok()?;
    let right = value(&equation.1, letters).ok()?;
    if left.differs(right) {
        let gap = (left.value - right.value).abs();
        return (gap > 1e-9 * (left.value.abs() + right.value.abs())).then_some(false);
    }
    let least = left.value.abs().max(right.value.abs());
    (left.error + right.error <= 1e-10 * least).then_some(true)
}
