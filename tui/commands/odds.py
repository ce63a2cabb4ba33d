"""How many to start: at rates that are given, or of a species by the book and the grower's own results."""

from __future__ import annotations

import argparse
from math import isfinite
from typing import TYPE_CHECKING

from tui.commands.shared import GOOD, Unusable, print_json

if TYPE_CHECKING:
    from engine.odds.rates import Rate


def starts(call: argparse.Namespace) -> int:
    from engine.odds.starts import MOST, SURENESSES, TooUnsure, costs, start

    sure = share_of(call.sure, "sureness")
    if not 0 < sure < 1:
        raise Unusable(f"nothing is as sure as {call.sure}; say a sureness between 0 and 100 %, such as 90")
    if not (call.want.isascii() and call.want.isdigit() and 0 < int(call.want) <= MOST):
        raise Unusable(f'"{call.want}" is not a number of plants to want, from 1 to {MOST:,}')
    want = int(call.want)
    if call.words:
        if call.rate:
            raise Unusable("say a species and a method, or --rate: not both")
        from tui.commands.needs import starts_of_species

        return starts_of_species(call, want, sure)
    if not call.rate:
        raise Unusable("say a species and a method of your farm, or a --rate for each step")
    rates = tuple(rate_of(text) for text in call.rate)
    try:
        found = start(want, rates, sure)
    except TooUnsure:
        raise Unusable(f"at these rates not even {MOST:,} started give {want:,} with {sure:.4g} sureness") from None
    if call.json:
        print_json({"start": found.count, "expected": round(found.expected, 6)})
        return GOOD
    print(f"Start {found.count:,} to have {want:,} with {sure:.4%} sureness.".replace(".0000%", "%"))
    print(f"{found.expected:,.1f} are expected to come through, {found.surplus:,.1f} more than wanted.")
    for other, cost in costs(want, rates, SURENESSES):
        if other != sure:
            more = cost.count - found.count
            print(f"  {other:.0%} sure: {cost.count:,}" + (f" ({more:+,})" if more else ""))
    return GOOD


def rate_of(text: str) -> Rate:
    """A rate as typed: R or R:W, R a share (0.8, 80 or 80%), W how many observations it is worth. Raises Unusable."""
    from engine.odds.rates import Rate

    share, colon, weight = text.partition(":")
    mean = share_of(share, "rate")
    if not 0 < mean <= 1:
        raise Unusable(f'"{share}" is no rate to start on; say a share above 0 and up to 100 %, such as 0.8')
    if not colon:
        return Rate(mean)
    worth = _number(weight)
    if worth is None or not 0 < worth <= 1e9:
        raise Unusable(f'"{weight}" in "{text}" is not how many observations a rate is worth; say a number above 0')
    return Rate(mean, worth)


def share_of(text: str, what: str) -> float:
    """A share as typed: 0.9, 90 or 90%; a plain number above 1 is in percent. Raises Unusable."""
    number = _number(text.strip().removesuffix("%"))
    if number is None or not 0 <= number <= 100:
        raise Unusable(f'"{text}" is no {what}; say a share such as 0.9, 90 or 90%')
    return number / 100 if number > 1 or text.strip().endswith("%") else number


def _number(text: str) -> float | None:
    try:
        number = float(text)
    except ValueError:
        return None
    return number if isfinite(number) else None
