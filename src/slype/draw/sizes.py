"""How many dots a picture has: as many across as were asked for, where its height leaves memory for them.

A tower drawn as wide as a bowl would be fifty thousand dots high.
"""

from __future__ import annotations

import math

from ..errors import DesignError

WIDE_PX = 1600
"""Width of a picture, unless asked."""
MANY = 2
"""Dots by dots painted for each dot of a picture, for soft edges."""
MOST_FINE, MOST_PAINTED, MOST_PRINTED, MOST_READ = 10_000_000, 16_000_000, 60_000_000, 12_000_000
"""Dots of a painting with soft edges, of one without (at 46 bytes a dot: 0.9 GB), of a drawing turned into dots, and
those from which a drawing reads what is seen. At 300 dots to an inch, 16 million are 13 inches each way."""


def read(wide: int | None, aspect: float) -> tuple[int, int]:
    """(dots across, dots by dots for each) for a look at what is seen, `wide` of them where the height (`aspect` times
    the width) allows."""
    return min(wide or WIDE_PX, _most_wide(MOST_READ, aspect)), 1


def of_painting(wide: int | None, aspect: float) -> tuple[int, int]:
    """The same for a painting. Raises DesignError where more are asked for than are painted."""
    wide = of_picture(wide, aspect, MOST_PAINTED)
    return wide, MANY if wide * wide * aspect <= MOST_FINE else 1


def of_picture(wide: int | None, aspect: float, most: int = MOST_PRINTED) -> int:
    """Dots across a picture: those asked for, or the usual ones as far as there is room for their height."""
    most_wide = _most_wide(most, aspect)
    if wide is None:
        return min(WIDE_PX, most_wide)
    if wide > most_wide:
        raise DesignError(
            f"{wide:,} dots across would be {wide * aspect:,.0f} down, more than are kept in mind at once.", "width",
            f"At most {most_wide // 10 * 10:,} across for this picture; an .svg is sharp at any size.",
        )  # fmt: skip
    return wide


def _most_wide(most: int, aspect: float) -> int:
    return max(1, math.isqrt(int(most / aspect)))
