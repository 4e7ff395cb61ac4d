"""The plain events of the watch list against music21: meter, key, tempo, pizz. and arco, mutes,
dynamics, fermatas, repeats, and the seconds there are to get ready.

`cueleaf watch` is asked for every part of a few quartets. music21 reads the same files; the beats
and seconds are worked out here, from its offsets and tempo marks alone.

These files draw marks elsewhere than they stand, by an `offset`, and music21 moves them by it to the
hair, off the note under which they are drawn. Where such a mark belongs is worked out in drawn.py,
and music21 reads the file with that; how many offsets there were is part of a check's name. Every
other difference needs a row in watch_divergences.tsv with its reason. A row is good only where a
second reading without any offset agrees with the command; one that is not needed fails.
"""

import json
import re
import subprocess
import warnings
import xml.etree.ElementTree as ElementTree
from fractions import Fraction
from pathlib import Path

import music21
from music21 import bar, chord, clef, converter, dynamics, expressions, note, spanner, stream

import by_music21
import drawn
import scores
import walk
from by_music21 import exact
from timeline import Timeline, merged_length, meter_length, seconds_between

#: Scores for strings below music21/corpus; every part of each is asked for.
FILES = [
    "beethoven/opus59no1/movement2.mxl",
    "beethoven/opus59no3/movement2.mxl",
    "haydn/opus74no1/movement1.mxl",
    "mozart/k156/movement2.mxl",
    "mozart/k458/movement4.mxl",
    "schumann_robert/opus41no1/movement1.mxl",
]

#: What is compared of a part.
QUANTITIES = ["meters", "keys", "tempi", "playing", "dynamics", "fermatas", "repeats", "clefs", "who", "strings"]

TOLERANCE = 1e-6

TABLE = Path(__file__).resolve().parent / "watch_divergences.tsv"

#: Words that change the tempo little by little, by their beginnings; common practice, no source.
GRADUAL = re.compile(r"\b(rit|rall|accel|string|allarg|slarg)", re.IGNORECASE)

#: Clefs by letter and line; common practice, no source.
CLEFS = {("G", 2): "treble", ("C", 3): "alto", ("C", 4): "tenor", ("F", 4): "bass"}

#: Words of who plays; common practice, no source.
WHO = [(r"\bnon div", "not divided"), (r"\bdiv(isi)?\b", "divided"), (r"\bunis", "together"),
       (r"\bsolo\b", "solo"), (r"\btutti\b", "tutti")]

#: What sets a level; accents of loudness do not. Common practice, no source.
LEVELS = {"pppp", "ppp", "pp", "p", "mp", "mf", "f", "ff", "fff", "ffff", "n",
          "fp", "sfp", "ffp", "sfzp", "sfpp"}


def ask(command, path, part):
    """Run `cueleaf watch` and read what it prints."""
    call = [str(command), "watch", str(path), "--part", part]
    done = subprocess.run(call, capture_output=True, text=True, timeout=120, check=False)
    if done.returncode != 0:
        raise RuntimeError(f"exit status {done.returncode}: {done.stderr.strip()[:300]}")
    return json.loads(done.stdout)


def label_of(place):
    """Give the label of a printed place."""
    return place.split(" beat ")[0]


def untold(score, line):
    """Give the stretches (start, end) in quarters in which nobody says how fast it goes: before the
    first number, after a tempo word without one; a gradual change without a number leaves known what
    was."""
    starts = line.starts()
    events = {starts[index] + offset: "number" for index, offset, _ in line.marks}
    for part in score.parts:
        for index, measure in enumerate(part.getElementsByClass(stream.Measure)):
            for words in measure.recurse().getElementsByClass(expressions.TextExpression):
                text = (words.content or "").strip().lower()
                at = starts[index] + exact(words.getOffsetInHierarchy(measure))
                kind = ("back" if re.match(r"(in )?(a tempo|tempo (i|primo))", text)
                        else "gradual" if GRADUAL.search(text)
                        else "word" if words.getTempoText() is not None else None)
                if kind:
                    events.setdefault(at, kind)
    order = sorted(events.items())
    known, before, since, found = False, False, Fraction(0), []
    for at, kind in order:
        new = known
        if kind == "number":
            new = True
        elif kind == "back":
            new = before
        elif kind == "word":
            new = False
        before = new if at == 0 else known
        if known and not new:
            since = at
        elif new and not known and at > since:
            found.append((since, at))
        known = new
    return found if known else found + [(since, starts[-1] + line.lengths[-1])]


def later_endings(part, measures):
    """Give, by the index of the measure in which a later ending begins, that in which the first of its
    row does: brackets that touch, or between which only the repeat sign stands, with rising numbers."""
    index_of = {one.id: index for index, one in enumerate(measures)}
    brackets = []
    for bracket in part.recurse().getElementsByClass(spanner.RepeatBracket):
        indices = [index_of[one.id] for one in bracket.getSpannedElements()]
        brackets.append((min(indices), max(indices), bracket.numberRange[0]))
    turns, row = {}, None
    for first, last, number in sorted(brackets):
        if row is not None and number > row[2]:
            right = measures[first - 1].rightBarline
            if row[1] + 1 == first or (isinstance(right, bar.Repeat) and right.direction == "end"):
                if row[0] > 0:
                    turns[first] = row[0]
                row = row[0], last, number
                continue
        row = first, last, number
    return turns


class Reading:
    """One part of a score as music21 gives it, on the line of all parts."""

    def __init__(self, score, index, line):
        self.part = score.parts[index]
        self.measures = list(self.part.getElementsByClass(stream.Measure))
        self.line = line
        self.starts = line.starts()
        self.tempi = line.tempi()
        self.labels = [by_music21.label(one) for one in self.measures]
        self.silent = untold(score, line)
        self.turns = later_endings(self.part, self.measures)

    def place(self, index, offset):
        """Write a place as printed: label, counted beat, what is past it."""
        if offset >= self.line.lengths[index] and index + 1 < len(self.measures):
            index, offset = index + 1, offset - self.line.lengths[index]
        beat, past = self.beat(index, offset)
        return f"{self.labels[index]} beat {beat}" + (f"+{past}" if past else "")

    def unit(self, index):
        """Give the counted beat of a meter of one part: three units where it is compound."""
        upper, _, lower = self.line.meters[index].partition("/")
        unit = Fraction(4, int(lower))
        compound = int(upper) > 3 and int(upper) % 3 == 0 and int(lower) >= 4
        return unit * 3 if compound else unit

    def beat(self, index, offset):
        """Give the number of the counted beat, and how far past it in parts of it."""
        full, length = meter_length(self.line.meters[index]), self.line.lengths[index]
        if index == 0 and length < full:
            offset += full - length
        counted = offset / self.unit(index)
        number = counted.numerator // counted.denominator
        return number + 1, counted - number

    def back(self, until):
        """Give what is played before a position as pieces (start, end) of the page, the last first."""
        for later, first in sorted(self.turns.items(), reverse=True):
            if self.starts[later] <= until:
                yield self.starts[later], until
                until = self.starts[first]
        yield Fraction(0), until

    def ready(self, sounds, until):
        """Give the seconds from where the last sound before a position ends in play; None where nobody
        says how fast it goes."""
        lasts = []
        for start, stop in self.back(until):
            ends = [min(end, stop) for begin, end, _ in sounds if start <= begin < stop]
            begin = max(ends, default=start)
            lasts.append(self.seconds(begin, stop))
            if ends:
                break
        return None if None in lasts else sum(lasts)

    def seconds(self, begin, end):
        """Give the seconds from one position to another; None where nobody says how fast it goes."""
        if any(start < end and begin < stop for start, stop in self.silent):
            return None
        return float(seconds_between(self.tempi, begin, end))

    def texts(self):
        """Give (index, offset, words in small letters) of the words of the part."""
        for index, measure in enumerate(self.measures):
            for words in measure.recurse().getElementsByClass(expressions.TextExpression):
                offset = exact(words.getOffsetInHierarchy(measure))
                yield index, offset, (words.content or "").lower()

    def sounds(self):
        """Give (start, end) of what sounds, in quarters of the whole line, in order."""
        found = []
        for index, measure in enumerate(self.measures):
            for one in measure.recurse().getElementsByClass([note.Note, chord.Chord, note.Unpitched]):
                if one.duration.isGrace:
                    continue
                start = self.starts[index] + exact(one.getOffsetInHierarchy(measure))
                tied = one.tie is not None and one.tie.type in ("stop", "continue")
                found.append((start, start + exact(one.duration.quarterLength), tied))
        return sorted(found)


def changes(reading):
    """Give the changes of meter and key as (label, old, new)."""
    line, meters, keys = reading.line, [], []
    for index in range(1, len(line.labels)):
        if line.meters[index] != line.meters[index - 1]:
            meters.append((reading.labels[index], line.meters[index - 1], line.meters[index]))
    now = None
    for index, measure in enumerate(reading.measures):
        if measure.keySignature is not None:
            key = by_music21.fifths(measure.keySignature)
            if now is not None and key is not None and key != now:
                keys.append((reading.labels[index], now, key))
            now = key if key is not None else now
    return meters, keys


def tempi(reading):
    """Give the changes of tempo as (place, old, new) in quarters a minute."""
    found = []
    for (_, old), (start, new) in zip(reading.tempi, reading.tempi[1:]):
        index = max(i for i, one in enumerate(reading.starts) if one <= start)
        compared = not any(begin < start <= end for begin, end in reading.silent)
        found.append((reading.place(index, start - reading.starts[index]),
                      float(old) if compared else None, float(new)))
    return found


def playing(reading):
    """Give the changes between bow, plucking and mute as (place, kind, seconds)."""
    plucked = muted = False
    sounds, found = reading.sounds(), []
    for index, offset, words in reading.texts():
        was = plucked, muted
        if re.search(r"\bpizz", words):
            plucked = True
        elif re.search(r"\b(coll'?)?arco\b", words):
            plucked = False
        elif re.search(r"\b(senza|via) sord", words):
            muted = False
        elif re.search(r"\bcon sord", words):
            muted = True
        if was == (plucked, muted):
            continue
        kind = ("to-pizz" if plucked else "to-arco") if was[0] != plucked else (
            "mute-on" if muted else "mute-off")
        at = reading.starts[index] + offset
        struck = [start for start, _, tied in sounds if start >= at and not tied]
        until = struck[0] if struck else at
        found.append((reading.place(index, offset), kind, reading.ready(sounds, until)))
    return found


def levels(reading):
    """Give the dynamics as (place, letters), without those that repeat the one before in play."""
    found, now, at = [], None, {}
    for index, measure in enumerate(reading.measures):
        at[index] = now = at[reading.turns[index]] if index in reading.turns else now
        signs = measure.recurse().getElementsByClass(dynamics.Dynamic)
        for offset, value in [(exact(one.getOffsetInHierarchy(measure)), one.value) for one in signs]:
            if value in LEVELS:
                if value != now:
                    found.append((reading.place(index, offset), value))
                now = value
    return found


def fermatas(reading):
    """Give the places of fermatas, each once."""
    found = []
    for index, measure in enumerate(reading.measures):
        for one in measure.recurse().notesAndRests:
            if any(isinstance(sign, expressions.Fermata) for sign in one.expressions):
                place = reading.place(index, exact(one.getOffsetInHierarchy(measure)))
                if place not in found[-4:]:
                    found.append(place)
    return found


def clefs(reading):
    """Give the first notes read in another clef than the note before as (place, old, new); of several
    voices the first reads."""
    found, now, read = [], None, None
    for index, measure in enumerate(reading.measures):
        signs = [(exact(one.getOffsetInHierarchy(measure)), one)
                 for one in measure.recurse().getElementsByClass(clef.Clef)]
        voices = sorted(measure.voices, key=lambda one: int(one.id)) or [measure]
        voice = next((one for one in voices if one.recurse().notes), measure)
        notes = [(exact(one.getOffsetInHierarchy(measure)), one) for one in voice.recurse().notes
                 if not one.duration.isGrace and (one.tie is None or one.tie.type == "start")]
        for offset, _ in notes:
            now = next((one for at, one in reversed(signs) if at <= offset), now)
            if read is not None and CLEFS[now.sign, now.line] != read:
                found.append((reading.place(index, offset), read, CLEFS[now.sign, now.line]))
            read = CLEFS[now.sign, now.line]
        now = signs[-1][1] if signs else now
    return found


def who(reading):
    """Give where the words say that others of the section play than before as (place, who)."""
    found = []
    for index, offset, text in reading.texts():
        said = next((name for pattern, name in WHO if re.search(pattern, text)), None)
        if said and (not found or found[-1][1] != said):
            found.append((reading.place(index, offset), said))
    return found


def strings(reading):
    """Give where words name a string."""
    return [reading.place(index, offset) for index, offset, text in reading.texts()
            if re.search(r"\bsul(la)? ([gdaec]|i{1,3}|iv)\b", text)]


def repeats(reading):
    """Give the labels of measures after which a repeat goes back."""
    ends = []
    for index, measure in enumerate(reading.measures):
        right = measure.rightBarline
        if isinstance(right, bar.Repeat) and right.direction == "end":
            ends.append(reading.labels[index])
    return ends


def told(listed):
    """Sort the command's list into the same events."""
    events = {name: [] for name in QUANTITIES}
    for one in listed:
        kind, numbers, label = one["kind"], one["numbers"], label_of(one["from"])
        if kind in ("meter-change", "odd-measure", "uneven-meter") and "old" in numbers:
            events["meters"].append((label, numbers["old"], numbers["new"]))
        elif kind == "key-change":
            events["keys"].append((label, numbers["old"], numbers["new"]))
        elif kind == "tempo-change":
            events["tempi"].append((one["from"], numbers.get("old"), numbers["new"]))
        elif kind in ("to-pizz", "to-arco", "mute-on", "mute-off"):
            events["playing"].append((one["from"], kind, numbers.get("seconds")))
        elif kind in ("dynamic", "sudden-dynamic"):
            events["dynamics"].append((numbers["arrives"], numbers["new"]))
        elif kind == "fermata":
            events["fermatas"].append(one["from"])
        elif kind == "clef-change":
            events["clefs"].append((one["from"], numbers["old"], numbers["new"]))
        elif kind == "who-plays":
            events["who"].append((one["from"], numbers["who"]))
        elif kind == "named-string":
            events["strings"].append(one["from"])
        elif kind == "repeat":
            events["repeats"].append(label_of(one["to"]))
    # The list is in the order in which things start; a gradual dynamic starts earlier than it arrives.
    return events


def heard(reading):
    """Give the same events from music21."""
    meters, keys = changes(reading)
    return {
        "meters": meters, "keys": keys, "tempi": tempi(reading), "playing": playing(reading),
        "dynamics": levels(reading), "fermatas": fermatas(reading), "repeats": repeats(reading),
        "clefs": clefs(reading), "who": who(reading), "strings": strings(reading),
    }


def near(one, other):
    """Tell whether two events are the same, seconds and tempi within the tolerance."""
    if not isinstance(one, tuple):
        return one == other
    return len(one) == len(other) and all(
        abs(a - b) <= TOLERANCE if isinstance(a, float) and isinstance(b, float) else a == b
        for a, b in zip(one, other))


def shown(event):
    """Write an event; seconds to the microsecond."""
    parts = event if isinstance(event, tuple) else (event,)
    return " ".join(f"{one:.6f}" if isinstance(one, float) else str(one) for one in parts)


def differences(ours, theirs):
    """Give what one list has and the other lacks, as lines."""
    theirs, lines = list(theirs), []
    for one in ours:
        match = next((other for other in theirs if near(one, other)), None)
        if match is None:
            lines.append(f"only ours: {shown(one)}")
        else:
            theirs.remove(match)
    return lines + [f"only theirs: {shown(one)}" for one in theirs]


def whole_line(score):
    """Give lengths, meters and tempo marks of all parts together."""
    parts = [list(part.getElementsByClass(stream.Measure)) for part in score.parts]
    lengths = [by_music21.measure_lengths(measures) for measures in parts]
    line, meter = Timeline(), "4/4"
    for index in range(max(len(measures) for measures in parts)):
        column = [measures[index] for measures in parts if index < len(measures)]
        signature = next((one.timeSignature for one in column if one.timeSignature), None)
        meter = by_music21.meter_text(signature) if signature is not None else meter
        line.labels.append(by_music21.label(column[0]))
        line.meters.append(meter)
        line.lengths.append(merged_length([each[index] for each in lengths if index < len(each)], meter))
        for measure in column:
            line.marks += [(index, offset, speed) for offset, speed in by_music21.tempo_marks(measure)]
    return line


def parsed(path, offsets_on=True):
    """Read a score with music21, quietly, with marks where they belong, or without any offset; give
    it, the ids of its parts and how many offsets there were."""
    root = walk.read_document(path)
    taken = drawn.settle(root)
    if not offsets_on:
        for direction in root.iter("direction"):
            for offset in direction.findall("offset"):
                direction.remove(offset)
    text = ElementTree.tostring(root, encoding="unicode")
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        score = converter.parseData(text, format="musicxml")
    return score, [one.get("id") for one in root.findall("part-list/score-part")], taken


def read_rows():
    """Read the table of allowed differences: file, part, quantity, the line, the reason."""
    rows = [line.split("\t") for line in TABLE.read_text(encoding="utf-8").splitlines()]
    return [row for row in rows if row[0] and not row[0].startswith("#")]


def checks(command):
    """Give (name, problems) of each kind of event in each part, and how many were compared."""
    folder = Path(music21.__file__).parent / "corpus"
    compared, rows, used = dict.fromkeys(told([]), 0), read_rows(), []
    # Those of this project are for changes of meter, tempo, key and mute. "rit." without a number
    # moves no seconds in either reading.
    for name, path in [(name, folder / name) for name in FILES] + scores.watch_files():
        score, ids, taken = parsed(path)
        line = whole_line(score)
        bare = parsed(path, False)[0] if any(row[0] == name for row in rows) else None
        yield f"{name}: watched with {taken} offsets settled", []
        for index, part in enumerate(ids):
            ours, theirs = told(ask(command, path, part)), heard(Reading(score, index, line))
            consent = heard(Reading(bare, index, line)) if bare is not None else theirs
            for quantity in ours:
                compared[quantity] += len(theirs[quantity])
                found = differences(ours[quantity], theirs[quantity])
                doubtful = differences(ours[quantity], consent[quantity])
                allowed = {row[3]: row for row in rows if row[:3] == [name, part, quantity]}
                good = [one for one in found if one in allowed and one not in doubtful]
                used += [allowed[one] for one in good]
                standing = [one for one in found if one not in good]
                yield f"{name} {part}: watched {quantity}, music21", standing
    for row in rows:
        yield f"{row[0]} {row[1]}: row of the watch table", [] if row in used else [f"not used: {row[3]}"]
    for quantity, count in compared.items():
        yield f"watched {quantity}: {count} compared", [] if count else ["nothing to compare"]


def self_checks():
    """Give (name, whether it holds): the comparison sees what is missing, added or late."""
    one = [("3 beat 1", "to-pizz", 1.5), ("9 beat 2", "to-arco", 0.5)]
    yield "watch: equal lists do not differ", differences(one, list(one)) == []
    yield "watch: a missing event is seen", len(differences(one[:1], one)) == 1
    yield "watch: an added event is seen", len(differences(one, one[:1])) == 1
    late = [one[0], ("9 beat 2", "to-arco", 0.50001)]
    yield "watch: other seconds are seen", len(differences(late, one)) == 2
    yield "watch: an example has its events", sorted(told([])) == [
        "clefs", "dynamics", "fermatas", "keys", "meters", "playing", "repeats", "strings", "tempi", "who"]
