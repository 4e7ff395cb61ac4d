//! Edits of what the student is asked to do.

use crate::places::read_spot;
use cueleaf_guide::{Extra, Guide, Id, Layout, Todo};

/// The most letters of a task.
pub const MAX_TASK: usize = 500;

/// Adds an empty task at the end.
#[must_use]
pub fn add(guide: &Guide, id: Id) -> Guide {
    let mut made = guide.clone();
    made.todos.push(Todo {
        id,
        text: String::new(),
        spot: None,
        parts: Vec::new(),
        extra: Extra::default(),
    });
    made
}

/// Changes what a task says.
#[must_use]
pub fn set_text(guide: &Guide, id: &Id, text: &str) -> Guide {
    with(guide, id, |todo| {
        todo.text = text.chars().take(MAX_TASK).collect();
    })
}

/// Sets where a task is to be done; an empty text for nowhere in particular.
///
/// # Errors
/// A sentence for the teacher when the place does not exist.
pub fn set_place(guide: &Guide, layout: &Layout, id: &Id, text: &str) -> Result<Guide, String> {
    let spot = match text.trim() {
        "" => None,
        text => Some(read_spot(guide, layout, text)?),
    };
    Ok(with(guide, id, |todo| todo.spot = spot))
}

/// Takes a task away.
#[must_use]
pub fn remove(guide: &Guide, id: &Id) -> Guide {
    let mut made = guide.clone();
    made.todos.retain(|todo| todo.id != *id);
    made
}

/// Moves a task before the one above it.
#[must_use]
pub fn raise(guide: &Guide, id: &Id) -> Guide {
    let mut made = guide.clone();
    let at = made.todos.iter().position(|todo| todo.id == *id);
    if let Some(before) = at.and_then(|at| at.checked_sub(1)) {
        made.todos.swap(before, before + 1);
    }
    made
}

fn with(guide: &Guide, id: &Id, change: impl FnOnce(&mut Todo)) -> Guide {
    let mut made = guide.clone();
    if let Some(todo) = made.todos.iter_mut().find(|todo| todo.id == *id) {
        change(todo);
    }
    made
}

#[cfg(test)]
mod tests {
    use super::*;
    use cueleaf_guide::{Measure, Spot, lay_out};

    #[test]
    fn tasks_are_written_placed_ordered_and_taken_away() {
        let mut guide = Guide::new(Id::new("g").unwrap(), "");
        guide.road_map.measures = vec![Measure::labelled("1"), Measure::labelled("2")];
        let layout = lay_out(&guide.road_map, &guide.settings).value;
        let [one, two] = ["a", "b"].map(|id| Id::new(id).unwrap());
        let guide = set_text(
            &add(&add(&guide, one.clone()), two.clone()),
            &two,
            "Sing it",
        );
        let guide = set_place(&guide, &layout, &two, "2").unwrap();
        assert_eq!(guide.todos[1].spot, Some(Spot::measures(1, 1)));
        assert!(set_place(&guide, &layout, &two, "9").is_err());
        let guide = raise(&guide, &two);
        assert_eq!(guide.todos[0].text, "Sing it");
        assert_eq!(raise(&guide, &two), guide);
        assert_eq!(remove(&guide, &one).todos.len(), 1);
        assert_eq!(
            set_place(&guide, &layout, &two, "").unwrap().todos[0].spot,
            None
        );
    }
}
