"""Two days of maps in a real browser: mixed and drawn there, from one piece, within a frame, and right."""

import re
from typing import Any

import numpy as np
import pytest
from contourpy import LineType, contour_generator
from playwright.sync_api import Browser, Page, expect

from tests.browser.conftest import Open
from tests.browser.village import VILLAGE
from tests.services import LiveHub

MAP = f"{VILLAGE}map/"
FRAME = 16.0  # [ms] sixty frames a second
ROUNDS = 5
"""Whatever else runs on the machine slows a move down and nothing speeds it up: one quick round is enough."""

MOST = 250_000  # [bytes]

MOVES = """async (moves) => {
  const slider = document.querySelector("#at");
  const took = [];
  for (let move = 0; move < moves; move++) {
    slider.value = Number(slider.min) + 600 * ((move * 37) % 288);
    const begin = performance.now();
    slider.dispatchEvent(new Event("input"));
    took.push(performance.now() - begin);
    await new Promise(requestAnimationFrame);
  }
  return took;
}"""

FIELDS = """(at) => {
  const { run } = document.querySelector(".map-page").drawing;
  const fields = run.fieldsAt(run.frameOf(at));
  return fields && Object.fromEntries(Object.entries(fields).map(([name, field]) => [name, [...field]]));
}"""


def ready(page: Page) -> Page:
    """Once the browser has its maps."""
    expect(page.locator(".map-page[data-ready]")).to_be_attached()
    return page


def frames(page: Page) -> list[int]:
    """Some frames that have a map, the newest last."""
    shown = page.evaluate("""() => {
      const { run } = document.querySelector(".map-page").drawing;
      return [...run.arrays.step.keys()].filter((t) => !Number.isNaN(run.arrays.step[t])).map((t) => run.timeOf(t));
    }""")
    return list(shown[-120::30]) + shown[-1:]


def test_the_slider_asks_nothing_and_draws_within_a_frame(open_page: Open) -> None:
    page = ready(open_page(MAP))
    page.wait_for_load_state("networkidle")
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    for _round in range(ROUNDS):
        took = np.median(page.evaluate(MOVES, 100))
        if took < FRAME:
            break
    assert asked == []
    assert took < FRAME, f"A move took {took:.1f} ms, in the middle of 100."


@pytest.mark.parametrize("variable", ["air_temperature", "rain_amount", "wind_speed"])
def test_what_a_first_view_brings_of_maps_is_small(open_page: Open, variable: str) -> None:
    page = open_page("/sign-in/")
    asked: list[str] = []
    page.on("request", lambda one: "/map/run?" in one.url and asked.append(one.url))
    with page.expect_event("requestfinished", lambda one: "/map/run?" in one.url) as brought:
        page.goto(f"{MAP}?variable={variable}")
    ready(page)
    assert len(asked) == 1
    assert 0 < brought.value.sizes()["responseBodySize"] <= MOST


def test_a_second_view_brings_no_maps_again(open_page: Open) -> None:
    page = ready(open_page(MAP))
    address = page.locator(".map-page").get_attribute("data-run")
    status, length = page.evaluate(
        """async (address) => {
          const first = await fetch(address, { cache: "no-store" });
          const again = await fetch(address, { cache: "no-store", headers: { "If-None-Match": first.headers.get("ETag") } });
          return [again.status, (await again.arrayBuffer()).byteLength];
        }""",
        address,
    )
    assert (status, length) == (304, 0)


@pytest.mark.parametrize(
    ("variable", "layers", "near"),
    [
        ("air_temperature", {"estimate": "estimate", "error": "standard_error"}, 0.02),
        ("wind_speed", {"eastward": "eastward", "northward": "northward", "error": "standard_error"}, 0.02),
        ("rain_amount", {"chance": "chance"}, 0.02),
    ],
)
def test_what_the_browser_mixes_is_what_the_server_estimates(
    open_page: Open, variable: str, layers: dict[str, str], near: float
) -> None:
    page = ready(open_page(f"{MAP}?variable={variable}"))
    for at in frames(page):
        mixed, estimated = page.evaluate(FIELDS, at), of_server(page, variable, at)
        for mine, theirs in layers.items():
            cells = np.array(estimated[theirs]).ravel()
            assert np.abs(np.array(mixed[mine]) - cells).max() <= near + 0.001, (at, mine)


def test_rain_in_the_browser_is_the_servers_but_at_its_very_edge(open_page: Open) -> None:
    page = ready(open_page(f"{MAP}?variable=rain_amount"))
    for at in frames(page):
        mixed, estimated = page.evaluate(FIELDS, at), of_server(page, "rain_amount", at)
        chance = np.array(estimated["chance"]).ravel()
        edge = np.abs(chance - 0.5) < 0.025
        amount = np.where(edge, 0.0, np.array(mixed["value"]))
        assert np.abs(amount - np.where(edge, 0.0, np.array(estimated["estimate"]).ravel())).max() <= 0.05


def of_server(page: Page, variable: str, at: int) -> dict[str, Any]:
    """The grid of the API at a frame, as many cells."""
    rows = page.evaluate("document.querySelector('.map-page').drawing.run.head.grid.rows")
    moment = np.datetime64(at, "s").item().isoformat() + "Z"
    answer = page.request.get(f"/api/villages{VILLAGE}maps?variable={variable}&at={moment}&rows={rows}")
    assert answer.ok, answer.text()
    grid: dict[str, Any] = answer.json()["grid"]
    return grid


def test_isolines_run_through_the_places_that_contourpy_finds(open_page: Open) -> None:
    page = open_page(MAP)
    rows, columns = 24, 31
    field = np.random.default_rng(3).normal(size=(6, 6)).cumsum(axis=0).cumsum(axis=1)
    across, up = (np.linspace(0, 4.999, count) for count in (columns, rows))
    west, south = across.astype(int), up.astype(int)
    along, over = across - west, (up - south)[:, None]
    low, high = field[south], field[south + 1]
    smooth = (1 - over) * ((1 - along) * low[:, west] + along * low[:, west + 1])
    smooth += over * ((1 - along) * high[:, west] + along * high[:, west + 1])
    for level in np.quantile(smooth, [0.2, 0.5, 0.8]).tolist():
        drawn = page.evaluate(
            """async ([field, rows, columns, level]) => {
              const { isolines } = await import("/static/network/map/isolines.js");
              return isolines(Float64Array.from(field), rows, columns, level);
            }""",
            [smooth.ravel().tolist(), rows, columns, level],
        )
        found = contour_generator(z=smooth, line_type=LineType.Separate).lines(level)
        assert spots(drawn) == spots([line.tolist() for line in found])
        assert len(drawn) == len(found)


def spots(lines: list[list[list[float]]]) -> set[tuple[float, float]]:
    """The places lines run through, to a thousandth of a cell."""
    return {(round(x, 3), round(y, 3)) for line in lines for x, y in line}


def test_the_time_is_said_in_words_and_the_sentence_follows_it(open_page: Open) -> None:
    page = ready(open_page(MAP))
    moment, slider = page.locator(".moment"), page.get_by_label("Time of the map")
    before = moment.inner_text()
    slider.press("ArrowLeft")
    slider.press("PageDown")
    expect(page).to_have_url(re.compile("at="))
    after = moment.inner_text()
    assert minutes(before) - minutes(after) in (70, 70 - 1440)
    assert slider.get_attribute("aria-valuetext") == after
    expect(page.locator(".doubt")).to_contain_text("stations used")


def minutes(moment: str) -> int:
    hour, minute = moment[:5].split(":")
    return 60 * int(hour) + int(minute)


def test_a_click_on_the_map_is_a_gate_that_follows_the_slider_and_stays_in_the_address(
    open_page: Open,
) -> None:
    page = ready(open_page(MAP))
    stations = page.locator("svg.stations")
    box = stations.bounding_box()
    assert box
    stations.click(position={"x": box["width"] * 0.31, "y": box["height"] * 0.93})
    answer = page.locator(".my-gate .answer")
    expect(answer).to_contain_text("in nine cases out of ten")
    latitude, longitude = (page.locator(f"#{name}").input_value() for name in ("lat", "lon"))
    expect(page).to_have_url(re.compile(re.escape(f"lat={latitude}")))
    moment = np.datetime64(int(page.locator("#at").input_value()), "s").item().isoformat() + "Z"
    query = f"lat={latitude}&lon={longitude}&variable=air_temperature&at={moment}"
    asked = page.request.get(f"/api/estimate?{query}").json()
    shown = float((page.locator(".gate text").text_content() or "").replace("−", "-"))
    assert abs(shown - asked["value"]) <= 0.11
    page.reload()
    ready(page)
    expect(answer).to_contain_text("in nine cases out of ten")
    expect(page.locator(".gate text")).not_to_be_empty()


def test_typed_coordinates_do_the_same_by_keyboard(open_page: Open) -> None:
    page = ready(open_page(MAP))
    page.locator("#lat").fill("47.311")
    page.locator("#lon").fill("8.913")
    page.locator("#lon").press("Enter")
    expect(page.locator(".my-gate .answer")).to_contain_text("in nine cases out of ten")
    expect(page).to_have_url(re.compile(r"lat=47\.311"))


def test_a_gate_that_gets_no_answer_says_so_and_what_to_do(hub: LiveHub, browser: Browser) -> None:
    page = browser.new_page(base_url=hub.url)  # its console complains of what fails here on purpose
    page.goto(MAP)
    ready(page)
    page.route("**/gate/**", lambda route: route.abort())
    page.locator("#lat").fill("47.311")
    page.locator("#lon").fill("8.913")
    page.locator("#lon").press("Enter")
    told = page.locator(".my-gate .told")
    expect(told).to_have_text("The hub did not answer. See whether you are online, then press Ask again.")
    page.unroute("**/gate/**")
    page.route("**/gate/**", lambda route: route.fulfill(status=503))
    page.locator("#lon").press("Enter")
    expect(told).to_contain_text("could not say it just now (503). Press Ask again in a minute.")
    page.unroute("**/gate/**")
    page.get_by_role("button", name="Ask").click()
    expect(told).to_contain_text("in nine cases out of ten")
    page.close()


def test_the_figure_of_a_gate_covers_no_stations(open_page: Open) -> None:
    page = ready(open_page(MAP))
    dot = page.locator("svg.stations .mark .dot:not([hidden])").first.bounding_box()
    assert dot
    page.mouse.click(dot["x"] - 40, dot["y"] + 4)  # left of it, so that a figure at the right would lie on it
    gate = page.locator(".gate text")
    expect(gate).not_to_be_empty()
    own = gate.bounding_box()
    assert own
    for one in page.locator("svg.stations .mark :is(.value, .dot:not([hidden]))").all():
        other = one.bounding_box()
        assert other and (
            own["x"] + own["width"] <= other["x"] or other["x"] + other["width"] <= own["x"]
            or own["y"] + 3 >= other["y"] + other["height"] or other["y"] + 3 >= own["y"] + own["height"]
        )  # fmt: skip


def test_it_plays_and_pauses_and_goes_hour_by_hour_for_those_who_want_less_motion(open_page: Open) -> None:
    for motion, step in (("no-preference", 600), ("reduce", 3600)):
        page = ready(open_page(MAP, reduced_motion=motion))
        page.get_by_role("button", name="Play").click()
        begin = int(page.locator("#at").get_attribute("min") or 0)
        page.wait_for_function("(begin) => document.querySelector('#at').value > begin", arg=begin)
        page.get_by_role("button", name="Pause").click()
        moved = int(page.locator("#at").input_value()) - begin
        assert moved and moved % step == 0


def test_no_station_is_told_of_that_the_server_does_not_draw(open_page: Open) -> None:
    page = ready(open_page(MAP))
    drawn = page.locator("svg.stations .mark .name").all_text_contents()
    listed = page.locator(".map-table th[scope=row]").all_text_contents()
    assert sorted(drawn) == sorted(listed)
