"""What is under way in the studio: every basket on the bench, its workers, the reeds coming to rest.

Every change is answered from the quick worker; reeds at rest then follow by themselves and all windows hear of them.
"""

from __future__ import annotations

import asyncio
import contextlib
import os
from collections import OrderedDict

from ..design.rules import UNTITLED
from ..errors import FileTrouble, SlypeError
from ..files import no_larger, write
from .bench import SAVE_AFTER_S, Basket, Bench, name_of, read_text
from .reading import READ_S, Reading
from .shown.class_texts import begun, is_class
from .told.baskets import State
from .told.classes import ClassTold
from .told.tables import Tables
from .workers import CalledOff, Gone, TooLong, Worker

QUICK_S, SLOW_S, ALL_S = 15.0, 120.0, 900.0
"""How long a worker may take: a plan takes milliseconds, a large basket at rest seconds, every sheet and lesson of a
large class minutes."""
LOOK_AT_DISK_S = 1.0
REST_AFTER_S = 0.3
"""Reeds are brought to rest once the maker has paused for so long."""
MOST_SMALL = 60
"""Small pictures kept: 100 to 250 kB each."""
CLOSING = {"closing": True}


class Studio:
    """The bench, its workers and what is going on for each basket."""

    def __init__(self, bench: Bench, reading: Reading) -> None:
        """`reading` is what the bench reads by; its worker answers all that has to be quick."""
        self.bench, self.reading, self.quick = bench, reading, reading.worker
        self.slow, self.papers = Worker("at rest", patient=True), Worker("papers", patient=True)
        self.tables: dict[str, Tables] = {}  # by wording
        self.resting: dict[str, asyncio.Task] = {}
        self.saving: dict[str, asyncio.Task] = {}
        self.looking: dict[str, tuple[str, asyncio.Task]] = {}  # by basket: of which text, and its answer to come
        self.drawn: OrderedDict[str, bytes] = OrderedDict()  # small pictures, by text
        self.titles: dict[str, tuple[str, str]] = {}  # by basket: of which text, and its title

    # The bench, each text read by a worker first ------------------------------------------------------------------

    async def open_file(self, path: object) -> Basket:
        """As `Bench.open_file`."""
        real = self.bench.allowed(path)
        await self.reading.read(read_text(real), os.path.basename(real))
        return self.bench.open_file(path)

    async def open_text(self, text: object, name: object) -> Basket:
        """As `Bench.open_text`."""
        text = no_larger(text, name_of(name))
        await self.reading.read(text, name_of(name))
        return self.bench.open_text(text, name)

    async def open_new(self, begin: dict[str, str]) -> Basket:
        """A small basket to begin from (see `blank`)."""
        return await self.open_text(await self.quick.ask("blank", begin, seconds=READ_S), "new basket")

    async def open_class(self, basket: Basket) -> Basket:
        """The class of a basket that has a file: the file beside it, made for twelve seats where there is none."""
        if basket.memory.path is None:
            raise FileTrouble("this basket has no file yet.", basket.name, "Save it first; the class lies beside it.")
        place = os.path.splitext(basket.memory.path)[0] + "-class.toml"
        real = self.bench.allowed(place)
        if not os.path.exists(real):
            answer = await self.state(basket)
            write(real, begun(answer["title"], os.path.basename(basket.memory.path)))
        return await self.open_file(real)

    async def tables_in(self, wording: str) -> Tables:
        """What may be chosen, in one wording."""
        if wording not in self.tables:
            self.tables[wording] = await self.quick.ask("tables", wording, seconds=QUICK_S)
        return self.tables[wording]

    async def change(self, basket: Basket, changes: list, label: str, merge: str = "") -> None:
        """Apply `changes` (see `apply.apply`) to the current document. Raises DesignError; then nothing is changed."""
        async with basket.turn:
            text, name, revision = basket.text, basket.name, basket.revision + 1
            try:
                edited = await self.quick.ask("change", text, changes, basket.called, revision, seconds=QUICK_S)
            except TooLong as trouble:  # it cannot be reckoned; the change stands all the same, and can be undone
                edited = await self.quick.ask("edit", text, changes, basket.called, seconds=READ_S)
                answer = {"look": None, "trouble": trouble.as_json(), "solid": None}
                edited = {**edited, "answer": {**answer, "ask_again": isinstance(trouble, Gone)}}
            self.reading.know(edited["text"], name, edited["document"])
            self.bench.replace(basket, edited["text"], label, merge, edited["notes"])
            if edited["answer"] is not None:
                self._answered(basket, {**edited["answer"], "document": edited["document"], "text": edited["text"]})

    async def replace(self, basket: Basket, text: object, label: str) -> None:
        """As `Bench.replace`."""
        async with basket.turn:
            text = no_larger(text, basket.name)
            await self.reading.read(text, basket.name)
            self.bench.replace(basket, text, label)

    async def step(self, basket: Basket, by: int) -> None:
        """As `Bench.step`."""
        async with basket.turn:
            self.bench.step(basket, by)

    async def save(self, basket: Basket, path: object = None, over: bool = False) -> None:
        """As `Bench.save`."""
        async with basket.turn:
            await self._read_disk(basket, closely=True)
            self.bench.save(basket, path, over)

    async def settle(self, basket: Basket, keep: object) -> None:
        """As `Bench.settle`."""
        async with basket.turn:
            await self._read_disk(basket, closely=True)
            self.bench.settle(basket, keep)

    async def look_at_disk(self, basket: Basket) -> bool:
        """As `Bench.look_at_disk`."""
        async with basket.turn:
            await self._read_disk(basket)
            return self.bench.look_at_disk(basket)

    async def _read_disk(self, basket: Basket, closely: bool = False) -> None:
        text = self.bench.unread(basket, closely)
        if text is not None:
            with contextlib.suppress(SlypeError):  # the bench will be told as well
                await self.reading.read(text, basket.name)

    async def titles_of(self, baskets: list[Basket]) -> list[str]:
        """What each is called."""
        new = [each for each in baskets if self.titles.get(each.memory.id, ("", ""))[0] != each.text]
        found = [None] * len(new)
        with contextlib.suppress(SlypeError):
            found = await self.quick.ask("titles", [each.text for each in new], seconds=READ_S) if new else []
        for each, title in zip(new, found, strict=True):
            self.titles[each.memory.id] = (each.text, title or UNTITLED)
        return [self.titles[each.memory.id][1] for each in baskets]

    async def small(self, text: str, name: str) -> bytes:
        """A small picture of the basket that a text describes, as PNG. Raises where it is none."""
        if text not in self.drawn:
            self.drawn[text] = await self.papers.ask("small", text, name, seconds=SLOW_S)
            while len(self.drawn) > MOST_SMALL:
                self.drawn.popitem(last=False)
        self.drawn.move_to_end(text)
        return self.drawn[text]

    async def picture(self, basket: Basket, view: str, options: dict[str, bool]) -> bytes:
        """A picture for the page (see `answers.picture`)."""
        text, name, key = basket.text, basket.name, basket.memory.id
        rest = _lies(basket) if options.get("relaxed") else None
        return await self.papers.ask("picture", text, name, key, view, options, rest, seconds=SLOW_S)

    async def paper(self, basket: Basket, kind: str, options: dict[str, str], seconds: float = SLOW_S) -> bytes:
        """A file to take away (see `answers.paper`)."""
        text, called, key = basket.text, basket.called, basket.memory.id
        rest = None if kind == "chart" or is_class(text) else _lies(basket)
        return await self.papers.ask("paper", text, called, key, kind, options, rest, seconds=seconds)

    # Answers -------------------------------------------------------------------------------------------------

    async def state(self, basket: Basket) -> State:
        """The basket as the page shows it; reckoned anew where its document has changed."""
        revision, text, name = basket.revision, basket.text, basket.called
        answer = basket.answer
        beside = self.bench.beside(basket)
        if answer is None or answer["text"] != text or answer.get("ask_again") or answer.get("beside") != beside:
            answer = await self._look(basket, text, name, revision)
        look = answer["look"]
        if basket.rest is not None and basket.rest["text"] == text:
            look = basket.rest.get("look")
        memory = basket.memory
        entries, here = memory.entries, memory.here
        return {
            "id": memory.id,
            "revision": revision,
            "title": _title(answer["document"]),
            "path": memory.path,
            "place": os.path.basename(memory.path) if memory.path else "",
            "saved": basket.saved,
            "conflict": None
            if basket.conflict is None
            else {"message": str(basket.conflict), "readable": basket.readable},
            "undo": entries[here].label if here else None,
            "redo": entries[here + 1].label if here + 1 < len(entries) else None,
            "document": answer["document"],
            "look": look,
            "form": answer.get("form"),
            "trouble": answer["trouble"],
            "notes": list(basket.notes),
            "kit": self._kit(basket, answer),
        }

    def _kit(self, basket: Basket, answer: dict) -> ClassTold | None:
        """What is told of a class: of its baskets at rest once that is known for this text and the files beside it."""
        rest = basket.rest
        if rest is not None and "kit" in rest and (rest["text"], rest["beside"]) == (answer["text"], answer["beside"]):
            return rest["kit"]
        return answer.get("kit")

    def is_at_rest(self, basket: Basket) -> bool:
        """True where what is told of a basket or class as it is now is of reeds at rest."""
        rest = basket.rest
        return self.class_at_rest(basket) or (rest is not None and "look" in rest and rest["text"] == basket.text)

    def class_at_rest(self, basket: Basket) -> bool:
        """True for a class that is told of its baskets at rest."""
        answer = basket.answer
        if answer is None or answer["text"] != basket.text or answer.get("kit") is None:
            return False
        return self._kit(basket, answer) is not answer["kit"]

    async def _look(self, basket: Basket, text: str, name: str, revision: int) -> dict:
        """What the quick worker says of `text`; windows that ask at once share one answer."""
        key = basket.memory.id
        if key not in self.looking or self.looking[key][0] != text:
            self.looking[key] = (text, asyncio.create_task(self._looked(text, name, revision)))
        _, task = self.looking[key]
        answer = await asyncio.shield(task)
        if self.looking.get(key, (None, None))[1] is task:
            del self.looking[key]
        if basket.text == text and basket.answer is not answer:  # else another change came in, and answers for itself
            self._answered(basket, answer)
        return answer

    def _answered(self, basket: Basket, answer: dict) -> None:
        basket.answer = answer
        answer["beside"] = self.bench.beside(basket)
        self.rest(basket)

    async def _looked(self, text: str, name: str, revision: int) -> dict:
        try:
            answer = await self.quick.ask("look", text, name, revision, seconds=QUICK_S)
        except SlypeError as trouble:  # it cannot be reckoned; the change stands all the same, and can be undone
            document = {}
            with contextlib.suppress(SlypeError):
                document = await self.reading.read(text, name)
            answer = {"document": document, "look": None, "trouble": trouble.as_json(), "solid": None}
            answer["ask_again"] = isinstance(trouble, Gone)
        return {**answer, "text": text}

    def solid(self, basket: Basket, relaxed: bool) -> bytes | None:
        """The basket in space (see `solid`), with its reeds at rest where asked for and still true; None before its
        first answer, and where it cannot be woven."""
        rest = basket.rest
        if relaxed and rest is not None and rest["text"] == basket.text:
            return rest["solid"]
        return None if basket.answer is None else basket.answer["solid"]

    def rest(self, basket: Basket) -> None:
        """Bring the current document's reeds to rest in the background, in place of any earlier one."""
        key = basket.memory.id
        if key in self.resting:
            self.resting[key].cancel()
        if basket.answer is not None and basket.answer.get("kit") is not None:
            if self._kit(basket, basket.answer) is basket.answer["kit"]:  # not known at rest yet
                task = self._rest_class(basket, basket.text, basket.answer["beside"])
                self.resting[key] = asyncio.create_task(task)
            return
        if basket.answer is None or basket.answer["look"] is None or basket.answer["look"]["stop"]:
            return
        if basket.rest is not None and basket.rest["text"] == basket.text:
            return
        self.resting[key] = asyncio.create_task(self._rest(basket, basket.text, basket.revision))

    async def _rest(self, basket: Basket, text: str, revision: int) -> None:
        try:
            await asyncio.sleep(REST_AFTER_S)
            rest = await self.slow.ask(
                "at rest",
                text,
                basket.name,
                revision,
                basket.memory.id,
                seconds=SLOW_S,
                progress=lambda share: basket.tell({"resting": round(share, 2), "revision": revision}),
            )
            if basket.text == text:
                basket.rest = {**rest, "text": text}
                basket.tell({"rested": revision})
        except CalledOff:
            pass
        except SlypeError as trouble:
            basket.tell({"rest_failed": str(trouble), "revision": revision})

    async def _rest_class(self, basket: Basket, text: str, beside: tuple[object, ...]) -> None:
        """Bring the baskets of a class to rest; the page then shows their lengths, as the bench does of a basket."""
        try:
            await asyncio.sleep(REST_AFTER_S)
            rest = await self.slow.ask("class at rest", text, basket.called, seconds=ALL_S, progress=lambda share: None)
            if basket.text == text and self.bench.beside(basket) == beside:
                sums = rest.pop("sums")
                if sums is not None:
                    await self.quick.ask("class settled", text, basket.called, sums, seconds=QUICK_S)
                basket.rest = {**rest, "text": text, "beside": beside}
                basket.tell({"rested": basket.revision})
        except CalledOff:
            pass
        except SlypeError as trouble:
            basket.tell({"rest_failed": str(trouble), "revision": basket.revision})

    def changed(self, basket: Basket, by: str) -> None:
        """Tell other windows, and write the file once the maker pauses."""
        basket.tell({"revision": basket.revision, "by": by})
        key = basket.memory.id
        if key in self.saving:
            self.saving[key].cancel()
        if basket.memory.path is not None and not basket.saved:
            self.saving[key] = asyncio.create_task(self._save(basket))

    async def _save(self, basket: Basket) -> None:
        await asyncio.sleep(SAVE_AFTER_S)
        try:
            await self.save(basket)
        except SlypeError as trouble:
            basket.tell({"unsaved": str(trouble)})
        basket.tell({"saved": basket.saved, "revision": basket.revision})

    async def watch_disk(self) -> None:
        """Notice files that others write."""
        while True:
            await asyncio.sleep(LOOK_AT_DISK_S)
            for basket in list(self.bench.baskets.values()):
                if basket.listening:
                    with contextlib.suppress(SlypeError):
                        if await self.look_at_disk(basket):
                            basket.tell({"revision": basket.revision, "by": "disk"})

    def close(self) -> None:
        """End the lines of news and long work, which would keep the program from stopping."""
        for worker in (self.quick, self.slow, self.papers):
            worker.close()
        for basket in self.bench.baskets.values():
            basket.tell(CLOSING)

    def save_all(self) -> None:
        """Write what still waits, before the program ends."""
        for basket in self.bench.baskets.values():
            if basket.memory.path is not None and not basket.saved:
                with contextlib.suppress(SlypeError):
                    self.bench.save(basket)


def _lies(basket: Basket) -> bytes | None:
    """Where the basket's reeds lie at rest, as the page shows them: what draws them need not settle them anew. None
    where that is not known yet: it settles them itself, for whoever knows may be busy with another basket for long."""
    rest = basket.rest
    return rest.get("lies") if rest is not None and rest["text"] == basket.text else None


def _title(document: dict) -> str:
    """What a basket or a class is called."""
    table = document.get("class" if "class" in document else "basket", {})
    title = table.get("title") if isinstance(table, dict) else None
    return title if isinstance(title, str) and title else UNTITLED
