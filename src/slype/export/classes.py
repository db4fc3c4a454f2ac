"""The promised JSON form of a class: lengths in mm, masses in g, times in minutes. Documented in docs/json.md."""

from __future__ import annotations

from ..kit.assigned import ReedCut
from ..kit.dyeing import Bath
from ..kit.finishing import Finish
from ..kit.money import Money, Sum
from ..kit.seats import Kit
from ..kit.shopping import Line, Substitute
from ..kit.timetable import Timetable
from ..kit.values import Seat
from ..kit.worked import Worked
from ..reeds import Reed
from .plan import bundle_json


def as_json(made: Worked, names: bool = True) -> dict[str, object]:
    """The whole class; without `names` the students' names stay out."""
    asked = made.asked
    return {
        "title": asked.title,
        "day": None if asked.day is None else asked.day.isoformat(),
        "hours": [asked.starts, asked.ends],
        "breaks": [list(each) for each in asked.breaks],
        "place": asked.place,
        "prepared": asked.prepared,
        "seats": [_kit(made, kit, names) for kit in made.kits],
        "cutting": [_cut(made, cut) for cut in made.reeds],
        "shopping": [_line(line) for line in made.lines],
        "substitutes": [_substitute(each) for each in made.substitutes],
        "dyeing": [_bath(bath) for bath in made.baths],
        "finish": None if made.finish is None else _finish(made.finish),
        "timetable": None if made.when is None else _timetable(made.when),
        "money": None if made.sums is None else _money(made.sums),
        "remarks": [
            {"weight": each.weight, "message": each.message, "where": each.where, "remedy": each.remedy}
            for each in made.remarks
        ],
    }


def _reed(reed: Reed) -> str:
    return reed.key or reed.name


def _n(value: float, digits: int = 1) -> float:
    return round(float(value), digits)


def _seat(seat: Seat, names: bool) -> dict[str, object]:
    return {
        "seat": seat.number,
        "name": seat.name if names else "",
        "spare": seat.spare,
        "design": seat.design,
        "hand": seat.hand,
        "wording": seat.wording,
        "units": seat.units,
        "skill": seat.skill,
        "size": _n(seat.size, 3),
        "colours": dict(seat.colours),
    }


def _kit(made: Worked, kit: Kit, names: bool) -> dict[str, object]:
    lengths = made.lengths.get(kit.seat.number, {})
    bundles = [
        {**bundle_json(each), "cut_mm": [_n(mm) for mm in sorted(lengths.get(each.number, []), reverse=True)]}
        for each in kit.basket.bundles
    ]
    return {**_seat(kit.seat, names), "palette": dict(kit.basket.design.palette), "bundles": bundles}


def _cut(made: Worked, cut: ReedCut) -> dict[str, object]:
    return {
        "reed": _reed(cut.reed),
        "taken_mm": _n(cut.taken_mm),
        "cut_mm": _n(cut.cut_mm),
        "proven": cut.plan.proven and not cut.missing,
        "gap": _n(cut.plan.gap, 5),
        "strands": [
            {
                "number": strand.number,
                "source": strand.source,
                "colour": strand.colour,
                "lies": strand.lies,
                "length_mm": _n(strand.length_mm),
                "left_mm": _n(strand.left_mm),
                "pieces": [
                    {"mm": _n(piece.length_mm), "seat": piece.seat, "bundle": piece.bundle} for piece in strand.pieces
                ],
            }
            for strand in cut.strands
        ],
        "offcuts": [{"colour": colour, "mm": _n(mm), "count": n} for colour, mm, n in cut.offcuts],
        "useful_mm": _n(cut.useful_mm),
        "scrap_mm": _n(cut.scrap_mm),
        "alike_costs": round(cut.alike_costs, 6),
        "missing": [{"mm": _n(mm), "colour": colour, "count": n} for mm, colour, n in cut.missing],
    }


def _line(line: Line) -> dict[str, object]:
    sure = line.sure
    return {
        "reed": _reed(line.reed),
        "packs": line.packs,
        "pack_g": _n(line.mass_g),
        "price": line.price,
        "cost": None if line.cost is None else _n(line.cost, 2),
        "strands": line.strands,
        "strand_mm": _n(line.strand_mm),
        "left": line.left,
        "shelf_used": line.used,
        "shelf": line.shelf,
        "chance": None
        if sure is None
        else {
            "chance": sure.chance,
            "strands": sure.strands,
            "packs": sure.packs,
            "usual_strands": sure.usual_strands,
            "packs_measured": _n(sure.packs_measured, 2),
            "fewest": sure.fewest,
            "most": sure.most,
        },
    }


def _substitute(each: Substitute) -> dict[str, object]:
    return {
        "reed": _reed(each.reed),
        "instead": _reed(each.other),
        "height_mm": _n(each.height_mm),
        "spoke_mm": _n(each.spoke_mm),
        "mass": _n(each.mass, 3),
        "advice": [{"weight": weight, "message": message} for weight, message in each.fresh],
        "trouble": each.trouble,
    }


def _bath(bath: Bath) -> dict[str, object]:
    def known(value: float | None) -> float | None:
        return None if value is None else _n(value, 2)

    return {
        "colour": bath.colour,
        "strands_g": _n(bath.strands_g),
        "pieces_g": _n(bath.pieces_g),
        "baths": bath.baths,
        "litres": _n(bath.litres, 2),
        "kind": bath.recipe.key if bath.recipe else None,
        "by": bath.by,
        "dye_g": known(bath.dye_g),
        "dye_ml": known(bath.dye_ml),
        "salt_ml": known(bath.salt_ml),
        "soda_ml": known(bath.soda_ml),
        "packets": known(bath.packets),
        "reeds": [{"reed": _reed(reed), "g": _n(g), "strands": len(n)} for reed, g, n in bath.reeds],
    }


def _finish(found: Finish) -> dict[str, object]:
    return {
        "available_minutes": _n(found.available),
        "runs": found.runs,
        "usual": found.usual,
        "at_least": found.at_least,
        "chances": [_n(p, 4) for p in found.chances],
        "expected": {prepared: _n(many, 2) for prepared, many in found.expected},
        "seats": [
            {"seat": s.seat, "minutes": _n(s.minutes), "slow_minutes": _n(s.slow_minutes), "odds": _n(s.odds, 3)}
            for s in found.seats
        ],
        "tasks": [
            {
                "key": t.key,
                "band": t.band,
                "lid": t.lid,
                "minutes": _n(t.minutes),
                "usual_done": _n(t.usual_done),
                "slow_done": _n(t.slow_done),
                "done": _n(t.done, 3),
            }
            for t in found.tasks
        ],
        "stop": None if found.stop is None else {"work_minutes": _n(found.stop.work_minutes), "task": found.stop.task},
    }


def _timetable(when: Timetable) -> dict[str, object]:
    return {
        "jobs": [
            {
                "key": job.key,
                "first": job.first,
                "last": job.last,
                "minutes": None if job.minutes is None else _n(job.minutes),
            }
            for job in when.jobs
        ],
        "hours": [
            {
                "key": hour.key,
                "start": _n(hour.start),
                "end": _n(hour.end),
                "task": hour.task,
                "reed": None if hour.reed is None else _reed(hour.reed),
                "bundles": list(hour.bundles),
            }
            for hour in when.hours
        ],
        "rests": [_n(at) for at in when.rests],
        "preparing_minutes": _n(when.preparing_minutes),
    }


def _money(sums: Money) -> dict[str, object]:
    return {
        "currency": sums.currency,
        "lines": [_sum(line) for line in sums.lines],
        "overhead": sums.overhead,
        "total": _n(sums.total, 2),
        "per_seat": _n(sums.per_seat, 2),
        "missing": list(sums.missing),
        "fees": [{"seats": seats, "fee": _n(fee, 2)} for seats, fee in sums.fees],
        "fee": sums.fee,
        "left": None if sums.left is None else _n(sums.left, 2),
        "pays_from": sums.pays_from,
        "rounding": sums.rounding,
        "basket": [_sum(line) for line in sums.basket],
        "price": None if sums.price is None else _n(sums.price, 2),
    }


def _sum(line: Sum) -> dict[str, object]:
    count, unit, price = line.how
    return {
        "key": line.key, "amount": _n(line.amount, 2), "each": line.each, "count": _n(count, 3), "unit": unit,
        "price": _n(price, 4),
    }  # fmt: skip
