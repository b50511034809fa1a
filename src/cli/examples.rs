//! What the help and the manual teach about each verb: commands that can be
//! typed as they stand, and what else there is to know.
//!
//! `tests/cli_help.rs` runs every command, so none may need a file that a
//! command before it does not make.

/// A command to type.
#[derive(Debug, Clone, Copy)]
pub struct Example {
    /// What it does, without a full stop.
    pub told: &'static str,
    /// The command, on one line.
    pub command: &'static str,
}

/// What is taught about a verb.
#[derive(Debug, Clone, Copy)]
pub struct Lesson {
    /// The verb; empty for the program itself.
    pub verb: &'static str,
    /// Commands, the one that is wanted most often first.
    pub examples: &'static [Example],
    /// Paragraphs.
    pub notes: &'static [&'static str],
}

/// The lesson of a verb.
#[must_use]
pub fn lesson(verb: &str) -> Option<&'static Lesson> {
    LESSONS.iter().find(|lesson| lesson.verb == verb)
}

const fn example(told: &'static str, command: &'static str) -> Example {
    Example { told, command }
}

/// All lessons.
pub const LESSONS: &[Lesson] = &[
    Lesson {
        verb: "",
        examples: &[
            example("Practise motion", "rejig drill --topic motion"),
            example(
                "See how a formula is changed",
                "rejig rearrange 'v^2 = u^2 + 2as' --for a",
            ),
            example("Find a formula", "rejig formulae wavelength --topic waves"),
        ],
        notes: &[
            "Alone in a terminal, `rejig` opens the drill. `rejig VERB --help` explains a verb, \
             with examples. The status is 0 when all is done, 1 if a check found faults, 2 if the \
             request could not be understood, 130 after the interrupt key.",
        ],
    },
    Lesson {
        verb: "drill",
        examples: &[
            example("Practise what is due", "rejig drill"),
            example(
                "Five questions on motion, now",
                "rejig drill --topic motion --count 5",
            ),
            example(
                "Practise a formula of your own",
                "rejig drill --formula 'P = I^2 R' --for I",
            ),
        ],
        notes: &[
            "A line of maths is an answer. The words hint, show, skip, undo, letters, help and \
             quit, alone on a line, are requests.",
        ],
    },
    Lesson {
        verb: "checklist",
        examples: &[
            example("See where motion stands", "rejig checklist --topic motion"),
            example("A page to print", "rejig checklist --html > checklist.html"),
        ],
        notes: &[],
    },
    Lesson {
        verb: "plan",
        examples: &[
            example(
                "Say when the exam is, and see what comes when",
                "rejig plan --exam 2027-05-17 --minutes 20",
            ),
            example("Each day, as a table", "rejig plan --daily --format csv"),
        ],
        notes: &[],
    },
    Lesson {
        verb: "journal",
        examples: &[
            example("Where the journal is, and what is in it", "rejig journal"),
            example(
                "Bring in what was practised on another machine",
                "rejig drill --journal school.jsonl --topic motion --count 1 < /dev/null\n\
                 rejig journal --merge school.jsonl",
            ),
        ],
        notes: &["The status is 1 if lines of the journal can't be read."],
    },
    Lesson {
        verb: "quiz",
        examples: &[
            example(
                "Mark one answer",
                "printf 'a = (v^2-u^2)/2s\\n' | rejig quiz --formula 'v^2 = u^2 + 2as' --for a",
            ),
            example(
                "Four questions on motion, printed",
                "rejig quiz --topic motion --seed 3 --count 4 --questions",
            ),
            example(
                "The same as a file, for mark and worksheet",
                "rejig quiz --topic motion --seed 3 --count 4 --questions --format json \
                 > friday.json",
            ),
        ],
        notes: &["The same seed gives the same quiz."],
    },
    Lesson {
        verb: "mark",
        examples: &[
            example(
                "Make a quiz, and mark one student's answer to it",
                "rejig quiz --topic motion --seed 3 --count 4 --questions --format json \
                 > friday.json\n\
                 printf 'seat,question,answer\\nada,1,v = u + a t\\n' > answers.csv\n\
                 rejig mark --quiz friday.json answers.csv",
            ),
            example(
                "Each student's marks, for a spreadsheet",
                "rejig mark --quiz friday.json --table students --format csv answers.csv",
            ),
        ],
        notes: &[
            "The answers are comma-separated values with the columns seat, question and answer, \
             or JSON Lines with the same fields; an answer may have several lines. The status is \
             1 if a row was bad.",
        ],
    },
    Lesson {
        verb: "worksheet",
        examples: &[
            example(
                "Eight questions on motion, with a mark scheme",
                "rejig worksheet --topic motion --seed 3 --count 8 > friday.html",
            ),
            example(
                "The questions alone, for LaTeX",
                "rejig worksheet --topic waves --seed 3 --part questions --format latex \
                 > waves.tex",
            ),
        ],
        notes: &["The page prints on A4 from a browser."],
    },
    Lesson {
        verb: "judge",
        examples: &[example(
            "Judge one line against the line before it",
            "echo '{\"id\":\"1\",\"task\":\"line\",\"before\":\"V = IR\",\"after\":\"R = V/I\"}' \
             | rejig judge",
        )],
        notes: &[
            "Each request gets one line back, in order. The tasks are rearrange, line, working, \
             isolate, proof, definition and proportion. The status is 2 if a line was no request.",
        ],
    },
    Lesson {
        verb: "rearrange",
        examples: &[
            example(
                "Make a the subject",
                "rejig rearrange 'v^2 = u^2 + 2as' --for a",
            ),
            example(
                "Where x may be negative",
                "rejig rearrange 'E = 1/2 k x^2' --for x --real x",
            ),
        ],
        notes: &[],
    },
    Lesson {
        verb: "step",
        examples: &[
            example("A sound step", "rejig step 'v = u + at' 'v - u = at'"),
            example(
                "A step that loses a solution",
                "rejig step 'x^2 = 4' 'x = 2' --real x",
            ),
        ],
        notes: &["The status is 0 if both lines have the same solutions, else 1."],
    },
    Lesson {
        verb: "formulae",
        examples: &[
            example("The topics", "rejig formulae"),
            example(
                "Look for a word in one topic",
                "rejig formulae wavelength --topic waves",
            ),
            example(
                "All formulae with an energy, as a table",
                "rejig formulae --unit J --format csv",
            ),
        ],
        notes: &[],
    },
    Lesson {
        verb: "proofread",
        examples: &[example(
            "Write a sheet of two lines, and have it read",
            "printf 'topic Waves\\nv = f lambda\\n' > my-waves.sheet\n\
             rejig proofread my-waves.sheet",
        )],
        notes: &["The status is 1 if there are faults."],
    },
    Lesson {
        verb: "prove",
        examples: &[example(
            "Check a working, which ends with the file",
            "printf 'given V = I R\\ngiven P = V I\\nshow P = I^2 R\\n\\nP = I R I\\nP = I^2 R\\n' \
             > proof.txt\n\
             rejig prove proof.txt",
        )],
        notes: &[
            "A file has lines `given ...` and `show ...`, then the working, one equation a line. \
             A line `quantity u, v: real` lets letters be negative or zero. The status is 0 if \
             the result is shown, else 1.",
        ],
    },
    Lesson {
        verb: "connect",
        examples: &[
            example(
                "How two quantities hang together",
                "rejig connect momentum wavelength",
            ),
            example("The connections that the sheets bless", "rejig connect"),
            example(
                "New ones, the best first",
                "rejig connect --suggest --count 3",
            ),
        ],
        notes: &[],
    },
    Lesson {
        verb: "completions",
        examples: &[
            example(
                "For bash",
                "mkdir -p ~/.local/share/bash-completion/completions\n\
                 rejig completions bash > ~/.local/share/bash-completion/completions/rejig",
            ),
            example(
                "For fish",
                "mkdir -p ~/.config/fish/completions\n\
                 rejig completions fish > ~/.config/fish/completions/rejig.fish",
            ),
            example(
                "For zsh, in a folder of its fpath",
                "rejig completions zsh > _rejig",
            ),
        ],
        notes: &["They offer verbs, options, their values, and the topics of the own sheets."],
    },
    Lesson {
        verb: "manual",
        examples: &[
            example("Read it", "rejig manual > rejig.1\nman -l rejig.1"),
            example(
                "Keep it where `man rejig` finds it",
                "mkdir -p ~/.local/share/man/man1\n\
                 rejig manual > ~/.local/share/man/man1/rejig.1",
            ),
        ],
        notes: &[],
    },
];

/// A command in lines of at most `width` columns, as a shell reads it: broken
/// only between words, with a backslash before the break. What is wider and
/// has no such place stays whole.
#[must_use]
pub fn broken(command: &str, width: usize) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    let mut line = String::new();
    for word in words(command) {
        // Room for the backslash and the space before it.
        if !line.is_empty() && line.chars().count() + 1 + word.chars().count() + 2 > width {
            line.push_str(" \\");
            lines.push(std::mem::take(&mut line));
            line.push_str("  ");
        } else if !line.is_empty() {
            line.push(' ');
        }
        line.push_str(word);
    }
    lines.push(line);
    lines
}

/// The words of a command; a blank between single quotes divides nothing.
fn words(command: &str) -> Vec<&str> {
    let mut quoted = false;
    command
        .split(move |character: char| {
            if character == '\'' {
                quoted = !quoted;
            }
            character == ' ' && !quoted
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn commands_are_broken_between_words_only() {
        let check = |command: &str, width: usize, expected: &[&str]| {
            assert_eq!(broken(command, width), expected);
        };
        check("rejig formulae", 80, &["rejig formulae"]);
        check(
            "rejig drill --count 5",
            16,
            &["rejig drill \\", "  --count 5"],
        );
        check(
            "rejig step 'v = u + at' 'v - u = at'",
            25,
            &["rejig step 'v = u + at' \\", "  'v - u = at'"],
        );
        check("'far too wide for it'", 5, &["'far too wide for it'"]);
    }
}
