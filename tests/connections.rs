//! Connections between topics: every one that the sheets bless is solved and
//! put back into its parts; suggestions join one quantity; chains are short.

use rejig::algebra::limits::Budget;
use rejig::algebra::normalise::proved_equal_within;
use rejig::physics::connection::link;
use rejig::physics::formulary::Formulary;
use rejig::practice::connections::{Connecting, Graph, Unsolved, suggestions};
use rejig::store::sheets::embedded;

#[test]
fn every_blessed_connection_is_solved_and_put_back() {
    let formulary = embedded();
    let mut bad = Vec::new();
    for connection in &formulary.connections {
        let linked = match link(&formulary, connection) {
            Ok(linked) => linked,
            Err(loose) => {
                bad.push(format!("{}: {}", connection.name, loose.message));
                continue;
            }
        };
        let mut topics: Vec<&str> = linked
            .parts
            .iter()
            .map(|part| part.topic.key.as_str())
            .collect();
        topics.sort_unstable();
        topics.dedup();
        if topics.len() < 2 || connection.sentence.is_empty() {
            bad.push(format!("{}: one topic, or no sentence", connection.name));
        }
        match Connecting::new(linked) {
            Ok(own) => {
                let told = own.joint.question.marked(
                    &own.joint
                        .question
                        .read(&connection.goal.piece.text)
                        .unwrap(),
                );
                if !told.judgement.is_right() || own.joint.marks() < 2 {
                    bad.push(format!("{}: its own answer is not right", connection.name));
                }
            }
            Err(unsolved) => bad.push(format!("{}: {unsolved:?}", connection.name)),
        }
    }
    assert!(bad.is_empty(), "{}", bad.join("\n"));
    assert!(formulary.connections.len() >= 30);
}

/// Suggestions between two topics with one quantity each of these
/// declarations.
fn suggested(left: &str, right: &str, more: &str) -> usize {
    let sheet = format!(
        "topic a\nquantity A: {left}\nquantity b: breadth, m\nquantity c: count of it, m\n\
         quantity h: heap, m\nA = b c h\n\
         topic d\nquantity D: {right}\nquantity e: edge, m\nquantity f: fringe, m\n\
         quantity i: inset, m\nD = e f i\n{more}"
    );
    let formulary = Formulary::from_text("t.sheet", &sheet);
    suggestions(&formulary, |_| true, 9).len()
}

#[test]
fn suggestions_never_join_what_differs_in_meaning() {
    let joined = "connect j: They are one.\n given A = b c h from a/a-b-c-h\n \
                  given A = e f i from d/d-e-f-i\n show e = b c h/(f i)\n";
    for (left, right, expected) in [
        ("heat capacity, J/K", "heat capacity, J K^-1", 1),
        ("heat capacity, J/K", "Heat capacity, kJ/K", 1),
        ("heat capacity, J/K", "thermal capacity, J/K", 0),
        // One name, yet another unit, sign, scale, or nothing said.
        ("stress, Pa", "stress, N", 0),
        ("stress, Pa", "stress, Pa, real", 0),
        ("stress, Pa", "stress", 0),
        ("stress", "stress", 0),
        ("melting point, K", "melting point, °C", 0),
        // A name that does not say of what.
        ("radius, m", "radius, m", 0),
        ("Frequency, Hz", "frequency, Hz", 0),
        ("total energy, J", "total energy, J", 0),
    ] {
        assert_eq!(suggested(left, right, ""), expected, "{left}; {right}");
    }
    // Blessed once, such a name may join other formulae of the two topics.
    let more = format!("{joined}topic a2\n");
    assert_eq!(suggested("radius, m", "radius, m", &more), 0);
    // No suggestion of the program's own joins by such a name unblessed.
    let formulary = embedded();
    let blessed: Vec<Vec<(String, String)>> = formulary
        .connections
        .iter()
        .filter_map(|own| link(&formulary, own).ok())
        .flat_map(|linked| {
            let letters: Vec<_> = linked
                .parts
                .iter()
                .flat_map(|part| {
                    part.letters
                        .iter()
                        .map(move |(own, theirs)| (part.topic, *own, *theirs))
                })
                .collect();
            letters
                .iter()
                .map(|(_, own, _)| {
                    letters
                        .iter()
                        .filter(|(_, other, _)| other == own)
                        .filter_map(|(topic, _, theirs)| {
                            let name = topic.quantity(*theirs)?.name.to_lowercase();
                            Some((topic.key.clone(), name))
                        })
                        .collect()
                })
                .collect::<Vec<_>>()
        })
        .collect();
    let found = suggestions(&formulary, |_| true, 1000);
    assert!(found.len() >= 40, "{}", found.len());
    for own in &found {
        let joint = own.joint.to_lowercase();
        let [(left, _), (right, _)] = own.parts;
        let vague = [
            "time",
            "frequency",
            "speed",
            "displacement",
            "acceleration",
            "force",
            "mass",
        ];
        if vague.contains(&joint.as_str()) {
            let both = |topics: &Vec<(String, String)>| {
                topics.contains(&(left.key.clone(), joint.clone()))
                    && topics.contains(&(right.key.clone(), joint.clone()))
            };
            assert!(
                blessed.iter().any(both),
                "{joint}: {} {}",
                left.key,
                right.key
            );
        }
    }
}

/// What becomes of a connection of two small topics.
fn check(entry: &str, expected: &str) {
    let sheet = format!(
        "topic a\nquantity F: force, N\nquantity x: extension, m\nquantity k: spring constant, N/m\nformula spring: F = k x\n\
         topic b\nquantity F: force, N\nquantity m: mass, kg\nquantity a: acceleration, m s^-2\nformula law: F = m a\n\
         topic c\nquantity F: frequency, Hz\nquantity T: period, s\nformula period: F = 1/T\n{entry}"
    );
    let formulary = Formulary::from_text("t.sheet", &sheet);
    let told = match formulary.connections.first() {
        None => formulary.faults[0].diagnostic.message.clone(),
        Some(connection) => match link(&formulary, connection) {
            Err(loose) => loose.message,
            Ok(linked) => match Connecting::new(linked) {
                Ok(own) => format!("{} marks", own.joint.marks()),
                Err(unsolved) => format!("{unsolved:?}"),
            },
        },
    };
    assert_eq!(told, expected, "{entry}");
}

#[test]
fn what_does_not_hold_together_is_said() {
    let spring = "connect s: One force.\n given F = k x from a/spring\n";
    let both = format!("{spring} given F = m a from b/law\n");
    check(&format!("{both} show a = k x/m"), "2 marks");
    check(
        &format!("{both} show a = k/m"),
        &format!("{:?}", Unsolved::OtherResult),
    );
    check(
        &format!("{both} show a = 2 k x/m"),
        &format!("{:?}", Unsolved::OtherResult),
    );
    check(
        &format!("{both} show k x = m a"),
        "the quantity that is found must stand alone on the left",
    );
    check(
        &format!("{both} show a = b x/m"),
        "no part has the letter `b`",
    );
    check(
        &both,
        "this connection has no `show` line, so nothing is to be found",
    );
    check(
        &format!("{spring} show k = F/x"),
        "a connection needs two `given` lines at least",
    );
    check(
        &format!("{spring} given F = m a from b/laws\n show a = k x/m"),
        "there is no formula `b/laws`",
    );
    check(
        &format!("{spring} given F = m a^2 from b/law\n show a = k x/m"),
        "this is not `b/law` with other letters: F = m a",
    );
    // One letter for a force and a frequency.
    check(
        &format!("{spring} given F = 1/T from c/period\n show T = 1/(k x)"),
        "`F` is measured in two units",
    );
}

#[test]
fn suggestions_join_one_quantity_and_hold() {
    let formulary = embedded();
    let found = suggestions(&formulary, |_| true, 40);
    assert_eq!(found.len(), 40);
    for own in &found {
        let [(left_topic, left), (right_topic, right)] = own.parts;
        assert_ne!(left_topic.key, right_topic.key);
        let declared = |topic: &rejig::physics::formulary::Topic,
                        formula: &rejig::physics::formulary::Formula| {
            topic
                .subjects(formula)
                .into_iter()
                .filter_map(|symbol| topic.quantity(symbol))
                .find(|quantity| quantity.name.eq_ignore_ascii_case(own.joint))
                .and_then(|quantity| quantity.unit.as_ref())
                .map(|unit| unit.dimension.clone())
        };
        assert_eq!(
            declared(left_topic, left),
            declared(right_topic, right),
            "{}",
            own.joint
        );
        // The result is no formula of one part alone.
        let table = own.vocabulary.table();
        let trivial = proved_equal_within(
            &own.result.left,
            &own.result.right,
            table,
            Budget::default(),
        );
        assert_eq!(trivial, Ok(false));
    }
}

#[test]
fn chains() {
    let formulary = embedded();
    let graph = Graph::new(&formulary);
    for (from, to, length) in [
        ("stress", "strain", 1),
        ("momentum", "wavelength", 1),
        ("charge", "capacitance", 1),
        ("voltage", "energy stored", 1),
    ] {
        let chains = graph.chains(from, to, 3);
        assert!(!chains.is_empty(), "{from} to {to}");
        assert_eq!(chains[0].hops.len(), length, "{from} to {to}");
    }
    assert!(graph.chains("strain", "bananas", 3).is_empty());
    assert!(!graph.knows("bananas"));
    // Tension is not period, though both are T.
    for chain in graph.chains("tension", "period", 5) {
        assert!(chain.hops.len() > 1);
    }
}
