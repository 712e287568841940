"""Cautions by key, to be printed where the hand is; each sheet lists the keys that it must carry.

Common practice of the trade, no source; forces and energies worked out (derived) from 312 coils held 115 mm down and
1,000 pocket coils rolled flat. Nothing here replaces the maker's own assessment of the work.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from bedwright.marks.fire import CERTIFIES_NOTHING as CERTIFIES_NOTHING
from bedwright.mechanics.lain import CAUTION as LYING


@dataclass(frozen=True, slots=True)
class Caution:
    """A caution: its key, the word it begins with, and what it says."""

    key: str
    word: str
    says: str

    def plain(self) -> dict[str, str]:
        """For the template."""
        return {"word": self.word, "says": self.says}


CAUTIONS: dict[str, Caution] = {
    one.key: one
    for one in (
        Caution(
            "wire", "Wire",
            "Cut ends and whipping ends go for eyes and hands: eye shield and gloves on. Lock the machine off before "
            "you clear a jam.",
        ),
        Caution(
            "oven", "Oven",
            "Racks and units come out hot and give off fumes: gloves, ventilation on. No cloth and no foam go in. Let "
            "units cool until a bare hand can rest on them before pad, foam or hot melt touches them.",
        ),
        Caution(
            "hot melt", "Hot melt",
            "It burns the skin and sticks to it; the fumes harm. Cover the arms, ventilate. Foam and wadding near the "
            "glue head are fuel: keep the store apart.",
        ),
        Caution(
            "needles", "Needles",
            "Fingers clear of the needle; lock off to thread or clear. Count needles out and in. A broken one: stop, "
            "find every piece, tape the pieces to the broken-needle sheet.",
        ),
        Caution(
            "knives", "Knives",
            "Blade guard on, cut away from the hand that holds, blade in before you put it down.",
        ),
        Caution(
            "nip", "Nips and moving heads",
            "Rollers, quilting and tape-edge heads draw fingers and sleeves in: guards shut, sleeves tight, lock off "
            "before you reach in.",
        ),
        Caution(
            "bale", "Stored force",
            "A bale of units is a loaded spring: one unit of 312 coils held 115 mm down, for example, pushes with "
            "about 14 kN and holds 0.6 kJ. Take straps off one at a time, from the side, face shield and gloves on, "
            "nobody in line.",
        ),
        Caution(
            "rolled", "Rolled bed",
            "A rolled bed is a loaded spring: 1,000 pocket coils, for example, push with about 16 kN and hold 1.2 kJ. "
            "Open it lying on the bed base, with the guarded blade, nobody's face over it. Once it is open, never "
            "strap it up again.",
        ),
        Caution(
            "lift", "Lift",
            "As many people as the mass asks for, or a trolley, sack truck or tail-lift. Look at the way first: "
            "stairs, doors, wet floor, wind. Say out loud when you lift and when you put down.",
        ),
        Caution(
            "van", "Van",
            "Beds on edge stand upright and strapped before the van moves and before the next row. On the tail-lift: "
            "two people hold the bed, feet clear of the edge, nobody below. A bed is a sail in the wind.",
        ),
        Caution("film", "Film", "Keep film and bags away from babies and children: they can suffocate in them."),
        Caution(
            "fire", "Fire",
            "Evidence covers the exact composite that was tested. Any layer, cloth, thread, tuft or tape that is "
            "changed voids it. A class is never read off a list of materials.",
        ),
        Caution(
            "no class", "No class of fire",
            "No ignition hazard class is named for this bed: ask what the law and the place of use want before it is "
            "offered.",
        ),
        Caution(
            "fire load", "Fire load",
            "Foam and wadding burn fast and smoke black: no smoking, no sparks, exits and the gap to the glue heads "
            "kept free.",
        ),
        Caution(
            "infants", "Infants",
            "Not for babies' or small children's beds. Advice on comfort for infants is refused here: follow the "
            "standards for cots and an accredited laboratory.",
        ),
        Caution("lying", "Persons lying", LYING),
        Caution(
            "returns", "Returned beds",
            "A bed that came back rides bagged, never on or against new goods, and never goes out again as new.",
        ),
        Caution(
            "detector", "Metal detector",
            "A metal detector is blind on a finished sprung bed. Panels and borders go through it before build.",
        ),
        Caution(
            "bunk", "Upper bunk",
            "The bed must not stand higher than the mark on the upper bunk: the guard rail has to stay high enough.",
        ),
        Caution(
            "slats", "Slats",
            "Slat gaps wider than the springs bear make holes in the feel and wear the bed; lay it on slats no further "
            "apart than its maker says.",
        ),
        Caution(
            "recovery", "Recovery",
            "Do not lie on a bed that was rolled or pressed until it has recovered its height.",
        ),
    )
}  # fmt: skip


def cautions(keys: Iterable[str]) -> tuple[Caution, ...]:
    """The cautions of these keys, each once, in the order of the table. Raises KeyError for a key that is not there."""
    wanted = set(keys)
    unknown = wanted - CAUTIONS.keys()
    if unknown:
        raise KeyError(", ".join(sorted(unknown)))
    return tuple(caution for key, caution in CAUTIONS.items() if key in wanted)


def bed_keys(
    *, wrap: str, bought_unit: bool, open_coil: bool, hazard: bool, upper_bunk: bool, two_people: bool
) -> tuple[str, ...]:
    """Keys that the sheet of one bed must carry, for those who make it and those who will lie on it."""
    keys = ["film", "fire", "infants", "detector", "slats", "returns"]
    keys += ["rolled", "recovery"] if wrap == "rolled" else []
    keys += ["bale", "recovery"] if bought_unit else []
    keys += ["wire"] if open_coil else []
    keys += [] if hazard else ["no class"]
    keys += ["bunk"] if upper_bunk else []
    keys += ["lift"] if two_people else []
    return tuple(dict.fromkeys(keys))


VAN_KEYS = ("van", "lift")
"""Every van sheet carries these; with collections also `returns`, with rolled beds also `rolled`."""
LABEL_KEYS = ("infants", "film", "fire")
CARD_KEYS = ("needles", "detector", "fire load")
"""Every job card carries these, and those of the work places that its steps pass."""
