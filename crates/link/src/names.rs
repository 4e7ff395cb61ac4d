//! The names of fields as one byte each.

/// The names of the saved form. A name's place here is its token: the list is
/// part of the form `a`, so it neither grows nor changes; a field that came later
/// is spelled out, which costs a few bytes once, since the model learns it.
const NAMES: [&str; 66] = [
    "cueleaf",
    "id",
    "title",
    "composer",
    "word",
    "settings",
    "parts",
    "road_map",
    "tips",
    "todos",
    "language",
    "measure_word",
    "count_style",
    "count_in",
    "address",
    "name",
    "marks",
    "measure",
    "at",
    "kind",
    "to",
    "text",
    "measures",
    "label",
    "length",
    "pickup",
    "meter",
    "groups",
    "count",
    "key",
    "tempo",
    "movement",
    "section",
    "mark",
    "repeat_from",
    "repeat_back",
    "ending",
    "segno",
    "coda",
    "to_coda",
    "fine",
    "jump",
    "cut",
    "holds",
    "beat",
    "style",
    "words",
    "back",
    "same_beat",
    "until",
    "shape",
    "to_segno",
    "with_repeats",
    "longer",
    "lead_in",
    "spot",
    "from",
    "topic",
    "cue",
    "ahead",
    "bow",
    "rhythm",
    "watch",
    "way",
    "amount",
    "note",
];

/// Gives the token of a name.
pub(crate) fn token_of(name: &str) -> Option<u8> {
    let place = NAMES.iter().position(|own| *own == name)?;
    u8::try_from(place).ok()
}

/// Gives the name of a token.
pub(crate) fn name_of(token: u8) -> Option<&'static str> {
    NAMES.get(usize::from(token)).copied()
}
