"""What the command writes beside the page, read back by outside programs.

Captions and chapters by webvtt-py, MIDI by mido and pretty_midi, the click track by scipy and by a
reading of its chunks, the zip by Python's own zipfile. What they should hold is worked out here
from the guides with fractions; only the order of play and gradual tempi are the command's own,
which other checks look at.
"""

import html
import json
import random
import struct
import subprocess
import tempfile
import warnings
import zipfile
from fractions import Fraction
from html.parser import HTMLParser
from pathlib import Path
from urllib.parse import unquote

import mido
import pretty_midi
import webvtt
from scipy.io import wavfile

import scores

#: The stated bounds of the MIDI file: seconds for each quarter played before a place.
DRIFT = 0.51e-6
#: What adding floats may cost, in seconds.
ROUNDING = 1e-6
#: Meters with the quarter notes of a measure; all are counted in even beats or eighths.
METERS = {"4/4": 4, "3/4": 3, "2/4": 2, "5/8": Fraction(5, 2), "6/8": 3, "7/8": Fraction(7, 2)}
TEXTS = ["Start at the frog", "a < b && c > d", "00:01 --> 00:02\n\nNOTE no note", "Überstreichen – ruhig"]


def made(seed, gradual):
    """Make a guide: a pickup, meters, tempi at measure starts, a repeat, sections, tips."""
    dice = random.Random(seed)
    measures, quarters, tempi = [], [], []
    for index in range(dice.randint(6, 14)):
        measure = {"label": str(index + 1)}
        if index == 0 or dice.random() < 0.3:
            measure["meter"] = dice.choice(list(METERS))
            meter = METERS[measure["meter"]]
        if index == 0 or dice.random() < 0.3:
            tempo = dice.randint(40, 200)
            measure["tempo"] = [{"tempo": f"quarter = {tempo}"}]
        elif gradual and dice.random() < 0.3:
            shape = dice.choice(["even-in-beats", "even-in-time", "runner"])
            measure["tempo"] = [{"at": "1/2", "tempo": f"quarter = {dice.randint(40, 200)}",
                                 "until": {"measure": index + 1, "at": "1/3"}, "shape": shape}]
        if gradual and dice.random() < 0.2:
            measure["holds"] = [{"at": "3/2", "longer": "5/4", "lead_in": 0}]
        if index == 0 or dice.random() < 0.3:
            measure["section"] = f"Part {index} <&> {dice.choice(TEXTS)}"
        measures.append(measure)
        quarters.append(Fraction(meter))
        tempi.append(Fraction(tempo))
    first = dice.randrange(len(measures) - 2)
    measures[first]["repeat_from"] = True
    measures[dice.randrange(first, len(measures) - 1)]["repeat_back"] = 2
    tips = [{"id": f"t{number}", "spot": {"from": {"measure": dice.randrange(len(measures))}},
             "topic": "bow", "text": dice.choice(TEXTS)} for number in range(6)]
    parts = [{"id": name.lower(), "name": name} for name in ("Viola", "Cello")]
    return {"cueleaf": "1.0", "id": f"made{seed}", "title": f"Made #{seed} & co", "parts": parts,
            "settings": {"count_in": dice.randint(0, 2)},
            "road_map": {"measures": measures}, "tips": tips}, quarters, tempi


def call(command, *arguments):
    """Call the command; give what it prints."""
    done = subprocess.run([str(command), *map(str, arguments)], capture_output=True, text=True,
                          timeout=120, check=False)
    if done.returncode != 0:
        raise RuntimeError(f"exit status {done.returncode}: {done.stderr.strip()[:500]}")
    return done.stdout


def written(command, folder, guide):
    """Write a guide into a folder; give its path and its timeline."""
    path = Path(folder) / "guide.json"
    path.write_text(json.dumps(guide), encoding="utf-8")
    return path, json.loads(call(command, "timeline", path))


def starts_of(played, quarters, tempi):
    """Give the exact seconds at which played measures start, and the end."""
    starts = [Fraction(0)]
    for index in played:
        starts.append(starts[-1] + quarters[index] * 60 / tempi[index])
    return starts


def shown_text(text):
    """Give the lines of a tip that have something on them."""
    return "\n".join(line for line in text.split("\n") if line.strip())


def expected_captions(guide, played, starts):
    """Give (shows, ends, text): 2 to 4 seconds ahead, by the measure before, to the spot's end."""
    rows = []
    for place, index in enumerate(played):
        before = starts[place] - starts[place - 1] if place else Fraction(0)
        ahead = min(max(before, Fraction(2)), Fraction(4))
        for number, tip in enumerate(guide["tips"]):
            if tip["spot"]["from"]["measure"] == index:
                shows = max(starts[place] - ahead, Fraction(0))
                rows.append((shows, starts[place], number, starts[place + 1], shown_text(tip["text"])))
    rows.sort(key=lambda row: row[:3])
    return [(shows, ends, text) for shows, _, _, ends, text in rows]


def expected_chapters(guide, played, starts):
    """Give (start, end, name) of the sections in the order of play."""
    measures = guide["road_map"]["measures"]
    rows, times, now = [], {}, None
    for place, index in enumerate(played):
        own = max(at for at in range(index + 1) if "section" in measures[at])
        came_back = place > 0 and index <= played[place - 1]
        if own == now and not (came_back and index == own):
            continue
        now = own
        times[own] = times.get(own, 0) + 1
        name = " ".join(measures[own]["section"].split())
        rows.append((starts[place], name if times[own] == 1 else f"{name} ({times[own]})"))
    ends = [start for start, _ in rows[1:]] + [starts[-1]]
    return [(start, end, name) for (start, name), end in zip(rows, ends)]


def differing(found, expected, offset):
    """Compare cues with what they should be on the recording, to half a millisecond."""
    on = [(max(start + offset, 0), end + offset, text) for start, end, text in expected if end + offset > 0]
    if len(found) != len(on):
        return [f"{len(found)} cues, expected {len(on)}"]
    lines = []
    for cue, (start, end, text) in zip(found, on):
        own = (seconds(cue.start), seconds(cue.end), html.unescape(cue.raw_text))
        if abs(own[0] - start) > 0.000501 or abs(own[1] - end) > 0.000501 or own[2] != text:
            lines.append(f"{own}, expected {(float(start), float(end), text)}")
    return lines


def seconds(stamp):
    """Read "01:02:03.500" as exact seconds."""
    hours, minutes, rest = stamp.split(":")
    return int(hours) * 3600 + int(minutes) * 60 + Fraction(rest)


def caption_problems(command, seed):
    """Compare captions, chapters and times of one guide with and without offsets."""
    guide, quarters, tempi = made(seed, False)
    lines = []
    with tempfile.TemporaryDirectory() as folder:
        path, told = written(command, folder, guide)
        played = [one["index"] for one in told["played"]]
        starts = starts_of(played, quarters, tempi)
        for offset in (Fraction(0), Fraction("754.321"), Fraction("-7.25")):
            chapters = expected_chapters(guide, played, starts)
            for kind, expected in (("captions", expected_captions(guide, played, starts)), ("chapters", chapters)):
                out = Path(folder) / f"{kind}.vtt"
                call(command, kind, path, "--offset", float(offset), "-o", out)
                found = webvtt.read(str(out)).captions
                lines += [f"{kind} at {float(offset)}: {line}" for line in differing(found, expected, offset)]
            out = Path(folder) / "times.txt"
            call(command, "times", path, "--offset", float(offset), "-o", out)
            found = out.read_text(encoding="utf-8").splitlines()
            on = [(max(start + offset, 0), name) for start, end, name in chapters if end + offset > 0]
            for line, (start, name) in zip(found, on, strict=True):
                whole = int((start * 1000 + Fraction(1, 2)) // 1000)
                if line != f"{whole // 60}:{whole % 60:02} {name}":
                    lines.append(f"times at {float(offset)}: {line}, expected {whole} {name}")
    return lines


def midi_problems(command, seed):
    """Compare the ticks and seconds of one guide's MIDI file."""
    guide, _, _ = made(seed, True)
    lines = []
    with tempfile.TemporaryDirectory() as folder, warnings.catch_warnings():
        warnings.simplefilter("ignore")
        path, told = written(command, folder, guide)
        out = Path(folder) / "guide.mid"
        call(command, "midi", path, "-o", out)
        file = mido.MidiFile(out, charset="utf-8")
        heard = pretty_midi.PrettyMIDI(str(out))
    if (file.type, len(file.tracks)) != (1, 2):
        lines.append(f"type {file.type} with {len(file.tracks)} tracks")
    per_quarter = file.ticks_per_beat
    downbeats, clicks, tick = [], [], Fraction(0)
    for one in told["played"]:
        downbeats.append(tick)
        clicks += [tick + Fraction(count["at"]) * per_quarter for count in one["counts"]]
        tick += Fraction(told["measures"][one["index"]]["length"]) * per_quarter
    now, struck, accented = 0, [], []
    for message in file.tracks[1]:
        now += message.time
        if message.type == "note_on":
            struck.append(now)
            if message.velocity == 120:
                accented.append(now)
            if message.channel != 9:
                lines.append(f"a click on channel {message.channel + 1}")
    if struck != clicks:
        lines.append(f"clicks on {struck[:9]}, expected {[str(one) for one in clicks[:9]]}")
    if accented != downbeats:
        lines.append(f"downbeats on {accented[:9]}, expected {[str(one) for one in downbeats[:9]]}")
    if now != tick:
        lines.append(f"ends at {now}, expected {tick}")
    by_mido = seconds_by_mido(file, [*downbeats, tick])
    ours = [one["start_seconds"] for one in told["played"]] + [told["seconds"]]
    theirs = list(heard.get_downbeats())[:len(downbeats)]
    if len(theirs) != len(downbeats):
        lines.append(f"pretty_midi finds {len(theirs)} downbeats of {len(downbeats)}")
    for place, (at, own, one) in enumerate(zip([*downbeats, tick], ours, by_mido)):
        bound = DRIFT * float(at / per_quarter) + 1e-9
        if abs(own - float(one)) > bound:
            lines.append(f"downbeat {place}: {own}, mido {float(one)}")
        by_ticks = heard.tick_to_time(int(at))
        if abs(own - by_ticks) > bound + ROUNDING:
            lines.append(f"downbeat {place}: {own}, pretty_midi's tick {by_ticks}")
        if place < len(theirs) and abs(own - theirs[place]) > bound + ROUNDING:
            lines.append(f"downbeat {place}: {own}, pretty_midi {theirs[place]}")
    return lines


def seconds_by_mido(file, ticks):
    """Give the exact seconds of ticks by the tempi that mido reads."""
    changes, now = [(0, 500_000)], 0
    for message in file.tracks[0]:
        now += message.time
        if message.type == "set_tempo":
            changes.append((now, message.tempo))
    found = []
    for tick in ticks:
        total = Fraction(0)
        for (at, tempo), (after, _) in zip(changes, [*changes[1:], (tick, 0)]):
            total += max(min(after, tick) - min(at, tick), 0) * tempo
        found.append(total / file.ticks_per_beat / 1_000_000)
    return found


def chunks(data):
    """Give the chunks of a WAV file by name."""
    form, size, wave = struct.unpack("<4sI4s", data[:12])
    if (form, wave, size) != (b"RIFF", b"WAVE", len(data) - 8):
        raise ValueError("no WAV file, or of another size than it says")
    found, at = {}, 12
    while at < len(data):
        name, size = struct.unpack("<4sI", data[at:at + 8])
        found[name] = data[at + 8:at + 8 + size]
        at += 8 + size + size % 2
    return found


def expected_clicks(guide, told, quarters, tempi):
    """Give (exact second, label) of each click, the count-in first, from its own start."""
    played = told["played"]
    first = played[0]
    lead, rows = Fraction(0), []
    for _ in range(guide["settings"]["count_in"]):
        for count in first["counts"]:
            rows.append((lead + Fraction(count["at"]) * 60 / tempi[0], str(count["say"])))
        lead += quarters[0] * 60 / tempi[0]
    starts = starts_of([one["index"] for one in played], quarters, tempi)
    for one, start in zip(played, starts):
        for place, count in enumerate(one["counts"]):
            label = f"{one['label']}: {count['say']}" if place == 0 else str(count["say"])
            rows.append((lead + start + Fraction(count["at"]) * 60 / tempi[one["index"]], label))
    return rows


def click_problems(command, seed):
    """Compare the click track of one guide: onsets by scipy, samples and labels by the chunks."""
    guide, quarters, tempi = made(seed, False)
    lines = []
    with tempfile.TemporaryDirectory() as folder:
        path, told = written(command, folder, guide)
        out = Path(folder) / "clicks.wav"
        rate = random.Random(seed).choice([44_100, 48_000])
        sound = random.Random(seed).choice(["clear", "wooden", "dry"])
        call(command, "click", path, "--rate", rate, "--sound", sound, "-o", out)
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # it does not know the chunk of cue points
            own_rate, samples = wavfile.read(out)
        parts = chunks(out.read_bytes())
    expected = expected_clicks(guide, told, quarters, tempi)
    if own_rate != rate or samples.ndim != 1 or samples.dtype != "int16":
        lines.append(f"{own_rate} Hz, {samples.ndim} channels, {samples.dtype}")
    loud = abs(samples.astype(int)) > 40
    onsets, last = [], -rate
    for at in loud.nonzero()[0]:
        if at - last > rate // 50:
            onsets.append(int(at))
        last = at
    if len(onsets) != len(expected):
        lines.append(f"{len(onsets)} onsets by scipy, expected {len(expected)}")
    for onset, (second, label) in zip(onsets, expected):
        if abs(onset / rate - float(second)) > 0.001:
            lines.append(f"{label}: heard at {onset / rate}, expected {float(second)}")
    cues = [struct.unpack("<II4sIII", parts[b"cue "][at:at + 24]) for at in range(4, len(parts[b"cue "]), 24)]
    places = [round(second * rate) for second, _ in expected]
    if [cue[5] for cue in cues] != places or [cue[1] for cue in cues] != places:
        lines.append(f"cue points {[cue[5] for cue in cues][:9]}, expected {places[:9]}")
    for place in places:
        # A click starts from zero, so its second sample is the first that is heard.
        before, first = samples[max(place - 10, 0):place + 1], samples[place + 1]
        if before.any() or not first:
            lines.append(f"no onset on sample {place}: {list(before)}, {first}")
    labels, at = {}, 4
    listed = parts[b"LIST"]
    while at < len(listed):
        name, size, cue = struct.unpack("<4sII", listed[at:at + 12])
        labels[cue] = listed[at + 12:at + 8 + size].rstrip(b"\0").decode()
        at += 8 + size + size % 2
    if [labels.get(cue[0]) for cue in cues] != [label for _, label in expected]:
        lines.append(f"labels {list(labels.values())[:9]}")
    return lines


class Links(HTMLParser):
    """Gathers the addresses of links, and whatever a page without scripts must not have."""

    def __init__(self):
        super().__init__()
        self.links, self.wrong = [], []

    def handle_starttag(self, tag, attrs):
        attributes = dict(attrs)
        if tag == "a":
            self.links.append(attributes["href"])
        if tag == "script" or "src" in attributes or "style" in attributes:
            self.wrong.append(tag)


def class_problems(command):
    """Pack a folder of guides twice and read the zip back."""
    lines = []
    with tempfile.TemporaryDirectory() as folder:
        inside = Path(folder) / "guides"
        inside.mkdir()
        for path in sorted(scores.EXAMPLES.glob("*.json")):
            (inside / path.name).write_bytes(path.read_bytes())
        guides = [made(seed, False)[0] for seed in (1, 2)]
        guides[1]["title"] = guides[0]["title"].upper()
        guides[1]["parts"].append({"id": "vn", "name": "Violín “1”/2"})
        for guide in guides:
            (inside / f"{guide['id']}.json").write_text(json.dumps(guide), encoding="utf-8")
        packed = [Path(folder) / name for name in ("one.zip", "two.zip")]
        for one in packed:
            call(command, "export", "--all", inside, "-o", one)
        if packed[0].read_bytes() != packed[1].read_bytes():
            lines.append("two runs give two zips")
        with zipfile.ZipFile(packed[0]) as file:
            if file.testzip() is not None:
                lines.append(f"damaged: {file.testzip()}")
            names = file.namelist()
            dates = {entry.date_time for entry in file.infolist()}
            pages = {name: file.read(name).decode("utf-8") for name in names}
        guides_in = {}
        for name in names[1:]:
            page = Path(folder) / "page.html"
            page.write_text(pages[name], encoding="utf-8")
            guides_in[name] = json.loads(call(command, "saved", page))
    if names[0] != "index.html" or len({name.casefold() for name in names}) != len(names):
        lines.append(f"names {names}")
    if dates != {(1980, 1, 1, 0, 0, 0)}:
        lines.append(f"dates {dates}")
    index = Links()
    index.feed(pages["index.html"])
    if sorted(map(unquote, index.links)) != sorted(names[1:]) or index.wrong:
        lines.append(f"links {index.links}, names {names}, also {index.wrong}")
    if any(not link.isascii() or " " in link for link in index.links):
        lines.append(f"links not encoded: {index.links}")
    held = []
    for name in names[1:]:
        guide = guides_in[name]
        held.append((guide["id"], tuple(part["name"] for part in guide["parts"])))
    expected = [(guide["id"], (part["name"],)) for guide in guides for part in guide["parts"]]
    if not set(expected) <= set(held) or len(held) != len(set(held)):
        lines.append(f"parts {held}")
    return lines


def checks(command):
    """Give (name, problems) of each kind of file."""
    for seed in range(12):
        yield f"hand out {seed}: captions, chapters and times, webvtt-py", caption_problems(command, seed)
        yield f"hand out {seed}: MIDI, mido and pretty_midi", midi_problems(command, seed)
        yield f"hand out {seed}: click track, scipy and its chunks", click_problems(command, seed)
    yield "hand out: zip of a class, zipfile", class_problems(command)


def self_checks():
    """Give (name, whether it holds) of what the checks themselves rest on."""
    yield "hand out: seconds of a stamp", seconds("01:02:03.500") == Fraction("3723.5")
    starts = starts_of([0, 1, 0], [Fraction(4), Fraction(3)], [Fraction(120), Fraction(60)])
    yield "hand out: starts of measures", starts == [0, 2, 5, 7]
    moving = [made(seed, True)[0]["road_map"]["measures"] for seed in range(12)]
    tempi = [mark for measures in moving for one in measures for mark in one.get("tempo", [])]
    yield "hand out: some tempi are gradual", any("until" in mark for mark in tempi)
    yield "hand out: some measures hold", any("holds" in one for measures in moving for one in measures)
