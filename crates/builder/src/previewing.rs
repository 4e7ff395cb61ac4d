//! What the page in the preview is told after an edit: which elements of its text give way to
//! which markup. What did not change is not even named.

use cueleaf_view::{
    EntryPiece, Page, SectionPiece, TextPieces, TipPiece, entry_in_full, section_in_full,
    text_pieces,
};

/// A run of neighbouring elements that gives way to other markup.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Swap {
    /// The selector of the first element.
    pub(crate) first: String,
    /// The selector of the last one; often the same.
    pub(crate) last: String,
    /// What stands there instead.
    pub(crate) html: String,
}

/// A text as a page shows it.
#[derive(Debug, Clone)]
pub(crate) struct ShownText {
    pieces: TextPieces,
}

impl ShownText {
    /// Remembers the text of a page that is made now.
    pub(crate) fn of(page: &Page<'_>) -> Self {
        let pieces = text_pieces(page);
        Self { pieces }
    }

    /// Takes another state of the text for shown, and gives what makes it so, in order.
    pub(crate) fn follow(&mut self, page: &Page<'_>) -> Vec<Swap> {
        let new = text_pieces(page);
        let old = core::mem::replace(&mut self.pieces, new);
        swaps(page, &old, &self.pieces)
    }
}

fn swaps(page: &Page<'_>, old: &TextPieces, new: &TextPieces) -> Vec<Swap> {
    let mut swaps = Vec::new();
    let (before, after) = (blocks(old), blocks(new));
    let stays = kept(&before, &after, |old, new| old.place() == new.place());
    for (old, new) in stays.pairs(&before, &after) {
        match (old, new) {
            (Block::Loose(place, old), Block::Loose(_, new)) if old != new => {
                swaps.push(one(room(place), (*new).clone()));
            }
            (Block::Section(old), Block::Section(new)) => section(page, old, new, &mut swaps),
            _ => {}
        }
    }
    let html = |block: &Block<'_>| match block {
        Block::Loose(_, html) => (*html).clone(),
        Block::Section(own) => section_in_full(page, own),
    };
    swaps.extend(stays.rest(&before, &after, Block::place, html));
    if old.todos != new.todos {
        swaps.push(one("#room-todo>.todos".to_owned(), new.todos.clone()));
    }
    swaps
}

/// What stands in the room to read, one after the other.
enum Block<'a> {
    /// Something outside the sections, by its place in the room.
    Loose(&'static str, &'a String),
    Section(&'a SectionPiece),
}

impl Block<'_> {
    fn place(&self) -> String {
        match self {
            Self::Loose(place, _) => room(place),
            Self::Section(own) => section_place(own),
        }
    }
}

fn blocks(text: &TextPieces) -> Vec<Block<'_>> {
    let above = text.above.iter();
    let below = text.below.iter();
    above
        .map(|(place, html)| Block::Loose(place, html))
        .chain(text.sections.iter().map(Block::Section))
        .chain(below.map(|(place, html)| Block::Loose(place, html)))
        .collect()
}

fn room(place: &str) -> String {
    format!("#room-walk{place}")
}

fn section_place(own: &SectionPiece) -> String {
    format!("#s{}", own.section.first)
}

fn entry_place(own: &EntryPiece) -> String {
    format!("#m{}", own.measure)
}

fn one(place: String, html: String) -> Swap {
    Swap {
        first: place.clone(),
        last: place,
        html,
    }
}

/// Swaps what differs in a section that stays where it is.
fn section(page: &Page<'_>, old: &SectionPiece, new: &SectionPiece, swaps: &mut Vec<Swap>) {
    let place = section_place(new);
    if old.entries.is_empty() != new.entries.is_empty() {
        // A section at whose measures nothing stands has no list.
        swaps.push(one(place, section_in_full(page, new)));
        return;
    }
    if old.head != new.head {
        swaps.push(Swap {
            first: format!("{place}>h2"),
            last: format!("{place}>p"),
            html: new.head.clone(),
        });
    }
    let (before, after) = (&old.entries, &new.entries);
    let html = |own: &EntryPiece| entry_in_full(page, &new.section, own);
    let same_measures = before.len() == after.len()
        && before
            .iter()
            .zip(after)
            .all(|(old, new)| old.measure == new.measure);
    let differ = || before.iter().zip(after).filter(|(old, new)| old != new);
    if same_measures && differ().take(MANY).count() < MANY {
        for (old, new) in differ() {
            match words_alone(old, new) {
                Some(own) => swaps.extend(own),
                None => swaps.push(one(entry_place(new), html(new))),
            }
        }
        return;
    }
    let stays = kept(before, after, |old, new| old == new);
    swaps.extend(stays.rest(before, after, entry_place, html));
}

/// Where nothing but the words of tips differs, and there are photos or voice notes that should
/// not be sent with them: what swaps the words.
fn words_alone(old: &EntryPiece, new: &EntryPiece) -> Option<Vec<Swap>> {
    let pairs = || old.tips.iter().zip(&new.tips);
    let same_rest = |(old, new): (&TipPiece, &TipPiece)| {
        old.index == new.index && old.photo == new.photo && old.voice == new.voice
    };
    let alone = new.has_media()
        && old.tips.len() == new.tips.len()
        && pairs().all(same_rest)
        && without_words(old) == without_words(new);
    alone.then(|| {
        let differ = pairs().filter(|(old, new)| old.words != new.words);
        let swap = |own: &TipPiece| {
            let place = format!("[data-tip=\"{}\"]>div>p", own.index);
            one(place, own.words.clone())
        };
        differ.map(|(_, own)| swap(own)).collect()
    })
}

fn without_words(entry: &EntryPiece) -> String {
    let words = entry.tips.iter().map(|tip| tip.words.as_str());
    words.fold(entry.bare.clone(), |bare, words| {
        bare.replacen(words, "", 1)
    })
}

/// From so many measures on that differ they are swapped as one, with what lies between them.
const MANY: usize = 16;

/// How many at the beginning and at the end of a list stay.
struct Kept {
    head: usize,
    tail: usize,
}

fn kept<T>(old: &[T], new: &[T], same: impl Fn(&T, &T) -> bool) -> Kept {
    let pairs = old.iter().zip(new);
    let head = pairs.take_while(|(old, new)| same(old, new)).count();
    let rest = |all: &'_ [T]| all.len() - head;
    let most = rest(old).min(rest(new));
    let pairs = old.iter().rev().zip(new.iter().rev()).take(most);
    let tail = pairs.take_while(|(old, new)| same(old, new)).count();
    Kept { head, tail }
}

impl Kept {
    fn pairs<'a, T>(&self, old: &'a [T], new: &'a [T]) -> impl Iterator<Item = (&'a T, &'a T)> {
        let tails = old.len() - self.tail..new.len() - self.tail;
        let heads = old.iter().zip(new).take(self.head);
        heads.chain(old.iter().skip(tails.start).zip(new.iter().skip(tails.end)))
    }

    /// Gives what swaps those between for those that stand there now. Where there were none, a
    /// neighbour goes with them.
    fn rest<T>(
        &self,
        old: &[T],
        new: &[T],
        place: impl Fn(&T) -> String,
        html: impl Fn(&T) -> String,
    ) -> Option<Swap> {
        let (mut head, mut tail) = (self.head, self.tail);
        if head + tail == old.len() {
            if head + tail == new.len() {
                return None;
            }
            match head {
                0 => tail = tail.checked_sub(1)?,
                _ => head -= 1,
            }
        }
        let gone = old.get(head..old.len() - tail)?;
        let come = new.get(head..new.len() - tail)?;
        Some(Swap {
            first: place(gone.first()?),
            last: place(gone.last()?),
            html: come.iter().map(html).collect(),
        })
    }
}
