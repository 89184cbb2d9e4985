"""The drawing library, loaded without what is of no use here: it draws the same, and whole where it wants more."""

import subprocess
import sys

SAME = """
import sys
{before}
from tui.plot.library import plotext
figure = type(plotext.figure)(type(plotext.terminal)())
figure.plot_size(20, 6)
figure.draw(figure.signal([0.0, 3.0, 9.0], [1.0, 5.0, 2.0], marker=plotext.marker("braille")).lines())
print(figure.build().string(), "unittest" in sys.modules, plotext.doc is None)
assert ("PIL" in sys.modules) is {pillow}
import PIL.Image
"""
PLAIN = "import plotext"
OTHER = """
import types
blank = types.ModuleType
class Bare(blank):
    def __setattr__(self, name, value):
        pass
types.ModuleType = Bare
"""
"""As if plotext took other names from what is left out."""


def run(before: str, *, pillow: bool = False) -> tuple[str, str]:
    """Return what is drawn, and what was loaded."""
    code = SAME.format(before=before, pillow=pillow)
    out = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    picture, *loaded = out.stdout.rsplit(" ", 2)
    return picture, " ".join(loaded).strip()


def test_what_is_left_out_changes_no_picture() -> None:
    whole, light, other = run(PLAIN, pillow=True), run(""), run(OTHER)
    assert whole[0] == light[0] == other[0]
    assert len(whole[0].split("\n")) > 5
    assert (whole[1], light[1], other[1]) == ("True False", "False True", "True False")
