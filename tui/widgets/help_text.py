"""How a help page is put together: headings, what there is to say of a name, and every key of a screen."""

import textwrap

from textual.content import Content

from tui.keys.acts import Act, Keys

_NAME_WIDTH, _TOLD_WIDTH = 11, 58


def heading_line(text: str) -> Content:
    """Return a heading of the help."""
    return Content.styled(text, "bold $accent")


def paragraph(name: str, text: str) -> Content:
    """Return a sentence or two after a word that says what they are about."""
    return Content.assemble(Content.styled(f"{name}: ", "bold"), text)


def section(heading: str, text: str | Content) -> list[Content]:
    """Return a text under its heading, with an empty line before."""
    return [Content(""), heading_line(heading), Content(text) if isinstance(text, str) else text]


def entry(name: str, text: str) -> Content:
    """Return a key, or another short name, with what there is to say of it beside it."""
    told = textwrap.wrap(text, _TOLD_WIDTH)
    if len(name) >= _NAME_WIDTH:  # several keys, which take a line of their own
        told, name = [" " * _NAME_WIDTH + told[0], *told[1:]], f"{name}\n"
    return Content.assemble(
        Content.styled(f"{name:<{_NAME_WIDTH}}" if "\n" not in name else name, "bold"),
        f"\n{' ' * _NAME_WIDTH}".join(told),
    )


def not_in_line(acts: list[Act]) -> list[Content]:
    """Return the keys that the last line has no room for, for the top of the help."""
    if not acts:
        return []
    named = [Content.assemble((act.shown, "bold"), f" {act.hint}") for act in acts]
    return [
        heading_line("ALSO HERE, BESIDE THE KEYS BELOW"),
        Content("   ").join(named),
        Content(""),
    ]


def keys_told(keys: Keys) -> list[Content]:
    """Return every key of a screen with what it does, under the headings of their places."""
    lines: list[Content] = []
    for place in keys.places:
        if place.heading:
            lines += [Content(""), heading_line(place.heading)]
        lines += [_key(act) for act in place.acts]
    return lines


def _key(act: Act) -> Content:
    return entry(act.all_shown, act.help)
