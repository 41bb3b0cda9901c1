"""Writes help/checks.md from the rules themselves.

Run `python -m resources.make_checks_help`; a test compares what it would write with
what is there.
"""

from __future__ import annotations

import inspect
import textwrap
from pathlib import Path

from fieldtrip.finding_sentences.rules import SOURCES, UNKNOWN
from fieldtrip.finding_sentences.titles import TITLES
from fieldtrip.phrasing import CAUTIONS, limit_text
from fieldtrip.safety.checklist import RULES
from fieldtrip.safety.finding import Rule
from fieldtrip.safety.limit_specs import SPECS, USUAL, Looser

FILE = Path(__file__).parent / "help" / "checks.md"
_START = (
    "Every rule that the page *Checks* and `fieldtrip check` go by, made from the "
    "program itself. A finding is *stop*, *unknown*, *caution* or *clear*, and the "
    "worst decides. What is not known is never better than unknown, and a stop that "
    "known facts prove stays a stop. Each limit is the usual one. Library ▸ Settings… "
    "has a page on which you set your own, and whatever is looser than usual is said "
    "on every finding that goes by it."
)


def checks_help() -> str:
    """The whole page."""
    start = "\n".join(_wrapped(_START))
    parts = ["# The checks", start, "\n".join(f"- {caution}" for caution in CAUTIONS)]
    parts += [_of_rule(Rule(rule.__name__), inspect.getdoc(rule) or "", rule.__module__)
              for rule in RULES]  # fmt: skip
    return "\n\n".join(parts) + "\n"


def _of_rule(rule: Rule, told: str, module: str) -> str:
    paragraphs = [" ".join(part.split()) for part in told.split("\n\n")]
    lines = [f"## {TITLES[rule]}", ""]
    for paragraph in paragraphs:
        lines += [*_wrapped(paragraph), ""]
    lines += [f"Function: `{module}.{rule}`", ""]
    specs = [spec for spec in SPECS if rule in spec.rules]
    if specs:
        lines += ["| limit | usually | looser |", "|---|---|---|"]
        lines += [
            f"| {spec.words} | {limit_text(spec, spec.value(USUAL))} | "
            f"{'higher' if spec.looser is Looser.HIGHER else 'lower'} |"
            for spec in specs
        ]
    else:
        lines.append("No threshold.")
    lines += ["", *_wrapped(f"Source: {SOURCES[rule]}."), ""]
    lines += _wrapped(f"Unknown: {UNKNOWN[rule]}.")
    return "\n".join(lines)


def _wrapped(text: str) -> list[str]:
    return textwrap.wrap(text, 100, break_long_words=False, break_on_hyphens=False)


if __name__ == "__main__":
    FILE.write_text(checks_help(), "utf-8")
