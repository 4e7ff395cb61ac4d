//! One measure of a new edition: what the file says there, and what the guide said and the file
//! does not.
//!
//! The file is right about what is printed, but files leave much unsaid. What it says nothing of
//! stays; where it says otherwise, what the guide said is told.

use crate::beside::key_words;
use crate::same_measures::Same;
use cueleaf_guide::{Extra, Hold, Jump, JumpUntil, Measure, Return, TempoMark, length_words};

/// What a file says anything of, so that its silence at a measure says something, too.
#[derive(Debug, Clone, Copy)]
pub(super) struct Speaks {
    /// Repeats and endings.
    repeats: bool,
    /// Segno, coda, Fine and jumps.
    jumps: bool,
    /// The first measure at which it gives a meter.
    meter_from: usize,
    /// The first measure at which it gives a key.
    key_from: usize,
}

impl Speaks {
    pub(super) fn of(measures: &[Measure]) -> Self {
        let first = |says: fn(&Measure) -> bool| {
            let found = measures.iter().position(says);
            found.unwrap_or(measures.len())
        };
        Self {
            repeats: measures.iter().any(has_repeats),
            jumps: measures.iter().any(has_jumps),
            meter_from: first(|own| own.meter.is_some()),
            key_from: first(|own| own.key.is_some()),
        }
    }
}

fn has_repeats(own: &Measure) -> bool {
    own.repeat_from || own.repeat_back.is_some() || !own.ending.is_empty()
}

fn has_jumps(own: &Measure) -> bool {
    let named = [&own.segno, &own.coda, &own.to_coda];
    own.fine || own.jump.is_some() || named.into_iter().any(Option::is_some)
}

/// What became of what the guide said at a measure.
#[derive(Debug, Default)]
pub(super) struct Became {
    /// What stays though the file has something else of its kind there, in words.
    pub(super) stays: Vec<String>,
    /// What is gone, since the file says otherwise, in words.
    pub(super) gone: Vec<String>,
    /// Repeats or endings stay, of which the file has none anywhere.
    pub(super) repeats_stay: bool,
    /// Jumps or their signs stay, of which the file has none anywhere.
    pub(super) jumps_stay: bool,
}

/// The index of the same measure in the guide and in the file.
#[derive(Debug, Clone, Copy)]
pub(super) struct At {
    pub(super) ours: usize,
    pub(super) theirs: usize,
}

/// Keeps at a measure of the file what the guide says there and the file does not.
pub(super) fn keep(
    new: &mut Measure,
    before: &Measure,
    at: At,
    speaks: Speaks,
    same: &Same,
) -> Became {
    let mut became = Became::default();
    let mut own = before.clone();
    for mark in &mut own.tempo {
        mark.until = mark.until.and_then(|to| same.end(at.ours, to));
    }
    if at.theirs < speaks.meter_from {
        fill(&mut new.meter, &own.meter);
    }
    if at.theirs < speaks.key_from {
        fill(&mut new.key, &own.key);
    }
    if new.meter.is_none() || new.meter == own.meter {
        fill(&mut new.groups, &own.groups);
    }
    // The file knows from the notes how long a measure is; what a short one is, it may not.
    new.pickup |= own.pickup && new.length == own.length;
    fill(&mut new.count, &own.count);
    fill(&mut new.section, &own.section);
    fill(&mut new.mark, &own.mark);
    fill(&mut new.movement, &own.movement);
    new.cut |= own.cut;
    if !speaks.repeats && has_repeats(&own) {
        became.repeats_stay = true;
        new.repeat_from = own.repeat_from;
        new.repeat_back = own.repeat_back;
        new.ending.clone_from(&own.ending);
    }
    if !speaks.jumps && has_jumps(&own) {
        became.jumps_stay = true;
        new.segno.clone_from(&own.segno);
        new.coda.clone_from(&own.coda);
        new.to_coda.clone_from(&own.to_coda);
        new.fine = own.fine;
        new.jump.clone_from(&own.jump);
    }
    if let (Some(jump), Some(own)) = (&mut new.jump, &own.jump) {
        keep_unknown(&mut jump.extra, &own.extra);
    }
    keep_tempi(new, &own, &mut became);
    keep_holds(new, &own, &mut became);
    keep_unknown(&mut new.extra, &own.extra);
    let now = signs(new);
    became.gone = signs(&own);
    became.gone.retain(|own| !now.contains(own));
    became
}

fn fill<T: Clone>(new: &mut Option<T>, own: &Option<T>) {
    if new.is_none() {
        new.clone_from(own);
    }
}

pub(super) fn keep_unknown(new: &mut Extra, own: &Extra) {
    for (name, value) in own {
        new.entry(name.clone()).or_insert_with(|| value.clone());
    }
}

/// Keeps what the guide says of the tempo where the file has no mark at that beat, or one that
/// only has words.
fn keep_tempi(new: &mut Measure, own: &Measure, became: &mut Became) {
    let said = !new.tempo.is_empty();
    for before in &own.tempo {
        let Some(mark) = new.tempo.iter_mut().find(|mark| mark.at == before.at) else {
            if said {
                became.stays.push(tempo_words(before));
            }
            new.tempo.push(before.clone());
            continue;
        };
        if mark.tempo.is_none() && mark.back.is_none() && mark.same_beat.is_none() {
            mark.tempo = before.tempo;
            mark.back = before.back;
            mark.same_beat = before.same_beat;
            mark.until = mark.until.or(before.until);
            mark.shape = before.shape;
        }
        if mark.words.is_empty() {
            mark.words.clone_from(&before.words);
        }
        keep_unknown(&mut mark.extra, &before.extra);
    }
    new.tempo.sort_by_key(|mark| mark.at);
}

/// Keeps the lengths of holds, and the holds that the file does not have.
fn keep_holds(new: &mut Measure, own: &Measure, became: &mut Became) {
    for before in &own.holds {
        let Some(hold) = new.holds.iter_mut().find(|hold| hold.at == before.at) else {
            became.stays.push(hold_words(before));
            new.holds.push(before.clone());
            continue;
        };
        if hold.longer.is_none() {
            hold.longer = before.longer;
            hold.lead_in = before.lead_in;
        }
        keep_unknown(&mut hold.extra, &before.extra);
    }
    new.holds.sort_by_key(|hold| hold.at);
}

/// Names everything that stands at a measure but meter, key and numbers of the tempo, in which
/// two road maps are compared by what is in force.
fn signs(own: &Measure) -> Vec<String> {
    fn named(word: &str, name: &str) -> String {
        format!("{word} {}", name.trim()).trim_end().to_owned()
    }
    // Every field is named, so that a new one is not forgotten here and in `keep`.
    let Measure {
        label: _,
        length,
        pickup,
        meter: _,
        groups,
        count,
        key: _,
        tempo,
        movement,
        section,
        mark,
        repeat_from,
        repeat_back,
        ending,
        segno,
        coda,
        to_coda,
        fine,
        jump,
        cut,
        holds,
        extra,
    } = own;
    let names = [
        ("movement", movement),
        ("section", section),
        ("mark", mark),
        ("segno", segno),
        ("coda", coda),
        ("to coda", to_coda),
    ];
    let names = names.into_iter();
    let mut words: Vec<String> = names
        .filter_map(|(word, name)| Some(named(word, name.as_ref()?)))
        .collect();
    words.extend(groups.as_ref().map(|own| format!("groups {own}")));
    let kind = if *pickup { "a pickup" } else { "a length" };
    let length = length.map(|length| format!("{kind} of {}", length_words(length)));
    words.extend(length.or_else(|| pickup.then(|| kind.to_owned())));
    words.extend(count.map(|_| "how it is counted".to_owned()));
    words.extend(repeat_from.then(|| "the start of a repeat".to_owned()));
    words.extend(repeat_back.map(|times| match times {
        2 => "the end of a repeat".to_owned(),
        _ => format!("the end of a repeat, {times} times"),
    }));
    if !ending.is_empty() {
        let passes: Vec<String> = ending.iter().map(ToString::to_string).collect();
        words.push(format!("ending {}", passes.join(", ")));
    }
    words.extend(fine.then(|| "Fine".to_owned()));
    words.extend(jump.as_ref().map(jump_words));
    words.extend(cut.then(|| "a cut".to_owned()));
    for mark in tempo {
        words.extend(marked(mark));
        words.extend(unknown(&mark.extra));
    }
    for hold in holds {
        words.push(hold_words(hold));
        words.extend(unknown(&hold.extra));
    }
    words.extend(jump.iter().flat_map(|jump| unknown(&jump.extra)));
    words.extend(unknown(extra));
    words
}

/// Names everything that stands at a measure.
pub(super) fn written_at(own: &Measure) -> Vec<String> {
    let mut words = Vec::new();
    words.extend(own.meter.as_ref().map(ToString::to_string));
    words.extend(own.key.map(key_words));
    words.extend(signs(own));
    let numbers = own.tempo.iter().filter_map(|mark| mark.tempo);
    words.extend(numbers.map(|tempo| tempo.to_string()));
    words
}

fn jump_words(jump: &Jump) -> String {
    let back = match jump.to_segno.as_deref() {
        None => "D.C.".to_owned(),
        Some(name) => format!("D.S. {}", name.trim()),
    };
    let until = match jump.until {
        JumpUntil::End => "",
        JumpUntil::Fine => "al Fine",
        JumpUntil::Coda => "al Coda",
    };
    let repeats = if jump.with_repeats {
        "with repeats"
    } else {
        ""
    };
    let words = [back.trim(), until, repeats];
    let words: Vec<&str> = words.into_iter().filter(|word| !word.is_empty()).collect();
    words.join(" ")
}

/// Names what a tempo mark says besides a number.
fn marked(mark: &TempoMark) -> Vec<String> {
    let mut words = Vec::new();
    if !mark.words.trim().is_empty() {
        words.push(format!("“{}”", mark.words.trim()));
    }
    words.extend(mark.back.map(|back| match back {
        Return::ToBefore => "the return to the tempo before".to_owned(),
        Return::ToFirst => "the return to the first tempo".to_owned(),
    }));
    words.extend(mark.same_beat.map(|same| same.to_string()));
    words.extend(mark.until.map(|_| "a gradual change".to_owned()));
    words
}

fn tempo_words(mark: &TempoMark) -> String {
    let mut words = marked(mark);
    words.extend(mark.tempo.map(|tempo| tempo.to_string()));
    if words.is_empty() {
        words.push("a tempo mark".to_owned());
    }
    words.join(", ")
}

fn hold_words(hold: &Hold) -> String {
    match hold.longer {
        Some(longer) => format!("a hold, {} longer", length_words(longer)),
        None => "a hold".to_owned(),
    }
}

fn unknown(extra: &Extra) -> impl Iterator<Item = String> {
    let names = extra.keys();
    names.map(|name| format!("“{name}”, which this version does not know"))
}
