"""Every link of the site leads somewhere, and no page is wider than a phone."""

from __future__ import annotations

import re
from collections import Counter, deque
from collections.abc import Iterator
from urllib.parse import quote, urldefrag, urlsplit

import pytest
from playwright.sync_api import Browser, BrowserContext, Error, Page

from sample.site import CHROMIUM, Site, browser, open_site

pytestmark = pytest.mark.skipif(not CHROMIUM.exists(), reason="needs a browser at its usual place")

LOOKED_AT, ASKED_FOR = 1, 2
"""Of the pages of one shape: how many are shown on a phone, and how many are asked for at all."""
SHAPES_AT_LEAST = 40
NAMED = re.compile(r"/(plugs|items|readings|photos|history|figures|paste|tables|rows)/.+")
LINKS = """() => [...document.querySelectorAll('a[href]')]
    .map(a => new URL(a.getAttribute('href'), location).href)"""
WIDE = "() => document.documentElement.scrollWidth - window.innerWidth"
ODD = ("nothing-here", "<b>", '"', "../..", "%", "a b", "Ä", "שלום", "🚗", "x" * 300, "a/b", "\\")


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Site]:
    with open_site(tmp_path_factory.mktemp("workshop")) as opened:
        yield opened


@pytest.fixture(scope="module")
def chromium() -> Iterator[Browser]:
    with browser() as opened:
        yield opened


@pytest.fixture
def phone(chromium: Browser, site: Site) -> Iterator[BrowserContext]:
    context = chromium.new_context(viewport={"width": 360, "height": 740}, base_url=site.address)
    yield context
    context.close()


def shape(address: str) -> str:
    """Addresses of one shape are made by the same view from the same fields."""
    parts = urlsplit(address)
    asked = sorted(pair.partition("=")[0] for pair in parts.query.split("&"))
    path = NAMED.sub(r"/\1/*", parts.path)
    return f"{path}?{'&'.join(asked)}"


def shown(page: Page, address: str) -> tuple[int, str]:
    """Status and kind of what the phone shows there; of a file that it would keep, what it gets."""
    try:
        answer = page.goto(address) or page.request.get(address)
    except Error:
        answer = page.request.get(address)
    return answer.status, answer.headers["content-type"]


def looked_at(page: Page, address: str, wrong: list[str]) -> list[str]:
    """The links of the page that is shown, as the phone resolves them."""
    if over := max(0, page.evaluate(WIDE)):
        wrong.append(f"{address}: {over} px wider than the phone")
    return [urldefrag(link).url for link in page.evaluate(LINKS)]


def test_every_link_leads_to_a_page_that_fits_a_phone(phone: BrowserContext, site: Site) -> None:
    page, wrong = phone.new_page(), list[str]()
    waiting, known, shapes = deque([f"{site.address}/"]), {f"{site.address}/"}, Counter[str]()
    while waiting:
        address = waiting.popleft()
        path = address.removeprefix(site.address)
        shapes[shape(path)] += 1
        if shapes[shape(path)] > ASKED_FOR:
            continue
        if shapes[shape(path)] > LOOKED_AT:
            if (status := phone.request.get(address).status) != 200:
                wrong.append(f"{path}: {status}")
            continue
        status, kind = shown(page, address)
        if status != 200:
            wrong.append(f"{path}: {status}")
        if "text/html" not in kind:
            continue
        for link in looked_at(page, address, wrong):
            if link.startswith(f"{site.address}/") and link not in known:
                known.add(link)
                waiting.append(link)
    assert wrong == []
    assert len(shapes) >= SHAPES_AT_LEAST


@pytest.mark.parametrize("odd", ODD)
def test_an_address_with_odd_letters_is_no_mistake_of_ours(phone: BrowserContext, odd: str) -> None:
    job, name = "/jobs/tarn-2300", quote(odd, safe="")
    for address in (
        f"/{name}/", f"/jobs/{name}/", f"/jobs/{name}/suspects/", f"{job}/plugs/{name}/",
        f"{job}/plugs/TE/?cavity={name}", f"{job}/plugs/TE/cavity/{name}/", f"{job}/items/{name}/",
        f"{job}/photos/{name}", f"{job}/tables/{name}/", f"{job}/paste/{name}/",
        f"{job}/rows/{name}/", f"{job}/rows/wires/{name}/", f"{job}/readings/{name}/",
        f"{job}/readings/{name}/meaning/",
    ):  # fmt: skip
        assert phone.request.get(address, max_redirects=0).status in (302, 400, 404), address
    for asked in (
        f"/search/?q={name}", f"/search/?q=W1&page={name}", f"/jobs/start/?earlier={name}",
        f"{job}/tables/wires/?find={name}&page={name}", f"{job}/differences/?with={name}",
        f"{job}/measure/?plus={name}&minus={name}&quantity={name}&state={name}",
        f"{job}/measure/own/?plus={name}&minus={name}",
        f"{job}/rows/wires/?from={name}&back={name}",
    ):  # fmt: skip
        assert phone.request.get(asked).status in (200, 400, 404), asked
