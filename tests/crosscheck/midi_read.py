"""MIDI files written by mido and read by the command, held against mido and pretty_midi.

Measures start where pretty_midi finds downbeats, to the microsecond; meters and positions are
those written, to the tick. `set_tempo` holds whole microseconds a quarter note; for one that is
no whole number a minute the command takes the simplest number that is written so, which bounds
the difference: a microsecond for each quarter that was played.
"""

import random
import tempfile
import warnings
from fractions import Fraction
from pathlib import Path

import mido
import pretty_midi

import ours

#: What adding floats may cost, in seconds.
ROUNDING = 1e-6

METERS = [(4, 4), (3, 4), (2, 4), (5, 8), (6, 8), (7, 8), (9, 8), (2, 2), (12, 8), (5, 4)]


def written(seed, exact):
    """Make a file of a few stretches; give it with its meters and tempi by measure."""
    dice = random.Random(seed)
    ticks = dice.choice([96, 120, 480, 960])
    file = mido.MidiFile(type=1, ticks_per_beat=ticks)
    head, notes = mido.MidiTrack(), mido.MidiTrack()
    file.tracks += [head, notes]
    measures, waited = [], 0
    for _ in range(dice.randint(2, 6)):
        upper, lower = dice.choice(METERS)
        micros = dice.choice([400_000, 500_000, 625_000, 750_000]) if exact else round(60_000_000 / dice.randint(40, 200))
        head.append(mido.MetaMessage("time_signature", numerator=upper, denominator=lower, time=waited))
        head.append(mido.MetaMessage("set_tempo", tempo=micros))
        count = dice.randint(1, 9)
        length = ticks * 4 * upper // lower
        waited = count * length
        for _ in range(count):
            measures.append((f"{upper}/{lower}", Fraction(4 * upper, lower), micros))
            notes.append(mido.Message("note_on", note=dice.randint(40, 90), velocity=64))
            notes.append(mido.Message("note_off", note=notes[-1].note, time=length))
    return file, with_pickup(measures)


def with_pickup(measures):
    """Take a first meter that holds for one measure, before a longer one, for a pickup.

    (Our decision: the meter is the one after it, and the measure is as short as it is.)
    """
    (_, length, micros), (meter, full, _) = measures[0], measures[1] if len(measures) > 1 else measures[0]
    return [(meter, length, micros)] + measures[1:] if length < full else measures


def problems(command, file, measures, tolerance):
    """Compare one file; give lines that tell what differs."""
    with tempfile.TemporaryDirectory() as folder, warnings.catch_warnings():
        warnings.simplefilter("ignore")
        path = Path(folder) / "made.mid"
        file.save(path)
        told = ours.run(command, path)
        heard = pretty_midi.PrettyMIDI(str(path))
        downbeats = list(heard.get_downbeats())
        length = mido.MidiFile(path).length
    lines = []
    if told.meters != [meter for meter, _, _ in measures]:
        lines.append(f"meters {told.meters}")
    start = Fraction(0)
    for index, (_, quarters, _) in enumerate(measures):
        if index < len(told.own_starts) and told.own_starts[index] != start:
            lines.append(f"measure {index} starts at {told.own_starts[index]}, written {start}")
        start += quarters
    seconds, end = told.played_seconds()
    if len(downbeats) < len(seconds):
        lines.append(f"{len(seconds)} measures, pretty_midi finds {len(downbeats)} downbeats")
    for index, (own, theirs) in enumerate(zip(seconds, downbeats)):
        if abs(own - theirs) > tolerance(index):
            lines.append(f"measure {index}: ours {own}, pretty_midi {theirs}")
    if abs(end - length) > tolerance(len(measures)):
        lines.append(f"end: ours {end}, mido {length}")
    return lines


def checks(command):
    """Give (name, problems) of each file."""
    for seed in range(24):
        exact = seed % 2 == 0
        file, measures = written(seed, exact)
        before = [Fraction(0)]
        for _, quarters, _ in measures:
            before.append(before[-1] + quarters)
        tolerance = lambda index: ROUNDING + (0 if exact else 1e-6 * float(before[index]))
        kind = "whole tempi" if exact else "rounded tempi"
        yield f"MIDI file {seed}, {kind}: measures, mido and pretty_midi", problems(command, file, measures, tolerance)


def self_checks():
    """Give (name, whether it holds) of what the checks themselves rest on."""
    file, measures = written(1, False)
    ticks = sum(message.time for message in file.tracks[1])
    whole = sum((quarters for _, quarters, _ in measures), Fraction(0))
    yield "MIDI: the notes last as long as the measures", Fraction(ticks, file.ticks_per_beat) == whole
