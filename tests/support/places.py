"""Where things lie that tests look at."""

from pathlib import Path

import slype

ROOT = Path(__file__).parents[2]
AUTHORITIES = ROOT / "tests" / "authorities"
"""Published figures, raw."""
FOLDER = "SLYPE_TESTS_WORKED"
"""The surroundings' word for the folder of this run, which is gone afterwards (see `worked`)."""
SOURCE = Path(slype.__file__).parent
EXAMPLES = SOURCE / "examples"
EXAMPLE_NAMES = sorted(path.stem for path in EXAMPLES.glob("*.toml"))
PAGE = SOURCE / "studio" / "page"
SHARED = SOURCE / "page"
"""What the studio's page and the lesson's both take."""
