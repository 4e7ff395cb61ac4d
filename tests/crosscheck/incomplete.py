"""Counts of measures that are shorter or longer than their meter, worked out here from the rules alone.

A pickup has the end of its meter, every other short measure the beginning. Where a pickup begins
inside a beat nobody says a number: the rest of that beat is a subdivision. A longer measure goes on
in beats like its last (common practice, no source).
"""

from fractions import Fraction

from guides import tell

#: Meters with the length of their beats in quarters and the strengths of a full measure.
METERS = {
    "2/4": (Fraction(1), ["downbeat", "beat"]),
    "3/4": (Fraction(1), ["downbeat", "beat", "beat"]),
    "4/4": (Fraction(1), ["downbeat", "beat", "group", "beat"]),
    "2/2": (Fraction(2), ["downbeat", "beat"]),
    "3/8": (Fraction(1, 2), ["downbeat", "beat", "beat"]),
    "6/8": (Fraction(3, 2), ["downbeat", "beat"]),
    "9/8": (Fraction(3, 2), ["downbeat", "beat", "beat"]),
    "12/8": (Fraction(3, 2), ["downbeat", "beat", "group", "beat"]),
}


def expected(text, length, pickup):
    """Give (offset, number or None, strength) of each count of a measure."""
    beat, levels = METERS[text]
    full = beat * len(levels)
    begins = max(full - length, Fraction(0)) if pickup else Fraction(0)
    ends = begins + length
    rows = []
    number = begins // beat
    if begins > number * beat:
        rows.append((Fraction(0), None, "subdivision"))
        number += 1
    while number * beat < ends:
        level = levels[number] if number < len(levels) else "beat"
        rows.append((number * beat - begins, number + 1, level))
        number += 1
    return rows


def differences(told, rows):
    """Give where the counts of the first measure differ from the rows."""
    ours = [(Fraction(one["at"]), one["say"], one["level"]) for one in told["played"][0]["counts"]]
    if ours == rows:
        return []
    return [f"ours {ours}", f"worked out {rows}"]


def checks(command):
    """Give (name, problems) of each check."""
    for text, (beat, levels) in METERS.items():
        found = []
        sixteenths = int(beat * len(levels) * 4)
        for count in range(1, 2 * sixteenths + 3):
            length = Fraction(count, 4)
            for pickup in (True, False):
                measure = {"label": "0", "meter": text, "length": str(length), "pickup": pickup}
                told = tell(command, [measure, {"label": "1"}])
                lines = differences(told, expected(text, length, pickup))
                found += [f"{length} quarters, pickup {pickup}: {line}" for line in lines]
        yield f"counts of incomplete measures: {text}", found


def self_checks():
    """Give (name, passed): rows that were written by hand, and that a difference is seen."""
    eighth = [(Fraction(0), None, "subdivision")]
    yield "an eighth before 6/8 has no number", expected("6/8", Fraction(1, 2), True) == eighth
    three = [(Fraction(0), None, "subdivision"), (Fraction(1, 2), 4, "beat")]
    yield "three eighths before 4/4", expected("4/4", Fraction(3, 2), True) == three
    last = [(Fraction(0), 1, "downbeat"), (Fraction(3, 2), 2, "beat")]
    yield "five eighths end 6/8", expected("6/8", Fraction(5, 2), False) == last
    twice = [at for at, _, _ in expected("6/8", Fraction(6), False)]
    yield "6/8 goes on in its beats", twice == [Fraction(3 * one, 2) for one in range(4)]
    told = {"played": [{"counts": [{"at": "0", "say": 2, "level": "beat"}]}]}
    yield "a number on an off-beat is seen", differences(told, eighth) != []
