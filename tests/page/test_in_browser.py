"""The page driven as a shop would: facts in, everything that follows seen, pieces made, the packet taken home."""

import io
import json
import os
import signal
import zipfile

import pytest
from playwright.sync_api import expect

SLOW_MS = 400_000


def opened(page, link):
    page.goto(link)
    page.wait_for_selector("[data-place=pattern]")
    return page


def field(page, key):
    return page.locator(f'[data-key="{key}"]')


def type_in(page, key, words):
    """Type into a fact's field and leave it."""
    place = field(page, key)
    place.fill(words)
    place.press("Tab")


def wait_for_sheet(page, folder, words):
    for _ in range(600):
        if words in (folder / "job.toml").read_text():
            return
        page.wait_for_timeout(100)
    pytest.fail(f"{words!r} did not come into the sheet")


def wait_for_look(page):
    page.wait_for_selector("[data-place=wall] .worst:has-text('margin')", timeout=SLOW_MS)


def test_from_a_sheet_to_a_downloaded_packet(served, page, pair):
    with served(pair) as (link, _):
        opened(page, link)
        assert "key=" not in page.url
        wait_for_look(page)
        type_in(page, "runner.length", "6.3 in")
        wait_for_sheet(page, pair, '"6.3 in"')
        page.get_by_role("button", name="back to the work").click()
        page.wait_for_selector(".tw-long .name >> text=r1")
        page.wait_for_selector("text=160 mm", timeout=SLOW_MS)
        page.get_by_role("button", name="make the pieces").click()
        link_out = page.locator("[data-control=packet]")
        link_out.wait_for(state="visible", timeout=SLOW_MS)
        with page.expect_download() as download:
            link_out.click()
        archive = zipfile.ZipFile(io.BytesIO(download.value.path().read_bytes()))
        assert {"packet/summary.json", "packet/packet.pdf", "packet/head.step"} <= set(archive.namelist())
        summary = json.loads(archive.read("packet/summary.json"))
        assert summary["runners"][0]["length_mm"] == pytest.approx(160.02, rel=0.002)


def test_a_handle_dragged_a_number_held_undone_and_given_back(served, page, pair):
    with served(pair) as (link, _):
        opened(page, link)
        wait_for_look(page)
        page.get_by_role("button", name="back to the work").click()
        grip = page.get_by_role("slider", name="r1 wall")
        grip.click()  # takes hold of nothing
        expect(page.get_by_role("button", name="give back")).to_have_count(0)
        box = grip.bounding_box()
        page.mouse.move(box["x"] + 9, box["y"] + 9)
        page.mouse.down()
        page.mouse.move(box["x"] + 9, box["y"] + 16, steps=4)
        page.mouse.up()
        page.wait_for_selector("text=runner r1 wall mm")
        page.get_by_role("button", name="undo").click()
        page.wait_for_selector("text=runner r1 wall mm", state="detached")
        page.keyboard.press("Control+y")
        page.wait_for_selector("text=runner r1 wall mm")
        give_back = page.get_by_role("button", name="give back")
        for left in (1, 0):
            give_back.first.click()
            expect(give_back).to_have_count(left, timeout=SLOW_MS)
        page.get_by_role("slider", name="r2 length").press("ArrowRight")
        wait_for_sheet(page, pair, '"152.00 mm"')


def test_wrong_words_are_told_beside_their_field_and_mended(served, page, pair):
    with served(pair) as (link, _):
        opened(page, link)
        wait_for_look(page)
        type_in(page, "runner.bore", "4 kg")
        told = page.locator(".tw-fact", has=field(page, "runner.bore")).get_by_text("accepted")
        told.wait_for()
        type_in(page, "runner.bore", "37 mm")
        told.wait_for(state="detached")


def test_bad_files_are_refused_in_words(served, page, pair):
    with served(pair) as (link, _):
        opened(page, link)
        for name, content in (("virus.exe", b"MZ"), ("cut.stl", bytes(90)), ("empty.stl", b"")):
            page.locator("input[type=file]").set_input_files({"name": name, "mimeType": "model/stl", "buffer": content})
            page.get_by_text(f"{name}").first.wait_for()
            page.get_by_text("not taken").first.wait_for()
        assert sorted(path.name for path in pair.iterdir() if path.suffix in (".exe", ".stl")) == []


def test_killed_in_the_middle_nothing_is_lost(served, page, pair):
    with served(pair) as (link, process):
        opened(page, link)
        wait_for_look(page)
        page.get_by_role("button", name="back to the work").click()
        page.get_by_role("slider", name="r1 wall").press("ArrowUp")
        page.wait_for_selector("text=runner r1 wall mm")
        page.get_by_role("button", name="make the pieces").click()
        page.wait_for_timeout(300)
        os.kill(process.pid, signal.SIGKILL)
    with served(pair) as (link, _):
        opened(page, link)
        wait_for_look(page)
        page.get_by_role("button", name="back to the work").click()
        page.wait_for_selector("text=runner r1 wall mm")


def test_without_the_token_nothing_is_shown(served, page, pair):
    with served(pair) as (link, _):
        bare = link.split("?")[0]
        assert page.goto(bare).status == 403
        assert page.request.get(f"{bare}packet.zip").status == 403
        assert page.request.get(f"{bare}..%2f..%2fetc/passwd").status == 403
        assert page.request.get(f"{link}", headers={"origin": "http://elsewhere.example"}).status == 403


def test_an_opening_is_put_right_by_a_click(served, page, scanned_four):
    """The invented four's flange has no metal where the pattern would repeat itself: told otherwise, a screw stands there."""
    with served(scanned_four) as (link, _):
        opened(page, link)
        page.get_by_role("button", name="facts").or_(page.get_by_role("button", name="back to the work")).wait_for()
        marks = page.locator(".tw-openings .mark")
        marks.first.wait_for(timeout=SLOW_MS)
        holes = page.locator('.tw-openings .mark[aria-label^="Screw hole"]')
        expect(holes).to_have_count(9)
        page.locator('.tw-openings .mark[aria-label^="No hole"]').click()
        page.get_by_role("button", name="a screw hole is there").click()
        wait_for_sheet(page, scanned_four, 'what = "screw hole"')
        expect(holes).to_have_count(10, timeout=SLOW_MS)
        page.locator('.tw-openings .mark[aria-label^="Port p4"]').press("Enter")
        page.get_by_role("button", name="port 1 is here").click()
        wait_for_sheet(page, scanned_four, 'port_1 = "right"')
