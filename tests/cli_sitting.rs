//! Proofs and worked examples in the drill, through the binary.

mod cli_support;

use cli_support::Ran;
use cli_support::desk::Desk;
use rejig::practice::attempt::{Attempt, Kind, Lettering};
use rejig::store::journal::read;

const SHEET: &str = "topic tiny: Tiny motion
quantity s: displacement, m, real
quantity u: initial velocity, m s^-1, real
quantity v: final velocity, m s^-1, real
quantity a: acceleration, m s^-2, real
quantity t: time, s
formula distance: s = u t + 1/2 a t^2
proof time-free: Show that the time can be eliminated.
  given v = u + a t
  given s = 1/2 (u + v) t
  show v^2 = u^2 + 2 a s
  route t = (v - u)/a ; s = (u + v)(v - u)/(2 a) ; 2 a s = v^2 - u^2 ; v^2 = u^2 + 2 a s
  mark M1 when a line has no t
  mark A1 when shown
define velocity: rate of change of displacement
";

impl Desk {
    /// Runs a verb, which must find nothing to complain of.
    fn smoothly(&self, verb: &str, day: &str, more: &[&str], input: &str) -> Ran {
        let ran = self.run(verb, day, more, input);
        assert_eq!((ran.stderr.as_str(), ran.status), ("", 0), "{input}");
        ran
    }

    fn proof(&self, day: &str, input: &str) -> String {
        let more = ["--kind", "proof", "--seed", "3"];
        self.smoothly("drill", day, &more, input).stdout
    }

    fn attempts(&self) -> Vec<Attempt> {
        read(&self.journal).unwrap().attempts
    }
}

const ROUTE: &str = "t = (v - u)/a\ns = (u + v)(v - u)/(2a)\nv^2 = u^2 + 2as\n";

#[test]
fn a_proof_from_the_first_line_to_the_marks() {
    let desk = Desk::new(SHEET);
    let said = desk.proof("2027-03-01", ROUTE);
    // How many items the program's own sheets have is none of its business.
    let end = said.find("Secure now: 0 of ").unwrap();
    insta::assert_snapshot!("proof", said[..end]);
    let end = "Back tomorrow:
   proof: Show that the time can be eliminated
What you did is kept. `rejig checklist` shows every item, `rejig plan` the days
to your exam.
";
    assert!(said.ends_with(end), "{said}");
    let attempts = desk.attempts();
    assert_eq!(attempts.len(), 1);
    let attempt = &attempts[0];
    assert_eq!(attempt.item, "tiny/proof:time-free");
    assert_eq!(attempt.kind, Kind::Proof);
    assert!(attempt.first_try());
    assert_eq!((attempt.marks, attempt.awarded), (2, 2));
}

#[test]
fn any_valid_order_of_elimination_is_right() {
    for route in [
        "t = 2s/(u + v)\nv - u = a t\nv - u = 2 a s/(u + v)\nv^2 = u^2 + 2 a s\n",
        "v - u = a t\n(u + v)(v - u) = (u + v) a t\nv^2 - u^2 = 2 a s\n",
    ] {
        let desk = Desk::new(SHEET);
        let said = desk.proof("2027-03-01", route);
        assert!(said.contains("Shown. Marks: 2 of 2"), "{said}");
        assert!(desk.attempts()[0].first_try());
    }
}

#[test]
fn a_wrong_line_is_struck_out_and_counts() {
    let desk = Desk::new(SHEET);
    let said = desk.proof("2027-03-01", &format!("t = (v + u)/a\n{ROUTE}quit\n"));
    assert!(said.contains("Does not follow."), "{said}");
    assert!(said.contains("which fit the givens"), "{said}");
    assert!(said.contains("The line is struck out."), "{said}");
    assert!(said.contains("Shown."), "{said}");
    let attempts = desk.attempts();
    assert_eq!((attempts[0].wrong, attempts[0].awarded), (1, 0));
    // Unless it was a slip of typing and is taken back.
    let desk = Desk::new(SHEET);
    let said = desk.proof("2027-03-01", &format!("t = (v + u)/a\nundo\n{ROUTE}"));
    assert!(said.contains("The wrong line is taken back"), "{said}");
    assert!(desk.attempts()[0].first_try());
}

#[test]
fn the_result_alone_and_what_cannot_be_read_cost_nothing() {
    let desk = Desk::new(SHEET);
    let lines = format!("v^2 = u^2 + 2as\nt = (v - u/a\nt +\n{ROUTE}");
    let said = desk.proof("2027-03-01", &lines);
    assert!(said.contains("the result alone is no proof"), "{said}");
    assert_eq!(said.matches("I can't read this.").count(), 2, "{said}");
    assert!(desk.attempts()[0].first_try());
}

#[test]
fn undo_takes_back_line_by_line() {
    let desk = Desk::new(SHEET);
    let lines = "t = (v - u)/a\na t = v - u\nundo\nundo\nundo\nt = (v - u)/a\nquit\n";
    let said = desk.proof("2027-03-01", lines);
    let told = "The last line of your working is taken back.";
    assert_eq!(said.matches(told).count(), 2, "{said}");
    assert!(said.contains("There is nothing to take back."), "{said}");
    // After the result is shown and kept, too: the line is open again.
    let desk = Desk::new(SHEET);
    let both = SHEET.replace("define velocity", "proof other: Show it again.\n  given v = u + a t\n  show a t = v - u\n  route v - u = a t ; a t = v - u\ndefine velocity");
    std::fs::write(&desk.sheet, both).unwrap();
    for seed in ["1", "2", "3", "4"] {
        let _ = std::fs::remove_file(&desk.journal);
        let more = ["--kind", "proof", "--seed", seed];
        let input = format!("{ROUTE}undo\nv^2 = u^2 + 2as\nquit\n");
        let said = desk.smoothly("drill", "2027-03-01", &more, &input).stdout;
        if !said.contains("Taken back.") {
            continue;
        }
        assert_eq!(said.matches("Shown.").count(), 2, "{said}");
        assert!(said.contains("Your lines so far:"), "{said}");
        let attempts = desk.attempts();
        assert_eq!(attempts.len(), 1);
        assert!(attempts[0].first_try());
        return;
    }
    panic!("no seed asks for the long proof first");
}

#[test]
fn a_hint_is_the_next_milestone_not_reached() {
    let desk = Desk::new(SHEET);
    let said = desk.proof(
        "2027-03-01",
        "a t = v - u\nhint\nhint\nhint\nhint\nhint\nhint\nquit\n",
    );
    let said = said.replace('\n', " ");
    // A nudge comes before the line.
    let nudge = said.find("The next line has s alone on one side.").unwrap();
    assert!(nudge < said.find("Make for this line:").unwrap(), "{said}");
    // The first line of the route says what the line typed says.
    let first = said.find("Make for this line:").unwrap();
    assert!(!said[first..].contains("t = (v"), "{said}");
    assert!(said.contains("2as = v² - u²"), "{said}");
    assert!(said.contains("Next, what is to be shown:"), "{said}");
    assert!(said.contains("That was the last hint."), "{said}");
    assert_eq!(desk.attempts()[0].hints, 5);
}

#[test]
fn a_worked_example_fades() {
    let desk = Desk::new(SHEET);
    let goal = "v^2 = u^2 + 2as\n";
    // Met and missed; then the whole, the last line blank, the last two blank,
    // the question alone.
    let lines = format!("show\n{goal}{goal}2as = v^2 - u^2\n{goal}{ROUTE}");
    let said = desk.proof("2027-03-01", &lines);
    assert!(said.contains("here is a route. Read it"), "{said}");
    assert!(said.contains("The last line is left for you:"), "{said}");
    assert!(
        said.contains("The last two lines are left for you:"),
        "{said}"
    );
    let told: Vec<(u32, bool, bool)> = desk
        .attempts()
        .iter()
        .map(|attempt| (attempt.support, attempt.is_success(), attempt.first_try()))
        .collect();
    assert_eq!(
        told,
        [
            (0, false, false),
            (3, true, false),
            (2, true, false),
            (1, true, false),
            (0, true, true),
        ]
    );
    assert!(said.contains("3 worked examples followed."), "{said}");
    let item = "tiny/proof:time-free";
    assert_eq!(desk.cell("2027-03-01", item, "returns"), "2027-03-02");
    assert_eq!(desk.cell("2027-03-01", item, "misses"), "1");
    // Right on three days from then on, in two letterings: secure.
    for (day, state) in [
        ("2027-03-02", "shaky"),
        ("2027-03-03", "shaky"),
        ("2027-03-06", "secure"),
    ] {
        let before = desk.attempts().len();
        let shown = desk.proof(day, "");
        let lettered = relettered(&shown);
        desk.proof(day, &lettered);
        let attempts = desk.attempts();
        assert_eq!(attempts.len(), before + 1, "{day} {shown} {lettered}");
        assert!(attempts[before].first_try(), "{day} {shown}");
        assert_eq!(desk.cell(day, item, "state"), state, "{day}");
    }
    let letterings: Vec<Lettering> = desk
        .attempts()
        .into_iter()
        .map(|attempt| attempt.lettering)
        .collect();
    assert!(letterings.contains(&Lettering::Unfamiliar));
}

/// The route in the letters that a question declares.
fn relettered(said: &str) -> String {
    let said = said.replace('\n', " ");
    let words: Vec<&str> = said.split_whitespace().collect();
    let said = words.join(" ");
    let letter = |own: &str, meaning: &str| -> String {
        let Some(at) = said.find(&format!(" for {meaning}")) else {
            return own.to_owned();
        };
        said[..at].rsplit(' ').next().unwrap().to_owned()
    };
    let (v, u) = (
        letter("v", "final velocity"),
        letter("u", "initial velocity"),
    );
    let (a, t) = (letter("a", "acceleration"), letter("t", "time"));
    let s = letter("s", "displacement");
    format!(
        "{t} = ({v} - {u})/{a}\n{s} = ({u} + {v})*({v} - {u})/(2*{a})\n{v}^2 = {u}^2 + 2*{a}*{s}\n"
    )
}

#[test]
fn the_verdict_speaks_the_letters_asked() {
    let desk = Desk::new(SHEET);
    desk.proof("2027-03-01", ROUTE);
    let shown = desk.proof("2027-03-02", "");
    assert!(shown.contains("Other letters: "), "{shown}");
    let lines = relettered(&shown);
    let first = lines.lines().next().unwrap();
    let time = first.split(' ').next().unwrap();
    let said = desk.proof("2027-03-02", &format!("{first}\nletters\nquit\n"));
    let given = said.lines().find(|line| line.contains("From the given"));
    let given = given.expect("the line follows");
    assert!(given.contains(time), "{said}");
    assert!(!given.contains("at"), "{said}");
    let letters = said.lines().filter(|line| line.contains("time, in s"));
    assert!(
        letters
            .into_iter()
            .all(|line| line.trim().starts_with(time))
    );
}

#[test]
fn a_change_of_subject_fades_by_its_steps() {
    let sheet = "topic tiny: Tiny\nquantity v: speed, m s^-1\nquantity g: strength, m s^-2\nquantity h: height, m\nquantity m: mass, kg\nquantity E: energy, J\nformula fall: E = 1/2 m v^2 + m g h\n";
    let desk = Desk::new(sheet);
    let answer = "v = sqrt(2(E - mgh)/m)\n";
    let item = |said: &str| said.contains("Make v the subject.");
    // The subject is chosen by the count of marks.
    let more = ["--marks", "3-9", "--seed", "1"];
    let first = desk.smoothly("drill", "2027-03-01", &more, "quit\n").stdout;
    assert!(item(&first), "{first}");
    let input = format!("show\n{}", answer.repeat(4));
    let said = desk.smoothly("drill", "2027-03-01", &more, &input).stdout;
    assert!(said.contains("so here is the working."), "{said}");
    assert!(said.contains("The last step is left for you"), "{said}");
    assert!(
        said.contains("The last two steps are left for you"),
        "{said}"
    );
    assert_eq!(said.matches("________").count(), 3, "{said}");
    let supports: Vec<u32> = desk
        .attempts()
        .iter()
        .map(|attempt| attempt.support)
        .collect();
    assert_eq!(supports, [0, 3, 2, 1, 0]);
    // A miss goes back one stage.
    let desk = Desk::new(sheet);
    let input = format!("show\n{answer}{answer}7\n{answer}{answer}quit\n");
    desk.smoothly("drill", "2027-03-01", &more, &input);
    let supports: Vec<u32> = desk
        .attempts()
        .iter()
        .map(|attempt| attempt.support)
        .collect();
    assert_eq!(supports, [0, 3, 2, 1, 2]);
}

const SPRING: &str = "topic tiny: Tiny springs
quantity F: force, N
quantity k: stiffness, N m^-1
quantity x: extension, m
quantity E: energy, J
formula force: F = k x
formula energy: E = 1/2 k x^2
notation stretched: x -> y
";

#[test]
fn slips_are_named_kept_and_counted() {
    let desk = Desk::new(SPRING);
    let more = ["--marks", "1", "--seed", "2"];
    // One formula, two items; multiplied where it should be divided, twice.
    let said = desk.smoothly("drill", "2027-03-01", &more, "quit\n").stdout;
    let (first, other) = if said.contains("Make k ") {
        ("k = F x\nk = F/x\n", "x = F k\nx = F/k\n")
    } else {
        ("x = F k\nx = F/k\n", "k = F x\nk = F/x\n")
    };
    let said = desk.smoothly(
        "drill",
        "2027-03-01",
        &more,
        &format!("{first}{other}quit\n"),
    );
    assert!(
        said.stdout.contains("Slips to look out for: "),
        "{}",
        said.stdout
    );
    assert!(said.stdout.contains("(twice)"), "{}", said.stdout);
    let slips: Vec<Option<String>> = desk
        .attempts()
        .into_iter()
        .map(|attempt| attempt.slip)
        .collect();
    assert_eq!(slips.len(), 2);
    assert_eq!(slips[0].as_deref(), Some("multiplied-for-divided"));
    assert_eq!(slips[0], slips[1]);
}

#[test]
fn a_wrong_answer_in_other_letters_is_told_in_those() {
    let desk = Desk::new(SPRING);
    let more = ["--marks", "1", "--seed", "2"];
    let both = |one: &str, other: &str| -> String { format!("{one}\n{other}\nquit\n") };
    let input = both("k = F/x", "x = F/k");
    let said = desk.smoothly("drill", "2027-03-01", &more, &input).stdout;
    if !said.contains("Right at first try: 2 of 2.") {
        let _ = std::fs::remove_file(&desk.journal);
        let input = both("x = F/k", "k = F/x");
        let said = desk.smoothly("drill", "2027-03-01", &more, &input).stdout;
        assert!(said.contains("Right at first try: 2 of 2."), "{said}");
    }
    let said = desk
        .smoothly("drill", "2027-03-02", &more, "7\nquit\n")
        .stdout;
    let told = said.replace('\n', " ");
    let formula = said.lines().find(|line| line.contains(" = ")).unwrap();
    let letters: Vec<char> = formula
        .chars()
        .filter(|letter| letter.is_alphabetic())
        .collect();
    assert_eq!(letters.len(), 3, "{formula}");
    assert!(told.contains("Other letters: "), "{said}");
    let values = &told[told.find("   With ").unwrap() + 8..];
    let values = &values[..values.find("your line gives").unwrap()];
    for word in values.split(' ').filter(|word| word.len() == 1) {
        let letter = word.chars().next().unwrap();
        let ours = !letter.is_alphabetic() || letters.contains(&letter) || letter == 'a';
        assert!(ours, "{letter} in {values}");
    }
    assert!(
        letters.iter().any(|letter| values.contains(*letter)),
        "{values}"
    );
}

#[test]
fn what_was_begun_and_missed_is_counted_at_the_end() {
    let desk = Desk::new(SHEET);
    let said = desk.proof("2027-03-01", "t = (v + u)/a\nquit\n");
    assert!(said.contains("Right at first try: 0 of 1."), "{said}");
    let desk = Desk::new(SHEET);
    let said = desk.proof("2027-03-01", "quit\n");
    assert!(said.contains("Nothing answered this time."), "{said}");
}

#[test]
fn help_says_what_can_be_typed() {
    let desk = Desk::new(SHEET);
    let said = desk.proof("2027-03-01", "help\nquit\n");
    assert!(
        said.contains("     hint    what the next line is like, then the line\n"),
        "{said}"
    );
    let more = ["--kind", "rearrangement"];
    let said = desk
        .smoothly("drill", "2027-03-01", &more, "?\nquit\n")
        .stdout;
    assert!(said.contains("     show    the whole working\n"), "{said}");
}

#[test]
fn kinds_are_chosen() {
    let desk = Desk::new(SHEET);
    let proof = desk.smoothly("drill", "2027-03-01", &["--kind", "proof"], "quit\n");
    assert!(proof.stdout.contains("1 of 1."), "{}", proof.stdout);
    let more = ["--kind", "rearrangement"];
    let other = desk.smoothly("drill", "2027-03-01", &more, "quit\n");
    assert!(other.stdout.contains("Make "), "{}", other.stdout);
    assert!(!other.stdout.contains("Show:"), "{}", other.stdout);
}
