"""A plain walk over the elements of a MusicXML file, with exact fractions.

Written from the MusicXML 4.0 element reference, without a music library and without a look at
how Cueleaf reads files, so that the two can be held against each other. Each function is about
one element; anything not needed for time is passed over.
"""

import io
import re
import xml.etree.ElementTree as ElementTree
import zipfile
from dataclasses import dataclass, field
from fractions import Fraction
from pathlib import Path

from timeline import DEFAULT_TEMPO, Timeline, merged_length
from unroll import Signs, order_of_play

#: Note values in quarter notes, by the names of MusicXML's type note-type-value.
NOTE_VALUES = {
    "maxima": Fraction(32),
    "long": Fraction(16),
    "breve": Fraction(8),
    "whole": Fraction(4),
    "half": Fraction(2),
    "quarter": Fraction(1),
    "eighth": Fraction(1, 2),
    "16th": Fraction(1, 4),
    "32nd": Fraction(1, 8),
    "64th": Fraction(1, 16),
    "128th": Fraction(1, 32),
    "256th": Fraction(1, 64),
}

#: The slowest and the fastest tempo that is believed, in quarters per minute (our decision).
TEMPO_LIMITS = (1, 2000)

#: The meter before the first time signature (our decision).
FIRST_METER = "4/4"


@dataclass
class PartMeasure:
    """One measure of one part."""

    label: str
    content: Fraction
    meter: str | None = None
    key: int | None = None
    #: Whether the measure begins with a key signature, be it one without fifths.
    has_key: bool = False
    #: Triples (offset, rank, value); rank 0 is `sound`, 1 the printed mark, both with a tempo;
    #: rank 2 is an equation of two note values, with a factor.
    tempi: list = field(default_factory=list)
    signs: Signs = field(default_factory=Signs)


def read_document(path):
    """Give the root element of a plain or compressed MusicXML file."""
    data = Path(path).read_bytes()
    if data[:2] == b"PK":
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            container = ElementTree.fromstring(archive.read("META-INF/container.xml"))
            data = archive.read(container.find(".//rootfile").get("full-path"))
    return ElementTree.fromstring(data)


def number(text):
    """Read the first number in a text, or give None."""
    found = re.search(r"\d+(?:\.\d+)?", text or "")
    return Fraction(found.group()) if found else None


def meter_text(time):
    """Write a `time` element as text, or give None where it says nothing."""
    if time.find("senza-misura") is not None:
        return "free"
    uppers = [beats.text.replace(" ", "") for beats in time.findall("beats")]
    lowers = [lower.text.strip() for lower in time.findall("beat-type")]
    if not uppers or len(uppers) != len(lowers):
        return None
    return "+".join(f"{upper}/{lower}" for upper, lower in zip(uppers, lowers))


def beat_values(metronome):
    """Give the lengths of the note values that a `metronome` names, in order."""
    values = []
    for child in metronome:
        if child.tag == "beat-unit":
            values.append(NOTE_VALUES[child.text.strip()])
            dot = values[-1]
        elif child.tag == "beat-unit-dot" and values:
            dot /= 2
            values[-1] += dot
    return values


def printed_tempo(metronome):
    """Give the quarters per minute of a printed mark, or None where it has no number."""
    values = beat_values(metronome)
    per_minute = number(metronome.findtext("per-minute"))
    if len(values) != 1 or not per_minute:
        return None
    return values[0] * per_minute


def equation(metronome):
    """Give by how much quarters get faster at "quarter = dotted quarter", or None.

    Left stands the value whose rate the one on the right takes over (common practice).
    """
    values = beat_values(metronome)
    if len(values) != 2 or metronome.find("per-minute") is not None:
        return None
    return values[1] / values[0]


def sound_tempo(sound):
    """Give the quarters per minute of a `sound`, or None.

    What is a hundredth or less from a whole or half number is that number (our decision).
    """
    tempo = number(sound.get("tempo")) or None
    if tempo is None:
        return None
    near = Fraction(round(tempo * 2), 2)
    return near if near and abs(tempo - near) <= Fraction(1, 100) else tempo


def read_part(part, remarks):
    """Read the measures of one part."""
    measures, divisions = [], Fraction(1)
    late = {}
    for element in part.findall("measure"):
        measure = PartMeasure(label=element.get("number", ""), content=Fraction(0))
        # What stood behind the last note of a measure holds from the next one on.
        measure.meter = late.pop("meter", None)
        if "key" in late:
            measure.key, measure.has_key = late.pop("key"), True
        position = Fraction(0)
        for child in element:
            if child.tag == "attributes":
                divisions = number(child.findtext("divisions")) or divisions
                read_attributes(child, measure, position, late)
            elif child.tag == "note":
                if child.find("grace") is None and child.find("chord") is None:
                    position += (number(child.findtext("duration")) or 0) / divisions
            elif child.tag == "backup":
                position -= number(child.findtext("duration")) / divisions
                position = max(position, Fraction(0))
            elif child.tag == "forward":
                position += number(child.findtext("duration")) / divisions
            elif child.tag == "direction":
                read_direction(child, measure, position, divisions, remarks)
            elif child.tag == "sound":
                read_sound(child, measure, position, divisions)
            elif child.tag == "barline":
                measure.signs.read_barline(child)
            measure.content = max(measure.content, position)
        measures.append(measure)
    return measures


def read_attributes(attributes, measure, position, late):
    """Note the meter and the key that `attributes` set."""
    time = attributes.find("time")
    if time is not None and meter_text(time):
        if position == 0:
            measure.meter = meter_text(time)
        else:
            late["meter"] = meter_text(time)
    key = attributes.find("key")
    if key is not None:
        fifths = key.findtext("fifths")
        fifths = int(fifths) if fifths is not None else None
        if position == 0:
            measure.key, measure.has_key = fifths, True
        else:
            late["key"] = fifths


def read_direction(direction, measure, position, divisions, remarks):
    """Note tempo and signs of a `direction`.

    Its offset moves what is heard only with sound="yes" (element `offset`).
    """
    offset = direction.find("offset")
    if offset is not None and offset.get("sound") == "yes":
        position = max(position + Fraction(offset.text.strip()) / divisions, Fraction(0))
    sound = direction.find("sound")
    if sound is not None:
        read_sound(sound, measure, position, divisions)
    for metronome in direction.findall("direction-type/metronome"):
        tempo, factor = printed_tempo(metronome), equation(metronome)
        if tempo is not None:
            measure.tempi.append((position, 1, tempo))
        elif factor is not None:
            measure.tempi.append((position, 2, factor))
        else:
            remarks.append(f"measure {measure.label}: a metronome mark without a number")
    measure.signs.read_direction(direction)


def read_sound(sound, measure, position, divisions):
    """Note tempo and jumps of a `sound`."""
    offset = sound.findtext("offset")
    if offset is not None:
        position = max(position + Fraction(offset.strip()) / divisions, Fraction(0))
    tempo = sound_tempo(sound)
    if tempo is not None:
        measure.tempi.append((position, 0, tempo))
    measure.signs.read_sound(sound)


def tempi_of(column, speed):
    """Give (offset, tempo) of the marks in one measure of all parts, one for each place.

    What is played counts before what is printed, but where print only rounds it to hundredths.
    """
    marks, seen = [], set()
    printed = {}
    for part in column:
        for offset, rank, value in part.tempi:
            if rank == 1:
                printed.setdefault(offset, value)
    for offset, rank, value in sorted(
        (mark for part in column for mark in part.tempi), key=lambda mark: mark[:2]
    ):
        if offset in seen:
            continue
        seen.add(offset)
        tempo = speed * value if rank == 2 else value
        if rank == 0 and abs(printed.get(offset, tempo) - tempo) <= Fraction(1, 100):
            tempo = printed.get(offset, tempo)
        if TEMPO_LIMITS[0] <= tempo <= TEMPO_LIMITS[1]:
            marks.append((offset, tempo))
            speed = tempo
    return marks


def read(path):
    """Read a score file as a timeline."""
    line = Timeline()
    parts = [read_part(part, line.remarks) for part in read_document(path).findall("part")]
    meter, key, signs, speed = FIRST_METER, None, [], DEFAULT_TEMPO
    for index in range(max(len(part) for part in parts)):
        column = [part[index] for part in parts if index < len(part)]
        meter = next((one.meter for one in column if one.meter), meter)
        # The key is the first part's, since transposing instruments write another.
        if index < len(parts[0]) and parts[0][index].has_key:
            key = parts[0][index].key
        contents = [one.content for one in column]
        if len({one for one in contents if one > 0}) > 1:
            line.disagreements.append(index)
        line.labels.append(column[0].label)
        line.meters.append(meter)
        line.keys.append(key)
        line.lengths.append(merged_length(contents, meter))
        signs.append(Signs.union(one.signs for one in column))
        for offset, tempo in tempi_of(column, speed):
            line.marks.append((index, offset, tempo))
            speed = tempo
    line.order = order_of_play(signs)
    return line
