"""How strong each count is, against the accent weights of music21.

Only for meters where music21 is right: simple and compound ones and written sums; plain 5/4, 7/8
and their like come out flat there. Its weights have more steps than our levels, so the order is
compared: what we call stronger must weigh more, and where music21 gives the counts three weights
or more, those of the second weight must start a group and those of the last must not.
"""

from fractions import Fraction

from music21 import meter

from guides import tell

LEVELS = ["subdivision", "beat", "group", "downbeat"]

METERS = [
    "2/4", "3/4", "4/4", "6/8", "9/8", "12/8",
    "3+2/8", "2+3/8", "2+2+3/8", "3+2+2/8", "2+3+2/8", "3+3+2/8", "3+2+3/8",
    "3+4/4", "4+3/4", "2+3/4", "3+2/4", "2/4+3/8", "3/8+2/4", "3/4+2/8",
]


def counts_of(command, text, beat):
    """Give pairs (offset in quarters, level) of the counts of a measure."""
    measure = {"label": "1", "meter": text, "count": {"beat": beat}}
    told = tell(command, [measure])
    return [(Fraction(one["at"]), one["level"]) for one in told["played"][0]["counts"]]


def problems(counts, weight_at):
    """Give what is wrong with the levels of counts, the weight at an offset being known."""
    found = []
    weighed = [(at, LEVELS.index(level), weight_at(at)) for at, level in counts]
    if [at for at, level in counts if level == "downbeat"] != [0]:
        found.append(f"the first count alone must be the downbeat: {counts}")
    for one_at, one_level, one_weight in weighed:
        for at, level, weight in weighed:
            if one_level > level and not one_weight > weight:
                found.append(f"{one_at} is stronger than {at}, but weighs {one_weight} and {weight}")
    weights = sorted({weight for _, _, weight in weighed}, reverse=True)
    if len(weights) > 2:
        for at, level, weight in weighed:
            if weight == weights[1] and level != LEVELS.index("group"):
                found.append(f"{at} weighs {weight} and starts no group")
            if weight == weights[-1] and level != LEVELS.index("beat"):
                found.append(f"{at} weighs least, {weight}, and is no plain beat")
    return found


def checks(command):
    """Give (name, problems) of each check."""
    for text in METERS:
        signature = meter.TimeSignature(text)

        def weight_at(at, signature=signature):
            return signature.getAccentWeight(float(at))

        length = Fraction(signature.barDuration.quarterLength)
        for beat in ("usual", "small"):
            counts = counts_of(command, text, beat)
            found = problems(counts, weight_at)
            if not counts or any(not 0 <= at < length for at, _ in counts):
                found.append(f"counts outside the measure: {counts}")
            yield f"strength of counts: {text}, {beat} beat", found


def self_checks():
    """Give (name, passed): that wrong levels are seen."""
    weights = {0: 1.0, 1: 0.25, 2: 0.5, 3: 0.25}.get
    right = list(enumerate(["downbeat", "beat", "group", "beat"]))
    yield "right strengths pass", problems(right, weights) == []
    wrong = [
        ["downbeat", "group", "beat", "beat"], ["downbeat", "beat", "beat", "beat"],
        ["group", "beat", "downbeat", "beat"], ["downbeat", "group", "group", "group"],
    ]
    seen = [problems(list(enumerate(levels)), weights) for levels in wrong]
    yield "wrong strengths are seen", all(seen)
