//! Phrases that the teacher keeps, to be put into tips.
//!
//! They belong to the device and to no guide: what was put into a tip is text like any
//! other. What is kept is one line a phrase, its topic before it, and is read as hostile.

use crate::edit::tips::topic_of;
use cueleaf_guide::{Guide, Id, Topic};
use std::ops::Range;

/// The most phrases that are kept.
///
/// # Source
/// Our decision: more are no longer found.
pub const MAX_PHRASES: usize = 200;

/// The most letters of a phrase.
///
/// # Source
/// Our decision: a few sentences.
pub const MAX_PHRASE: usize = 200;

/// The most letters of a tip, which its field allows too.
pub const MAX_TIP: usize = 2000;

/// What a teacher may begin with; plain sentences of our own.
const STARTING: [(Topic, &[&str]); 8] = [
    (
        Topic::Bow,
        &[
            "Start at the frog and save the bow for the long note.",
            "Stay near the middle, with short strokes.",
            "Lift the bow in the rest and go back to the frog.",
        ],
    ),
    (
        Topic::LeftHand,
        &[
            "Put the finger down before the bow moves.",
            "Hear the note in your head before you shift.",
            "Leave the finger down as long as you can.",
        ],
    ),
    (
        Topic::Pluck,
        &[
            "Keep the bow in your hand while you pluck.",
            "Use the rest to get the bow back on the string.",
        ],
    ),
    (
        Topic::Sound,
        &[
            "Softer than you think: the others have the tune.",
            "Begin quietly, so that there is room to grow.",
            "Hold the note to its very end.",
        ],
    ),
    (
        Topic::Count,
        &[
            "Count the rest aloud and clap the first note after it.",
            "Feel the small beats while you hold the long note.",
            "Say the groups aloud before you play.",
        ],
    ),
    (
        Topic::Listen,
        &[
            "Listen for the tune, and come in when it ends.",
            "Fit your short notes to the bass.",
        ],
    ),
    (
        Topic::GetReady,
        &[
            "Look ahead: the tempo changes here.",
            "Breathe in one beat before you come in.",
        ],
    ),
    (
        Topic::Note,
        &[
            "Slowly first; faster once it went well twice.",
            "Sing it before you play it.",
        ],
    ),
];

/// One phrase.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Phrase {
    /// What it is about.
    pub topic: Topic,
    /// Its words, in one line.
    pub text: String,
}

/// The phrases of a device, in the order in which they were kept.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Phrases {
    list: Vec<Phrase>,
}

impl Phrases {
    /// Gives the phrases that a teacher begins with.
    #[must_use]
    pub fn starting() -> Self {
        let mut own = Self::default();
        own.add_starting();
        own
    }

    /// Reads what is kept; what is no phrase is left out.
    ///
    /// ```
    /// use cueleaf_builder::phrases::Phrases;
    ///
    /// let own = Phrases::read("bow: At the tip.\nno phrase\nfish: No topic.");
    /// assert_eq!(own.write(), "bow: At the tip.\n");
    /// ```
    #[must_use]
    pub fn read(text: &str) -> Self {
        let mut own = Self::default();
        for line in text.lines() {
            if let Some((topic, words)) = line.split_once(':')
                && let Some(topic) = topic_of(topic.trim())
            {
                own.keep(topic, words);
            }
        }
        own
    }

    /// Writes what is to be kept.
    #[must_use]
    pub fn write(&self) -> String {
        let lines = self.list.iter();
        lines
            .map(|own| format!("{}: {}\n", own.topic.code(), own.text))
            .collect()
    }

    /// Gives all of them, by place in the list.
    pub fn all(&self) -> impl Iterator<Item = (usize, &Phrase)> {
        self.list.iter().enumerate()
    }

    /// Gives those about a topic, by place in the list.
    pub fn about(&self, topic: Topic) -> impl Iterator<Item = (usize, &Phrase)> {
        self.all().filter(move |(_, own)| own.topic == topic)
    }

    /// Gives the order in which they are offered for a tip: first those about its topic.
    #[must_use]
    pub fn offered(&self, topic: Topic) -> Vec<usize> {
        let others = Topic::ALL.into_iter().filter(|own| *own != topic);
        let topics = core::iter::once(topic).chain(others);
        topics
            .flat_map(|own| self.about(own).map(|(index, _)| index))
            .collect()
    }

    /// Gives one by its place in the list.
    #[must_use]
    pub fn get(&self, index: usize) -> Option<&Phrase> {
        self.list.get(index)
    }

    /// Tells whether words are kept already, about whatever.
    #[must_use]
    pub fn has(&self, text: &str) -> bool {
        let text = plain(text);
        self.list.iter().any(|own| own.text == text)
    }

    /// Keeps words as a phrase; tells whether they are new, not empty and not too many.
    pub fn keep(&mut self, topic: Topic, text: &str) -> bool {
        let text = plain(text);
        let fits = !text.is_empty() && self.list.len() < MAX_PHRASES && !self.has(&text);
        if fits {
            self.list.push(Phrase { topic, text });
        }
        fits
    }

    /// Changes the words of one; tells whether anything changed.
    pub fn edit(&mut self, index: usize, text: &str) -> bool {
        let text = plain(text);
        let fits = !text.is_empty() && !self.has(&text);
        match self.list.get_mut(index) {
            Some(own) if fits => {
                own.text = text;
                true
            }
            _ => false,
        }
    }

    /// Files one under another topic; tells whether anything changed.
    pub fn file_under(&mut self, index: usize, topic: Topic) -> bool {
        match self.list.get_mut(index) {
            Some(own) if own.topic != topic => {
                own.topic = topic;
                true
            }
            _ => false,
        }
    }

    /// Takes one away and gives it.
    pub fn remove(&mut self, index: usize) -> Option<Phrase> {
        (index < self.list.len()).then(|| self.list.remove(index))
    }

    /// Puts one back to its place.
    pub fn put_back(&mut self, index: usize, phrase: Phrase) {
        if !self.has(&phrase.text) {
            self.list.insert(index.min(self.list.len()), phrase);
        }
    }

    /// Tells whether some of those to begin with are not there.
    #[must_use]
    pub fn lacks_starting(&self) -> bool {
        let all = STARTING.iter().flat_map(|(_, texts)| texts.iter());
        all.into_iter().any(|text| !self.has(text))
    }

    /// Adds those to begin with that are not there.
    pub fn add_starting(&mut self) {
        for (topic, texts) in STARTING {
            for text in texts {
                self.keep(topic, text);
            }
        }
    }
}

/// What is done where the caret stands in a tip's text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Wish {
    /// A phrase is put into the tip, by its place in the list.
    Insert(Id, usize),
    /// What is chosen of the tip, else all of it, becomes a phrase.
    Keep(Id),
}

impl Wish {
    /// Gives the tip.
    #[must_use]
    pub const fn tip(&self) -> &Id {
        match self {
            Self::Insert(tip, _) | Self::Keep(tip) => tip,
        }
    }
}

/// Makes one line of words, not longer than a phrase.
fn plain(text: &str) -> String {
    let words: Vec<&str> = text.split_whitespace().collect();
    let line: String = words.join(" ").chars().take(MAX_PHRASE).collect();
    line.trim_end().to_owned()
}

/// Gives the place of a letter in a text, from its place in UTF-16 units.
fn byte_at(text: &str, units: usize) -> usize {
    let mut passed = 0;
    for (at, letter) in text.char_indices() {
        if passed >= units {
            return at;
        }
        passed += letter.len_utf16();
    }
    text.len()
}

/// Gives a stretch of a text, all of it when nothing is chosen.
#[must_use]
pub fn chosen_of<'a>(text: &'a str, stretch: &Range<usize>) -> &'a str {
    let own = text.get(byte_at(text, stretch.start)..byte_at(text, stretch.end));
    own.filter(|own| !own.trim().is_empty()).unwrap_or(text)
}

/// Puts words in the place of a stretch of a text, with a space to its neighbours, and
/// tells where the caret stands after them. Places are in UTF-16 units, as fields in pages
/// count.
///
/// ```
/// use cueleaf_builder::phrases::inserted;
///
/// assert_eq!(inserted("Slowly.", &(7..7), "Sing it."), ("Slowly. Sing it.".to_owned(), 16));
/// ```
#[must_use]
pub fn inserted(text: &str, stretch: &Range<usize>, words: &str) -> (String, usize) {
    let (start, end) = (byte_at(text, stretch.start), byte_at(text, stretch.end));
    let before = text.get(..start).unwrap_or_default();
    let after = text.get(end.max(start)..).unwrap_or_default();
    let joins = |letter: Option<char>| letter.is_none_or(char::is_whitespace);
    let mut made = before.to_owned();
    if !joins(before.chars().next_back()) {
        made.push(' ');
    }
    made.push_str(words);
    let caret = made.encode_utf16().count();
    if !joins(after.chars().next()) {
        made.push(' ');
    }
    made.push_str(after);
    (made, caret)
}

/// Finds the text and the topic of a tip.
#[must_use]
pub fn tip_of<'a>(guide: &'a Guide, id: &Id) -> Option<(&'a str, Topic)> {
    let tip = guide.tips.iter().find(|tip| tip.id == *id)?;
    Some((&tip.text, tip.topic))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn the_starting_ones_fit_and_cover_every_topic() {
        let own = Phrases::starting();
        assert!(
            Topic::ALL
                .iter()
                .all(|topic| own.about(*topic).count() >= 2)
        );
        assert!(!own.lacks_starting());
        assert_eq!(Phrases::read(&own.write()), own);
        let all = STARTING.iter().map(|(_, texts)| texts.len());
        assert_eq!(
            own.all().count(),
            all.sum::<usize>(),
            "none is too long or stands twice"
        );
        let first = own.offered(Topic::Listen)[0];
        assert_eq!(own.get(first).unwrap().topic, Topic::Listen);
        assert_eq!(own.offered(Topic::Listen).len(), own.all().count());
    }

    #[test]
    fn kept_edited_removed_and_put_back() {
        let mut own = Phrases::default();
        assert!(own.keep(Topic::Bow, "  At the\n tip. "));
        assert!(
            !own.keep(Topic::Sound, "At the tip."),
            "it is there already"
        );
        assert!(!own.keep(Topic::Bow, " \n"));
        assert!(own.keep(Topic::Sound, &"x".repeat(500)));
        assert_eq!(own.get(1).unwrap().text.len(), MAX_PHRASE);
        assert!(own.edit(0, "At the frog."));
        assert!(!own.edit(0, "") && !own.edit(7, "x"));
        assert!(own.file_under(0, Topic::Listen) && own.file_under(0, Topic::Bow));
        assert!(!own.file_under(0, Topic::Bow) && !own.file_under(7, Topic::Bow));
        let gone = own.remove(0).unwrap();
        assert_eq!(gone.text, "At the frog.");
        assert_eq!(own.remove(7), None);
        own.put_back(0, gone);
        assert_eq!(own.write().lines().next(), Some("bow: At the frog."));
        for number in 0..2 * MAX_PHRASES {
            own.keep(Topic::Bow, &number.to_string());
        }
        assert_eq!(own.all().count(), MAX_PHRASES);
    }

    #[test]
    fn words_go_in_where_the_caret_is() {
        for (text, stretch, expected, caret) in [
            ("", 0..0, "New.", 4),
            ("a b", 2..2, "a New. b", 6),
            ("a b", 2..3, "a New.", 6),
            ("ab", 1..1, "a New. b", 6),
            ("a ", 2..2, "a New.", 6),
            ("𝄞x", 2..2, "𝄞 New. x", 7),
            ("short", 90..99, "short New.", 10),
        ] {
            let made = inserted(text, &stretch, "New.");
            assert_eq!(made, (expected.to_owned(), caret), "{text} {stretch:?}");
        }
        assert_eq!(chosen_of("Sing. Play.", &(0..5)), "Sing.");
        assert_eq!(chosen_of("Sing. Play.", &(5..5)), "Sing. Play.");
    }

    proptest! {
        #[test]
        fn whatever_is_kept_is_read_without_harm(text in "(?s).{0,400}", start in 0usize..50, end in 0usize..50) {
            let own = Phrases::read(&text);
            prop_assert_eq!(&Phrases::read(&own.write()), &own);
            let (made, caret) = inserted(&text, &(start..end), "New.");
            prop_assert!(made.contains("New."));
            prop_assert!(caret <= made.encode_utf16().count());
            let _ = chosen_of(&text, &(start..end));
        }
    }
}
