//! Changes, announced in words.

use crate::counts::groups_text;
use crate::place::beat_of;
use crate::{Page, Word, key_text, measure_text, tempo_text};
use cueleaf_guide::MarkKind;

/// Writes what changes when a played measure comes: "5/8, 2 + 3, quarter = 132".
/// Nothing where nothing changes.
#[must_use]
pub fn change_text(page: &Page<'_>, played: usize) -> Option<String> {
    let words = page.words;
    let change = page.plan.change_into(played);
    let mut parts = Vec::new();
    if change.leaps
        && let Some(own) = page.plan.order().get(played)
    {
        parts.push(words.fill(Word::GoOnAt, &[&measure_text(page, own.measure)]));
    }
    if let Some((meter, grouping)) = &change.meter {
        let text = if meter.is_free() {
            words.get(Word::FreeMeter).to_owned()
        } else if grouping.is_uneven() {
            words.fill(Word::MeterIn, &[&meter.to_string(), &groups_text(grouping)])
        } else {
            meter.to_string()
        };
        parts.push(text);
    }
    parts.extend(change.tempo.map(|tempo| tempo_text(words, tempo)));
    let laid = page.plan.measure(played);
    let beat = |at| {
        laid.and_then(|laid| beat_of(words, laid, at))
            .unwrap_or_default()
    };
    let inside = change.tempo_inside;
    parts.extend(
        inside.map(|(at, tempo)| {
            words.fill(Word::MeasureIs, &[&beat(at), &tempo_text(words, tempo)])
        }),
    );
    let toward = change.toward.map(|tempo| tempo_text(words, tempo));
    parts.extend(toward.map(|tempo| words.fill(Word::Gradually, &[&tempo])));
    parts.extend(change.key.map(|key| key_text(words, key)));
    let stops = change.stops.into_iter();
    parts.extend(stops.map(|at| words.fill(Word::Hold, &[&beat(at)])));
    parts.extend(change.playing.into_iter().filter_map(|(at, kind)| {
        let word = words.get(playing_word(kind)?);
        Some(if at.is_zero() {
            word.to_owned()
        } else {
            words.fill(Word::MeasureIs, &[&beat(at), word])
        })
    }));
    (!parts.is_empty()).then(|| parts.join(", "))
}

/// Announces what changes at a played measure: "next: 5/8, 2 + 3".
#[must_use]
pub fn next_text(page: &Page<'_>, played: usize) -> Option<String> {
    let change = change_text(page, played)?;
    Some(page.words.fill(Word::Next, &[&change]))
}

/// Gives the word for a change of playing; none for other marks.
pub(crate) const fn playing_word(kind: MarkKind) -> Option<Word> {
    match kind {
        MarkKind::Pizz => Some(Word::Pizz),
        MarkKind::Arco => Some(Word::Arco),
        MarkKind::MuteOn => Some(Word::MuteOn),
        MarkKind::MuteOff => Some(Word::MuteOff),
        MarkKind::Dynamic
        | MarkKind::Grow
        | MarkKind::Fade
        | MarkKind::DownBow
        | MarkKind::UpBow
        | MarkKind::Rest
        | MarkKind::Words => None,
    }
}
