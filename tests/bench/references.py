"""The work of the bench as reference libraries do it: one line of JSON.

    references.py plan GUIDE.json MEASURES     music21 and pretty_midi, one tempo map
    references.py read FILE …                  music21 and partitura, the same scores

Times are in seconds, the shortest of a few runs; the start of Python and the imports are not in
them. A gradual change is a change at once here, since neither library runs one: the number of
tempi is the same.
"""

import io
import json
import sys
import time
import warnings
from fractions import Fraction

import mido
import partitura
import pretty_midi
from music21 import bar, converter, environment, meter, note, stream, tempo

warnings.simplefilter("ignore")
environment.set("autoDownload", "deny")

#: Of a quarter note; pretty_midi takes a file of more than ten million ticks for a broken one.
TICKS = 60


def best(work, times=3):
    """Give the shortest time and what the work gave."""
    shortest, result = float("inf"), None
    for _ in range(times):
        start = time.perf_counter()
        result = work()
        shortest = min(shortest, time.perf_counter() - start)
    return shortest, result


def written(path):
    """Give (length in quarters, meter or None, tempo or None, repeat from, back) per measure."""
    measures, length = [], Fraction(4)
    with open(path, encoding="utf-8") as file:
        guide = json.load(file)
    for own in guide["road_map"]["measures"]:
        if "meter" in own:
            upper, lower = own["meter"].split("/")
            length = Fraction(4 * sum(int(one) for one in upper.split("+")), int(lower))
        marks = own.get("tempo", [])
        per_minute = float(marks[0]["tempo"].split("=")[1]) if marks else None
        measures.append((length, own.get("meter"), per_minute, own.get("repeat_from", False), "repeat_back" in own))
    return measures


def played(measures):
    """Give the indices in the order of play; the repeats of the bench do not nest."""
    order, begin, index, again = [], 0, 0, False
    while index < len(measures):
        order.append(index)
        if measures[index][3]:
            begin = index
        if measures[index][4] and not again:
            index, again = begin, True
            continue
        if measures[index][4]:
            again = False
        index += 1
    return order


def midi_file(measures):
    """Write the played measures with their tempi and a note at each start."""
    file, track = mido.MidiFile(type=0, ticks_per_beat=TICKS), mido.MidiTrack()
    current, sounding = [], 120.0
    for _, _, per_minute, _, _ in measures:
        sounding = per_minute or sounding
        current.append(sounding)
    before = None
    for index in played(measures):
        if current[index] != before:
            before = current[index]
            track.append(mido.MetaMessage("set_tempo", tempo=round(60_000_000 / before)))
        track.append(mido.Message("note_on", note=60, velocity=64))
        track.append(mido.Message("note_off", note=60, time=int(measures[index][0] * TICKS)))
    file.tracks.append(track)
    data = io.BytesIO()
    file.save(file=data)
    return data.getvalue()


def by_pretty_midi(measures):
    data = midi_file(measures)
    build, song = best(lambda: pretty_midi.PrettyMIDI(io.BytesIO(data)))
    end, asked = song.get_end_time(), 2_000

    def look_up():
        for step in range(asked):
            song.tick_to_time(song.time_to_tick(step * 0.6180339887498949 % 1 * end))

    return {"build": build, "look_up": best(look_up)[0] / asked, "seconds": end}


def by_music21(measures):
    def build():
        part = stream.Part()
        for index, (length, signature, per_minute, begins, back) in enumerate(measures):
            own = stream.Measure(number=index + 1)
            if signature:
                own.insert(0, meter.TimeSignature(signature))
            if per_minute:
                own.insert(0, tempo.MetronomeMark(number=per_minute))
            own.append(note.Note(quarterLength=length))
            if begins:
                own.leftBarline = bar.Repeat(direction="start")
            if back:
                own.rightBarline = bar.Repeat(direction="end")
            part.append(own)
        return part.expandRepeats()

    took, song = best(build, 1)
    seconds, total = best(lambda: song.flatten().secondsMap[-1]["endTimeSeconds"], 1)
    return {"build": took + seconds, "seconds": total}


def read(paths):
    def one(path):
        return {
            "music21": best(lambda: converter.parse(path, forceSource=True), 2)[0],
            "partitura": best(lambda: partitura.load_musicxml(path), 2)[0],
        }

    return {path: one(path) for path in paths}


def main(kind, first, *more):
    if kind == "read":
        return read([first, *more])
    measures = written(first)
    told = {"pretty_midi": by_pretty_midi(measures)}
    # music21 needs minutes for ten thousand measures; the ratio is taken at a thousand.
    if len(measures) <= 1_000:
        told["music21"] = by_music21(measures)
    return told


if __name__ == "__main__":
    print(json.dumps(main(*sys.argv[1:])))
