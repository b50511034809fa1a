//! Numbers for people: what a calculator would show.

use crate::algebra::number::Number;
use crate::reason::verdict::Shown;

use super::line::{Spelling, raised};

/// Significant figures of a number that is not shown exactly.
const FIGURES: usize = 4;
/// Figures that an exact number may need to be shown as it is.
const EXACT_FIGURES: usize = 6;
/// Figures of a double, at most.
const MOST_FIGURES: usize = 17;

/// A number as written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Written {
    /// Its digits.
    pub text: String,
    /// Whether nothing was rounded.
    pub exact: bool,
}

impl Written {
    /// `= 4`, or `≈ 8.333` where it is rounded.
    #[must_use]
    pub fn equated(&self, spelling: Spelling) -> String {
        match (self.exact, spelling) {
            (true, _) => format!("= {}", self.text),
            (false, Spelling::Unicode) => format!("≈ {}", self.text),
            (false, Spelling::Ascii) => format!("= about {}", self.text),
        }
    }

    /// `4`, or `about 8.333` where it is rounded.
    #[must_use]
    pub fn told(&self) -> String {
        if self.exact {
            self.text.clone()
        } else {
            format!("about {}", self.text)
        }
    }
}

/// A value in four significant figures, or exactly where six are enough.
#[must_use]
pub fn written(value: &Shown, spelling: Spelling) -> Written {
    with_figures(value, FIGURES, spelling)
}

/// Two values that are known to differ, with as many figures as it takes to
/// see it.
#[must_use]
pub fn written_apart(left: &Shown, right: &Shown, spelling: Spelling) -> (Written, Written) {
    for figures in FIGURES..=MOST_FIGURES {
        let pair = (
            with_figures(left, figures, spelling),
            with_figures(right, figures, spelling),
        );
        if pair.0.text != pair.1.text {
            return pair;
        }
    }
    (in_full(left, spelling), in_full(right, spelling))
}

fn in_full(value: &Shown, spelling: Spelling) -> Written {
    match value {
        Shown::Exact(number) => Written {
            text: number.to_string(),
            exact: true,
        },
        Shown::Near(_) => with_figures(value, MOST_FIGURES, spelling),
    }
}

fn with_figures(value: &Shown, figures: usize, spelling: Spelling) -> Written {
    let double = value.to_f64();
    if !double.is_finite() {
        return Written {
            text: "a number too large to show".to_owned(),
            exact: true,
        };
    }
    if let Shown::Exact(number) = value {
        for few in 1..=figures.max(EXACT_FIGURES) {
            let (digits, power) = decimal(double, few);
            if same(number, &digits, power) {
                return Written {
                    text: laid_out(number.is_negative(), &digits, power, spelling),
                    exact: true,
                };
            }
        }
    }
    let (digits, power) = decimal(double, figures);
    Written {
        text: laid_out(double < 0.0, &digits, power, spelling),
        exact: false,
    }
}

/// The digits of a double without zeros at the end, and the power of ten of
/// the first of them.
fn decimal(double: f64, figures: usize) -> (String, i32) {
    let text = format!("{:.*e}", figures.saturating_sub(1), double.abs());
    let (mantissa, power) = text.split_once('e').unwrap_or((&text, "0"));
    let digits: String = mantissa.chars().filter(char::is_ascii_digit).collect();
    let trimmed = digits.trim_end_matches('0');
    let digits = if trimmed.is_empty() { "0" } else { trimmed };
    (digits.to_owned(), power.parse().unwrap_or(0))
}

fn same(number: &Number, digits: &str, power: i32) -> bool {
    let last = i64::from(power) + 1 - i64::try_from(digits.len()).unwrap_or(0);
    Number::from_decimal(digits, last).is_ok_and(|decimal| decimal == number.abs())
}

fn laid_out(negative: bool, digits: &str, power: i32, spelling: Spelling) -> String {
    let sign = if negative { "-" } else { "" };
    let count = digits.len();
    let places = usize::try_from(power.unsigned_abs()).unwrap_or(0);
    if (0..6).contains(&power) {
        if count <= places + 1 {
            let zeros = "0".repeat(places + 1 - count);
            return format!("{sign}{digits}{zeros}");
        }
        let (whole, part) = digits.split_at(places + 1);
        return format!("{sign}{whole}.{part}");
    }
    if (-4..0).contains(&power) {
        let zeros = "0".repeat(places - 1);
        return format!("{sign}0.{zeros}{digits}");
    }
    let (whole, part) = digits.split_at(1);
    let point = if part.is_empty() { "" } else { "." };
    match spelling {
        Spelling::Unicode => {
            let raised: String = power.to_string().chars().map(raised).collect();
            format!("{sign}{whole}{point}{part} × 10{raised}")
        }
        Spelling::Ascii => format!("{sign}{whole}{point}{part} x 10^{power}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(value: &Shown, unicode: &str) {
        let written = written(value, Spelling::Unicode);
        assert_eq!(written.equated(Spelling::Unicode), unicode);
    }

    #[test]
    fn exact_where_short_and_rounded_where_not() {
        let exact = |top, bottom| Shown::Exact(Number::new(top, bottom));
        check(&exact(4, 1), "= 4");
        check(&exact(-17, 2), "= -8.5");
        check(&exact(25, 3), "≈ 8.333");
        check(&exact(1, 8), "= 0.125");
        check(&exact(1, 3), "≈ 0.3333");
        check(&exact(123_456, 1), "= 123456");
        check(&exact(1_234_567, 1), "≈ 1.235 × 10⁶");
        check(&exact(2_000_000, 1), "= 2 × 10⁶");
        check(&exact(1, 100_000), "= 1 × 10⁻⁵");
        check(&exact(0, 1), "= 0");
        check(&exact(-2, 3), "≈ -0.6667");
        check(&Shown::Near(5.099_019_513_592_785), "≈ 5.099");
        check(&Shown::Near(6.626_070_15e-34), "≈ 6.626 × 10⁻³⁴");
        check(&Shown::Near(f64::INFINITY), "= a number too large to show");
        assert_eq!(
            written(&Shown::Near(-6.63e-34), Spelling::Ascii).equated(Spelling::Ascii),
            "= about -6.63 x 10^-34"
        );
    }

    #[test]
    fn values_that_differ_late_are_shown_apart() {
        let left = Shown::Exact(Number::new(1, 3));
        let right = Shown::Exact(Number::new(33_333_333, 100_000_000));
        let (left, right) = written_apart(&left, &right, Spelling::Ascii);
        assert_ne!(left.text, right.text);
        let near = Shown::Exact(Number::new(1, 1));
        let tiny = &Number::new(1, 1_000_000_000_000) * &Number::new(1, 1_000_000_000_000);
        let close = Shown::Exact(&Number::ONE + &tiny);
        let (left, right) = written_apart(&near, &close, Spelling::Ascii);
        assert_ne!(left.text, right.text);
    }
}
