"""One word for each thing, one thing for each word: the glossary held against all that the program says."""

import ast
import re
from collections.abc import Collection, Iterable, Iterator
from functools import cache
from pathlib import Path

import pytest

from core.change.consequences import as_fact
from core.checks.catalogue import catalogue
from core.checks.gathered import findings, outcomes, windows
from core.glossary import GLOSSARY
from core.layout.layout import Layout
from core.lock.facts import with_measured
from core.lock.lock import Lock, spec_of
from core.lock.row_changes import with_row
from core.lock.spec import Spec
from core.made.marking import mark_made
from tests.finding_locks import (
    FITTED,
    FIXED,
    LOCKS,
    MEASURED,
    PLACED,
    PLUGS,
    POSTS,
    SOUND,
    made_as,
    on_files,
)
from tests.locks import changed, posted
from tests.sure import sure
from tui.desk.desk import Desk
from tui.desk.session import Session
from tui.steps.step import Step
from tui.steps.walk import all_steps
from tui.work.help import help_page

TOP = Path(__file__).resolve().parent.parent
LISTED = (
    (TOP / "tests" / "plain_words.txt").read_text("utf-8").split("# In whole sentences alone:\n")
)
PLAIN, TOLD = (
    {word for line in part.splitlines() if not line.startswith("#") for word in line.split()}
    for part in LISTED
)
"""Words of a label, and those that only a sentence has besides."""
NAMES = {word for term in GLOSSARY for word in re.findall(r"[a-z]+", term.name.lower())}

RETIRED = {
    "free end": "the shackle's end", "high end": "most", "low end": "least", "way out": "remedy",
    "ways out": "remedies", "home travel": "left to the detent", "stands back": "does not count",
    "over-travel": "overrun", "detent capture": "reach", "metal above the gap": "bridge",
    "least gap": "least room", "foot of the free": "underside", "bridge of a guide": "guide",
    "upper lobes": "humps", "drawn home by": "left to", "at its root": "foot", "in the wall": "in the rim",
    "coefficient": "friction", "a drop of": "an end below the line", "a gap of": "a nose clearance of",
    "further": "farther",
}  # fmt: skip
"""Words that once stood for a thing that has another, with the one that it has."""


def test_the_glossary_is_in_order_and_says_each_word_once() -> None:
    names = [term.name for term in GLOSSARY]
    assert names == sorted(names, key=lambda name: re.sub("[^a-z]", " ", name))
    assert len(set(names)) == len(names)
    for term in GLOSSARY:
        assert term.means[0].isupper()
        assert term.means.endswith(".")


def labels() -> Iterator[tuple[str, str]]:
    """Yield all that names a thing, with where it stands."""
    for step in all_steps():
        yield step.name, step.title
        for reading in step.read_off:
            yield step.name, reading.label
        for spec in asked(step):
            yield step.name, spec.label
    for outcome in outcomes():
        yield outcome.name, outcome.label


def sentences() -> Iterator[tuple[str, str]]:
    """Yield all that explains a thing, with where it stands."""
    for step in all_steps():
        yield step.name, step.intro
        yield step.name, step.caution
        for part in (step.guide.decided, step.guide.why, step.guide.look) if step.guide else ():
            yield step.name, part
        for spec in asked(step):
            for text in (spec.what, spec.measure, spec.usual):
                yield f"{step.name}, {spec.label}", text
    for code in catalogue().values():
        yield code.name, code.meaning


def asked(step: Step) -> Iterator[Spec]:
    yield from (spec_of(prompt.path) for prompt in step.prompts)
    yield from step.kind.specs.values() if step.kind else ()


def unknown(
    told: Iterable[tuple[str, str]], known: Collection[str] = NAMES | PLAIN
) -> set[tuple[str, str]]:
    """Return each word that is neither plain nor one of the glossary's, perhaps more than one of them, or of it."""
    return {
        (word, where)
        for where, text in told
        for word in re.findall(r"[a-z]+", text.lower().replace("'s", ""))
        if not {word, word.removesuffix("s"), word.removesuffix("es")}.intersection(known)
    }


def test_every_word_of_a_label_is_plain_or_stands_in_the_glossary() -> None:
    assert not unknown(labels())
    assert unknown([("a label", "Talon's flanks")]) == {("talon", "a label")}
    assert not PLAIN & NAMES


def test_every_word_of_a_sentence_is_plain_or_stands_in_the_glossary() -> None:
    assert not unknown(sentences())


@cache
def shown() -> tuple[tuple[str, str], ...]:
    """Return every text of the source that may be shown: strings that are no docstring."""
    return tuple(_shown())


def _shown() -> Iterator[tuple[str, str]]:
    for room in ("core", "tui"):
        for path in sorted((TOP / room).rglob("*.py")):
            tree = ast.parse(path.read_text("utf-8"))
            silent = {
                id(node.value)
                for node in ast.walk(tree)
                if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant)
            }
            for node in ast.walk(tree):
                if (
                    isinstance(node, ast.Constant)
                    and isinstance(node.value, str)
                    and id(node) not in silent
                ):
                    yield f"{path.relative_to(TOP)}:{node.lineno}", node.value


SET_APART = "|".join((
    r"boltwright \w+", r"--[a-z-]+", "-probe", r"`[^`]*`", r"%\([a-z]+\)s", r"\[\w.{}]+\]", r"\b[A-Z]{2,}[A-Z_]*\b",
    r"[\w.]*\.\w+", r"\b\w\b", "^bold $",
))  # fmt: skip
"""What is no word of a sentence: commands, keys of a file, names in capitals, single letters, what is quoted."""


def texts() -> Iterator[tuple[str, str]]:
    """Yield what a person may read: strings of more than one word, or that others are joined to, and no markup."""
    for where, text in shown():
        if re.search(r"[a-z] +[a-z]|^[ ,.;:][ a-z]*[a-z]{2}|[a-z]{2} $", text.lower()):
            plain = re.sub(SET_APART, " ", text)
            if not re.search(r"[<$|]|\\|[a-z]=|: [a-z]+;", plain):
                yield where, plain


def test_every_word_that_the_program_can_say_is_plain_or_stands_in_the_glossary() -> None:
    every = list(texts())
    assert len(every) > 2000
    assert not unknown(every, NAMES | PLAIN | TOLD)
    assert not TOLD & (PLAIN | NAMES)


@pytest.mark.slow  # half a minute: all that the locks of the catalogue find, put together as it is shown
@pytest.mark.parametrize("units", ["mm", "in"])
def test_every_finding_is_said_in_whole_sentences_of_known_words(units: str) -> None:
    known, said = NAMES | PLAIN | TOLD | NAMED, dict[str, str]()
    for lock in (*unmade(), *made(), *plugged()):
        for found in findings(Layout(lock.with_value("units", units))):
            said[found.code] = found.text
    assert len(said) > 130
    for code, text in said.items():
        assert_said_well(code, text, known, units)


def test_notes_on_a_file_are_said_in_whole_sentences_of_known_words(tmp_path: Path) -> None:
    for code in ("default-taken", "unknown-key", "taken-as-zero", "changed-outside",
                 "history-unused", "recovery-unreadable"):  # fmt: skip
        notes = [note for note in on_files(tmp_path)[code]() if note is not None]
        assert notes
        for note in notes:
            # a note on a key may begin with its name
            text = re.sub(r"^[a-z.]+( = \S+)?(?= is )", "It", note.text)
            assert_said_well(code, text, NAMES | PLAIN | TOLD | NAMED, "mm")


def assert_said_well(code: str, text: str, known: Collection[str], units: str) -> None:
    """Hold that a text is whole sentences of known words, with no sign of having been put together."""
    # names and values of the file are what they are, and so is what another program says of it
    bare = re.sub(r"Taken are: .*|\S*/\S*: .*|'[^']*'|\[[\w.]+\]|boltwright \w+", " ", text)
    bare = re.sub(r"[\w.~-]*[a-z0-9][._][\w.~-]+", " ", bare)
    bare = re.sub(r"\([^()]*\d{4}[^()]*\)|\d\S*|\b[A-Z]{2,}\b", " ", bare)
    assert not unknown([(code, bare)], known), text
    assert re.match(r"[A-Z'\[].*[^ ,;:.]\.$", text), text
    assert not re.search(r"  | [,.;:]|-0\.0+\b|\b(\w+) \1\b|\{|\bnan\b|\binf\b", text), text
    assert units == "mm" or not re.search(r"\bmm\d?\b|\bN\b|\bMPa\b", text), text
    assert not [word for word in RETIRED if re.search(rf"\b{word}\b", text.lower())], text


def unmade() -> Iterator[Lock]:
    """Yield the locks of the catalogue of which no part is made."""
    for values in (
        *LOCKS.values(),
        *({"posts.a.across": x, "posts.a.above": y} for ((x, y), *_) in POSTS.values()),
    ):
        yield changed(posted((0.0, -26.0)) if "posts.a.across" in values else Lock(), values)


def made() -> Iterator[Lock]:
    """Yield locks with parts that are made, used, filed, moved, plugged, measured or to be made anew."""
    for part, sizes in FITTED.items():
        yield from (made_as(part, path, value) for path, value in sizes)
    for part, path in PLACED.items():
        done = mark_made(SOUND, part)
        yield done.with_value(path, done.value(path) + 0.5)
    plates = mark_made(mark_made(SOUND, "back_plate"), "front_plate")
    yield sure(as_fact(plates, "pivot.below", 47.0))
    for part in ("back_plate", "front_plate"):
        yield made_as(part, "plate.width", SOUND.plate.width + 0.5)
        yield made_as(part, "plate.width", 40.0)
        yield posted((0.0, -26.0), lock=mark_made(SOUND, part))
    for radius in (20.5, 19.5):
        yield made_as("key_gauge", "key.radius", radius)
    for part in ("front_guide", "rear_guide"):
        yield with_measured(mark_made(SOUND, part), part, f"{part}.from_centreline", 12.0)
    for measured in MEASURED.values():
        lock = SOUND
        for part, path, value in measured:
            lock = with_measured(mark_made(lock, part), part, path, value)
        yield lock
    for part, near, outer in FIXED.values():
        lock, name = mark_made(SOUND, part), part.partition("_")[0]
        for end, up in (("near", near), ("outer", outer)):
            lock = with_measured(lock, part, f"as_fixed.{name}_{end}", up)
        yield lock


def plugged() -> Iterator[Lock]:
    """Yield locks with a plug in a plate that is told of."""
    return (with_row(Lock(), "plugs", "a", plug) for plug in PLUGS.values())


@pytest.mark.parametrize("word", RETIRED)
def test_no_text_says_a_thing_by_a_word_that_it_no_longer_has(word: str) -> None:
    said = re.compile(rf"\b{word}\b", re.IGNORECASE)
    assert not [where for where, text in shown() if said.search(text)], RETIRED[word]


def test_no_two_values_of_a_lock_have_one_name() -> None:
    """Both guides have the same two sizes, in steps of their own; rows are named besides."""
    labels = [spec_of(prompt.path).label for step in all_steps() for prompt in step.prompts]
    twice = {label for label in labels if labels.count(label) > 1}
    assert twice == {"guide width", "guide floor"}
    for step in all_steps():
        of_rows = [spec.label for spec in step.kind.specs.values()] if step.kind else []
        assert len(set(of_rows)) == len(of_rows)


NAMED = {"mm", "rad", "lbf", "oz", "mpa", "psi"}

AS_IT_IS = {
    "plugs.across",
    "plugs.below",
    "plugs.hole",
    "offcuts.long",
    "offcuts.wide",
    "offcuts.thickness",
}
"""A stray hole and a piece of stock are measured, not chosen: there is nothing usual about them."""


def test_every_prompt_has_a_window_or_a_usual_value() -> None:
    held, with_posts = windows(Layout(Lock())), windows(Layout(posted((20.0, 18.0))))
    for step in all_steps():
        for prompt in step.prompts:
            spec = spec_of(prompt.path)
            free = prompt.path in (
                "title",
                "notes",
            )  # where nothing is usual, and anything may stand
            assert free or spec.usual or prompt.path in held, prompt.path
        for key, spec in (step.kind.specs if step.kind else {}).items():
            bounded = any(re.fullmatch(rf"{step.rows}\.\w+\.{key}", path) for path in with_posts)
            assert spec.usual or bounded or f"{step.rows}.{key}" in AS_IT_IS, key


def test_what_is_read_at_a_prompt_says_nothing_that_is_retired() -> None:
    """The texts are put together from parts: those of a lock at hand are read as they come out."""
    for step in range(len(all_steps())):
        page = help_page(Desk(Session()).at_step(step)).plain.lower()
        assert not [word for word in RETIRED if word in page]
