//! Items and their states in words, and the checklist as a page for a browser.

use std::fmt::Write as _;

use super::dates::date;
use super::escape::escape;
use super::line::{Spelling, equation, name};
use super::mathml;
use super::page::text;
use super::typeset;
use super::wrap::unbroken;
use crate::algebra::expr::Expr;
use crate::practice::checklist::{Count, Row};
use crate::practice::day::Day;
use crate::practice::item::{Item, What};
use crate::practice::mastery::Standing;

/// What an item asks, in a few words: `v = u + at for a`.
#[must_use]
pub fn item_words(item: &Item<'_>, spelling: Spelling) -> String {
    let table = item.topic.vocabulary.table();
    match item.what {
        What::Rearrangement(formula, subject) => {
            let formula = equation(&formula.equation, table, spelling);
            format!(
                "{} for {}",
                unbroken(&formula),
                name(subject, table, spelling)
            )
        }
        What::Proof(proof) => {
            let statement = escape(&proof.statement);
            format!("proof: {}", statement.trim_end_matches('.'))
        }
        What::Connection(connection) => {
            let name = connection.name.replace('-', " ");
            format!("connection: {}", escape(&name))
        }
        What::Proportion(formula) => {
            let formula = equation(&formula.equation, table, spelling);
            format!("proportion: {}", unbroken(&formula))
        }
        What::Definition(definition) => format!("definition: {}", escape(&definition.term)),
    }
}

/// The word for a standing.
#[must_use]
pub fn word(standing: Standing) -> &'static str {
    match standing {
        Standing::Secure => "secure",
        Standing::Shaky => "shaky",
        Standing::New => "not met",
    }
}

/// The sign in front of the word.
#[must_use]
pub fn sign(standing: Standing, spelling: Spelling) -> &'static str {
    match (standing, spelling) {
        (Standing::Secure, Spelling::Unicode) => "✓",
        (Standing::Secure, Spelling::Ascii) => "+",
        (Standing::Shaky, _) => "~",
        (Standing::New, Spelling::Unicode) => "·",
        (Standing::New, Spelling::Ascii) => ".",
    }
}

/// `3 secure, 2 shaky, 12 not met; 1 due`.
#[must_use]
pub fn count_words(count: &Count) -> String {
    let mut text = format!(
        "{} secure, {} shaky, {} not met",
        count.secure, count.shaky, count.new
    );
    if count.due > 0 {
        text.push_str(&format!("; {} due", count.due));
    }
    text
}

/// When an item comes back, as a short clause; empty for one never met.
#[must_use]
pub fn return_words(row: &Row<'_>, today: Day) -> String {
    match (row.progress.standing(), row.returns) {
        (Standing::New, _) => String::new(),
        (_, None) => "not again before the exam".to_owned(),
        (_, Some(day)) => match day.since(today) {
            0 => "due today".to_owned(),
            ..0 => format!("due since {}", date(day)),
            _ => format!("back {}", date(day)),
        },
    }
}

const STYLE: &str = "
body { font: 1rem/1.4 system-ui, sans-serif; color: #1a1a1a; background: #fff;
  max-width: 52rem; margin: 2rem auto; padding: 0 1rem; }
h1 { font-size: 1.5rem; margin: 0 0 .3rem; }
h2 { font-size: 1.1rem; margin: 1.6rem 0 .3rem; break-after: avoid; }
p { margin: .2rem 0 .6rem; }
table { border-collapse: collapse; width: 100%; }
caption { text-align: left; color: #444; padding-bottom: .2rem; }
th, td { text-align: left; vertical-align: top; padding: .2rem .6rem .2rem 0;
  border-bottom: 1px solid #ccc; }
th { font-weight: 600; }
td.item { width: 50%; }
td.marks { text-align: right; padding-right: 1.2rem; }
tr { break-inside: avoid; }
.secure { color: #14642c; font-weight: 600; }
.shaky { color: #8a4b00; font-weight: 600; }
.new { color: #444; }
@media print {
  body { margin: 0; max-width: none; font-size: 10pt; }
  thead { display: table-header-group; }
}
@page { margin: 15mm; }
";

/// The checklist as one page: no script, no link, all of it inside.
#[must_use]
pub fn page(rows: &[Row<'_>], today: Day, exam: Option<Day>) -> String {
    let mut out = String::with_capacity(1 << 16);
    out.push_str("<!DOCTYPE html>\n<html lang=\"en-GB\">\n<head>\n<meta charset=\"utf-8\">\n");
    out.push_str("<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n");
    let _ = writeln!(out, "<title>Checklist, {}</title>", date(today));
    let _ = writeln!(out, "<style>{STYLE}</style>\n</head>\n<body>");
    let _ = writeln!(out, "<h1>Checklist</h1>");
    let mut first = format!("{}. ", date(today));
    if let Some(exam) = exam.filter(|exam| *exam > today) {
        let _ = write!(first, "Exam on {}. ", date(exam));
    }
    let count = Count::of(rows, today);
    let _ = writeln!(out, "<p>{first}{}.</p>", count_words(&count));
    out.push_str(
        "<p>Secure: right at the first try on three different days, in two letterings where \
         there are any. A miss begins the count again.</p>\n",
    );
    for topic in rows.chunk_by(|one, other| one.item.topic_number == other.item.topic_number) {
        let Some(heading) = topic.first() else {
            continue;
        };
        let title = text(&heading.item.topic.title);
        let count = count_words(&Count::of(topic, today));
        let _ = writeln!(out, "<h2>{title}</h2>\n<table>\n<caption>{count}</caption>");
        out.push_str(
            "<thead><tr><th scope=\"col\">Item</th><th scope=\"col\">Marks</th>\
             <th scope=\"col\">State</th><th scope=\"col\">Since</th>\
             <th scope=\"col\">Comes back</th></tr></thead>\n<tbody>\n",
        );
        for row in topic {
            page_row(&mut out, row, today);
        }
        out.push_str("</tbody>\n</table>\n");
    }
    out.push_str("</body>\n</html>\n");
    out
}

/// What an item asks, with its maths as a browser sets it.
fn page_words(item: &Item<'_>) -> String {
    let table = item.topic.vocabulary.table();
    match item.what {
        What::Rearrangement(formula, subject) => format!(
            "{} for {}",
            mathml::inline(&typeset::equation(&formula.equation, table)),
            mathml::inline(&typeset::expression(&Expr::Symbol(subject), table))
        ),
        _ => text(&item_words(item, Spelling::Unicode)).into_owned(),
    }
}

fn page_row(out: &mut String, row: &Row<'_>, today: Day) {
    let standing = row.progress.standing();
    let class = match standing {
        Standing::Secure => "secure",
        Standing::Shaky => "shaky",
        Standing::New => "new",
    };
    let since = match standing {
        Standing::Secure => row.progress.secure_since(),
        Standing::Shaky => row.progress.first_met(),
        Standing::New => None,
    };
    let _ = writeln!(
        out,
        "<tr><td class=\"item\">{}</td><td class=\"marks\">{}</td><td class=\"{class}\">{} {}</td>\
         <td>{}</td><td>{}</td></tr>",
        page_words(&row.item),
        row.marks,
        sign(standing, Spelling::Unicode),
        word(standing),
        since.map(date).unwrap_or_default(),
        return_words(row, today)
    );
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::physics::formulary::Formulary;
    use crate::practice::attempt::{Attempt, AttemptId, Kind, Lettering};
    use crate::practice::checklist::rows;
    use crate::practice::item::items;
    use crate::practice::mastery::Mastery;

    #[test]
    fn a_page_is_whole_and_harmless() {
        let sheet = "topic waves: Waves <script>alert(1)</script> & 'more'
v = f λ
x_g = 2 v^n
define wavelength: length of a <b>wave</b>
";
        let formulary = Formulary::from_text("test.sheet", sheet);
        let items = items(&formulary, |_| true);
        let today = Day::new(2027, 3, 2).unwrap();
        let attempts = [Attempt {
            id: AttemptId {
                sitting: 1,
                number: 1,
            },
            day: today.plus(-1),
            moment: 0,
            item: items[0].key.clone(),
            kind: Kind::Rearrangement,
            lettering: Lettering::Sheet,
            right: true,
            wrong: 0,
            hints: 0,
            shown: false,
            support: 0,
            slip: None,
            marks: 1,
            awarded: 1,
        }];
        let mastery = Mastery::of(&attempts, today);
        let rows = rows(&items, &mastery, today, None);
        let page = page(&rows, today, Day::new(2027, 5, 17));
        assert!(page.contains("Waves &lt;script&gt;alert(1)&lt;/script&gt; &amp; &#39;more&#39;"));
        assert!(!page.contains("<script"));
        for outside in ["http", "href", "src=", "url(", "@import"] {
            assert!(!page.contains(outside), "{outside}");
        }
        assert!(
            page.contains("0 secure, 1 shaky, 4 not met; 1 due"),
            "{page}"
        );
        assert!(page.contains("<td class=\"shaky\">~ shaky</td><td>1 March 2027</td>"));
        assert!(page.contains("due today"));
        assert!(page.contains("<msub>") && page.contains("<msup>"), "{page}");
        assert!(!page.contains("x_g") && !page.contains("v^n"), "{page}");
        assert!(page.contains("Exam on 17 May 2027."));
        assert_eq!(page.matches("<tr").count(), page.matches("</tr>").count());
        assert!(page.ends_with("</html>\n"));
    }
}
