//! Whatever is packed comes back.
#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    reason = "a test may stop at once"
)]

use cueleaf_pack::{Next, Pieces, from_letters, letters, pack, unpack, with_sizes, without_sizes};
use proptest::prelude::*;

#[test]
fn what_repeats_takes_little_room() {
    let text = "down-bow, up-bow, ".repeat(400).into_bytes();
    let packed = pack(&text);
    assert!(packed.len() < 60, "{}", packed.len());
    assert_eq!(unpack(packed, text.len()), Some(text));
}

#[test]
fn a_module_is_known_by_its_instructions() {
    let mut module = without_sizes(&module()).unwrap();
    let packed = pack(&module);
    assert_eq!(unpack(packed.clone(), module.len()), Some(module.clone()));
    // Without its first bytes nothing tells that they are instructions.
    module[0] = b'x';
    assert!(pack(&module).len() > packed.len());
}

/// A module of 200 functions, each of the binary form: size, no locals, local.get, i32.const,
/// i32.add, end; the last is a long one. Before them is a section of its own, after them the data.
fn module() -> Vec<u8> {
    let mut code = vec![0xc8, 0x01];
    for local in 0..199_u8 {
        code.extend([7, 0, 0x20, local / 9 % 8, 0x41, local % 7, 0x6a, 0x0b]);
    }
    let long = [0x41, 1, 0x1a].repeat(100);
    code.extend([0xae, 0x02, 0].iter().chain(&long).chain(&[0x0b]));
    let mut module = b"\0asm\x01\0\0\0\0\x03\x02hi\x0a".to_vec();
    let [low, high] = [code.len() % 128, code.len() / 128].map(|own| u8::try_from(own).unwrap());
    module.extend([low | 128, high]);
    module.extend(code);
    module.extend(b"\x0b\x06\x01\x01\x03abc");
    module
}

#[test]
fn sizes_of_functions_are_told_by_their_ends() {
    let module = module();
    let without = without_sizes(&module).unwrap();
    assert_eq!(module.len() - without.len(), 201);
    let packed = pack(&[&b"a style first"[..], &without].concat());
    let back = with_sizes(packed.clone()).unwrap();
    assert_eq!(back, [&b"a style first"[..], &module].concat());
    let mut pieces = Pieces::new(packed).unwrap();
    let (mut bytes, mut functions) = (Vec::new(), Vec::new());
    while let Some(next) = pieces.next_piece() {
        match next {
            Next::Byte(byte) => bytes.push(byte),
            Next::Function => functions.push(bytes.len()),
        }
    }
    assert_eq!(bytes.split_off(13), without);
    assert_eq!(functions.len(), 201);
    let sizes: Vec<usize> = functions.windows(2).map(|own| own[1] - own[0]).collect();
    assert_eq!(sizes, [vec![7; 199], vec![302]].concat());
    // No module, one that ends too early, and one whose first section could say its length shorter.
    let mut padded = module[..9].to_vec();
    padded.extend([0x83, 0]);
    padded.extend(&module[10..]);
    for other in [&b"no module"[..], &module[..300], &module[..9], &padded] {
        assert_eq!(without_sizes(other), None);
    }
}

#[test]
fn the_limit_is_kept() {
    let packed = pack(&[7; 100]);
    assert_eq!(unpack(packed.clone(), 99), None);
    assert_eq!(unpack(packed, 100), Some(vec![7; 100]));
    // Too short, or packed in a way that is not known.
    for wrong in [&[][..], &[1, 0, 0], &[2, 0, 0, 1, 9, 9]] {
        assert_eq!(unpack(wrong.to_vec(), 100), None);
    }
    assert_eq!(unpack(pack(&[]), 0), Some(Vec::new()));
}

#[test]
fn letters_mean_nothing_to_a_page() {
    let bytes: Vec<u8> = (0..60_000_u32)
        .map(|own| (own.wrapping_mul(own) >> 7).to_be_bytes()[3])
        .collect();
    let text = letters(&bytes);
    assert!(from_letters(&text).unwrap().starts_with(&bytes));
    assert!(
        text.chars()
            .all(|own| !own.is_control() && !own.is_whitespace())
    );
    assert!(!text.contains(['<', '&', '\\']));
    // 6.75 bits a byte, but for chance.
    let most = bytes.len() * 8 * 102 / 675;
    assert!(text.len() < most, "{} {most}", text.len());
    for wrong in ["<", "a b", "&", "\\", "\n", "€"] {
        assert_eq!(from_letters(wrong), None, "{wrong}");
    }
}

#[test]
fn numbers_beyond_all_sense_come_back() {
    // A section of code whose function tells of some 2^31 groups of locals.
    let mut module = b"\0asm\x01\0\0\0\x0a\x0a\x01".to_vec();
    module.extend([128, 128, 128, 128, 40, 0x0e, 255, 255, 255, 255, 15, 0]);
    let packed = pack(&module);
    assert_eq!(unpack(packed, module.len()), Some(module));
}

proptest! {
    #[test]
    fn any_bytes_come_back(bytes in proptest::collection::vec(any::<u8>(), 0..300), module: bool) {
        let mut whole = if module { b"\0asm".to_vec() } else { Vec::new() };
        whole.extend(bytes);
        let packed = pack(&whole);
        let back = from_letters(&letters(&packed)).unwrap();
        prop_assert!(back.starts_with(&packed) && back.len() < packed.len() + 4);
        prop_assert_eq!(unpack(back, whole.len()), Some(whole));
    }

    #[test]
    fn what_nobody_packed_does_no_harm(mut bytes in proptest::collection::vec(any::<u8>(), 0..200)) {
        if bytes.len() > 2 {
            bytes[..2].fill(0);
        }
        if let Some(back) = unpack(bytes, 2_000) {
            prop_assert!(back.len() <= 2_000);
        }
    }

    #[test]
    fn other_letters_do_no_harm(text: String) {
        let _ = from_letters(&text);
    }
}
