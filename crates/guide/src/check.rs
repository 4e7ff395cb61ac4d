//! What is wrong with a guide, where, and what to do.

use crate::document::{Guide, Spot, Tip};
use crate::limits::{MAX_COUNT_IN, MAX_CUE, MAX_LABEL, MAX_RHYTHM};
use crate::media;
use crate::project::says_nothing;
use crate::road_map::{Measure, Place};
use crate::tempo_word::is_gradual;
use crate::{Finding, Id, Layout, Severity, lay_out};
use std::collections::BTreeSet;

/// Looks through a guide and lists what does not fit, in order of place.
///
/// How the piece is ordered and timed is looked at where it is made playable;
/// this looks at the document alone.
#[must_use]
pub fn check(guide: &Guide) -> Vec<Finding> {
    let laid = lay_out(&guide.road_map, &guide.settings);
    let mut findings = laid.findings;
    findings.extend(check_laid(guide, &laid.value));
    findings
}

/// Looks through a guide whose road map is laid out already, and lists what does not fit
/// besides what was found while it was laid out, in order of place.
#[must_use]
pub fn check_laid(guide: &Guide, layout: &Layout) -> Vec<Finding> {
    let mut findings = Vec::new();
    if guide.road_map.measures.is_empty() {
        findings.push(
            Finding::new(
                Severity::Error,
                "no-measures",
                "the road map has no measures",
            )
            .hint("open a part, or add measures"),
        );
    }
    if guide.settings.count_in > MAX_COUNT_IN {
        let message = format!("the guide counts in {MAX_COUNT_IN} measures at most");
        findings.push(
            Finding::new(Severity::Warning, "count-in-too-long", message)
                .hint("choose how many measures are counted in")
                .field("count_in"),
        );
    }
    let context = Context { guide, layout };
    for (index, measure) in guide.road_map.measures.iter().enumerate() {
        context.check_measure(index, measure, &mut findings);
    }
    context.check_parts(&mut findings);
    context.check_tips(&mut findings);
    media::findings_of_guide(guide, &mut findings);
    findings
}

struct Context<'a> {
    guide: &'a Guide,
    layout: &'a Layout,
}

impl Context<'_> {
    fn check_measure(&self, index: usize, measure: &Measure, findings: &mut Vec<Finding>) {
        let mut found = |finding: Finding| findings.push(finding.at_measure(index, &measure.label));
        if measure.label.chars().count() > MAX_LABEL {
            found(
                Finding::new(
                    Severity::Warning,
                    "label-too-long",
                    format!("the printed number has more than {MAX_LABEL} letters"),
                )
                .field("label"),
            );
        }
        if measure.length.is_some_and(|length| length.is_zero()) {
            found(
                Finding::new(
                    Severity::Warning,
                    "no-length",
                    "this measure lasts nothing, so nothing of it is counted or played",
                )
                .hint("say how long it is, or cut it")
                .field("length"),
            );
        }
        if measure.repeat_back.is_some_and(|times| times < 2) {
            found(
                Finding::new(
                    Severity::Warning,
                    "repeat-once",
                    "a repeat that is played once repeats nothing",
                )
                .hint("say 2 or more, or take the repeat away")
                .field("repeat_back"),
            );
        }
        if measure
            .tempo
            .iter()
            .any(|mark| mark.back.is_some() && mark.tempo.is_some())
        {
            found(
                Finding::new(
                    Severity::Warning,
                    "tempo-and-return",
                    "a tempo mark gives a number and returns to an earlier tempo; the number counts",
                )
                .field("tempo"),
            );
        }
        for mark in &measure.tempo {
            let Some(until) = mark.until else {
                if mark.back.is_none() && is_gradual(&mark.words) {
                    let words = mark.words.trim();
                    found(
                        Finding::new(
                            Severity::Warning,
                            "gradual-at-once",
                            if mark.tempo.is_some() {
                                format!("“{words}” goes little by little, and the tempo here changes at once")
                            } else {
                                format!("“{words}” goes little by little, and the click does not follow it")
                            },
                        )
                        .hint("say how slow or fast it gets, and where it has arrived")
                        .field("tempo"),
                    );
                }
                continue;
            };
            if mark.tempo.is_none() && mark.back.is_none() && mark.same_beat.is_none() {
                found(
                    Finding::new(
                        Severity::Warning,
                        "gradual-without-tempo",
                        "this gradual change has no tempo to arrive at, so the click does not follow it",
                    )
                    .hint("say how slow or fast it gets")
                    .field("tempo"),
                );
            }
            let from = Place {
                measure: index,
                at: mark.at,
            };
            if until <= from || !self.exists(until) {
                found(
                    Finding::new(
                        Severity::Warning,
                        "gradual-without-end",
                        "this gradual change ends before it starts or outside the music",
                    )
                    .hint("choose where it ends")
                    .field("tempo"),
                );
            }
        }
    }

    fn check_parts(&self, findings: &mut Vec<Finding>) {
        let mut seen = BTreeSet::new();
        for part in &self.guide.parts {
            if !seen.insert(&part.id) {
                findings.push(twice(&part.id));
            }
            let outside = part
                .marks
                .iter()
                .filter(|mark| {
                    let place = Place {
                        measure: mark.measure,
                        at: mark.at,
                    };
                    !self.exists(place)
                })
                .count();
            if outside > 0 {
                findings.push(
                    Finding::new(
                        Severity::Warning,
                        "mark-outside",
                        match outside {
                            1 => format!("one mark of {} lies outside the music", part.name),
                            more => format!("{more} marks of {} lie outside the music", part.name),
                        },
                    )
                    .hint("look at the measures that were taken out last, or remove the marks")
                    .about(part.id.as_str()),
                );
            }
        }
    }

    fn check_tips(&self, findings: &mut Vec<Finding>) {
        let mut seen = BTreeSet::new();
        let tips = self
            .guide
            .tips
            .iter()
            .map(|tip| (&tip.id, &tip.parts, Some(&tip.spot)));
        let todos = self
            .guide
            .todos
            .iter()
            .map(|todo| (&todo.id, &todo.parts, todo.spot.as_ref()));
        for (id, parts, spot) in tips.chain(todos) {
            if !seen.insert(id) {
                findings.push(twice(id));
            }
            if let Some(spot) = spot {
                self.check_spot(id, spot, findings);
            }
            if let Some(part) = parts.iter().find(|part| self.guide.part(part).is_none()) {
                findings.push(
                    Finding::new(
                        Severity::Warning,
                        "unknown-part",
                        format!("this is for a part \"{part}\" that the guide does not have"),
                    )
                    .hint("choose its parts anew")
                    .about(id.as_str()),
                );
            }
        }
        for tip in &self.guide.tips {
            if tip.cue.chars().count() > MAX_CUE {
                findings.push(
                    Finding::new(
                        Severity::Warning,
                        "cue-too-long",
                        format!("the cue has more than {MAX_CUE} letters and is cut while playing"),
                    )
                    .hint("shorten the cue; the text may be longer")
                    .about(tip.id.as_str()),
                );
            }
            self.check_pictures(tip, findings);
            media::findings_of_tip(tip, findings);
            if says_nothing(tip) {
                findings.push(
                    Finding::new(Severity::Note, "empty-tip", "this tip says nothing yet")
                        .about(tip.id.as_str()),
                );
            }
        }
    }

    fn check_pictures(&self, tip: &Tip, findings: &mut Vec<Finding>) {
        let mut found = |code, message: &str, hint| {
            let finding = Finding::new(Severity::Warning, code, message);
            findings.push(finding.hint(hint).about(tip.id.as_str()));
        };
        if tip.bow.as_ref().is_some_and(|stroke| !stroke.fits()) {
            found(
                "stroke-too-long",
                "the bow runs out before the end of this stroke",
                "begin elsewhere on the bow, turn the stroke around, or take less of it",
            );
        }
        if tip
            .watch
            .as_ref()
            .is_some_and(|watch| !watch.address.is_empty() && watch.link().is_none())
        {
            found(
                "no-link",
                "the address of the recording is shown as text: only https addresses become links",
                "copy the whole address, from https:// on",
            );
        }
        if tip.rhythm.len() > MAX_RHYTHM {
            found(
                "rhythm-too-long",
                &format!("a rhythm shows at most {MAX_RHYTHM} notes and rests"),
                "show a shorter piece of it",
            );
        } else if !tip.rhythm.is_empty() && !self.rhythm_fits(tip) {
            found(
                "rhythm-outside",
                "the rhythm is longer than its measure, so the counts after it are missing",
                "show one measure, or begin the tip earlier",
            );
        }
    }

    /// Tells whether a tip's rhythm ends inside the measure in which it begins.
    fn rhythm_fits(&self, tip: &Tip) -> bool {
        let Some(laid) = self.layout.get(tip.spot.from.measure) else {
            return true;
        };
        let end = tip.rhythm.iter().try_fold(tip.spot.from.at, |end, own| {
            own.span().and_then(|span| end.plus(span))
        });
        end.is_ok_and(|end| end <= laid.length)
    }

    fn check_spot(&self, id: &Id, spot: &Spot, findings: &mut Vec<Finding>) {
        let to = spot.to.unwrap_or(spot.from);
        if !self.exists(spot.from) || !self.exists(to) {
            findings.push(
                Finding::new(
                    Severity::Warning,
                    "spot-outside",
                    "this lies outside the music and is shown at its end",
                )
                .hint("choose its place anew")
                .about(id.as_str()),
            );
        } else if to.measure < spot.from.measure
            || (to.measure == spot.from.measure && !to.at.is_zero() && to.at < spot.from.at)
        {
            findings.push(
                Finding::new(
                    Severity::Warning,
                    "spot-backwards",
                    "this ends before it starts",
                )
                .hint("choose its end anew")
                .about(id.as_str()),
            );
        }
    }

    fn exists(&self, place: Place) -> bool {
        let end = self.layout.measures().len();
        match self.layout.get(place.measure) {
            Some(laid) => place.at < laid.length || place.at.is_zero(),
            // The end of the last measure may be named as the start of a next one.
            None => place.measure == end && end > 0 && place.at.is_zero(),
        }
    }
}

fn twice(id: &Id) -> Finding {
    Finding::new(
        Severity::Error,
        "id-twice",
        "two things in this guide have the same id",
    )
    .about(id.as_str())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Mark, MarkKind, Part, RoadMap, TempoMark, Tip, Todo, Topic};
    use cueleaf_time::BeatSpan;

    fn id(text: &str) -> Id {
        Id::new(text).unwrap()
    }

    /// Two measures of 3/4, one part, one tip.
    fn guide() -> Guide {
        let mut guide = Guide::new(id("g"), "T");
        guide.road_map = RoadMap {
            measures: vec![
                Measure {
                    meter: Some("3/4".parse().unwrap()),
                    ..Measure::labelled("1")
                },
                Measure::labelled("2"),
            ],
            ..RoadMap::default()
        };
        guide.parts.push(Part {
            id: id("va"),
            name: "Viola".to_owned(),
            marks: Vec::new(),
            extra: crate::Extra::default(),
        });
        guide.tips.push(Tip::new(
            id("t"),
            Spot::measures(0, 1),
            Topic::Bow,
            "Save the bow.",
        ));
        guide
    }

    fn place(measure: usize, at: &str) -> Place {
        Place {
            measure,
            at: at.parse().unwrap(),
        }
    }

    #[track_caller]
    fn finds(expected: &[&str], change: impl FnOnce(&mut Guide)) {
        let mut guide = guide();
        change(&mut guide);
        let codes: Vec<&str> = check(&guide).iter().map(|finding| finding.code).collect();
        assert_eq!(codes, expected);
    }

    #[test]
    fn a_sound_guide_has_no_findings() {
        finds(&[], |_| {});
    }

    #[test]
    fn every_mistake_has_its_finding() {
        finds(&["no-measures", "spot-outside"], |g| {
            g.road_map.measures.clear();
            g.tips[0].spot = Spot::measures(1, 1);
        });
        finds(&["label-too-long"], |g| {
            g.road_map.measures[0].label = "x".repeat(MAX_LABEL + 1);
        });
        finds(&["count-in-too-long"], |g| g.settings.count_in = 5);
        finds(&[], |g| g.settings.count_in = 4);
        finds(&["no-length"], |g| {
            g.road_map.measures[1].length = "0".parse().ok();
        });
        finds(&["repeat-once"], |g| {
            g.road_map.measures[0].repeat_back = Some(1)
        });
        finds(&["gradual-without-tempo"], |g| {
            g.road_map.measures[0].tempo = vec![TempoMark {
                until: Some(place(1, "0")),
                ..TempoMark::words("0".parse().unwrap(), "rit.")
            }];
        });
        finds(&["gradual-at-once"], |g| {
            g.road_map.measures[0].tempo = vec![TempoMark::words(BeatSpan::ZERO, "rit.")];
        });
        finds(&["gradual-without-end"], |g| {
            g.road_map.measures[1].tempo = vec![TempoMark {
                until: Some(place(0, "0")),
                tempo: "quarter = 60".parse().ok(),
                ..TempoMark::words("0".parse().unwrap(), "rit.")
            }];
        });
        finds(&["tempo-and-return"], |g| {
            g.road_map.measures[0].tempo = vec![TempoMark {
                back: Some(crate::Return::ToFirst),
                tempo: "quarter = 60".parse().ok(),
                ..TempoMark::words("0".parse().unwrap(), "a tempo")
            }];
        });
        finds(&["spot-outside"], |g| {
            g.tips[0].spot = Spot::at(place(0, "3"))
        });
        finds(&["spot-backwards"], |g| {
            g.tips[0].spot = Spot {
                from: place(1, "0"),
                to: Some(place(0, "1")),
            };
        });
        finds(&["unknown-part"], |g| g.tips[0].parts = vec![id("vc")]);
        finds(&["cue-too-long"], |g| {
            g.tips[0].cue = "x".repeat(MAX_CUE + 1)
        });
        finds(
            &[
                "voice-refused",
                "photo-without-words",
                "media-not-confirmed",
            ],
            |g| {
                let mut voice = crate::Voice::of_samples(&[0; 160]).unwrap();
                voice.milliseconds = 11;
                voice.words = "Listen".to_owned();
                g.tips[0].voice = Some(voice);
                let mut other = g.tips[0].clone();
                other.id = id("u");
                other.voice = None;
                other.photo = Some(crate::media::read_tests::photo());
                g.tips.push(other);
            },
        );
        finds(&["photo-refused"], |g| {
            let mut photo = crate::media::read_tests::photo();
            photo.alt = "a bow".to_owned();
            photo.width += 1;
            g.tips[0].photo = Some(photo);
            g.settings.may_share = true;
        });
        finds(&["voice-without-words"], |g| {
            g.settings.may_share = true;
            g.tips[0].voice = crate::Voice::of_samples(&[0; 160]);
        });
        finds(&["media-too-much"], |g| {
            g.settings.may_share = true;
            let voice = crate::Voice::of_samples(&[0; 320_000]).map(|voice| crate::Voice {
                words: "Listen".to_owned(),
                ..voice
            });
            for number in 0..24 {
                let mut own = g.tips[0].clone();
                own.id = id(&format!("v{number}"));
                own.voice.clone_from(&voice);
                g.tips.push(own);
            }
        });
        finds(&["empty-tip"], |g| g.tips[0].text = " ".to_owned());
        finds(&["id-twice"], |g| {
            g.todos.push(Todo {
                id: id("t"),
                text: "Slow practice".to_owned(),
                spot: None,
                parts: Vec::new(),
                extra: crate::Extra::default(),
            });
        });
        finds(&["id-twice"], |g| g.parts.push(g.parts[0].clone()));
        finds(&["mark-outside"], |g| {
            g.parts[0].marks.push(Mark {
                measure: 7,
                at: "0".parse().unwrap(),
                kind: MarkKind::Pizz,
                to: None,
                text: String::new(),
                extra: crate::Extra::default(),
            });
        });
    }
}
