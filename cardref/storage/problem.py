"""What is wrong with the shape of a file's frame or of a record in it, by the way to it.

>>> Problem("missing-key", "citation is missing: how somebody else finds it", value="citation").pointer
()
"""

from attrs import frozen

from cardref.location import Pointer

__all__ = ["Problem"]


@frozen
class Problem:
    """A fault of shape.

    Attributes:
        rule: the id of the rule that tells it.
        message: what is, and what must be.
        pointer: the way to it, from the file's top or from the record, as whoever gives it says.
        on_key: the key itself is at fault, not its value.
        value: the key or value at fault, as text.
        meant: for a text that YAML took for something else, a misspelt key or word: what was probably meant.
    """

    rule: str
    message: str
    pointer: Pointer = ()
    on_key: bool = False
    value: str = ""
    meant: str = ""
