//! The task `proportion`.

use serde_json::{Map, Value};

use crate::practice::paper;
use crate::practice::proportion::{Scaled, Scaling};
use crate::practice::question::Question;
use crate::reason::answer;
use crate::reason::verdict::Verdict;
use crate::show::explicit::explicit;
use crate::show::line::Spelling;
use crate::show::proportion::Words;
use crate::text::{Undeclared, read};

use super::evidence::response;
use super::fields::Fields;
use super::request::{Refusal, Request, declared, missing, subject_symbol};

/// The response to one request.
pub(super) fn respond(request: &Request<'_>) -> Result<Fields, Refusal> {
    let field = |value: &Option<String>, name: &str| value.clone().ok_or_else(|| missing(name));
    let formula = field(&request.formula, "formula")?;
    let subject = field(&request.subject, "subject")?;
    let varied = field(&request.varied, "varied")?;
    let answer = field(&request.answer, "answer")?;
    let scale = request.scale.as_ref().ok_or_else(|| missing("scale"))?;
    let scale = paper::scale(scale).ok_or_else(|| {
        Refusal::Request("\"scale\" is a number above zero, such as 2 or \"1/3\"".to_owned())
    })?;
    let mut vocabulary = declared(&request.quantities()?)?;
    let subject = subject_symbol(&subject, &mut vocabulary)?;
    let varied = subject_symbol(&varied, &mut vocabulary)?;
    let readings = read(&formula, &mut vocabulary, Undeclared::Declare)?;
    let [equation] = answer::equations(&readings.preferred)
        .try_into()
        .map_err(|_| Refusal::Request("\"formula\" must be one equation".to_owned()))?;
    let table = vocabulary.table().clone();
    let question = Question::from_joined(equation, subject, vocabulary);
    let scaling = question.and_then(|question| Scaling::new(question, &[(varied, scale)]));
    let Some(scaling) = scaling else {
        return Err(Refusal::Request(
            "the subject follows the varied quantity by no power law, so there is no one factor"
                .to_owned(),
        ));
    };
    let scaled = scaling.judge(&answer)?;
    let verdict = match scaled.judgement.verdict {
        Verdict::Right => "right",
        Verdict::Wrong => "wrong",
        Verdict::Undecided(_) => "undecided",
    };
    // The counterexample speaks of a new value, which is no symbol of the
    // request: the factor says it better.
    let evidence = match scaled.judgement.verdict {
        Verdict::Right => scaled.judgement.evidence.as_ref(),
        _ => None,
    };
    let slip = factor_slip_value(&scaling, &scaled);
    let mut told = response(
        verdict,
        evidence,
        slip,
        &scaled.judgement.notes,
        &[scaled.read],
        &table,
    );
    told.insert("factor", explicit(&scaling.factor(), &table).into());
    Ok(told)
}

/// The slips in a factor, for another program.
pub(crate) fn factor_slip_value(scaling: &Scaling<'_>, scaled: &Scaled) -> Value {
    let mut names = scaled.slips.iter().map(|slip| slip.kind.key());
    let Some(first) = names.next() else {
        return Value::Null;
    };
    let words = Words {
        scaling,
        spelling: Spelling::Unicode,
    };
    let remark = words.slips(&scaled.slips).replace('\u{a0}', " ");
    let mut value = Map::new();
    value.insert("name".into(), first.into());
    value.insert("remark".into(), remark.into());
    if let Some(second) = names.next() {
        value.insert("second".into(), second.into());
    }
    value.into()
}
