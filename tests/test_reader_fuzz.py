"""Whatever a file holds, or is: it is read as a lock or refused in one sentence, within a time limit.

The bounds come from TOML 1.0 and from what an editor, a mail program or a dying disk makes of a file.
"""

import random
import signal
from collections.abc import Callable, Iterator
from contextlib import contextmanager

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.errors import BadFileError
from core.files.project_reading import read_text
from core.files.project_text import edited_text, fresh_text
from core.lock.lock import Lock, spec_of, specs
from core.lock.paths import place_at, row_paths
from core.lock.row_kinds import row_kinds
from core.lock.spec import Spec
from core.made.marking import mark_made
from tests.counts import FULL, tries
from tests.fault_table import proven
from tests.locks import BY_HAND, posted

LIMIT = 5.0
"""Time limit [s] of the processor for one input: reading takes a thousandth, a busy machine counts for nothing."""


POSTED = posted((10.0, 20.0), (-12.5, 5.0, 4.0), lock=Lock(title="Gartentür ½", notes="one\ntwo"))


WHOLE = fresh_text(mark_made(POSTED, "bolt"))


SEEDS = (WHOLE, BY_HAND, 'format = 1\nkey = { radius = "1 in", bow = 3 }\n[[diary]]\na = 0x10\n')


BITS = (
    "[", "]", "[[", "{", "}", "=", ".", ",", '"', '"""', "'", "'''", "#", "\n", "\r\n", "\t", "\0", "\x1b[2J", "\ufeff",
    "\u202e", "nan", "-inf", "1e999", "0x10", "1_0", "true", "2024-05-01", "[key]", "key.radius = ", "made.x.y.z = 1",
    "# end of lock", "format = 2", "[[plate.points]]", "9" * 400, "a." * 12, "[" * 30, "\\u0000", "\\ud800", "\\x",
)  # fmt: skip


@contextmanager
def limited() -> Iterator[None]:
    """Stop what takes longer than the limit of processor time."""

    def late(*_: object) -> None:
        raise TimeoutError(f"more than {LIMIT} s of the processor")

    before = signal.signal(signal.SIGPROF, late)
    signal.setitimer(signal.ITIMER_PROF, LIMIT)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)
        signal.signal(signal.SIGPROF, before)


def wrong_with(data: bytes) -> str:
    """Read, change and write a file; return what was wrong, "" where nothing was."""
    try:
        with limited():
            text = data.decode()
            reading = read_text(text)
            if any(not note.text.isprintable() or len(note.text) > 2000 for note in reading.notes):
                return "a note that is no sentence"
            lock = reading.lock.with_value("key.radius", 21.25)
            if read_text(edited_text(text, reading.lock, lock)).lock != lock:
                return "a change that does not read back"
    except (BadFileError, UnicodeDecodeError) as refused:
        said = str(refused)
        fine = isinstance(refused, UnicodeDecodeError) or (said.isprintable() and len(said) < 400)
        return "" if fine else f"no sentence: {said[:200]!r}"
    except Exception as error:  # whatever comes is what is looked for
        return repr(error)[:300]
    return ""


def mutated(rng: random.Random, whole: bytes) -> bytes:
    """Return a file with a few bytes, lines or bits of TOML otherwise."""
    data = bytearray(whole)
    for _ in range(rng.choice((1, 1, 2, 3, 8))):
        at, to = sorted(rng.randrange(len(data) + 1) for _ in range(2))
        to = min(to, at + rng.choice((1, 4, 40, 400)))
        match rng.randrange(7):
            case 0:
                data[at:at] = bytes([rng.randrange(256)])
            case 1:
                del data[at:to]
            case 2:
                data[at:at] = rng.choice(BITS).encode("utf-8", "surrogatepass")
            case 3:
                data[at:to] = rng.choice(BITS).encode("utf-8", "surrogatepass")
            case 4:
                data[at:at] = data[at:to] * rng.choice((1, 2, 50))
            case 5:
                lines = bytes(data).split(b"\n")
                rng.shuffle(lines)
                data = bytearray(b"\n".join(lines))
            case 6:
                if at < len(data):
                    data[at] ^= 1 << rng.randrange(8)
    return bytes(data)


def fuzzed(count: int, seed: int) -> list[str]:
    rng = random.Random(seed)  # noqa: S311 - nothing secret is made here
    wrong = []
    for _ in range(count):
        data = mutated(rng, rng.choice(SEEDS).encode())
        found = wrong_with(data)
        if found:
            wrong.append(f"{found}: {data!r}")
    return wrong


def test_a_changed_file_is_read_or_refused() -> None:
    assert fuzzed(400, 1) == []


@pytest.mark.slow
def test_thousands_of_changed_files_are_read_or_refused() -> None:
    wrong = fuzzed(20_000, 2)
    assert wrong == []
    proven("bytes, lines and signs of a file changed", 20_000, len(wrong))


TOKENS = st.sampled_from(
    [*BITS, *(f"{path} = " for path in specs()), " ", "1.5", '"1 in"', "[1, 2]"]
)


@given(st.lists(TOKENS | st.text(max_size=3), max_size=30).map("".join))
@settings(max_examples=150)
def test_any_row_of_tokens_is_read_or_refused(text: str) -> None:
    assert wrong_with(text.encode("utf-8", "surrogatepass")) == ""


def cut(text: str) -> int:
    """Cut a file at each byte; return how many cuts loaded with data missing and nothing said."""
    whole, data = read_text(text), text.encode()
    lost = 0
    for length in range(len(data)):
        try:
            reading = read_text(data[:length].decode())
        except (BadFileError, UnicodeDecodeError):
            continue
        lost += reading.lock != whole.lock or reading.unknown != whole.unknown
    return lost


@pytest.mark.slow
def test_a_lock_cut_at_each_byte() -> None:
    by_hand = read_text(BY_HAND)
    edited = edited_text(BY_HAND, by_hand.lock, by_hand.lock.with_value("fit.bridge_min", 3.25))
    texts = (WHOLE, edited, WHOLE.replace("\n", "\r\n"))
    proven(
        "a saved file cut short at each byte",
        sum(len(t.encode()) for t in texts),
        sum(map(cut, texts)),
    )


# every field, and what may not stand there


BAD = (
    "nan", "-nan", "inf", "-inf", "1e309", "-1e309", "true", "false", '""', '" "', '"wide"', '"20"', '"0x10 mm"',
    '"1e3 mm"', '"٢٠ mm"', '"1/0 in"', '"-5000 mm"', '"99999 in"', "-1e9", "1e9", "0x10", "0o17", "0b11", "[]", "[[]]",
    "[1]", "[[1, 2, 3, 4]]", '[["1 in", "2"]]', "[[nan, 1]]", "{}", "{ a = 1 }", "2024-05-01", "07:32:00",
    "1979-05-27T07:32:00Z", "9" * 400, "0x" + "f" * 6000, '"\\u001b[2J"', '"[@click=app.bell]x[/]"',
    f'"{"x" * 70_000}"',
)  # fmt: skip


FINE_AS: dict[str, Callable[[str], bool]] = {
    "text": lambda value: value.startswith('"'),
    "points": lambda value: value == "[]",
}
"""Bad values that are good ones of some kind."""


def beside(path: str) -> str:
    """Return the lines of a row's other values, without which it is none."""
    place = place_at(path)
    if place.kind is None:
        return ""
    return "".join(f"{place.at(key)} = 5\n" for key in place.kind.needed if key != place.key)


def refused_at(path: str, spec: Spec, value: str) -> str:
    """Read one value at one path; return what was wrong with the answer."""
    fine_as = FINE_AS.get(spec.kind.name)
    fine = fine_as is not None and fine_as(value)
    try:
        with limited():
            read_text(f"format = 1\n{path} = {value}\n{beside(path)}")
    except BadFileError as error:
        said = str(error)
        name = path if "{ a" not in value else path.split(".")[0]
        if fine or path not in said or not said.isprintable() or len(said) > 300:
            return f"{name} = {value[:40]}: {said[:300]}"
        if not any(word in said for word in ("it takes", "takes a table", "thousands of digits")):
            return f"{path} = {value[:40]} does not say what is allowed: {said}"
        return ""
    except Exception as error:  # whatever comes is what is looked for
        return f"{path} = {value[:40]}: {error!r}"
    return "" if fine else f"{path} = {value[:40]} is taken"


@pytest.mark.slow
def test_every_field_refuses_every_bad_value() -> None:
    rows = [path for table in row_kinds() for path in row_paths(table, ["a"])]
    everywhere = {**specs(), **{path: spec_of(path) for path in rows}}
    every = [(path, spec, value) for path, spec in everywhere.items() for value in BAD]
    tried = every[:: tries(4, 1)]
    wrong = [found for case in tried if (found := refused_at(*case))]
    assert wrong == []
    if FULL:
        proven("every field given every bad value", len(tried), len(wrong))
