"""Measuring at the real site: by keyboard alone, by the number pad under a thumb, out of reach."""

from __future__ import annotations

import csv
import re
from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, BrowserContext, Locator, Page, expect

from sample.site import CHROMIUM, Site, browser, open_site

pytestmark = pytest.mark.skipif(not CHROMIUM.exists(), reason="needs a browser at its usual place")

JOB = "/jobs/tarn-2300/"
ASKED = f"{JOB}measure/?quantity=ohm&plus=CU.6&minus=CU.7&unplugged=CU&state=key%3Doff"
MOST_TABS = 40


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Site]:
    with open_site(tmp_path_factory.mktemp("workshop")) as opened:
        yield opened


@pytest.fixture(scope="module")
def chromium() -> Iterator[Browser]:
    with browser() as opened:
        yield opened


@pytest.fixture
def bench(chromium: Browser, site: Site) -> Iterator[Page]:
    """A laptop with a keyboard."""
    context = chromium.new_context(viewport={"width": 1280, "height": 800}, base_url=site.address)
    yield _page(context)
    context.close()


@pytest.fixture
def phone(chromium: Browser, site: Site) -> Iterator[Page]:
    context = chromium.new_context(
        viewport={"width": 360, "height": 740},
        has_touch=True,
        is_mobile=True,
        base_url=site.address,
    )
    yield _page(context)
    context.close()


def _page(context: BrowserContext) -> Page:
    context.set_default_timeout(15_000)
    return context.new_page()


def tab_to(page: Page, wanted: Locator) -> None:
    """Go there as somebody does who has no mouse."""
    expect(wanted).to_be_visible(timeout=20_000)
    for _ in range(MOST_TABS):
        page.keyboard.press("Tab")
        if wanted.evaluate("element => element === document.activeElement"):
            return
    pytest.fail(f"{MOST_TABS} times Tab do not lead there")


def readings(page: Page) -> list[str]:
    """The values of all readings, in the order of their table."""
    text = page.request.get(f"{JOB}tables/readings/?as=csv").text()
    return [row["value"] for row in csv.DictReader(text.splitlines())]


def test_the_offered_reading_is_taken_with_the_keyboard_alone(bench: Page) -> None:
    before = len(readings(bench))
    bench.goto(f"{JOB}measure/")
    value = bench.get_by_role("textbox", name="It reads")
    expect(value).to_be_visible(timeout=20_000)
    bench.keyboard.press("Tab")
    bench.keyboard.press("Enter")  # over the navigation, to the page's matter
    tab_to(bench, value)
    bench.keyboard.type("OL")
    bench.keyboard.press("Enter")
    bench.wait_for_url(re.compile(r"/readings/R\d+/$"))
    expect(bench.locator(".verdict")).to_contain_text("OL")
    assert readings(bench)[before:] == ["OL"]
    tab_to(bench, bench.get_by_role("link", name="Take it", exact=True))
    bench.keyboard.press("Enter")
    bench.wait_for_url(re.compile(r"/measure/\?.*plus="))
    expect(value).to_be_visible()


def test_a_value_is_typed_with_the_pad_under_a_thumb(phone: Page) -> None:
    before = len(readings(phone))
    phone.goto(ASKED)
    value = phone.get_by_role("textbox", name="It reads")
    pad = phone.get_by_role("group", name="Number pad")
    for key in ("0", "Decimal point", "4", "3", "9", "Take the last back", "1", "kilo, k"):
        pad.get_by_role("button", name=key, exact=True).tap()
    expect(value).to_have_value("0.431k")
    expect(value).to_have_attribute("inputmode", "none")  # no keyboard over the page
    phone.get_by_role("button", name="Keep reading").tap()
    phone.wait_for_url(re.compile(r"/readings/R\d+/$"))
    expect(phone.locator(".verdict")).to_contain_text("431 Ω")
    assert readings(phone)[before:] == ["431"]


def test_over_range_and_a_sign_are_on_the_pad_too(phone: Page) -> None:
    phone.goto(ASKED)
    value = phone.get_by_role("textbox", name="It reads")
    pad = phone.get_by_role("group", name="Number pad")
    pad.get_by_role("button", name="Over range, OL").tap()
    expect(value).to_have_value("OL")
    pad.get_by_role("button", name="5", exact=True).tap()
    expect(value).to_have_value("5")
    pad.get_by_role("button", name="Minus").tap()
    expect(value).to_have_value("-5")


def test_readings_typed_out_of_reach_arrive_once_and_in_order(phone: Page, site: Site) -> None:
    before = len(readings(phone))
    phone.goto(ASKED)
    value = phone.get_by_role("textbox", name="It reads")
    site.close()
    for text, words in (("433", "1 entry kept on this device"), ("0,434k", "2 entries kept")):
        value.fill(text)
        phone.get_by_role("button", name="Keep reading").tap()
        expect(phone.locator("#link")).to_contain_text(words)
        expect(value).to_have_value("")
    site.open()
    phone.evaluate("dispatchEvent(new Event('online'))")
    expect(phone.locator("#link")).to_contain_text("Sent: 2 entries", timeout=20_000)
    phone.reload()
    phone.wait_for_load_state("networkidle")
    assert readings(phone)[before:] == ["433", "434"]
