"""Groups follow the count: another number of ends keeps a base tied over its four arms, and opened as it was.

A maker who asks for 32 ends in place of 24 means the same base on more sticks. So groups that lay on the arms of the
cross lie on them again, and groups that opened an arm into halves or thirds open it so again, on a count that divides
evenly where there is one near.
"""

from __future__ import annotations

from ..design.values import arms, group_sizes
from ..form.tiers import FEWEST_ENDS
from .sizes import Note

ARMS = 4


def follow_count(old: dict, new: dict, usual: str) -> list[Note]:
    """The notes of what follows another count of ends round the base, in `new`, the tables of a basket or of a lid.

    Only the bands of the base are touched, from the middle outwards until one adds ends; `usual` is where a band lies
    that does not say.
    """
    before, now = at_base(old), at_base(new)
    if before is None or now is None or before == now:
        return []
    arm: tuple[int, int] | None = None
    tied = True
    notes: list[Note] = []
    for i, band in enumerate(new.get("band", [])):
        if band.get("where", usual) != "base" or band.get("add"):
            break
        group = band.get("groups", 1)
        if not isinstance(group, int) or isinstance(group, bool) or group < 2:
            continue
        to = _tied(group, before, now) if tied else None
        if to is not None:
            arm = (before // ARMS, to)
        else:
            to = _opened(group, before, now, arm)
        tied = False
        if to != group:
            if to == 1:
                del band["groups"]
                band.pop("odd", None)
            else:
                band["groups"] = to
            notes.append(("Band {n}: groups of {now}, to suit {ends} ends.", {"n": i + 1, "now": to, "ends": now}))
    return notes


def tie_again(new: dict) -> list[Note]:
    """The notes of a base that is round again and so has four arms: its first band ties them and each later one opens
    them in halves, the last over single ends. Only where no band of it is worked over groups already, and where the
    count makes arms that groups can tie."""
    ends, bands = at_base(new), [(i, b) for i, b in enumerate(new.get("band", [])) if b.get("where") == "base"]
    if ends is None or len(bands) < 2 or any("groups" in band or "add" in band for _, band in bands):
        return []
    group = ends // ARMS
    if group < 2 or group_sizes(ends, group) != arms(ends):
        return []
    notes: list[Note] = []
    for i, band in bands[:-1]:
        band["groups"] = group
        notes.append(("Band {n} is over groups of {now}: a round base has four arms.", {"n": i + 1, "now": group}))
        if group % 2 or group == 2:
            break
        group //= 2
    return notes


def at_base(tables: dict) -> int | None:
    """Ends round the base; None where they are not said."""
    spokes = tables["spokes"]
    ends = spokes.get("ends")
    if spokes.get("inserted"):
        usual = max(FEWEST_ENDS, ends // 2) if isinstance(ends, int) else None
        ends = spokes.get("base_ends", usual)
    return ends if isinstance(ends, int) and not isinstance(ends, bool) and ends > 0 else None


def _tied(group: int, before: int, now: int) -> int | None:
    """The groups of a band that ties the four arms of the cross, or None where this one did not."""
    sizes = group_sizes(before, group)
    if len(sizes) != ARMS or now < 2 * ARMS:
        return None
    to = now // ARMS
    return to if sorted(sizes) == sorted(arms(before)) and len(group_sizes(now, to)) == ARMS else None


def _opened(group: int, before: int, now: int, arm: tuple[int, int] | None) -> int:
    """The groups of a band that opens the arms: as many to an arm as before, on a count that comes out even if one is
    near."""
    if arm is not None:
        wanted = arm[1] / max(1, round(arm[0] / group))
        most = arm[1] - 1
    else:
        wanted, most = group * now / before, now // 2
    even = [n for n in range(2, most + 1) if now % n == 0 and abs(n - wanted) <= max(1.0, wanted / 3)]
    if even:
        return min(even, key=lambda n: (abs(n - wanted), n))
    return min(max(1, int(wanted)), max(1, most))
