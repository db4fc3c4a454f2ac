"""What a studio and its workers load and make ready, loaded once for all (see `nursery`)."""

import gc

gc.disable()

from places import SOURCE  # noqa: E402
from samples import pot_text  # noqa: E402

from slype.design.file.reader import parse  # noqa: E402
from slype.make.baskets import settled  # noqa: E402
from slype.studio import answers, workers  # noqa: E402, F401
from slype.studio.asked import app, serve  # noqa: E402, F401
from slype.studio.shown import classes  # noqa: E402, F401

answers.warm_up()
if next(SOURCE.rglob("*.nbi"), None):  # in a fresh clone others compile the loops meanwhile
    settled(parse(pot_text()), cores=1)
    answers.small(pot_text(), "pot", lambda share: None)
    answers.forget()
gc.freeze()
