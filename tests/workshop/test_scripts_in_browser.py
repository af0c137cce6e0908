"""The site's own scripts in a real browser, over plain http, with a shaky connection."""

from __future__ import annotations

import io
from collections.abc import Iterator
from pathlib import Path

import attrs
import pytest
from PIL import Image
from playwright.sync_api import Browser, BrowserContext, Page, expect, sync_playwright

from sample.flaky_workshop import FlakyWorkshop, Serving

CHROMIUM = Path("/usr/bin/chromium")
ARGUMENTS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--host-resolver-rules=MAP workshop.test 127.0.0.1",
]
KEPT = "No connection. {} kept on this device; {} out when the workshop is back."
ONE_KEPT = KEPT.format("1 entry", "it goes")
STORED = """() => new Promise((resolve) => {
  const asked = indexedDB.open("workshop", 1);
  asked.onsuccess = () => {
    const all = asked.result.transaction("entries").objectStore("entries").getAll();
    all.onsuccess = () => { asked.result.close(); resolve(all.result.length); };
  };
})"""

expect.set_options(timeout=15_000)  # a busy machine is no failure

pytestmark = pytest.mark.skipif(not CHROMIUM.exists(), reason="needs a browser at its usual place")


@attrs.frozen
class Tablet:
    """A browser at a workshop of its own; what it keeps is apart from other tests' by the port."""

    context: BrowserContext
    workshop: FlakyWorkshop
    address: str

    def open(self, path: str = "/form") -> Page:
        page = self.context.new_page()
        page.goto(self.address + path)
        return page


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with sync_playwright() as playwright:
        opened = playwright.chromium.launch(executable_path=CHROMIUM, args=ARGUMENTS)
        yield opened
        opened.close()


@pytest.fixture(scope="module")
def failures() -> list[str]:
    """Errors of the scripts, and what the content policy forbids."""
    return []


@pytest.fixture(scope="module")
def context(browser: Browser, failures: list[str]) -> BrowserContext:
    context = browser.new_context()
    context.set_default_timeout(15_000)
    context.on("weberror", lambda failure: failures.append(str(failure.error)))
    context.on("console", lambda told: "Policy" in told.text and failures.append(told.text))
    return context


@pytest.fixture
def tablet(context: BrowserContext, failures: list[str]) -> Iterator[Tablet]:
    failures.clear()
    with Serving() as serving:
        yield Tablet(context, serving.workshop, serving.address)
        for page in context.pages:
            page.close()
    assert not failures


def fill_in(page: Page, value: str, *, state: str = "Done") -> None:
    page.fill("[name=value]", value)
    page.click(f"text={state}")


def wake(page: Page) -> None:
    page.evaluate("dispatchEvent(new Event('online'))")


def stored(page: Page, number: int) -> None:
    """Waits until so many entries are kept on the device."""
    for _ in range(80):
        if page.evaluate(STORED) == number:
            return
        page.wait_for_timeout(50)
    pytest.fail(f"{page.evaluate(STORED)} entries are kept, not {number}")


def picture(*, side: int = 64) -> bytes:
    file = io.BytesIO()
    Image.effect_noise((side, side), 80).save(file, "PNG")
    return file.getvalue()


def says(page: Page, words: str) -> None:
    expect(page.locator("#link")).to_contain_text(words, timeout=5000)


# Sending


def test_a_form_is_sent_with_the_button_pressed_and_leads_on(tablet: Tablet) -> None:
    page = tablet.open()
    assert page.evaluate("isSecureContext") is False  # as in a workshop: plain http, no name
    fill_in(page, "47", state="Failed")
    page.wait_for_url("**/done")
    (taken,) = tablet.workshop.sent
    assert taken.fields["state"] == "failed"
    assert taken.headers["X-Entry"] == taken.fields["entry"] == "token-0000"
    stored(page, 0)


def test_the_answer_to_a_sent_entry_is_asked_for_with_its_token(tablet: Tablet) -> None:
    page = tablet.open()
    fill_in(page, "47")
    page.wait_for_url("**/done")
    expect(page.locator("h1")).to_have_text("Taken")
    # The script follows to learn the address, then the browser goes there itself.
    assert tablet.workshop.redirected_with == ["token-0000", None]


def test_the_form_key_is_the_one_of_now(tablet: Tablet) -> None:
    page = tablet.open()
    fill_in(page, "47")
    page.wait_for_url("**/done")
    (taken,) = tablet.workshop.sent
    assert taken.headers["X-CSRFToken"] == "as-it-is-now"
    assert "csrfmiddlewaretoken" not in taken.fields


def test_two_quick_taps_make_one_entry(tablet: Tablet) -> None:
    page = tablet.open()
    page.fill("[name=value]", "47")
    page.evaluate("() => { const b = document.querySelector('button'); b.click(); b.click(); }")
    page.wait_for_url("**/done")
    assert len(tablet.workshop.sent) == 1


def test_without_scripts_the_form_works_as_well(browser: Browser) -> None:
    with Serving() as serving:
        context = browser.new_context(java_script_enabled=False)
        page = context.new_page()
        page.goto(serving.address + "/form")
        fill_in(page, "47")
        page.wait_for_url("**/done")
        context.close()
        assert serving.workshop.values() == ["47"]


# No connection


@pytest.mark.parametrize("mode", ["off", "captive", 503])
def test_what_nobody_took_is_kept_and_the_form_is_ready_for_the_next(
    tablet: Tablet, mode: str | int
) -> None:
    page = tablet.open()
    tablet.workshop.mode = mode
    fill_in(page, "47")
    says(page, ONE_KEPT)
    expect(page.locator("form")).to_have_attribute("data-kept", "")
    expect(page.locator("[name=value]")).to_have_value("")
    assert page.input_value("[name=entry]").startswith("token-0000.")
    stored(page, 1)


def test_kept_entries_go_out_in_the_order_they_were_typed(tablet: Tablet) -> None:
    page = tablet.open()
    tablet.workshop.mode = "off"
    for value, words in (("1", ONE_KEPT), ("2", "2 entries"), ("3", "3 entries")):
        fill_in(page, value)
        says(page, words)
    tablet.workshop.mode = "on"
    wake(page)
    says(page, "Sent: 3 entries.")
    assert tablet.workshop.values() == ["1", "2", "3"]
    assert len(tablet.workshop.taken) == 3
    assert page.locator("form[data-kept]").count() == 0
    page.fill("[name=value]", "")
    page.click("#link >> text=Show this page anew")
    expect(page.locator("#link")).to_have_text("In touch.")


def test_sending_is_tried_again_without_anybody_s_doing(tablet: Tablet) -> None:
    page = tablet.open()
    tablet.workshop.mode = "off"
    fill_in(page, "47")
    says(page, ONE_KEPT)
    tablet.workshop.mode = "on"
    says(page, "Sent: 1 entry.")


def test_the_next_entry_waits_for_its_turn_behind_kept_ones(tablet: Tablet) -> None:
    page = tablet.open()
    tablet.workshop.mode = "off"
    fill_in(page, "1")
    says(page, ONE_KEPT)
    tablet.workshop.mode = "on"
    fill_in(page, "2")
    page.wait_for_url("**/done")
    assert tablet.workshop.values() == ["1", "2"]


def test_kept_entries_outlive_the_page(tablet: Tablet) -> None:
    page = tablet.open()
    tablet.workshop.mode = "off"
    fill_in(page, "47")
    says(page, ONE_KEPT)
    page.close()
    tablet.workshop.mode = "on"
    page = tablet.open("/other")
    stored(page, 0)
    assert tablet.workshop.values() == ["47"]


def test_an_entry_whose_answer_was_lost_is_taken_once(tablet: Tablet) -> None:
    page = tablet.open()
    tablet.workshop.mode = "deaf"
    fill_in(page, "47")
    says(page, ONE_KEPT)
    tablet.workshop.mode = "on"
    wake(page)
    says(page, "Sent: 1 entry.")
    assert {each.fields["entry"] for each in tablet.workshop.sent} == {"token-0000"}
    assert tablet.workshop.values() == ["47"]


def test_leaving_while_an_entry_is_on_its_way_does_not_lose_it(tablet: Tablet) -> None:
    page = tablet.open()
    page.route(
        "**/form", lambda route: None if route.request.method == "POST" else route.continue_()
    )
    fill_in(page, "47")
    stored(page, 1)
    page.unroute("**/form")
    page.goto(tablet.address + "/other")
    stored(page, 0)
    assert tablet.workshop.values() == ["47"]


def test_a_photo_arrives_byte_for_byte(tablet: Tablet) -> None:
    page = tablet.open()
    content = picture()
    photo = {"name": "boot.png", "mimeType": "image/png", "buffer": content}
    page.set_input_files("[name=photo]", photo)
    tablet.workshop.mode = "off"
    fill_in(page, "47")
    says(page, ONE_KEPT)
    assert page.locator("figure").count() == 0
    tablet.workshop.mode = "on"
    wake(page)
    says(page, "Sent: 1 entry.")
    assert next(iter(tablet.workshop.taken.values())).files == {"boot.png": content}


def test_two_tabs_send_each_entry_once(tablet: Tablet) -> None:
    first, second = tablet.open(), tablet.open()
    tablet.workshop.mode = "off"
    for page, words in ((first, "1 entry"), (second, "2 entries")):
        fill_in(page, "47")
        says(page, words)
    tablet.workshop.sent.clear()
    tablet.workshop.mode, tablet.workshop.takes_s = "on", 0.2
    for page in (first, second):
        wake(page)
    stored(first, 0)
    for page in (first, second):
        wake(page)
        says(page, "Sent: ")
    tokens = [each.fields["entry"] for each in tablet.workshop.sent]
    assert sorted(tokens) == sorted(set(tokens)) == sorted(tablet.workshop.taken)


def test_without_a_store_on_the_device_the_form_is_sent_as_if_there_were_no_script(
    tablet: Tablet,
) -> None:
    page = tablet.context.new_page()
    page.add_init_script("IDBFactory.prototype.open = () => { throw Error('none') }")
    page.goto(tablet.address + "/form")
    fill_in(page, "47", state="Failed")
    page.wait_for_url("**/done")
    (taken,) = tablet.workshop.sent
    assert taken.headers["X-Entry"] is None
    assert (taken.fields["value"], taken.fields["state"]) == ("47", "failed")


# Problems


def test_problems_are_shown_with_what_was_typed_and_the_photo(tablet: Tablet) -> None:
    page = tablet.open("/other")
    photo = {"name": "boot.png", "mimeType": "image/png", "buffer": picture()}
    page.set_input_files("[name=photo]", photo)
    fill_in(page, "lots")
    expect(page.locator("[role=alert]")).to_have_text("lots is no number, such as 4.7k")
    assert page.title() == "Problems"
    fill_in(page, "47")
    page.wait_for_url("**/done")
    (taken,) = tablet.workshop.taken.values()
    assert (taken.path, list(taken.files)) == ("/form", ["boot.png"])


def test_back_from_the_problems_leads_to_the_form_as_it_was_typed(tablet: Tablet) -> None:
    page = tablet.open()
    page.fill("[name=note]", "long and laboured")
    fill_in(page, "lots")
    expect(page.locator("[role=alert]")).to_be_visible()
    page.go_back()
    expect(page.locator("[role=alert]")).to_have_count(0)
    expect(page.locator("[name=note]")).to_have_value("long and laboured")


def test_a_kept_entry_that_is_not_taken_as_it_is_asks_for_somebody(tablet: Tablet) -> None:
    page = tablet.open()
    tablet.workshop.mode = "off"
    for value, words in (("lots", ONE_KEPT), ("47", "2 entries")):
        fill_in(page, value)
        says(page, words)
    tablet.workshop.mode = "on"
    wake(page)
    says(page, "Sent: 1 entry. ")
    says(page, "1 entry needs you: reading")
    page.click("#link >> text=reading")
    expect(page.locator("[role=alert]")).to_have_text("lots is no number, such as 4.7k")
    says(page, "1 entry needs you")
    fill_in(page, "4.7k")
    page.wait_for_url("**/done")
    assert tablet.workshop.values() == ["47", "4.7k"]
    stored(page, 0)


@pytest.mark.parametrize("status", [404, 500])
def test_an_entry_refused_by_a_page_that_does_not_hold_it_stays_on_the_device(
    tablet: Tablet, status: int
) -> None:
    page = tablet.open()
    tablet.workshop.mode = status
    fill_in(page, "47")
    expect(page.locator("h1")).to_have_text("Trouble")
    says(page, "1 entry needs you")
    tablet.workshop.mode = "on"
    page.click("#link >> text=reading")
    page.wait_for_url("**/done")
    assert tablet.workshop.values() == ["47"]
    stored(page, 0)


def test_a_refused_entry_sent_once_more_from_the_answer_is_no_longer_aside(tablet: Tablet) -> None:
    page = tablet.open()
    tablet.workshop.mode = 403
    fill_in(page, "47")
    says(page, "1 entry needs you")
    tablet.workshop.mode = "on"
    fill_in(page, "47")
    page.wait_for_url("**/done")
    assert tablet.workshop.values() == ["47"]
    stored(page, 0)


def test_an_entry_set_aside_is_thrown_away_only_when_asked_twice(tablet: Tablet) -> None:
    page = tablet.open()
    tablet.workshop.mode = 403
    fill_in(page, "47")
    page.once("dialog", lambda asked: asked.dismiss())
    page.click("text=Throw it away")
    stored(page, 1)
    page.once("dialog", lambda asked: asked.accept())
    page.click("text=Throw it away")
    stored(page, 0)
    expect(page.locator("#link button")).to_have_count(0)


# Parts of a page


@pytest.mark.parametrize(("mode", "shown"), [("on", "Here it is"), ("captive", "Not here yet")])
def test_a_part_that_comes_later_is_shown_only_from_the_workshop(
    tablet: Tablet, mode: str, shown: str
) -> None:
    page = tablet.open("/late")
    tablet.workshop.mode = mode
    with page.expect_response("**/part"):
        page.click("#part")
    page.wait_for_timeout(100)
    expect(page.locator("#part")).to_have_text(shown)


# Drafts


def type_all(page: Page) -> None:
    page.fill("[name=value]", "47")
    page.fill("[name=note]", "green crust")
    page.select_option("[name=at]", "car")
    page.fill("[name=key]", "secret")
    page.check("[name=cold]")


def test_what_is_typed_survives_a_reload_but_passwords_do_not(tablet: Tablet) -> None:
    page = tablet.open()
    type_all(page)
    page.close()
    page = tablet.open()
    expect(page.locator(".draft-note")).to_contain_text(
        "Typed earlier and not sent: put back here."
    )
    names = ("value", "note", "at", "key")
    assert [page.input_value(f"[name={name}]") for name in names] == [
        "47",
        "green crust",
        "car",
        "",
    ]
    assert page.is_checked("[name=cold]")
    assert "secret" not in page.evaluate("JSON.stringify(localStorage)")


def test_a_draft_does_not_hide_newer_values(tablet: Tablet) -> None:
    page = tablet.open()
    type_all(page)
    tablet.workshop.before = "48"
    page.reload()
    assert page.input_value("[name=value]") == "48"
    assert page.locator(".draft-note").count() == 0


def test_a_draft_can_be_taken_away(tablet: Tablet) -> None:
    page = tablet.open()
    type_all(page)
    page.reload()
    page.click("text=Take it away")
    assert page.input_value("[name=note]") == ""
    page.reload()
    assert page.locator(".draft-note").count() == 0


@pytest.mark.parametrize("mode", ["on", "off"])
def test_a_draft_ends_when_the_entry_is_sent_or_kept(tablet: Tablet, mode: str) -> None:
    page = tablet.open()
    type_all(page)
    tablet.workshop.mode = mode
    page.click("text=Done")
    if mode == "on":
        page.wait_for_url("**/done")
    else:
        says(page, ONE_KEPT)
    tablet.workshop.mode = "on"
    page.goto(tablet.address + "/form")
    assert page.input_value("[name=note]") == ""


# Pad, timer, photo


KEYS = {
    "4 . 7 k": "4.7k",
    "1 M back": "1",
    "4 minus": "-4",
    "4 minus minus": "4",
    "4 OL": "OL",
    "OL 7": "7",
    "OL back": "",
    "back": "",
}


def test_the_pad_writes_into_its_field(tablet: Tablet) -> None:
    page = tablet.open()
    written = {}
    for keys in KEYS:
        page.fill("[name=value]", "")
        for key in keys.split():
            page.click(f"[data-key='{key}']")
        written[keys] = page.input_value("[name=value]")
    assert written == KEYS


def test_pad_and_keyboard_write_at_the_same_place(tablet: Tablet) -> None:
    page = tablet.open()
    page.fill("[name=value]", "47")
    page.press("[name=value]", "ArrowLeft")
    page.click("[data-key='.']")
    page.keyboard.type("1")
    assert page.input_value("[name=value]") == "4.17"


def test_what_the_pad_writes_is_a_draft_too(tablet: Tablet) -> None:
    page = tablet.open()
    page.click("[data-key='7']")
    page.reload()
    assert page.input_value("[name=value]") == "7"


@pytest.mark.parametrize(("touch", "keyboard"), [(True, "none"), (False, None)])
def test_the_soft_keyboard_stays_down_where_the_pad_is_touched(
    tablet: Tablet, browser: Browser, touch: bool, keyboard: str | None
) -> None:
    context = browser.new_context(has_touch=touch, is_mobile=touch)
    page = context.new_page()
    page.goto(tablet.address + "/form")
    assert page.get_attribute("[name=value]", "inputmode") == keyboard
    context.close()


def test_the_timer_counts_up_and_is_not_read_out(tablet: Tablet, browser: Browser) -> None:
    page = browser.new_page()
    page.clock.install(time="2026-05-14T10:20:07Z")
    page.goto(tablet.address + "/form")
    output = page.locator("output")
    expect(output).to_have_text("0:07")
    page.clock.run_for(61_000)
    expect(output).to_have_text("1:08")
    page.clock.run_for(3_600_000)
    expect(output).to_have_text("1:01:08")
    expect(output).to_have_attribute("aria-live", "off")
    page.close()


def test_a_chosen_photo_is_shown_with_its_size(tablet: Tablet) -> None:
    page = tablet.open()
    photo = {"name": "boot.png", "mimeType": "image/png", "buffer": picture()}
    page.set_input_files("[name=photo]", photo)
    expect(page.locator("figcaption")).to_have_text(
        f"boot.png, {len(photo['buffer']) // 1000 + 1} kB"
    )
    page.wait_for_function("document.querySelector('figure img').naturalWidth === 64")


def test_a_photo_that_is_too_large_is_told_at_once(tablet: Tablet, tmp_path: Path) -> None:
    large = tmp_path / "huge.png"
    with large.open("wb") as file:
        file.truncate(40_000_001)
    page = tablet.open()
    page.set_input_files("[name=photo]", large)
    expect(page.locator(".photo-chosen")).to_contain_text("huge.png, 40.0 MB: too large")
    fill_in(page, "47")
    assert not page.evaluate("document.querySelector('form').checkValidity()")
    assert tablet.workshop.sent == []
