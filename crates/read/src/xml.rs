//! Small trees of elements, built from the stream one child of a measure at a time.

use crate::ReadError;
use crate::limits::{MAX_DEPTH, MAX_WORDS};
use core::str::FromStr;
use cueleaf_guide::TooLarge;
use cueleaf_time::Ratio;
use quick_xml::events::{BytesRef, BytesStart, Event};
use quick_xml::{Reader, XmlVersion};
use std::borrow::Cow;

/// A tree of elements, kept in document order.
#[derive(Default)]
pub(crate) struct Tree<'a> {
    nodes: Vec<Node<'a>>,
    open: Vec<usize>,
}

struct Node<'a> {
    start: BytesStart<'a>,
    /// Where the local name starts in the name.
    local: usize,
    text: Cow<'a, str>,
    /// One past the last node inside this one.
    end: usize,
}

impl Node<'_> {
    fn name(&self) -> &str {
        let name: &str = self.start.name().into_inner();
        name.get(self.local..).unwrap_or_default()
    }
}

/// What to do after an event went into a tree.
#[derive(Debug, PartialEq, Eq)]
pub(crate) enum Grown {
    /// The outermost element is still open.
    Open,
    /// The outermost element has ended.
    Whole,
}

impl<'a> Tree<'a> {
    /// Empties the tree, keeping its memory.
    pub(crate) fn clear(&mut self) {
        self.nodes.clear();
        self.open.clear();
    }

    /// Tells whether an element is open.
    pub(crate) fn is_open(&self) -> bool {
        !self.open.is_empty()
    }

    /// Gives the innermost open element's name.
    pub(crate) fn open_name(&self) -> &str {
        let node = self.open.last().and_then(|index| self.nodes.get(*index));
        node.map_or("", Node::name)
    }

    pub(crate) fn start(&mut self, start: BytesStart<'a>) -> Result<(), ReadError> {
        TooLarge::guard("elements inside each other", MAX_DEPTH, self.open.len() + 1)?;
        self.open.push(self.nodes.len());
        let local = start.name().into_inner().len() - name_of(&start).len();
        self.nodes.push(Node {
            start,
            local,
            text: Cow::Borrowed(""),
            end: usize::MAX,
        });
        Ok(())
    }

    pub(crate) fn end(&mut self) -> Grown {
        let end = self.nodes.len();
        if let Some(node) = self.open.pop().and_then(|index| self.nodes.get_mut(index)) {
            node.end = end;
        }
        if self.open.is_empty() {
            Grown::Whole
        } else {
            Grown::Open
        }
    }

    pub(crate) fn text(&mut self, piece: Cow<'a, str>) {
        let Some(node) = self
            .open
            .last()
            .and_then(|index| self.nodes.get_mut(*index))
        else {
            return;
        };
        if node.text.is_empty() {
            node.text = piece;
        } else if node.text.len() < MAX_WORDS * 8 {
            node.text.to_mut().push_str(&piece);
        }
    }

    /// Gives the outermost element.
    pub(crate) fn root(&self) -> Option<Element<'_>> {
        (!self.nodes.is_empty()).then_some(Element {
            tree: self,
            index: 0,
        })
    }
}

/// Gives the character a reference stands for. Entities other than the five
/// that XML predefines stand for nothing: what a file defines is never expanded.
pub(crate) fn resolve(reference: &BytesRef<'_>) -> Option<char> {
    if reference.is_char_ref() {
        return reference.resolve_char_ref().ok().flatten();
    }
    let name: &str = reference;
    Some(match name {
        "lt" => '<',
        "gt" => '>',
        "amp" => '&',
        "apos" => '\'',
        "quot" => '"',
        _ => return None,
    })
}

/// Gives the local name of an element.
pub(crate) fn name_of<'s>(start: &'s BytesStart<'_>) -> &'s str {
    let name: &str = start.name().into_inner();
    name.rsplit_once(':').map_or(name, |(_, local)| local)
}

/// Gives an attribute of a start tag.
pub(crate) fn attribute_of(start: &BytesStart<'_>, name: &str) -> Option<String> {
    let mut attributes = start.attributes();
    let found = attributes
        .with_checks(false)
        .flatten()
        .find(|attribute| attribute.key.into_inner() == name)?;
    // An attribute with an unknown entity is taken as it is written.
    let value = found.normalized_value(XmlVersion::Implicit1_0);
    Some(value.map_or_else(|_| found.value.to_string(), Cow::into_owned))
}

/// Gives an attribute of the first element of a name in a text.
pub(crate) fn first_attribute(text: &str, element: &str, attribute: &str) -> Option<String> {
    let mut reader = Reader::from_str(text);
    loop {
        match reader.read_event().ok()? {
            Event::Start(start) | Event::Empty(start) if name_of(&start) == element => {
                return attribute_of(&start, attribute);
            }
            Event::Eof => return None,
            _ => {}
        }
    }
}

/// One element of a tree.
#[derive(Clone, Copy)]
pub(crate) struct Element<'t> {
    tree: &'t Tree<'t>,
    index: usize,
}

impl<'t> Element<'t> {
    fn node(self) -> Option<&'t Node<'t>> {
        self.tree.nodes.get(self.index)
    }

    pub(crate) fn name(self) -> &'t str {
        self.node().map_or("", Node::name)
    }

    /// Gives the element's own text without the space around it.
    pub(crate) fn text(self) -> &'t str {
        self.node().map_or("", |node| node.text.trim())
    }

    /// Gives the element's own text with single spaces, cut at the limit.
    pub(crate) fn words(self) -> String {
        one_line(self.text())
    }

    pub(crate) fn attribute(self, name: &str) -> Option<String> {
        attribute_of(&self.node()?.start, name)
    }

    pub(crate) fn says_yes(self, name: &str) -> bool {
        self.attribute(name)
            .is_some_and(|value| value.trim() == "yes")
    }

    pub(crate) fn children(self) -> impl Iterator<Item = Element<'t>> {
        let end = self.node().map_or(0, |node| node.end);
        let mut next = self.index + 1;
        core::iter::from_fn(move || {
            if next >= end {
                return None;
            }
            let child = Element {
                tree: self.tree,
                index: next,
            };
            next = child.node().map_or(usize::MAX, |node| node.end);
            Some(child)
        })
    }

    pub(crate) fn child(self, name: &str) -> Option<Element<'t>> {
        self.children().find(|child| child.name() == name)
    }

    pub(crate) fn child_text(self, name: &str) -> Option<&'t str> {
        self.child(name).map(Element::text)
    }

    /// Reads a child's text as a value; `None` when absent or not such a value.
    pub(crate) fn child_value<T: FromStr>(self, name: &str) -> Option<T> {
        self.child_text(name)?.parse().ok()
    }
}

/// Brings a text to single spaces and at most the limit of letters.
pub(crate) fn one_line(text: &str) -> String {
    let mut line = String::with_capacity(text.len().min(MAX_WORDS));
    for (count, word) in text.split_whitespace().enumerate() {
        if count > 0 {
            line.push(' ');
        }
        line.push_str(word);
        if line.len() > MAX_WORDS * 4 {
            break;
        }
    }
    if let Some((cut, _)) = line.char_indices().nth(MAX_WORDS) {
        line.truncate(cut);
    }
    line
}

/// Reads a number that may have decimals, rounded to six of them.
pub(crate) fn number(text: &str) -> Option<Ratio> {
    let text = text.trim();
    let text = text.strip_prefix('+').unwrap_or(text);
    let cut = match text.split_once('.') {
        Some((whole, "")) => whole,
        Some((whole, decimals)) => {
            let end = decimals.len().min(6);
            text.get(..whole.len() + 1 + end)?
        }
        None if text.contains('/') => return None,
        None => text,
    };
    cut.parse().ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_read_with_few_decimals() {
        for (text, expected) in [
            ("120", "120"),
            (" 66.5 ", "133/2"),
            ("119.99999999999", "119999999/1000000"),
            ("-3", "-3"),
            ("+2", "2"),
            ("4.", "4"),
        ] {
            assert_eq!(number(text).unwrap().to_string(), expected, "{text}");
        }
        for text in ["", "a", "1/2", "1e3", "NaN", "1.x", "é"] {
            assert_eq!(number(text), None, "{text}");
        }
    }

    #[test]
    fn texts_become_one_line_of_limited_length() {
        assert_eq!(one_line(" D.C.\n al  Fine "), "D.C. al Fine");
        assert_eq!(one_line(&"é".repeat(3_000)).chars().count(), MAX_WORDS);
    }
}
