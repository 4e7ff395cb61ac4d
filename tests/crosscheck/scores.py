"""The scores that are compared: read from the music21 package where it is installed.

None of them is copied into this project: some encodings forbid commercial use.
"""

from pathlib import Path

#: Below music21/corpus: quartets, chorales and songs with pickups, changes of meter and tempo,
#: repeats with endings, da capo, and parts that disagree.
CORPUS = [
    "bach/bwv171.6.mxl",
    "bach/bwv66.6.mxl",
    "beethoven/opus18no3.mxl",
    "beethoven/opus18no5.mxl",
    "beethoven/opus59no1/movement2.mxl",
    "beethoven/opus59no1/movement4.mxl",
    "beethoven/opus59no2/movement3.mxl",
    "beethoven/opus59no3/movement2.mxl",
    "beethoven/opus133.mxl",
    "corelli/opus3no1/1grave.xml",
    "haydn/opus1no1/movement1.mxl",
    "haydn/opus1no1/movement4.mxl",
    "haydn/opus74no1/movement1.mxl",
    "beach/prayer_of_a_tired_child.musicxml",
    "johnson_j_r/lift_every_voice.mxl",
    "joplin/maple_leaf_rag.mxl",
    "mozart/k80/movement4.mxl",
    "mozart/k155/movement3.mxl",
    "mozart/k156/movement2.mxl",
    "mozart/k458/movement4.mxl",
    "schumann_robert/opus41no1/movement1.mxl",
    "schumann_robert/opus41no1/movement2.mxl",
    "trecento/PMFC_12_10b-Credo PMFC12.10b.xml",
]

#: Below music21/musicxml/lilypondTestSuite, by the start of the name (MIT licence).
SUITE = [
    "02c", "02d", "02e",
    "11a", "11b", "11c", "11d", "11e", "11f", "11g", "11h",
    "31a", "31c", "32a-", "32ab",
    "45a", "45b", "45c", "45d", "45e", "45f", "45g",
    "46a", "46b", "46c", "46d", "46e", "46f", "46g",
    "90a",
]

#: Endings out of order or without a repeat: of these only that they are read, with a finding.
UNDECIDED_REPEATS = ("45d", "45f")

ROOT = Path(__file__).resolve().parent.parent.parent
CASES = ROOT / "tests" / "cases" / "musicxml"
WATCH_CASES = ROOT / "tests" / "cases" / "watch"
EXAMPLES = ROOT / "examples"


def corpus_files(music21_folder):
    """Give (name, path) of the corpus scores."""
    return [(name, music21_folder / "corpus" / name) for name in CORPUS]


def suite_files(music21_folder):
    """Give (name, path) of the files of the MusicXML test suite."""
    folder = music21_folder / "musicxml" / "lilypondTestSuite"
    found = []
    for start in SUITE:
        matches = sorted(folder.glob(start + "*"))
        if len(matches) != 1:
            raise FileNotFoundError(f"{start}: {len(matches)} files in the suite")
        found.append((matches[0].name, matches[0]))
    return found


def case_files():
    """Give (name, path) of the cases of this project."""
    return [(path.stem, path) for path in sorted(CASES.glob("*.musicxml"))]


def example_files():
    """Give (name, path) of the compositions of this project.

    They slow down and speed up gradually, which neither other reading knows: tempi and seconds
    are left out.
    """
    return [(path.name, path) for path in sorted(EXAMPLES.glob("*.musicxml"))]


def watch_files():
    """Give (name, path) of the compositions whose watch list is worked out twice: the examples, and
    one with what they lack."""
    return example_files() + [(path.name, path) for path in sorted(WATCH_CASES.glob("*.musicxml"))]
