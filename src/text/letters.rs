//! Splitting a run of letters against the declared symbols: the longest name
//! first, taking back a choice that leaves a rest which is no name.

use smallvec::SmallVec;

use super::diagnostic::{Diagnostic, DiagnosticKind};
use super::functions::function;
use super::greek;
use super::names::{LONGEST_NAME, Names};
use super::readings::Flips;
use super::said::not_maths;
use super::span::Span;
use super::tokens::{Kind, Token, TokenSite, Tokens};
use super::vocabulary::{Undeclared, change_of, push_key};
use crate::algebra::expr::Function;
use crate::algebra::number::Number;
use crate::algebra::symbol::Symbol;

/// What stands behind a run: whether a function at its end can have an
/// argument, and whether an `e` at its end is raised to a power.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum After {
    Operand,
    Bracket,
    Power,
    Perhaps,
    Nothing,
}

/// A run in its usual letters: raised and lowered characters told apart,
/// Greek variants made one.
struct Run {
    usual: String,
    /// For each character its byte in `usual` and in the source, then the ends.
    /// Also whether it stands inside braces.
    marks: SmallVec<[(u32, u32, bool); 24]>,
}

#[allow(clippy::cast_possible_truncation)]
impl Run {
    fn new(text: &str, spans: &[Span]) -> Self {
        let mut usual = String::with_capacity(24);
        let mut marks = SmallVec::new();
        let mut end = 0;
        let mut inside = false;
        for span in spans {
            let mut lowered = false;
            for (at, character) in span.of(text).char_indices() {
                let source = (span.start + at) as u32;
                let plain = greek::lowered(character);
                if plain.is_some() && !lowered && !usual.ends_with('_') {
                    marks.push((usual.len() as u32, source, false));
                    usual.push('_');
                }
                lowered = plain.is_some();
                marks.push((usual.len() as u32, source, inside));
                inside = (inside || character == '{') && character != '}';
                usual.push(plain.unwrap_or_else(|| greek::usual(character)));
            }
            end = span.end;
        }
        marks.push((usual.len() as u32, end as u32, false));
        Run { usual, marks }
    }

    fn len(&self) -> usize {
        self.marks.len() - 1
    }

    fn part(&self, from: usize, to: usize) -> &str {
        &self.usual[self.marks[from].0 as usize..self.marks[to].0 as usize]
    }

    fn char(&self, at: usize) -> char {
        self.part(at, at + 1).chars().next().unwrap_or(' ')
    }

    fn span(&self, from: usize, to: usize) -> Span {
        Span::new(self.marks[from].1 as usize, self.marks[to].1 as usize)
    }

    /// Whether a name may end before character `at`.
    fn may_cut(&self, at: usize) -> bool {
        if at == self.len() {
            return self.char(at - 1) != '_';
        }
        let before = self.char(at - 1);
        let here = self.char(at);
        if here == '_' || before == '_' || here == '}' || ('\u{300}'..='\u{36f}').contains(&here) {
            return false;
        }
        if before.is_ascii_digit() && here.is_ascii_digit() {
            return false;
        }
        !self.marks[at].2
    }
}

/// One way to go on from a place in a run.
#[derive(Debug, Clone)]
struct Step {
    to: usize,
    kind: Kind,
    /// Digits behind a function's name begin here: `sin2θ`.
    digits: Option<usize>,
}

/// Splits the run that `spans` cover (two of them for `delta v`) and adds its
/// tokens.
pub(super) fn split(
    text: &str,
    spans: &[Span],
    names: &mut Names<'_>,
    after: After,
    flips: &Flips,
    out: &mut Tokens,
) -> Result<(), Diagnostic> {
    let whole = spans[0].to(spans[spans.len() - 1]);
    let typed = whole.of(text);
    // The common case, a declared letter, without any work.
    if typed.len() == 1
        && let Some(symbol) = names.find(typed)
    {
        push_symbol(typed, symbol, whole, flips, after, out);
        return Ok(());
    }
    let mut key = String::with_capacity(typed.len() + 4);
    push_key(&mut key, typed);
    let whole_symbol = names.find(&key);
    // What nobody means as a product needs no splitting: the name of a symbol
    // that is a word, and a function's name in front of what it acts on.
    if typed.is_ascii() && spans.len() == 1 && is_word(typed) && !is_inverse(typed) {
        if let Some(symbol) = whole_symbol {
            push_symbol(typed, symbol, whole, flips, after, out);
            return Ok(());
        }
        if matches!(after, After::Operand | After::Power)
            && let Some(kind) = function(typed)
        {
            push(out, kind, whole);
            return Ok(());
        }
    }
    let run = Run::new(text, spans);
    if run.len() == 1 {
        if let Some(symbol) = whole_symbol {
            push_symbol(&key, symbol, whole, flips, after, out);
            return Ok(());
        }
        match key.as_str() {
            "π" => push(out, Kind::Pi, whole),
            "e" => push(out, Kind::Euler, whole),
            _ => {
                let symbol = names.symbol_or_new(typed, text, whole)?;
                push(out, Kind::Symbol(symbol), whole);
            }
        }
        return Ok(());
    }
    if after == After::Bracket
        && whole_symbol.is_none()
        && let Some(base) = lettered_base(&run)
    {
        let name = run.span(base - 3, run.len());
        let letter = run.part(base, run.len());
        return Err(Diagnostic::new(
            DiagnosticKind::NoMeaning,
            format!("This may be a logarithm to the base {letter}, or of {letter} times what follows."),
            text,
            name,
        )
        .with_mend(format!(
            "For the base {letter} write ln(y)/ln({letter}); for the product write log({letter} (y))."
        )));
    }
    if let Some(ways) = Ways::find(&run, names, after, whole_symbol) {
        let turn = ways.turn(&run);
        if turn.is_some() {
            out.sites.push(TokenSite::Letters(whole.start));
        }
        let turn = turn.filter(|_| flips.letters(whole.start));
        let mut at = 0;
        while at < run.len() {
            let step = ways.step(at, turn);
            let name_end = step.digits.unwrap_or(step.to);
            match &step.kind {
                Kind::Symbol(symbol) => {
                    let after = if step.to == run.len() {
                        after
                    } else {
                        After::Nothing
                    };
                    push_symbol(
                        run.part(at, step.to),
                        *symbol,
                        run.span(at, step.to),
                        flips,
                        after,
                        out,
                    );
                }
                kind => push(out, kind.clone(), run.span(at, name_end)),
            }
            if let Some(digits) = step.digits {
                push_digits(text, run.span(digits, step.to), out)?;
            }
            at = step.to;
        }
        return Ok(());
    }
    match names.undeclared {
        Undeclared::Refuse => Err(stuck(text, &run, names, after)),
        Undeclared::Declare => greedy(text, &run, names, after, out),
    }
}

/// Where one letter begins between `log` and a bracket: `logx(y)`.
fn lettered_base(run: &Run) -> Option<usize> {
    let base = run.len().checked_sub(1)?;
    let letter = run.char(base);
    (base >= 3
        && letter.is_alphabetic()
        && letter != 'e'
        && matches!(run.part(base - 3, base), "log" | "Log"))
    .then_some(base)
}

fn push(out: &mut Tokens, kind: Kind, span: Span) {
    out.row.push(Token { kind, span });
}

/// A declared `e` in front of a power may also be Euler's number.
fn push_symbol(
    typed: &str,
    symbol: Symbol,
    span: Span,
    flips: &Flips,
    after: After,
    out: &mut Tokens,
) {
    if typed == "e" && after == After::Power {
        out.sites.push(TokenSite::Euler(span.start));
        if flips.euler(span.start) {
            push(out, Kind::Euler, span);
            return;
        }
    }
    push(out, Kind::Symbol(symbol), span);
}

fn push_digits(text: &str, span: Span, out: &mut Tokens) -> Result<(), Diagnostic> {
    match Number::from_decimal(span.of(text), 0) {
        Ok(number) => {
            push(out, Kind::Number(number), span);
            Ok(())
        }
        Err(_) => Err(Diagnostic::new(
            DiagnosticKind::NumberTooLarge,
            "This number is too large to be held exactly.",
            text,
            span,
        )),
    }
}

/// Whether a function whose name ends at `at` can have an argument.
fn can_stand(run: &Run, at: usize, after: After) -> bool {
    if at < run.len() {
        let next = run.char(at);
        return next.is_alphabetic() || next.is_ascii_digit();
    }
    after != After::Nothing
}

/// A function's name at `at`, the longest first: its step.
fn function_step(run: &Run, at: usize, after: After) -> Option<Step> {
    let first = run.char(at);
    if !super::functions::may_begin(first) || run.len() - at < 2 {
        return None;
    }
    for length in (2..=7.min(run.len() - at)).rev() {
        let end = at + length;
        let Some(kind) = function(run.part(at, end)) else {
            continue;
        };
        // `log10` is one name only where something follows it.
        let based = kind == Kind::Log && base_of(run, end).is_some();
        if !based && !can_stand(run, end, after) {
            continue;
        }
        if kind == Kind::Log
            && let Some((base, to)) = base_of(run, end)
            && can_stand(run, to, after)
        {
            return Some(Step {
                to,
                kind: base,
                digits: None,
            });
        }
        let mut to = end;
        while to < run.len() && run.char(to).is_ascii_digit() {
            to += 1;
        }
        if to == end && !can_stand(run, end, after) {
            continue;
        }
        // `log2(x)`: a base, as nobody writes `log(2(x))` so.
        if kind == Kind::Log
            && to == run.len()
            && after == After::Bracket
            && let Some(base) = logarithm_to(run.part(end, to))
        {
            return Some(Step {
                to,
                kind: base,
                digits: None,
            });
        }
        return Some(Step {
            to,
            kind,
            digits: (to > end).then_some(end),
        });
    }
    None
}

/// The logarithm to the base of these digits.
fn logarithm_to(digits: &str) -> Option<Kind> {
    let base = Number::from_decimal(digits, 0).ok()?;
    if base == Number::from(10) {
        Some(Kind::Function(Function::Log10))
    } else if base > Number::ONE {
        Some(Kind::LogBase(base))
    } else {
        None
    }
}

/// `_2`, `_{10}`, `_e` behind `log`.
fn base_of(run: &Run, at: usize) -> Option<(Kind, usize)> {
    if at >= run.len() || run.char(at) != '_' {
        return None;
    }
    let braced = at + 1 < run.len() && run.char(at + 1) == '{';
    let from = at + 1 + usize::from(braced);
    let mut to = from;
    while to < run.len() && run.char(to).is_ascii_digit() {
        to += 1;
    }
    let kind = if to > from {
        logarithm_to(run.part(from, to))?
    } else if to < run.len() && run.char(to) == 'e' {
        to += 1;
        Kind::Function(Function::Ln)
    } else {
        return None;
    };
    if braced {
        if to >= run.len() || run.char(to) != '}' {
            return None;
        }
        to += 1;
    }
    Some((kind, to))
}

/// The ways to go on from `at`, the preferred one first.
fn steps(
    run: &Run,
    at: usize,
    names: &Names<'_>,
    after: After,
    key: &mut String,
) -> SmallVec<[Step; 4]> {
    let mut found: SmallVec<[Step; 4]> = SmallVec::new();
    if run.char(at).is_ascii_digit() || run.char(at) == '_' {
        return found;
    }
    let mut weak: SmallVec<[Step; 2]> = SmallVec::new();
    let mut call = function_step(run, at, after);
    // In front of a minus or a bar a function comes last: `lg - x` is rather a
    // product than the logarithm of -x.
    let doubtful = call
        .take_if(|step| step.to == run.len() && step.digits.is_none() && after == After::Perhaps);
    let farthest = run.len().min(at + LONGEST_NAME);
    for to in (at + 1..=farthest).rev() {
        if let Some(step) = &call
            && step.digits.unwrap_or(step.to) >= to
        {
            found.extend(call.take());
        }
        if !run.may_cut(to) {
            continue;
        }
        let part = run.part(at, to);
        if !names.may_begin(part) {
            continue;
        }
        key.clear();
        push_key(key, part);
        if let Some(symbol) = names.find(key) {
            found.push(Step {
                to,
                kind: Kind::Symbol(symbol),
                digits: None,
            });
        } else if key == "π" {
            found.push(Step {
                to,
                kind: Kind::Pi,
                digits: None,
            });
        } else if to > at + 1
            && let Some(symbol) = names.weak(key)
        {
            weak.push(Step {
                to,
                kind: Kind::Symbol(symbol),
                digits: None,
            });
        }
    }
    found.extend(call);
    found.extend(weak);
    found.extend(doubtful);
    if run.char(at) == 'e' && names.find("e").is_none() && run.may_cut(at + 1) {
        let raised = at + 1 == run.len() && after == After::Power;
        // Inside a run an undeclared `e` is Euler's number only if nothing
        // else could be meant; where new letters are welcome, the greedy
        // split decides.
        if raised || names.undeclared == Undeclared::Refuse {
            found.push(Step {
                to: at + 1,
                kind: Kind::Euler,
                digits: None,
            });
        }
    }
    found
}

/// All the ways to split a run: the steps from each place that a full split
/// can take, the preferred one first.
struct Ways {
    steps: SmallVec<[Step; 12]>,
    /// For each place where its steps begin and end.
    ranges: SmallVec<[(u32, u32); 24]>,
}

impl Ways {
    /// Nothing if the run can't be split in full.
    fn find(run: &Run, names: &Names<'_>, after: After, whole: Option<Symbol>) -> Option<Self> {
        let length = run.len();
        let mut key = String::new();
        let mut ways = Ways {
            steps: SmallVec::new(),
            ranges: SmallVec::from_elem((0, 0), length),
        };
        // From the right: whether the rest can be split, so that the walk from
        // the left never has to take a choice back.
        for at in (0..length).rev() {
            let start = ways.steps.len();
            if at == 0
                && let Some(symbol) = whole
            {
                // A name that is the whole run wins even over a function.
                ways.steps.push(Step {
                    to: length,
                    kind: Kind::Symbol(symbol),
                    digits: None,
                });
            }
            for step in steps(run, at, names, after, &mut key) {
                let replaced = at == 0 && whole.is_some();
                if step.to == length && step.digits.is_none() && replaced {
                    continue;
                }
                if step.to == length || ways.leads_on(step.to) {
                    ways.steps.push(step);
                }
            }
            #[allow(clippy::cast_possible_truncation)]
            let range = (start as u32, ways.steps.len() as u32);
            ways.ranges[at] = range;
        }
        ways.leads_on(0).then_some(ways)
    }

    fn leads_on(&self, at: usize) -> bool {
        self.ranges[at].0 < self.ranges[at].1
    }

    /// The step to take from a place, the other one where the way turns.
    fn step(&self, at: usize, turn: Option<usize>) -> &Step {
        &self.steps[self.ranges[at].0 as usize + usize::from(turn == Some(at))]
    }

    /// Where the preferred split could sensibly be left for another.
    fn turn(&self, run: &Run) -> Option<usize> {
        let mut at = 0;
        while at < run.len() {
            let step = self.step(at, None);
            if self.ranges[at].1 - self.ranges[at].0 > 1 {
                let name = run.part(at, step.digits.unwrap_or(step.to));
                if is_inverse(name) || !is_word(name) {
                    return Some(at);
                }
            }
            at = step.to;
        }
        None
    }
}

/// Whether a name begins with an a in front of a function: `asinθ` may be a
/// times the sine.
fn is_inverse(name: &str) -> bool {
    name.strip_prefix('a')
        .is_some_and(|rest| function(rest).is_some())
}

/// Whether letters are a word that nobody means as a product: the name of a
/// function or of a Greek letter, of three letters or more.
fn is_word(letters: &str) -> bool {
    letters.len() > 2 && letters.is_ascii() && {
        let base = letters
            .split(['_', '0', '1', '2'])
            .next()
            .unwrap_or(letters);
        function(letters).is_some()
            || function(base).is_some()
            || greek::letter(base).is_some()
            || change_of(base).is_some()
    }
}

/// The fault of a run that cannot be split: where the farthest try ends.
fn stuck(text: &str, run: &Run, names: &Names<'_>, after: After) -> Diagnostic {
    let length = run.len();
    let mut key = String::new();
    let mut reached = vec![false; length + 1];
    reached[0] = true;
    let mut farthest = 0;
    let mut behind_function = false;
    for at in 0..length {
        if !reached[at] {
            continue;
        }
        farthest = at;
        for step in steps(run, at, names, after, &mut key) {
            reached[step.to] = true;
        }
    }
    let at = farthest;
    if run.char(at).is_ascii_digit() && at > 0 {
        let mut to = at;
        while to < length && run.char(to).is_ascii_digit() {
            to += 1;
        }
        let mut from = at - 1;
        while from > 0 && !reached[from] {
            from -= 1;
        }
        let letter = run.part(from, at);
        let digits = run.part(at, to);
        return Diagnostic::new(
            DiagnosticKind::MissingOperator,
            format!("A number stands right behind {letter}, and no symbol {letter}{digits} is known here."),
            text,
            run.span(from, to),
        )
        .with_mend(format!(
            "For a product write {digits} {letter}; for a power write {letter}^{digits}."
        ));
    }
    // The unknown name: a letter with its digits and subscript; or the whole
    // run if it could be a misspelt name.
    let whole = run.part(0, length);
    let wordlike = names.is_wordlike(whole);
    if at == 0 || length > 2 {
        if names.nearest(whole).is_some() && !whole.contains('_') && length > 1 {
            let mut fault = names.unknown(text, run.span(0, length), run.span(0, length).of(text));
            if wordlike {
                fault.kind = DiagnosticKind::Word;
            }
            return fault;
        }
        behind_function |= function(whole).is_some();
    }
    if behind_function {
        return nothing_to_act_on(text, run);
    }
    if wordlike && greek::letter(whole).is_none() {
        return not_maths(text, run.span(0, length));
    }
    let (to, _) = fresh_name(run, at);
    let span = run.span(at, to);
    names.unknown(text, span, span.of(text))
}

/// A function's name alone.
fn nothing_to_act_on(text: &str, run: &Run) -> Diagnostic {
    let whole = run.part(0, run.len());
    Diagnostic::new(
        DiagnosticKind::MissingArgument,
        format!("{whole} has nothing to act on."),
        text,
        run.span(0, run.len()),
    )
    .with_mend(format!("Write what it acts on in brackets: {whole}(x)."))
}

/// Where new letters are welcome: functions, declared names and Greek names
/// first, then letters one by one.
fn greedy(
    text: &str,
    run: &Run,
    names: &mut Names<'_>,
    after: After,
    out: &mut Tokens,
) -> Result<(), Diagnostic> {
    let length = run.len();
    // Nobody means s times i times n.
    let whole = run.part(0, length);
    if length > 2 && function(whole).is_some() && !can_stand(run, length, after) {
        return Err(nothing_to_act_on(text, run));
    }
    if names.is_wordlike(whole) && Ways::find(run, names, after, None).is_none() {
        let letters = greek::letter(whole).is_some() || change_of(whole).is_some();
        if !letters && !holds_function(run, names, after) {
            return Err(not_maths(text, run.span(0, length)));
        }
    }
    let mut key = String::new();
    let mut at = 0;
    while at < length {
        if run.char(at).is_ascii_digit() || run.char(at) == '_' {
            let span = run.span(at, length);
            return Err(Diagnostic::new(
                DiagnosticKind::MissingOperator,
                format!(
                    "{} cannot stand right behind what is in front of it.",
                    span.of(text)
                ),
                text,
                span,
            ));
        }
        let known = steps(run, at, names, after, &mut key).into_iter().next();
        let (letter_end, name) = fresh_name(run, at);
        if let Some(step) = known
            && step.to >= letter_end
        {
            let name_end = step.digits.unwrap_or(step.to);
            push(out, step.kind, run.span(at, name_end));
            if let Some(digits) = step.digits {
                push_digits(text, run.span(digits, step.to), out)?;
            }
            at = step.to;
            continue;
        }
        let span = run.span(at, letter_end);
        if name == "e" {
            push(out, Kind::Euler, span);
        } else {
            let written = span.of(text);
            let symbol = names.declare(written);
            push(out, Kind::Symbol(symbol), span);
        }
        at = letter_end;
    }
    Ok(())
}

/// Whether the name of a function or of a Greek letter stands in a run.
fn holds_function(run: &Run, names: &Names<'_>, after: After) -> bool {
    let mut key = String::new();
    (0..run.len()).any(|at| {
        steps(run, at, names, after, &mut key)
            .iter()
            .any(|step| step.to > at + 1)
            || (2..=10.min(run.len() - at))
                .any(|length| greek::letter(run.part(at, at + length)).is_some())
    })
}

/// The new name that begins at `at`: a Greek name or one letter, with its
/// digits or its subscript; a change takes the name behind it along.
fn fresh_name(run: &Run, at: usize) -> (usize, &str) {
    let length = run.len();
    let rest = run.part(at, length);
    let mut to = at + 1;
    if let Some(changed) = change_of(rest) {
        let skipped = rest.chars().count() - changed.chars().count();
        // A change of a change is not a thing: one letter then.
        let end = match change_of(changed) {
            None => fresh_name(run, at + skipped).0,
            Some(_) => at + 1,
        };
        return (end, run.part(at, end));
    }
    for name_length in (2..=10.min(length - at)).rev() {
        if greek::letter(run.part(at, at + name_length)).is_some() {
            to = at + name_length;
            break;
        }
    }
    while to < length && ('\u{300}'..='\u{36f}').contains(&run.char(to)) {
        to += 1;
    }
    if to < length && run.char(to).is_ascii_digit() {
        while to < length && run.char(to).is_ascii_digit() {
            to += 1;
        }
    } else if to + 1 < length && run.char(to) == '_' {
        to += 1;
        if run.char(to) == '{' {
            while to < length && run.char(to) != '}' {
                to += 1;
            }
            to = (to + 1).min(length);
        } else if run.char(to).is_ascii_digit() {
            while to < length && run.char(to).is_ascii_digit() {
                to += 1;
            }
        } else {
            while to < length && run.char(to).is_alphanumeric() {
                to += 1;
            }
        }
    }
    (to, run.part(at, to))
}
