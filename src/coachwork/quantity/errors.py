"""What goes wrong with a measured number.

ValueError
    Unreadable      the builder's text is not a number of the kind that is wanted
"""


class Unreadable(ValueError):
    """A text that cannot be taken as a measured number; `str()` is one plain sentence for the builder.

    read       : the text as it stood in the file, shortened when long
    wanted     : what belongs there, such as "a length, such as 267 mm or 10 1/2 in"
    why        : the sentence; it includes the suggestion where there is one
    suggestion : a text that could stand there instead, or None
    """

    def __init__(self, read: str, wanted: str, why: str, suggestion: str | None = None) -> None:
        super().__init__(read, wanted, why, suggestion)
        self.read = read
        self.wanted = wanted
        self.why = why
        self.suggestion = suggestion

    def __str__(self) -> str:
        return self.why
