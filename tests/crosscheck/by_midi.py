"""Played measures written as a Standard MIDI File and their seconds read back.

mido writes the tempo map of the timeline, in the order of play: `set_tempo` wherever the tempo
changes, a note at each start of a measure. The file is then read by mido, with its own clock, and
by pretty_midi, which reads tempi from the first track and so gets them there. `set_tempo` holds
whole microseconds a quarter note (Standard MIDI Files 1.0), which bounds the difference: half a
microsecond for each quarter that was played.
"""

import io
import math
import warnings
from fractions import Fraction

import mido
import pretty_midi

#: The highest division that a file may have: fifteen bits.
MOST_TICKS = 32767

#: What adding floats may cost, in seconds.
ROUNDING = 1e-9


class Unfit(Exception):
    """The positions need a finer division than a file can hold."""


def played_changes(told):
    """Give (tempo changes, starts, end) in quarters played, in the order of play."""
    tempi, starts = told.tempi(), told.starts()
    changes, measure_starts, now = [], [], Fraction(0)
    for index in told.order:
        begin, end = starts[index], starts[index] + told.lengths[index]
        measure_starts.append(now)
        before = [(start, tempo) for start, tempo in tempi if start <= begin]
        inside = [(start, tempo) for start, tempo in tempi if begin < start < end]
        for start, tempo in [(begin, before[-1][1])] + inside:
            if not changes or changes[-1][1] != tempo:
                changes.append((now + start - begin, tempo))
        now += told.lengths[index]
    return changes, measure_starts, now


def midi_file(changes, starts, end):
    """Write the bytes of a file with one track, and give them with its division."""
    places = [place for place, _ in changes] + starts + [end]
    ticks = math.lcm(4, *(place.denominator for place in places))
    if ticks > MOST_TICKS:
        raise Unfit(f"a division of {ticks}")
    events = [
        (int(place * ticks), 0, mido.MetaMessage("set_tempo", tempo=round(60_000_000 / tempo)))
        for place, tempo in changes]
    for first, last in zip(starts, starts[1:] + [end]):
        if last > first:
            on = mido.Message("note_on", note=60, velocity=64)
            events.append((int(first * ticks), 2, on))
            events.append((int(last * ticks), 1, mido.Message("note_off", note=60)))
    track, before = mido.MidiTrack(), 0
    for tick, _, message in sorted(events, key=lambda event: event[:2]):
        track.append(message.copy(time=tick - before))
        before = tick
    track.append(mido.MetaMessage("end_of_track"))
    # Type 0 is one track, where every reader looks for tempi.
    file, data = mido.MidiFile(type=0, ticks_per_beat=ticks), io.BytesIO()
    file.tracks.append(track)
    file.save(file=data)
    return data.getvalue()


def by_mido(data):
    """Give the seconds of the notes and of the last one's end, as mido counts them."""
    file = mido.MidiFile(file=io.BytesIO(data))
    onsets, now = [], 0.0
    for message in file:
        now += message.time
        if message.type == "note_on" and message.velocity:
            onsets.append(now)
    return onsets + [now]


def by_pretty_midi(data):
    """Give the same as pretty_midi counts it."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        notes = pretty_midi.PrettyMIDI(io.BytesIO(data)).instruments[0].notes
    return sorted(note.start for note in notes) + [max(note.end for note in notes)]


def problems(told, read_back):
    """Give the measures whose seconds are not those that a reader finds."""
    changes, starts, end = played_changes(told)
    seconds, last = told.played_seconds()
    lengths = [following - start for start, following in zip(starts, starts[1:] + [end])]
    # A measure that lasts nothing has no note.
    wanted = [
        (place, float(second))
        for place, second, length in zip(starts, seconds, lengths) if length > 0
    ] + [(end, float(last))]
    found = read_back(midi_file(changes, starts, end))
    if len(found) != len(wanted):
        return [f"{len(found)} places read back, {len(wanted)} written"]
    return [
        f"at quarter {place}: ours {ours}, read back {theirs}"
        for (place, ours), theirs in zip(wanted, found)
        if abs(ours - theirs) > 0.5e-6 * float(place) + ROUNDING
    ]


READERS = {"mido": by_mido, "pretty_midi": by_pretty_midi}


def checks(name, told):
    """Give (name, problems) of each check of one timeline without gradual changes."""
    if not told.order or not any(told.lengths[index] for index in told.order):
        return
    for reader, read_back in READERS.items():
        try:
            yield f"{name}: seconds, {reader}", problems(told, read_back)
        except Unfit:
            # Only parts of a quarter that no division holds; none of the scores needs them.
            yield f"{name}: seconds, {reader}", ["no division of a file holds its positions"]
