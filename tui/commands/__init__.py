"""The sub-commands, one module each, found by the name of the module.

A command is a module with a `NAME` (its own name, with - for _), a `HELP` line, `add(parser)`,
which declares its arguments, and `run(args)`, which returns the exit code. Nothing else lists them,
so a new command is a new file. A module whose name begins with _ is none.
"""
