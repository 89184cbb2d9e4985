"""The picture that moves: read back as any browser reads it, and held against metal that may not overlap."""

import json
import re
import shutil
import subprocess
import xml.etree.ElementTree as ET
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
import pytest
import shapely
from numpy.typing import NDArray

from core.geometry.motion import shift, turned
from core.geometry.path import Path as Outline
from core.layout.frames import hand, to_mechanism, to_plate
from core.layout.layout import Layout
from core.lock.lock import Lock
from core.mechanism.law import STROKES
from core.parts.strip import strip
from core.parts.strip_place import outline
from core.parts.tooth import course, tooth
from core.sheets.moving_picture import moving_picture
from core.sheets.svg import path_data
from core.turning.film import film
from core.turning.follow import moment
from core.whole import assembly
from tests.command_line import boltwright, refusal
from tests.loaded_locks import narrow
from tests.sheet_reading import SAMPLES
from tests.sure import sure

Array = NDArray[np.float64]
SVG = "{http://www.w3.org/2000/svg}"
LEFT = replace(SAMPLES[0], unlocks="left")
LOCKS = [*SAMPLES, LEFT]
CHROMIUM = shutil.which("chromium") or shutil.which("google-chrome")
PLAYING = [
    "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-sync",
    "--disable-background-networking", "--disable-component-update", "--virtual-time-budget=20000",
]  # fmt: skip


@dataclass(frozen=True)
class Animation:
    """One animation element as the standard reads it (SVG 1.1, 19.2.9: linear between key times)."""

    kind: str
    long: float
    times: Array
    values: Array

    @classmethod
    def of(cls, element: ET.Element) -> "Animation":
        long = float(element.attrib["dur"].removesuffix("s"))
        times = np.array([float(t) for t in element.attrib["keyTimes"].split(";")])
        rows = [[float(v) for v in row.split()] for row in element.attrib["values"].split(";")]
        return cls(element.attrib.get("type", ""), long, times * long, np.array(rows))

    def at(self, time: float) -> Array:
        return np.array([np.interp(time, self.times, column) for column in self.values.T])


def read(lock: Lock) -> ET.Element:
    return ET.fromstring(moving_picture(Layout(lock)))  # noqa: S314 - written a moment ago


def motions(root: ET.Element) -> dict[str, Animation]:
    """Return the motions of the bolt and the key, by their kind."""
    groups = [
        group
        for group in root.findall(f"{SVG}g")
        if group.find(f"{SVG}animateTransform") is not None
    ]
    found = [Animation.of(group[-1]) for group in groups]
    return {motion.kind: motion for motion in found}


@pytest.mark.parametrize("lock", LOCKS, ids=lambda lock: f"{lock.title} {lock.unlocks}")
def test_key_times_are_what_the_standard_asks_for(lock: Lock) -> None:
    # SVG 1.1, 19.2.9: as many as values, from 0 to 1, none before the one before it
    for element in read(lock).iter():
        if "keyTimes" in element.attrib:
            times = [float(t) for t in element.attrib["keyTimes"].split(";")]
            assert len(times) == len(element.attrib["values"].split(";"))
            assert times[0] == 0.0
            assert times == sorted(times)
            assert times[-1] <= 1.0
            if element.attrib.get("calcMode") != "discrete":
                assert times[-1] == 1.0


@pytest.mark.parametrize("lock", LOCKS, ids=lambda lock: f"{lock.title} {lock.unlocks}")
@pytest.mark.first(1)
def test_the_metal_of_the_picture_never_overlaps_while_it_plays(lock: Lock) -> None:
    """Move the outlines by what the file says, and look with shapely whether key and bolt share any room."""
    layout = Layout(lock)
    back = to_plate(layout).inverse()
    found = motions(read(lock))
    slide, turn = found["translate"], found["rotate"]
    parts = {stroke.part: stroke for stroke in assembly.moving(layout, 0.0, 0.0)}
    bolt, key = parts["bolt"], parts["key"]
    # the last hundredth of a degree before an act is stopped is where the metal meets
    for time in np.linspace(0.0, slide.long, 400):
        dx, dy = slide.at(time)
        angle, x, y = turn.at(time)
        assert to_mechanism(layout).point((x, -y)) == pytest.approx((0.0, 0.0), abs=1e-3)
        moved = to_plate(layout).then(shift(dx, -dy)).then(back).path(bolt.path)
        turned_key = turned(np.radians(angle)).path(key.path)
        common = area(moved).intersection(area(turned_key)).area
        assert common < 0.02, f"{common} mm2 at {time} s"


def area(outline: Outline) -> shapely.Polygon:
    return shapely.Polygon(outline.points(1e-3))


@pytest.mark.parametrize("lock", LOCKS, ids=lambda lock: f"{lock.title} {lock.unlocks}")
@pytest.mark.first(1)
def test_the_bolt_goes_from_seat_to_seat_and_back(lock: Lock) -> None:
    layout = Layout(lock)
    slide = motions(read(lock))["translate"]
    if any(act.stopped for act in film(layout)):
        return
    away = np.hypot(*slide.values.T)
    assert away[0] == away[-1] == 0.0
    throw = tooth(layout).throw
    assert away.max() == pytest.approx(throw, abs=1e-3)
    way = hand(layout).then(to_plate(layout))
    (x0, y0), (x1, y1) = way.point((0.0, 0.0)), way.point((throw, 0.0))
    assert slide.values[away.argmax()] == pytest.approx((x1 - x0, y0 - y1), abs=1e-3)


@pytest.mark.slow
def test_a_key_that_fouls_is_stopped_there_and_told() -> None:
    met = [(Layout(lock), act) for lock in LOCKS for act in film(Layout(lock)) if act.stopped]
    assert met
    for layout, act in met:
        trouble = act.stopped
        assert trouble is not None
        assert act.angle[-1] == trouble.angle
        assert trouble.text in moving_picture(layout)
        assert moment(layout, trouble.angle, trouble.stroke).fouls or trouble.kind == "jam"


def test_an_act_that_a_foul_stops_ends_with_the_bolt_where_the_key_has_it_by_then() -> None:
    layout = Layout(narrow(12.0))
    for act in film(layout):
        assert act.stopped is not None
        assert act.angle[-1] == act.stopped.angle
        there = course(layout).travel(act.angle[-1:], act.stroke)
        # on its way: 1.52 mm from the seat that it leaves
        assert abs(there[0] - act.travel[0]) == pytest.approx(1.519, abs=1e-3)
        assert act.travel[-1] == pytest.approx(there[0], abs=1e-3)


@pytest.mark.parametrize("lock", LOCKS, ids=lambda lock: f"{lock.title} {lock.unlocks}")
@pytest.mark.first(1)
def test_the_dot_of_the_chart_stands_by_its_words_where_key_and_bolt_are(lock: Lock) -> None:
    """Read the chart as one who watches it: by its words, and how far bolt and key have gone in the drawing above."""
    root, throw = read(lock), tooth(Layout(lock)).throw
    words = {
        t.text or "": (float(t.attrib["x"]), float(t.attrib["y"])) for t in root.iter(f"{SVG}text")
    }
    degrees = (-180, -90, 0, 90, 180)
    places = [words[f"{each}°"][0] for each in degrees]
    scale = np.polyfit(degrees, places, 1)
    assert np.polyval(scale, degrees) == pytest.approx(places, abs=1e-3)
    assert scale[0] > 0
    dot = Animation.of(sure(sure(root.find(f"{SVG}circle")).find(f"{SVG}animateTransform")))
    found, sign = motions(root), -1.0 if lock.unlocks == "left" else 1.0
    locked, unlocked = (words[each][1] for each in ("locked", "unlocked"))
    for time in np.linspace(0.0, dot.long, 60):
        x, y = dot.at(time)
        assert x == pytest.approx(np.polyval(scale, sign * found["rotate"].at(time)[0]), abs=0.01)
        share = np.hypot(*found["translate"].at(time)) / throw
        assert y == pytest.approx(locked + share * (unlocked - locked), abs=0.01)
    # it turns once round each way
    assert np.ptp(found["rotate"].values[:, 0]) > 300
    assert np.ptp(dot.values, axis=0) == pytest.approx(
        [300 * scale[0], locked - unlocked], rel=0.25
    )


def test_words_lines_and_chart_stand_below_each_other_inside_the_picture() -> None:
    root = read(SAMPLES[0])
    left, top, wide, high = map(float, root.attrib["viewBox"].split())
    letter = float(root.attrib["font-size"])
    texts = {
        t.text or "": (float(t.attrib["x"]), float(t.attrib["y"])) for t in root.iter(f"{SVG}text")
    }
    for x, y in texts.values():
        assert left < x < left + wide
        assert top + letter < y < top + high
    said = [y for text, (_, y) in texts.items() if text.startswith((*STROKES, "stopped"))]
    lines = [line.attrib["points"] for line in root.iter(f"{SVG}polyline")]
    chart = np.array(
        [[float(n) for n in point.split(",")] for line in lines for point in line.split()]
    )
    drawn = [
        path.attrib["d"]
        for group in root.findall(f"{SVG}g")[:-1]
        for path in group.iter(f"{SVG}path")
    ]
    lowest = max(float(n) for d in drawn for n in re.findall(r"-?[\d.]+[ ,](-?[\d.]+)", d))
    assert lowest < min(said) - letter / 2
    assert max(said) + letter < chart[:, 1].min()
    assert chart[:, 1].max() < texts["0°"][1] - letter / 2


def test_nothing_in_it_acts_or_is_fetched() -> None:
    evil = replace(SAMPLES[0], title="<script>alert(1)</script>\"' onload=x \x1b]52;c;eA==\x07 ]]>")
    text = moving_picture(Layout(evil))
    root = ET.fromstring(text)  # noqa: S314 - written a moment ago
    tags = {element.tag.removeprefix(SVG) for element in root.iter()}
    assert tags <= {
        "svg", "title", "rect", "g", "path", "polyline", "circle", "text", "animate", "animateTransform",
    }  # fmt: skip
    names = {name for element in root.iter() for name in element.attrib}
    assert not {n for n in names if n.startswith("on") or "href" in n or n == "style"}
    assert "url(" not in text
    assert not re.search("[\x00-\x09\x0b-\x1f\x7f-\x9f]", text)


def test_both_strokes_are_told_in_their_order() -> None:
    said = [element.text or "" for element in read(SAMPLES[0]).iter(f"{SVG}text")]
    first = [
        next(i for i, text in enumerate(said) if text.startswith(stroke)) for stroke in STROKES
    ]
    assert first == sorted(first)


@pytest.mark.slow
def test_the_command_writes_it_and_keeps_what_is_not_its_own(tmp_path: Path) -> None:
    lock, picture = tmp_path / "lock.toml", tmp_path / "turn.svg"
    lock.write_text('title = "Gate by the pond"\n')
    words = ("turn", str(lock), "--to", str(picture))
    assert boltwright(*words).returncode == 0
    first = picture.read_bytes()
    lock.write_text('title = "Gate by the mill"\n')
    # its own is brought up to date, what a person wrote is not
    assert boltwright(*words).returncode == 0
    assert b"mill" in picture.read_bytes() != first
    picture.write_text("<svg>my own</svg>")
    assert "was not written here" in refusal(boltwright(*words))
    assert picture.read_text() == "<svg>my own</svg>"
    assert boltwright(*words, "--replace").returncode == 0
    assert "ends in .svg" in refusal(boltwright("turn", str(lock), "--to", str(lock)))
    assert "was not" in refusal(
        boltwright("turn", str(lock), "--to", str(tmp_path / "no" / "a.svg"))
    )
    assert "was not" in refusal(
        boltwright("turn", str(lock), "--to", str(folder(tmp_path / "b.svg")))
    )


def folder(path: Path) -> Path:
    path.mkdir()
    return path


@pytest.mark.slow
@pytest.mark.skipif(CHROMIUM is None, reason="no browser here")
@pytest.mark.parametrize("lock", [SAMPLES[0], LEFT], ids=["right", "left"])
def test_a_browser_plays_it(lock: Lock, tmp_path: Path) -> None:
    """Let a browser stop the picture at ten times, and hold its places against our own reading of the file."""
    assert CHROMIUM is not None
    text = moving_picture(Layout(lock))
    found = motions(ET.fromstring(text))  # noqa: S314 - written a moment ago
    long = found["translate"].long
    times = [float(t) for t in np.linspace(0.05, long - 0.05, 10)]
    page = tmp_path / "page.html"
    page.write_text(
        f"<html><body>{text[text.index('<svg') :]}<pre id=o></pre><script>"
        "const s = document.querySelector('svg'), gs = [...s.querySelectorAll(':scope > g')]"
        ".filter(g => g.querySelector(':scope > animateTransform'));"
        "const frame = () => new Promise(done => setTimeout(done, 40));"
        "onload = async () => { const seen = []; s.pauseAnimations();"
        f"for (const t of {times}) {{"
        "  s.setCurrentTime(t); await frame(); await frame();"
        "  seen.push(gs.map(g => { const m = s.getScreenCTM().inverse().multiply(g.getScreenCTM());"
        "    return [m.a, m.b, m.e, m.f]; })); }"
        "o.textContent = JSON.stringify(seen); };"
        "</script></body></html>"
    )
    done = subprocess.run(
        [CHROMIUM, *PLAYING, f"--user-data-dir={tmp_path / 'user'}", "--dump-dom", page.as_uri()],
        capture_output=True, text=True, check=True, timeout=120,
    )  # fmt: skip
    seen = np.array(json.loads(re.search(r'<pre id="o">(.*?)</pre>', done.stdout)[1]))  # type: ignore[index]
    assert seen.shape == (10, 2, 4)
    for time, (bolt, key) in zip(times, seen, strict=True):
        dx, dy = found["translate"].at(time)
        assert bolt == pytest.approx((1.0, 0.0, dx, dy), abs=2e-3)
        angle = np.radians(found["rotate"].at(time)[0])
        assert key[:2] == pytest.approx((np.cos(angle), np.sin(angle)), abs=1e-3)


@pytest.mark.parametrize("lock", LOCKS, ids=lambda lock: f"{lock.title} {lock.unlocks}")
@pytest.mark.first(1)
def test_the_spring_bends_as_its_outline_does_at_every_time(lock: Lock) -> None:
    # SVG 1.1, 8.3.1: the values of a path that changes have the same commands; between them the numbers go evenly
    layout, root = Layout(lock), read(lock)
    bent = [path for path in root.iter(f"{SVG}path") if len(path)]
    made = strip(layout)
    assert made is not None
    assert len(bent) == len(outline(layout, made, 0.0)) == 2  # the strip and its tip
    slide = motions(root)["translate"]
    for k, element in enumerate(bent):
        change = element[0]
        paths = change.attrib["values"].split(";")
        assert len({re.sub(r"[-\d.]+", "0", path) for path in paths}) == 1
        times = np.array([float(t) for t in change.attrib["keyTimes"].split(";")]) * slide.long
        places = np.array([[float(n) for n in re.findall(r"-?[\d.]+", path)] for path in paths])
        at_rest = to_plate(layout).path(hand(layout).path(outline(layout, made, 0.0)[k]))
        assert element.attrib["d"] == path_data(at_rest)
        for time in np.linspace(0.0, slide.long, 60):
            travel = float(np.hypot(*slide.at(time)))
            there = to_plate(layout).path(hand(layout).path(outline(layout, made, travel)[k]))
            wanted = [float(n) for n in re.findall(r"-?[\d.]+", path_data(there))]
            seen = [float(np.interp(time, times, column)) for column in places.T]
            assert seen == pytest.approx(wanted, abs=0.02)
    assert np.ptp(places, axis=0).max() > 0.2  # it does bend
