//! Pages as they leave, without what HTML lets them leave out.
//!
//! A browser makes the same document of the page before and after. What comes in is written by
//! maud: a "<" begins a tag and nothing else, attributes stand in double quotes with one space
//! before each, and what is opened is closed. So a tag and what follows it say all there is to know.

use crate::letters::for_page;
use maud::Markup;

/// Elements that stay as they are with what is in them, which is no markup where scripts run.
const RAW: [&str; 3] = ["noscript", "script", "style"];

/// Elements whose tags stay as they are: by their text the policy of a page is found, and what
/// `guide_in_page` of the readers opens again.
const FOUND: [&str; 3] = ["audio", "img", "meta"];

/// The shapes of drawings, which end where they begin.
const SHAPES: [&str; 4] = ["path", "rect", "circle", "ellipse"];

/// Elements whose end need not be said, each with the tags before which it need not.
///
/// # Source
/// HTML Living Standard, 13.1.2.4 "Optional tags", in so far as checkers of markup know it as well:
/// with `figure` and `details` they do not, nor where a paragraph and its item end together. Of the
/// ends of a parent only those that end what is open inside them ("generate implied end tags" in
/// 13.2.6.4.7): the end of an `a` or a `span` does not.
const ENDS: [(&str, &[&str]); 2] = [
    ("li", &["li", "/ol", "/ul"]),
    (
        "p",
        &[
            "address", "article", "aside", "div", "dl", "fieldset", "footer", "form", "h1", "h2",
            "h3", "h4", "h5", "h6", "header", "hr", "main", "nav", "ol", "p", "pre", "section",
            "table", "ul", "/article", "/aside", "/body", "/div", "/figure", "/footer", "/header",
            "/main", "/nav", "/section", "/td",
        ],
    ),
];

/// Writes a page as it leaves: with the letters that may stand in it, and no more of its markup than
/// a browser needs. Every page goes through here, so that no view has to think of either.
pub(crate) fn written(page: Markup) -> String {
    lean(&for_page(page.into_string()))
}

/// Leaves out what a browser does not need: quotes, ends that follow from what comes next, and the
/// ends of shapes.
pub(crate) fn lean(page: &str) -> String {
    let mut lean = String::with_capacity(page.len());
    let mut rest = page;
    while let Some((text, after)) = rest.split_once('<') {
        let Some((tag, after)) = after.split_once('>') else {
            break;
        };
        lean.push_str(text);
        let name = name(tag);
        rest = after;
        if let Some(name) = name.strip_prefix('/') {
            if !may_go(name, rest) {
                push_all(&mut lean, &["<", tag, ">"]);
            }
        } else if RAW.contains(&name) {
            let end = rest.find(&format!("</{name}")).unwrap_or(rest.len());
            let (inside, after) = rest.split_at(end);
            push_all(&mut lean, &["<", tag, ">", inside]);
            rest = after;
        } else if FOUND.contains(&name) {
            push_all(&mut lean, &["<", tag, ">"]);
        } else {
            lean.push('<');
            let is_bare = push_tag(&mut lean, tag);
            if let Some(after) = without_end(name, rest) {
                rest = after;
                // Else the stroke would belong to the value.
                lean.push_str(if is_bare { " /" } else { "/" });
            }
            lean.push('>');
        }
    }
    lean.push_str(rest);
    lean
}

/// Gives the name in a tag, of an end tag with the stroke before it.
fn name(tag: &str) -> &str {
    tag.split([' ', '\t', '\n']).next().unwrap_or(tag)
}

/// Tells whether the end of an element need not be said before what comes next.
fn may_go(name: &str, next: &str) -> bool {
    let Some((next, _)) = next.strip_prefix('<').and_then(|tag| tag.split_once('>')) else {
        return false;
    };
    let next = self::name(next);
    ENDS.iter()
        .any(|(own, before)| *own == name && before.contains(&next))
}

/// Gives what follows the end of a shape that holds nothing.
fn without_end<'a>(name: &str, rest: &'a str) -> Option<&'a str> {
    SHAPES.contains(&name).then_some(())?;
    rest.strip_prefix("</")?
        .strip_prefix(name)?
        .strip_prefix('>')
}

/// Writes a tag with quotes where they are needed; tells whether it ends in a value without.
fn push_tag(lean: &mut String, tag: &str) -> bool {
    let mut is_bare = false;
    // What stands between quotes comes after each piece that does not.
    let mut pieces = tag.split('"').peekable();
    while let Some(piece) = pieces.next() {
        lean.push_str(piece);
        is_bare &= piece.is_empty();
        let Some(value) = pieces.next() else { break };
        let ends = pieces
            .peek()
            .is_none_or(|next| next.is_empty() || next.starts_with(' '));
        is_bare = ends && needs_no_quotes(value);
        if is_bare {
            lean.push_str(value);
        } else {
            push_all(lean, &["\"", value, "\""]);
        }
    }
    is_bare
}

/// Tells whether the value of an attribute may stand without quotes.
///
/// # Source
/// HTML Living Standard, 13.1.2.3 "Attributes", the unquoted attribute value syntax.
fn needs_no_quotes(value: &str) -> bool {
    let needs = |letter: char| {
        letter.is_ascii_whitespace() || matches!(letter, '"' | '\'' | '=' | '<' | '>' | '`')
    };
    !value.is_empty() && !value.contains(needs)
}

fn push_all(text: &mut String, pieces: &[&str]) {
    text.extend(pieces.iter().copied());
}

#[cfg(test)]
mod tests;
