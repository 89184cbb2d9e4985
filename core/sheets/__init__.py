"""Full-size sheets: templates to stick on the metal, marking tables, bench report.

Glossary: a *piece* is what one part of the lock brings to the bench (`core.sheets.pieces`, one module each, found
by themselves); a *sheet* is one drawing at 1:1, with its title, print line and check bars; a *face* is one
side of one plate, as `core.report.data.FACES` names it; a *job* is one order of sheets: paper, date, and the file
that the lock came from.

`core.sheets.write.write_sheets` is the way in. Only the modules `pdf`, `pdf_tables`, `dxf` and `write` load the
libraries that write those files, so that nothing else of the program waits for them.
"""
