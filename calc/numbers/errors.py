"""The one error that calc raises for input it cannot take. It never prints and never exits."""


class InputError(ValueError):
    """A field of the input is not what it must be.

    Attributes: `field`, the path to the field, such as ``wheels.left.camber``; `expected` and `got`, in words.
    The text is one line that names all three, so that the command line and the desk can show it as it is.
    """

    def __init__(self, field: str, expected: str, got: str):
        self.field, self.expected, self.got = field, expected, got
        super().__init__(f"{field}: expected {expected}, got {got}")
