"""The real site as people use it: two tablets, a lost connection, no JavaScript, another device."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect

from sample.site import CHROMIUM, Site, browser, open_site

pytestmark = pytest.mark.skipif(not CHROMIUM.exists(), reason="needs a browser at its usual place")

JOB = "/jobs/tarn-2300/"
Tablet = Callable[..., Page]


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Site]:
    with open_site(tmp_path_factory.mktemp("workshop"), host="0.0.0.0") as opened:
        yield opened


@pytest.fixture(scope="module")
def chromium() -> Iterator[Browser]:
    with browser() as opened:
        yield opened


@pytest.fixture
def tablet(chromium: Browser, site: Site) -> Iterator[Tablet]:
    """Makes tablets, each with cookies and entries of its own."""
    made: list[BrowserContext] = []

    def another(*, scripts: bool = True) -> Page:
        context = chromium.new_context(
            viewport={"width": 800, "height": 1280},
            base_url=site.address,
            java_script_enabled=scripts,
        )
        context.set_default_timeout(15_000)
        made.append(context)
        return context.new_page()

    yield another
    for context in made:
        context.close()


def new_stock(page: Page, count: str, note: str) -> None:
    page.goto(f"{JOB}rows/stock/")
    page.fill("[name=part]", "REC28")
    page.fill("[name=count]", count)
    page.fill("[name=note]", note)


def stocked(page: Page, note: str) -> int:
    """How many rows of the drawer carry a note."""
    page.goto(f"{JOB}tables/stock/")
    return page.locator("tbody tr", has_text=note).count()


def test_two_tablets_add_a_row_each_and_both_are_kept(tablet: Tablet) -> None:
    first, second = tablet(), tablet()
    new_stock(first, "3", "from the first")
    new_stock(second, "4", "from the second")
    for page in (first, second):
        page.get_by_role("button", name="Keep", exact=True).click()
        page.wait_for_url(re.compile("(?<!/rows/stock/)$"))
    assert stocked(first, "from the first") == stocked(first, "from the second") == 1


def test_the_second_of_two_tablets_chooses(tablet: Tablet, site: Site) -> None:
    first, second = tablet(), tablet()
    for page in (first, second):
        page.goto(f"{JOB}tables/wires/")
        page.locator("tbody tr", has_text="W1").first.get_by_role("link").first.click()
        page.locator("[name=length_mm]").wait_for()
    for page, length in ((first, "1111"), (second, "2222")):
        page.fill("[name=length_mm]", length)
        page.get_by_role("button", name="Keep", exact=True).click()
    expect(second.get_by_role("heading", level=1)).to_have_text("Two values for one field")
    expect(second.get_by_text("2222")).to_be_visible()
    second.get_by_label("1111").check()
    second.get_by_role("button", name="Keep the chosen values").click()
    second.goto(f"{JOB}tables/wires/")
    expect(second.locator("tbody tr", has_text="1111")).to_have_count(1)
    expect(second.locator("tbody tr", has_text="2222")).to_have_count(0)


def test_what_is_typed_while_the_workshop_is_gone_arrives_once(tablet: Tablet, site: Site) -> None:
    page = tablet()
    new_stock(page, "7", "typed in the yard")
    site.close()
    page.get_by_role("button", name="Keep", exact=True).click()
    expect(page.locator("#link")).to_contain_text("1 entry kept on this device")
    site.open(host="0.0.0.0")
    page.evaluate("dispatchEvent(new Event('online'))")
    expect(page.locator("#link")).to_contain_text("Sent: 1 entry", timeout=20_000)
    assert stocked(page, "typed in the yard") == 1


def test_what_was_typed_and_not_sent_is_put_back_with_a_button_for_a_thumb(tablet: Tablet) -> None:
    page = tablet()
    new_stock(page, "9", "a draft")
    expect(page.locator("[name=note]")).to_have_value("a draft")
    page.reload()
    expect(page.locator("[name=note]")).to_have_value("a draft")
    box = page.locator(".draft-note button").bounding_box()
    assert box
    assert min(box["width"], box["height"]) >= 47.5


def test_forms_do_without_scripts(tablet: Tablet) -> None:
    page = tablet(scripts=False)
    new_stock(page, "many", "by hand")
    page.get_by_role("button", name="Keep", exact=True).click()
    expect(page.get_by_role("alert")).to_contain_text("is not a number")
    page.fill("[name=count]", "6")
    page.get_by_role("button", name="Keep", exact=True).click()
    assert stocked(page, "by hand") == 1


def test_a_phone_comes_in_by_the_link_of_the_code(tablet: Tablet, site: Site) -> None:
    if not site.elsewhere:
        pytest.skip("this machine is on no network")
    page = tablet()
    link = site.elsewhere[0]
    page.goto(link.partition("/join/")[0])
    expect(page.get_by_role("heading", level=1)).to_have_text("This device is not let in yet")
    page.goto(link)
    page.fill("input[name=name]", "Sam")
    page.get_by_role("button", name="Write as this name").click()
    expect(page.get_by_role("link", name="Sam")).to_be_visible()
