"""The order of play as partitura unfolds it.

partitura is good at endings and at repeats without a start sign. It is not asked where it is known
to be wrong: scores with a segno, a coda or a jump to one, and with a repeat of three times or more.
"""

import warnings

import partitura
from partitura import score as pt

import walk
from compare import Difference, spans

#: The quantity in the table of divergences.
QUANTITY = "unfolded"


def is_asked(path):
    """Tell whether a score has signs for the order of play, and only those that are trusted."""
    root = walk.read_document(path)
    for tag in ("segno", "coda"):
        if root.find(f".//{tag}") is not None:
            return False
    for sound in root.iter("sound"):
        if {"segno", "coda", "dalsegno", "tocoda"} & set(sound.attrib):
            return False
    repeats = list(root.iter("repeat"))
    if any(int(one.get("times", "2")) > 2 for one in repeats):
        return False
    jumps = any(sound.get("dacapo") for sound in root.iter("sound"))
    return bool(repeats) or jumps or root.find(".//ending") is not None


def played_order(path):
    """Give the measure indices in the order of play."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        part = partitura.load_musicxml(path).parts[0]
        measures = list(part.iter_all(pt.Measure))
        places = {one.number: index for index, one in enumerate(measures)}
        if len(places) != len(measures):
            raise ValueError("two measures bear one number")
        unfolded = pt.unfold_part_maximal(part)
    return [places[one.number] for one in unfolded.iter_all(pt.Measure)]


def differences(told, theirs):
    """Give the difference of two orders, as rows of the table name it."""
    if told.order == theirs:
        return []
    return [Difference(QUANTITY, "all", spans(told.order), spans(theirs))]
