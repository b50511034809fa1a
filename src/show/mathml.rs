//! Set maths as MathML Core, which browsers draw by themselves.

use super::page::text;
use super::typeset::Piece;

/// An element with room for fractions of full size, on a line of its own.
#[must_use]
pub fn display(piece: &Piece) -> String {
    let mut out = String::from("<math displaystyle=\"true\">");
    write(piece, &mut out);
    out.push_str("</math>");
    out
}

/// An element within a line of text.
#[must_use]
pub fn inline(piece: &Piece) -> String {
    let mut out = String::from("<math>");
    write(piece, &mut out);
    out.push_str("</math>");
    out
}

fn element(name: &str, inside: &[&Piece], out: &mut String) {
    out.push('<');
    out.push_str(name);
    out.push('>');
    for piece in inside {
        write(piece, out);
    }
    out.push_str("</");
    out.push_str(name);
    out.push('>');
}

fn token(name: &str, attributes: &str, inside: &str, out: &mut String) {
    out.push('<');
    out.push_str(name);
    out.push_str(attributes);
    out.push('>');
    out.push_str(&text(inside));
    out.push_str("</");
    out.push_str(name);
    out.push('>');
}

/// A letter alone is drawn slanted by itself; this keeps it straight.
const STRAIGHT: &str = " mathvariant=\"normal\"";

fn write(piece: &Piece, out: &mut String) {
    match piece {
        Piece::Row(pieces) => {
            out.push_str("<mrow>");
            for piece in pieces {
                write(piece, out);
            }
            out.push_str("</mrow>");
        }
        Piece::Number(digits) => token("mn", "", digits, out),
        Piece::Letter(name) => token("mi", "", name, out),
        Piece::Upright(name) if name.chars().count() == 1 => token("mi", STRAIGHT, name, out),
        Piece::Upright(name) => token("mi", "", name, out),
        Piece::Sign(sign) => token("mo", "", sign, out),
        Piece::Before(sign) => token("mo", " form=\"prefix\"", sign, out),
        Piece::Gap => out.push_str("<mspace width=\"0.17em\"></mspace>"),
        Piece::Fraction(above, below) => element("mfrac", &[above, below], out),
        Piece::Root(2, inside) => element("msqrt", &[inside], out),
        Piece::Root(index, inside) => {
            let index = Piece::Number(index.to_string());
            element("mroot", &[inside, &index], out);
        }
        Piece::Raised(base, exponent) => element("msup", &[base, exponent], out),
        Piece::Lowered(base, name) => {
            out.push_str("<msub>");
            write(base, out);
            if name.bytes().all(|byte| byte.is_ascii_digit()) {
                token("mn", "", name, out);
            } else {
                let straight = if name.chars().count() == 1 {
                    STRAIGHT
                } else {
                    ""
                };
                token("mi", straight, name, out);
            }
            out.push_str("</msub>");
        }
        Piece::Fenced(open, inside, close) => {
            out.push_str("<mrow>");
            token("mo", " form=\"prefix\"", &open.to_string(), out);
            write(inside, out);
            token("mo", " form=\"postfix\"", &close.to_string(), out);
            out.push_str("</mrow>");
        }
        Piece::Integral(parts) => {
            let [from, to, of, by] = parts.as_ref();
            out.push_str("<mrow><msubsup><mo>∫</mo>");
            write(from, out);
            write(to, out);
            out.push_str("</msubsup>");
            write(of, out);
            write(&Piece::Gap, out);
            write(&Piece::Upright("d".to_owned()), out);
            write(by, out);
            out.push_str("</mrow>");
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::show::typeset::expression;
    use crate::text::{Undeclared, Vocabulary, read_expression};

    #[track_caller]
    fn check(typed: &str, expected: &str) {
        let mut vocabulary = Vocabulary::new();
        let expr = read_expression(typed, &mut vocabulary, Undeclared::Declare).unwrap();
        let found = inline(&expression(&expr, vocabulary.table()));
        assert_eq!(found, format!("<math>{expected}</math>"), "{typed}");
    }

    #[test]
    fn pieces() {
        check("a", "<mi>a</mi>");
        check("a/b", "<mfrac><mi>a</mi><mi>b</mi></mfrac>");
        check("v^2", "<msup><mi>v</mi><mn>2</mn></msup>");
        check("2a s", "<mrow><mn>2</mn><mi>a</mi><mi>s</mi></mrow>");
        check("sqrt x", "<msqrt><mi>x</mi></msqrt>");
        check("cbrt(x)", "<mroot><mi>x</mi><mn>3</mn></mroot>");
        check("v_0", "<msub><mi>v</mi><mn>0</mn></msub>");
        check(
            "E_k",
            "<msub><mi>E</mi><mi mathvariant=\"normal\">k</mi></msub>",
        );
        check("-x", "<mrow><mo form=\"prefix\">−</mo><mi>x</mi></mrow>");
        check("lambda", "<mi>λ</mi>");
        check("pi", "<mi mathvariant=\"normal\">π</mi>");
        check("1/2", "<mfrac><mn>1</mn><mn>2</mn></mfrac>");
    }
}
