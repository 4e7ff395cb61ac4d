//! What the device keeps of a student's practice, shown to the student alone.

use crate::words::{capital, colon, grouped, listed};
use crate::{Page, Word, measures_text};
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
    /// Gives the minutes, rounded; at least one, for who began has practised.
    fn minutes(self) -> u32 {
        ((self.seconds + 30) / 60).max(1)
    }
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
    html! {
        section class="practised" {
            h2 { (words.get(Word::YourPractice)) }
            @if of.is_empty() { p { (words.get(Word::NothingYet)) } } @else {
                ul {
                    @for own in of {
                        li { (capital(&measures_text(page, own.first, own.last))) (colon(words)) " " (words.fill(Word::Minutes, &[&grouped(words, own.minutes())])) }
                    }
                }
            }
            @if !of.is_empty() || done > 0 {
                label class="teacher" {
                    span { (words.get(Word::LineForTeacher)) }
                    textarea id="teacher-line" readonly rows="4" { (teacher_line(page, of, done)) }
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
    parts.extend(of.iter().map(|own| {
        let minutes = words.fill(Word::Minutes, &[&grouped(words, own.minutes())]);
        format!("{} {minutes}", measures_text(page, own.first, own.last))
    }));
    listed(words, &parts)
}
