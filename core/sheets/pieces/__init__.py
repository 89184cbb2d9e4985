"""The pieces, one module each with a `PIECE`; `core.sheets.gathering` finds them here."""
