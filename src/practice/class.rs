//! What a class did: marks of each student, and how each question went (item
//! analysis).
//!
//! Facility index: marks gained in a question over marks to be had. A question
//! that was left out gains nothing. Discrimination index: the facility among
//! the upper 27 % of the class, by their marks in the whole quiz, less that
//! among the lower 27 % (Kelley 1939 shows that 27 % is the best cut). Item-rest
//! correlation: Pearson's, between the marks in a question and those in all the
//! others, so that a question doesn't correlate with itself (the corrected
//! point-biserial, where a question is right or wrong).

use std::sync::Arc;

use rustc_hash::FxHashMap;

use super::script::Word;

/// With fewer students than this the indices say little.
pub const FEW: usize = 20;
/// The share of a class in its upper and its lower group.
pub const SHARE: f64 = 0.27;
/// Students that one run may have.
pub const MOST_SEATS: usize = 1_000_000;
/// Different slips that are counted for one question.
const MOST_DEEDS: usize = 1_000;

/// One student's answer to one question.
#[derive(Debug, Clone, Copy)]
struct Cell {
    question: u32,
    awarded: u16,
    word: Word,
}

/// A student.
#[derive(Debug, Clone)]
struct Student {
    seat: Arc<str>,
    /// By question.
    cells: Vec<Cell>,
    /// Rows that are this student's and say no more that can be used.
    astray: usize,
}

/// A class so far.
#[derive(Debug, Clone)]
pub struct Class {
    /// What each question is worth.
    marks: Vec<usize>,
    students: Vec<Student>,
    places: FxHashMap<Arc<str>, usize>,
    deeds: Vec<FxHashMap<Arc<str>, usize>>,
}

/// Why an answer does not count.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Refused {
    /// This student has answered this question already.
    Again,
    /// There are [`MOST_SEATS`] students already.
    TooManySeats,
}

/// A student's marks.
#[derive(Debug, Clone, PartialEq)]
pub struct StudentMarks {
    /// Who.
    pub seat: Arc<str>,
    /// Marks gained.
    pub awarded: usize,
    /// Marks to be had: without those of answers that the program could not
    /// read or decide.
    pub available: usize,
    /// Right answers.
    pub right: usize,
    /// Questions left out.
    pub left_out: usize,
    /// Answers and rows that a person must look at.
    pub open: usize,
}

/// How a question went.
#[derive(Debug, Clone, PartialEq)]
pub struct QuestionResults {
    /// Answers by what came of them, in the order of [`QuestionResults::WORDS`].
    pub counts: [usize; 6],
    /// The facility index; nothing where no answer could be marked.
    pub facility: Option<f64>,
    /// The discrimination index; nothing where the class has no two groups.
    pub discrimination: Option<f64>,
    /// The correlation with the rest of the quiz; nothing where one of them
    /// does not vary.
    pub correlation: Option<f64>,
    /// What was done, with how many did it, the commonest first.
    pub deeds: Vec<(Arc<str>, usize)>,
}

impl QuestionResults {
    /// What can come of an answer; the last counts those who left it out.
    pub const WORDS: [Word; 6] = [
        Word::Right,
        Word::Unfinished,
        Word::Wrong,
        Word::Undecided,
        Word::Unreadable,
        Word::NotAnswered,
    ];

    /// How many answers were of this kind.
    #[must_use]
    pub fn count(&self, word: Word) -> usize {
        let place = Self::WORDS.iter().position(|own| *own == word);
        place.map_or(0, |place| self.counts[place])
    }
}

impl Class {
    /// Nobody yet, for questions that are worth so many marks.
    #[must_use]
    pub fn new(marks: Vec<usize>) -> Self {
        Class {
            deeds: vec![FxHashMap::default(); marks.len()],
            marks,
            students: Vec::new(),
            places: FxHashMap::default(),
        }
    }

    /// How many students there are.
    #[must_use]
    pub fn len(&self) -> usize {
        self.students.len()
    }

    /// Whether there is nobody.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.students.is_empty()
    }

    /// The student's place; a new one if need be.
    fn place(&mut self, seat: &str) -> Result<usize, Refused> {
        if let Some(place) = self.places.get(seat) {
            return Ok(*place);
        }
        if self.students.len() >= MOST_SEATS {
            return Err(Refused::TooManySeats);
        }
        let seat: Arc<str> = seat.into();
        let place = self.students.len();
        self.places.insert(Arc::clone(&seat), place);
        self.students.push(Student {
            seat,
            cells: Vec::new(),
            astray: 0,
        });
        Ok(place)
    }

    /// Counts a row of which only the student is known: until a person has
    /// looked, questions without an answer count for nobody, since one of them
    /// may be answered there.
    ///
    /// # Errors
    /// When there are too many students.
    pub fn record_astray(&mut self, seat: &str) -> Result<(), Refused> {
        let place = self.place(seat)?;
        self.students[place].astray += 1;
        Ok(())
    }

    /// Counts an answer. The question is its place in the quiz, from 0.
    ///
    /// # Errors
    /// When it does not count.
    pub fn record(
        &mut self,
        seat: &str,
        question: usize,
        word: Word,
        awarded: usize,
        deeds: &[Arc<str>],
    ) -> Result<(), Refused> {
        let place = self.place(seat)?;
        let cell = Cell {
            question: u32::try_from(question).unwrap_or(u32::MAX),
            awarded: u16::try_from(awarded).unwrap_or(u16::MAX),
            word,
        };
        let cells = &mut self.students[place].cells;
        // Answers come in order more often than not.
        match cells.binary_search_by_key(&cell.question, |own| own.question) {
            Ok(_) => return Err(Refused::Again),
            Err(place) => cells.insert(place, cell),
        }
        if let Some(counts) = self.deeds.get_mut(question) {
            for deed in deeds {
                if let Some(count) = counts.get_mut(deed) {
                    *count += 1;
                } else if counts.len() < MOST_DEEDS {
                    counts.insert(Arc::clone(deed), 1);
                }
            }
        }
        Ok(())
    }

    /// The student's marks in all questions, those left out too.
    fn total(&self, student: &Student) -> StudentMarks {
        let mut total = StudentMarks {
            seat: Arc::clone(&student.seat),
            awarded: 0,
            available: self.marks.iter().sum(),
            right: 0,
            left_out: self.marks.len() - student.cells.len(),
            open: student.astray,
        };
        if student.astray > 0 {
            let answered = student.cells.iter();
            total.available = answered
                .map(|cell| self.marks[cell.question as usize])
                .sum();
            total.left_out = 0;
        }
        for cell in &student.cells {
            total.awarded += usize::from(cell.awarded);
            match cell.word {
                Word::Right => total.right += 1,
                Word::NotAnswered => total.left_out += 1,
                Word::Undecided | Word::Unreadable => {
                    total.open += 1;
                    total.available -= self.marks[cell.question as usize];
                }
                Word::Unfinished | Word::Wrong => {}
            }
        }
        total
    }

    /// Every student's marks, in the order in which they first came.
    #[must_use]
    pub fn students(&self) -> Vec<StudentMarks> {
        self.students
            .iter()
            .map(|student| self.total(student))
            .collect()
    }

    /// How each question went.
    #[must_use]
    pub fn questions(&self) -> Vec<QuestionResults> {
        let totals = self.students();
        let weights = groups(&totals);
        let mut sums = vec![Sums::default(); self.marks.len()];
        for ((student, total), (upper, lower)) in self.students.iter().zip(&totals).zip(weights) {
            let mut cells = student.cells.iter().peekable();
            for (question, sums) in sums.iter_mut().enumerate() {
                let worth = self.marks[question];
                let cell = cells.next_if(|cell| cell.question as usize == question);
                if cell.is_none() && student.astray > 0 {
                    continue;
                }
                let word = cell.map_or(Word::NotAnswered, |cell| cell.word);
                sums.count(word);
                if word.is_open() || worth == 0 {
                    continue;
                }
                let awarded = cell.map_or(0, |cell| usize::from(cell.awarded));
                let rest = share(total.awarded - awarded, total.available - worth);
                sums.add(share(awarded, worth), rest, upper, lower);
            }
        }
        sums.into_iter()
            .zip(&self.deeds)
            .map(|(sums, deeds)| {
                let mut deeds: Vec<(Arc<str>, usize)> = deeds
                    .iter()
                    .map(|(deed, count)| (Arc::clone(deed), *count))
                    .collect();
                deeds.sort_by(|one, other| other.1.cmp(&one.1).then_with(|| one.0.cmp(&other.0)));
                QuestionResults {
                    counts: sums.counts,
                    facility: sums.facility(),
                    discrimination: sums.discrimination(),
                    correlation: sums.correlation(),
                    deeds,
                }
            })
            .collect()
    }
}

#[allow(clippy::cast_precision_loss)]
fn share(part: usize, whole: usize) -> f64 {
    if whole == 0 {
        return 0.0;
    }
    part as f64 / whole as f64
}

/// How many students make up a group: 27 % of the class, to the nearest
/// student, at least one.
#[must_use]
#[allow(
    clippy::cast_precision_loss,
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss
)]
pub fn group_size(students: usize) -> usize {
    ((students as f64 * SHARE).round() as usize).max(1)
}

/// How much of each student counts in the upper and in the lower group.
/// Students with equal marks at the cut share the places that are left, so
/// that the order of the file decides nothing.
#[allow(clippy::cast_precision_loss)]
fn groups(totals: &[StudentMarks]) -> Vec<(f64, f64)> {
    let mut weights = vec![(0.0, 0.0); totals.len()];
    let mut order: Vec<usize> = (0..totals.len()).collect();
    // Marks as fractions, compared exactly.
    let better = |one: &usize, other: &usize| {
        let (one, other) = (&totals[*one], &totals[*other]);
        let left = one.awarded as u128 * other.available.max(1) as u128;
        let right = other.awarded as u128 * one.available.max(1) as u128;
        right.cmp(&left)
    };
    order.sort_by(better);
    let size = group_size(totals.len());
    for upper in [true, false] {
        let mut left = size;
        for tied in order.chunk_by(|one, other| better(one, other).is_eq()) {
            let weight = (left as f64 / tied.len() as f64).min(1.0);
            for student in tied {
                if upper {
                    weights[*student].0 = weight;
                } else {
                    weights[*student].1 = weight;
                }
            }
            left = left.saturating_sub(tied.len());
            if left == 0 {
                break;
            }
        }
        order.reverse();
    }
    weights
}

/// Sums over the class for one question.
#[derive(Debug, Clone, Default)]
struct Sums {
    counts: [usize; 6],
    students: f64,
    item: f64,
    rest: f64,
    item_item: f64,
    rest_rest: f64,
    item_rest: f64,
    upper: (f64, f64),
    lower: (f64, f64),
}

impl Sums {
    fn count(&mut self, word: Word) {
        let place = QuestionResults::WORDS.iter().position(|own| *own == word);
        if let Some(place) = place {
            self.counts[place] += 1;
        }
    }

    fn add(&mut self, item: f64, rest: f64, upper: f64, lower: f64) {
        // Running means and sums of squares about them (Welford 1962): plain
        // sums of squares lose digits where the spread is small.
        self.students += 1.0;
        let item_off = item - self.item;
        let rest_off = rest - self.rest;
        self.item += item_off / self.students;
        self.rest += rest_off / self.students;
        self.item_item += item_off * (item - self.item);
        self.rest_rest += rest_off * (rest - self.rest);
        self.item_rest += item_off * (rest - self.rest);
        self.upper.0 += upper * item;
        self.upper.1 += upper;
        self.lower.0 += lower * item;
        self.lower.1 += lower;
    }

    fn facility(&self) -> Option<f64> {
        (self.students > 0.0).then_some(self.item)
    }

    fn discrimination(&self) -> Option<f64> {
        if self.students < 2.0 || self.upper.1 <= 0.0 || self.lower.1 <= 0.0 {
            return None;
        }
        Some(self.upper.0 / self.upper.1 - self.lower.0 / self.lower.1)
    }

    fn correlation(&self) -> Option<f64> {
        // What is left of rounding is no spread.
        const NONE: f64 = 1e-12;
        if self.item_item < NONE || self.rest_rest < NONE {
            return None;
        }
        Some(self.item_rest / (self.item_item * self.rest_rest).sqrt())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Marks of a class: a row a student, questions worth these marks.
    fn class(worth: &[usize], rows: &[&[usize]]) -> Class {
        let mut class = Class::new(worth.to_vec());
        for (student, row) in rows.iter().enumerate() {
            for (question, awarded) in row.iter().enumerate() {
                let word = if *awarded == worth[question] {
                    Word::Right
                } else {
                    Word::Wrong
                };
                class
                    .record(&format!("seat {student}"), question, word, *awarded, &[])
                    .unwrap();
            }
        }
        class
    }

    #[track_caller]
    fn near(found: Option<f64>, expected: f64) {
        let found = found.expect("there is a value");
        assert!((found - expected).abs() < 1e-12, "{found} {expected}");
    }

    /// Worked by hand. Ten students, totals 4, 4, 3, 3, 2, 2, 1, 1, 1, 0 of
    /// four questions of one mark. 27 % of ten is three to the nearest: upper
    /// students 0, 1 and one place for students 2 and 3, half each; lower
    /// student 9 and two places for students 6, 7 and 8, two thirds each.
    #[test]
    fn a_worked_example() {
        let class = class(
            &[1, 1, 1, 1],
            &[
                &[1, 1, 1, 1],
                &[1, 1, 1, 1],
                &[1, 1, 1, 0],
                &[1, 1, 0, 1],
                &[1, 1, 0, 0],
                &[1, 0, 1, 0],
                &[1, 0, 0, 0],
                &[0, 1, 0, 0],
                &[1, 0, 0, 0],
                &[0, 0, 0, 0],
            ],
        );
        let questions = class.questions();
        near(questions[0].facility, 0.8);
        near(questions[1].facility, 0.6);
        near(questions[2].facility, 0.4);
        near(questions[3].facility, 0.3);
        // Question 1: upper 3 of 3; lower 2/3 (6) + 2/3 (8) of 3 = 4/9.
        near(questions[0].discrimination, 1.0 - 4.0 / 9.0);
        // Question 2: upper 3 of 3; lower 2/3 (7) of 3.
        near(questions[1].discrimination, 1.0 - 2.0 / 9.0);
        // Question 3: upper 1 + 1 + 1/2 of 3; lower none.
        near(questions[2].discrimination, 2.5 / 3.0);
        near(questions[3].discrimination, 2.5 / 3.0);
        // Question 1 against the rest 3, 3, 2, 2, 1, 1, 0, 1, 0, 0, whose mean
        // is 1.3: sums of squares about the means 8 - 6.4 = 1.6 and 29 - 16.9
        // = 12.1, of products 12 - 8 * 1.3.
        near(
            questions[0].correlation,
            (12.0 - 10.4) / (1.6_f64 * 12.1).sqrt(),
        );
        assert_eq!(group_size(10), 3);
        assert_eq!(group_size(28), 8);
        assert_eq!(group_size(1), 1);
    }

    #[test]
    fn the_order_of_the_file_decides_nothing() {
        let rows: [&[usize]; 6] = [&[2, 1], &[1, 1], &[1, 0], &[0, 1], &[2, 0], &[0, 0]];
        let forward = class(&[2, 1], &rows).questions();
        let mut turned = rows;
        turned.reverse();
        let backward = class(&[2, 1], &turned).questions();
        for (one, other) in forward.iter().zip(&backward) {
            near(one.discrimination, other.discrimination.unwrap());
            near(one.correlation, other.correlation.unwrap());
        }
    }

    #[test]
    fn what_is_left_out_and_what_is_undecided() {
        let mut class = Class::new(vec![2, 3]);
        let deed: Arc<str> = "kept the sign of u".into();
        class
            .record("a", 0, Word::Wrong, 1, std::slice::from_ref(&deed))
            .unwrap();
        class.record("a", 1, Word::Undecided, 0, &[]).unwrap();
        class.record("b", 1, Word::Right, 3, &[]).unwrap();
        let again = class.record("b", 1, Word::Right, 3, &[]);
        assert_eq!(again, Err(Refused::Again));
        let students = class.students();
        assert_eq!((students[0].awarded, students[0].available), (1, 2));
        assert_eq!((students[1].awarded, students[1].available), (3, 5));
        assert_eq!(students[1].left_out, 1);
        let questions = class.questions();
        near(questions[0].facility, 0.25);
        near(questions[1].facility, 1.0);
        assert_eq!(questions[0].deeds, [(deed, 1)]);
        assert_eq!(questions[0].count(Word::NotAnswered), 1);
        assert_eq!(questions[1].count(Word::Undecided), 1);
        assert_eq!(questions[1].correlation, None);
    }

    #[test]
    fn what_cannot_be_read_counts_for_nobody() {
        let mut class = Class::new(vec![2, 3]);
        class.record("a", 0, Word::Unreadable, 0, &[]).unwrap();
        class.record("a", 1, Word::Right, 3, &[]).unwrap();
        class.record("b", 0, Word::Wrong, 1, &[]).unwrap();
        class.record_astray("b").unwrap();
        class.record_astray("c").unwrap();
        let found: Vec<_> = class
            .students()
            .iter()
            .map(|own| (own.awarded, own.available, own.left_out, own.open))
            .collect();
        assert_eq!(found, [(3, 3, 0, 1), (1, 2, 0, 1), (0, 0, 0, 1)]);
        let questions = class.questions();
        near(questions[0].facility, 0.5);
        near(questions[1].facility, 1.0);
        assert_eq!(questions[1].count(Word::NotAnswered), 0);
    }

    #[test]
    fn nobody_at_all() {
        let class = Class::new(vec![1]);
        let questions = class.questions();
        assert_eq!(questions[0].facility, None);
        assert_eq!(questions[0].discrimination, None);
        assert!(class.is_empty());
    }
}
