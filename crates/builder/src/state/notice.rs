//! A message at the top of the page.

use crate::msg::Msg;

/// A message at the top of the page, with what can be done.
#[derive(Debug, Clone, PartialEq)]
pub struct Notice {
    /// How it is told.
    pub tone: Tone,
    /// The message.
    pub text: String,
    /// What can be done about it: a button's words, its message.
    pub choices: Vec<(&'static str, Msg)>,
    /// The words of the step that it tells of: undone, it tells of nothing.
    pub step: Option<String>,
}

/// How a message is told.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Tone {
    /// For information.
    Plain,
    /// Something went wrong.
    Trouble,
}

impl Notice {
    /// Makes a message that informs.
    #[must_use]
    pub fn plain(text: impl Into<String>) -> Self {
        Self {
            tone: Tone::Plain,
            text: text.into(),
            choices: Vec::new(),
            step: None,
        }
    }

    /// Makes a message about something that went wrong.
    #[must_use]
    pub fn trouble(text: impl Into<String>) -> Self {
        Self {
            tone: Tone::Trouble,
            ..Self::plain(text)
        }
    }

    /// Says of which step it tells, by its words.
    #[must_use]
    pub fn of_step(mut self, words: impl Into<String>) -> Self {
        self.step = Some(words.into());
        self
    }

    /// Adds something that can be done.
    #[must_use]
    pub fn choice(mut self, words: &'static str, msg: Msg) -> Self {
        self.choices.push((words, msg));
        self
    }
}
