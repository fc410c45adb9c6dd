"""Pictures drawn by chance of which it is known whether they are flat or softly shaded."""

import io
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFilter
from scipy import ndimage

Floats = NDArray[np.float64]
Bytes = NDArray[np.uint8]
Draw = Callable[[np.random.Generator], Bytes]

_LEAST_CONTRAST = 40
_LEAST_SHARE = 0.12
"""Of the picture: how much of it a shading fills, without its faintest ends."""


@dataclass(frozen=True, slots=True)
class Known:
    """A picture and the truth about it; the name says how it was drawn and what was done to it."""

    name: str
    rgba: Bytes
    is_soft: bool


def picture(seed: int) -> Known:
    """The picture of this seed: even seeds are flat, odd ones soft."""
    chance = np.random.default_rng(seed)
    is_soft = bool(seed % 2)
    kinds = SOFT_KINDS if is_soft else FLAT_KINDS
    draw = kinds[int(chance.integers(len(kinds)))]
    rgba = draw(chance)
    rgba, done = _spoiled(rgba, chance)
    return Known(f"{draw.__name__.strip('_')} {rgba.shape[1]}x{rgba.shape[0]} {done}", rgba, is_soft)


def as_jpeg(rgba: Bytes, quality: int) -> Bytes:
    """What a JPEG of this quality keeps of it; always opaque."""
    stream = io.BytesIO()
    Image.fromarray(rgba[..., :3]).save(stream, "JPEG", quality=quality)
    return np.array(Image.open(stream).convert("RGBA"))


def _spoiled(rgba: Bytes, chance: np.random.Generator) -> tuple[Bytes, str]:
    done = []
    sigma = float(chance.choice([0, 0, 1, 2, 4]))
    if sigma:
        noise = chance.normal(0, sigma, (*rgba.shape[:2], 3))
        rgba = rgba.copy()
        rgba[..., :3] = np.clip(np.rint(rgba[..., :3] + noise), 0, 255).astype(np.uint8)
        done.append(f"noise {sigma:g}")
    if rgba[..., 3].min() == 255 and chance.random() < 0.6:
        quality = int(chance.choice([20, 35, 50, 75, 85, 95]))
        rgba = as_jpeg(rgba, quality)
        done.append(f"jpeg {quality}")
    return rgba, ", ".join(done) or "clean"


def _size(chance: np.random.Generator) -> tuple[int, int]:
    across = int(np.exp(chance.uniform(np.log(220), np.log(1800))))
    return across, max(120, int(across * np.exp(chance.uniform(-0.7, 0.4))))


def _colours(chance: np.random.Generator, most: int = 12) -> list[tuple[int, int, int]]:
    count = int(chance.integers(2, most + 1))
    if chance.random() < 0.15:
        grey = int(chance.integers(60, 200))
        found = grey + chance.integers(-10, 11, (count, 3))
    else:
        found = chance.integers(0, 256, (count, 3))
    return [tuple(colour) for colour in found.tolist()]


def _shrunk(image: Image.Image, size: tuple[int, int], chance: np.random.Generator) -> Bytes:
    """Smoothed at the edges as drawing programs export it."""
    filters = (Image.Resampling.BOX, Image.Resampling.LANCZOS, Image.Resampling.BICUBIC)
    return np.array(image.resize(size, filters[int(chance.integers(3))]).convert("RGBA"))


def _random_shape(
    draw: ImageDraw.ImageDraw, box: tuple[float, float, float, float], fill: tuple[int, int, int], turn: int
) -> None:
    x0, y0, x1, y1 = box
    if turn == 0:
        draw.rectangle(box, fill=fill)
    elif turn == 1:
        draw.ellipse(box, fill=fill)
    else:
        middle = ((x0 + x1) / 2, (y0 + y1) / 2)
        angles = np.linspace(0, 2 * np.pi, 10, endpoint=False) + turn
        reach = np.where(np.arange(10) % 2, 0.5, 1.0)
        xs = middle[0] + (x1 - x0) / 2 * reach * np.cos(angles)
        ys = middle[1] + (y1 - y0) / 2 * reach * np.sin(angles)
        draw.polygon(list(zip(xs.tolist(), ys.tolist(), strict=True)), fill=fill)


def _shapes_of(chance: np.random.Generator, size: tuple[int, int]) -> Image.Image:
    width, height = 3 * size[0], 3 * size[1]
    colours = _colours(chance)
    image = Image.new("RGB", (width, height), colours[0])
    draw = ImageDraw.Draw(image)
    for number in range(int(chance.integers(6, 40))):
        half = np.exp(chance.uniform(np.log(0.02), np.log(0.25))) * min(width, height)
        x, y = chance.uniform(0, width), chance.uniform(0, height)
        fill = colours[1 + number % (len(colours) - 1)]
        _random_shape(draw, (x - half, y - half, x + half, y + half), fill, int(chance.integers(5)))
    return image


def _flat_shapes(chance: np.random.Generator) -> Bytes:
    size = _size(chance)
    return _shrunk(_shapes_of(chance, size), size, chance)


def _flat_cut_out(chance: np.random.Generator) -> Bytes:
    size = _size(chance)
    rgba = _shrunk(_shapes_of(chance, size), size, chance)
    mask = Image.new("L", (3 * size[0], 3 * size[1]), 0)
    ImageDraw.Draw(mask).ellipse((30, 30, 3 * size[0] - 30, 3 * size[1] - 30), fill=255)
    rgba[..., 3] = np.array(mask.resize(size, Image.Resampling.BOX))
    return rgba


def _thin_lines(chance: np.random.Generator) -> Bytes:
    """Hatching, rings and crossing lines of 1 to 6 px."""
    size = _size(chance)
    colours = _colours(chance, 4)
    image = Image.new("RGB", (3 * size[0], 3 * size[1]), colours[0])
    draw = ImageDraw.Draw(image)
    line = int(3 * chance.uniform(1, 6))
    pitch = line + int(3 * chance.uniform(2, 14))
    slope = chance.uniform(-1, 1)
    for x in range(-3 * size[1], 6 * size[0], pitch):
        draw.line((x, 0, x + slope * 3 * size[1], 3 * size[1]), fill=colours[1], width=line)
    for radius in range(pitch, min(3 * size) // 3, 2 * pitch):
        middle = 1.5 * size[0], 1.5 * size[1]
        draw.ellipse(
            (middle[0] - radius, middle[1] - radius, middle[0] + radius, middle[1] + radius),
            outline=colours[-1],
            width=line,
        )
    return _shrunk(image, size, chance)


def _words(chance: np.random.Generator) -> Bytes:
    """Rows of small strokes, like writing."""
    size = _size(chance)
    colours = _colours(chance, 5)
    image = Image.new("RGB", (3 * size[0], 3 * size[1]), colours[0])
    draw = ImageDraw.Draw(image)
    high = int(3 * chance.uniform(8, 40))
    for row in range(high, 3 * size[1] - high, int(1.6 * high)):
        x = high
        while x < 3 * size[0] - high:
            wide = int(high * chance.uniform(0.2, 0.7))
            ends = chance.uniform(0, 1, (3, 2)) * (wide, high) + (x, row)
            fill = colours[1 + row % (len(colours) - 1)]
            draw.line([tuple(end) for end in ends.tolist()], fill=fill, width=max(3, high // 7))
            x += wide + high // 4
    return _shrunk(image, size, chance)


def _blocky(chance: np.random.Generator) -> Bytes:
    """Stripes without smoothed edges, as of a fax or old game."""
    size = _size(chance)
    colours = np.array(_colours(chance), dtype=np.uint8)
    step = int(chance.integers(6, 60))
    y, x = np.mgrid[: size[1], : size[0]]
    which = (x // step * 7 + y // (2 * step) * 3) % len(colours)
    return np.dstack((colours[which], np.full(which.shape, 255, dtype=np.uint8)))


def _contrast(chance: np.random.Generator) -> tuple[Floats, Floats]:
    """Two colours whose luma (ITU-R BT.601) is at least 40 levels apart, often just that."""
    while True:
        first, last = chance.uniform(0, 255, (2, 3))
        if chance.random() < 0.5:
            first[:], last[:] = first[0], first[0] + _LEAST_CONTRAST
        if last.max() <= 255 and abs((last - first) @ (0.299, 0.587, 0.114)) >= _LEAST_CONTRAST - 0.01:
            return first, last


def _blended(share: Floats, chance: np.random.Generator) -> Bytes:
    first, last = _contrast(chance)
    colour = first + share[..., None] * (last - first)
    rgb = np.clip(np.rint(colour), 0, 255).astype(np.uint8)
    return np.dstack((rgb, np.full(share.shape, 255, dtype=np.uint8)))


def _ramp(chance: np.random.Generator) -> Bytes:
    width = int(np.exp(chance.uniform(np.log(220), np.log(3000))))
    height = int(chance.integers(120, 600))
    y, x = np.mgrid[:height, :width]
    angle = chance.choice([0.0, np.pi / 2, chance.uniform(0, np.pi)])
    along = x * np.cos(angle) + y * np.sin(angle)
    return _blended((along - along.min()) / np.ptp(along), chance)


def _far(size: tuple[int, int], chance: np.random.Generator) -> Floats:
    y, x = np.mgrid[: size[1], : size[0]]
    across, down = chance.uniform(0.3, 0.7, 2)
    far: Floats = np.hypot(x - across * size[0], y - down * size[1]) / min(size)
    return far


def _glow(chance: np.random.Generator) -> Bytes:
    reach = chance.uniform(0.3, 0.8)
    return _blended(np.clip(1 - _far(_size(chance), chance) / reach, 0, 1), chance)


def _vignette(chance: np.random.Generator) -> Bytes:
    size = _size(chance)
    far = _far(size, chance)
    rgba = np.array(_shapes_of(chance, size).resize(size).convert("RGBA"))
    dark = 1 - 0.9 * np.clip((far - 0.2) / 0.7, 0, 1)
    rgba[..., :3] = (np.maximum(rgba[..., :3], 120) * dark[..., None]).astype(np.uint8)
    return rgba


def _shadow(chance: np.random.Generator) -> Bytes:
    """A flat shape over its own blurred shadow."""
    while True:
        size = _size(chance)
        mask = Image.new("L", size, 0)
        draw = ImageDraw.Draw(mask)
        half = 0.3 * min(size)
        box = (size[0] / 2 - half, size[1] / 2 - half, size[0] / 2 + half, size[1] / 2 + half)
        _random_shape(draw, box, 255, int(chance.integers(5)))  # type: ignore[arg-type]
        sigma = chance.uniform(0.05, 0.15) * min(size)
        blur = np.array(mask.filter(ImageFilter.GaussianBlur(sigma)), dtype=np.float64) / 255
        shade = np.roll(blur, int(sigma), axis=(0, 1))
        shade = shade / shade[np.array(mask) == 0].max()
        if ((shade > 0.15) & (shade < 0.85) & (np.array(mask) == 0)).mean() >= _LEAST_SHARE:
            rgba = _blended(np.minimum(shade, 1), chance)
            rgba[np.array(mask) > 127, :3] = chance.integers(0, 256, 3)
            return rgba


def _alpha_fade(chance: np.random.Generator) -> Bytes:
    size = _size(chance)
    rgba = np.empty((size[1], size[0], 4), dtype=np.uint8)
    rgba[..., :3] = chance.integers(0, 256, 3)
    fade = np.clip(1 - _far(size, chance) / chance.uniform(0.4, 0.9), 0, 1)
    rgba[..., 3] = np.rint(255 * fade)
    return rgba


def _photo(chance: np.random.Generator) -> Bytes:
    """Light and dark at all sizes, as in a photograph.

    Rougher ones, as of gravel or grass, are left out: they are not told from mosaics of flat pieces.
    """
    size = _size(chance)
    y, x = np.fft.fftfreq(size[1])[:, None], np.fft.fftfreq(size[0])[None]
    distance = np.hypot(x, y)
    distance[0, 0] = np.inf
    fall = distance ** -chance.uniform(1.4, 1.9)
    planes = []
    common = np.fft.ifft2(np.fft.fft2(chance.normal(size=size[::-1])) * fall).real
    tint = chance.uniform(0, 0.6)
    for _ in range(3):
        own = np.fft.ifft2(np.fft.fft2(chance.normal(size=size[::-1])) * fall).real
        planes.append(common / common.std() + tint * own / own.std())
    levels = 128 + chance.uniform(25, 60) * np.stack(planes, axis=-1)
    levels = ndimage.gaussian_filter(levels, (0.7, 0.7, 0))
    rgb = np.clip(np.rint(levels), 0, 255).astype(np.uint8)
    return np.dstack((rgb, np.full(size[::-1], 255, dtype=np.uint8)))


FLAT_KINDS: tuple[Draw, ...] = (_flat_shapes, _flat_shapes, _flat_cut_out, _thin_lines, _words, _blocky)
SOFT_KINDS: tuple[Draw, ...] = (_ramp, _ramp, _glow, _vignette, _shadow, _alpha_fade, _photo)
