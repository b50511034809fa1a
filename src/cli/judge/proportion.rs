//! The task `proportion`.

use serde_json::Value;

use crate::algebra::number::Number;
use crate::practice::proportion::Scaling;
use crate::reason::answer;
use crate::reason::verdict::Verdict;
use crate::show::explicit::explicit;
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
    let scale = scale_of(scale).ok_or_else(|| {
        Refusal::Request("\"scale\" is a number above zero, such as 2 or \"1/3\"".to_owned())
    })?;
    let mut vocabulary = declared(&request.quantities()?)?;
    let subject = subject_symbol(&subject, &mut vocabulary)?;
    let varied = subject_symbol(&varied, &mut vocabulary)?;
    let readings = read(&formula, &mut vocabulary, Undeclared::Declare)?;
    let [equation] = answer::equations(&readings.preferred)
        .try_into()
        .map_err(|_| Refusal::Request("\"formula\" must be one equation".to_owned()))?;
    let Some(scaling) = Scaling::new(&equation, subject, varied, scale, &vocabulary) else {
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
    let table = vocabulary.table();
    // The counterexample speaks of a new value, which is no symbol of the
    // request: the factor says it better.
    let evidence = match scaled.judgement.verdict {
        Verdict::Right => scaled.judgement.evidence.as_ref(),
        _ => None,
    };
    let mut told = response(
        verdict,
        evidence,
        Value::Null,
        &scaled.judgement.notes,
        &[scaled.read],
        table,
    );
    told.insert("factor", explicit(&scaling.factor(), table).into());
    Ok(told)
}

fn scale_of(value: &Value) -> Option<Number> {
    let text = match value {
        Value::String(text) => text.trim().to_owned(),
        Value::Number(number) => number.to_string(),
        _ => return None,
    };
    let (over, under) = text.split_once('/').unwrap_or((&text, "1"));
    let part = |text: &str| -> Option<Number> {
        let (whole, rest) = text.split_once('.').unwrap_or((text, ""));
        let digits = format!("{whole}{rest}");
        if digits.len() > 9 || !digits.bytes().all(|byte| byte.is_ascii_digit()) {
            return None;
        }
        let ten = 10_i64.checked_pow(u32::try_from(rest.len()).ok()?)?;
        Some(Number::new(digits.parse().ok()?, ten)).filter(|number| !number.is_zero())
    };
    Some(&part(over.trim())? / &part(under.trim())?)
}
