"""Where a mark belongs that is drawn elsewhere than it stands in the file, worked out a second time.

MusicXML says by `offset` how far from its place a direction is drawn; unless sound="yes" that is for
the eye alone. Programs that let marks be dragged about write them behind their note with an offset
back to it, or at their note with an offset to where the letters happen to be. The reader asks for
the neighbours of the drawn place; this gives every start in the measure a cost and takes the least.
The rule itself is our decision. PLACES, read by eye, say whether it finds what a player reads.
"""

import json
import subprocess
import tempfile
import xml.etree.ElementTree as ElementTree
from fractions import Fraction
from pathlib import Path

import music21

import walk

#: Up to this a shift is layout.
LAYOUT = Fraction(1, 8)

#: Marks that need a note that starts.
ACCENTS = {"sf", "sfz", "fz", "rf", "rfz", "fp", "sfp", "sfpp", "ffp", "sfzp", "sffz"}

#: File, index of the part, printed measure, dynamic, its place in quarters from the measure's
#: start, why a player reads it there.
PLACES = [
    ("beethoven/opus18no1/movement1.mxl", 2, "1", "p", "0", "the piece starts p; the mark stands behind the first note, an offset leads back to it"),
    ("beethoven/opus18no1/movement1.mxl", 2, "9", "f", "0", "the theme again, f from its first note; drawn a little to the right of it"),
    ("beethoven/opus18no1/movement1.mxl", 2, "24", "sf", "0", "the only note of the measure, and an accent needs a note"),
    ("beethoven/opus18no1/movement1.mxl", 2, "26", "sf", "0", "as in measure 27, where the mark stands at its note"),
    ("beethoven/opus18no1/movement1.mxl", 2, "133", "sf", "1", "as in measure 140, which is alike and has no offset; drawn a little to the left"),
    ("beethoven/opus18no1/movement1.mxl", 2, "145", "sf", "1", "as in measure 146, which is alike and has no offset"),
    ("beethoven/opus18no1/movement1.mxl", 2, "175", "sf", "0", "the only note of the measure"),
    ("beethoven/opus18no1/movement1.mxl", 2, "188", "p", "0", "the theme from its first note, as in measure 198"),
    ("beethoven/opus59no1/movement2.mxl", 2, "344", "sf", "1", "as in measure 345, which is alike and has no offset; a thirty-second to the left"),
    ("beethoven/opus59no1/movement2.mxl", 0, "343", "p", "5/4", "inside the held note, where the others have sf and then p"),
    ("haydn/opus74no1/movement1.mxl", 2, "42", "p", "0", "under the first half note, where Violin I has it without an offset"),
    ("haydn/opus74no1/movement1.mxl", 2, "19", "mf", "1/2", "drawn in the rest: for the first note after it"),
    ("mozart/k458/movement4.mxl", 2, "64", "f", "3/2", "inside the held note: the violins come in f there"),
    ("mozart/k458/movement1.mxl", 3, "8", "p", "5/2", "inside the held note: Violin II begins p there"),
    ("beethoven/opus59no2/movement1.mxl", 3, "234", "pp", "0", "at its note, drawn a little to the right of it"),
    ("beethoven/opus59no2/movement3.mxl", 2, "18", "sf", "2", "at its note, drawn a little to the right of it"),
]

#: Files all of whose dynamics are worked out a second time.
FILES = ["beethoven/opus18no1/movement1.mxl", "beethoven/opus59no1/movement2.mxl",
         "beethoven/opus59no2/movement1.mxl", "haydn/opus74no1/movement1.mxl"]


class Starts:
    """What starts in one measure of one part."""

    def __init__(self, measure, divisions):
        here, self.notes, self.rests, self.end, self.directions = Fraction(0), set(), set(), Fraction(0), []
        for element in measure:
            length = Fraction(element.findtext("duration") or 0) / divisions
            if element.tag == "attributes":
                divisions = Fraction(element.findtext("divisions") or divisions)
            elif element.tag == "direction":
                self.directions.append((element, here, divisions))
            elif element.tag == "backup":
                here = max(here - length, Fraction(0))
            elif element.tag == "forward":
                here += length
            elif element.tag == "note" and element.find("grace") is None and element.find("chord") is None:
                (self.notes if element.find("rest") is None else self.rests).add(here)
                here += length
            self.end = max(self.end, here)
        self.divisions = divisions
        self.rests -= self.notes

    def settled(self, here, by, accent=False):
        """Give where a mark that begins something belongs."""
        drawn = max(here + by, Fraction(0))
        if abs(by) <= LAYOUT:
            return here
        order = sorted(self.notes | self.rests)
        sounding = max((one for one in order if one <= drawn), default=None)
        coming = min([one for one in order if one > drawn] + [self.end] * (self.end > drawn), default=None)
        if coming is None:
            return min(drawn, max(self.end, here))
        if sounding is None and coming not in self.notes:
            return drawn
        if sounding is None:
            return coming
        reach = max(Fraction(1, 2), (coming - sounding) / 4)
        costs = {one: abs(one - drawn) for one in (sounding, coming)}
        # A barline is no note, but what is drawn at it or nearer to it is not the note before's.
        best = min(costs, key=lambda one: (costs[one], one == sounding if coming == self.end else one))
        if sounding in self.rests and coming in self.notes and costs[coming] == costs[sounding]:
            best = coming
        if best in self.notes and costs[best] < reach:
            return best
        if sounding in self.rests:
            return here
        return sounding if accent else Fraction((4 * drawn + Fraction(1, 2)).__floor__(), 4)


def measures(root):
    """Give (index of the part, index of the measure, label, what starts in it)."""
    for number, part in enumerate(root.findall("part")):
        divisions = Fraction(1)
        for index, measure in enumerate(part.findall("measure")):
            starts = Starts(measure, divisions)
            divisions = starts.divisions
            yield number, index, measure.get("number"), starts


def dynamics(root):
    """Give (part, index, place, letters) of the dynamics of directions."""
    for number, index, _, starts in measures(root):
        for direction, here, divisions in starts.directions:
            offset = direction.find("offset")
            by = Fraction(offset.text.strip()) / divisions if offset is not None else Fraction(0)
            for signs in direction.findall("direction-type/dynamics"):
                text = "".join(sign.text.strip() if sign.tag == "other-dynamics" else sign.tag for sign in signs)
                at = here + by if offset is not None and offset.get("sound") == "yes" else (
                    starts.settled(here, by, text in ACCENTS))
                if text:
                    yield number, index, at, text


def settle(root):
    """Rewrite the offsets of a document to where its marks belong; give how many there were.

    Marks with a number for the tempo keep theirs only where they say sound="yes": others are heard
    where they stand.
    """
    count = 0
    for _, _, _, starts in measures(root):
        for direction, here, divisions in starts.directions:
            offset = direction.find("offset")
            if offset is None or offset.get("sound") == "yes":
                continue
            count += 1
            sound = direction.find("sound")
            tempo = sound is not None and sound.get("tempo") or direction.find("direction-type/metronome") is not None
            signs = direction.find("direction-type/dynamics")
            accent = signs is not None and "".join(sign.tag for sign in signs) in ACCENTS
            by = Fraction(offset.text.strip()) / divisions
            at = here if tempo else starts.settled(here, by, accent)
            offset.text = str(float((at - here) * divisions))
    return count


def told(command, path):
    """Give (part, index, place, letters) of the dynamics in the command's draft."""
    with tempfile.TemporaryDirectory() as folder:
        out = Path(folder) / "draft.json"
        call = [str(command), "draft", str(path), "-o", str(out)]
        done = subprocess.run(call, capture_output=True, text=True, timeout=120, check=False)
        if done.returncode != 0:
            raise RuntimeError(f"exit status {done.returncode}: {done.stderr.strip()[:300]}")
        guide = json.loads(out.read_text(encoding="utf-8"))
    for number, part in enumerate(guide["parts"]):
        for mark in part["marks"]:
            if mark["kind"] == "dynamic":
                yield number, mark["measure"], Fraction(mark.get("at", 0)), mark["text"]


def normal(found, lengths):
    """Give places without the very end of a measure, which is the start of the next; each once."""
    last = len(lengths) - 1
    return {(number, index + 1, Fraction(0), text) if at >= lengths[index] and index < last
            else (number, index, at, text) for number, index, at, text in found}


def checks(command):
    """Give (name, problems): all dynamics of a few files, and the places read by eye."""
    folder = Path(music21.__file__).parent / "corpus"
    for name in FILES:
        root = walk.read_document(folder / name)
        lengths = walk.read(folder / name).lengths
        ours = normal(told(command, folder / name), lengths)
        theirs = normal(dynamics(root), lengths)
        yield f"{name}: {len(theirs)} drawn dynamics", (
            [f"only ours: {one}" for one in sorted(ours - theirs)]
            + [f"only theirs: {one}" for one in sorted(theirs - ours)])
    for name in sorted({row[0] for row in PLACES}):
        labels = {(number, index): label for number, index, label, _ in measures(walk.read_document(folder / name))}
        ours = {(number, labels[number, index], at, text) for number, index, at, text in told(command, folder / name)}
        for file, part, label, text, at, why in PLACES:
            if file == name:
                missing = (part, label, Fraction(at), text) not in ours
                yield f"{name}, part {part}, measure {label}: {text}, {why}", (
                    [f"not at {at}: {sorted(one[2:] for one in ours if one[:2] == (part, label))}"] if missing else [])


def self_checks():
    """Give (name, whether it holds): marks are told apart by where they are drawn."""
    measure = ElementTree.fromstring("<measure>" + "".join(
        f"<note>{what}<duration>{length}</duration></note>"
        for what, length in [("<pitch/>", 4), ("<pitch/>", 8), ("<rest/>", 4)]) + "</measure>")
    starts = Starts(measure, Fraction(4))
    yield "drawn: what starts is seen", (starts.notes, starts.rests, starts.end) == ({0, 1}, {3}, 4)
    for here, by, place in [(1, "-1", 0), (1, "-3/4", 0), (1, "-1/4", 1), (3, "-7/4", 1), (3, "-1", 2), (3, "1/4", 3)]:
        yield f"drawn: {by} from {here}", starts.settled(Fraction(here), Fraction(by)) == place
    yield "drawn: an accent", starts.settled(Fraction(3), Fraction(-1), True) == 1
