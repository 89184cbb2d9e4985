"""The steps of settling a lock: each a module with a `STEP`, all shown by one screen."""
