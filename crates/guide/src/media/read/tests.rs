use super::*;
use crate::media::{png, wav};

// Pictures of three by two pixels, made for this test with an image library.
const JPEG: &str = "/9j/4AAQSkZJRgABAQAAAQABAAD/2wBDABsSFBcUERsXFhceHBsgKEIrKCUlKFE6PTBCYFVlZF9VXVtqeJmBanGQc1tdhbWGkJ6jq62rZ4C8ybqmx5moq6T/2wBDARweHigjKE4rK06kbl1upKSkpKSkpKSkpKSkpKSkpKSkpKSkpKSkpKSkpKSkpKSkpKSkpKSkpKSkpKSkpKSkpKT/wAARCAACAAMDASIAAhEBAxEB/8QAFQABAQAAAAAAAAAAAAAAAAAAAAT/xAAUEAEAAAAAAAAAAAAAAAAAAAAA/8QAFQEBAQAAAAAAAAAAAAAAAAAABAX/xAAUEQEAAAAAAAAAAAAAAAAAAAAA/9oADAMBAAIRAxEAPwCYAJVf/9k=";
const PROGRESSIVE: &str = "/9j/4AAQSkZJRgABAQAAAQABAAD/2wBDABsSFBcUERsXFhceHBsgKEIrKCUlKFE6PTBCYFVlZF9VXVtqeJmBanGQc1tdhbWGkJ6jq62rZ4C8ybqmx5moq6T/2wBDARweHigjKE4rK06kbl1upKSkpKSkpKSkpKSkpKSkpKSkpKSkpKSkpKSkpKSkpKSkpKSkpKSkpKSkpKSkpKSkpKT/wgARCAACAAMDASIAAhEBAxEB/8QAFQABAQAAAAAAAAAAAAAAAAAAAAP/xAAVAQEBAAAAAAAAAAAAAAAAAAADBP/aAAwDAQACEAMQAAABkAq//8QAFBABAAAAAAAAAAAAAAAAAAAAAP/aAAgBAQABBQJ//8QAFBEBAAAAAAAAAAAAAAAAAAAAAP/aAAgBAwEBPwF//8QAFBEBAAAAAAAAAAAAAAAAAAAAAP/aAAgBAgEBPwF//8QAFBABAAAAAAAAAAAAAAAAAAAAAP/aAAgBAQAGPwJ//8QAFBABAAAAAAAAAAAAAAAAAAAAAP/aAAgBAQABPyF//9oADAMBAAIAAwAAABD/AP/EABQRAQAAAAAAAAAAAAAAAAAAAAD/2gAIAQMBAT8Qf//EABQRAQAAAAAAAAAAAAAAAAAAAAD/2gAIAQIBAT8Qf//EABQQAQAAAAAAAAAAAAAAAAAAAAD/2gAIAQEAAT8Qf//Z";
const JPEG_WITH_EXIF: &str = "/9j/4AAQSkZJRgABAQAAAQABAAD/4QAiRXhpZgAATU0AKgAAAAgAAQEPAAIAAAAEQ2FtAAAAAAD/2wBDABsSFBcUERsXFhceHBsgKEIrKCUlKFE6PTBCYFVlZF9VXVtqeJmBanGQc1tdhbWGkJ6jq62rZ4C8ybqmx5moq6T/2wBDARweHigjKE4rK06kbl1upKSkpKSkpKSkpKSkpKSkpKSkpKSkpKSkpKSkpKSkpKSkpKSkpKSkpKSkpKSkpKSkpKT/wAARCAACAAMDASIAAhEBAxEB/8QAFQABAQAAAAAAAAAAAAAAAAAAAAT/xAAUEAEAAAAAAAAAAAAAAAAAAAAA/8QAFQEBAQAAAAAAAAAAAAAAAAAABAX/xAAUEQEAAAAAAAAAAAAAAAAAAAAA/9oADAMBAAIRAxEAPwCYAJVf/9k=";
const PNG: &str = "iVBORw0KGgoAAAANSUhEUgAAAAMAAAACCAIAAAASFvFNAAAAFUlEQVR4nGM8YSPCwMDAwMDAxAADABSgARy8lijXAAAAAElFTkSuQmCC";
const WEBP: &str =
    "UklGRjIAAABXRUJQVlA4ICYAAACQAQCdASoDAAIAB0CWJaACdLoAA5gA/tom62VWKf8UFwixMAAAAA==";
const WEBP_LOSSLESS: &str = "UklGRh4AAABXRUJQVlA4TBEAAAAvAkAAAAdQniKXov+BiOh/AAA=";
const WEBP_CLEAR: &str = "UklGRlQAAABXRUJQVlA4WAoAAAAQAAAAAgAAAQAAQUxQSAcAAAAAWlpaWlpaAFZQOCAmAAAAkAEAnQEqAwACAAdAliWgAnS6AAOYAP7aJutlVin/FBcIsTAAAAA=";
const WEBP_WITH_EXIF: &str = "UklGRmYAAABXRUJQVlA4WAoAAAAIAAAAAgAAAQAAVlA4ICYAAACQAQCdASoDAAIAB0CWJaACdLoAA5gA/tom62VWKf8UFwixMAAAAEVYSUYaAAAATU0AKgAAAAgAAQEPAAIAAAAEQ2FtAAAAAAA=";

fn bytes(text: &str) -> Vec<u8> {
    STANDARD.decode(text).unwrap()
}

/// A photo of three by two pixels, without words.
pub(crate) fn photo() -> Photo {
    Photo::read(&bytes(PNG)).unwrap()
}

fn problem(bytes: &[u8]) -> Option<MediaProblem> {
    Photo::read(bytes).err()
}

#[test]
fn photos_are_what_their_bytes_say() {
    for (text, kind) in [
        (JPEG, PhotoKind::Jpeg),
        (PROGRESSIVE, PhotoKind::Jpeg),
        (PNG, PhotoKind::Png),
        (WEBP, PhotoKind::Webp),
        (WEBP_LOSSLESS, PhotoKind::Webp),
        (WEBP_CLEAR, PhotoKind::Webp),
    ] {
        let photo = Photo::read(&bytes(text)).unwrap();
        assert_eq!(
            (photo.kind, photo.width, photo.height),
            (kind, 3, 2),
            "{text}"
        );
        assert_eq!(photo.data.text(), text);
        assert_eq!(photo.data.len(), bytes(text).len());
        assert_eq!(photo.sound(), Ok(()));
    }
}

#[test]
fn what_tells_more_than_the_picture_is_refused() {
    for text in [JPEG_WITH_EXIF, WEBP_WITH_EXIF] {
        assert_eq!(problem(&bytes(text)), Some(MediaProblem::Metadata));
    }
    // A film after the picture, as some telephones append it.
    for text in [JPEG, PNG, WEBP] {
        let longer = [bytes(text), b"ftyp".to_vec()].concat();
        assert_eq!(problem(&longer), Some(MediaProblem::Metadata), "{text}");
    }
    // Words in a comment, before the tables.
    let jpeg = bytes(JPEG);
    let comment = [&jpeg[..2], b"\xff\xfe\x00\x05abc", &jpeg[2..]].concat();
    assert_eq!(problem(&comment), Some(MediaProblem::Metadata));
    let png = bytes(PNG);
    let words = [&png[..33], b"\0\0\0\x03tEXta\0b\0\0\0\0", &png[33..]].concat();
    assert_eq!(problem(&words), Some(MediaProblem::Metadata));
    let moved = [&png[..33], b"\0\0\0\0acTL\0\0\0\0", &png[33..]].concat();
    assert_eq!(problem(&moved), Some(MediaProblem::Metadata));
}

#[test]
fn a_picture_tells_its_size_before_it_is_drawn() {
    for (text, kind) in [
        (JPEG, PhotoKind::Jpeg),
        (JPEG_WITH_EXIF, PhotoKind::Jpeg),
        (PROGRESSIVE, PhotoKind::Jpeg),
        (PNG, PhotoKind::Png),
        (WEBP, PhotoKind::Webp),
        (WEBP_LOSSLESS, PhotoKind::Webp),
        (WEBP_WITH_EXIF, PhotoKind::Webp),
    ] {
        let whole = bytes(text);
        assert_eq!(told_picture(&whole), Ok((kind, 3, 2)), "{text}");
        for end in 0..whole.len() {
            let _ = told_picture(&whole[..end]);
        }
    }
    assert_eq!(told_picture(b"GIF89a"), Err(MediaProblem::OtherKind));
    assert_eq!(told_picture(&png::MAGIC), Err(MediaProblem::Damaged));
}

#[test]
fn every_cut_and_many_changes_are_survived() {
    for text in [JPEG, PROGRESSIVE, PNG, WEBP, WEBP_LOSSLESS, WEBP_CLEAR] {
        let whole = bytes(text);
        for end in 0..whole.len() {
            assert!(problem(&whole[..end]).is_some(), "{end} of {text}");
        }
        for at in 0..whole.len() {
            for value in [0, 1, 0x7f, 0xff] {
                let mut changed = whole.clone();
                changed[at] = value;
                let _ = problem(&changed);
            }
        }
    }
}

#[test]
fn a_header_that_lies_is_found_out() {
    let mut photo = photo();
    photo.height = 3;
    assert_eq!(photo.sound(), Err(MediaProblem::NotAsTold));
    photo.height = 2;
    photo.kind = PhotoKind::Jpeg;
    assert_eq!(photo.sound(), Err(MediaProblem::NotAsTold));
    let mut wide = bytes(PNG);
    wide[16..20].copy_from_slice(&2000u32.to_be_bytes());
    assert_eq!(problem(&wide), Some(MediaProblem::TooLarge));
    wide[16..20].copy_from_slice(&0u32.to_be_bytes());
    assert_eq!(problem(&wide), Some(MediaProblem::Damaged));
    for other in [
        &b""[..],
        b"hello",
        b"<svg onload=alert(1)>",
        b"GIF89a\x01\0\x01\0",
    ] {
        assert!(matches!(
            problem(other),
            Some(MediaProblem::OtherKind | MediaProblem::Missing)
        ));
    }
    photo.data = MediaBytes::of_text("\" onerror=\"alert(1)".to_owned());
    assert_eq!(photo.sound(), Err(MediaProblem::NoBase64));
    photo.data = MediaBytes::of_text("A".repeat(2_000_000));
    assert_eq!(photo.sound(), Err(MediaProblem::TooLarge));
    // A voice note is no photo, and the other way round.
    let voice = Voice::of_samples(&[1; 160]).unwrap();
    photo.data = voice.data.clone();
    assert_eq!(photo.sound(), Err(MediaProblem::NotAsTold));
    assert_eq!(Voice::read(&bytes(PNG)), Err(MediaProblem::OtherKind));
}

#[test]
fn voice_notes_are_mono_at_16_khz() {
    let samples: Vec<i16> = (0..32_000).map(|n| (n % 200) as i16).collect();
    let voice = Voice::of_samples(&samples).unwrap();
    assert_eq!((voice.milliseconds, voice.seconds()), (2000, 2));
    let file = voice.data.bytes().unwrap();
    assert_eq!(file.len(), 44 + 64_000);
    assert_eq!(&file[44..48], [0, 0, 1, 0]);
    assert_eq!(Voice::read(&file).unwrap(), voice);
    // The longest, and what is longer is cut.
    let long = Voice::of_samples(&vec![0; 400_000]).unwrap();
    assert_eq!(long.milliseconds, MAX_VOICE_MS);
    assert_eq!(long.data.len(), MAX_VOICE_BYTES);
    let longer = wav::write(&vec![0; 320_016]);
    assert_eq!(Voice::read(&longer), Err(MediaProblem::TooLarge));
    assert_eq!(Voice::of_samples(&[0; 15]), None);
    // Each byte of the header counts.
    for at in 0..44 {
        let mut changed = file.clone();
        changed[at] ^= 1;
        assert!(Voice::read(&changed).is_err(), "{at}");
    }
    assert!(Voice::read(&file[..file.len() - 2]).is_err());
}

#[test]
fn copies_share_their_bytes() {
    let photo = photo();
    let copy = photo.clone();
    assert!(copy.data.is_shared_with(&photo.data));
    let again = Photo::read(&bytes(PNG)).unwrap();
    assert!(!again.data.is_shared_with(&photo.data));
    assert_eq!(again, photo);
    assert_eq!(
        format!("{:?}", photo.data),
        format!("MediaBytes({} letters)", PNG.len())
    );
}
