"""The rest of the watch list, worked out a second time by other means on our compositions.

Where the command compares exact fractions of intervals, this fills a grid of ticks with the notes
as music21 reads them and looks at the ticks: which note sounds at each, where one is struck, where
a beat falls. The rules are those of the crate's documents; groups of uneven measures are stated
here, as they stand in the parts.
"""

from fractions import Fraction

from music21 import articulations, chord, expressions, note, spanner, stream

import scores
import watch_beats
import watch_lists
from timeline import meter_length, seconds_between

#: Ticks in a quarter note: holds every division of the compositions.
TICKS = 840

#: The groups of uneven measures by the first label of a stretch, as printed (read by eye).
GROUPS = {
    "mail-boat.musicxml": {"29": [2, 2, 3], "37": [3, 2, 2], "41": [2, 2, 3], "65": [3, 2]},
    "chestnuts.musicxml": {},
    "ferry-steps.musicxml": {},
}

FOLDING = {"entry-off-beat", "entry-inside", "pickup", "syncopation", "tie-over-bar",
           "subdivision-change", "tuplet-across", "moves-alone", "between-others", "articulated-slur", "same-direction", "long-bow",
           "uneven-bowing", "leap", "out-of-compass", "outside-key"}


def ticks(quarters):
    """Give whole ticks; what does not fit the grid is a mistake of this module."""
    counted = quarters * TICKS
    if counted.denominator != 1:
        raise ValueError(f"{quarters} is between two ticks")
    return counted.numerator


class Struck:
    """A note as it is struck, with what is tied to it."""

    def __init__(self, element, index, start, end):
        self.element, self.index, self.start, self.end = element, index, start, end
        pitches = element.pitches
        self.low = min((one.midi for one in pitches), default=None)
        self.high = max((one.midi for one in pitches), default=None)
        self.pitches = pitches
        self.members = [element]


class Grid:
    """A part on a grid of ticks."""

    def __init__(self, score, index, line, groups):
        self.reading = watch_lists.Reading(score, index, line)
        self.line, self.part = line, score.parts[index]
        self.starts = [ticks(one) for one in line.starts()]
        self.end = self.starts[-1] + ticks(line.lengths[-1])
        self.struck = self.notes()
        self.owner = [-1] * self.end
        for number, one in enumerate(self.struck):
            self.owner[one.start:one.end] = [number] * (one.end - one.start)
        #: The tick at which a later ending starts, and that at which the first of its row does.
        self.turns = {self.starts[later]: self.starts[first] for later, first in self.reading.turns.items()}
        self.levels = {}
        now = None
        for measure, label in enumerate(self.reading.labels):
            if label in groups:
                now = groups[label]
            elif measure and line.meters[measure] != line.meters[measure - 1]:
                now = None
            self.beats(measure, now)

    def notes(self):
        """Read the struck notes; ties are joined."""
        struck = []
        for index, measure in enumerate(self.reading.measures):
            for one in measure.recurse().getElementsByClass([note.Note, chord.Chord]):
                if one.duration.isGrace:
                    continue
                start = self.starts[index] + ticks(watch_lists.exact(one.getOffsetInHierarchy(measure)))
                end = start + ticks(watch_lists.exact(one.duration.quarterLength))
                if one.tie is not None and one.tie.type in ("stop", "continue"):
                    struck[-1].end = end
                    struck[-1].members.append(one)
                else:
                    struck.append(Struck(one, index, start, end))
        return struck

    def beats(self, measure, groups):
        """Mark the beats of a measure with their levels: 3 for the first, 2 for a group, 1 else."""
        meter, length = self.line.meters[measure], ticks(self.line.lengths[measure])
        unit = ticks(self.reading.unit(measure))
        whole = ticks(meter_length(meter))
        skipped = whole - length if measure == 0 else 0
        count = whole // unit
        if groups is None:
            groups = [2, 2] if count == 4 else [count]
        firsts = {sum(groups[:one]) for one in range(len(groups))}
        for beat in range(count):
            at = beat * unit - skipped
            if 0 <= at < length:
                self.levels[self.starts[measure] + at] = 3 if beat == 0 else 2 if beat in firsts else 1

    def turn(self, tick):
        """Give the later ending (its tick, that of the first) that was entered last."""
        entered = [(later, first) for later, first in self.turns.items() if later <= tick]
        return max(entered, default=(0, 0))

    def before(self, number):
        """Give the number of the note struck before another in play; -1 where none is."""
        later, first = self.turn(self.struck[number].start)
        if first and not (number and self.struck[number - 1].start >= later):
            return max((index for index, one in enumerate(self.struck) if one.start < first), default=-1)
        return number - 1

    def between(self, one, other):
        """Give what is played from the end of a note to the next, as pieces (first, last tick)."""
        later, first = self.turn(other.start)
        if first and one.start < first:
            return [(min(one.end, first), first), (later, other.start)]
        return [(one.end, other.start)]

    def measure(self, tick):
        """Give the measure in which a tick lies."""
        return max(index for index, start in enumerate(self.starts) if start <= tick)

    def place(self, tick):
        """Write a tick as a printed place."""
        index = self.measure(tick)
        return self.reading.place(index, Fraction(tick - self.starts[index], TICKS))

    def unit(self, tick):
        """Give the counted beat at a tick."""
        return ticks(self.reading.unit(self.measure(tick)))

    def seconds(self, begin, end):
        """Give the seconds between two ticks."""
        return float(seconds_between(self.reading.tempi, Fraction(begin, TICKS), Fraction(end, TICKS)))


def folded(grid, events):
    """Fold events (kind, first tick, last tick, numbers) of neighbouring measures, per kind; of notes
    outside the key only the same note."""
    rows = []
    for kind, first, last, numbers in sorted(events, key=lambda event: event[1]):
        end = grid.measure(last)
        note_of = numbers.pop() if kind == "outside-key" else None
        row = next((row for row in reversed(rows) if row["kind"] == kind and row["note"] == note_of), None)
        if kind in FOLDING and row and grid.measure(first) <= row["end"] + 1:
            row["end"] = max(row["end"], end)
            row["places"] += 1
        else:
            rows.append({"kind": kind, "from": grid.place(first), "end": end, "places": 1,
                         "note": note_of, "numbers": numbers})
    return [(row["kind"], row["from"], grid.reading.labels[row["end"]], row["places"])
            + tuple(row["numbers"] if row["places"] == 1 else ()) for row in rows]


def rhythm(grid):
    """Find held notes, tuplets across beats and the fastest notes."""
    brackets, told_brackets = watch_beats.tuplets(grid, ticks), set()
    for one in grid.struck:
        measure = grid.measure(one.start)
        bar_end = grid.starts[measure] + ticks(grid.line.lengths[measure])
        level = grid.levels.get(one.start, 0)
        if one.end > bar_end and level < 3:
            yield "tie-over-bar", one.start, one.start, [float(Fraction(one.end - bar_end, TICKS))]
            continue
        inside = [tick for tick in range(one.start + 1, min(one.end, bar_end)) if tick in grid.levels]
        through = [tick for tick in inside if level == 0 or (level == 1 and grid.levels[tick] > 1)]
        bracket = next((two for two in brackets if two[0] <= one.start and one.end <= two[1]), None)
        if through and bracket and bracket[0] in grid.levels:
            if bracket not in told_brackets:
                yield from watch_beats.across(grid, bracket)
            told_brackets.add(bracket)
        elif through:
            yield "syncopation", one.start, one.start, []
    rates = []
    for number in range(len(grid.struck) - 3):
        four = grid.struck[number:number + 4]
        touching = all(grid.owner[tick] >= 0 for tick in range(four[0].start, four[3].end))
        rates.append(4 / grid.seconds(four[0].start, four[3].end) if touching else 0)
    most = max(rates, default=0)
    if most >= 4:
        first = next(number for number, rate in enumerate(rates) if abs(rate - most) < 1e-9)
        last = first
        while last + 1 < len(rates) and abs(rates[last + 1] - most) < 1e-9:
            last += 1
        yield "fastest-notes", grid.struck[first].start, grid.struck[last + 3].start, [most, last + 4 - first]


def entries(grid):
    """Find where silence ends, by looking through the ticks."""
    tick, quiet = 0, []
    while tick < grid.end:
        if tick in grid.turns:
            # The silence before it in play: that before the first ending.
            begun = grid.turns[tick]
            while begun > 0 and grid.owner[begun - 1] < 0:
                begun -= 1
            quiet = list(range(begun, grid.turns[tick]))
        if grid.owner[tick] < 0:
            quiet.append(tick)
            tick += 1
            continue
        begins, silent = tick, len(quiet)
        tick += 1
        while tick < grid.end and grid.owner[tick] >= 0 and tick not in grid.turns:
            tick += 1
        measure = grid.measure(begins)
        quiet_starts = set(quiet).intersection(grid.starts)
        whole = len(quiet_starts - {grid.starts[measure]})
        unit, at = grid.unit(begins), begins - grid.starts[measure]
        length = ticks(grid.line.lengths[measure])
        on_beat = begins in grid.levels
        opens = begins == 0
        short = length < ticks(meter_length(grid.line.meters[measure])) and measure == 0
        goes_on = tick > grid.starts[measure] + length
        beats = [one for one in grid.levels if grid.starts[measure] <= one < grid.starts[measure] + length]
        near = on_beat or begins >= max(beats, default=grid.starts[measure])
        late = 2 * at > length or begins >= max(beats, default=grid.starts[measure])
        pickup = goes_on and ((short and opens) or (at > 0 and late and near))
        if whole >= 2:
            still = set(quiet)
            firsts = [one for one in quiet if one - 1 not in still]
            ends = [one + 1 for one in quiet if one + 1 not in still]
            seconds = sum(grid.seconds(one, other) for one, other in zip(firsts, ends))
            yield "entry-after-rest", begins, begins, [whole, seconds]
        elif silent >= unit or opens:
            if pickup:
                yield "pickup", begins, begins, [silent / unit]
            elif not on_beat:
                yield "entry-off-beat", begins, begins, [silent / unit]
            elif at:
                yield "entry-inside", begins, begins, [silent / unit]
        quiet = []


def left_hand(grid):
    """Find leaps, the highest note, notes beyond the usual compass and outside the key."""
    for number, other in enumerate(grid.struck):
        before = grid.before(number)
        if before < 0:
            continue
        one = grid.struck[before]
        up, down = other.low - one.high, one.low - other.high
        silence = sum(1 for begin, end in grid.between(one, other) for tick in range(begin, end)
                      if grid.owner[tick] < 0)
        if max(up, down) >= 12 and silence < grid.unit(other.start):
            yield "leap", one.start, other.start, [max(up, down)]
    heights = sorted(one.high for one in grid.struck)
    if len(heights) >= 16:
        few = len(heights) * 5 // 100
        low, high = heights[few], heights[-1 - few]
        top = next(one for one in grid.struck if one.high == heights[-1])
        # What comes all the time is no place.
        if heights.count(heights[-1]) <= 6:
            yield "highest-note", top.start, top.start, [heights[-1], heights.count(heights[-1])]
        for one in grid.struck:
            if one.high >= high + 3 or one.high <= low - 3:
                yield "out-of-compass", one.start, one.start, [max(one.high - high, low - one.high)]
    key, at = None, 0
    for one in grid.struck:
        while at < len(grid.reading.measures) and at <= one.index:
            key = grid.reading.measures[at].keySignature or key
            at += 1
        for pitch in one.pitches:
            altered = key.accidentalByStep(pitch.step)
            if (altered.alter if altered else 0) != (pitch.accidental.alter if pitch.accidental else 0):
                yield "outside-key", one.start, one.start, [pitch.nameWithOctave]
                break


def plucked_notes(grid):
    """Give the numbers of the struck notes that are plucked."""
    plucked, now = set(), False
    rest = [(place, kind) for place, kind, _ in watch_lists.playing(grid.reading) if kind.startswith("to-")]
    for number, one in enumerate(grid.struck):
        while rest and position(grid, rest[0][0]) <= one.start:
            now = rest.pop(0)[1] == "to-pizz"
        if now:
            plucked.add(number)
    return plucked


def strokes(grid):
    """Give the strokes as (first, last note, way, how it is known) from slurs and signs."""
    way_of = {}
    for number, one in enumerate(grid.struck):
        for sign in [sign for member in one.members for sign in member.articulations]:
            if isinstance(sign, (articulations.UpBow, articulations.DownBow)):
                way_of[number] = "up" if isinstance(sign, articulations.UpBow) else "down"
    number_of = {member.id: number for number, one in enumerate(grid.struck) for member in one.members}
    reach = {}
    for slur in grid.part.recurse().getElementsByClass(spanner.Slur):
        first, last = number_of.get(slur.getFirst().id), number_of.get(slur.getLast().id)
        if first is not None and last is not None:
            reach[first] = max(reach.get(first, first), last)
    plucked = plucked_notes(grid)
    found, number, slurred = [], 0, 0
    while number < len(grid.struck):
        slurred = max(slurred, reach.get(number, number))
        last = max(number, slurred)
        last = next((inner - 1 for inner in range(number + 1, last + 1) if inner in way_of), last)
        bowed = grid.struck[number:last + 1]
        trembles = any(isinstance(sign, expressions.Tremolo) for one in bowed for sign in one.element.expressions)
        if number not in plucked and not trembles:
            one, played = grid.struck[number], grid.before(number)
            before = next((stroke for stroke in reversed(found) if stroke[1] == played), None)
            silence = sum(b - a for a, b in grid.between(grid.struck[played], one)) if before else 0
            new_phrase = before is None or silence >= grid.unit(one.start)
            if number in way_of:
                found.append((number, last, way_of[number], "marked"))
            elif new_phrase:
                strong = grid.levels.get(one.start, 0) >= 2
                found.append((number, last, "down" if strong else "up", "rule"))
            else:
                found.append((number, last, "up" if before[2] == "down" else "down", "turn"))
        number = last + 1
    return with_pickups(grid, found)


#: The way after each way.
TURN = {"down": "up", "up": "down"}


def turned(way, strokes):
    """Turn the bow as often as there are strokes."""
    for _ in range(strokes):
        way = TURN[way]
    return way


def with_pickups(grid, found):
    """Begin each pickup so that it comes out: both ways are tried, stroke by stroke, up to the first
    sign or the next downbeat."""
    for number, (first, _, way, told) in enumerate(found):
        begins = grid.struck[first].start
        measure = grid.measure(begins)
        start, length = grid.starts[measure], ticks(grid.line.lengths[measure])
        opening = measure == 0 and length < ticks(meter_length(grid.line.meters[0]))
        last_beat = max((one for one in grid.levels if start <= one < start + length), default=start)
        late = opening or (begins > start and (2 * (begins - start) > length or begins >= last_beat))
        if told != "rule" or not late:
            continue
        phrase = [found[number]]
        for one in found[number + 1:]:
            if one[3] == "rule" or grid.before(one[0]) != phrase[-1][1] or grid.struck[phrase[-1][0]].start >= start + length:
                break
            phrase.append(one)
        sign = next((index for index, one in enumerate(phrase) if one[3] == "marked"), None)
        downbeat = next((index for index, one in enumerate(phrase)
                         if grid.struck[one[0]].start == start + length), None)
        aim, asked = (sign, phrase[sign][2]) if sign is not None else (downbeat, "down")
        if aim is None:
            continue
        begins_with = next(begin for begin in TURN if turned(begin, aim) == asked)
        otherwise = {number} if begins_with != way else set()
        for index in range(number + 1, len(found)):
            # All that took turns from it, also in a second ending.
            if found[index][3] == "turn" and grid.before(found[index][0]) in {found[one][1] for one in otherwise}:
                otherwise.add(index)
        for index in otherwise:
            found[index] = (*found[index][:2], TURN[found[index][2]], found[index][3])
    return found


def position(grid, printed):
    """Give the tick of a printed place."""
    label, _, beat = printed.partition(" beat ")
    number, _, past = beat.partition("+")
    index = grid.reading.labels.index(label)
    unit = ticks(grid.reading.unit(index))
    shift = 0
    if index == 0:
        shift = ticks(meter_length(grid.line.meters[0]) - grid.line.lengths[0])
    return grid.starts[index] + (int(number) - 1) * unit + int(Fraction(past or 0) * unit) - shift


def bow(grid):
    """Find two strokes in one direction, long bows, uneven pairs and articulated slurs."""
    found = strokes(grid)
    known = {}
    for other in found:
        before = grid.before(other[0])
        known[other[1]] = other[3] == "marked" or (other[3] == "turn" and known.get(before, False))
        one = next((stroke for stroke in found if stroke[1] == before), None)
        if one is None:
            continue
        gap = sum(grid.seconds(*piece) for piece in grid.between(grid.struck[one[1]], grid.struck[other[0]]))
        if known[one[1]] and other[3] == "marked" and one[2] == other[2] and gap < 1:
            yield "same-direction", grid.struck[one[0]].start, grid.struck[other[0]].start, [gap]
    lengths = []
    for first, last, _, _ in found:
        start, end = grid.struck[first].start, grid.struck[last].end
        lengths.append((start, end))
        if grid.seconds(start, end) >= 4:
            yield "long-bow", start, grid.struck[last].start, [grid.seconds(start, end)]
    number = 0
    while number + 1 < len(found):
        run = number
        while run + 1 < len(found):
            (a, b), (c, d) = lengths[run], lengths[run + 1]
            turns = b == c and grid.before(found[run + 1][0]) == found[run][1] and found[run][2] != found[run + 1][2]
            longer = b - a >= 2 * (d - c)
            shorter = d - c >= 2 * (b - a)
            if not turns or not (longer or shorter):
                break
            if run > number and longer == last_longer:
                break
            last_longer = longer
            run += 1
        strokes_in_run = run - number + 1
        if strokes_in_run // 2 >= 3:
            yield "uneven-bowing", lengths[number][0], grid.struck[found[run][1]].start, []
        number = max(run, number + 1)
    until = -1
    number_of = {member.id: number for number, one in enumerate(grid.struck) for member in one.members}
    pairs = []
    for slur in grid.part.recurse().getElementsByClass(spanner.Slur):
        first, last = number_of.get(slur.getFirst().id), number_of.get(slur.getLast().id)
        if first is not None and last is not None and first < last:
            pairs.append((first, -last))
    for first, last in sorted(pairs):
        if first <= until:
            continue
        notes = grid.struck[first:1 - last]
        told = [one for one in notes if any(
            isinstance(sign, (articulations.Staccato, articulations.Tenuto, articulations.Staccatissimo))
            for sign in one.element.articulations)]
        if len(told) >= 2 and first not in plucked_notes(grid):
            until = -last
            yield "articulated-slur", notes[0].start, notes[-1].start, [len(notes), len(told)]


def second(grid, others):
    """Give everything that is worked out here, folded, as comparable rows."""
    events = [*rhythm(grid), *watch_beats.divided(grid, ticks), *watch_beats.between(grid, others), *entries(grid), *left_hand(grid), *bow(grid)]
    return folded(grid, events)


#: The numbers that are compared, by kind, where nothing was folded.
NUMBERS = {
    "tuplet-across": ["notes", "beats"], "between-others": ["notes"], "tie-over-bar": ["quarters_over"], "subdivision-change": ["old", "new"],
    "fastest-notes": ["notes_per_second", "notes"], "moves-alone": ["notes"],
    "entry-after-rest": ["rest_measures", "seconds"], "pickup": ["rest_beats"],
    "entry-off-beat": ["rest_beats"], "entry-inside": ["rest_beats"], "leap": ["semitones"],
    "highest-note": ["semitones", "times"], "out-of-compass": ["beyond"], "outside-key": [],
    "syncopation": [], "same-direction": ["seconds"], "long-bow": ["seconds"], "uneven-bowing": [],
    "articulated-slur": ["notes", "marked"],
}


def told(listed):
    """Give the command's rows in the same form."""
    rows = []
    for one in listed:
        if one["kind"] in NUMBERS:
            numbers = one["numbers"]
            places = numbers.get("places", 1)
            compared = () if places > 1 else tuple(numbers.get(name) for name in NUMBERS[one["kind"]])
            rows.append((one["kind"], one["from"], watch_lists.label_of(one["to"]), places) + compared)
    return rows


def near(one, other):
    """Tell whether two rows are the same, numbers within the tolerance."""
    return len(one) == len(other) and all(
        abs(a - b) <= watch_lists.TOLERANCE if isinstance(a, (int, float)) and isinstance(b, (int, float))
        else a == b for a, b in zip(one, other))


def differences(ours, theirs):
    """Give rows that only one side has, as lines."""
    lines = [f"only ours: {one}" for one in ours if not any(near(one, other) for other in theirs)]
    return lines + [f"only theirs: {one}" for one in theirs if not any(near(one, other) for other in ours)]


def checks(command):
    """Give (name, problems) for every kind in each part, and that each kind was met."""
    met = dict.fromkeys(NUMBERS, 0)
    for name, path in scores.watch_files():
        score, ids, _ = watch_lists.parsed(path)
        line = watch_lists.whole_line(score)
        grids = [Grid(score, index, line, GROUPS[name]) for index in range(len(ids))]
        for index, part in enumerate(ids):
            others = {one.start for number, grid in enumerate(grids) if number != index for one in grid.struck}
            ours = told(watch_lists.ask(command, path, part))
            theirs = second(grids[index], others)
            for kind in NUMBERS:
                mine = [row for row in ours if row[0] == kind]
                other = [row for row in theirs if row[0] == kind]
                met[kind] += len(other)
                yield f"{name} {part}: watched {kind}, a second time", differences(mine, other)
    for kind, count in met.items():
        yield f"watched {kind}: {count} met a second time", [] if count else ["none"]


def self_checks():
    """Give (name, whether it holds): the comparison sees a missing, an added and another row."""
    rows = [("leap", "3 beat 1", "3", 1, 14), ("pickup", "8 beat 4", "8", 2)]
    yield "watch twice: equal rows do not differ", differences(rows, list(rows)) == []
    yield "watch twice: a missing row is seen", len(differences(rows[:1], rows)) == 1
    yield from watch_beats.self_checks()
    yield "watch twice: another number is seen", len(differences([("leap", "3 beat 1", "3", 1, 15)], rows[:1])) == 2
