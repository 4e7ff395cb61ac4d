//! Minutes practised by stretch, kept on the device, and what is shown of them.

use crate::app::App;
use crate::{choices, dom, kept, play};
use cueleaf_view::{Practised, Word, practised};

/// Adds what was practised since the last time to the stretch that plays.
pub(crate) fn note(app: &mut App) {
    let Some(playing) = &mut app.playing else {
        return;
    };
    let now = play::page_clock();
    let passed = now - playing.noted;
    if passed < 1.0 {
        return;
    }
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "at least one, and a cast of what is out of range stops at the limit"
    )]
    let seconds = passed as u32;
    playing.noted += f64::from(seconds);
    if playing.plan.is_some() {
        return;
    }
    let Some(playing) = &app.playing else {
        return;
    };
    let (first, end) = playing.run.measures();
    // What did not go round yet was played as far as it came.
    let round = playing.run.next_lap(0.0);
    let last = match round.filter(|round| *round <= playing.clock.at(play::now(app, playing))) {
        Some(_) => end,
        None => app.drawn.played().unwrap_or(first).clamp(first, end),
    };
    let written = |played: usize| app.plan.order().get(played).map(|own| own.measure);
    let (Some(first), Some(last)) = (written(first), written(last)) else {
        return;
    };
    let run = Practised {
        first: first.min(last),
        last: first.max(last),
        seconds: playing.practised.map_or(0, |own| own.seconds) + seconds,
    };
    let before = app
        .playing
        .as_mut()
        .and_then(|playing| playing.practised.replace(run));
    let mut kept = kept::practised(&app.guide);
    // The run stands under the measures that it has come to.
    if let Some(before) = before {
        for own in &mut kept {
            if (own.first, own.last) == (before.first, before.last) {
                own.seconds = own.seconds.saturating_sub(before.seconds);
            }
        }
        kept.retain(|own| own.seconds > 0);
    }
    let at = kept.partition_point(|own| (own.first, own.last) < (run.first, run.last));
    match kept.get_mut(at) {
        Some(own) if (own.first, own.last) == (run.first, run.last) => {
            own.seconds = own.seconds.saturating_add(run.seconds);
        }
        _ => kept.insert(at, run),
    }
    kept::keep_practised(&app.guide, &kept);
}

/// Draws what is kept.
pub(crate) fn show(app: &App) {
    let kept = kept::practised(&app.guide);
    dom::show("practised", &practised(&app.page(), &kept, app.done.len()));
}

/// Forgets all that the device keeps of this guide.
pub(crate) fn erase(app: &mut App) {
    choices::even_paces(app);
    kept::erase(&app.guide);
    app.done.clear();
    app.show_ticks();
    show(app);
    crate::display::say(app.words.get(Word::Erased));
}
