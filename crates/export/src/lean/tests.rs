use super::{lean, written};
use crate::page::{PlayerFiles, guide_page, in_full};
use html5ever::tendril::TendrilSink as _;
use html5ever::{ParseOpts, parse_document};
use markup5ever_rcdom::{Handle, NodeData, RcDom};
use proptest::collection::vec;
use proptest::prelude::*;
use std::fmt::Write as _;
use std::path::Path;

/// Gives the documents that a browser makes of a page with scripts and without, a line for each of
/// their nodes.
fn document(page: &str) -> String {
    let mut lines = String::new();
    for scripting_enabled in [true, false] {
        let mut options = ParseOpts::default();
        options.tree_builder.scripting_enabled = scripting_enabled;
        let dom = parse_document(RcDom::default(), options).one(page);
        node(&mut lines, &dom.document, 0);
    }
    lines
}

fn node(lines: &mut String, handle: &Handle, depth: usize) {
    match &handle.data {
        NodeData::Element { name, attrs, .. } => {
            let _ = write!(lines, "{depth} <{:?} {:?}>", name.ns, name.local);
            for own in attrs.borrow().iter() {
                let _ = write!(lines, " {:?}={:?}", own.name.local, own.value);
            }
            lines.push('\n');
        }
        NodeData::Text { contents } => {
            let _ = writeln!(lines, "{depth} {:?}", contents.borrow());
        }
        other => {
            let _ = writeln!(lines, "{depth} {other:?}");
        }
    }
    for child in handle.children.borrow().iter() {
        node(lines, child, depth + 1);
    }
}

#[test]
fn what_the_standard_lets_one_leave_out_is_left_out() {
    for (page, expected) in [
        // Quotes.
        ("<b class=\"x\" hidden>a</b>", "<b class=x hidden>a</b>"),
        ("<a href=\"#s0\">a</a>", "<a href=#s0>a</a>"),
        (
            "<b id=\"ä–&amp;&quot;/\">a</b>",
            "<b id=ä–&amp;&quot;/>a</b>",
        ),
        // The ends of shapes.
        (
            "<svg><path class=\"x\" d=\"M0 0\"></path><path d=\"M0,0\"></path><circle></circle></svg>",
            "<svg><path class=x d=\"M0 0\"/><path d=M0,0 /><circle/></svg>",
        ),
        // The ends of items and paragraphs.
        (
            "<ul><li>a</li><li><p>b</p></li></ul>",
            "<ul><li>a<li><p>b</p></ul>",
        ),
        (
            "<ol><li>a<ol><li>b</li></ol></li><li id=\"c\">c</li></ol>",
            "<ol><li>a<ol><li>b</ol><li id=c>c</ol>",
        ),
        (
            "<div><p>a</p><p class=\"x\">b</p><ul></ul><p>c</p></div>",
            "<div><p>a<p class=x>b<ul></ul><p>c</div>",
        ),
        ("<p>a</p><h1>b</h1>", "<p>a<h1>b</h1>"),
        ("<a><p>a</p><p>b</p></a>", "<a><p>a<p>b</p></a>"),
        (
            "<!DOCTYPE html><html lang=\"en\"><head><title>a</title></head><body><p>b</p></body></html>",
            "<!DOCTYPE html><html lang=en><head><title>a</title></head><body><p>b</body></html>",
        ),
    ] {
        assert_eq!(lean(page), expected);
        assert_eq!(document(page), document(expected));
    }
}

#[test]
fn what_a_browser_needs_stays() {
    for page in [
        "",
        "a &gt; b",
        // Each letter that wants quotes, and no letter at all.
        "<b title=\"\">a</b>",
        "<b title=\"a b\" class=\"a\tb\" id=\"a\nb\" lang=\"a'b\" dir=\"a=b\" data-x=\"a`b\">a</b>",
        // A shape that holds something, and an element that is no shape.
        "<svg><path d=\"M0 0\"><title>a</title></path><g></g></svg>",
        "<i></i>b",
        // What would take in what follows.
        "<ul><li>a</li> <li>b</li>c</ul>",
        "<p>a</p> <p>b</p>c",
        "<p>a</p><span>b</span>",
        "<p>a</p><svg></svg>",
        "<p>a</p><input>",
        "<p>a</p><br>",
        "<p>a</p><p-x>b</p-x>",
        "<p>a</p>",
        // What checkers of markup know less well.
        "<p>a</p><figure></figure>",
        "<ul><li><p>a</p></ul>",
        // What does not end a paragraph with itself.
        "<a><p>a</p></a>",
        "<ins><p>a</p></ins>",
        "<del><p>a</p></del>",
        "<map><p>a</p></map>",
        "<noscript><p>a</p></noscript>",
        "<video><p>a</p></video>",
        "<x-y><p>a</p></x-y>",
        "<span><p>a</p></span>",
        "<label><p>a</p></label>",
        // What is found by its text, and what is no markup.
        "<img data-photo=\"3\" src=\"data:image/png;base64,AA\">",
        "<audio data-voice=\"3\" src=\"data:audio/wav;base64,AA\"><p>a</p></audio>",
        "<meta charset=\"utf-8\">",
        "<style>li{content:\"<li id=\\\"a\\\"></li></ul>\"}</style>",
        "<script id=\"a\">\"<p id=\\\"a\\\"></p><p>\"</script>",
        "<script>if (a<b) c = \"<b class=\\\"d\\\">\"",
        // No tag.
        "a <",
        "a <b",
    ] {
        assert_eq!(lean(page), page);
    }
}

#[test]
fn an_exported_guide_is_the_same_document() {
    let player = PlayerFiles {
        start: "run(\"<li></li></ul>\")",
        live_hash: "'sha256-live'",
        style: "p{content:\"<b id=\\\"c\\\">\"}",
        packed: &[1, 2, 3],
    };
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../examples");
    let mut guides = 0;
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_none_or(|ending| ending != "json") {
            continue;
        }
        let guide = cueleaf_guide::open(&std::fs::read_to_string(path).unwrap());
        let guide = guide.unwrap();
        let full = in_full(&guide, &player).into_string();
        let page = guide_page(&guide, &player);
        assert_eq!(document(&full), document(&page));
        assert!(full.len() > page.len() + 1_000);
        guides += 1;
    }
    assert!(guides > 3);
}

/// What a view may write as text or as a value.
fn typed() -> impl Strategy<Value = String> {
    let letters = vec(
        prop::sample::select(vec![
            "a", "B", "7", " ", "\n", "\t", "'", "=", "`", "/", "–", "ä", "𝄞", "\u{a0}", "&amp;",
            "&lt;", "&gt;", "&quot;", "-", ";", "#",
        ]),
        0..6,
    );
    letters.prop_map(|letters| letters.concat())
}

/// A tag that begins an element.
fn start(name: &'static str) -> impl Strategy<Value = String> {
    let attributes =
        prop::sample::subsequence(vec!["class", "id", "title", "data-x", "hidden"], 0..4);
    (attributes, vec(typed(), 4)).prop_map(move |(names, values)| {
        let mut tag = format!("<{name}");
        for (own, value) in names.iter().zip(values) {
            match *own {
                "hidden" => tag.push_str(" hidden"),
                own => {
                    let _ = write!(tag, " {own}=\"{value}\"");
                }
            }
        }
        tag + ">"
    })
}

/// One of these elements around what is given.
fn around(
    names: &[&'static str],
    inside: impl Strategy<Value = String> + 'static,
) -> impl Strategy<Value = String> {
    let starts = names.iter().map(|name| {
        let name = *name;
        start(name).prop_map(move |tag| (name, tag)).boxed()
    });
    (prop::strategy::Union::new(starts), inside)
        .prop_map(|((name, tag), inside)| format!("{tag}{inside}</{name}>"))
}

fn several(one: impl Strategy<Value = String>) -> impl Strategy<Value = String> {
    vec(one, 0..4).prop_map(|all| all.concat())
}

/// What may stand in a paragraph.
fn phrasing() -> BoxedStrategy<String> {
    let shape = around(&["path", "rect", "circle", "ellipse"], Just(String::new()));
    let drawn = shape.prop_recursive(2, 8, 3, |inner| {
        around(&["g", "text", "path"], several(inner))
    });
    let leaf = prop_oneof![
        typed(),
        start("br"),
        start("input"),
        start("img"),
        around(&["svg"], several(drawn)),
    ];
    leaf.prop_recursive(3, 12, 3, |inner| {
        around(&["b", "span", "i", "label", "ins"], several(inner))
    })
    .boxed()
}

/// What may stand in a page.
fn flow() -> BoxedStrategy<String> {
    let leaf = prop_oneof![
        phrasing(),
        around(&["p", "p", "h2", "pre"], several(phrasing())),
        around(&["p"], typed()),
        around(&["noscript"], around(&["p"], typed())),
        Just("<script>\"<li id=\\\"a\\\"></li></p>\"</script>".to_owned()),
    ];
    leaf.prop_recursive(5, 60, 5, |inner| {
        let several = || several(inner.clone());
        let items = || {
            vec(
                around(
                    &["li"],
                    vec(inner.clone(), 0..4).prop_map(|all| all.concat()),
                ),
                0..4,
            )
        };
        let cells = around(&["td", "th"], several());
        let rows = vec(
            around(&["tr"], vec(cells, 0..3).prop_map(|all| all.concat())),
            0..3,
        );
        let body = around(&["tbody"], rows.prop_map(|all| all.concat()));
        prop_oneof![
            around(&["ul", "ol", "menu"], items().prop_map(|all| all.concat())),
            around(
                &[
                    "div", "section", "header", "footer", "main", "nav", "article"
                ],
                several()
            ),
            around(
                &[
                    "aside",
                    "blockquote",
                    "figure",
                    "figcaption",
                    "details",
                    "fieldset"
                ],
                several()
            ),
            around(
                &["ins", "del", "map", "video", "audio", "x-y", "dialog"],
                several()
            ),
            around(&["table"], body),
        ]
    })
    .boxed()
}

proptest! {
    #[test]
    fn any_page_is_the_same_document(inside in several(flow())) {
        let page = format!("<!DOCTYPE html><html lang=\"en\"><head><meta charset=\"utf-8\"><title>a</title></head><body>{inside}</body></html>");
        let lean = written(maud::PreEscaped(page.clone()));
        prop_assert_eq!(document(&page), document(&lean), "{}", lean);
        prop_assert!(lean.len() <= page.len());
    }
}
