"""The pieces, one module each with a `PIECE`; `core.sheets.record` finds them here."""
