//! The list of keys, and that each key in it does something.

use super::Page;
use crate::hooks::{Key, KeyPlace, msg_of_key};
use crate::msg::{Effect, Msg, ShortcutsMsg};
use crate::shortcuts::{QuestionKey, SHORTCUTS};

#[test]
fn every_key_that_is_listed_does_something() {
    for shortcut in &SHORTCUTS {
        for key in shortcut.presses {
            assert!(msg_of_key(key).is_some(), "{key:?}: {}", shortcut.means);
        }
    }
    // A field keeps its letters.
    for on in [KeyPlace::Text, KeyPlace::Tip] {
        for name in ["?", "z", "Enter"] {
            let key = Key {
                name,
                command: false,
                shift: true,
                on,
            };
            assert_eq!(msg_of_key(&key), None, "{key:?}");
        }
    }
    let pressed = SHORTCUTS.iter().filter(|own| !own.presses.is_empty());
    assert!(pressed.count() >= 8);
}

#[test]
fn the_question_key_can_be_switched_off() {
    let mut page = Page::new();
    let show = Effect::ShowDialog("shortcuts".to_owned());
    page.send(Msg::Shortcuts(ShortcutsMsg::Asked));
    assert_eq!(page.asked.pop(), Some(show.clone()));
    let off = QuestionKey::Nothing;
    page.send(Msg::Shortcuts(ShortcutsMsg::Key(off)));
    assert_eq!(page.asked.pop(), Some(Effect::KeepQuestionKey(off)));
    page.send(Msg::Shortcuts(ShortcutsMsg::Asked));
    assert!(page.asked.is_empty());
    // The button goes on working.
    page.send(Msg::Shortcuts(ShortcutsMsg::Show));
    assert_eq!(page.asked.pop(), Some(show));
    assert_eq!(QuestionKey::of(off.text()), off);
}
