//! Whole files: kinds, encodings, compression, and everything that is no score.
#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    reason = "helpers of tests may fail loudly, as tests do"
)]

mod common;

use common::{file, guide_of, line, meter, note, read};
use cueleaf_guide::Id;
use cueleaf_read::limits::{MAX_DEPTH, MAX_FILE_BYTES};
use cueleaf_read::{Kind, Progress, ScoreReader, draft_checked, read_score, sniff};
use miniz_oxide::deflate::compress_to_vec;
use rawzip::{CompressionMethod, ZipArchiveWriter};
use std::io::Write as _;

fn small() -> String {
    let first = meter("3", "4") + &note(12, "");
    file(&[("Bratsche für Zoë", &[&first, &note(12, "")])])
}

/// Packs files into a zip.
fn zip(entries: &[(&str, &[u8])]) -> Vec<u8> {
    let mut bytes = Vec::new();
    let mut archive = ZipArchiveWriter::new(&mut bytes);
    for (name, content) in entries {
        let builder = archive.new_file(name);
        let builder = builder.compression_method(CompressionMethod::DEFLATE);
        let (mut entry, config) = builder.start().unwrap();
        let mut writer = config.wrap(Packer {
            to: &mut entry,
            content: Vec::new(),
        });
        writer.write_all(content).unwrap();
        let (mut packer, descriptor) = writer.finish().unwrap();
        packer.pack();
        entry.finish(descriptor).unwrap();
    }
    archive.finish().unwrap();
    bytes
}

struct Packer<W: std::io::Write> {
    to: W,
    content: Vec<u8>,
}

impl<W: std::io::Write> Packer<W> {
    fn pack(&mut self) {
        self.to
            .write_all(&compress_to_vec(&self.content, 6))
            .unwrap();
    }
}

impl<W: std::io::Write> std::io::Write for Packer<W> {
    fn write(&mut self, bytes: &[u8]) -> std::io::Result<usize> {
        self.content.extend_from_slice(bytes);
        Ok(bytes.len())
    }

    fn flush(&mut self) -> std::io::Result<()> {
        Ok(())
    }
}

const CONTAINER: &str = "<?xml version=\"1.0\"?><container><rootfiles><rootfile full-path=\"music/a.xml\" media-type=\"application/vnd.recordare.musicxml+xml\"/></rootfiles></container>";

fn error(bytes: &[u8]) -> String {
    read_score(bytes.to_vec()).unwrap_err().to_string()
}

#[test]
fn one_score_in_every_wrapping_is_the_same() {
    let text = small();
    let plain = read(&text);
    let wide = |unit: fn(u16) -> [u8; 2], text: String| -> Vec<u8> {
        text.encode_utf16().flat_map(unit).collect()
    };
    let declared = |name: &str| text.replace("UTF-8", name);
    let narrow: Vec<u8> = declared("ISO-8859-1")
        .chars()
        .map(|letter| u8::try_from(u32::from(letter)).unwrap())
        .collect();
    let mut marked = b"\xef\xbb\xbf".to_vec();
    marked.extend_from_slice(text.as_bytes());
    let files = [
        marked,
        narrow,
        wide(u16::to_le_bytes, format!("\u{feff}{}", declared("UTF-16"))),
        wide(u16::to_be_bytes, format!("\u{feff}{}", declared("UTF-16"))),
        wide(u16::to_le_bytes, declared("UTF-16LE")),
        text.replace('\n', "\r\n").into_bytes(),
        text.replace(
            "<score-",
            "<!DOCTYPE score-partwise PUBLIC \"x\" \"http://localhost/x.dtd\">\n<score-",
        )
        .replace(
            "</<!DOCTYPE score-partwise PUBLIC \"x\" \"http://localhost/x.dtd\">\n",
            "</",
        )
        .into_bytes(),
        zip(&[
            ("mimetype", b"application/vnd.recordare.musicxml"),
            ("META-INF/container.xml", CONTAINER.as_bytes()),
            ("other.xml", b"<other/>"),
            ("music/a.xml", text.as_bytes()),
        ]),
        // Without a container, or with one that names what is not there: the first score.
        zip(&[
            ("readme.txt", b"hello"),
            ("score.musicxml", text.as_bytes()),
        ]),
        zip(&[
            ("META-INF/container.xml", b"<container/>"),
            ("b.xml", text.as_bytes()),
        ]),
    ];
    for bytes in files {
        assert!(matches!(
            sniff(&bytes),
            Kind::MusicXml | Kind::CompressedMusicXml
        ));
        let score = read_score(bytes).unwrap();
        assert_eq!(score, plain);
    }
    let mut wrong = text.replace('ë', "#").into_bytes();
    let at = wrong.iter().position(|byte| *byte == b'#').unwrap();
    wrong[at] = 0xeb;
    let wrong: Vec<u8> = String::from_utf8_lossy(&wrong)
        .contains('\u{fffd}')
        .then_some(wrong)
        .unwrap();
    let score = read_score(wrong).unwrap();
    assert_eq!(score.findings[0].code, "encoding-mistaken");
}

#[test]
fn timewise_is_read_as_partwise() {
    let (a, b) = (meter("3", "4") + &note(12, ""), note(12, ""));
    let partwise = file(&[("A", &[&a, &b]), ("B", &[&a, &b])]);
    let start = partwise.find("<part id").unwrap();
    let column = |number: u32, content: &str| {
        format!(
            "<measure number=\"{number}\"><part id=\"P1\">{content}</part><part id=\"P2\">{content}</part></measure>"
        )
    };
    let timewise = format!(
        "{}{}{}</score-timewise>",
        partwise[..start].replace("score-partwise", "score-timewise"),
        column(1, &a),
        column(2, &b)
    );
    assert_eq!(read(&timewise), read(&partwise));
    // A part that a measure leaves out rests in it.
    let gap = timewise.replacen(&format!("<part id=\"P2\">{b}</part>"), "", 1);
    let score = read(&gap).value;
    assert_eq!(score.parts[1].measures.len(), 2);
    assert!(score.parts[1].measures[1].is_rest());
    assert_eq!(score.parts[1].measures[1].label, "2");
}

#[test]
fn steps_of_any_size_give_the_same() {
    let text = small();
    let plain = read(&text);
    for budget in [1, 7, 100, 1_000_000] {
        let mut reader = ScoreReader::new(text.clone().into_bytes());
        let (mut steps, mut last) = (0, 0);
        while let Progress::Working { read, of } = reader.step(budget) {
            assert!(read >= last && read < of, "{read} of {of}");
            last = read;
            steps += 1;
            assert!(steps < 10_000);
        }
        assert!(budget > 100 || steps > 4, "{steps}");
        assert_eq!(reader.finish().unwrap(), plain);
    }
}

#[test]
fn what_is_no_score_is_refused_with_the_reason_and_a_way_on() {
    let html = "<!doctype html><html><body>x</body></html>";
    let opus = "<?xml version=\"1.0\"?>\n<opus version=\"4.0\"><title>x</title></opus>";
    let text = small();
    for (bytes, expected) in [
        (&b""[..], "the file is empty; export or download it again"),
        (
            b"hello",
            "this is no XML, no compressed score and no MIDI file; open a file that was exported as MusicXML (.musicxml, .xml or .mxl)",
        ),
        (
            b"\x89PNG\r\n\x1a\n",
            "this is no XML, no compressed score and no MIDI file; open a file that was exported as MusicXML (.musicxml, .xml or .mxl)",
        ),
        (
            html.as_bytes(),
            "line 1: this is XML but no MusicXML score: it is a <html>; export the part as MusicXML",
        ),
        (
            opus.as_bytes(),
            "this file is an opus, a list of scores, and holds no music; open one of the scores it lists",
        ),
        (
            b"<?xml version=\"1.0\"?>\n\n<svg/>",
            "line 3: this is XML but no MusicXML score: it is a <svg>; export the part as MusicXML",
        ),
        (
            b"<score-partwise/>",
            "there is no part in this score; export the part again, with its notes",
        ),
        (
            text.replace("<measure", "<other")
                .replace("</measure", "</other")
                .as_bytes(),
            "there are no measures in this score; export the part again, with its notes",
        ),
        (
            text.replace("</measure>", "</mesure>").as_bytes(),
            "line 4: <measure> is ended by </mesure>; the file is damaged: export or download it again",
        ),
        (
            &text.as_bytes()[..text.len() - 60],
            "line 4: the file ends in the middle in measure 2 of Bratsche für Zoë; part of it is missing: export or download it again",
        ),
        (
            &text.as_bytes()[..text.find("<measure").unwrap() + 5],
            "line 4: the file ends in the middle in Bratsche für Zoë; part of it is missing: export or download it again",
        ),
    ] {
        assert_eq!(error(bytes), expected);
    }
}

#[test]
fn zip_files_that_are_no_scores_are_refused() {
    let none = zip(&[
        ("notes.txt", b"hello"),
        ("META-INF/container.xml", CONTAINER.as_bytes()),
    ]);
    assert_eq!(
        error(&none),
        "the zip file: there is no score in it; open the .musicxml or .mxl file itself"
    );
    let whole = zip(&[("a.xml", small().as_bytes())]);
    assert_eq!(
        error(&whole[..whole.len() / 2]),
        "the zip file: it is incomplete or no zip file; it may be damaged: export or download it again"
    );
    let mut damaged = whole.clone();
    for byte in &mut damaged[45..80] {
        *byte = 0xff;
    }
    assert_eq!(
        error(&damaged),
        "the zip file: its contents cannot be unpacked; it may be damaged: export or download it again"
    );
    // The score in it is another zip file.
    assert!(error(&zip(&[("a.xml", &whole)])).starts_with("this is no XML"));
}

#[test]
fn a_zip_bomb_is_not_unpacked() {
    let mut text = small().replace("</score-partwise>\n", "");
    text.push_str(&" ".repeat(3_000_000));
    text.push_str("</score-partwise>");
    let bomb = zip(&[("a.xml", text.as_bytes())]);
    assert!(bomb.len() < 10_000);
    let message = error(&bomb);
    assert!(
        message.starts_with("too large: ")
            && message.contains("bytes in the unpacked score, and the limit is "),
        "{message}"
    );
}

#[test]
fn a_file_of_100_mb_is_read_and_one_above_the_limit_is_refused() {
    let head = small();
    let (before, after) = head.split_at(head.find("<part-list>").unwrap());
    let mut big = before.as_bytes().to_vec();
    big.extend_from_slice(b"<!--");
    big.resize(100_000_000, b' ');
    big.extend_from_slice(b"-->");
    big.extend_from_slice(after.as_bytes());
    assert_eq!(read_score(big).unwrap(), read(&head));
    assert_eq!(
        error(&vec![b' '; MAX_FILE_BYTES + 1]),
        format!(
            "too large: {} bytes in the file, and the limit is {MAX_FILE_BYTES}; save the one part you need as a file of its own and open that",
            MAX_FILE_BYTES + 1
        )
    );
}

#[test]
fn depth_and_counts_have_limits() {
    let deep = format!(
        "{}{}",
        "<a>".repeat(MAX_DEPTH + 1),
        "</a>".repeat(MAX_DEPTH + 1)
    );
    let message = error(
        small()
            .replace("<part-list>", &format!("{deep}<part-list>"))
            .as_bytes(),
    );
    assert!(
        message.starts_with("too large: 65 elements inside each other"),
        "{message}"
    );
    let parts = "<score-part id=\"X\"/>".repeat(201);
    let message = error(
        small()
            .replace("<part-list>", &format!("<part-list>{parts}"))
            .as_bytes(),
    );
    assert!(
        message.starts_with("too large: 201 parts, and the limit is 200"),
        "{message}"
    );
    let measures = "<measure/>".repeat(200_001);
    let message = error(
        small()
            .replace("<measure number=\"1\">", &format!("{measures}<measure>"))
            .as_bytes(),
    );
    assert!(
        message.starts_with("too large: 200003 measures, and the limit is 200000"),
        "{message}"
    );
}

#[test]
fn entities_are_never_expanded() {
    let bomb = "<!DOCTYPE score-partwise [<!ENTITY a \"ha\"><!ENTITY b \"&a;&a;&a;\"><!ENTITY x SYSTEM \"file:///etc/hostname\">]>\n<score-partwise";
    let text = small().replacen("<score-partwise", bomb, 1).replace(
        "<part-name>Bratsche für Zoë",
        "<part-name>A&b;&x;&amp;&#66;&#x43;",
    );
    let score = read(&text);
    assert_eq!(score.value.parts[0].name, "A&BC");
    let codes: Vec<&str> = score.findings.iter().map(|finding| finding.code).collect();
    assert_eq!(codes, ["entity-left-out"]);
    // In an attribute too: what the file defines stays a name.
    let text = small()
        .replacen("<score-partwise", bomb, 1)
        .replace("number=\"1\"", "number=\"&b;&#49;\"");
    assert!(!read(&text).value.parts[0].measures[0].label.contains("ha"));
}

#[test]
fn parts_with_little_in_them_rest() {
    let first = meter("3", "4") + &note(12, "");
    let text = file(&[
        ("A", &[&first, &note(12, "")]),
        ("B", &[]),
        ("C", &[&first]),
    ]);
    let score = read(&text);
    let codes: Vec<&str> = score.findings.iter().map(|finding| finding.code).collect();
    assert_eq!(codes, ["part-without-measures", "part-ends-early"]);
    for part in &score.value.parts {
        assert_eq!(part.measures.len(), 2);
        assert_eq!(part.measures[1].start, "3".parse().unwrap());
    }
    let text = file(&[("A", &["", ""])]);
    let guide = guide_of(&read(&text).value);
    let lines: Vec<String> = guide.value.road_map.measures.iter().map(line).collect();
    assert_eq!(lines, ["1", "2"]);
    // A part that the list forgot is read all the same.
    let text = text.replace("<part id=\"P1\">", "<part id=\"Q\">");
    let score = read(&text);
    let codes: Vec<&str> = score.findings.iter().map(|finding| finding.code).collect();
    assert_eq!(codes, ["part-without-measures", "part-not-listed"]);
}

#[test]
fn what_is_about_one_part_is_told_to_those_who_take_it() {
    let slur = note(
        12,
        "<notations><slur type=\"stop\" number=\"1\"/></notations>",
    );
    let text = file(&[
        ("A", &[&(meter("3", "4") + &slur), &note(12, "")]),
        ("B", &[]),
        ("C", &[&(meter("3", "4") + &note(16, "")), &note(12, "")]),
    ]);
    let score = read(&text);
    let told = |wanted: &[&str]| -> Vec<&str> {
        let drafted = draft_checked(&score, wanted, Id::new("g").unwrap()).unwrap();
        drafted.findings.iter().map(|found| found.code).collect()
    };
    // A measure that is too long is everybody's matter.
    assert_eq!(
        told(&[]),
        [
            "no-tempo",
            "part-without-measures",
            "slur-without-start",
            "part-overfull"
        ]
    );
    let rest = |wanted: &[&str]| told(wanted).split_off(1);
    assert_eq!(rest(&["a"]), ["slur-without-start", "part-overfull"]);
    assert_eq!(rest(&["B"]), ["part-without-measures", "part-overfull"]);
    assert_eq!(rest(&["C"]), ["part-overfull"]);
    assert!(draft_checked(&score, &["D"], Id::new("g").unwrap()).is_err());
}

#[test]
fn long_labels_and_texts_are_cut() {
    let long = "7".repeat(5_000);
    let text = small()
        .replace("number=\"1\"", &format!("number=\"{long}\""))
        .replace("Bratsche", &long);
    let score = read(&text).value;
    assert_eq!(score.parts[0].name.chars().count(), 1_000);
    let guide = guide_of(&score).value;
    assert_eq!(guide.road_map.measures[0].label.len(), 32);
    assert!(guide.parts[0].id.as_str().len() <= 64);
}
