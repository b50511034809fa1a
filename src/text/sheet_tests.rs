//! Rows for sheets as typed.

use super::*;

/// Entries in short, one a line, then faults as `LINE:COLUMN message`.
fn outline(bytes: &[u8]) -> String {
    let sheet = read_sheet("t.sheet", bytes);
    let mut lines: Vec<String> = sheet
        .entries
        .iter()
        .map(|entry| format!("{} {}", entry.line, short(&entry.kind)))
        .collect();
    lines.extend(sheet.faults.iter().map(|fault| {
        let place = fault
            .place
            .as_ref()
            .map_or((0, 0), |place| (place.line, place.column));
        format!("{}:{} {}", place.0, place.1, fault.message)
    }));
    lines.join("\n")
}

fn join(pieces: &[Piece]) -> String {
    pieces
        .iter()
        .map(|piece| piece.text.as_str())
        .collect::<Vec<_>>()
        .join("|")
}

fn short(kind: &EntryKind) -> String {
    let text = |piece: &Option<Piece>| {
        piece
            .as_ref()
            .map_or("-".into(), |piece| piece.text.clone())
    };
    match kind {
        EntryKind::Topic { key, title } => format!("topic {} {}", key.text, text(title)),
        EntryKind::Quantity {
            symbol,
            aliases,
            details,
        } => {
            format!(
                "quantity {} [{}] {}",
                symbol.text,
                join(aliases),
                join(details)
            )
        }
        EntryKind::Formula {
            name,
            maths,
            condition,
        } => {
            format!(
                "formula {} <{}> {}",
                text(name),
                maths.text,
                text(condition)
            )
        }
        EntryKind::Proof(proof) => format!(
            "proof {} {} given {} let {} show {} route {} mark {}",
            proof.name.text,
            text(&proof.statement),
            join(&proof.given),
            join(&proof.helpers),
            join(&proof.goals),
            join(&proof.route),
            proof
                .marks
                .iter()
                .map(|mark| format!("{}={}", mark.code.text, mark.condition.text))
                .collect::<Vec<_>>()
                .join("|"),
        ),
        EntryKind::Notation { name, changes } => format!(
            "notation {} {}",
            text(name),
            changes
                .iter()
                .map(|(from, to)| format!("{}>{}", from.text, to.text))
                .collect::<Vec<_>>()
                .join("|")
        ),
        EntryKind::Constant {
            symbol,
            value,
            unit,
            name,
            ..
        } => format!(
            "constant {} {}e{}{} {} {}",
            symbol.text,
            value.digits,
            value.exponent,
            if value.times_pi { "pi" } else { "" },
            text(unit),
            text(name)
        ),
        EntryKind::Definition {
            term,
            sentence,
            equation,
            details,
        } => {
            let one = |need: &Vec<Piece>| {
                let words: Vec<&str> = need.iter().map(|piece| piece.text.as_str()).collect();
                format!(" needs <{}>", words.join("|"))
            };
            let needs: String = details.needs.iter().map(one).collect();
            let others: String = details
                .others
                .iter()
                .map(|(maths, needs)| {
                    let needs: String = needs.iter().map(one).collect();
                    format!(" or <{}>{needs}", maths.text)
                })
                .collect();
            let readings: String = details
                .readings
                .iter()
                .map(|(said, maths)| {
                    let said: Vec<&str> = said.iter().map(|piece| piece.text.as_str()).collect();
                    format!(" read <{}> as <{}>", said.join("|"), maths.text)
                })
                .collect();
            format!(
                "define {} {} {}{needs}{others}{readings}",
                term.text,
                sentence.text,
                text(equation)
            )
        }
        EntryKind::Connection(own) => {
            let parts: Vec<String> = own
                .parts
                .iter()
                .map(|(maths, key)| format!(" <{}> from <{}>", maths.text, key.text))
                .collect();
            format!(
                "connect {} <{}>{} show <{}>",
                own.name.text,
                text(&own.sentence),
                parts.concat(),
                join(&own.goals)
            )
        }
        EntryKind::Synonym { name, words } => {
            let words: Vec<&str> = words.iter().map(|piece| piece.text.as_str()).collect();
            format!("synonym {} <{}>", name.text, words.join("|"))
        }
        EntryKind::Include { path } => format!("include {}", path.text),
    }
}

fn check(text: &str, expected: &str) {
    assert_eq!(outline(text.as_bytes()), expected, "{text}");
}

#[test]
fn each_kind_of_entry() {
    check(
        "topic Waves\nv = f λ\n",
        "1 topic Waves -\n2 formula - <v = f λ> -",
    );
    check("topic motion: In a line", "1 topic motion In a line");
    check(
        "quantity E_k (Ek, KE): kinetic energy, J, positive",
        "1 quantity E_k [Ek|KE] kinetic energy|J|positive",
    );
    check("quantity n: turns", "1 quantity n [] turns");
    check("quantity delta v: change", "1 quantity delta v [] change");
    check(
        "formula velocity-time: v = u + a t\n  when the acceleration is constant",
        "1 formula velocity-time <v = u + a t> the acceleration is constant",
    );
    check("formula v = u + a t", "1 formula - <v = u + a t> -");
    check(
        "formula: v = u + a t, when a is constant",
        "1 formula - <v = u + a t> a is constant",
    );
    check(
        "proof p: Show it.\n given v = u + a t\n given s = t\n let k = 2 a\n show v = s\n route t = 1 ; a = 2\n mark M1 when done\n",
        "1 proof p Show it. given v = u + a t|s = t let k = 2 a show v = s route t = 1|a = 2 mark M1=done",
    );
    check("notation b: s -> x, E_k → T", "1 notation b s>x|E_k>T");
    check("notation s->x", "1 notation - s>x");
    check(
        "define C: charge per volt ; C = Q/V",
        "1 define C charge per volt C = Q/V",
    );
    check("define C: charge per volt", "1 define C charge per volt -");
    check("include \"a b.sheet\"", "1 include a b.sheet");
    check("include a.sheet", "1 include a.sheet");
}

#[test]
fn numbers_of_constants() {
    for (line, expected) in [
        ("g = 9.81 m s^-2: free fall", "g 9.81e0 m s^-2 free fall"),
        ("h = 6.63e-34 J s", "h 6.63e-34 J s -"),
        ("h = 6.63 × 10^-34 J s", "h 6.63e-34 J s -"),
        ("h = 6.63×10⁻³⁴ J s", "h 6.63e-34 J s -"),
        ("h = 6.63*10^(-34) J s", "h 6.63e-34 J s -"),
        ("c = 299 792 458 m/s", "c 299792458e0 m/s -"),
        ("q = -1.6E-19 C", "q -1.6e-19 C -"),
        ("m = 4π×10^-7 H/m", "m 4e-7pi H/m -"),
        ("E = 5 eV: a level", "E 5e0 eV a level"),
        ("n = 3", "n 3e0 - -"),
    ] {
        check(
            &format!("constant {line}"),
            &format!("1 constant {expected}"),
        );
    }
}

#[test]
fn odd_but_sound_writing() {
    check(
        "\u{FEFF}topic Waves\r\nv = f λ\r\n",
        "1 topic Waves -\n2 formula - <v = f λ> -",
    );
    check(
        "TOPIC Waves\n\tv = f λ   # a remark\n# another\n   \n",
        "1 topic Waves -\n2 formula - <v = f λ> -",
    );
    check(
        "  v = f λ\n  E = h f",
        "1 formula - <v = f λ> -\n2 formula - <E = h f> -",
    );
    check("s = u t\n  + a t^2/2", "1 formula - <s = u t + a t^2/2> -");
    check(
        "formula long:\n  v = u + a t",
        "1 formula long <v = u + a t> -",
    );
    check(
        "proof p: Show\n  that it holds.\n  show a = b\n  route a = c\n    c = b\n    = d",
        "1 proof p Show that it holds. given  let  show a = b route a = c|c = b = d mark ",
    );
    check("given_1 = 3 x", "1 formula - <given_1 = 3 x> -");
    check("", "");
    check(
        "formula a: b = c\nwhen d\nwhen e",
        "1 formula a <b = c> d and e",
    );
}

#[test]
fn faults_leave_the_rest() {
    check(
        "quantiy v: speed, m/s\nv = f λ",
        "2 formula - <v = f λ> -\n1:1 `quantiy` is not a word that begins a line",
    );
    check(
        "quantity v = speed",
        "1:12 this `quantity` line can't be read from here on",
    );
    check("  quantity", "1:11 `quantity` needs more after it");
    check(
        "hello there",
        "1:1 this is neither a formula (it has no equals sign) nor a line that begins with a word I know",
    );
    check("given a = b", "1:1 `given` belongs under a proof");
    check(
        "proof p\n show a = b\nformla: a = b\n when c",
        "1 proof p - given  let  show a = b route  mark \n3:1 `formla` is not a word that begins a line",
    );
    check(
        "topic\n when c\nv = f λ",
        "3 formula - <v = f λ> -\n1:6 `topic` needs more after it",
    );
    check(
        "constant g = fast",
        "1:14 this `constant` line can't be read from here on",
    );
    check(
        "a\u{0} = b\nc = d",
        "2 formula - <c = d> -\n1:2 this line holds a control character; I passed it over",
    );
    assert_eq!(
        outline(b"a = \xFF\nc = d"),
        "2 formula - <c = d> -\n1:5 this line holds bytes that are not UTF-8 text; I passed it over"
    );
    assert_eq!(
        outline(b"\xFF\xFEa\0"),
        "1:1 this file is saved as UTF-16, which I can't read"
    );
}

#[test]
fn what_stands_below_a_definition() {
    let sheet = "define a: rate of change of velocity ; a = (v - u)/t\n  needs b (c, d e)\n  \
                 needs f\n  read change of velocity, gain as v - u\n  or a = F/m\n  \
                 needs g\nsynonym potential difference: voltage, p.d.\n";
    assert_eq!(
        outline(sheet.as_bytes()),
        "1 define a rate of change of velocity a = (v - u)/t needs <b|c|d e> needs <f> or \
         <a = F/m> needs <g> read <change of velocity|gain> as <v - u>\n\
         7 synonym potential difference <voltage|p.d.>"
    );
    assert_eq!(
        outline(b"needs x\na = b\n  read x as y\n"),
        "2 formula - <a = b> -\n1:1 `needs` belongs under a definition\n\
         3:3 `read` belongs under a definition"
    );
    assert_eq!(
        outline(b"connect c: One force.\n  given F = m a from a/b\n  given F = k x from c/d-2\n  show a = k x/m\n"),
        "1 connect c <One force.> <F = m a> from <a/b> <F = k x> from <c/d-2> show <a = k x/m>"
    );
    assert_eq!(
        outline(b"connect c: d\n  given F = m a\n"),
        "1 connect c <d> show <>\n2:9 this line does not say from which formula it comes"
    );
}

#[test]
fn limits_at_and_one_past() {
    let fits = format!("a = {}", "b".repeat(MAX_LINE - 4));
    assert!(read_sheet("", fits.as_bytes()).faults.is_empty());
    assert_eq!(
        read_sheet("", format!("{fits}b").as_bytes()).faults.len(),
        1
    );
    let mut bytes = vec![b'\n'; MAX_SHEET];
    assert!(read_sheet("", &bytes).faults.is_empty());
    bytes.push(b'\n');
    assert_eq!(read_sheet("", &bytes).faults.len(), 1);
    let junk = "junk\n".repeat(MAX_FAULTS + 2);
    let sheet = read_sheet("", junk.as_bytes());
    assert_eq!(sheet.faults.len(), MAX_FAULTS + 1);
    let many = "junk\n".repeat(MAX_FAULTS);
    assert_eq!(read_sheet("", many.as_bytes()).faults.len(), MAX_FAULTS);
}
