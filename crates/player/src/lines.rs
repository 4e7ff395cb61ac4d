//! The line of two measures while playing, and its twin behind it: what comes next is drawn there
//! ahead of time, in frames in which nothing else happens, so that a new measure only turns the
//! two over.

use crate::app::App;
use crate::display::LINE;
use crate::dom;
use cueleaf_view::{Markup, played_line};
use web_sys::Element;

/// A played measure and the one that follows it on the line.
pub(crate) type Pair = (usize, Option<usize>);

/// The two places, one of which is seen.
const FIRST: &str = "line-a";
const SECOND: &str = "line-b";

/// What the two lines show.
#[derive(Debug, Clone, Default)]
pub(crate) struct Lines {
    /// Whether the second place is seen.
    turned: bool,
    seen: Option<Pair>,
    /// What the twin shows.
    behind: Option<Pair>,
    /// What is written for the twin and not yet in the page.
    written: Option<Markup>,
    /// Whether the twin is not laid out yet.
    away: bool,
    /// What of the twin is in the page only once the rest of it is laid out.
    ahead: Option<Element>,
}

impl Lines {
    /// Gives the id of the line that is seen.
    pub(crate) const fn seen(&self) -> &'static str {
        if self.turned { SECOND } else { FIRST }
    }

    const fn twin(&self) -> &'static str {
        if self.turned { FIRST } else { SECOND }
    }

    /// Forgets what is drawn, but not which place is seen.
    pub(crate) fn forgotten(&self) -> Self {
        Self {
            turned: self.turned,
            ..Self::default()
        }
    }
}

fn drawing(app: &App, (played, follows): Pair) -> Markup {
    let measures: Vec<usize> = [Some(played), follows].into_iter().flatten().collect();
    played_line(&app.page(), &measures, LINE)
}

/// Shows two measures on the line, by turning the twin over where it is there already.
pub(crate) fn show(app: &mut App, pair: Pair) {
    let lines = &mut app.drawn.lines;
    if lines.seen == Some(pair) {
        return;
    }
    if lines.behind == Some(pair) && lines.written.is_none() {
        // A short measure may be over before the line after it is laid out.
        lay_out(lines);
        lay_out(lines);
        lines.turned = !lines.turned;
        (lines.seen, lines.behind) = (lines.behind, lines.seen);
        let (seen, twin) = (lines.seen(), lines.twin());
        for (id, behind) in [(seen, false), (twin, true)] {
            if let Some(line) = dom::by_id(id) {
                dom::mark(&line, "behind", behind);
                dom::set(&line, "aria-hidden", if behind { "true" } else { "false" });
            }
        }
        return;
    }
    lines.seen = Some(pair);
    let (place, drawing) = (lines.seen(), drawing(app, pair));
    dom::show(place, &drawing);
}

/// Writes what the twin shall show, unless it does, and takes away what it shows.
pub(crate) fn write_ahead(app: &mut App, pair: Pair) {
    if app.drawn.lines.behind != Some(pair) {
        let drawing = drawing(app, pair);
        let lines = &mut app.drawn.lines;
        lines.behind = Some(pair);
        lines.written = Some(drawing);
        lines.away = true;
        lines.ahead = None;
        away(lines.twin(), true);
    }
}

/// Puts what is written into the twin, which takes no room yet. The measure ahead is taken out
/// again: even what SVG does not display is laid out.
pub(crate) fn draw_ahead(app: &mut App) {
    let lines = &mut app.drawn.lines;
    let twin = lines.twin();
    if let Some(drawing) = lines.written.take() {
        dom::show(twin, &drawing);
        lines.ahead = dom::find(&("#".to_owned() + twin + " .ahead"));
        if let Some(ahead) = &lines.ahead {
            ahead.remove();
        }
    }
    // It comes with its first count.
    dom::mark_tick(twin, Some(0));
}

/// Lets the twin be laid out behind the line; the measure ahead when the rest is.
pub(crate) fn lay_out(lines: &mut Lines) {
    let twin = lines.twin();
    if core::mem::take(&mut lines.away) {
        away(twin, false);
    } else if let Some(ahead) = lines.ahead.take()
        && let Some(drawing) = dom::by_id(twin).and_then(|twin| twin.first_element_child())
    {
        // A group may stand anywhere in a drawing.
        let _ = drawing.append_child(&ahead);
    }
}

fn away(line: &str, away: bool) {
    if let Some(line) = dom::by_id(line) {
        dom::mark(&line, "away", away);
    }
}
