"""A border given in one value, for a lid or the foot below a board: a name, or rows."""

from __future__ import annotations

from ...borders.rows import Border, parse_border
from ...borders.table import kind_named
from ...errors import DesignError


def read_border(value: object, where: str, foot: bool = False) -> Border:
    """A border from its name or a list of its rows. Raises DesignError; a named one must be a foot where one is due."""
    if isinstance(value, dict):
        raise DesignError(
            "is one value here, a name or a list of rows, and no table of its own.",
            where,
            'Write it like border = ["behind 1 out", "over 2 down"].',
        )
    if not isinstance(value, str):
        return parse_border(value, where)
    kind = kind_named(value, where)
    if kind.foot != foot:
        said = "is not a foot border" if foot else "is worked on the lower ends, not on the upper edge"
        raise DesignError(f'"{kind.name}" {said}.', where, "Choose another, or give its rows; see: slype border.")
    return kind.border
