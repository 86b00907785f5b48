"""A page opened in Chromium, with a watch on what it should not do."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any


@contextmanager
def opened(chromium: Any, file: Path, width: int = 1280, **more: Any) -> Iterator[Any]:
    """A page in a fresh context; `page.trouble` gathers what it should not have done."""
    context = chromium.new_context(viewport={"width": width, "height": 800}, **more)
    page = context.new_page()
    page.trouble = []
    page.on(
        "console", lambda m: page.trouble.append(m.text) if m.type in ("error", "warning") else None
    )
    page.on("pageerror", lambda error: page.trouble.append(str(error)))
    page.on("requestfailed", lambda request: page.trouble.extend(_failed(request)))
    page.on(
        "request",
        lambda request: (
            None if request.url.startswith(("file:", "data:")) else page.trouble.append(request.url)
        ),
    )
    page.goto(file.as_uri())
    try:
        yield page
    finally:
        context.close()


def _failed(request: Any) -> list[str]:
    """What did not arrive; a picture that a page was left before it came is no trouble."""
    return [] if request.failure == "net::ERR_ABORTED" else [f"failed {request.url}"]
