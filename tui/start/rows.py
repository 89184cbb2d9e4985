"""The lines of the list of locks."""

import time

from textual.content import Content

from tui.start.shelf import Offer
from tui.widgets.desk_text import level_style

_BILLION = 10**9


def row(offer: Offer) -> Content:
    """Return a line of the list: the title, how the lock stands, its file, and when that was changed last."""
    title = Content.styled(offer.title or "no title", "bold")
    told = [Content.styled(offer.state, _style(offer))] if offer.path and offer.state else []
    told += [Content(text) for text in (offer.beside, changed(offer)) if text]
    return title + Content("\n  ") + Content(", ").join(told) if told else title


def changed(offer: Offer) -> str:
    """Return when the file of an offer was changed last, in words: the hour of today, else the day."""
    if not offer.stamp[0]:
        return ""
    then, now = time.localtime(offer.stamp[0] / _BILLION), time.localtime()
    if then[:3] == now[:3]:
        return time.strftime("%H:%M", then)
    return time.strftime("%d %b" if then.tm_year == now.tm_year else "%d %b %Y", then)


def _style(offer: Offer) -> str:
    if offer.wrong:
        return level_style("stop")
    return level_style("stop" if offer.stops else None)
