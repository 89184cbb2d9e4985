"""What there is to say of a file that was read: notes, which never stand in the way of the lock in it."""

from core.layout.codes import Code

DEFAULT_TAKEN = Code(
    "default-taken", "note", "",
    "The file says nothing of this value, so the usual one of this program is used until you set your own.",
)  # fmt: skip
UNKNOWN_KEY = Code(
    "unknown-key", "note", "",
    "A name in the file means nothing here: it may be mistyped, your own, or that of a newer program.",
)  # fmt: skip
TAKEN_AS_ZERO = Code(
    "taken-as-zero", "note", "",
    "A length or angle in the file is too small to mean anything in metal; it counts as nothing.",
)  # fmt: skip
HISTORY_UNUSED = Code(
    "history-unused", "note", "lock",
    "Changes from before the file was opened cannot be taken back; the lock itself is as it was saved.",
)  # fmt: skip
RECOVERY_UNREADABLE = Code(
    "recovery-unreadable", "note", "lock",
    "There was unsaved work on this lock, and the copy of it is spoilt; the lock is as it was saved.",
)  # fmt: skip
CHANGED_OUTSIDE = Code(
    "changed-outside", "note", "lock",
    "The file is not as this program wrote it last: somebody edited it, or a disk or a transfer spoilt a value.",
)  # fmt: skip
NOT_SYNCED = Code(
    "folder-not-synced", "note", "lock",
    "The lock is saved, but the disk would not promise to keep it so if the power fails in the next seconds.",
)  # fmt: skip
CODES = (
    DEFAULT_TAKEN, UNKNOWN_KEY, TAKEN_AS_ZERO, HISTORY_UNUSED, RECOVERY_UNREADABLE, CHANGED_OUTSIDE, NOT_SYNCED,
)  # fmt: skip
