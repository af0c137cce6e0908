"""Every page for everyone: axe-core, thumbs, small screens, light and dark.

axe-core is the open-source checker of WCAG rules by Deque; the size of targets is this project's
own 48 px, above the 24 px of WCAG 2.2, 2.5.8.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import axe_playwright_python
import pytest
from playwright.sync_api import Browser, Page, ViewportSize

from sample.site import CHROMIUM, Site, browser, open_site, settle

pytestmark = pytest.mark.skipif(not CHROMIUM.exists(), reason="needs a browser at its usual place")

JOB = "/jobs/tarn-2300/"
PAGES = (
    "/", "/pattern/", "/person/", "/settings/", "/search/?q=W1", "/search/?q=nothing-like-it",
    "/jobs/start/", "/jobs/bring/", JOB, f"{JOB}loom/", f"{JOB}tables/wires/",
    f"{JOB}tables/crimps/",
    f"{JOB}paste/wires/", f"{JOB}rows/wires/", f"{JOB}plugs/TE/", f"{JOB}plugs/CU/?cavity=3",
    f"{JOB}items/W01/", f"{JOB}measure/", f"{JOB}readings/R03/", f"{JOB}suspects/", f"{JOB}steps/",
    f"{JOB}heat/",
    f"{JOB}crimps/", f"{JOB}proof/", f"{JOB}parts/", f"{JOB}quote/", f"{JOB}papers/",
    f"{JOB}new-loom/", f"{JOB}new-loom/laying/?step=2", f"{JOB}new-loom/board/",
    f"{JOB}new-loom/cut/", f"{JOB}new-loom/verify/", "/bundle/?wires=8x2.0+1.6",
    f"{JOB}history/", "/no-such-page/", "/jobs/no-such-job/",
)  # fmt: skip
AXE = Path(axe_playwright_python.__file__).with_name("axe.min.js").read_text(encoding="utf-8")
RUN = "rules => axe.run({runOnly: rules, resultTypes: ['violations']})"
PHONE = ViewportSize(width=360, height=740)
TABLET = ViewportSize(width=800, height=1280)
OF_COLOURS = ["color-contrast", "link-in-text-block"]
"""All that a dark page can have of its own; its markup is the light one's."""
RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]

# Links inside a sentence are free of the rule, as in WCAG 2.5.8; labels count with their box.
SMALL = """() => [...document.querySelectorAll(
    'a[href], button, input:not([type=hidden]), select, textarea, summary')]
  .filter(thing => !thing.closest('.skip, p.lead, td p, figcaption, li p, dd'))
  .map(thing => [thing, (thing.closest('label') || thing).getBoundingClientRect()])
  .filter(([thing, box]) => box.width > 0 && box.height > 0
    && (box.width < 47.5 || box.height < 47.5)
    && !(thing.tagName === 'A' && thing.parentElement.tagName === 'P'
         && thing.parentElement.textContent.trim() !== thing.textContent.trim()))
  .map(([thing, box]) => `${thing.outerHTML.slice(0, 90)} ${box.width} x ${box.height}`)"""
WIDE = "() => document.documentElement.scrollWidth - window.innerWidth"


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Site]:
    with open_site(tmp_path_factory.mktemp("workshop")) as opened:
        yield opened


@pytest.fixture(scope="module")
def chromium() -> Iterator[Browser]:
    with browser() as opened:
        yield opened


@pytest.fixture(scope="module")
def phone(chromium: Browser, site: Site) -> Iterator[Page]:
    context = chromium.new_context(viewport=PHONE, has_touch=True, base_url=site.address)
    yield context.new_page()
    context.close()


def told(result: dict[str, Any]) -> list[str]:
    return [
        f"{found['id']} ({found['impact']}): {node['html'][:120]}"
        for found in result["violations"]
        for node in found["nodes"]
    ]


@pytest.mark.parametrize("address", PAGES)
def test_a_page_is_for_everyone(phone: Page, address: str) -> None:
    said: list[str] = []
    phone.on("pageerror", lambda failure: said.append(str(failure)))
    phone.on("console", lambda line: said.append(line.text) if line.type == "error" else None)
    phone.goto(address)
    settle(phone)
    missing = "404 (Not Found)" if "no-such" in address else "nothing"
    assert [line for line in said if missing not in line] == []

    assert phone.evaluate(SMALL) == []
    for viewport in (PHONE, TABLET):
        phone.set_viewport_size(viewport)
        assert phone.evaluate(WIDE) <= 0
    phone.set_viewport_size(PHONE)

    phone.evaluate(AXE)  # not as a script of the page: its policy would keep it out, as it should
    for scheme, rules in (("light", RULES), ("dark", OF_COLOURS)):
        phone.emulate_media(color_scheme=scheme)  # type: ignore[arg-type]
        assert told(phone.evaluate(RUN, rules)) == [], scheme
