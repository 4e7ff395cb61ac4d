//! What the device keeps of a student's practice, shown to the student alone.

use crate::words::{capital, colon, grouped, listed};
use crate::{Page, Word, Words, measures_text};
use maud::{Markup, html};

/// A stretch that was practised: its first and last written measure, and for how many seconds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Practised {
    /// The index of its first measure.
    pub first: usize,
    /// The index of its last measure.
    pub last: usize,
    /// For how long, in seconds.
    pub seconds: u32,
}

impl Practised {
    /// Writes the minutes, rounded; for who only began, less than one.
    fn minutes(self, words: &Words) -> String {
        let minutes = match (self.seconds + 30) / 60 {
            0 => "< 1".to_owned(),
            more => grouped(words, more),
        };
        words.fill(Word::Minutes, &[&minutes])
    }
}

/// Puts short starts at one measure together: they say how far the student came, not so many
/// stretches.
fn told(of: &[Practised]) -> Vec<Practised> {
    let mut told: Vec<(bool, Practised)> = Vec::new();
    for own in of {
        let short = own.seconds < 60;
        let same = told
            .iter_mut()
            .find(|(other, stretch)| short && *other && stretch.first == own.first);
        match same {
            Some((_, other)) => {
                other.last = other.last.max(own.last);
                other.seconds += own.seconds;
            }
            None => told.push((short, *own)),
        }
    }
    told.into_iter().map(|(_, own)| own).collect()
}

/// Gives the place where [`practised`] is shown.
#[must_use]
pub fn practised_place() -> Markup {
    html! { div id="practised" class="live" {} }
}

/// Shows the room under the list of tasks: minutes by stretch, a line for the teacher, and the
/// button that erases. `done` of the guide's tasks are ticked.
#[must_use]
pub fn practised(page: &Page<'_>, of: &[Practised], done: usize) -> Markup {
    let words = page.words;
    let stretches = told(of);
    html! {
        section class="practised" {
            h2 { (words.get(Word::YourPractice)) }
            @if of.is_empty() { p { (words.get(Word::NothingYet)) } } @else {
                ul {
                    @for own in stretches {
                        li { (capital(&stretch_text(page, own))) }
                    }
                }
            }
            @if !of.is_empty() || done > 0 {
                label class="teacher" {
                    span { (words.get(Word::LineForTeacher)) }
                    textarea id="teacher-line" dir="auto" readonly rows="4" { (teacher_line(page, of, done)) }
                }
                button type="button" data-do="copy" { (words.get(Word::Copy)) }
                span id="copied" class="quiet" aria-hidden="true" {}
                button type="button" data-do="erase" { (words.get(Word::Erase)) }
            }
            p class="quiet" { (words.get(Word::OnlyHere)) }
        }
    }
}

/// Writes the line that a student may send: title, part, tasks, minutes.
#[must_use]
pub fn teacher_line(page: &Page<'_>, of: &[Practised], done: usize) -> String {
    let words = page.words;
    let mut parts = vec![match page.part_name() {
        Some(part) => format!("{}, {part}", page.guide.title),
        None => page.guide.title.clone(),
    }];
    let tasks = page.guide.todos.len();
    if tasks > 0 {
        parts.push(words.fill(Word::TasksDone, &[&done.to_string(), &tasks.to_string()]));
    }
    parts.extend(told(of).into_iter().map(|own| stretch_text(page, own)));
    listed(words, &parts)
}

/// Writes a stretch with its minutes: "measures 12–15: 3 min".
fn stretch_text(page: &Page<'_>, own: Practised) -> String {
    let measures = measures_text(page, own.first, own.last);
    measures + colon(page.words) + " " + &own.minutes(page.words)
}
