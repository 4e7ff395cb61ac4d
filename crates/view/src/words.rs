//! The words the student sees, one table per language.

mod french;
mod german;
mod italian;
mod spanish;

use cueleaf_guide::{Language, MeasureWord};
use maud::{Markup, html};
use std::borrow::Cow;

/// Declares the words with their English texts, in one order for all languages:
/// first those that a live page needs and carries, then those that only the
/// text needs, which is written before any script runs.
macro_rules! words {
    (live { $($live:ident: $live_english:literal,)* } page { $($page:ident: $page_english:literal,)* }) => {
        words! { all { $($live: $live_english,)* $($page: $page_english,)* } }

        /// How many words a live page carries.
        const LIVE: usize = [$(Word::$live,)*].len();
    };
    (all { $($name:ident: $english:literal,)* }) => {
        /// A word or sentence the student sees; `{0}`, `{1}` and `{2}` stand for what is put in.
        #[derive(Debug, Clone, Copy, PartialEq, Eq)]
        pub enum Word {
            $(#[doc = concat!("\"", $english, "\"")] $name,)*
        }

        impl Word {
            /// All words in the order in which a page carries them.
            pub const ALL: &[Self] = &[$(Self::$name,)*];

            const fn english(self) -> &'static str {
                match self {
                    $(Self::$name => $english,)*
                }
            }
        }
    };
}

words! {
    live {
        WalkThrough: "Walk through",
        Play: "Play",
        Count: "Count",
        ToDo: "To do",
        Rooms: "Ways to practise",
        Start: "Start",
        WholePiece: "The whole piece",
        Measure: "measure {0}",
        Measures: "measures {0}–{1}",
        Beat: "beat {0}",
        Beats: "beats {0}–{1}",
        AfterBeat: "just after beat {0}",
        PlaceAndBeat: "{0}, {1}",
        FromTo: "{0} to {1}",
        Whole: "whole",
        Half: "half",
        Quarter: "quarter",
        Eighth: "eighth",
        Sixteenth: "16th",
        ThirtySecond: "32nd",
        Dotted: "dotted {0}",
        DoubleDotted: "double-dotted {0}",
        TempoIs: "{0} = {1}",
        Gradually: "gradually to {0}",
        NoSharps: "no sharps or flats",
        OneSharp: "1 sharp",
        Sharps: "{0} sharps",
        OneFlat: "1 flat",
        Flats: "{0} flats",
        FreeMeter: "free, without a meter",
        MeterIn: "{0}, {1}",
        MeterCounted: "{0}, counted {1}",
        MeasureIs: "{0}: {1}",
        AndAlso: "{0}; {1}",
        Decimal: "{0}.{1}",
        Thousands: "{0},{1}",
        Strong: "strong",
        Medium: "mid",
        Next: "next: {0}",
        Hold: "fermata on {0}",
        GoOnAt: "go to {0}",
        Pizz: "pizz.",
        Arco: "arco",
        MuteOn: "mute on",
        MuteOff: "mute off",
        PlayFrom: "Play from one measure before {0}",
        PlayPiece: "Play from the beginning",
        PlayAt: "Play from {0}",
        Stop: "Stop",
        Slower: "Slower by 5 percent",
        Faster: "Faster by 5 percent",
        TempoPercent: "Tempo in percent",
        From: "From",
        To: "To",
        TheEnd: "the end",
        Loop: "Loop",
        CountInWord: "count-in",
        Keys: "Keys and pedals",
        KeysPlay: "Space or Enter on the large button: play and stop. Left and right arrow, Page Up and Page Down: start one measure earlier or later. Letters, unless switched off in the choices: + and - tempo, L loop, W went well, O once more, C choices.",
        KeysCount: "Space, right arrow or Page Down: next count. Left arrow or Page Up: back. A swipe to the right goes back, too.",
        StepByTap: "Step",
        TapAlong: "Tap along",
        HowToCount: "How to count",
        MeasuresLong: "Measures",
        TapNow: "Tap each count",
        HowToTap: "After the count-in tap each count with a finger, a pedal or the space bar.",
        Steady: "Steady. Try it faster, or without the click.",
        Settling: "It is settling. Once more at this tempo.",
        TrySlower: "Try it slower.",
        TooFewTaps: "Too few taps to tell: tap once on each count.",
        TapsWere: "{0} early, {1} on, {2} late, around your own middle.",
        TapsMissed: "{0} without a tap.",
        Early: "early",
        On: "on",
        Late: "late",
        Calibrate: "Find the delay of this device",
        CalibrateHow: "Twelve clicks. Tap with each.",
        DelayIs: "The count is now shown {0} milliseconds later.",
        SpeakCounts: "Speak the counts",
        GoToMeasure: "Go to measure",
        NoSuchMeasure: "There is no measure {0}.",
        YourPractice: "Your practice",
        Minutes: "{0} min",
        NothingYet: "Nothing yet.",
        OnlyHere: "This stays on this device. Nothing is sent.",
        LineForTeacher: "A line for your teacher",
        TasksDone: "{0} of {1} tasks done",
        Copy: "Copy",
        Copied: "Copied.",
        Erase: "Erase what this device keeps",
        Erased: "Erased.",
        TapHere: "Tap: next count",
        Back: "Back",
        ChooseMeasure: "Measure",
        UnevenFirst: "Uneven measures",
        AllMeasures: "All measures",
        Finished: "The end.",
        Playing: "Playing from {0}.",
        SectionNow: "Section {0}.",
        Silent: "This device gives no sound now. The counts go on without it.",
        NotKept: "This browser does not let the page keep your ticks.",
        SoundAgain: "Sound again",
        RestNow: "rest {0} of {1}",
        ComeIn: "{0}, come in at {1}",
        Choices: "Choices",
        SpotByTaps: "Loop a spot: tap its first and its last measure",
        NowTheLast: "From {0}. Now tap the last measure.",
        LoopIs: "Loop: {0}.",
        SpotOfTip: "Or the spot of a tip",
        Click: "Click",
        ClickOn: "Clicks on",
        EveryCount: "every count",
        GroupsOnly: "groups only",
        DownbeatsOnly: "downbeats only",
        OffBeats: "off-beats",
        Nowhere: "nothing",
        BetweenCounts: "Between counts",
        Nothing: "none",
        WhereItHelps: "where slow enough",
        Always: "always",
        SilentMeasures: "Silent measures",
        OneIn: "1 in {0}",
        ClickSound: "Sound",
        Clear: "clear",
        Wooden: "wooden",
        Dry: "dry",
        Accents: "Accents",
        Volume: "Volume",
        CareEars: "Keep headphones low.",
        CountInMeasures: "Measures",
        EachTime: "Each time round",
        Ladder: "Ladder",
        LadderOn: "Slow to full tempo in rungs",
        RungFrom: "From percent",
        RungTo: "To percent",
        Rungs: "Rungs",
        Traditional: "traditional steps",
        UpAfter: "Clean times to go up",
        TipsAtRung: "Tips play at the ladder’s tempo",
        PaceOfSections: "Tempo of each section",
        WentWell: "That went well",
        OnceMore: "Once more",
        Percent: "{0} percent",
        RungIs: "Rung {0} of {1}: {2}",
        CleanTimes: "{0}; clean {1} of {2}",
        TopRung: "{0}. The goal is reached",
        Device: "This device",
        ShowLater: "Show the count later by milliseconds",
        Buzz: "Buzz on downbeats",
        Letters: "Letter keys",
    }
    page {
        LanguageTag: "en",
        HowToOpen: "No buttons here? Then this is only a preview. Save the file and open it in a web browser to hear the clicks and count along. Everything can also be read and printed as it is.",
        OpenByLink: "Or open this guide by its link.",
        OpenBareByLink: "Or open this guide by its link, which has no photos and no voice notes.",
        Guides: "Practice guides",
        UnpackFirst: "If nothing opens, unpack the zip file first, then open this page from the folder.",
        CodeTooLong: "{0}: the guide is too long for a code on paper. This code opens the page {1}; the guide itself comes as a link or a file.",
        NoCode: "No code stands here, since the guide names no address on the web where it opens.",
        Overview: "Overview",
        RoadMap: "Road map",
        Tips: "Tips",
        Where: "Where",
        ForPart: "For",
        AllParts: "all parts",
        TeacherSays: "From your teacher",
        AtAGlance: "At a glance",
        UnevenCounts: "Counting the uneven measures",
        UnevenHelp: "In the drawings above, a stroke stands over a group of two, a triangle over a group of three.",
        OrderOfPlay: "Order of play",
        Care: "Take care",
        CareBreaks: "Take regular breaks.",
        CareHurt: "If anything hurts, stop, and ask your teacher or a medical professional.",
        NoTodos: "Your teacher has set no tasks in this guide.",
        NoMeasures: "This guide has no measures yet.",
        MeasuresShort: "{0}–{1}",
        Dynamics: "Dynamics",
        Several: "measures {0}",
        Then: "{0}, then {1}",
        GraduallyUntil: "gradually to {0}, until {1}",
        Until: "until {0}",
        BackToBefore: "back to the tempo before",
        BackToFirst: "back to the first tempo",
        StartHere: "Start here",
        WhenTime: "When there is time",
        RestFor: "rest for {0} measures",
        RestForOne: "rest for 1 measure",
        Mark: "mark {0}",
        Pickup: "pickup: the music starts on {0}",
        PickupAfter: "pickup: the music starts {0}",
        RepeatFrom: "a repeat starts here",
        RepeatBack: "at the end go back to {0} and play it again",
        RepeatTimes: "at the end go back to {0}, {1} times in all",
        Ending: "ending {0}",
        Segno: "segno",
        Coda: "the coda starts here",
        ToCoda: "after the jump, go from the end of this measure to the coda",
        Fine: "Fine: after the jump, the music ends here",
        DaCapo: "D.C.: at the end go back to the beginning",
        DalSegno: "D.S.: at the end go back to the segno",
        JumpToFine: "{0} and play to the Fine",
        JumpToCoda: "{0} and play until the coda is called for",
        Cut: "left out",
        Bow: "bow",
        LeftHand: "left hand",
        Pluck: "pluck",
        Sound: "sound",
        CountTopic: "count",
        Listen: "listen",
        GetReady: "get ready",
        Note: "note",
        DownBow: "down-bow",
        UpBow: "up-bow",
        FromFrog: "from the frog",
        FromLowerHalf: "from the lower half",
        FromMiddle: "from the middle",
        FromUpperHalf: "from the upper half",
        FromTip: "from the tip",
        LittleBow: "a little bow",
        QuarterBow: "a quarter of the bow",
        HalfBow: "half the bow",
        WholeBow: "the whole bow",
        StrokeIs: "{0} {1}, {2}",
        RestOf: "{0} rest",
        Tied: "tied",
        WatchAt: "Watch at {0}",
        Photo: "photo",
        VoiceNote: "Voice note, {0} s",
        Trouble: "Something went wrong in this page. Everything below can still be read; open the file again to play.",
    }
}

/// The words of one language.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Words {
    texts: Vec<Cow<'static, str>>,
}

impl Words {
    /// Gives the words of a language. Only English has two words for a measure.
    #[must_use]
    pub fn of(language: Language, measure_word: MeasureWord) -> Self {
        let table: fn(Word) -> &'static str = match language {
            Language::English => Word::english,
            Language::German => german::text,
            Language::Spanish => spanish::text,
            Language::French => french::text,
            Language::Italian => italian::text,
        };
        // The English table uses "measure" in no other sense.
        let bar = language == Language::English && measure_word == MeasureWord::Bar;
        let texts = Word::ALL
            .iter()
            .map(|word| match table(*word) {
                text if bar => Cow::Owned(text.replace("measure", "bar").replace("Measure", "Bar")),
                text => Cow::Borrowed(text),
            })
            .collect();
        Self { texts }
    }

    /// Takes the words as a page carries them, in the order of [`Word::ALL`].
    #[must_use]
    pub fn from_texts(texts: Vec<String>) -> Self {
        Self {
            texts: texts.into_iter().map(Cow::Owned).collect(),
        }
    }

    /// Gives all texts, in the order of [`Word::ALL`].
    pub fn texts(&self) -> impl Iterator<Item = &str> {
        self.texts.iter().map(AsRef::as_ref)
    }

    /// Gives the texts that a live page carries: the first of [`texts`](Self::texts).
    pub fn live_texts(&self) -> impl Iterator<Item = &str> {
        self.texts().take(LIVE)
    }

    /// Gives the text of a word; empty when the page carries none.
    #[must_use]
    pub fn get(&self, word: Word) -> &str {
        self.texts.get(word as usize).map_or("", AsRef::as_ref)
    }

    /// Gives the text of a word with its places filled.
    #[must_use]
    pub fn fill(&self, word: Word, values: &[&str]) -> String {
        let mut filled = String::new();
        let mut rest = self.get(word);
        while let Some((before, after)) = rest.split_once('{') {
            filled.push_str(before);
            let (place, after) = after.split_once('}').unwrap_or((after, ""));
            let value = place.parse().ok().and_then(|n: usize| values.get(n));
            filled.push_str(value.copied().unwrap_or_default());
            rest = after;
        }
        filled.push_str(rest);
        filled
    }

    /// Writes several texts as one, with what a word has between its two places between them.
    #[must_use]
    pub fn join(&self, word: Word, texts: &[String]) -> String {
        texts.join(&self.fill(word, &[]))
    }
}

/// Writes several texts as one with the mark that the language puts between them: "pizz.; p".
#[must_use]
pub(crate) fn listed(words: &Words, texts: &[String]) -> String {
    words.join(Word::AndAlso, texts)
}

/// Gives what stands after a name and before what is said of it, without the space that may be
/// broken: ":", with a narrow space in French.
#[must_use]
pub(crate) fn colon(words: &Words) -> &str {
    let text = words.get(Word::MeasureIs);
    let text = text.strip_prefix("{0}").unwrap_or(text);
    text.strip_suffix(" {1}").unwrap_or(text)
}

/// Writes a whole number with the mark of the language between its thousands, from five digits on.
///
/// # Source
/// Common practice, no source: numbers of four digits are mostly left as they are.
#[must_use]
pub(crate) fn grouped(words: &Words, number: u32) -> String {
    if number < 10_000 {
        return number.to_string();
    }
    let (thousands, rest) = (number / 1000, (number % 1000 + 1000).to_string());
    let rest = rest.get(1..).unwrap_or_default();
    words.fill(Word::Thousands, &[&thousands.to_string(), rest])
}

/// Writes the first letter large.
#[must_use]
pub fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| {
        let mut whole = String::from(large(first));
        whole.push_str(letters.as_str());
        whole
    })
}

/// Keeps a last word of one or two letters on the line of the word before it: alone on a line a
/// note's name is lost.
#[must_use]
pub fn kept_together(text: &str) -> String {
    let letters = text.bytes().rev();
    let last = letters.take_while(|letter| *letter != b' ').count();
    let (before, word) = text.split_at(text.len() - last);
    match before.strip_suffix(' ') {
        Some(before) if last < 3 => [before, "\u{a0}", word].concat(),
        _ => text.to_owned(),
    }
}

/// Gives the large form of a letter of Latin, Greek or Cyrillic; any other letter stays. The table
/// of all alphabets is a twentieth of what goes to a phone.
///
/// # Source
/// The Unicode Standard, UnicodeData.txt, "Simple_Uppercase_Mapping"; a test compares.
fn large(letter: char) -> char {
    let code = u32::from(letter);
    let large = match letter {
        'a'..='z' | 'à'..='ö' | 'ø'..='þ' | 'α'..='ρ' | 'σ'..='ω' | 'а'..='я' => {
            code - 32
        }
        'ѐ'..='џ' => code - 80,
        'ÿ' => 0x178,
        // Small and large letters take turns.
        'ā'..='į' | 'ĳ'..='ķ' | 'ŋ'..='ŷ' => code & !1,
        'ĺ'..='ň' | 'ź'..='ž' => code - (code + 1) % 2,
        _ => code,
    };
    char::from_u32(large).unwrap_or(letter)
}

/// Shows what the teacher typed in the direction in which it is read.
pub(crate) fn typed(text: &str) -> Markup {
    // The letters of the scripts that run to the left, as blocks.
    //
    // # Source
    // The Unicode Standard, Blocks.txt: Hebrew to Arabic Extended-A, and their presentation forms.
    let leftward = |letter| matches!(letter, '\u{590}'..='\u{8ff}' | '\u{fb1d}'..='\u{fdff}' | '\u{fe70}'..='\u{fefc}');
    html! {
        @if text.chars().any(leftward) { bdi { (text) } } @else { (text) }
    }
}

/// Makes a sentence: a large first letter, and one full stop after "pizz.", too.
#[must_use]
pub(crate) fn sentence(text: &str) -> String {
    let stop = if text.ends_with('.') { "" } else { "." };
    capital(text) + stop
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_short_last_word_is_not_left_alone() {
        assert_eq!(kept_together("rest 8, C D E A"), "rest 8, C D E\u{a0}A");
        for text in ["bow ready now", "pizz.", "", "after 12 comes a long"] {
            assert_eq!(kept_together(text), text);
        }
    }

    #[test]
    fn places_are_filled() {
        let words = Words::of(Language::English, MeasureWord::Measure);
        assert_eq!(words.fill(Word::Measures, &["3", "{0}"]), "measures 3–{0}");
        assert_eq!(words.fill(Word::Measure, &[]), "measure ");
        let carried = Words::from_texts(words.texts().map(str::to_owned).collect());
        assert_eq!(carried, words);
        assert_eq!(Words::from_texts(Vec::new()).get(Word::Play), "");
    }

    #[test]
    fn numbers_and_marks_are_those_of_the_language() {
        let of = |language| Words::of(language, MeasureWord::Measure);
        let said = |language| {
            let words = of(language);
            let both = listed(&words, &["p".to_owned(), "arco".to_owned()]);
            let numbers = [9_999, 12_034].map(|number| grouped(&words, number));
            let tempo = crate::tempo_text(&words, "quarter = 133/2".parse().unwrap());
            let decimal = tempo.rsplit(' ').next().unwrap().to_owned();
            [both, colon(&words).to_owned(), numbers.join(" "), decimal].join("|")
        };
        let all = Language::ALL.map(said);
        let expected = [
            "p; arco|:|9999 12,034|66.5",
            "p; arco|:|9999 12.034|66,5",
            "p; arco|:|9999 12\u{202f}034|66,5",
            "p\u{202f}; arco|\u{202f}:|9999 12\u{202f}034|66,5",
            "p; arco|:|9999 12.034|66,5",
        ];
        assert_eq!(all.to_vec(), expected);
        // In French no such mark stands right after a word, nor after a space that may be broken.
        for text in of(Language::French).texts() {
            for (at, mark) in text.match_indices([';', ':', '!', '?']) {
                let before = text.get(..at).unwrap();
                assert!(before.ends_with('\u{202f}'), "{mark} in {text}");
            }
        }
    }

    #[test]
    fn a_measure_may_be_called_a_bar() {
        let words = Words::of(Language::English, MeasureWord::Bar);
        assert!(
            words
                .texts()
                .all(|text| !text.to_lowercase().contains("measure"))
        );
        assert_eq!(words.fill(Word::Measure, &["9"]), "bar 9");
    }

    /// Gives the numbers of the places of a text, in rising order.
    fn places(text: &str) -> Vec<usize> {
        let numbers = text.split('{').skip(1);
        let numbers = numbers.map(|rest| rest.split_once('}').unwrap().0.parse().unwrap());
        let mut numbers: Vec<usize> = numbers.collect();
        numbers.sort_unstable();
        numbers
    }

    #[test]
    fn every_language_says_all_that_english_says() {
        for language in Language::ALL {
            let tag = language.tag();
            let words = Words::of(language, MeasureWord::Measure);
            assert_eq!(words.get(Word::LanguageTag), tag);
            for word in Word::ALL {
                let text = words.get(*word);
                assert!(!text.trim().is_empty(), "{tag}: {word:?}");
                assert_eq!(text, text.trim(), "{tag}: {word:?}");
                assert_eq!(places(text), places(word.english()), "{tag}: {word:?}");
            }
        }
        assert_eq!(places("{1} und {0}, {1}"), [0, 1, 1]);
    }

    #[test]
    fn a_sentence_stays_a_sentence() {
        for language in Language::ALL {
            let tag = language.tag();
            let words = Words::of(language, MeasureWord::Measure);
            for word in Word::ALL {
                // "pizz." and "min" are cut short by the trade, not ended.
                let short = matches!(word, Word::Pizz | Word::Minutes);
                let ended = |text: &str| text.ends_with('.');
                assert!(
                    short || ended(words.get(*word)) == ended(word.english()),
                    "{tag}: {word:?}"
                );
            }
        }
    }

    #[test]
    fn the_tabs_fit_side_by_side_on_a_small_phone() {
        for language in Language::ALL {
            let tag = language.tag();
            let words = Words::of(language, MeasureWord::Measure);
            for word in [Word::WalkThrough, Word::Play, Word::Count, Word::ToDo] {
                let text = words.get(word);
                assert!(text.chars().count() <= 12, "{tag}: {text}");
            }
        }
    }

    #[test]
    fn only_english_has_two_words_for_a_measure() {
        for language in Language::ALL {
            let tag = language.tag();
            let [measure, bar] =
                [MeasureWord::Measure, MeasureWord::Bar].map(|word| Words::of(language, word));
            assert_eq!(measure == bar, language != Language::English, "{tag}");
        }
        let french = Words::of(Language::French, MeasureWord::Bar);
        assert_eq!(french.fill(Word::Measure, &["9"]), "mesure 9");
    }

    #[test]
    fn places_in_a_sentence_take_their_article() {
        let filled = |language, word, own: &[Word], number: &str| {
            let words = Words::of(language, MeasureWord::Measure);
            let own: Vec<String> = own
                .iter()
                .map(|word| words.fill(*word, &[number]))
                .collect();
            words.fill(word, &own.iter().map(String::as_str).collect::<Vec<_>>())
        };
        let span = [Word::Measure, Word::TheEnd];
        for (language, text) in [
            (Language::English, "measure 3 to the end"),
            (Language::German, "Takt 3 bis Ende"),
            (Language::Spanish, "del compás 3 al final"),
            (Language::French, "de la mesure 3 à la fin"),
            (Language::Italian, "dalla battuta 3 alla fine"),
        ] {
            assert_eq!(filled(language, Word::FromTo, &span, "3"), text);
        }
    }

    #[test]
    fn the_order_of_words_is_the_order_of_their_numbers() {
        for (index, word) in Word::ALL.iter().enumerate() {
            assert_eq!(*word as usize, index);
            assert!(!word.english().is_empty());
        }
        assert_eq!(sentence("über"), "Über.");
        assert_eq!(sentence("pizz."), "Pizz.");
        for letter in ('a'..='ž').chain('α'..='џ') {
            let own = large(letter);
            let theirs: Vec<char> = letter.to_uppercase().collect();
            assert!(
                own == letter || theirs == [own],
                "{letter} {own} {theirs:?}"
            );
        }
        for letter in "azéüœžščňāğπωяёїÿ".chars() {
            assert_ne!(large(letter), letter, "{letter}");
        }
    }
}
