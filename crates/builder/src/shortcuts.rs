//! What keys do, in one table: it is shown in the page, a key that is not in it does nothing,
//! and tests press every key that is.

use crate::hooks::{Key, KeyPlace};
use crate::proposals::Deed;

/// The id of the list in the page.
pub(crate) const DIALOG: &str = "shortcuts";

/// What the key "?" does. A single character that does something can be pressed by mistake,
/// by speech input above all, so it can be switched off.
///
/// # Source
/// WCAG 2.2, 2.1.4 Character Key Shortcuts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum QuestionKey {
    /// It opens the list of keys.
    #[default]
    Opens,
    /// It does nothing.
    Nothing,
}

impl QuestionKey {
    /// Reads it from the state of a box to tick: "on" or "off".
    #[must_use]
    pub fn of(text: &str) -> Self {
        if text == "off" {
            Self::Nothing
        } else {
            Self::Opens
        }
    }

    /// Gives the state of its box to tick.
    #[must_use]
    pub const fn text(self) -> &'static str {
        match self {
            Self::Opens => "on",
            Self::Nothing => "off",
        }
    }
}

/// One line of the table.
#[derive(Debug)]
pub(crate) struct Shortcut {
    /// The keys in words.
    pub(crate) keys: &'static str,
    /// What they do, and where.
    pub(crate) means: &'static str,
    /// The keys as the page meets them; none where the browser does it by itself.
    pub(crate) presses: &'static [Key<'static>],
}

const fn press(name: &'static str, on: KeyPlace<'static>) -> Key<'static> {
    Key {
        name,
        command: false,
        shift: false,
        on,
    }
}

const fn with_command(name: &'static str, on: KeyPlace<'static>) -> Key<'static> {
    Key {
        command: true,
        ..press(name, on)
    }
}

/// Tells whether a key is in the table for the place where it was pressed, with Shift or
/// without.
pub(crate) fn is_listed(key: &Key<'_>) -> bool {
    let all = SHORTCUTS.iter().flat_map(|own| own.presses);
    all.into_iter().any(|own| {
        let same_place = match (own.on, key.on) {
            (KeyPlace::Elsewhere, on) => {
                !matches!(on, KeyPlace::Text | KeyPlace::Tip | KeyPlace::Name)
            }
            (KeyPlace::Tab(_), KeyPlace::Tab(_))
            | (KeyPlace::Proposal(..), KeyPlace::Proposal(..))
            | (KeyPlace::Phrase(_), KeyPlace::Phrase(_)) => true,
            (listed, on) => listed == on,
        };
        same_place && own.command == key.command && own.name.eq_ignore_ascii_case(key.name)
    })
}

const TAB: KeyPlace<'_> = KeyPlace::Tab("tips");
const PHRASE: KeyPlace<'_> = KeyPlace::Phrase(1);
const PROPOSAL: KeyPlace<'_> = KeyPlace::Proposal(Deed::Edit, 1);

/// What keys do.
pub(crate) const SHORTCUTS: [Shortcut; 14] = [
    Shortcut {
        keys: "Left, Right, Up, Down, Home, End, Page Up, Page Down",
        means: "in the road map: choose another measure; with Shift, several",
        presses: &[
            press("ArrowLeft", KeyPlace::Measure),
            press("ArrowRight", KeyPlace::Measure),
            press("ArrowUp", KeyPlace::Measure),
            press("ArrowDown", KeyPlace::Measure),
            press("Home", KeyPlace::Measure),
            press("End", KeyPlace::Measure),
            press("PageUp", KeyPlace::Measure),
            press("PageDown", KeyPlace::Measure),
            Key {
                shift: true,
                ..press("ArrowRight", KeyPlace::Measure)
            },
        ],
    },
    Shortcut {
        keys: "Enter",
        means: "in the road map: edit the chosen measures; in a field: take what is typed",
        presses: &[press("Enter", KeyPlace::Measure)],
    },
    Shortcut {
        keys: "33 or 33-40",
        means: "typed in the road map: choose these measures",
        presses: &[
            press("0", KeyPlace::Measure),
            press("1", KeyPlace::Measure),
            press("2", KeyPlace::Measure),
            press("3", KeyPlace::Measure),
            press("4", KeyPlace::Measure),
            press("5", KeyPlace::Measure),
            press("6", KeyPlace::Measure),
            press("7", KeyPlace::Measure),
            press("8", KeyPlace::Measure),
            press("9", KeyPlace::Measure),
            press("-", KeyPlace::Measure),
        ],
    },
    Shortcut {
        keys: "Ctrl or Cmd and Enter",
        means: "in the road map: a tip at the chosen measures",
        presses: &[with_command("Enter", KeyPlace::Measure)],
    },
    Shortcut {
        keys: "Left, Right, Home, End",
        means: "on the tabs: another room",
        presses: &[
            press("ArrowLeft", TAB),
            press("ArrowRight", TAB),
            press("Home", TAB),
            press("End", TAB),
        ],
    },
    Shortcut {
        keys: "Left, Right, Up, Down",
        means: "on a proposal of the watch list: keep, edit, drop; the one before or after",
        presses: &[
            press("ArrowLeft", PROPOSAL),
            press("ArrowRight", PROPOSAL),
            press("ArrowUp", PROPOSAL),
            press("ArrowDown", PROPOSAL),
        ],
    },
    Shortcut {
        keys: "Escape",
        means: "close the open tip, then the facts, or this list; leave a guide’s name as it was",
        presses: &[
            press("Escape", KeyPlace::Facts),
            press("Escape", KeyPlace::Measure),
            press("Escape", KeyPlace::Tip),
            press("Escape", KeyPlace::Name),
        ],
    },
    Shortcut {
        keys: "Ctrl or Cmd and Enter",
        means: "in a tip: done",
        presses: &[with_command("Enter", KeyPlace::Tip)],
    },
    Shortcut {
        keys: "Ctrl or Cmd and full stop",
        means: "in a tip: to your phrases",
        presses: &[with_command(".", KeyPlace::Tip)],
    },
    Shortcut {
        keys: "1 to 9, Up, Down, Enter, Escape",
        means: "on a phrase: put in one of the first nine; another one; this one; back to the tip",
        presses: &[
            press("1", PHRASE),
            press("2", PHRASE),
            press("3", PHRASE),
            press("4", PHRASE),
            press("5", PHRASE),
            press("6", PHRASE),
            press("7", PHRASE),
            press("8", PHRASE),
            press("9", PHRASE),
            press("ArrowUp", PHRASE),
            press("ArrowDown", PHRASE),
            press("ArrowLeft", PHRASE),
            press("ArrowRight", PHRASE),
            press("Escape", PHRASE),
        ],
    },
    Shortcut {
        keys: "Ctrl or Cmd and Z",
        means: "undo; in a field, what was typed there last",
        presses: &[with_command("z", KeyPlace::Elsewhere)],
    },
    Shortcut {
        keys: "Ctrl or Cmd and Shift and Z, or Y",
        means: "do it again",
        presses: &[
            Key {
                shift: true,
                ..with_command("Z", KeyPlace::Elsewhere)
            },
            with_command("y", KeyPlace::Elsewhere),
        ],
    },
    Shortcut {
        keys: "Tab",
        means: "to the next field or button; out of the notes too",
        presses: &[],
    },
    Shortcut {
        keys: "?",
        means: "outside fields: show this list",
        presses: &[press("?", KeyPlace::Elsewhere)],
    },
];
