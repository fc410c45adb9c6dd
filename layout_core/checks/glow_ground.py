"""Whether the cloth suits a glow print: light cloth, low contrast by day, the white underbase."""

from layout_core.checks.findings import Finding, Severity
from layout_core.glow.afterglow import WHITE_UNDERBASE, film_share
from layout_core.glow.appearance import garment_look
from layout_core.glow.bands import garment_colours
from layout_core.glow.cloth import cloth, is_light, reflectance
from layout_core.job.lighting import Ink
from layout_core.job.model import Job

LEAST_CONTRAST = 3.0
"""By day print and cloth stand apart. Source: WCAG 2.2, criterion 1.4.11 (for graphics on screens)."""
WORTH_AN_UNDERBASE = 1.25
"""A gain in brightness below this is not told; invented."""


def ground_findings(job: Job) -> tuple[Finding, ...]:
    """One caution a kind at most, naming the colours it is about; none where the job states no lighting."""
    if job.lighting is None:
        return ()
    colours = tuple(dict.fromkeys(colour for piece in job.pieces for colour in garment_colours(job, piece)))
    found = [*_light_cloth(colours), *_contrast(colours)]
    reckoned, printed = job.lighting.has_underbase, job.printing.has_underbase
    if reckoned != printed:
        return (*found, _differs(is_printed=printed))
    return tuple(found if printed else [*found, *_underbase(colours, job.lighting.ink)])


def _light_cloth(colours: tuple[str, ...]) -> list[Finding]:
    light = [colour for colour in colours if is_light(cloth(colour))]
    if not light:
        return []
    words = f"{_listed(light)} cloth throws the venue's light back: the glow is lost sooner than on black"
    return [Finding("glow_ground", Severity.CAUTION, words[:1].upper() + words[1:])]


def _contrast(colours: tuple[str, ...]) -> list[Finding]:
    faint = {colour: garment_look(colour).contrast for colour in colours}
    faint = {colour: contrast for colour, contrast in faint.items() if contrast < LEAST_CONTRAST}
    if not faint:
        return []
    least = min(faint.values())
    words = (
        f"By day the print hardly shows on {_listed(list(faint))}: contrast {least:.1f}, "
        f"{LEAST_CONTRAST:g} is plain"
    )
    return [Finding("day_contrast", Severity.CAUTION, words)]


def _underbase(colours: tuple[str, ...], ink: Ink) -> list[Finding]:
    white = film_share(ink.film_um, WHITE_UNDERBASE)
    gains = {colour: white / film_share(ink.film_um, reflectance(cloth(colour))) for colour in colours}
    dark = [colour for colour, gain in gains.items() if gain >= WORTH_AN_UNDERBASE]
    if not dark:
        return []
    most = max(gains[colour] for colour in dark)
    words = f"No white under the print on {_listed(dark)}: with it the glow gets up to {most:.1f} x brighter"
    return [Finding("underbase", Severity.CAUTION, words)]


def _differs(*, is_printed: bool) -> Finding:
    if is_printed:
        words = "The print files hold a white underbase, but visibility is reckoned without it"
    else:
        words = "Visibility is reckoned with a white underbase, but the print files hold none"
    return Finding("underbase_differs", Severity.CAUTION, f"{words}; switch it on or off in both")


def _listed(words: list[str]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"
