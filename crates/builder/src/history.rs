//! The document and every step that led to it.
//!
//! A step is kept as what it took out and what it put in, not as a whole
//! document: a thousand edits of a long piece weigh little, and undoing is the
//! same step read backwards. What a step adds to the saved form is known from that
//! difference, too, so that no edit makes a guide that could not be opened again. What is decided
//! beside the document, such as which proposals are dropped, is a step as well.

use cueleaf_guide::{
    Guide, MAX_SAVED_BYTES, Measure, Part, Tip, Todo, TooLarge, save, saved_bytes, within_limits,
};
use serde::Serialize;
use std::collections::BTreeSet;
use std::rc::Rc;

/// The bytes of the saved form that stand around what is counted: the names of lists.
const FRAME: usize = 64;

/// The document with its past and its undone future.
#[derive(Debug, Clone)]
pub struct History {
    now: Rc<Guide>,
    /// How many bytes it takes in its saved form, the frame aside.
    bytes: usize,
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
    /// What it did beside the document.
    beside: Option<Rc<Beside>>,
}

/// What a step did beside the document: which proposals it dropped and proposed again, each as
/// the line that says it.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Beside {
    /// What was dropped.
    pub dropped: BTreeSet<String>,
    /// What was proposed again.
    pub shown: BTreeSet<String>,
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
            bytes: weight(&guide),
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
    ///
    /// # Errors
    /// What there would be too much of to open the document again; nothing happens then, either.
    pub fn commit(&mut self, guide: Guide, words: impl Into<String>) -> Result<bool, TooLarge> {
        self.take(guide, words.into(), None)
    }

    /// Takes a document like [`commit`](Self::commit), as one step with the
    /// edits before it that bear the same name of a run.
    ///
    /// # Errors
    /// As [`commit`](Self::commit).
    pub fn commit_run(
        &mut self,
        guide: Guide,
        words: impl Into<String>,
        run: &str,
    ) -> Result<bool, TooLarge> {
        self.take(guide, words.into(), Some(run.to_owned()))
    }

    fn take(&mut self, guide: Guide, words: String, run: Option<String>) -> Result<bool, TooLarge> {
        if *self.now == guide {
            return Ok(false);
        }
        let change = Change::between(&self.now, &guide);
        let bytes = change.weighed(self.bytes, Way::Forth);
        self.allow(&guide, bytes)?;
        self.bytes = bytes;
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
            let beside = None;
            self.done.push(Step {
                words,
                run,
                change,
                beside,
            });
        }
        self.now = Rc::new(guide);
        Ok(true)
    }

    /// Takes what was decided beside the document as a step; nothing happens for nothing.
    pub fn commit_beside(&mut self, beside: Beside, words: impl Into<String>) {
        if beside == Beside::default() {
            return;
        }
        self.undone.clear();
        self.done.push(Step {
            words: words.into(),
            run: None,
            change: Change::default(),
            beside: Some(Rc::new(beside)),
        });
    }

    /// Gives what undoing the last step takes back beside the document.
    #[must_use]
    pub fn beside_of_undo(&self) -> Option<Rc<Beside>> {
        self.done.last().and_then(|step| step.beside.clone())
    }

    /// Gives what doing the last undone step again does beside the document.
    #[must_use]
    pub fn beside_of_redo(&self) -> Option<Rc<Beside>> {
        self.undone.last().and_then(|step| step.beside.clone())
    }

    /// Tells whether a document may take the place of this one: an edit that makes it would be
    /// taken.
    ///
    /// # Errors
    /// As [`commit`](Self::commit).
    pub fn may_become(&self, guide: &Guide) -> Result<(), TooLarge> {
        self.allow(guide, weight(guide))
    }

    /// Refuses a document above a limit, unless there is no more of it than before.
    fn allow(&self, guide: &Guide, bytes: usize) -> Result<(), TooLarge> {
        let Err(over) = fits(guide, bytes) else {
            return Ok(());
        };
        match fits(&self.now, self.bytes) {
            Err(before) if before.what == over.what && over.actual <= before.actual => Ok(()),
            _ => Err(over),
        }
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
        self.bytes = step.change.weighed(self.bytes, Way::Back);
        self.now = Rc::new(step.change.applied(&self.now, Way::Back));
        let words = step.words.clone();
        self.undone.push(step);
        Some(words)
    }

    /// Does the last undone step again and gives its words; `None` when there is none.
    pub fn redo(&mut self) -> Option<String> {
        let step = self.undone.pop()?;
        self.bytes = step.change.weighed(self.bytes, Way::Forth);
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

    /// Gives how many bytes a document takes after the change that took so many before.
    fn weighed(&self, bytes: usize, way: Way) -> usize {
        let heads = self.head.as_deref();
        let heads = heads.map(|(old, new)| (save(old).len(), save(new).len()));
        let lists = [
            self.measures.as_ref().map(Splice::weights),
            self.parts.as_ref().map(Splice::weights),
            self.tips.as_ref().map(Splice::weights),
            self.todos.as_ref().map(Splice::weights),
            heads,
        ];
        let sum = |bytes: usize, (before, after): (usize, usize)| match way {
            Way::Back => bytes.saturating_add(before).saturating_sub(after),
            Way::Forth => bytes.saturating_add(after).saturating_sub(before),
        };
        lists.into_iter().flatten().fold(bytes, sum)
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

impl<T: Serialize> Splice<T> {
    fn weights(&self) -> (usize, usize) {
        (weight_of(&self.before), weight_of(&self.after))
    }
}

/// Counts the bytes of the saved form; each thing of a list has its comma.
fn weight(guide: &Guide) -> usize {
    let lists = weight_of(&guide.road_map.measures)
        + weight_of(&guide.parts)
        + weight_of(&guide.tips)
        + weight_of(&guide.todos);
    save(&head(guide)).len() + lists
}

fn weight_of<T: Serialize>(list: &[T]) -> usize {
    list.iter().map(|own| saved_bytes(own) + 1).sum()
}

fn fits(guide: &Guide, bytes: usize) -> Result<(), TooLarge> {
    within_limits(guide)?;
    TooLarge::guard("bytes", MAX_SAVED_BYTES, bytes.saturating_add(FRAME))
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
    use cueleaf_guide::{Extra, Id, MAX_MEASURES, MediaBytes, Spot, Topic};
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
            assert!(
                history
                    .commit_run(with_title(title), "change the title", "title")
                    .unwrap()
            );
        }
        history.settle();
        history
            .commit_run(with_title("Tide"), "change the title", "title")
            .unwrap();
        assert!(!history.commit(with_title("Tide"), "nothing").unwrap());
        assert_eq!(history.undo().as_deref(), Some("change the title"));
        assert_eq!(history.guide().title, "Tid");
        assert_eq!(history.undo_words(), Some("change the title"));
        history.undo();
        assert_eq!(history.guide().title, "");
        assert_eq!(history.undo(), None);
        history.redo();
        assert_eq!(history.guide().title, "Tid");
        history
            .commit(with_title("New"), "change the title")
            .unwrap();
        assert_eq!(history.redo(), None);
    }

    fn of_measures(count: usize) -> Guide {
        let mut guide = with_title("");
        guide.road_map.measures = vec![Measure::labelled("1"); count];
        guide
    }

    #[test]
    fn what_could_not_be_opened_again_is_refused() {
        let mut history = History::new(of_measures(MAX_MEASURES));
        let over = history.commit(of_measures(MAX_MEASURES + 1), "one more");
        assert_eq!(over.map_err(|over| over.what), Err("measures"));
        assert_eq!(history.guide().road_map.measures.len(), MAX_MEASURES);
        assert_eq!(history.undo_words(), None);
        // What is above a limit from elsewhere can get smaller.
        let mut history = History::new(of_measures(MAX_MEASURES + 2));
        assert_eq!(
            history.commit(of_measures(MAX_MEASURES + 1), "less"),
            Ok(true)
        );
        let more = history.commit(of_measures(MAX_MEASURES + 3), "more");
        assert!(more.is_err());
    }

    #[test]
    fn voice_notes_are_counted_in_bytes() {
        let voice = |bytes: usize| cueleaf_guide::Voice {
            milliseconds: 1,
            words: String::new(),
            data: MediaBytes::of_text("A".repeat(bytes)),
            extra: Extra::default(),
        };
        let tip = |name: &str, bytes: usize| {
            let mut tip = Tip::new(id(name), Spot::measures(0, 0), Topic::Bow, "");
            tip.voice = Some(voice(bytes));
            tip
        };
        let mut full = of_measures(1);
        full.tips = vec![tip("a", MAX_SAVED_BYTES - 900_000)];
        let mut history = History::new(full.clone());
        full.tips.push(tip("b", 600_000));
        assert_eq!(history.commit(full.clone(), "a note"), Ok(true));
        let before = full.clone();
        full.tips.push(tip("c", 600_000));
        let over = history.commit(full.clone(), "another note");
        assert_eq!(over.map_err(|over| over.what), Err("bytes"));
        assert_eq!(**history.guide(), before);
        // In the place of one it has room.
        full.tips.remove(1);
        assert_eq!(history.commit(full, "another note"), Ok(true));
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
                    history.commit(guide.clone(), "edit").unwrap();
                } else {
                    history.commit_run(guide.clone(), "edit", &run.to_string()).unwrap();
                }
                prop_assert_eq!(history.guide().as_ref(), &guide);
                prop_assert_eq!(history.bytes, weight(&guide));
                prop_assert!(save(&guide).len() <= history.bytes + FRAME);
                prop_assert!(save(&guide).len() + FRAME >= history.bytes);
                // A run that leads back to where it began leaves no step.
                seen.truncate(history.done.len());
                seen.push(guide);
            }
            let end = history.guide().as_ref().clone();
            let mut count = 0;
            while history.undo().is_some() {
                count += 1;
                prop_assert_eq!(history.guide().as_ref(), &seen[seen.len() - 1 - count]);
                prop_assert_eq!(history.bytes, weight(history.guide()));
            }
            while history.redo().is_some() {}
            prop_assert_eq!(history.bytes, weight(&end));
            prop_assert_eq!(history.guide().as_ref(), &end);
        }
    }
}
