"""What can be changed in a module: signs, limits, comparisons, swapped arguments, constants, dropped terms.

A change replaces one stretch of the source; the rest stays as it is, to the letter. Texts, annotations, decorators and
docstrings are left alone: a changed word is no wrong number.
"""

import ast
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path

OPERATORS = {
    ast.Add: ("+", "-"),
    ast.Sub: ("-", "+"),
    ast.Mult: ("*", "/"),
    ast.Div: ("/", "*"),
    ast.FloorDiv: ("//", "/"),
    ast.Mod: ("%", "*"),
    ast.Pow: ("**", "*"),
    ast.BitAnd: ("&", "|"),
    ast.BitOr: ("|", "&"),
}
COMPARISONS = {
    ast.Lt: ("<", ("<=", ">")),
    ast.LtE: ("<=", ("<", ">=")),
    ast.Gt: (">", (">=", "<")),
    ast.GtE: (">=", (">", "<=")),
    ast.Eq: ("==", ("!=",)),
    ast.NotEq: ("!=", ("==",)),
    ast.Is: ("is", ("is not",)),
    ast.IsNot: ("is not", ("is",)),
    ast.In: ("in", ("not in",)),
    ast.NotIn: ("not in", ("in",)),
}
NAMES = {
    "min": "max", "max": "min", "minimum": "maximum", "maximum": "minimum", "argmin": "argmax", "argmax": "argmin",
    "sin": "cos", "cos": "sin", "asin": "acos", "acos": "asin", "floor": "ceil", "ceil": "floor", "any": "all",
    "all": "any", "degrees": "radians", "radians": "degrees", "union": "intersection", "intersection": "union",
}  # fmt: skip
"""Functions and methods, and what stands in their place: the other limit, the other side of a triangle."""
COMMUTES = {
    "min",
    "max",
    "minimum",
    "maximum",
    "hypot",
    "dist",
    "gcd",
    "isclose",
    "smaller",
    "larger",
    "maths",
}
"""Functions that do not mind the order of their arguments."""
DROPPED = {"abs", "round", "sorted", "reversed", "absolute"}
"""Functions that can be left away round their first argument."""


@dataclass(frozen=True)
class Mutant:
    """One change: in which file [from the top of the project], on which line, of what kind, and from what to what.

    `start` and `end` are offsets in the source's bytes.
    """

    path: str
    line: int
    kind: str
    old: str
    new: str
    start: int
    end: int

    @property
    def room(self) -> str:
        """The folder of core, or core itself."""
        parts = Path(self.path).parts
        return "/".join(parts[:2]) if len(parts) > 2 else parts[0]

    @property
    def told(self) -> str:
        """The change in one line."""
        old, new = (" ".join(text.split()) for text in (self.old, self.new))
        return f"{self.path}:{self.line} {self.kind}: {old} -> {new}"

    def applied(self, source: bytes) -> bytes:
        """Return the source with the change made."""
        return source[: self.start] + self.new.encode() + source[self.end :]

    def compiles(self, source: bytes) -> bool:
        """Say whether the changed source is still a program, and another one than before."""
        changed = self.applied(source)
        try:
            compile(changed, self.path, "exec")
        except SyntaxError:
            return False
        return changed != source


def mutants(path: str, source: bytes) -> list[Mutant]:
    """Return every change that can be made in a module, in its order."""
    found = set(_Finder(path, source).found)
    return sorted(found, key=lambda mutant: (mutant.start, mutant.end, mutant.kind, mutant.new))


class _Finder(ast.NodeVisitor):
    """Walks a module and collects what can be changed."""

    def __init__(self, path: str, source: bytes) -> None:
        self.path, self.source, self.found = path, source, list[Mutant]()
        self.starts = [0]
        for line in source.splitlines(keepends=True):
            self.starts.append(self.starts[-1] + len(line))
        self.visit(ast.parse(source))

    def at(self, node: ast.expr) -> tuple[int, int]:
        assert node.end_lineno is not None
        assert node.end_col_offset is not None
        start = self.starts[node.lineno - 1] + node.col_offset
        return start, self.starts[node.end_lineno - 1] + node.end_col_offset

    def text(self, node: ast.expr) -> str:
        start, end = self.at(node)
        return self.source[start:end].decode()

    def add(self, kind: str, node: ast.expr, new: str, span: tuple[int, int] | None = None) -> None:
        start, end = span or self.at(node)
        old = self.source[start:end].decode()
        line = self.source.count(b"\n", 0, start) + 1
        self.found.append(Mutant(self.path, line, kind, old, new, start, end))

    # what is left alone

    def visit_AnnAssign(self, node: ast.AnnAssign) -> None:
        if node.value:
            self.visit(node.value)

    def visit_arg(self, node: ast.arg) -> None:
        pass

    def visit_FunctionDef(self, node: ast.FunctionDef) -> None:
        node.returns, node.decorator_list = None, []
        self.generic_visit(node)

    def visit_ClassDef(self, node: ast.ClassDef) -> None:
        node.decorator_list = []
        self.generic_visit(node)

    def visit_JoinedStr(self, node: ast.JoinedStr) -> None:
        pass  # a text

    def visit_Raise(self, node: ast.Raise) -> None:
        pass  # what a refusal says

    # what is changed

    def visit_BinOp(self, node: ast.BinOp) -> None:
        if _is_text(node.left) or _is_text(node.right):
            return
        if type(node.op) in OPERATORS:
            self.between(node.left, node.right, *OPERATORS[type(node.op)], "sign")
        if isinstance(node.op, ast.Add | ast.Sub):
            self.add("dropped term", node, self.text(node.left))
        self.generic_visit(node)

    def visit_Compare(self, node: ast.Compare) -> None:
        left = node.left
        for op, right in zip(node.ops, node.comparators, strict=True):
            old, others = COMPARISONS[type(op)]
            for new in others:
                self.between(left, right, old, new, "comparison")
            left = right
        self.generic_visit(node)

    def visit_BoolOp(self, node: ast.BoolOp) -> None:
        old, new = ("and", "or") if isinstance(node.op, ast.And) else ("or", "and")
        self.between(node.values[0], node.values[1], old, new, "and, or")
        self.add("dropped term", node, self.text(node.values[0]))
        self.generic_visit(node)

    def visit_UnaryOp(self, node: ast.UnaryOp) -> None:
        if isinstance(node.op, ast.USub | ast.Not | ast.Invert):
            self.add("sign", node, f"({self.text(node.operand)})")
        self.generic_visit(node)

    def visit_IfExp(self, node: ast.IfExp) -> None:
        body, test, other = self.text(node.body), self.text(node.test), self.text(node.orelse)
        self.add("swapped branches", node, f"({other} if {test} else {body})")
        self.generic_visit(node)

    def visit_Call(self, node: ast.Call) -> None:
        name = getattr(node.func, "attr", getattr(node.func, "id", ""))
        if name in NAMES:
            _, end = self.at(node.func)
            self.add("limit or function", node, NAMES[name], (end - len(name), end))
        if name in DROPPED and node.args:
            self.add("dropped function", node, f"({self.text(node.args[0])})")
        plain = [arg for arg in node.args if not isinstance(arg, ast.Starred)]
        for one, other in pairwise([] if name in COMMUTES else plain):
            if self.text(one) != self.text(other) and not (_is_text(one) or _is_text(other)):
                between = self.source[self.at(one)[1] : self.at(other)[0]].decode()
                span = self.at(one)[0], self.at(other)[1]
                self.add(
                    "swapped arguments", node, self.text(other) + between + self.text(one), span
                )
        self.generic_visit(node)

    def visit_Constant(self, node: ast.Constant) -> None:
        value = node.value
        if isinstance(value, bool):
            self.add("constant", node, str(not value))
        elif isinstance(value, int):
            self.add("constant", node, str(value + 1))
        elif isinstance(value, float):
            self.add("constant", node, repr(value * 1.25) if value else "1.0")

    def between(self, left: ast.expr, right: ast.expr, old: str, new: str, kind: str) -> None:
        """Change the operator that stands between two operands."""
        start, end = self.at(left)[1], self.at(right)[0]
        place = self.source.find(old.encode(), start, end)
        if place >= 0:
            self.add(kind, left, new, (place, place + len(old)))


def _is_text(node: ast.expr) -> bool:
    return isinstance(node, ast.JoinedStr) or (
        isinstance(node, ast.Constant) and isinstance(node.value, str)
    )
