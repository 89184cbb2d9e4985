"""One word for each thing, one thing for each word: the glossary held against all that the program says."""

import ast
import re
from collections.abc import Collection, Iterable, Iterator
from functools import cache
from pathlib import Path

import pytest

from core.checks.catalogue import catalogue
from core.checks.gathered import findings, outcomes, windows
from core.glossary import GLOSSARY
from core.layout.layout import Layout
from core.lock.lock import Lock, spec_of
from core.lock.spec import Spec
from tests.locks import changed, posted
from tests.test_catalogue import LOCKS, POSTS
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
    for values in (
        *LOCKS.values(),
        *({"posts.a.across": x, "posts.a.above": y} for ((x, y), *_) in POSTS.values()),
    ):
        lock = posted((0.0, -26.0)) if "posts.a.across" in values else Lock()
        for found in findings(Layout(changed(lock, {**values, "units": units}))):
            said[found.code] = found.text
    assert len(said) > 90
    for code, text in said.items():
        bare = re.sub(r"\([^()]*\d{4}[^()]*\)|\d\S*|\b[A-Z]{2,}\b", " ", text)
        assert not unknown([(code, bare)], known)
        assert re.match(r"[A-Z].*[^ ,;:.]\.$", text), text
        assert not re.search(r"  | [,.;:]|-0\.0+\b|\b(\w+) \1\b|\{|\bnan\b|\binf\b", text), text
        assert units == "mm" or not re.search(r"\bmm\d?\b|\bN\b|\bMPa\b", text), text
        assert not [word for word in RETIRED if re.search(rf"\b{word}\b", text.lower())], text


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
