//! Two-dimensional layout: stacked fractions, roots with their bar, raised
//! exponents, in Unicode or in plain ASCII, within a given width.

use unicode_width::UnicodeWidthStr;

use crate::algebra::expr::{Constant, Equation, Expr, Factor, Function, Sign, Term};
use crate::algebra::number::Number;
use crate::algebra::symbol::SymbolTable;

use super::line::{self, Spelling, line, raised, shown_number};

/// The usual width of a terminal.
pub const WIDTH: usize = 80;
/// Trees deeper than this are drawn as a line from there on.
const DEEPEST: usize = 24;

/// A rectangle of text with the row on which neighbours are lined up.
#[derive(Debug, Clone)]
struct Block {
    rows: Vec<String>,
    width: usize,
    base: usize,
    /// What a neighbour may lean on without a space.
    ends: Ends,
}

/// How a block may stand next to another one.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Ends {
    /// A single letter, or a power of one.
    Letter,
    /// A number.
    Number,
    /// A bracket.
    Bracket,
    /// A name of several letters, a function, a fraction: keeps a space.
    Wide,
}

impl Block {
    fn text(text: &str, ends: Ends) -> Block {
        Block {
            width: text.width(),
            rows: vec![text.to_owned()],
            base: 0,
            ends,
        }
    }

    fn height(&self) -> usize {
        self.rows.len()
    }

    fn below(&self) -> usize {
        self.height() - self.base - 1
    }

    /// Side by side on the base row.
    fn beside(blocks: &[Block]) -> Block {
        let base = blocks.iter().map(|block| block.base).max().unwrap_or(0);
        let below = blocks.iter().map(Block::below).max().unwrap_or(0);
        let mut rows = vec![String::new(); base + below + 1];
        for block in blocks {
            let top = base - block.base;
            for (index, row) in rows.iter_mut().enumerate() {
                match index.checked_sub(top).and_then(|own| block.rows.get(own)) {
                    Some(own) => row.push_str(own),
                    None => row.push_str(&" ".repeat(block.width)),
                }
            }
        }
        Block {
            width: blocks.iter().map(|block| block.width).sum(),
            rows,
            base,
            ends: Ends::Wide,
        }
    }

    fn centred(&self, width: usize) -> Vec<String> {
        let left = (width - self.width) / 2;
        let right = width - self.width - left;
        self.rows
            .iter()
            .map(|row| format!("{}{row}{}", " ".repeat(left), " ".repeat(right)))
            .collect()
    }
}

struct Painter<'a> {
    table: &'a SymbolTable,
    spelling: Spelling,
}

impl Painter<'_> {
    fn pick(&self, fine: &'static str, plain: &'static str) -> &'static str {
        match self.spelling {
            Spelling::Unicode => fine,
            Spelling::Ascii => plain,
        }
    }

    fn draw(&self, expr: &Expr, depth: usize) -> Block {
        if depth > DEEPEST {
            return Block::text(&line(expr, self.table, self.spelling), Ends::Wide);
        }
        match expr {
            Expr::Number(number) => self.number(number),
            Expr::Symbol(symbol) => {
                let name = line::name(*symbol, self.table, self.spelling);
                let letters = name.chars().filter(|c| c.is_alphabetic()).count();
                let ends = if letters <= 1 && !name.contains('_') {
                    Ends::Letter
                } else {
                    Ends::Wide
                };
                Block::text(&name, ends)
            }
            Expr::Constant(Constant::Pi) => {
                let name = self.pick("π", "pi");
                Block::text(
                    name,
                    if name.len() == 2 && name == "pi" {
                        Ends::Wide
                    } else {
                        Ends::Letter
                    },
                )
            }
            Expr::Constant(Constant::Euler) => Block::text("e", Ends::Letter),
            Expr::Sum(terms) => self.sum(terms, depth),
            Expr::Product(factors) => self.product(factors, depth),
            Expr::Power(base, exponent) => self.power(base, exponent, depth),
            Expr::Call(function, argument) => self.call(*function, argument, None, depth),
            Expr::Derivative(_) | Expr::Integral(_) => {
                Block::text(&line(expr, self.table, self.spelling), Ends::Wide)
            }
        }
    }

    fn number(&self, number: &Number) -> Block {
        let text = shown_number(number, self.spelling);
        match text.split_once('/') {
            Some((above, below)) => {
                let fraction = self.fraction(
                    &Block::text(above.trim_start_matches('-'), Ends::Number),
                    &Block::text(below, Ends::Number),
                );
                if number.is_negative() {
                    Block::beside(&[Block::text("-", Ends::Wide), fraction])
                } else {
                    fraction
                }
            }
            None => Block::text(&text, Ends::Number),
        }
    }

    fn sum(&self, terms: &[Term], depth: usize) -> Block {
        let mut parts = Vec::with_capacity(terms.len() * 2);
        for (index, term) in terms.iter().enumerate() {
            let sign = match term.sign {
                Sign::Plus => "+",
                Sign::Minus => "-",
                Sign::PlusMinus => self.pick("±", "+/-"),
                Sign::MinusPlus => self.pick("∓", "-/+"),
            };
            if index > 0 {
                parts.push(Block::text(&format!(" {sign} "), Ends::Wide));
            }
            let value = self.draw(&term.value, depth + 1);
            if index == 0 && term.sign != Sign::Plus {
                // A minus against the bar of a fraction would lengthen it.
                let gap = if value.height() > 1 { " " } else { "" };
                parts.push(Block::text(&format!("{sign}{gap}"), Ends::Wide));
            }
            let nested =
                matches!(term.value, Expr::Sum(_)) || index > 0 && starts_with_minus(&term.value);
            parts.push(if nested { self.bracket(&value) } else { value });
        }
        Block::beside(&parts)
    }

    fn product(&self, factors: &[Factor], depth: usize) -> Block {
        let (below, above): (Vec<&Factor>, Vec<&Factor>) =
            factors.iter().partition(|factor| factor.divides);
        let below: Vec<&Expr> = below.iter().map(|factor| &factor.value).collect();
        let above: Vec<&Expr> = above.iter().map(|factor| &factor.value).collect();
        if below.is_empty() {
            return self.juxtaposed(&above, depth);
        }
        // Nested products below are one row of factors.
        self.fraction(
            &self.juxtaposed(&above, depth),
            &self.juxtaposed(&below, depth),
        )
    }

    fn juxtaposed(&self, factors: &[&Expr], depth: usize) -> Block {
        let mut flat: Vec<&Expr> = Vec::new();
        for factor in factors {
            flatten(factor, &mut flat);
        }
        if let [only] = flat[..] {
            return self.draw(only, depth + 1);
        }
        let mut parts: Vec<Block> = Vec::new();
        let mut before: Option<Ends> = None;
        for factor in &flat {
            let mut block = self.draw(factor, depth + 1);
            if matches!(factor, Expr::Sum(_)) || starts_with_minus(factor) {
                block = self.bracket(&block);
            }
            if let Some(before) = before {
                let gap = match (before, block.ends) {
                    (_, Ends::Number) => self.pick("×", "*"),
                    (Ends::Letter | Ends::Number, Ends::Letter | Ends::Bracket)
                    | (Ends::Bracket, Ends::Letter | Ends::Bracket) => "",
                    _ => " ",
                };
                if !gap.is_empty() {
                    parts.push(Block::text(gap, Ends::Wide));
                }
            }
            before = Some(block.ends);
            parts.push(block);
        }
        Block::beside(&parts)
    }

    fn fraction(&self, above: &Block, below: &Block) -> Block {
        let width = above.width.max(below.width) + 2;
        let bar = self.pick("─", "-").repeat(width);
        let mut rows = above.centred(width);
        let base = rows.len();
        rows.push(bar);
        rows.extend(below.centred(width));
        Block {
            rows,
            width,
            base,
            ends: Ends::Wide,
        }
    }

    fn bracket(&self, inside: &Block) -> Block {
        self.fence(
            inside,
            ["(", "⎛", "⎜", "⎝"],
            [")", "⎞", "⎟", "⎠"],
            ["/", "|", "\\"],
            ["\\", "|", "/"],
        )
    }

    fn fence(
        &self,
        inside: &Block,
        open: [&str; 4],
        close: [&str; 4],
        open_plain: [&str; 3],
        close_plain: [&str; 3],
    ) -> Block {
        let height = inside.height();
        let piece = |fine: &[&str; 4], plain: &[&str; 3], index: usize| -> String {
            if height == 1 {
                return fine[0].to_owned();
            }
            let place = if index == 0 {
                0
            } else if index + 1 == height {
                2
            } else {
                1
            };
            match self.spelling {
                Spelling::Unicode => fine[place + 1].to_owned(),
                Spelling::Ascii => plain[place].to_owned(),
            }
        };
        let rows = inside
            .rows
            .iter()
            .enumerate()
            .map(|(index, row)| {
                format!(
                    "{}{row}{}",
                    piece(&open, &open_plain, index),
                    piece(&close, &close_plain, index)
                )
            })
            .collect();
        Block {
            rows,
            width: inside.width + 2,
            base: inside.base,
            ends: Ends::Bracket,
        }
    }

    /// A root: the bar on top, the hook on the left.
    fn root(&self, argument: &Expr, index: u32, depth: usize) -> Block {
        let inside = self.draw(argument, depth + 1);
        let mut rows = Vec::with_capacity(inside.height() + 1);
        let small = match (index, self.spelling) {
            (2, _) => " ",
            (_, Spelling::Unicode) => "³",
            (_, Spelling::Ascii) => "3",
        };
        let last = inside.height() - 1;
        let corner = self.pick("┌", " ");
        let over = self.pick("─", "_").repeat(inside.width + 1);
        // The index of a cube root stands above the hook.
        rows.push(format!(
            "{}{corner}{over}",
            if last == 0 { small } else { " " }
        ));
        for (row, text) in inside.rows.iter().enumerate() {
            let hook = if row == last {
                self.pick("╲", "\\")
            } else if row + 1 == last {
                small
            } else {
                " "
            };
            rows.push(format!("{hook}{}{text} ", self.pick("│", "|")));
        }
        Block {
            width: inside.width + 3,
            base: inside.base + 1,
            rows,
            ends: Ends::Wide,
        }
    }

    fn power(&self, base: &Expr, exponent: &Expr, depth: usize) -> Block {
        if let Expr::Call(function, argument) = base
            && !matches!(function, Function::Sqrt | Function::Cbrt | Function::Abs)
            && let Expr::Number(number) = exponent
            && number.is_integer()
            && number.is_positive()
        {
            return self.call(*function, argument, Some(number), depth);
        }
        let mut foot = self.draw(base, depth + 1);
        let plain = matches!(
            base,
            Expr::Symbol(_) | Expr::Constant(_) | Expr::Call(Function::Abs, _)
        ) || matches!(base, Expr::Number(number) if number.is_integer() && !number.is_negative());
        if !plain {
            foot = self.bracket(&foot);
        }
        let ends = if foot.ends == Ends::Bracket {
            Ends::Bracket
        } else if foot.ends == Ends::Letter {
            Ends::Letter
        } else {
            Ends::Wide
        };
        // A whole exponent is a raised digit where there is one.
        if self.spelling == Spelling::Unicode
            && foot.height() == 1
            && let Expr::Number(number) = exponent
            && number.is_integer()
        {
            let raised: String = number.to_string().chars().map(raised).collect();
            let mut made = Block::text(&format!("{}{raised}", foot.rows[0]), ends);
            made.ends = ends;
            return made;
        }
        let top = self.draw(exponent, depth + 1);
        let mut rows: Vec<String> = top
            .rows
            .iter()
            .map(|row| format!("{}{row}", " ".repeat(foot.width)))
            .collect();
        rows.extend(
            foot.rows
                .iter()
                .map(|row| format!("{row}{}", " ".repeat(top.width))),
        );
        Block {
            width: foot.width + top.width,
            base: foot.base + top.height(),
            rows,
            ends,
        }
    }

    fn call(
        &self,
        function: Function,
        argument: &Expr,
        power: Option<&Number>,
        depth: usize,
    ) -> Block {
        match function {
            Function::Sqrt => return self.root(argument, 2, depth),
            Function::Cbrt => return self.root(argument, 3, depth),
            Function::Abs => {
                let inside = self.draw(argument, depth + 1);
                let bar = ["|", "│", "│", "│"];
                return self.fence(&inside, bar, bar, ["|"; 3], ["|"; 3]);
            }
            _ => {}
        }
        let inside = self.draw(argument, depth + 1);
        let mut name = Block::text(function.name(), Ends::Wide);
        if let Some(number) = power {
            let digits = number.to_string();
            if self.spelling == Spelling::Unicode {
                let raised: String = digits.chars().map(raised).collect();
                name = Block::text(&format!("{}{raised}", function.name()), Ends::Wide);
            } else {
                name = Block::text(&format!("{}^{digits}", function.name()), Ends::Wide);
            }
        }
        let mut made = Block::beside(&[name, self.bracket(&inside)]);
        made.ends = Ends::Wide;
        made
    }
}

/// The factors of a product without divisors, those of inner products too.
pub(super) fn flatten<'a>(expr: &'a Expr, found: &mut Vec<&'a Expr>) {
    match expr {
        Expr::Product(factors) if factors.iter().all(|factor| !factor.divides) => {
            for factor in factors {
                flatten(&factor.value, found);
            }
        }
        other => found.push(other),
    }
}

fn starts_with_minus(expr: &Expr) -> bool {
    match expr {
        Expr::Number(number) => number.is_negative(),
        Expr::Sum(terms) => terms.first().is_some_and(|term| term.sign != Sign::Plus),
        _ => false,
    }
}

fn finish(block: Block) -> Vec<String> {
    block
        .rows
        .into_iter()
        .map(|row| row.trim_end().to_owned())
        .collect()
}

/// The expression in rows, at most `width` wide where it can be broken.
#[must_use]
pub fn expression(
    expr: &Expr,
    table: &SymbolTable,
    spelling: Spelling,
    width: usize,
) -> Vec<String> {
    let painter = Painter { table, spelling };
    let block = painter.draw(expr, 0);
    if block.width <= width {
        return finish(block);
    }
    let mut rows = Vec::new();
    broken(&painter, expr, 0, width, &mut rows);
    rows
}

/// The equation in rows, at most `width` wide: broken at the equals sign, then
/// between terms, and at last written as a line.
#[must_use]
pub fn equation(
    equation: &Equation,
    table: &SymbolTable,
    spelling: Spelling,
    width: usize,
) -> Vec<String> {
    let painter = Painter { table, spelling };
    let left = painter.draw(&equation.left, 0);
    let equals = Block::text(" = ", Ends::Wide);
    let right = painter.draw(&equation.right, 0);
    if left.width + 3 + right.width <= width {
        return finish(Block::beside(&[left, equals, right]));
    }
    let mut rows = Vec::new();
    broken(&painter, &equation.left, 0, width, &mut rows);
    rows.push("  =".to_owned());
    broken(&painter, &equation.right, 4, width, &mut rows);
    rows
}

/// Draws what fits, breaks sums between terms, and wraps the rest as a line.
fn broken(painter: &Painter, expr: &Expr, indent: usize, width: usize, rows: &mut Vec<String>) {
    let room = width.saturating_sub(indent).max(1);
    let pad = " ".repeat(indent);
    let block = painter.draw(expr, 0);
    if block.width <= room {
        rows.extend(finish(block).into_iter().map(|row| {
            if row.is_empty() {
                row
            } else {
                format!("{pad}{row}")
            }
        }));
        return;
    }
    if let Expr::Sum(terms) = expr
        && terms.len() > 1
    {
        let mut start = 0;
        while start < terms.len() {
            let mut end = start + 1;
            let piece = |end: usize| -> Block {
                let mut part = painter.sum(&terms[start..end], 0);
                if start > 0 && terms[start].sign == Sign::Plus {
                    part = Block::beside(&[Block::text("+ ", Ends::Wide), part]);
                }
                part
            };
            while end < terms.len() && piece(end + 1).width <= room {
                end += 1;
            }
            let part = piece(end);
            if part.width <= room {
                rows.extend(finish(part).into_iter().map(|row| format!("{pad}{row}")));
            } else {
                let text = line(
                    &Expr::Sum(terms[start..end].to_vec()),
                    painter.table,
                    painter.spelling,
                );
                wrap(&text, room, &pad, rows);
            }
            start = end;
        }
        return;
    }
    wrap(
        &line(expr, painter.table, painter.spelling),
        room,
        &pad,
        rows,
    );
}

/// Cuts a line at spaces where there are some, else where it must be.
fn wrap(text: &str, room: usize, pad: &str, rows: &mut Vec<String>) {
    let mut row = String::new();
    for word in text.split_inclusive(' ') {
        if !row.is_empty() && row.width() + word.trim_end().width() > room {
            rows.push(format!("{pad}{}", row.trim_end()));
            row.clear();
        }
        for character in word.chars() {
            if row.width() + 1 > room && !character.is_whitespace() {
                rows.push(format!("{pad}{row}"));
                row.clear();
            }
            row.push(character);
        }
    }
    if !row.trim().is_empty() {
        rows.push(format!("{pad}{}", row.trim_end()));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::text::readings::read_equation;
    use crate::text::vocabulary::{Undeclared, Vocabulary};

    fn drawn(text: &str, spelling: Spelling, width: usize) -> Vec<String> {
        let mut vocabulary = Vocabulary::new();
        let formula = read_equation(text, &mut vocabulary, Undeclared::Declare).expect(text);
        equation(&formula, vocabulary.table(), spelling, width)
    }

    #[track_caller]
    fn check(text: &str, fine: &[&str], plain: &[&str]) {
        assert_eq!(drawn(text, Spelling::Unicode, WIDTH), fine, "{text}");
        assert_eq!(drawn(text, Spelling::Ascii, WIDTH), plain, "{text}");
    }

    #[test]
    fn fractions_powers_and_roots() {
        check(
            "a = (v² - u²)/(2s)",
            &["     v² - u²", "a = ─────────", "       2s"],
            &["      2    2", "     v  - u", "a = ---------", "       2s"],
        );
        check(
            "v = √(2E/m)",
            &["     ┌─────", "     │ 2E", "v =  │────", "    ╲│ m"],
            &["      _____", "     | 2E", "v =  |----", "    \\| m"],
        );
        check("E = mc²", &["E = mc²"], &["      2", "E = mc"]);
        check("s = |x - a|", &["s = |x - a|"], &["s = |x - a|"]);
    }

    #[test]
    fn never_wider_than_asked() {
        let long = "y = a/(b + c) + √(d + e_1/f) + (g + h)^(k/m) + ln(n/p) + sin²(q/r) + \
                    abcdefghijk/(mnopq) + a b c d e_2 f g h j k m n p q r s t u v w";
        for width in [80, 40, 24, 10, 3] {
            for spelling in [Spelling::Unicode, Spelling::Ascii] {
                for row in drawn(long, spelling, width) {
                    let room = width.max(6);
                    assert!(row.width() <= room, "{row:?} at {width}");
                }
            }
        }
    }

    #[test]
    fn rows_of_a_block_are_of_one_width() {
        let mut vocabulary = Vocabulary::new();
        let formula = read_equation(
            "y = (√(a/b) + ∛c)/(1 - e^(-t/(RC)))² + |x/a|",
            &mut vocabulary,
            Undeclared::Declare,
        )
        .expect("reads");
        for spelling in [Spelling::Unicode, Spelling::Ascii] {
            let painter = Painter {
                table: vocabulary.table(),
                spelling,
            };
            let block = painter.draw(&formula.right, 0);
            assert!(block.rows.iter().all(|row| row.width() == block.width));
            assert!(block.base < block.height());
        }
    }
}
