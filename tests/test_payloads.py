"""Texts that act: whatever a title, a note or a name holds, the terminal gets only what the program means.

Control sequences by ECMA-48 and "Xterm Control Sequences"; OSC 8 and 52 as terminals read them, a link and the
clipboard; hidden characters by the Unicode Standard, table 4-4, and UAX 9 (bidi). What may be in a PDF that acts
by itself: ISO 32000-1, 12.6.
"""

import contextlib
import io
import json
import re
import unicodedata
import xml.etree.ElementTree as ET
from pathlib import Path

import ezdxf.filemanagement
import pypdf
import pytest

from core.files.project_file import Project, save
from core.files.recovery import save_recovery
from core.lock.lock import Lock
from tests.fault_table import proven
from tests.test_terminal import DOWN, F2, F10, Terminal
from tests.tui_driving import to_step
from tui.command import main

PAYLOADS = {
    "markup": "[b]x[/b][red][/][@click=app.exit]go[/][link=http://x]y[/link]",
    "open markup": "[/nothing] [@click=app.exit( [[",
    "colour": "\x1b[31mred\x1b[2J\x1b[H\x1b[?1049l",
    "title": "\x1b]0;owned\x07\x1b]2;owned\x1b\\",
    "link": "\x1b]8;;http://x\x1b\\here\x1b]8;;\x1b\\",
    "clipboard": "\x1b]52;c;b3duZWQ=\x07",
    "one byte": "\x9b2J\x9d52;c;b3duZWQ=\x9c\x90q\x9c\x85",
    "device": "\x1bP+q544e\x1b\\\x1b[5n\x1b[c\x1bc",
    "bells": "\x07\x08\x08\x08\x7f\x0c\x0b\x00",
    "bidi": "\u202eabc\u202c\u2066def\u2069\u200f\u061c",
    "zero width": "a\u200bb\u200dc\u2060d\ufeffe\u00adf",
    "tags": "\U000e0041\U000e0042\ue000\U000f0000",
    "lines": "one\ntwo\rthree\u2028four\u2029five\tsix",
    "wide": "\u6f22\uff21\u0301\u0301\u0301\U0001f512",
    "page": '<script>alert(1)</script>" onload="x" ]]>&amp; %%u \\P{}',
    "document": ") /OpenAction << /S /JavaScript /JS (app.alert\\(1\\)) >> (",
}
MARK = "Payload"
# as terminals with a protocol of keys send it: an Esc alone could be the beginning of what comes next
ESC = b"\x1b[27u"
# a sequence that moves, colours or asks; the pointer's shape (OSC 22); and the modes of the screen, mouse and keys
ALLOWED = re.compile(
    rb"\x1b\[(?:[0-9;]*m|[0-9]+;[0-9]+H|\?(?:7|25|100[0-6]|1015|1049|2004|2026|2048)[hl]|\?[0-9]+\$p|>[0-9]*u|<u)"
    rb"|\x1b\]22;[a-z-]+\x07"
)
HIDDEN = frozenset({"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"})


def acting(written: bytes) -> set[str]:
    """Return what was written beyond the sequences that are allowed and characters that show."""
    text = ALLOWED.sub(b"", written).decode("utf-8", "backslashreplace")
    return {c for c in text if unicodedata.category(c) in HIDDEN and c not in "\r\n"}


def named(payload: str) -> str:
    """Return a payload as the name of a file can hold it."""
    text = f"{MARK} {payload}".replace("/", "").replace("\0", "")
    while len(text.encode()) > 120:
        text = text[:-1]
    return text


def test_the_white_list_lets_nothing_by() -> None:
    for name, payload in PAYLOADS.items():
        found = acting(payload.encode())
        assert bool(found) is (name not in ("markup", "open markup", "wide", "page", "document")), (
            name
        )


# on a screen

OF_LOCK = "".join(to_step("lock")[1:-1]).encode() + b"\r"
SCREENS = (
    (b"", "step 1 of"), (b"\x1bOP", "Takes: one of"), (ESC, "step 1 of"), (b"\x1b[15~", "coming up"),
    (b"\x1bOP", "THE KEY'S TURN"), (ESC, "coming up"), (ESC, "step 1 of"), (b"\r", "width"),
    (b"\x0e", "Change one dimension"), (b"\x1b[20~", "Which dimension"), (ESC, "no part is made"),
    (ESC, "step 1 of"),
    (b"\x0f", "Parts already made"), (ESC, "step 1 of"), (b"\x12", "Read off at the bench"), (ESC, "step 1 of"),
    (b"\x10", "FULL-SIZE SHEETS"), (ESC, "step 1 of"), (b"\x1b[17~", ""), (ESC, ""), (b"\x1b[20~", ""),
    (ESC, ""), (b"\x14", ""), (b"\x1b[<0;10;1M\x1b[<0;10;1m", ""), (b"\x1b[20~", ""), (OF_LOCK, "This lock"),
    (DOWN, ""), (b"\x1b[A", ""), (b"\r\r\rmore", "more"), (F10, "Leave without saving"), (ESC, "This lock"),
    (b"\x1a", ""),
)  # fmt: skip
"""Keys as xterm sends them, and what then stands on the screen, of a lock that is open."""


def quiet(terminal: Terminal, seconds: float = 0.15) -> None:
    while True:
        before = len(terminal.written)
        terminal.read(seconds)
        if len(terminal.written) == before:
            return


def walked(folder: Path, payload: str, size: tuple[int, int]) -> tuple[int, set[str]]:
    """Show a payload on every screen; return how many screens, and what acted."""
    text = f"{MARK} {payload}"
    home = folder / named(payload)
    home.mkdir()
    path = home / f"{named(payload)}.toml"
    save(Project(None, Lock(title=text, notes=f"{text}\n{text}")), path)
    quoted = json.dumps(text.replace("\x7f", ""), ensure_ascii=False)
    (home / f"a {named(payload)}.toml").write_text(f'{quoted} = 1\n"\n')
    (home / f"b {named(payload)}.toml").write_text(f"[plate]\nwidth = {quoted}\n")
    save_recovery(Lock(title=f"unsaved {text}"), home, seat="0000000a")
    shown = 0
    with Terminal(home, path.name, size=size) as terminal:
        for keys, words in SCREENS:
            here = len(terminal.written)
            terminal.send(keys) if keys else None
            if words:
                terminal.wait_for(words, after=here)
            quiet(terminal)
            assert terminal.program.poll() is None
            shown += 1
        here = len(terminal.written)
        terminal.send(F10)
        terminal.wait_for("Enter open", after=here)
        for keys in (
            b"\x1b[H",
            DOWN,
            b"\x1b[F",
            *[b"\x1b[A"] * 2,
        ):  # the work that was not saved, and the refusals
            terminal.send(keys)
            quiet(terminal)
            shown += 1
        terminal.wait_for("cannot be read", after=here)
        assert MARK in terminal.plain()
        terminal.send(F10)
        assert terminal.end() == 0
        terminal.assert_as_before()
    save_recovery(Lock(title=f"unsaved {text}"), path)
    with Terminal(home, path.name, size=size) as asking:
        here = asking.wait_for("unsaved work on")
        asking.send(b"\r")
        asking.wait_for("unsaved", "step 1 of", after=here)
        path.write_text(path.read_text() + "\n")
        asking.send(F2)
        here = asking.wait_for("Write over it", after=here)
        asking.send(DOWN + b"\r")
        asking.wait_for("Name of the file", after=here)
        quiet(asking)
        shown += 3
    return shown, acting(terminal.written) | acting(asking.written)


@pytest.mark.slow
def test_a_text_of_everything_acts_on_no_screen(tmp_path: Path) -> None:
    shown, acted = walked(tmp_path, "".join(PAYLOADS.values()), (24, 80))
    assert acted == set()
    assert shown > 30


@pytest.mark.slow
def test_no_text_acts_on_any_screen(tmp_path: Path) -> None:
    shown = 0
    acted: set[str] = set()
    texts = list(PAYLOADS.values())
    for number in range(4):
        (tmp_path / f"{number}").mkdir()
        payload = "".join(texts[number::4])
        seen, did = walked(tmp_path / f"{number}", payload, (24, 80) if number % 2 else (40, 120))
        shown, acted = shown + seen * len(texts[number::4]), acted | did
    proven(
        "texts that act, in titles, notes, names of files and folders, on a screen",
        shown,
        len(acted),
    )


# in what is printed and written


Print = tuple[int, str]


def printed(*words: str) -> Print:
    """Run the command line here; return its exit code and all that it printed."""
    out = io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(out):
        try:
            code = main(words)
        except SystemExit as ended:  # the parser's own refusals
            code = int(ended.code or 0)
    return code, out.getvalue()


def harmless(done: Print, code: int) -> bool:
    return done[0] == code and all(
        unicodedata.category(c) not in HIDDEN or c == "\n" for c in done[1]
    )


def told(folder: Path, payload: str, *only: str) -> int:
    """Print everything about locks with a payload; return how many prints and sheets were looked at."""
    text = f"{MARK} {payload}"
    home = folder / named(payload)
    home.mkdir()
    name = f"{named(payload)}.toml"
    path = save(Project(None, Lock(title=text, notes=text)), home / name).path
    assert path is not None
    quoted = json.dumps(text.replace("\x7f", ""), ensure_ascii=False)
    path.write_text(path.read_text() + f"\n[{quoted}]\n{quoted} = 1\na = 2\n")
    (home / "bad.toml").write_text(f"[plate]\noutline = {quoted}\n")
    with contextlib.chdir(home):
        prints = _prints(payload, name, only)
    assert all(prints), prints
    files = list((home / f"s {named(payload)}").iterdir())
    for file in files:
        unmoved(file)
    assert {file.suffix for file in files} >= {".pdf", ".svg", ".dxf"}
    return len(prints) + len(files)


def _prints(payload: str, name: str, only: tuple[str, ...]) -> list[bool]:
    return [
        harmless(printed("report", name), 0), harmless(printed("report", name, "--json"), 0),
        harmless(printed("compare", name, name), 0), harmless(printed("compare", name, name, "--json"), 0),
        harmless(printed("report", "bad.toml"), 2), harmless(printed("report", f"no {named(payload)}"), 2),
        harmless(printed("compare", name, "bad.toml"), 2), harmless(printed(name), 2),
        harmless(printed(f"--{named(payload)}"), 2), harmless(printed(name, named(payload)), 2),
        harmless(printed("sheets", name, "--to", f"s {named(payload)}", *only), 0),
        harmless(printed("sheets", name, "--to", "bad.toml"), 2),
        harmless(printed("sheets", name, "--to", "t", "--only", f"x {named(payload)}"), 2),
    ]  # fmt: skip


def unmoved(file: Path) -> None:
    """Check that a sheet holds nothing that acts by itself."""
    data = file.read_bytes()
    match file.suffix:
        case ".pdf":
            reader = pypdf.PdfReader(io.BytesIO(data))
            assert reader.metadata is not None
            numbers = {n for found in reader.xref.values() for n in found} | set(reader.xref_objStm)
            names = set().union(
                *(keys_of(reader.get_object(number)) for number in numbers if number)
            )
            assert names & {"/Type", "/Font", "/Contents"}
            assert not names & {
                "/OpenAction", "/AA", "/A", "/JS", "/JavaScript", "/Launch", "/URI", "/SubmitForm", "/EmbeddedFile",
                "/EmbeddedFiles", "/Annots", "/AcroForm", "/RichMedia",
            }  # fmt: skip
            assert visible("".join(page.extract_text() for page in reader.pages))
        case ".svg":
            root = ET.fromstring(data)  # noqa: S314 - our own file
            for element in root.iter():
                kind = element.tag.rpartition("}")[2]
                assert kind in (
                    "svg",
                    "title",
                    "desc",
                    "g",
                    "path",
                    "text",
                    "style",
                    "circle",
                    "line",
                ), kind
                assert not any(name.startswith("on") or "href" in name for name in element.attrib)
                assert visible(element.text or "")
        case ".dxf":
            document = ezdxf.filemanagement.read(io.StringIO(data.decode()))
            assert document.audit().errors == []
            for entity in document.modelspace().query("TEXT MTEXT"):
                assert visible(entity.dxf.get("text", getattr(entity, "text", "")))
        case _:
            text = data.decode()
            assert visible(text)
            if file.suffix == ".md":  # there it would be a page's
                assert "<script" not in text.replace("\\<", "")


def keys_of(whole: object) -> set[str]:
    """Return every key and name in one object of a PDF."""
    found: set[str] = set()
    todo: list[object] = [whole]
    while todo:
        thing = todo.pop()
        if isinstance(thing, pypdf.generic.DictionaryObject):
            found |= set(thing)
            todo += [
                inner
                for inner in thing.values()
                if not isinstance(inner, pypdf.generic.IndirectObject)
            ]
        elif isinstance(thing, pypdf.generic.ArrayObject):
            todo += [
                inner for inner in thing if not isinstance(inner, pypdf.generic.IndirectObject)
            ]
        elif isinstance(thing, pypdf.generic.NameObject):
            found.add(str(thing))
    return found


def visible(text: str) -> bool:
    return all(unicodedata.category(c) not in HIDDEN or c in "\r\n" for c in text)


@pytest.mark.slow
def test_a_text_of_everything_acts_in_no_print(tmp_path: Path) -> None:
    assert told(tmp_path, "".join(PAYLOADS.values())) > 30


@pytest.mark.slow
def test_no_text_acts_in_any_print(tmp_path: Path) -> None:
    looked_at = 0
    for number, payload in enumerate(PAYLOADS.values()):
        (tmp_path / f"{number}").mkdir()
        looked_at += told(tmp_path / f"{number}", payload, "--only", "bolt,key-gauge")
    proven("the same in reports, refusals and sheets", looked_at, 0)
