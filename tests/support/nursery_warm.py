"""What a studio and its workers load and make ready, loaded once for all (see `nursery`)."""

import gc
import importlib
import os

from in_turn import compile_in_turn
from places import FOLDER
from samples import pot_text

from slype.design.file.reader import parse
from slype.make.baskets import settled
from slype.studio import answers

for name in (
    "anyio._backends._asyncio", "uvicorn.lifespan.on", "uvicorn.loops.auto", "uvicorn.protocols.http.auto",
    "slype.cli.commands", "slype.studio.already", "slype.studio.asked.app", "slype.studio.asked.serve",
    "slype.studio.shown.classes",
):  # fmt: skip
    importlib.import_module(name)
answers.warm_up()
if FOLDER in os.environ:
    compile_in_turn(os.environ[FOLDER])  # in a fresh clone others are at it, too
settled(parse(pot_text()), cores=1)
answers.small(pot_text(), "pot", lambda share: None)
answers.forget()
gc.freeze()
