"""The page of a class: when it can be used, waiting for what it shows, and what stands in the class's file."""

import contextlib
import tomllib

from studio_run import wait_until

READY = "document.documentElement.dataset.ready === 'yes' && document.querySelectorAll('.students tbody tr').length > 0"


def until(page, expression, seconds=30.0):
    """Waits for what an expression says in the page, also while it goes to another one."""

    def said():
        with contextlib.suppress(Exception):  # the page is on its way to another
            return page.evaluate(expression)
        return False

    assert wait_until(said, seconds), f"still not: {expression}"


def in_file(path):
    return tomllib.loads(path.read_text("utf-8"))


def open_card(page, pane, table):
    page.click(f"#pane-{pane}")
    page.click(f"[data-at='[\"{table}\"]'] > summary")
