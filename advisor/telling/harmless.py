"""Text of users as it may be shown: a title cannot move a terminal's cursor, colour it, or turn a line round."""

from __future__ import annotations


def harmless(text: str) -> str:
    r"""Return a text with a space for whatever is not seen when printed; lines stay lines.

    >>> harmless("a\x1b[2Jb\u202ec\nd")
    'a [2Jb c\nd'
    """
    return "".join(letter if letter.isprintable() or letter == "\n" else " " for letter in text)
