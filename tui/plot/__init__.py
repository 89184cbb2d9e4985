"""Drawing in braille dots: marks [mm] in, rows of text out, by one guarded way to plotext.

Glossary: a *dot* is one braille dot, two across and four down in a character cell, taken as square;
a *scale* maps mm to dots; a *tone* names how a line or text is to look, and the style sheet says
how; *ink* is a run of dots in one tone; *wanted* parts are those that the step at hand asks for.
"""
