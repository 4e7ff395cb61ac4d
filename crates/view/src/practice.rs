//! The choices for practising: the spot, what clicks and how, the count-in, the
//! ladder, and what the device is asked for.

use crate::{
    Page, Word, Words, number_of, section_at, section_name, sections, spot_text, tempo_text,
};
use cueleaf_guide::MAX_COUNT_IN;
use cueleaf_plan::{Climb, Rung, cue_text};
use maud::{Markup, html};

/// Shows the panel of choices, closed. What was chosen before is put into it by
/// whoever keeps it.
#[must_use]
pub fn choices(page: &Page<'_>, paces: &[SectionPace]) -> Markup {
    let words = page.words;
    let own = |word: Word| words.get(word);
    let [second, third, fourth] = ["2", "3", "4"].map(|every| words.fill(Word::OneIn, &[every]));
    let count_in = page.guide.settings.count_in.min(MAX_COUNT_IN).to_string();
    html! {
        div id="choices" hidden {
            fieldset {
                legend { (words.get(Word::SpotByTaps)) }
                p id="spot-said" class="quiet" {}
                div class="grid" {
                    @for section in sections(page) {
                        b { (section_name(page, &section)) }
                        @for measure in section.first..=section.last {
                            @if page.measures().get(measure).is_some_and(|own| !own.cut) {
                                button type="button" data-do="spot" data-value=(measure) aria-pressed="false" { (number_of(page, measure)) }
                            }
                        }
                    }
                }
                @if !page.guide.tips.is_empty() {
                    label { span { (words.get(Word::SpotOfTip)) } select id="of-tip" data-do="of-tip" {
                        option value="" {}
                        @for (index, tip) in page.guide.tips.iter().enumerate() {
                            option value=(index) { (words.fill(Word::MeasureIs, &[&spot_text(page, &tip.spot), &cue_text(tip)])) }
                        }
                    } }
                }
            }
            fieldset {
                legend { (words.get(Word::Click)) }
                (choice("click-on", "click", words.get(Word::ClickOn), "", &[("0", own(Word::EveryCount)), ("1", own(Word::GroupsOnly)), ("2", own(Word::DownbeatsOnly)), ("3", own(Word::OffBeats)), ("4", own(Word::Nowhere))]))
                (choice("between", "click", words.get(Word::BetweenCounts), "", &[("0", own(Word::Nothing)), ("1", own(Word::WhereItHelps)), ("2", own(Word::Always))]))
                (choice("silent-every", "click", words.get(Word::SilentMeasures), "", &[("0", own(Word::Nothing)), ("2", &second), ("3", &third), ("4", &fourth)]))
                (choice("sound", "click", words.get(Word::ClickSound), "", &[("0", own(Word::Clear)), ("1", own(Word::Wooden)), ("2", own(Word::Dry))]))
                (tick("accents", "click", words.get(Word::Accents), true))
                label { span { (words.get(Word::Volume)) } input type="range" id="volume" min="0" max="100" step="5" value="80" data-do="choose" data-value="click"; }
                p class="quiet" { (words.get(Word::CareEars)) }
            }
            fieldset {
                legend { (words.get(Word::CountInWord)) }
                (choice("count-in", "count-in", words.get(Word::CountInMeasures), &count_in, &[("0", own(Word::Nothing)), ("1", "1"), ("2", "2"), ("3", "3"), ("4", "4")]))
                (tick("each", "count-in", words.get(Word::EachTime), false))
            }
            fieldset {
                legend { (words.get(Word::Ladder)) }
                (tick("ladder", "ladder", words.get(Word::LadderOn), false))
                (percent("rung-from", words.get(Word::RungFrom), "60"))
                (percent("rung-to", words.get(Word::RungTo), "100"))
                (choice("rungs", "ladder", words.get(Word::Rungs), "5", &[("0", own(Word::Traditional)), ("3", "3"), ("5", "5"), ("9", "9")]))
                (choice("clean", "ladder", words.get(Word::UpAfter), "2", &[("1", "1"), ("2", "2"), ("3", "3"), ("5", "5")]))
                (tick("tips-at-rung", "", words.get(Word::TipsAtRung), false))
            }
            (section_paces(page, paces))
            fieldset {
                legend { (words.get(Word::Device)) }
                label { span { (words.get(Word::ShowLater)) } input type="number" id="later" min="-500" max="500" step="10" value="0" data-do="choose" data-value="later"; }
                button type="button" data-do="calibrate" { (words.get(Word::Calibrate)) }
                p id="delay-said" class="quiet" {}
                div id="can-buzz" { (tick("buzz", "", words.get(Word::Buzz), false)) }
                (tick("letters", "", words.get(Word::Letters), true))
            }
        }
    }
}

/// A section, by the index of its first measure, and its own pace in percent of the plan.
pub type SectionPace = (usize, u16);

/// The paces a section may have, in percent.
pub const PACES: [u16; 7] = [100, 90, 80, 70, 60, 50, 40];

/// Gives the pace of the section that starts at a measure: 100 where it has none of its own.
#[must_use]
pub fn pace_of(paces: &[SectionPace], first: usize) -> u16 {
    let own = paces.iter().find(|own| own.0 == first);
    own.map_or(100, |own| own.1)
}

/// Shows the choice of a pace for every section, `pace-FIRST` by its first measure; nothing where
/// there is only one.
fn section_paces(page: &Page<'_>, paces: &[SectionPace]) -> Markup {
    let all = sections(page);
    html! {
        @if all.len() > 1 {
            fieldset {
                legend { (page.words.get(Word::PaceOfSections)) }
                @for section in &all {
                    label { span { (section_name(page, section)) } select id={ "pace-" (section.first) } data-do="choose" data-value="sections" {
                        @for pace in PACES {
                            option value=(pace) selected[pace == pace_of(paces, section.first)] { (page.words.fill(Word::Percent, &[&pace.to_string()])) }
                        }
                    } }
                }
            }
        }
    }
}

/// Names the section of a measure, with its pace where it has one of its own; nothing for a piece
/// without sections.
#[must_use]
pub fn paced_section_at(page: &Page<'_>, measure: usize, paces: &[SectionPace]) -> Option<String> {
    let name = section_at(page, measure)?;
    let all = sections(page);
    let own = all.iter().find(|section| section.last >= measure)?;
    let pace = pace_of(paces, own.first);
    if pace == 100 {
        return Some(name);
    }
    let percent = page.words.fill(Word::Percent, &[&pace.to_string()]);
    Some(page.words.fill(Word::PlaceAndBeat, &[&name, &percent]))
}

/// Shows the part of the stage that climbs the ladder, closed.
#[must_use]
pub(crate) fn climb(words: &Words) -> Markup {
    html! {
        div id="climb" hidden {
            p id="rung" {}
            button type="button" data-do="once-more" { (words.get(Word::OnceMore)) }
            button type="button" data-do="went-well" { (words.get(Word::WentWell)) }
        }
    }
}

fn choice(id: &str, group: &str, label: &str, chosen: &str, of: &[(&str, &str)]) -> Markup {
    html! {
        label { span { (label) } select id=(id) data-do="choose" data-value=(group) {
            @for (value, text) in of { option value=(value) selected[*value == chosen] { (text) } }
        } }
    }
}

fn tick(id: &str, group: &str, label: &str, on: bool) -> Markup {
    html! {
        label class="tick" { input type="checkbox" id=(id) data-do="choose" data-value=(group) checked[on]; span { (label) } }
    }
}

fn percent(id: &str, label: &str, value: &str) -> Markup {
    html! {
        label { span { (label) } input type="number" id=(id) min="25" max="150" inputmode="numeric" value=(value) data-do="choose" data-value="ladder"; }
    }
}

/// Tells where on a ladder a student is: "rung 2 of 9: quarter = 80; went well
/// 1 of 2 times"; on the last rung at last, that the goal is reached.
#[must_use]
pub fn rung_text(page: &Page<'_>, rungs: &[Rung], climb: Climb, needed: u16) -> String {
    let words = page.words;
    let Some(rung) = rungs.get(climb.rung) else {
        return String::new();
    };
    let tempo = rung.tempo.map_or_else(
        || words.fill(Word::Percent, &[&whole(rung.percent)]),
        |tempo| tempo_text(words, tempo),
    );
    let number = (climb.rung + 1).to_string();
    let place = words.fill(Word::RungIs, &[&number, &rungs.len().to_string(), &tempo]);
    let clean = climb.clean.to_string();
    let text = words.fill(Word::CleanTimes, &[&place, &clean, &needed.to_string()]);
    if climb.rung + 1 == rungs.len() && climb.clean >= needed {
        return words.fill(Word::TopRung, &[&text]);
    }
    text
}

/// Writes a percentage as a whole number.
#[must_use]
pub fn whole(percent: f64) -> String {
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a cast of what is out of range stops at the limit"
    )]
    let number = (percent + 0.5) as u16;
    number.to_string()
}
