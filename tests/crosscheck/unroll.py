"""The order of play from the signs in the measures.

Conventions (our decisions where common practice differs; MusicXML 4.0 names the attributes):
a backward repeat without a start goes to the measure after the previous repeat's end, else to
the first measure; a lone first ending is left out the second time; an ending bracket that stops
short of its repeat sign reaches to it when the next ending starts right after; after D.C. and
D.S. repeats are not taken unless `after-jump` says so, and the last ending is played; each jump
is taken once, after the repeats at its measure; Fine and To Coda count only after a jump, and
after each jump the way leads to the coda once; of several ways to a coda the one that was taken is
passed the next time.
"""

import re
from dataclasses import dataclass, field


@dataclass
class Signs:
    """The signs of one measure that steer the order of play."""

    forward: bool = False
    #: How often the repeated measures are played in all, 0 without a backward repeat.
    backward: int = 0
    after_jump: bool = False
    forward_right: bool = False
    ending_start: tuple = ()
    ending_stop: bool = False
    segno: set = field(default_factory=set)
    coda: set = field(default_factory=set)
    dacapo: bool = False
    dalsegno: set = field(default_factory=set)
    tocoda: set = field(default_factory=set)
    fine: bool = False

    def read_barline(self, barline):
        """Note the repeat and the ending of a `barline` element."""
        repeat = barline.find("repeat")
        right = barline.get("location", "right") == "right"
        if repeat is not None and repeat.get("direction") == "forward":
            if right:
                self.forward_right = True
            else:
                self.forward = True
        elif repeat is not None:
            self.backward = int(repeat.get("times", "2"))
            self.after_jump = repeat.get("after-jump") == "yes"
        for ending in barline.findall("ending"):
            if ending.get("type") == "start":
                numbers = re.findall(r"\d+", ending.get("number", ""))
                self.ending_start = tuple(int(one) for one in numbers)
            else:
                self.ending_stop = True
        for name in ("segno", "coda"):
            if barline.find(name) is not None or barline.get(name) is not None:
                getattr(self, name).add(barline.get(name, ""))

    def read_sound(self, sound):
        """Note the jumps of a `sound` element."""
        self.dacapo |= sound.get("dacapo") == "yes"
        self.fine |= sound.get("fine") is not None
        for name in ("segno", "coda", "dalsegno", "tocoda"):
            if sound.get(name) is not None:
                getattr(self, name).add(sound.get(name))

    def read_direction(self, direction):
        """Note what the printed words and signs of a `direction` say."""
        sound = direction.find("sound")
        told = set(sound.attrib) if sound is not None else set()
        words = " ".join(one.text or "" for one in direction.findall("direction-type/words"))
        words = " ".join(words.lower().split())
        if re.search(r"\bd\. ?c\b|\bda capo\b", words):
            self.dacapo = True
        elif re.search(r"\bd\. ?s\b|\bdal segno\b", words) and "dalsegno" not in told:
            self.dalsegno.add("")
        elif re.fullmatch(r"(al )?fine\.?", words):
            self.fine = True
        elif re.match(r"to coda\b", words) and "tocoda" not in told:
            self.tocoda.add("")
        else:
            for name in ("segno", "coda"):
                mark = direction.find(f"direction-type/{name}")
                if mark is not None and not told & {"segno", "coda", "tocoda", "dalsegno"}:
                    getattr(self, name).add("")

    @staticmethod
    def union(several):
        """Join the signs that the parts show in one measure."""
        joined = Signs()
        for one in several:
            joined.forward |= one.forward
            joined.forward_right |= one.forward_right
            joined.after_jump |= one.after_jump
            joined.backward = max(joined.backward, one.backward)
            joined.ending_start = joined.ending_start or one.ending_start
            joined.ending_stop |= one.ending_stop
            joined.dacapo |= one.dacapo
            joined.fine |= one.fine
            for name in ("segno", "coda", "dalsegno", "tocoda"):
                getattr(joined, name).update(getattr(one, name))
        return joined


@dataclass
class Ending:
    """An ending bracket: its measures and the passes it is for."""

    first: int
    last: int
    passes: tuple


def find_endings(signs):
    """Give the ending brackets by their first measure."""
    starts = [index for index, one in enumerate(signs) if one.ending_start]
    endings = {}
    for place, first in enumerate(starts):
        border = starts[place + 1] if place + 1 < len(starts) else len(signs)
        last = border - 1
        for index in range(first, border):
            if signs[index].ending_stop:
                last = index
                break
        has_sign = any(signs[index].backward for index in range(first, last + 1))
        if not has_sign and border < len(signs) and signs[border - 1].backward:
            last = border - 1
        endings[first] = Ending(first, last, signs[first].ending_start)
    return endings


def ending_group(endings, first):
    """Give the brackets that stand side by side with the one that starts here."""
    by_last = {ending.last: ending for ending in endings.values()}
    group = [endings[first]]
    while group[0].first - 1 in by_last:
        group.insert(0, by_last[group[0].first - 1])
    while group[-1].last + 1 in endings:
        group.append(endings[group[-1].last + 1])
    return group


def passes_of(group):
    """Give how often the measures before these endings are played."""
    highest = max(number for ending in group for number in ending.passes)
    # A lone first ending: the second time it is left out.
    return highest if len(group) > 1 else highest + 1


def order_of_play(signs):
    """Give the measure indices in the order in which they are played.

    None when it does not come to an end.
    """
    signs = [one for one in signs]
    for one, following in zip(signs, signs[1:]):
        following.forward |= one.forward_right
    endings = find_endings(signs)
    order, index = [], 0
    section, turn, jumped, taken, left = 0, 1, False, set(), set()
    may_leave = False
    while index < len(signs):
        if len(order) > 50 * len(signs):
            return None
        here = signs[index]
        if here.forward and index != section:
            section, turn = index, 1
        if index in endings:
            group = ending_group(endings, index)
            wanted = turn
            if jumped and not any(signs[e.last].after_jump for e in group):
                wanted = passes_of(group)
            if wanted not in endings[index].passes:
                index = endings[index].last + 1
                if index not in endings:
                    section, turn = index, 1
                continue
        order.append(index)
        if here.fine and jumped:
            break
        if here.backward and (not jumped or here.after_jump):
            inside = next((e for e in endings.values() if e.first <= index <= e.last), None)
            total = here.backward
            if inside is not None:
                total = max(passes_of(ending_group(endings, inside.first)), here.backward)
            if turn < total:
                turn += 1
                index = section
                continue
            section, turn = index + 1, 1
        target = jump_target(signs, index)
        if target is not None and index not in taken:
            taken.add(index)
            jumped, section, turn = True, target, 1
            may_leave = True
            index = target
            continue
        waits = any(one.tocoda and place not in left for place, one in enumerate(signs))
        if may_leave and here.tocoda and not (index in left and waits):
            target = sign_place(signs, "coda", here.tocoda, index)
            if target is not None:
                left.add(index)
                index = target
                section, turn = index, 1
                may_leave = False
                continue
        index += 1
    return order


def jump_target(signs, index):
    """Give the measure to which the jump at this measure leads."""
    if signs[index].dacapo:
        return 0
    if signs[index].dalsegno:
        return sign_place(signs, "segno", signs[index].dalsegno, None)
    return None


def sign_place(signs, name, wanted, after):
    """Give the measure that bears a sign: by its name, else the first (after a measure)."""
    places = [(i, getattr(one, name)) for i, one in enumerate(signs) if getattr(one, name)]
    for place, names in places:
        if names & wanted:
            return place
    for place, _ in places:
        if after is None or place > after:
            return place
    return None
