"""Why a file is refused, said before its name is known; `intake` adds the name."""


class Refused(Exception):
    """The reason, as the second half of a sentence that begins with the file's name."""


class NeedsRaster(Exception):
    """No refusal: the drawing holds something whose ink only a rendering can tell; the text names it."""


class OverLimit(Refused):
    """The file is larger, deeper or slower than `caps` allows."""
