"""Stands between the program and the system: lets calls fail, ends the process at one, or notes them."""

import os
from collections.abc import Callable
from typing import Any, Protocol

import pytest

CALLS = ("open", "write", "fsync", "close", "replace", "rename", "stat", "chmod", "unlink", "mkdir")


class Between(Protocol):
    """Gets each call by name, with the real one to pass it on to."""

    def call(
        self, name: str, real: Callable[..., Any], args: tuple[Any, ...], kwargs: dict[str, Any]
    ) -> Any: ...


def stand_between(patch: pytest.MonkeyPatch, between: Between) -> None:
    for name in CALLS:
        patch.setattr(os, name, _wrapped(name, getattr(os, name), between))


def _wrapped(name: str, real: Callable[..., Any], between: Between) -> Callable[..., Any]:
    def call(*args: Any, **kwargs: Any) -> Any:
        return between.call(name, real, args, kwargs)

    return call


class Faults:
    """The n-th call fails, and every later one if `lasting`; a write may go half-way and say so."""

    def __init__(self, fail_at: int, code: int, *, lasting: bool, half: bool) -> None:
        self.fail_at, self.code, self.lasting, self.half = fail_at, code, lasting, half
        self.count = 0

    def call(self, name: str, real: Callable[..., Any], args: tuple[Any, ...], kwargs: dict[str, Any]) -> Any:
        self.count += 1
        if self.count < self.fail_at or (self.count > self.fail_at and not self.lasting):
            return real(*args, **kwargs)
        if name == "write" and self.half and len(args[1]) > 1:
            return real(args[0], args[1][: len(args[1]) // 2])
        if name == "close":
            real(*args)  # the descriptor is gone after a failed close too
        raise OSError(self.code, os.strerror(self.code))
