"""The pattern page."""

from __future__ import annotations

import re
from pathlib import Path

from django.test import Client

from loomwright.workshop import pages

PATTERN = Path(pages.__file__).parents[1] / "templates" / "workshop" / "pattern"


def test_every_element_that_the_pattern_names_is_shown(here: Client) -> None:
    answer = here.get("/pattern/")
    assert answer.status_code == 200
    shown = {Path(str(template.name)).name for template in answer.templates}
    texts = [path.read_text(encoding="utf-8") for path in PATTERN.glob("*.html")]
    named = set(re.findall(r"parts/(\w+\.html)", "".join(texts)))
    assert len(named) > 20
    assert named <= shown
