"""How far an independent computation of a day's light agrees, in words."""

from __future__ import annotations

from fieldtrip.almanac.sky_site import EVENT_WORDS
from fieldtrip.sky.second_opinion import SecondOpinion

LARGEST_DIFFERENCE_S = 60.0  # TRADE: above it the two computations disagree
PROVES = (
    "That checks the arithmetic; it says nothing about hills on the horizon, nor "
    "whether the place's time zone is right."
)


def opinion_words(opinion: SecondOpinion) -> tuple[str, bool]:
    """How far the second computation agrees, and whether that is a caution."""
    differing = [EVENT_WORDS[name] for name in (*opinion.missing, *opinion.extra)]
    if opinion.largest_difference_s is None:
        if differing:
            return (
                "▲ A second computation (astral) does not agree on whether there is "
                f"{_listed(differing)}. Do not rely on these times.",
                True,
            )
        return (
            "? There was nothing to compare with a second computation (astral) on "
            f"this day. {PROVES.replace('That checks', 'It would check')}",
            False,
        )
    seconds = max(1, round(opinion.largest_difference_s + 0.499))
    is_far = opinion.largest_difference_s > LARGEST_DIFFERENCE_S
    times = f"{opinion.compared} times" if opinion.compared > 1 else "one time"
    if is_far or differing:
        text = (
            f"▲ A second computation (astral) differs by up to {seconds} s over {times}"
        )
        if differing:
            text += f", and does not agree on {_listed(differing)}"
        return f"{text}. Keep clear of the limits these times set. {PROVES}", True
    return (
        f"A second computation (astral) agrees within {seconds} s over {times} of "
        f"sunrise, sunset and twilight. {PROVES}",
        False,
    )


def _listed(words: list[str]) -> str:
    unique = list(dict.fromkeys(words))
    if len(unique) < 2:
        return "".join(unique)
    return f"{', '.join(unique[:-1])} and {unique[-1]}"
