//! A tip with what it shows: a stroke of the bow, a rhythm with its counts, a
//! place in a recording, a photo, a voice note.

use crate::media::{photo_figure, voice_figure};
use crate::sections::topic_word;
use crate::words::{capital, typed};
use crate::{Page, Word, Words, note_sign, rest_sign, spot_text, tip_button};
use cueleaf_guide::{
    BowAmount, BowPart, BowWay, Importance, RhythmKind, RhythmLength, Spot, Stroke, Tip, Watch,
};
use cueleaf_plan::{CountSystem, RhythmNote, SYSTEMS, Sound, count_rhythm, counts_of};
use cueleaf_time::BeatSpan;
use maud::{Markup, html};

/// Shows a tip. The measure alone is not said: the heading above says it.
pub(crate) fn tip_part(page: &Page<'_>, index: usize, tip: &Tip) -> Markup {
    html! {
        div class="tip" data-tip=(index) {
            div {
                (tip_words(page, tip))
                @if let Some(stroke) = &tip.bow { (stroke_picture(page.words, stroke)) }
                (rhythm_line(page, tip))
                @if let Some(watch) = &tip.watch { (watch_line(page.words, watch)) }
                @if page.has_media() {
                    @if let Some(photo) = page.guide.shown_photo(tip) { (photo_figure(page.words, index, photo)) }
                    @if let Some(voice) = page.guide.shown_voice(tip) { (voice_figure(page.words, index, voice)) }
                }
            }
            @if page.is_alive() && is_played(page, tip) { (tip_button(page, index, tip)) }
        }
    }
}

/// Tells whether anything of a tip's spot is not left out.
#[must_use]
pub fn is_played(page: &Page<'_>, tip: &Tip) -> bool {
    let spot = tip.spot.from.measure..=tip.spot.last_measure();
    let own = page.measures().get(spot);
    own.is_some_and(|own| own.iter().any(|measure| !measure.cut))
}

/// Shows what a tip is about, where, and its text.
pub(crate) fn tip_words(page: &Page<'_>, tip: &Tip) -> Markup {
    let own_place = tip.spot != Spot::at(tip.spot.from) || !tip.spot.from.at.is_zero();
    html! {
        p {
            (importance_mark(page.words, tip.importance))
            b { (capital(topic_word(page.words, tip.topic))) }
            @if own_place { " " span class="place" { (spot_text(page, &tip.spot)) } }
            br;
            (typed(&tip.text))
        }
    }
}

/// Says in words how much a tip matters, where it is not as usual.
#[must_use]
pub fn importance_mark(words: &Words, importance: Importance) -> Markup {
    html! {
        @match importance {
            Importance::StartHere => { strong class="start-here" { (words.get(Word::StartHere)) } " " }
            Importance::Usual => {}
            Importance::WhenTime => { small class="when-time" { (words.get(Word::WhenTime)) ":" } " " }
        }
    }
}

/// Draws a bow from frog to tip with the stroke on it, and says it in words below.
#[must_use]
pub fn stroke_picture(words: &Words, stroke: &Stroke) -> Markup {
    let (from, end) = stroke.stretch();
    let end = end.clamp(0, 100);
    // The hair runs from 24 to 224 units; two units are a percent.
    let at = |percent: i16| 24 + 2 * i32::from(percent);
    let head = if end > from { -7 } else { 7 };
    let said = stroke_text(words, stroke);
    html! {
        figure class="bow" {
            svg role="img" aria-label=(said) viewBox="0,0,240,44" width="240" height="44" {
                path class="stick" d="M6,12Q120,18,228,10L232,26H24" {}
                path class="frog" d="M16,13h18v13h-18z" {}
                @if end != from {
                    path class="stroke" d={ "M" (at(from)) ",36H" (at(end)) "m" (head) "-5l" (-head) ",5l" (head) ",5" } {}
                }
                circle class="from" cx=(at(from)) cy="26" r="4" {}
            }
            figcaption { (capital(&said)) }
        }
    }
}

/// Says a stroke: "down-bow from the frog, half the bow".
#[must_use]
pub fn stroke_text(words: &Words, stroke: &Stroke) -> String {
    let way = words.get(match stroke.way {
        BowWay::Down => Word::DownBow,
        BowWay::Up => Word::UpBow,
    });
    let from = words.get(match stroke.from {
        BowPart::Frog => Word::FromFrog,
        BowPart::LowerHalf => Word::FromLowerHalf,
        BowPart::Middle => Word::FromMiddle,
        BowPart::UpperHalf => Word::FromUpperHalf,
        BowPart::Tip => Word::FromTip,
    });
    let amount = words.get(match stroke.amount {
        BowAmount::Little => Word::LittleBow,
        BowAmount::Quarter => Word::QuarterBow,
        BowAmount::Half => Word::HalfBow,
        BowAmount::Whole => Word::WholeBow,
    });
    words.fill(Word::StrokeIs, &[way, from, amount])
}

/// Shows a tip's rhythm: its signs, and under each what is counted on it.
#[must_use]
pub fn rhythm_line(page: &Page<'_>, tip: &Tip) -> Markup {
    let spoken = spoken(page, tip);
    html! {
        @if !tip.rhythm.is_empty() {
            ol class="rhythm" {
                @for (own, word) in tip.rhythm.iter().zip(spoken) {
                    li {
                        (length_sign(page.words, own))
                        @if let Some((these, _)) = own.tuplet { small { (these) } }
                        b { (word) }
                    }
                }
            }
        }
    }
}

/// Tells what is counted on each length of a tip's rhythm, as text; a rest in
/// parentheses, a tied note as "_".
#[must_use]
pub fn spoken(page: &Page<'_>, tip: &Tip) -> Vec<String> {
    let nothing = || vec![String::new(); tip.rhythm.len()];
    let Some(laid) = page.plan.layout().get(tip.spot.from.measure) else {
        return nothing();
    };
    let before = RhythmNote {
        length: tip.spot.from.at,
        sound: Sound::Rest,
        in_tuplet: false,
    };
    let lengths = tip.rhythm.iter().map(|own| RhythmNote {
        length: own.span().unwrap_or(BeatSpan::ZERO),
        sound: match own.kind {
            RhythmKind::Note => Sound::Note,
            RhythmKind::Rest => Sound::Rest,
            RhythmKind::Tied => Sound::Tied,
        },
        in_tuplet: own.tuplet.is_some(),
    });
    let notes: Vec<RhythmNote> = core::iter::once(before).chain(lengths).collect();
    match count_rhythm(&counts_of(laid), &notes, system(page.words)) {
        Ok(spoken) => spoken.iter().skip(1).map(ToString::to_string).collect(),
        Err(_) => nothing(),
    }
}

/// Gives the usual count system of the page's language.
fn system(words: &Words) -> &'static CountSystem {
    const FALLBACK: &CountSystem = match SYSTEMS.first() {
        Some(first) => first,
        None => panic!("there is a count system"),
    };
    let language = words.get(Word::LanguageTag);
    SYSTEMS
        .iter()
        .find(|system| system.language == language)
        .unwrap_or(FALLBACK)
}

fn length_sign(words: &Words, own: &RhythmLength) -> Markup {
    match own.kind {
        RhythmKind::Note => note_sign(words, own.note),
        RhythmKind::Tied => {
            html! { i { (words.get(Word::Tied)) } (note_sign(words, own.note)) }
        }
        RhythmKind::Rest => rest_sign(words, own.note),
    }
}

/// Says where in a recording to look; as a link where the address may be one.
#[must_use]
pub fn watch_line(words: &Words, watch: &Watch) -> Markup {
    let text = words.fill(Word::WatchAt, &[&watch.clock()]);
    html! {
        p class="watch" {
            @match watch.link() {
                Some(address) => {
                    a href=(address) target="_blank" rel="noopener noreferrer" { (text) }
                    " " span class="address" { (address) }
                }
                None => {
                    (text)
                    @if !watch.address.is_empty() { " " span class="address" { (watch.address) } }
                }
            }
        }
    }
}
