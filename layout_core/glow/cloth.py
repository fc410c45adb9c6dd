"""What a colour word of a garment means to the light: its screen colour and its reflectance."""

from layout_core.glow.colour import luminance_of, rgb_of

_COLOURS = {
    "black": "#1A1C1F", "navy": "#1C2742", "charcoal": "#3B3F44", "grey": "#8B9096", "gray": "#8B9096",
    "white": "#F7F7F4", "red": "#9E2A2B", "maroon": "#5A1F2B", "burgundy": "#5A1F2B", "purple": "#46306E",
    "royal": "#2346A0", "royal blue": "#2346A0", "blue": "#2B5AA0", "teal": "#125E63", "green": "#235C3B",
    "forest": "#1F4030", "forest green": "#1F4030", "olive": "#555A34", "brown": "#4A3628",
    "orange": "#C4591C", "yellow": "#E3B93B", "pink": "#D78BA4", "sand": "#CDBF9F", "natural": "#E6DFCC",
}  # fmt: skip
"""Screen colours for colour words, invented: a sketch shows the kind of cloth, not its shade."""
_UNKNOWN = "#2A2E33"

BLACK_CLOTH, WHITE_CLOTH = 0.04, 0.8
"""The least and the most that cloth reflects; assumed."""


def cloth(name: str) -> str:
    """The screen colour of a garment colour: a word, or #RRGGBB; a dark grey when it is neither."""
    word = " ".join(name.lower().split())
    is_hex = len(word) == 7 and word[0] == "#" and all(char in "0123456789abcdef" for char in word[1:])
    return word if is_hex else _COLOURS.get(word, _UNKNOWN)


def is_light(colour: str) -> bool:
    """Whether a #RRGGBB cloth is so light that the pale ink could not be seen on it."""
    red, green, blue = rgb_of(colour)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue > 170


def reflectance(colour: str) -> float:
    """How much light cloth of that #RRGGBB throws back, from 0.04 (black) to 0.8 (white)."""
    return min(max(luminance_of(rgb_of(colour)), BLACK_CLOTH), WHITE_CLOTH)
