//! The document and every step that led to it.
//!
//! A step is kept as what it took out and what it put in, not as a whole
//! document: a thousand edits of a long piece weigh little, and undoing is the
//! same step read backwards.

use cueleaf_guide::{Guide, Measure, Part, Tip, Todo};
use std::rc::Rc;

/// The document with its past and its undone future.
#[derive(Debug, Clone)]
pub struct History {
    now: Rc<Guide>,
    done: Vec<Step>,
    undone: Vec<Step>,
}

/// One edit, in words and as a difference.
#[derive(Debug, Clone)]
struct Step {
    words: String,
    /// Edits of one field that follow one another are one step; `None` closes it.
    run: Option<String>,
    change: Change,
}

/// The difference between two documents.
#[derive(Debug, Clone, Default)]
struct Change {
    head: Option<Box<(Guide, Guide)>>,
    measures: Option<Splice<Measure>>,
    parts: Option<Splice<Part>>,
    tips: Option<Splice<Tip>>,
    todos: Option<Splice<Todo>>,
}

/// What differs between two lists that begin and end alike.
#[derive(Debug, Clone)]
struct Splice<T> {
    at: usize,
    before: Vec<T>,
    after: Vec<T>,
}

impl History {
    /// Starts from a document without a past.
    #[must_use]
    pub fn new(guide: Guide) -> Self {
        Self {
            now: Rc::new(guide),
            done: Vec::new(),
            undone: Vec::new(),
        }
    }

    /// Gives the document as it is now.
    #[must_use]
    pub fn guide(&self) -> &Rc<Guide> {
        &self.now
    }

    /// Takes a document that an edit made, under words such as "set the meter
    /// of 12"; nothing happens when nothing changed. Tells whether it did.
    pub fn commit(&mut self, guide: Guide, words: impl Into<String>) -> bool {
        self.take(guide, words.into(), None)
    }

    /// Takes a document like [`commit`](Self::commit), as one step with the
    /// edits before it that bear the same name of a run.
    pub fn commit_run(&mut self, guide: Guide, words: impl Into<String>, run: &str) -> bool {
        self.take(guide, words.into(), Some(run.to_owned()))
    }

    fn take(&mut self, guide: Guide, words: String, run: Option<String>) -> bool {
        if *self.now == guide {
            return false;
        }
        self.undone.clear();
        let goes_on = run.is_some() && self.done.last().is_some_and(|step| step.run == run);
        if goes_on && let Some(mut last) = self.done.pop() {
            // The step is measured anew from where it began.
            let began = last.change.applied(&self.now, Way::Back);
            last.change = Change::between(&began, &guide);
            if !last.change.is_nothing() {
                self.done.push(last);
            }
        } else {
            let change = Change::between(&self.now, &guide);
            self.done.push(Step { words, run, change });
        }
        self.now = Rc::new(guide);
        true
    }

    /// Ends a run, so that the next edit is a step of its own.
    pub fn settle(&mut self) {
        if let Some(step) = self.done.last_mut() {
            step.run = None;
        }
    }

    /// Puts a document in the place of this one without a step, and forgets the past.
    pub fn replace(&mut self, guide: Guide) {
        *self = Self::new(guide);
    }

    /// Takes the last step back and gives its words; `None` when there is none.
    pub fn undo(&mut self) -> Option<String> {
        let step = self.done.pop()?;
        self.now = Rc::new(step.change.applied(&self.now, Way::Back));
        let words = step.words.clone();
        self.undone.push(step);
        Some(words)
    }

    /// Does the last undone step again and gives its words; `None` when there is none.
    pub fn redo(&mut self) -> Option<String> {
        let step = self.undone.pop()?;
        self.now = Rc::new(step.change.applied(&self.now, Way::Forth));
        let words = step.words.clone();
        self.done.push(Step { run: None, ..step });
        Some(words)
    }

    /// Counts the steps that can be undone.
    #[cfg(test)]
    pub(crate) fn steps(&self) -> usize {
        self.done.len()
    }

    /// Gives the words of what would be undone.
    #[must_use]
    pub fn undo_words(&self) -> Option<&str> {
        self.done.last().map(|step| step.words.as_str())
    }

    /// Gives the words of what would be done again.
    #[must_use]
    pub fn redo_words(&self) -> Option<&str> {
        self.undone.last().map(|step| step.words.as_str())
    }
}

#[derive(Clone, Copy)]
enum Way {
    Back,
    Forth,
}

impl Change {
    fn between(before: &Guide, after: &Guide) -> Self {
        let (old, new) = (head(before), head(after));
        Self {
            head: (old != new).then(|| Box::new((old, new))),
            measures: Splice::between(&before.road_map.measures, &after.road_map.measures),
            parts: Splice::between(&before.parts, &after.parts),
            tips: Splice::between(&before.tips, &after.tips),
            todos: Splice::between(&before.todos, &after.todos),
        }
    }

    const fn is_nothing(&self) -> bool {
        self.head.is_none()
            && self.measures.is_none()
            && self.parts.is_none()
            && self.tips.is_none()
            && self.todos.is_none()
    }

    fn applied(&self, guide: &Guide, way: Way) -> Guide {
        let mut made = match (&self.head, way) {
            (None, _) => head(guide),
            (Some(heads), Way::Back) => heads.0.clone(),
            (Some(heads), Way::Forth) => heads.1.clone(),
        };
        made.road_map.measures = spliced(&guide.road_map.measures, self.measures.as_ref(), way);
        made.parts = spliced(&guide.parts, self.parts.as_ref(), way);
        made.tips = spliced(&guide.tips, self.tips.as_ref(), way);
        made.todos = spliced(&guide.todos, self.todos.as_ref(), way);
        made
    }
}

/// Gives everything but the lists.
fn head(guide: &Guide) -> Guide {
    let mut head = Guide::new(guide.id.clone(), &guide.title);
    head.composer.clone_from(&guide.composer);
    head.word.clone_from(&guide.word);
    head.settings = guide.settings.clone();
    head.extra = guide.extra.clone();
    head.road_map.extra = guide.road_map.extra.clone();
    head
}

impl<T: Clone + PartialEq> Splice<T> {
    fn between(before: &[T], after: &[T]) -> Option<Self> {
        let at = before
            .iter()
            .zip(after)
            .take_while(|(old, new)| old == new)
            .count();
        let same_end = before
            .iter()
            .rev()
            .zip(after.iter().rev())
            .take(before.len().min(after.len()) - at)
            .take_while(|(old, new)| old == new)
            .count();
        let middle = |list: &[T]| {
            list.get(at..list.len() - same_end)
                .map_or_else(Vec::new, <[T]>::to_vec)
        };
        let (before, after) = (middle(before), middle(after));
        let differs = !before.is_empty() || !after.is_empty();
        differs.then_some(Self { at, before, after })
    }
}

fn spliced<T: Clone>(list: &[T], splice: Option<&Splice<T>>, way: Way) -> Vec<T> {
    let Some(splice) = splice else {
        return list.to_vec();
    };
    let (out, into) = match way {
        Way::Back => (&splice.after, &splice.before),
        Way::Forth => (&splice.before, &splice.after),
    };
    let mut made: Vec<T> = list.iter().take(splice.at).cloned().collect();
    made.extend(into.iter().cloned());
    made.extend(list.iter().skip(splice.at + out.len()).cloned());
    made
}

#[cfg(test)]
mod tests {
    use super::*;
    use cueleaf_guide::{Id, Spot, Topic};
    use proptest::prelude::*;

    fn id(text: &str) -> Id {
        Id::new(text).unwrap()
    }

    fn with_title(title: &str) -> Guide {
        Guide::new(id("g"), title)
    }

    #[test]
    fn a_run_is_one_step() {
        let mut history = History::new(with_title(""));
        for title in ["T", "Ti", "Tid"] {
            assert!(history.commit_run(with_title(title), "change the title", "title"));
        }
        history.settle();
        history.commit_run(with_title("Tide"), "change the title", "title");
        assert!(!history.commit(with_title("Tide"), "nothing"));
        assert_eq!(history.undo().as_deref(), Some("change the title"));
        assert_eq!(history.guide().title, "Tid");
        assert_eq!(history.undo_words(), Some("change the title"));
        history.undo();
        assert_eq!(history.guide().title, "");
        assert_eq!(history.undo(), None);
        history.redo();
        assert_eq!(history.guide().title, "Tid");
        history.commit(with_title("New"), "change the title");
        assert_eq!(history.redo(), None);
    }

    fn any_guide() -> impl Strategy<Value = Guide> {
        let labels = prop::collection::vec("[0-9]{0,2}", 0..6);
        let tips = prop::collection::vec(("[a-c]", "[a-z]{0,3}"), 0..4);
        ("[a-z]{0,2}", labels, tips, 0u8..3).prop_map(|(title, labels, tips, count_in)| {
            let mut guide = with_title(&title);
            guide.settings.count_in = count_in;
            guide.road_map.measures = labels.iter().map(|l| Measure::labelled(l)).collect();
            guide.tips = tips
                .iter()
                .map(|(name, text)| Tip::new(id(name), Spot::measures(0, 0), Topic::Bow, text))
                .collect();
            guide
        })
    }

    proptest! {
        #[test]
        fn undo_leads_back_and_redo_forth(
            guides in prop::collection::vec((any_guide(), 0u8..3), 1..12)
        ) {
            let mut history = History::new(with_title("start"));
            let mut seen = vec![history.guide().as_ref().clone()];
            for (guide, run) in guides {
                if run == 0 {
                    history.commit(guide.clone(), "edit");
                } else {
                    history.commit_run(guide.clone(), "edit", &run.to_string());
                }
                prop_assert_eq!(history.guide().as_ref(), &guide);
                // A run that leads back to where it began leaves no step.
                seen.truncate(history.done.len());
                seen.push(guide);
            }
            let end = history.guide().as_ref().clone();
            let mut count = 0;
            while history.undo().is_some() {
                count += 1;
                prop_assert_eq!(history.guide().as_ref(), &seen[seen.len() - 1 - count]);
            }
            while history.redo().is_some() {}
            prop_assert_eq!(history.guide().as_ref(), &end);
        }
    }
}
