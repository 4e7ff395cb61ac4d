//! The rooms that only a live page has: the tabs, Play and Count.

use crate::practice::{choices, climb};
use crate::{Page, SectionPace, Word, Words, measure_text, number_of, play_sign, stop_sign, strip};
use cueleaf_guide::Tip;
use maud::{Markup, html};

/// One of the four ways to use a guide.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Room {
    /// Sections and tips in order.
    Walk,
    /// With the click.
    Play,
    /// Count by count.
    Count,
    /// The teacher's list.
    Todo,
}

impl Room {
    /// All rooms in order.
    pub const ALL: [Self; 4] = [Self::Walk, Self::Play, Self::Count, Self::Todo];

    /// Gives the name used in `data-room`.
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            Self::Walk => "walk",
            Self::Play => "play",
            Self::Count => "count",
            Self::Todo => "todo",
        }
    }

    /// Finds a room by its code.
    #[must_use]
    pub fn from_code(code: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|room| room.code() == code)
    }

    const fn word(self) -> Word {
        match self {
            Self::Walk => Word::WalkThrough,
            Self::Play => Word::Play,
            Self::Count => Word::Count,
            Self::Todo => Word::ToDo,
        }
    }
}

/// Shows the tabs that lead to the rooms.
#[must_use]
pub fn room_tabs(words: &Words) -> Markup {
    html! {
        div role="tablist" class="tabs" aria-label=(words.get(Word::Rooms)) {
            @for room in Room::ALL {
                button type="button" role="tab" id={ "tab-" (room.code()) } data-do="room" data-value=(room.code())
                    aria-controls={ "room-" (room.code()) } { (words.get(room.word())) }
            }
        }
    }
}

/// Gives the rooms that the player furnishes.
#[must_use]
pub fn empty_rooms() -> Markup {
    html! {
        div data-room="play" {}
        div data-room="count" {}
    }
}

/// Gives the region through which a screen reader speaks: sections, changes and
/// cues, never each count.
#[must_use]
pub fn speaker() -> Markup {
    html! { p id="speaker" class="unseen" role="status" {} }
}

/// Puts a sign before a word.
#[must_use]
pub fn labelled(sign: &Markup, text: &str) -> Markup {
    html! { (sign) " " (text) }
}

/// Shows the button beside a tip that plays from one measure before it.
#[must_use]
pub fn tip_button(page: &Page<'_>, index: usize, tip: &Tip) -> Markup {
    let first = tip.spot.from.measure;
    let place = measure_text(page, first);
    let before = if first == 0 {
        Word::PlayAt
    } else {
        Word::PlayFrom
    };
    let label = page.words.fill(before, &[&place]);
    html! {
        button type="button" class="live hear" data-do="tip" data-value=(index) aria-label=(label) {
            (play_sign())
        }
    }
}

/// Shows what stands under the thumb while reading: one large button, and the way to a measure.
#[must_use]
pub fn bottom(words: &Words) -> Markup {
    html! {
        div class="controls live" {
            p id="find-said" {}
            button type="button" class="large" id="play-piece" data-do="play-piece" { (labelled(&play_sign(), words.get(Word::PlayPiece))) }
            input id="find" data-do="find" enterkeyhint="go" autocomplete="off" size="7" placeholder=(words.get(Word::ChooseMeasure)) aria-label=(words.get(Word::GoToMeasure));
        }
    }
}

/// Shows the room to play in, with sections that have a pace of their own. What moves is looked up
/// by its id.
#[must_use]
pub fn play_room(page: &Page<'_>, paces: &[SectionPace]) -> Markup {
    let words = page.words;
    html! {
        div id="strip" { (strip(page, paces)) }
        button type="button" class="choose-button" data-do="choices" aria-expanded="false" aria-controls="choices" { (words.get(Word::Choices)) }
        (choices(page, paces))
        div class="stage" id="stage" {
            p class="where" { span id="where" {} " " span id="section" dir="auto" {} }
            p id="rest" {}
            p id="count" aria-hidden="true" {}
            div id="line" {
                div id="line-a" {}
                div id="line-b" class="behind" aria-hidden="true" {}
            }
            p id="cue" dir="auto" {}
            p id="next" {}
            p id="silent" hidden { (words.get(Word::Silent)) " " button type="button" data-do="sound" { (words.get(Word::SoundAgain)) } }
            (keys(words, Word::KeysPlay))
        }
        div class="controls" {
            (climb(words))
            div class="spot" id="spot" {
                label { span { (words.get(Word::From)) } select id="from" data-do="from" { (measure_options(page)) } }
                label { span { (words.get(Word::To)) } select id="to" data-do="to" {
                    option value="" { (words.get(Word::TheEnd)) }
                    (measure_options(page))
                } }
                label class="tick" { input type="checkbox" id="again" data-do="again"; span { (words.get(Word::Loop)) } }
            }
            div class="pace" {
                button type="button" data-do="slower" aria-label=(words.get(Word::Slower)) { "−5" }
                label { input type="number" id="percent" data-do="percent" min="25" max="150" step="1" inputmode="numeric" value="100" aria-label=(words.get(Word::TempoPercent)); span aria-hidden="true" { "%" } }
                button type="button" data-do="faster" aria-label=(words.get(Word::Faster)) { "+5" }
                button type="button" class="large" id="play" data-do="play" {}
            }
        }
    }
}

/// Shows the room to count in, at a written measure: count by count, or tapping along. What moves
/// is looked up by its id.
#[must_use]
pub fn count_room(page: &Page<'_>) -> Markup {
    let words = page.words;
    html! {
        div class="stage" {
            div class="choose" role="group" aria-label=(words.get(Word::HowToCount)) {
                button type="button" data-do="how" data-value="step" aria-pressed="true" { (words.get(Word::StepByTap)) }
                button type="button" data-do="how" data-value="tap" aria-pressed="false" { (words.get(Word::TapAlong)) }
            }
            div class="choose" {
                label { span { (words.get(Word::ChooseMeasure)) } select id="measure" data-do="measure" {
                    @let uneven = uneven_measures(page);
                    @if !uneven.is_empty() {
                        optgroup label=(words.get(Word::UnevenFirst)) {
                            @for index in uneven { option value=(index) { (number_of(page, index)) } }
                        }
                    }
                    optgroup label=(words.get(Word::AllMeasures)) { (measure_options(page)) }
                } }
                label class="tapping" hidden { span { (words.get(Word::MeasuresLong)) } select id="tap-long" {
                    @for long in ["1", "2", "4", "8"] { option { (long) } }
                } }
            }
            div class="tap" id="tap-here" data-do="step" {
                p id="step-count" {}
                div id="step-line" {}
            }
            p id="step-said" class="where" {}
            div id="tapped" class="tapping" role="status" hidden { p { (words.get(Word::HowToTap)) } }
            label class="tick" id="can-speak" hidden { input type="checkbox" id="speak"; span { (words.get(Word::SpeakCounts)) } }
            (keys(words, Word::KeysCount))
        }
        div class="controls steps" {
            button type="button" data-do="step-back" class="stepping" { (words.get(Word::Back)) }
            button type="button" class="large stepping" data-do="step" { (words.get(Word::TapHere)) }
            (stop_button(words))
            div class="pace tapping" hidden {
                button type="button" data-do="slower" aria-label=(words.get(Word::Slower)) { "−5" }
                span id="tap-percent" {}
                button type="button" data-do="faster" aria-label=(words.get(Word::Faster)) { "+5" }
                label class="tick" id="tap-clicks" { input type="checkbox" id="tap-click" checked; span { (words.get(Word::Click)) } }
                button type="button" id="tap-stop" data-do="tap-stop" hidden { (labelled(&stop_sign(), words.get(Word::Stop))) }
            }
            button type="button" class="large tapping" id="tap" data-do="tap" hidden {}
        }
    }
}

/// Shows what stops play in a room that does not itself play.
fn stop_button(words: &Words) -> Markup {
    html! {
        button type="button" class="stops" data-do="play" hidden { (labelled(&stop_sign(), words.get(Word::Stop))) }
    }
}

/// Shows what stands under the thumb beside the list of tasks, while it plays.
#[must_use]
pub fn stop_bar(words: &Words) -> Markup {
    html! { div class="controls live stops" hidden { (stop_button(words)) } }
}

fn keys(words: &Words, which: Word) -> Markup {
    html! {
        details class="keys" {
            summary { (words.get(Word::Keys)) }
            p { (words.get(which)) }
        }
    }
}

/// Gives an option for every measure that is played, by its printed number.
#[must_use]
pub fn measure_options(page: &Page<'_>) -> Markup {
    html! {
        @for (index, own) in page.guide.road_map.measures.iter().enumerate() {
            @if !own.cut { option value=(index) { (number_of(page, index)) } }
        }
    }
}

/// Gives the first measure of every stretch of uneven measures.
fn uneven_measures(page: &Page<'_>) -> Vec<usize> {
    let mut found = Vec::new();
    let mut before = None;
    for (index, laid) in page.plan.layout().measures().iter().enumerate() {
        let uneven = laid.beats.is_uneven();
        let key = (laid.meter.clone(), laid.grouping.clone());
        if uneven && before.as_ref() != Some(&key) {
            found.push(index);
        }
        before = Some(key);
    }
    found
}
