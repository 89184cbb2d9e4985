"""Plain text: what a title, a note or a file name may put on a screen or on paper."""

import unicodedata
from collections.abc import Sequence

_HIDDEN = frozenset({"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"})


def plain(text: str, *, lines: bool = False) -> str:
    """Return `text` without anything that acts instead of showing.

    Dropped are the characters of the Unicode categories Cc, Cf, Cs, Co, Cn, Zl and Zp (The Unicode
    Standard, table 4-4): control and format characters, halves of surrogate pairs, private and
    unassigned ones. Line ends and tabs become a space each; with `lines`, line ends stay, as `\\n`.
    """
    breaks = "\n" if lines else " "
    text = text.replace("\r\n", "\n")
    done = []
    for character in text:
        if character in "\n\r\u2028\u2029":
            done.append(breaks)
        elif character == "\t":
            done.append(" ")
        elif unicodedata.category(character) not in _HIDDEN:
            done.append(character)
    return "".join(done)


def capital(text: str) -> str:
    """Return `text` with a capital at its beginning; the rest, such as a name in it, stays as it is."""
    return text[:1].upper() + text[1:]


def listed(names: Sequence[str]) -> str:
    """Return names as a sentence has them: `one`, `one and another`, `one, another and a third`; one at least."""
    *first, last = names
    return f"{', '.join(first)} and {last}" if first else last


def shown(value: object) -> str:
    """Write a refused value for a message, shortened to one line."""
    try:
        text = ("true" if value else "false") if isinstance(value, bool) else repr(value)
    except ValueError:  # Python writes no integer of more than some thousands of digits
        return "a number of thousands of digits"
    return text if len(text) <= 60 else text[:57] + "..."
