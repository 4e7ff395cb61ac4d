//! Texts as parts print them.

use super::*;
use Meaning::{Double, Fade, Grow, Same, ToBefore, ToFirst};
use PlayingWay::Unmuted;

fn check(meaning: &[Meaning], texts: &[&str]) {
    for text in texts {
        assert_eq!(meanings(text), meaning, "{text}");
    }
}

#[test]
fn ways_of_playing_in_five_languages() {
    check(
        &[Play(Pizzicato)],
        &["pizz.", "Pizzicato", "(pizz.)", "gezupft", "pizz. secco"],
    );
    check(
        &[Play(Arco)],
        &[
            "arco",
            "Arco.",
            "coll’arco",
            "col arco",
            "gestrichen",
            "mit Bogen",
            "Bogen",
            "avec l'archet",
            "con el arco",
        ],
    );
    check(
        &[],
        &[
            "punta d'arco",
            "tutto arco",
            "sul ponticello",
            "col legno",
            "div. a 2",
            "dolce",
        ],
    );
    check(
        &[Play(Muted)],
        &[
            "con sord.",
            "con sordino",
            "Con Sordini",
            "with mute",
            "muted",
            "mit Dämpfer",
            "avec sourdine",
            "sourdines",
            "con sordina",
            "Dämpfer auf",
        ],
    );
    check(
        &[Play(Unmuted)],
        &[
            "senza sord.",
            "via sordini",
            "sord. via",
            "mutes off",
            "ohne Dämpfer",
            "sans sourdines",
            "Ôtez la sourdine",
            "sin sordina",
        ],
    );
    check(&[Play(Unmuted), Play(Arco)], &["senza sord., arco"]);
}

#[test]
fn tempo_words_do_not_carry_numbers() {
    check(
        &[Gradual],
        &[
            "rit.",
            "poco rit.",
            "molto rall. e dim".trim_end_matches(" e dim"),
            "accel.",
            "string.",
            "(string.)",
            "allargando",
            "en ralentissant",
            "Cédez",
            "langsamer werdend",
        ],
    );
    check(&[Gradual, Fade], &["rall. e dim."]);
    check(&[], &["senza rit.", "C string", "sul G", "III string only"]);
    check(
        &[ToBefore],
        &["a tempo", "A Tempo", "in tempo", "au Mouvement", "im Tempo"],
    );
    check(
        &[ToFirst],
        &[
            "Tempo I",
            "Tempo primo",
            "tempo Iº",
            "Tempo 1°",
            "a tempo primo",
            "1er mouvement",
        ],
    );
    check(
        &[Tempo],
        &[
            "Allegro",
            "Poco più mosso",
            "Un poco meno mosso",
            "Sehr langsam",
            "Tempo di menuetto",
            "Vif",
            "ritenuto",
        ],
    );
}

#[test]
fn growing_and_fading() {
    check(&[Grow], &["cresc.", "poco a poco crescendo"]);
    check(&[Fade], &["dim.", "decresc.", "diminuendo molto"]);
}

#[test]
fn jumps_say_how_far() {
    check(
        &[DaCapo(JumpKind::Plain)],
        &["D.C.", "D. C.", "da capo", "DC"],
    );
    check(
        &[DaCapo(JumpKind::ToFine)],
        &["D.C. al Fine", "D.C.\nal Fine", "Da Capo al fine."],
    );
    check(
        &[DalSegno(JumpKind::ToCoda)],
        &["D.S. al Coda", "dal segno al coda", "D.S. alla Coda"],
    );
    check(&[ToCoda], &["To Coda", "to coda"]);
    check(&[Coda], &["Coda", "CODA"]);
    check(&[Fine], &["Fine", "fine.", "FINE"]);
    check(&[DaCapo(JumpKind::Plain)], &["Menuetto D.C."]);
    check(&[], &["a fine sound", "vi d.c. ma", "gli DC"]);
}

#[test]
fn a_mute_taken_off_is_not_put_on() {
    check(
        &[Play(Unmuted)],
        &[
            "togliere la sordina",
            "Togliete i sordini",
            "levare la sordina",
            "levate le sordine",
            "leva sord.",
            "sourdine ôtée",
            "sourdines ôtées",
            "ohne Sordine",
            "ohne Sordinen",
            "senza la sordina",
            "take the mute off",
            "take off mutes",
            "sans la sourdine",
        ],
    );
    check(
        &[Play(Muted)],
        &[
            "sord.",
            "Sordino",
            "sempre con sord.",
            "sempre sord.",
            "metti la sordina",
            "mettere sord.",
            "put on the mute",
            "mettez les sourdines",
            "sord., p",
        ],
    );
    check(&[Play(Muted), Play(Pizzicato)], &["sord., pizz."]);
    // Bare words among others say nothing certain.
    check(
        &[],
        &["sordina pronta", "mute ready", "preparare la sordina"],
    );
}

#[test]
fn words_that_are_no_tempo() {
    check(
        &[],
        &[
            "meno f",
            "meno mf",
            "meno p",
            "meno forte",
            "slow bow",
            "lento vibrato",
            "fast spicc.",
            "with a steady bow",
            "slow, narrow vibr.",
            "quick bow change",
            "schneller Bogenstrich",
        ],
    );
    check(&[Play(Pizzicato)], &["quick change to pizz."]);
    check(
        &[Tempo, Play(Arco)],
        &["Slow, with the bow", "Langsam, mit Bogen"],
    );
    check(&[Tempo], &["meno mosso", "Allegro, meno f", "meno"]);
}

#[test]
fn the_same_tempo_and_the_double() {
    check(
        &[Same],
        &[
            "L'istesso tempo",
            "L’istesso tempo",
            "Listesso tempo",
            "Istesso tempo",
            "lo stesso tempo",
            "Stesso tempo",
            "same tempo",
            "dasselbe Tempo",
            "même mouvement",
        ],
    );
    check(&[Double], &["Doppio movimento", "doppio movimento"]);
}

#[test]
fn tempo_words_that_are_also_character() {
    check(
        &[Tempo],
        &[
            "Con moto",
            "Andante con moto",
            "Animato",
            "più animato",
            "Tranquillo",
            "Poco sostenuto",
            "meno tranquillo",
        ],
    );
    // Inside the line, in small letters, they speak of the sound.
    check(&[], &["tranquillo", "sostenuto", "animato", "con molto"]);
}

#[test]
fn what_comes_by_and_by_is_gradual() {
    check(
        &[Gradual],
        &[
            "poco a poco più mosso",
            "nach und nach schneller",
            "allmählich langsamer",
            "peu à peu plus vite",
            "immer schneller",
            "gradually slower",
            "little by little faster",
            "sempre più mosso",
        ],
    );
    check(&[Tempo], &["sempre mosso", "immer langsam"]);
}

#[test]
fn one_plucked_note_of_the_left_hand_is_no_pizzicato() {
    check(
        &[LeftHandPizz],
        &[
            "left hand pizz.",
            "pizz. (l.h.)",
            "l.h. pizz.",
            "pizz. m.s.",
            "pizz. mano sinistra",
            "pizz. main gauche",
            "pizz. m. g.",
            "pizz. mit der linken Hand",
            "LH pizz.",
        ],
    );
    check(&[Play(Pizzicato)], &["pizz. (r.h.)", "pizz. molto"]);
}
