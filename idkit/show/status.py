"""Exit status: what a run of the command line ended in."""

DONE, SOME_UNREAD, WRONG_CALL, NOTHING_DONE, INTERRUPTED = 0, 1, 2, 3, 130
