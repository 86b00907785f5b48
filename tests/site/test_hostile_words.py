"""Whatever stands in a field of a record, its page shows it as words."""

from __future__ import annotations

import dataclasses

import pytest
from hostile import PAYLOADS, Watch, spoilt_library
from site_sample import pictures_of

from archive.audience.view import View
from archive.site.pages import pages
from archive.site.render import render


@pytest.mark.parametrize("payload", PAYLOADS)
def test_words_stay_words(view: View, payload: str) -> None:
    hostile = dataclasses.replace(view, library=spoilt_library(view.library, payload))
    seen = 0
    for page in pages(hostile, pictures_of(view)):
        html = render(page).decode()
        watch = Watch()
        watch.feed(html)
        assert watch.found == [], page.path
        assert "alert(1)</script>" not in html, page.path
        seen += 1
    assert seen > 20


def test_the_watch_would_notice() -> None:
    watch = Watch()
    watch.feed("<script>x</script><p onclick=x style=y><a href=' JavaScript:x'>z</a>")
    assert watch.found == ["script", "p onclick", "p style", "a href= JavaScript:x"]
