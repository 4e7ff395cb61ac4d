"""The same facts as music21 reads them.

music21 counts in floats and its own fractions; what it gives is brought back to fractions with
denominators up to 3360, which holds every value it can hold exactly.
"""

import warnings
from fractions import Fraction

from music21 import converter, meter, note, repeat, stream, tempo

from timeline import Timeline, merged_length


def exact(value):
    """Give a number of music21 as the fraction it stands for."""
    return Fraction(value).limit_denominator(3360)


def meter_text(signature):
    """Write a time signature as "4/4" or "3+2/8"; neighbours with one unit stay apart."""
    if isinstance(signature, meter.SenzaMisuraTimeSignature):
        return "free"
    return signature.ratioString.replace(" ", "")


def label(measure):
    """Give the printed number. Of "X1" music21 makes a suffix to the number before."""
    suffix = measure.numberSuffix or ""
    return suffix if suffix[-1:].isdigit() else measure.measureNumberWithSuffix()


def fifths(signature):
    """Give the key as fifths, None for one that is not a row of fifths."""
    return None if signature.isNonTraditional else signature.sharps


def measure_lengths(measures):
    """Give the lengths from offset to offset; the last as far as it is filled."""
    lengths = []
    for one, following in zip(measures, measures[1:]):
        lengths.append(exact(following.offset) - exact(one.offset))
    if measures:
        last = measures[-1]
        filled = last.highestTime or last.barDuration.quarterLength
        lengths.append(exact(filled))
    return lengths


def tempo_marks(measure):
    """Give (offset, quarters per minute) of the marks that bear a number."""
    marks = []
    for mark in measure.recurse().getElementsByClass(tempo.MetronomeMark):
        if mark.numberImplicit and mark.numberSounding is None:
            continue
        per_minute = mark.getQuarterBPM()
        if per_minute is not None:
            marks.append((exact(mark.getOffsetInHierarchy(measure)), exact(per_minute)))
    return marks


def measure_seconds(lengths, tempi):
    """Give how long each measure lasts by music21's own sum over its tempo boundaries.

    Its clock is right where it is given the right marks, so it is asked on a line of nothing but
    rests as long as the measures and marks in quarters.
    """
    line, start = stream.Stream(), Fraction(0)
    for length in lengths:
        line.insert(start, note.Rest(quarterLength=length))
        start += length
    for place, speed in tempi:
        line.insert(place, tempo.MetronomeMark(number=float(speed), referent=1.0))
    entries = [one for one in line.secondsMap if isinstance(one["element"], note.Rest)]
    return [one["durationSeconds"] for one in entries]


def played_order(part):
    """Give the order of play of a part, or None when music21 cannot expand it."""
    measures = list(part.getElementsByClass(stream.Measure))
    for index, measure in enumerate(measures):
        measure.groups.append(f"index:{index}")
    expander = repeat.Expander(part)
    if not expander.isExpandable():
        return None
    order = []
    for measure in expander.process().getElementsByClass(stream.Measure):
        tags = [group for group in measure.groups if group.startswith("index:")]
        order.append(int(tags[0].removeprefix("index:")))
    return order


def has_signs(part):
    """Tell whether anything in a part steers the order of play."""
    return bool(
        list(part.recurse().getElementsByClass(repeat.RepeatMark))
        or list(part.recurse().getElementsByClass("RepeatBracket"))
    )


def read(path):
    """Read a score file as a timeline."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        score = converter.parse(path, forceSource=True)
    parts = [list(part.getElementsByClass(stream.Measure)) for part in score.parts]
    lengths = [measure_lengths(measures) for measures in parts]
    line = Timeline()
    current_meter, current_key = "4/4", None
    for index in range(max(len(measures) for measures in parts)):
        column = [measures[index] for measures in parts if index < len(measures)]
        signature = next((one.timeSignature for one in column if one.timeSignature), None)
        if signature is not None:
            current_meter = meter_text(signature)
        if column[0].keySignature is not None:
            current_key = fifths(column[0].keySignature)
        line.labels.append(label(column[0]))
        line.meters.append(current_meter)
        line.keys.append(current_key)
        contents = [each[index] for each in lengths if index < len(each)]
        line.lengths.append(merged_length(contents, current_meter))
        for measure in column:
            line.marks += [(index, offset, speed) for offset, speed in tempo_marks(measure)]
    if has_signs(score.parts[0]):
        try:
            line.order = played_order(score.parts[0])
        except repeat.ExpanderException as problem:
            line.remarks.append(f"music21 cannot expand: {problem}")
    else:
        line.order = list(range(len(line.lengths)))
    return line
