//! The overview for the teacher: the whole piece with all parts, to print.

use crate::link::{Address, link};
use crate::qr::{QrPicture, qr_picture};
use crate::still::still_page;
use core::cmp::Reverse;
use cueleaf_guide::{Guide, Id, MarkKind, Tip, for_student};
use cueleaf_plan::Plan;
use cueleaf_view::{
    Drawn, LineMeasure, Page, Run, Section, Word, facts_at, importance_mark, line_of_runs,
    measure_text, number_of, order_text, photo_figure, section_name, sections, spot_text,
    stroke_text, uneven_counts, voice_text,
};
use maud::{Markup, PreEscaped, html};
use std::collections::BTreeSet;

/// How long a quarter note is drawn, and how long a line gets at most, in CSS pixels: at
/// this width five measures of four quarters stand side by side on either size of paper.
const QUARTER: f64 = 26.0;
const LINE: f64 = 640.0;

/// From how many measures on those that say nothing new are drawn as one.
///
/// # Source
/// Our decision: three side by side take hardly more room, and are quicker to find by number.
const FOLDED: usize = 4;

/// Up to how many modules along one side a code is printed 60 millimetres wide; finer ones get
/// 80, so that a module is half a millimetre wide or wider (see [`crate::WIDTH_MM`]).
const FINE: usize = 120;

/// The size of the paper is the printer's: nothing here depends on A4 or Letter. Black on
/// white with no filled areas, so that any printer and copier keeps it. The weight of a
/// count is the weight of its tick; the words for it would only cost paper.
const STYLE: &str = "@page{margin:15mm 14mm 18mm;\
@bottom-right{content:counter(page) \" / \" counter(pages);font:9pt system-ui,sans-serif}}\
*{box-sizing:border-box}\
html{background:#fff;color:#000;font:11pt/1.4 system-ui,sans-serif;font-variant-numeric:tabular-nums}\
body{margin:0 auto;max-width:45rem;padding:1rem}\
h1{margin:0;font-size:1.6rem;line-height:1.2}h2{margin:1.5rem 0 .5rem;font-size:1.25rem}\
h3{margin:1rem 0 .25rem;font-size:1rem}p{margin:.25rem 0}\
h1,h2,h3{break-after:avoid}p,li,td{overflow-wrap:anywhere}\
ul{margin:0;padding:0;list-style:none}li{break-inside:avoid;margin:.25rem 0}\
.line{display:block;max-width:100%;height:auto;break-inside:avoid;margin:.25rem 0;\
font:14px system-ui,sans-serif}\
.line path{fill:none;stroke:#000;stroke-width:1.5}.line .rule{stroke-width:1}\
.line .group path{stroke-width:2.5}.line .down path{stroke-width:4}\
.line text{text-anchor:middle}.line .number{text-anchor:start;font-size:11px}\
.line .weight{display:none}.line .tight text{font-size:10px}\
.facts li::first-letter,tbody th::first-letter{text-transform:uppercase}\
.line .long-rest path{stroke-width:6}.line .down text{font-weight:700}\
table{width:100%;border-collapse:collapse}thead{display:table-header-group}\
tr{break-inside:avoid}th,td{padding:.25rem .5rem .25rem 0;border-bottom:1px solid #000;\
text-align:left;vertical-align:top}th[scope=row]{font-weight:400}td b{font-weight:600}\
.task{display:flex;gap:.6rem;align-items:baseline}\
.box{flex:none;width:.9rem;height:.9rem;border:1.5px solid #000;transform:translateY(.15rem)}\
.codes{display:flex;flex-wrap:wrap;gap:4mm 8mm}\
.qr{break-inside:avoid;width:60mm;margin:2mm 0}.fine{width:80mm}\
.qr svg{display:block;width:100%;height:auto}figcaption{overflow-wrap:anywhere;font-size:10pt}\
.counts li p{margin:0}.photo{break-inside:avoid;margin:.25rem 0}\
.photo img{display:block;width:auto;height:auto;max-width:60mm;max-height:40mm}\
@media print{body{max-width:none;padding:0}h1{font-size:16pt}h2{font-size:13pt}}";

/// Writes the overview of all parts as a page to print: the road map in lines, the tips by
/// measure and part, how the uneven measures are counted, the tasks with boxes, and the QR
/// code of the guide, or of each part where the whole is too long for paper. Where no code can
/// stand, a sentence says why.
///
/// The page has no script and asks for nothing, and its policy says so. Tips without a text
/// are left out. Photos stand small beside their tips, voice notes as their words.
///
/// ```
/// use cueleaf_export::overview_page;
/// use cueleaf_guide::{Guide, Id};
/// let guide = Guide::new(Id::new("g").unwrap(), "Fog & Bank");
/// assert!(overview_page(&guide).contains("<h1>Fog &amp; Bank</h1>"));
/// ```
#[must_use]
pub fn overview_page(guide: &Guide) -> String {
    let plan = Plan::new(guide).value;
    let words = Page::words_for(guide);
    let page = Page::new(guide, &plan, &words);
    let title = format!("{} – {}", guide.title, words.get(Word::Overview));
    let body = html! {
        (head(&page))
        (road_map(&page))
        (tips(&page))
        (uneven_counts(&page))
        (tasks(&page))
    };
    still_page(&words, &title, STYLE, &body)
}

fn head(page: &Page<'_>) -> Markup {
    let guide = page.guide;
    let names: Vec<&str> = guide.parts.iter().map(|part| part.name.as_str()).collect();
    html! {
        header {
            h1 { (guide.title) }
            @if !guide.composer.is_empty() { p { (guide.composer) } }
            @if !names.is_empty() { p { (names.join(", ")) } }
            @for line in guide.word.lines().filter(|line| !line.trim().is_empty()) { p { (line) } }
            (codes(page))
        }
    }
}

/// Draws the QR code of the guide's link; where that is too long for paper, one for each part,
/// and for those that are too long themselves the code of the address, and says so.
fn codes(page: &Page<'_>) -> Markup {
    let guide = page.guide;
    let Ok(address) = Address::read(&guide.settings.address) else {
        return html! { p { (page.words.get(Word::NoCode)) } };
    };
    let whole = [(guide.title.clone(), code(guide, &address))];
    let parts = guide.parts.iter();
    let parts = parts.map(|part| {
        let own = for_student(guide, Some(&part.id));
        (part.name.clone(), code(&own, &address))
    });
    let drawn = if whole.iter().all(|(_, code)| code.is_some()) || guide.parts.len() < 2 {
        Vec::from(whole)
    } else {
        parts.collect()
    };
    let too_long: Vec<&str> = drawn
        .iter()
        .filter(|(_, code)| code.is_none())
        .map(|(name, _)| name.as_str())
        .collect();
    let several = drawn.len() > 1;
    html! {
        div class="codes" {
            @for (name, code) in &drawn {
                @if let Some(code) = code { (figure(code, several.then_some(name.as_str()))) }
            }
            @if !too_long.is_empty() {
                @if let Ok(code) = qr_picture(address.as_str(), address.as_str()) {
                    @let names = too_long.join(", ");
                    (figure(&code, Some(&page.words.fill(Word::CodeTooLong, &[&names, address.as_str()]))))
                }
            }
        }
    }
}

/// Draws the link of a guide, where it fits on paper.
fn code(guide: &Guide, address: &Address) -> Option<QrPicture> {
    let link = link(guide, address).ok()?;
    qr_picture(&link.for_picture, &guide.title).ok()
}

/// Shows a code as large as its dots need, with what stands under it.
fn figure(code: &QrPicture, caption: Option<&str>) -> Markup {
    let class = if code.modules > FINE { "qr fine" } else { "qr" };
    html! {
        figure class=(class) {
            (PreEscaped(&code.svg))
            @if let Some(caption) = caption { figcaption { (caption) } }
        }
    }
}

fn road_map(page: &Page<'_>) -> Markup {
    let told = measures_told_of(page);
    html! {
        section {
            h2 { (page.words.get(Word::RoadMap)) }
            @if page.guide.road_map.measures.is_empty() { p { (page.words.get(Word::NoMeasures)) } }
            @if let Some(order) = order_text(page) {
                p { (page.words.get(Word::OrderOfPlay)) ": " (order) }
            }
            @for section in sections(page) { (section_lines(page, &section, &told)) }
        }
    }
}

fn section_lines(page: &Page<'_>, section: &Section, told: &BTreeSet<usize>) -> Markup {
    let facts: Vec<(usize, Vec<String>)> = (section.first..=section.last)
        .map(|measure| (measure, facts_at(page, measure)))
        .filter(|(_, facts)| !facts.is_empty())
        .collect();
    html! {
        h3 { (section_name(page, section)) }
        @for row in rows(page, section, told) { (line_of_runs(page.words, &row, QUARTER)) }
        @if !facts.is_empty() {
            ul class="facts" {
                @for (measure, facts) in facts {
                    li { (measure_text(page, measure)) ": " (facts.join("; ")) }
                }
            }
        }
    }
}

/// Gives the measures at which a tip or a task stands, or a part comes in after a rest.
fn measures_told_of(page: &Page<'_>) -> BTreeSet<usize> {
    let tips = shown_tips(page).map(|(_, tip)| tip.spot.from.measure);
    let tasks = page.guide.todos.iter();
    let tasks = tasks.filter_map(|todo| Some(todo.spot?.from.measure));
    let marks = page.guide.parts.iter().flat_map(|part| &part.marks);
    let rests = marks.filter(|mark| mark.kind == MarkKind::Rest);
    let entries = rests.filter_map(|mark| Some(mark.to?.measure));
    tips.chain(tasks).chain(entries).collect()
}

/// Tells whether a measure says nothing that the one before it does not say.
fn is_quiet(page: &Page<'_>, measure: usize, told: &BTreeSet<usize>) -> bool {
    let layout = page.plan.layout();
    let before = measure.checked_sub(1).and_then(|before| layout.get(before));
    let (Some(laid), Some(before)) = (layout.get(measure), before) else {
        return false;
    };
    let alike = laid.length == before.length
        && laid.meter == before.meter
        && laid.grouping == before.grouping
        && laid.beats == before.beats
        && laid.counts_each_group == before.counts_each_group;
    alike && !told.contains(&measure) && facts_at(page, measure).is_empty()
}

/// Draws the measures of a section, those that say nothing new as one where they are several.
fn drawn<'a>(page: &Page<'a>, section: &Section, told: &BTreeSet<usize>) -> Vec<Drawn<'a>> {
    let mut drawn = Vec::new();
    let mut measure = section.first;
    while measure <= section.last {
        let after = section.last + 1;
        let quiet = (measure..after)
            .find(|own| *own == section.first || !is_quiet(page, *own, told))
            .unwrap_or(after);
        if quiet - measure >= FOLDED {
            drawn.push(Drawn::Run(Run::of(page, measure, quiet - 1)));
            measure = quiet;
            continue;
        }
        // The measures of a run that is too short, and the one that ends it.
        let end = quiet.min(section.last);
        for own in measure..=end {
            let laid = page.plan.layout().get(own);
            drawn.extend(
                laid.map(|laid| Drawn::Measure(LineMeasure::new(laid, number_of(page, own)))),
            );
        }
        measure = end + 1;
    }
    drawn
}

/// Breaks the measures of a section into lines that fit on the paper.
fn rows<'a>(page: &Page<'a>, section: &Section, told: &BTreeSet<usize>) -> Vec<Vec<Drawn<'a>>> {
    let mut rows: Vec<Vec<Drawn<'a>>> = Vec::new();
    let mut room = 0.0;
    for drawn in drawn(page, section, told) {
        let own = drawn.width(QUARTER);
        match rows.last_mut() {
            Some(row) if own <= room => row.push(drawn),
            _ => {
                rows.push(vec![drawn]);
                room = LINE;
            }
        }
        room -= own;
    }
    rows
}

/// Gives the tips that are shown, with their index: those that say something.
fn shown_tips<'a>(page: &Page<'a>) -> impl Iterator<Item = (usize, &'a Tip)> {
    let guide = page.guide;
    // A photo or a voice note that is refused shows nothing here.
    let says = |tip: &Tip| {
        let drawn = tip.bow.is_some() || tip.watch.is_some() || !tip.rhythm.is_empty();
        drawn || !tip.text.trim().is_empty()
    };
    let all = guide.tips.iter().enumerate();
    all.filter(move |(_, tip)| {
        says(tip) || guide.shown_photo(tip).is_some() || guide.shown_voice(tip).is_some()
    })
}

/// Shows the tips in the order of their places.
fn tips(page: &Page<'_>) -> Markup {
    let words = page.words;
    let several = page.guide.parts.len() > 1;
    let mut tips: Vec<_> = shown_tips(page).collect();
    tips.sort_by_key(|(_, tip)| (tip.spot.from, Reverse(tip.spot.to)));
    html! {
        @if !tips.is_empty() {
            section {
                h2 { (words.get(Word::Tips)) }
                table {
                    thead {
                        tr {
                            th scope="col" { (words.get(Word::Where)) }
                            @if several { th scope="col" { (words.get(Word::ForPart)) } }
                            th scope="col" { (words.get(Word::Tips)) }
                        }
                    }
                    tbody {
                        @for (index, tip) in tips {
                            tr {
                                th scope="row" { (spot_text(page, &tip.spot)) }
                                @if several { td { (parts(page, &tip.parts)) } }
                                td {
                                    (importance_mark(words, tip.importance)) (tip.text)
                                    @if let Some(stroke) = &tip.bow { br; (stroke_text(words, stroke)) }
                                    @if let Some(photo) = page.guide.shown_photo(tip) { (photo_figure(words, index, photo)) }
                                    @if let Some(voice) = page.guide.shown_voice(tip) { br; (voice_text(words, voice)) }
                                }
                            }
                        }
                    }
                }
            }
        }
    }
}

/// Names the parts for which something is.
fn parts(page: &Page<'_>, ids: &[Id]) -> String {
    let own: Vec<&str> = ids
        .iter()
        .filter_map(|id| page.guide.part(id))
        .map(|part| part.name.as_str())
        .collect();
    if own.is_empty() || own.len() == page.guide.parts.len() {
        return page.words.get(Word::AllParts).to_owned();
    }
    own.join(", ")
}

fn tasks(page: &Page<'_>) -> Markup {
    html! {
        @if !page.guide.todos.is_empty() {
            section {
                h2 { (page.words.get(Word::ToDo)) }
                ul {
                    @for todo in &page.guide.todos {
                        li class="task" {
                            span class="box" {}
                            span {
                                (todo.text)
                                @if let Some(spot) = &todo.spot { " (" (spot_text(page, spot)) ")" }
                                @if page.guide.parts.len() > 1 { " – " (parts(page, &todo.parts)) }
                            }
                        }
                    }
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lean::lean;
    use cueleaf_guide::{
        Extra, Importance, Mark, Measure, Part, Place, Spot, Tip, Todo, Topic, Voice,
    };

    fn id(text: &str) -> Id {
        Id::new(text).unwrap()
    }

    /// Two parts, fourteen measures of which two are uneven, three tips, a task.
    fn guide() -> Guide {
        let mut guide = Guide::new(id("g"), "Fog Bank");
        for (own, name) in [("vn", "Violin"), ("vc", "Cello")] {
            guide.parts.push(Part {
                id: id(own),
                name: name.to_owned(),
                marks: Vec::new(),
                extra: Extra::default(),
            });
        }
        let labels = (1..=14).map(|number| Measure::labelled(&number.to_string()));
        guide.road_map.measures = labels.collect();
        guide.road_map.measures[0].meter = "4/4".parse().ok();
        guide.road_map.measures[11].meter = "5/8".parse().ok();
        guide.road_map.measures[11].groups = "2+3".parse().ok();
        guide.road_map.measures[13].meter = "4/4".parse().ok();
        guide.road_map.measures[6].section = Some("Trio".to_owned());
        for (own, at, text, parts) in [
            ("late", 9, "Listen for the horn", vec!["vc"]),
            ("both", 2, "Stay at the tip", vec![]),
            ("empty", 3, " ", vec![]),
        ] {
            let mut tip = Tip::new(id(own), Spot::measures(at, at), Topic::Bow, text);
            tip.parts = parts.into_iter().map(id).collect();
            guide.tips.push(tip);
        }
        guide.todos.push(Todo {
            id: id("todo"),
            text: "Clap it twice".to_owned(),
            spot: Some(Spot::measures(11, 12)),
            parts: vec![id("vn")],
            extra: Extra::default(),
        });
        guide
    }

    #[test]
    fn it_shows_the_whole_piece_with_who_does_what() {
        let page = overview_page(&guide());
        for expected in [
            "<p>Violin, Cello<",
            "<h3>Trio</h3>",
            "<th scope=row>measure 3</th><td>all parts</td><td>Stay at the tip</td>",
            "<th scope=row>measure 10</th><td>Cello</td><td>Listen for the horn</td>",
            "Measures 12–13: 5/8, 2 + 3: <b>1 2 | 1 2 3</b>",
            "<span class=box></span><span>Clap it twice (measures 12–13) – Violin</span>",
        ] {
            assert!(page.contains(expected), "{expected}\n{page}");
        }
        assert!(page.find("Stay at the tip") < page.find("Listen for the horn"));
        let mut own = guide();
        own.tips[0].importance = Importance::StartHere;
        let text = &own.tips[0].text;
        let expected = format!("<strong class=start-here>Start here</strong> {text}</td>");
        assert!(overview_page(&own).contains(&expected));
        assert_eq!(page.matches("<tr>").count(), 3);
        assert_eq!(overview_page(&guide()), page);
    }

    #[test]
    fn every_measure_is_drawn_once_and_lines_fit() {
        let page = overview_page(&guide());
        assert_eq!(page.matches("class=number").count(), 14);
        // Six measures before the trio break after five.
        assert_eq!(page.matches("<svg class=line").count(), 4);
        for width in page.split("viewBox=0,0,").skip(1) {
            let width: f64 = width.split(',').next().unwrap().parse().unwrap();
            assert!(width <= LINE + 4.0, "{width}");
        }
    }

    #[test]
    fn measures_with_nothing_to_tell_are_drawn_as_one() {
        let mut guide = guide();
        let more = (15..=60).map(|number| Measure::labelled(&number.to_string()));
        guide.road_map.measures.extend(more);
        guide.road_map.measures[39].mark = Some("B".to_owned());
        guide.todos[0].spot = Some(Spot::measures(49, 49));
        let page = overview_page(&guide);
        // The meter comes at 14, B at 40, a task at 50; between them nothing.
        for numbers in ["15–39", "41–49", "51–60"] {
            let run = format!(">{numbers}</text>");
            assert_eq!(page.matches(&run).count(), 1, "{numbers}\n{page}");
        }
        for (count, said) in [(25, "measures 15–39"), (9, "measures 41–49"), (10, "51–60")] {
            assert!(page.contains(&format!("y=51>{count}</text>")), "{count}");
            assert!(page.contains(said), "{said}");
        }
        assert_eq!(page.matches("class=number").count(), 14 + 3 + 2);
        for width in page.split("viewBox=0,0,").skip(1) {
            let width: f64 = width.split(',').next().unwrap().parse().unwrap();
            assert!(width <= LINE + 4.0, "{width}");
        }
        // Where all rest, the bar is that of a long rest.
        assert!(!page.contains("class=\"run long-rest\""));
        for part in &mut guide.parts {
            part.marks.push(Mark {
                measure: 13,
                at: cueleaf_time::BeatSpan::ZERO,
                kind: MarkKind::Rest,
                to: Some(Place::start_of(39)),
                text: String::new(),
                extra: Extra::default(),
            });
        }
        let page = overview_page(&guide);
        assert_eq!(page.matches("class=\"run long-rest\"").count(), 1);
    }

    #[test]
    fn photos_stand_small_and_voice_notes_as_their_words() {
        let mut guide = guide();
        let voice = Voice::of_samples(&[0; 16_000]).unwrap();
        let words = "Hear the <low> string".to_owned();
        guide.tips[1].voice = Some(Voice { words, ..voice });
        assert!(!overview_page(&guide).contains("Voice note"));
        guide.settings.may_share = true;
        let page = overview_page(&guide);
        let expected = "Stay at the tip<br>Voice note, 1 s: Hear the &lt;low&gt; string</td>";
        assert!(page.contains(expected), "{page}");
        assert!(!page.contains("<audio"));
    }

    #[test]
    fn nothing_a_teacher_types_leaves_its_place() {
        let evil = "</style><script>alert(1)</script><img src=x onerror=alert(1)>\"'";
        let mut guide = guide();
        guide.title = evil.to_owned();
        guide.composer = evil.to_owned();
        guide.word = evil.to_owned();
        guide.parts[0].name = evil.to_owned();
        guide.tips[0].text = evil.to_owned();
        guide.todos[0].text = evil.to_owned();
        guide.road_map.measures[3].label = evil.to_owned();
        guide.road_map.measures[3].section = Some(evil.to_owned());
        let page = overview_page(&guide);
        assert!(page.contains("&lt;img"));
        for never in ["<script", "<img", "style=", "onerror=alert(1)>\"'"] {
            assert!(!page.contains(never), "{never}");
        }
        assert_eq!(page.matches("</style>").count(), 1);
        assert!(page.contains("default-src 'none'; style-src 'sha256-"));
    }

    #[test]
    fn the_code_stands_there_once_the_guide_has_an_address() {
        let mut guide = guide();
        let page = overview_page(&guide);
        assert!(!page.contains("<figure") && page.contains("<p>No code stands here, since"));
        guide.settings.address = "https://a.example/play.html".to_owned();
        let page = overview_page(&guide);
        assert_eq!(page.matches("class=qr").count(), 1);
        assert!(!page.contains("No code stands here") && !page.contains("too long"));
    }

    /// Words that no dictionary makes short.
    fn long(letters: usize) -> String {
        let mut state = 1_u32;
        let letter = |_| {
            state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            char::from(b'a' + u8::try_from((state >> 16) % 26).unwrap())
        };
        (0..letters).map(letter).collect()
    }

    #[test]
    fn what_is_too_long_for_paper_is_told_with_the_code_of_its_address() {
        let mut guide = guide();
        let address = "https://a.example/play.html";
        guide.settings.address = address.to_owned();
        // The cello's tip is too long alone, so the whole guide is, too; the violin's fits.
        guide.tips[0].text = long(8_000);
        let page = overview_page(&guide);
        assert_eq!(page.matches("class=qr").count(), 2);
        assert!(page.contains("<figcaption>Violin</figcaption>"));
        let told = format!(
            "<figcaption>Cello: the guide is too long for a code on paper. This code opens the page {address};"
        );
        assert!(page.contains(&told), "{page}");
        let own = qr_picture(address, address).unwrap();
        let own = lean(&own.svg);
        assert!(page.contains(&own));
        // A guide of one part stands for itself.
        let cello = for_student(&guide, Some(&id("vc")));
        let page = overview_page(&cello);
        assert_eq!(page.matches("class=qr").count(), 1);
        assert!(
            page.contains("<figcaption>Fog Bank: the guide is too long") && page.contains(&own)
        );
        // A link may be short enough for a mail and too long for a code.
        guide.tips[0].text = long(4_000);
        let cello = for_student(&guide, Some(&id("vc")));
        assert!(link(&cello, &Address::read(address).unwrap()).is_ok());
        assert!(overview_page(&cello).contains("<figcaption>Fog Bank: the guide is too long"));
    }

    #[test]
    fn fine_codes_are_printed_larger() {
        let mut guide = guide();
        guide.settings.address = "https://a.example/play.html".to_owned();
        guide.tips[0].text = long(2_400);
        let page = overview_page(&guide);
        let side = page.split_once("class=\"qr fine\"").unwrap().1;
        let side = side.split_once("viewBox=\"0 0 ").unwrap().1;
        let side: usize = side.split(' ').next().unwrap().parse().unwrap();
        assert!(side > FINE && side <= 2 * crate::WIDTH_MM, "{side}");
    }

    #[test]
    fn other_languages_speak_throughout() {
        let mut guide = guide();
        guide.settings.language = cueleaf_guide::Language::German;
        let page = overview_page(&guide);
        assert!(page.contains("<html lang=de>"));
        assert!(page.contains("<td>alle Stimmen</td>") && !page.contains("measure "));
    }
}
