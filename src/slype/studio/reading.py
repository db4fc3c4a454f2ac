"""Reading design files for the studio: in a worker, with an end.

A text may come from anywhere, and a few thousand odd signs can keep a reader busy for long. So the program itself reads
none: a worker does, is stopped where it takes too long, and what it found is remembered here for the bench to ask.
"""

from __future__ import annotations

from collections import OrderedDict

from ..errors import DesignError, SlypeError
from .bench import Unread
from .workers import Gone, TooLong, Worker

READ_S = 5.0
"""The longest a text may take to be read: the largest design takes a tenth of a second."""
REMEMBERED = 64


class Reading:
    """What a worker found in each of the last texts: a document, or what is wrong with it."""

    def __init__(self, worker: Worker) -> None:
        self.worker = worker
        self._found: OrderedDict[tuple[str, str], dict | SlypeError] = OrderedDict()

    async def read(self, text: object, name: str) -> dict:
        """The document of a text (see `apply.document`). Raises DesignError where it is no design."""
        if not isinstance(text, str):
            raise DesignError("is not text.", name)
        key = (text, name)
        if key not in self._found:
            try:
                self.know(text, name, await self.worker.ask("read", text, name, seconds=READ_S))
            except Gone:
                raise  # the text did not cause it, so it may be asked again
            except TooLong:
                said = DesignError("takes far longer to read than any design.", name, "Make it smaller or plainer.")
                self.know(text, name, said)
            except SlypeError as trouble:
                self.know(text, name, trouble)
        return self._told(self._found[key])

    def know(self, text: str, name: str, found: dict | SlypeError) -> None:
        """Remember what a worker found."""
        self._found[text, name] = found
        self._found.move_to_end((text, name))
        while len(self._found) > REMEMBERED:
            self._found.popitem(last=False)

    def check(self, text: str, name: str) -> None:
        """Raises what is wrong with a text that has been read; Unread where it has not been."""
        if (text, name) not in self._found:
            raise Unread("was changed by another program this moment.", name, "Try again.")
        self._told(self._found[text, name])

    @staticmethod
    def _told(found: dict | SlypeError) -> dict:
        if isinstance(found, SlypeError):
            raise found.with_traceback(None)
        return found
