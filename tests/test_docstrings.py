"""What every public name of the mechanism and the geometry says of itself, read off its docstring.

Each argument and result with its unit in [brackets] and its shape, the source of the formula, the range in which it
is valid, and a worked example that says where its numbers come from. The examples themselves run as doctests.
"""

import importlib
import inspect
import pkgutil
import re
from collections.abc import Callable, Iterator
from dataclasses import is_dataclass
from types import ModuleType
from typing import Any

import pytest

import core.geometry
import core.mechanism
from core.mechanism.maths import Array

UNITS = {
    "mm", "mm2", "mm3", "mm4", "rad", "mm / rad", "N", "N mm", "N / mm", "MPa", "g", "kg/m3", "m/s", "none",
}  # fmt: skip
"""Units in brackets; none is a pure number, a truth, a direction or a code."""
NUMBERS = re.compile(
    r"\b(float|int|Number|N|Array|Truths|Point|Points|NDArray|Any|T|Reasons)\b|~[NT]\b|ndarray"
)
ARRAYS = re.compile(r"\b(Number|N|Array|Truths|Points|NDArray|T|Reasons)\b|~[NT]\b|ndarray")
ROOMS = (core.mechanism, core.geometry)


def modules() -> Iterator[ModuleType]:
    for room in ROOMS:
        for found in pkgutil.iter_modules(room.__path__, f"{room.__name__}."):
            yield importlib.import_module(found.name)


def public() -> Iterator[Any]:
    """Return every public class and function where it is defined."""
    for module in modules():
        for name, thing in vars(module).items():
            own = getattr(thing, "__module__", "") == module.__name__ and not name.startswith("_")
            if own and (inspect.isclass(thing) or inspect.isfunction(thing)):
                yield thing


def members(kind: type) -> Iterator[tuple[str, Callable[..., Any]]]:
    """Return the public methods and properties that a class itself defines, as functions."""
    for name, thing in vars(kind).items():
        function = thing.fget if isinstance(thing, property) else thing
        if not name.startswith("_") and inspect.isfunction(function):
            yield name, function


def annotation(of: Any) -> str:
    """Return an annotation in words, without what stands for a whole tooth or path: that speaks for itself."""
    said = of if isinstance(of, str) else getattr(of, "__name__", "") + str(of)
    return re.sub(r"core\.[\w.]+(\[[^\]]*\])?", "", said)


def paragraphs(said: str) -> list[str]:
    return [" ".join(part.split()) for part in re.split(r"\n\s*\n", said)]


def in_words(said: str, name: str, kind: str) -> Iterator[str]:
    """Return what is missing of an argument or field in the paragraphs of `said`: its name, unit or shape."""
    # several names may share a unit: `x`, `y` [mm]
    listed = rf"`{name}`(?:(?:,| and|, and) `\w+`)* \[([^\]]+)\]"
    found = [(match[1], part) for part in paragraphs(said) for match in re.finditer(listed, part)]
    if f"`{name}`" not in said:
        yield f"{name} is not named"
    elif NUMBERS.search(kind) and not any(unit in UNITS for unit, _ in found):
        yield f"{name} has no unit"
    elif ARRAYS.search(kind) and not any("shape" in part for _, part in found):
        yield f"{name} has no shape"


def lacking_in_function(function: Callable[..., Any], also: str = "") -> Iterator[str]:
    """Return what a function's docstring lacks; `also` is its class's, which may give source and example."""
    said = inspect.getdoc(function) or ""
    signature = inspect.signature(function)
    for name, parameter in signature.parameters.items():
        if name != "self":
            yield from in_words(said, name, annotation(parameter.annotation))
    result = annotation(signature.return_annotation)
    # what is said of an argument says nothing of the result
    first = re.sub(r"`\w+` \[[^\]]+\](, any shape|, shape \([^)]*\))?", "", paragraphs(said)[0])
    if NUMBERS.search(result) and not any(f"[{unit}]" in first for unit in UNITS):
        yield "the result has no unit"
    if ARRAYS.search(result) and "shape" not in first:
        yield "the result has no shape"
    yield from lacking_in_any(f"{said}\n{also}", function.__name__)


def lacking_in_any(said: str, shows: str = "") -> Iterator[str]:
    """Return what any docstring lacks; `shows` names what the lines of an example have to hold."""
    for heading in ("Source: ", "Valid: "):
        if heading not in said:
            yield f"no {heading.strip()}"
    if not re.search(r"^Example, .*?:\n>>>", said, re.MULTILINE | re.DOTALL):
        yield "no example that says where it comes from"
    lines = re.findall(r"^(?:>>>|\.\.\.) (.*)$", said, re.MULTILINE)
    if not any(re.search(rf"\b{shows}\b", line) for line in lines):
        yield "no example that shows it"


def lacking(thing: Any) -> list[str]:
    """Return what the docstring of a function or class, and those of its methods, lack."""
    name, said = thing.__name__, inspect.getdoc(thing) or ""
    if not inspect.isclass(thing):
        return [f"{name}: {what}" for what in lacking_in_function(thing)]
    found = [f"{name}: {what}" for what in lacking_in_any(said)]
    for field, kind in (
        vars(thing).get("__annotations__", {}).items() if is_dataclass(thing) else ()
    ):
        found += [f"{name}.{what}" for what in in_words(said, field, annotation(kind))]
    for method, function in members(thing):
        found += [f"{name}.{method}: {what}" for what in lacking_in_function(function, said)]
    return found


@pytest.mark.parametrize(
    "thing", list(public()), ids=lambda thing: f"{thing.__module__}.{thing.__name__}"
)
def test_docstring_is_whole(thing: Any) -> None:
    assert lacking(thing) == []


def test_every_room_is_looked_at() -> None:
    names = {thing.__name__ for thing in public()}
    assert {
        "tooth_from",
        "Teeth",
        "carried",
        "balance",
        "meeting",
        "Path",
        "bordered",
        "top_at",
        "zero_near",
    } <= names


def fit(bore: float, pins: Array) -> Array:
    """Return the play [mm], shape (n,), of `pins` [mm], shape (n,), in a `bore` [mm].

    Source: subtraction.
    Valid: for pins that fit.

    Example, from any primer:
    >>> fit(3.0, 2.5)
    0.5
    """
    return bore - pins


@pytest.mark.parametrize(
    ("taken", "given", "says"),
    [
        ("`bore` [mm]", "`bore`", "bore has no unit"),
        ("`bore` [mm]", "`bore` [furlong]", "bore has no unit"),
        ("`bore` [mm]", "bore", "bore is not named"),
        (", shape (n,),", ",", "pins has no shape"),
        (", shape (n,),", ",", "the result has no shape"),
        ("play [mm]", "play", "the result has no unit"),
        ("Source: ", "", "no Source:"),
        ("Valid: ", "", "no Valid:"),
        ("Example, from any primer:", "", "no example that says where it comes from"),
        (">>> fit(3.0, 2.5)", ">>> 3.0 - 2.5", "no example that shows it"),
    ],
)
def test_the_check_sees_what_is_lacking(taken: str, given: str, says: str) -> None:
    assert lacking(fit) == []
    said = fit.__doc__ or ""

    def worse(bore: float, pins: Array) -> Array:
        return bore - pins

    worse.__doc__, worse.__name__ = said.replace(taken, given), "fit"
    assert f"fit: {says}" in lacking(worse)
