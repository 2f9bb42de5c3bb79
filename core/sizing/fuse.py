"""Which fuse protects a conductor and carries its load."""

from __future__ import annotations

from collections.abc import Iterable


def fuses_between(
    load_amps: float, limit_amps: float, ratings: Iterable[float], continuous_share: float
) -> tuple[float, ...]:
    """The ratings that carry a load for good and do not exceed a limit, the smallest first.

    `continuous_share`: how much of its rating a fuse carries for good (common practice: 0.8, so that the
    rating is 1.25 times the load or more).
    """
    least = load_amps / continuous_share
    return tuple(sorted(rating for rating in ratings if least <= rating <= limit_amps))


def fuse_for(
    load_amps: float, limit_amps: float, ratings: Iterable[float], continuous_share: float
) -> float | None:
    """The smallest rating that carries a load for good and does not exceed what the conductor carries; None
    where there is none: the wire is too thin for this load.
    """
    return next(iter(fuses_between(load_amps, limit_amps, ratings, continuous_share)), None)


def most_fuse_on_boats(ampacity: float, share: float) -> float:
    """The largest fuse that the law for boats allows: 150 % of the table below 50 V (33 CFR 183.455(c)(1)).

    Shown beside a conflict; never what a fuse is judged by.
    """
    return ampacity * share
