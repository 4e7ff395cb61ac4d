//! The teacher's phrases: beside the text of a tip, and as a list of their own.

use crate::edit::tips::topic_name;
use crate::phrases::{MAX_PHRASE, Phrases};
use crate::state::{Desk, Folded};
use crate::update::desk::phrases::{field_id, phrase_id, topic_id};
use cueleaf_guide::{Tip, Topic};
use maud::{Markup, html};

/// How many phrases have a digit as their key.
const WITH_DIGIT: usize = 9;

/// The phrases that can be put into an open tip; those about its topic come first.
pub(super) fn palette(desk: &Desk, phrases: &Phrases, tip: &Tip) -> Markup {
    let id = &tip.id;
    html! {
        div class="phrases" role="group" aria-label="Your phrases" {
            div class="choices" {
                button id={ "phrases-" (id) } type="button" data-do="phrases" aria-expanded=(desk.phrases_open)
                    aria-controls={ "phrase-list-" (id) } { "Your phrases" }
                @if !tip.text.trim().is_empty() {
                    button id={ "keep-phrase-" (id) } type="button" data-do="phrase-keep" data-value=(id) {
                        "Keep this phrase"
                    }
                }
            }
            div id={ "phrase-list-" (id) } class="phrase-list" hidden[!desk.phrases_open] {
                @if desk.phrases_open { (offered(phrases, tip)) }
            }
        }
    }
}

fn offered(phrases: &Phrases, tip: &Tip) -> Markup {
    let order = phrases.offered(tip.topic);
    let own = order
        .iter()
        .filter_map(|index| Some((*index, phrases.get(*index)?)));
    let mut before = None;
    html! {
        @if order.is_empty() { p class="hint" { "None yet." } }
        @for (place, (index, phrase)) in own.enumerate() {
            @if before.replace(phrase.topic) != Some(phrase.topic) {
                p class="about" { (topic_name(phrase.topic)) }
            }
            button id=(phrase_id(index)) type="button" class="phrase" data-do="phrase"
                data-value={ (tip.id) "/" (index) } {
                @if place < WITH_DIGIT { span class="digit" aria-hidden="true" { (place + 1) } " " }
                (phrase.text)
            }
        }
    }
}

/// All phrases, to be edited and removed.
pub(super) fn list(desk: &Desk, phrases: &Phrases) -> Markup {
    let count = phrases.all().count();
    html! {
        details id="own-phrases" class="own-phrases" open[desk.is_open("own-phrases", Folded::Yes)] {
            summary { "Your phrases: " (count) }
            h2 id="own-phrases-title" tabindex="-1" class="unseen" { "Your phrases" }
            p class="hint" {
                "Sentences that you use again and again. They stay on this device and are in no guide until you put "
                "them into a tip: while you write it, by “Your phrases”, or with Ctrl or Cmd and the full stop."
            }
            @for topic in Topic::ALL {
                @if phrases.about(topic).next().is_some() {
                    h3 { (topic_name(topic)) }
                    ul {
                        @for (index, phrase) in phrases.about(topic) {
                            li {
                                input id=(field_id(index)) type="text" value=(phrase.text) maxlength=(MAX_PHRASE)
                                    data-do="phrase-text" data-value=(index) autocomplete="off"
                                    aria-label={ "Phrase about: " (topic_name(topic)) };
                                select id=(topic_id(index)) data-do="phrase-topic" data-value=(index) autocomplete="off"
                                    aria-label={ "What it is about: " (phrase.text) } {
                                    @for own in Topic::ALL {
                                        option value=(own.code()) selected[own == topic] { (topic_name(own)) }
                                    }
                                }
                                button id={ "phrase-remove-" (index) } type="button" class="quiet" data-do="phrase-remove"
                                    data-value=(index) aria-label={ "Remove: " (phrase.text) } { "Remove" }
                            }
                        }
                    }
                }
            }
            @if phrases.lacks_starting() {
                button id="phrases-starting" type="button" data-do="phrases-starting" { "Add the ones to begin with" }
            }
        }
    }
}
