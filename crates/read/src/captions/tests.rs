//! Files as they are found.

use super::*;

fn read(text: &str) -> Vec<(usize, u64, String)> {
    let all = read_captions(text.as_bytes().to_vec()).unwrap().value;
    all.into_iter()
        .map(|own| (own.number, own.from, own.text))
        .collect()
}

#[test]
fn webvtt_with_everything_around_the_words() {
    let file = "WEBVTT - a talk\nKind: captions\n\nNOTE\nnot said\n\nSTYLE\n::cue { color: red }\n\n\
        REGION\nid:a\n\nintro\n00:01.500 --> 00:04.000 align:start position:0%\n<v Teacher>Good <i>morning</i> &amp; hello\n- again\n\n\
        01:00:02.000 --> 01:00:03.000\n<00:00:02.100><c>one</c> two &lrm;&unknown; a < b\n";
    assert_eq!(
        read(file),
        [
            (1, 1_500, "Good morning & hello - again".to_owned()),
            (2, 3_602_000, "one two &unknown; a < b".to_owned()),
        ]
    );
}

#[test]
fn srt_in_its_varieties() {
    let file = "\u{feff}1\r\n00:00:01,000 --> 00:00:02,500\r\n{\\an8}Take the <b>bow</b>\r\n\r\n00:00:03.25 --> 00:00:04\r\nwithout a number\r\n";
    assert_eq!(
        read(file),
        [
            (1, 1_000, "Take the bow".to_owned()),
            (2, 3_250, "without a number".to_owned())
        ]
    );
}

#[test]
fn plain_text_with_times() {
    let file =
        "My notes\n0:05 Start at the frog.\n[1:10] - Then listen,\nand count.\n1:02:03 The end";
    assert_eq!(
        read(file),
        [
            (2, 5_000, "Start at the frog.".to_owned()),
            (3, 70_000, "Then listen, and count.".to_owned()),
            (5, 3_723_000, "The end".to_owned()),
        ]
    );
}

#[test]
fn rolling_lines_are_said_once() {
    let file = "WEBVTT\n\n00:01.000 --> 00:02.000\n \nstart at<00:01.200><c> the</c>\n\n00:02.000 --> 00:02.010\nstart at the\n \n\n\
        00:02.010 --> 00:04.000\nstart at the\nfrog<00:02.500><c> please</c>\n\n00:04.000 --> 00:05.000\nfrog please\nand again\n";
    assert_eq!(
        read(file),
        [
            (1, 1_000, "start at the".to_owned()),
            (3, 2_010, "frog please".to_owned()),
            (4, 4_000, "and again".to_owned()),
        ]
    );
}

#[test]
fn what_cannot_be_read_is_told_or_refused() {
    let file = "WEBVTT\n\n00:01.000 --> soon\nlost\n\n00:02.000 --> 00:03.000\nkept\n";
    let read = read_captions(file.as_bytes().to_vec()).unwrap();
    assert_eq!(read.value.len(), 1);
    assert!(
        read.findings[0].message.contains("line 3"),
        "{}",
        read.findings[0].message
    );
    for file in ["", "WEBVTT\n\n", "hello"] {
        assert!(read_captions(file.as_bytes().to_vec()).is_err());
    }
    let large = read_captions(vec![b'a'; MAX_CAPTION_BYTES + 1]).unwrap_err();
    assert!(large.to_string().contains("bytes in the captions"));
}
