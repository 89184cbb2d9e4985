"""Print the page of evidence, measured anew."""

from tests.evidence.page import whole

print("\n".join(whole()))  # noqa: T201 - this is what the command is for
