"""Changes the light a job is judged in, as one undo step each."""

from dataclasses import replace
from typing import Any

from app.wiring import Workbench
from layout_core.job.edits import set_lighting
from layout_core.job.lighting import Lighting


def lighting_of(bench: Workbench) -> Lighting | None:
    """The job's own lighting, else the usual one; None until that has been read."""
    own, state = bench.document.job.lighting, bench.glow.state
    return own if own is not None else None if state is None else state.lighting


def change_lighting(bench: Workbench, text: str, **changes: Any) -> bool:
    """Change fields of the lighting; True when the job is another one."""
    lighting = lighting_of(bench)
    if lighting is None:
        return False
    return bench.document.apply(text, lambda job: set_lighting(job, replace(lighting, **changes)))
