"""The page of a class: when it can be used, waiting for what it shows, and what stands in the class's file."""

import tomllib

from browser import comes_true

READY = "document.documentElement.dataset.ready === 'yes' && document.querySelectorAll('.students tbody tr').length > 0"


def until(page, expression, seconds=30.0):
    """Waits for what an expression says in the page, also while it goes to another one."""
    assert comes_true(page, expression, seconds, patient=True), f"still not: {expression}"


def in_file(path):
    return tomllib.loads(path.read_text("utf-8"))


def open_card(page, pane, table):
    page.click(f"#pane-{pane}")
    page.click(f"[data-at='[\"{table}\"]'] > summary")
