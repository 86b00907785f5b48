"""Days and spans of time in the words of a language."""

from __future__ import annotations

from datetime import date

from archive.site.visitors.catalogue import Words


def day_in(t: Words, day: date) -> str:
    """`11 June 1932`."""
    return t("time.day", d=day.day, m=t(f"months.m{day.month}"), y=day.year)


def bounds_in(t: Words, earliest: date | None, latest: date | None) -> str:
    """A day, a month, a year, or between which days it was; "" where nothing is known."""
    if earliest is None and latest is None:
        return ""
    if earliest is None or latest is None:
        known = earliest or latest
        assert known is not None
        return t("time.from" if latest is None else "time.until", a=day_in(t, known))
    if earliest == latest:
        return day_in(t, earliest)
    whole_month = earliest.day == 1 and (latest.month != _next(latest).month)
    if whole_month and (earliest.year, earliest.month) == (latest.year, latest.month):
        return t("time.month", m=t(f"months.m{earliest.month}"), y=earliest.year)
    if (earliest.month, earliest.day, latest.month, latest.day) == (1, 1, 12, 31):
        if earliest.year == latest.year:
            return str(earliest.year)
        return t("time.between", a=earliest.year, b=latest.year)
    return t("time.between", a=day_in(t, earliest), b=day_in(t, latest))


def _next(day: date) -> date:
    return date.fromordinal(min(day.toordinal() + 1, date.max.toordinal()))
