"""What a field takes, in words: the manual's tables and the editors' schemas say the same."""

from __future__ import annotations

from archive.records.spec import TYPES, Spec


def takes(spec: Spec) -> str:
    """What a field takes, in words."""
    if spec.type == "choice":
        what = "one of " + ", ".join(f"`{word}`" for word in spec.choices)
    elif spec.type == "ref":
        kinds = ", ".join(f"`{kind}/`" for kind in spec.kinds) or "any folder"
        what = f"a reference into {kinds}"
    elif spec.type == "node" and spec.node is not None:
        what = f"a group: {_words(spec.node.__name__)}"
    else:
        what = TYPES[spec.type]
    if spec.type == "length" and not spec.signed:
        what += "; above nothing"
    if spec.many:
        what = f"a list; each {what}" + ("; one needs no list" if spec.one_or_many else "")
    elif spec.table:
        what = f"names, each with {what}"
    if spec.judged:
        what += "; as a judgement `{is, by, on, because}`" + (" or bare" if spec.bare else "")
    return what


def _words(name: str) -> str:
    """`AsFound` as `as found`."""
    return "".join(f" {c.lower()}" if c.isupper() else c for c in name).strip()
