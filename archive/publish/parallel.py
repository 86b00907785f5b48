"""Spreading the making of pages over two processes, with the same result in the same order.

The work is a function of one shared value and one chunk. Where processes fork (Linux) they inherit
the shared value and nothing is copied; elsewhere each gets its own copy once. A worker's exception
is raised here as itself, the earliest chunk's first. Workers never outlive the build: they leave
Ctrl-C to the parent, and on Linux the kernel ends them with it.
"""

from __future__ import annotations

import contextlib
import ctypes
import multiprocessing
import os
import pickle
import signal
import sys
import traceback
from collections.abc import Callable, Sequence
from concurrent.futures import ProcessPoolExecutor
from typing import Any, TypeVar

Shared = TypeVar("Shared")
Chunk = TypeVar("Chunk")
Result = TypeVar("Result")

_PR_SET_PDEATHSIG = 1
#: What a worker process was started with: the function and its shared value.
_work: tuple[Callable[[Any, Any], Any], Any] | None = None


def chunked(items: Sequence[Chunk], size: int) -> list[Sequence[Chunk]]:
    """`items` in runs of `size`, the last one shorter; their order kept."""
    return [items[start : start + size] for start in range(0, len(items), size)]


def run(
    function: Callable[[Shared, Chunk], Result],
    shared: Shared,
    chunks: Sequence[Chunk],
    *,
    processes: int = 2,
    progress: Callable[[int], None] | None = None,
) -> list[Result]:
    """`[function(shared, chunk) for chunk in chunks]`, in up to `processes` processes.

    `function` is a module's own (it is pickled where processes don't fork). With one process, or
    fewer than two chunks, everything happens here. `progress` is told how many chunks are done.
    A worker that dies (out of memory, killed) raises `BrokenProcessPool` of concurrent.futures.
    No worker is at work any more when this returns or raises.
    """
    results: list[Result] = []
    if processes < 2 or len(chunks) < 2:
        for chunk in chunks:
            results.append(function(shared, chunk))
            if progress:
                progress(len(results))
        return results
    context = multiprocessing.get_context("fork" if sys.platform == "linux" else "spawn")
    pool = ProcessPoolExecutor(
        min(processes, len(chunks)), context, _start, (function, shared, os.getpid())
    )
    try:
        for done in [pool.submit(_do, chunk) for chunk in chunks]:
            result, error = done.result()
            if error is not None:
                raise _revive(*error)
            results.append(result)
            if progress:
                progress(len(results))
    finally:
        pool.shutdown(wait=True, cancel_futures=True)
    return results


def _start(function: Callable[[Any, Any], Any], shared: object, parent: int) -> None:
    global _work
    _work = (function, shared)
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    signal.signal(signal.SIGTERM, signal.SIG_DFL)
    if sys.platform == "linux":
        prctl = getattr(ctypes.CDLL(None), "prctl", None)
        if prctl is not None:
            prctl(_PR_SET_PDEATHSIG, signal.SIGKILL)
        if os.getppid() != parent:  # it died before the line above
            os._exit(1)


_Error = tuple[type[Exception], tuple[object, ...], dict[str, object], str]


def _do(chunk: object) -> tuple[Any, _Error | None]:
    assert _work is not None
    function, shared = _work
    try:
        return function(shared, chunk), None
    except Exception as error:
        return None, _pack(error)


def _pack(error: Exception) -> _Error:
    """An exception's parts: pickling it whole fails where its class wants other arguments."""
    text = "In a worker process:\n" + "".join(traceback.format_exception(error))
    reduced = error.__reduce__()
    if isinstance(reduced, tuple) and reduced[0] is type(error):
        parts = (type(error), tuple(reduced[1]), dict(error.__dict__), text)
        with contextlib.suppress(Exception):
            pickle.loads(pickle.dumps(parts))
            return parts
    return (RuntimeError, (f"{type(error).__name__}: {error}",), {}, text)


def _revive(
    kind: type[Exception], args: tuple[object, ...], state: dict[str, object], text: str
) -> Exception:
    error = kind.__new__(kind, *args)
    error.__dict__.update(state)
    error.add_note(text)
    return error
