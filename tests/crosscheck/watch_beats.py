"""How beats are divided, tuplets across beats, and what the part strikes between the others, each
worked out a second time for watch_twice.py on its grid of ticks.

The rules are those of the crate's documents. A division is found by trying how many equal parts
hold every stroke of a beat; what comes between the others is read from a line of letters.
"""

import re
from fractions import Fraction

from timeline import meter_length

#: The most parts of a beat that anybody counts; how many notes, or gaps, in a row are told.
MOST_PARTS, IN_A_ROW = 8, 3


def parts_of_beats(struck, unit):
    """Give the kinds of parts in which beats are divided, of ticks from the start of the count; None
    where a beat has too many."""
    beats = {}
    for tick in struck:
        beats.setdefault(tick // unit, []).append(tick % unit)
    found = set()
    for inside in beats.values():
        fits = [many for many in range(1, MOST_PARTS + 1) if all(tick * many % unit == 0 for tick in inside)]
        if not fits:
            return None
        found.add(fits[0])
    return {one for one in found if not any(more != one and more % one == 0 for more in found)}


def otherwise(old, new):
    """Tell whether beats are divided otherwise than in the measure before."""
    finest = sorted([max(old), max(new)])
    if finest[1] >= 4 * finest[0]:
        return True
    if len(new) > 1:
        return new != old
    (only,) = new
    return all(one % only and only % one for one in old)


def divided(grid, ticks):
    """Find measures whose beats are divided otherwise."""
    before, starts = None, {one.start for one in grid.struck}
    # A tuplet that begins on a beat and leaves out another divides none.
    over = [(begin, end) for begin, end in tuplets(grid, ticks) if begin in grid.levels
            and any(tick not in starts for tick in grid.levels if begin < tick < end)]
    for measure, start in enumerate(grid.starts):
        struck = [one.start - start for one in grid.struck if grid.measure(one.start) == measure]
        struck_first = struck[0] if struck else None
        struck = [tick for tick in struck if not any(begin <= tick + start < end for begin, end in over)]
        meter, length = grid.line.meters[measure], grid.line.lengths[measure]
        shift = ticks(meter_length(meter) - length) if measure == 0 else 0
        here = parts_of_beats([tick + shift for tick in struck], grid.unit(start)) if struck else None
        if before and here and otherwise(before, here):
            yield "subdivision-change", start + struck_first, start + struck_first, [max(before), max(here)]
        before = here


def tuplets(grid, ticks):
    """Give the brackets (start, end) of tuplets as the file draws them, of the notes' own voice."""
    found = []
    for index, measure in enumerate(grid.reading.measures):
        begun = None
        for one in measure.recurse().notesAndRests:
            start = grid.starts[index] + ticks(Fraction(one.getOffsetInHierarchy(measure)).limit_denominator(9999))
            end = start + ticks(Fraction(one.duration.quarterLength).limit_denominator(9999))
            kinds = {each.type for each in one.duration.tuplets}
            begun = start if kinds & {"start", "startStop"} else begun
            if kinds & {"stop", "startStop"} and begun is not None:
                found.append((begun, end))
                begun = None
    return found


def across(grid, bracket):
    """Give a tuplet of equal notes over whole beats, for a note in it that is held through one."""
    begin, end = bracket
    own = [one for one in grid.struck if begin <= one.start < end]
    lengths = {one.end - one.start for one in own}
    whole = len(lengths) == 1 and len(own) * lengths.pop() == end - begin
    beats = Fraction(end - begin, grid.unit(begin))
    if whole and beats.denominator == 1:
        yield "tuplet-across", begin, begin, [len(own), int(beats)]


def between(grid, others):
    """Find runs alone and runs in the gaps of the others, from a line of letters: "m" where only the
    part strikes, "b" where it strikes with others, "o" where only others do, "|" for a rest of a
    beat before a note."""
    own = {one.start: one for one in grid.struck}
    letters, ticks_of, end = "", [], None
    for tick in sorted(set(own) | set(others)):
        if tick in own:
            rested = end is not None and tick - end >= grid.unit(tick)
            letters += ("|" if rested else "") + ("b" if tick in others else "m")
            ticks_of += ([None] if rested else []) + [tick]
            end = own[tick].end
        else:
            letters += "o"
            ticks_of.append(None)
    for run in re.finditer(r"[mo]+", letters):
        # The rest's bar stands after strokes of others that fell into it.
        groups = [(run.start() + one.start(), run.start() + one.end()) for one in re.finditer(r"m+", run.group())]
        short = []
        for group in groups + [None]:
            if group is not None and group[1] - group[0] < IN_A_ROW:
                short.append(group)
                continue
            if len(short) >= IN_A_ROW:
                notes = sum(last - first for first, last in short)
                yield "between-others", ticks_of[short[0][0]], ticks_of[short[-1][1] - 1], [notes]
            short = []
            if group is not None:
                yield "moves-alone", ticks_of[group[0]], ticks_of[group[1] - 1], [group[1] - group[0]]


def self_checks():
    """Give (name, whether it holds): parts are those of each beat."""
    yield "watch beats: thirds and quarters", parts_of_beats([0, 280, 560, 840, 1050], 840) == {3, 4}
    yield "watch beats: halves are held by quarters", parts_of_beats([0, 420, 840, 1050], 840) == {4}
    yield "watch beats: too many", parts_of_beats([0, 70], 840) is None
    yield "watch beats: from both to one is nothing new", not otherwise({3, 4}, {3})
    yield "watch beats: from halves to thirds is", otherwise({2}, {3}) and otherwise({3}, {3, 4})
